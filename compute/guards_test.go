package compute_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// emptyCar is an order of one car spec without rows and coupons, with a bid
// and a part as asked: what is left to divide by may be nothing.
func emptyCar(t require.TestingT, bid, hours, cost float64) *worked {
	j := job{
		singles: row{"coupons": 0},
		tables: map[string][]row{
			"cars":  {{"name": "Coupe", "ordered": 2}},
			"parts": {{"item": "all of it", "quantity": 1, "hours_each": hours, "cost_each": cost, "per": "car", "learns": "no"}},
		},
	}
	if bid != 0 {
		j.tables["cars"][0]["bid"] = bid
	}
	w := workJob(t, load(t, model.US), j)
	for _, f := range w.faults {
		assert.Fail(t, "a figure has no value", "%s, row %d", f.Quantity.ID(), f.Row)
	}
	return w
}

// A car that costs nothing has no margin and earns nothing by the hour: the
// cells are blank, not errors.
func TestCarOfNothing(t *testing.T) { carOfNothing(t) }

func carOfNothing(t require.TestingT) {
	w := emptyCar(t, 0, 0, 0)
	require.Zero(t, w.car(0, "price_car"))
	require.Zero(t, w.car(0, "car_hours"))
	for _, key := range []string{"margin_made", "earned", "bid_margin", "bid_earned"} {
		assert.True(t, formula.IsBlank(w.car(0, key)), "%s is %g", key, w.car(0, key))
	}
	assert.True(t, formula.IsBlank(w.order("order_margin")), "the order has no price")
	assert.Zero(t, w.order("order_price"))
}

// A bid for no hours is all margin, and pays no hour.
func TestBidWithoutHours(t *testing.T) { bidWithoutHours(t) }

func bidWithoutHours(t require.TestingT) {
	w := emptyCar(t, 500, 0, 0)
	assert.Equal(t, 1.0, w.car(0, "bid_margin"))
	assert.True(t, formula.IsBlank(w.car(0, "bid_earned")))
	assert.True(t, formula.IsBlank(w.car(0, "earned")))

	w = emptyCar(t, 500, 0, 100) // money without an hour
	require.Positive(t, w.car(0, "price_car"))
	assert.InDelta(t, 1-w.car(0, "cost_car")/500, w.car(0, "bid_margin"), 1e-12)
	assert.InDelta(t, 1-w.car(0, "cost_car")/w.car(0, "price_car"), w.car(0, "margin_made"), 1e-12)
	assert.InDelta(t, w.car(0, "margin_made"), w.order("order_margin"), 1e-12)
	for _, key := range []string{"earned", "bid_earned"} {
		assert.True(t, formula.IsBlank(w.car(0, key)), key)
	}
}

// With hours and a bid, nothing is blank; without a bid, only what is of the
// bid.
func TestGuardsLetFiguresThrough(t *testing.T) { guardsLetFiguresThrough(t) }

func guardsLetFiguresThrough(t require.TestingT) {
	w := emptyCar(t, 1000, 4, 100)
	other := w.car(0, "other_cost")
	assert.InDelta(t, (1000-other)/w.car(0, "car_hours"), w.car(0, "bid_earned"), 1e-9)
	assert.InDelta(t, (w.car(0, "price_car")-other)/w.car(0, "car_hours"), w.car(0, "earned"), 1e-9)

	w = emptyCar(t, 0, 4, 100)
	assert.False(t, formula.IsBlank(w.car(0, "earned")))
	assert.True(t, formula.IsBlank(w.car(0, "bid_margin")))
	assert.True(t, formula.IsBlank(w.car(0, "bid_earned")))
	assert.Zero(t, w.order("order_bid"))
}

// An order that costs nothing is still not under the shop's smallest order,
// and then it has a margin.
func TestSmallestOrderHasAMargin(t *testing.T) { smallestOrderHasAMargin(t) }

func smallestOrderHasAMargin(t require.TestingT) {
	j := job{singles: row{"coupons": 0, "minimum_order": 150}, tables: map[string][]row{"cars": {{"name": "Coupe", "ordered": 1}}, "parts": {}}}
	w := workJob(t, load(t, model.US), j)
	require.Empty(t, w.faults)
	assert.True(t, formula.IsBlank(w.car(0, "margin_made")))
	assert.Equal(t, 150.0, w.order("order_price"))
	assert.Equal(t, 1.0, w.order("order_margin"))
}

// Tube charged by whole sticks is bought to the stick's end and the rest is
// the order's offcut; where nobody has typed how long a stick is, what is used
// is bought. Rods are bought whole; without a length, none are counted.
func TestStockBought(t *testing.T) { stockBought(t) }

func stockBought(t require.TestingT) {
	m := load(t, model.US)
	bought := func(charge string, stick, rod float64) (tube, rods func(string) float64) {
		size := row{"alloy": "grade 2", "od": 3, "wall": 0.047, "price": 50, "charge": charge}
		wire := row{"alloy": "grade 2", "wire": 0.045, "price": 84, "density": 0.163}
		if stick > 0 {
			size["stick"] = stick
		}
		if rod > 0 {
			wire["length"] = rod
		}
		j := job{
			tables: map[string][]row{"cars": {{"name": "Coupe", "ordered": 2}}, "stock": {size}, "fillers": {wire}},
			lines:  []row{{"car": "Coupe", "od": 3, "wall": 0.047, "tube": 76}},
		}
		w := workJob(t, m, j)
		w.priced(t, j)
		read := func(name string) func(string) float64 {
			s := w.summary(name)
			rows := w.v.Rows(s).Frames
			require.Len(t, rows, 1, name)
			return func(key string) float64 { return s.Quantity(key).Num(rows[0]) }
		}
		return read("tube"), read("rods")
	}

	tube, rods := bought("whole sticks", 10, 36)
	need := tube("tube_needed")
	require.Greater(t, need, 10.0)
	require.Less(t, need, 20.0)
	assert.Equal(t, 2.0, tube("sticks"))
	assert.Equal(t, 20.0, tube("tube_bought"))
	assert.Equal(t, 1000.0, tube("tube_paid"))
	assert.InDelta(t, 50*(20-need), tube("offcut"), 0.01)
	assert.Positive(t, rods("rods"))
	assert.Equal(t, 36*rods("rods"), rods("rod_bought"))
	assert.GreaterOrEqual(t, rods("rod_bought"), rods("rod_needed"))
	assert.Less(t, rods("rod_bought")-rods("rod_needed"), 36.0)

	for _, c := range []struct {
		charge string
		stick  float64
	}{{"whole sticks", 0}, {"used", 10}, {"used", 0}} {
		tube, _ := bought(c.charge, c.stick, 36)
		assert.Equal(t, need, tube("tube_bought"), "%v", c)
		assert.Zero(t, tube("offcut"), "%v", c)
		assert.Equal(t, c.stick > 0, tube("sticks") > 0, "%v", c)
		assert.InDelta(t, 50*need, tube("tube_paid"), 0.005, "%v", c)
	}

	_, rods = bought("used", 0, 0)
	assert.Zero(t, rods("rods"))
	assert.Zero(t, rods("rod_bought"))
	assert.Zero(t, rods("rod_mass"))
	assert.Positive(t, rods("rod_needed"))
}
