package floor

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

var nan = math.NaN()

func TestOver(t *testing.T) {
	for _, c := range []struct {
		minutes  [Stages]float64
		all, sum float64
		over     bool
	}{
		{[Stages]float64{10, 20, 30}, 60, 60, false},
		{[Stages]float64{10, 20, 30}, 59.5, 60, false}, // rounding to whole minutes
		{[Stages]float64{10, 20, 30}, 59.4, 60, true},
		{[Stages]float64{nan, 20, 30}, 50, 50, false}, // what was not logged is no minutes
		{[Stages]float64{10, 20, 30}, nan, 60, false},
	} {
		sum, over := Over(c.minutes, c.all)
		assert.Equal(t, c.sum, sum, c)
		assert.Equal(t, c.over, over, c)
	}
}

// Two bottles on the first line and a half on the third, of 300 each, are 750, where 1.1
// times 400 and 200 is 660; the second was not typed. A car of which nothing is typed
// counts for nothing.
func TestGasAndRods(t *testing.T) {
	q := &Quote{gasFactor: 1.1}
	var gas Amount
	gas.Gas(q, [Lines]float64{2, nan, 0.5}, [Lines]float64{400, 100, 200}, 300)
	gas.Gas(q, [Lines]float64{nan, nan, nan}, [Lines]float64{400, 100, 200}, 300)
	gas.Gas(q, [Lines]float64{2, 2, 2}, [Lines]float64{400, 100, 200}, nan)
	assert.InDelta(t, 660, gas.Quoted, 1e-9)
	assert.Equal(t, Amount{Quoted: gas.Quoted, Logged: 750, Cars: 1}, gas)
	var rods Amount
	rods.Rods(3, 2.5)
	rods.Rods(nan, 2)
	rods.Rods(4, nan)
	assert.Equal(t, Amount{Quoted: 2.5, Logged: 3, Cars: 1}, rods)
}

// 10 hours at 50 and 30 at 70 bring 2,600, 65 an hour; 12 at 40 and 28 at 80 bring 2,720,
// 68 an hour. The third car is not logged.
func TestInAll(t *testing.T) {
	sum, counted := InAll([]Done{
		{Quoted: 10, Logged: 12, Stages: [Stages]float64{1, 0.5, 0.25}, Else: 0.25, Price: 1000, EarnedQuoted: 50, Earned: 40},
		{Quoted: 30, Logged: 28, Stages: [Stages]float64{-1, nan, -0.5}, Else: -0.5, Price: 3000, EarnedQuoted: 70, Earned: 80},
		{Quoted: 5, Logged: nan, Price: 700, EarnedQuoted: 1, Earned: nan},
	})
	assert.Equal(t, 2, counted)
	assert.Equal(t, Done{Quoted: 40, Logged: 40, Stages: [Stages]float64{0, 0.5, -0.25}, Else: -0.25, Price: 4000, EarnedQuoted: 65, Earned: 68}, sum)
}

// order is one of a car with four butts.
func order(t *testing.T, set ...shop.Setting) *compute.Order {
	t.Helper()
	out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3"), shop.Butt("J-4")))
	o, err := sheets.Read(t.Context(), shop.Assume(t, out, set...), "")
	require.NoError(t, err)
	t.Cleanup(o.Close)
	return o.Order
}

// What a car takes is the model's without what the shop has found of itself: other factors
// and another practice change nothing in it. A bottle of 300 of which nine tenths are used
// holds 270.
func TestFloorWithoutTheShopsFactors(t *testing.T) {
	bottle := []shop.Setting{{Key: "bottle_size", Value: 300}, {Key: "bottle_usable", Value: 0.9}}
	is, err := Of(order(t, bottle...))
	require.NoError(t, err)
	require.Len(t, is.Cars, 1)
	assert.InDelta(t, 270, is.Holds, 1e-9)
	found := []shop.Setting{{Key: "saw_factor", Value: 1.5}, {Key: "bench_factor", Value: 0.8}, {Key: "weld_factor", Value: 1.25}, {Key: "gas_factor", Value: 1.1}, {Key: "learning_slope", Value: 0.9}}
	o := order(t, append(found, bottle...)...)
	same, err := Of(o)
	require.NoError(t, err)
	near := func(want, got float64) { t.Helper(); assert.InDelta(t, want, got, 1e-9*math.Max(1, math.Abs(want))) }
	for s := range Stages {
		near(is.Cars[0].Stages[s], same.Cars[0].Stages[s])
		assert.Positive(t, is.Cars[0].Stages[s])
	}
	near(is.Cars[0].All, same.Cars[0].All)
	near(is.Cars[0].Fixed, same.Cars[0].Fixed)
	near(Sum(is.Cars[0].Gas), Sum(same.Cars[0].Gas))

	// All is the floor time of the stages, and what no factor moves, each with the same
	// allowance.
	allowance := 1 + o.Values.Singles.Num[o.Model.Singles.Quantity("allowance").Slot]
	near(allowance*Sum(is.Cars[0].Stages), is.Cars[0].All-is.Cars[0].Fixed)
	// A quote has the factors in it: what a stage adds to the work, in hours.
	q, err := QuoteOf(o)
	require.NoError(t, err)
	car := q.Find(same.Cars[0].Name)
	require.NotNil(t, car)
	for s, factor := range []float64{1.5, 0.8, 1.25} {
		near(factor*is.Cars[0].Stages[s]/60, car.stages[s])
	}
	assert.Nil(t, q.Find("no such car"))
}

// A car that takes as long as quoted earns what was quoted; one that takes twice as long,
// half of it. The stages and all else add up to what it took more.
func TestLoggedOverQuoted(t *testing.T) {
	q, err := QuoteOf(order(t))
	require.NoError(t, err)
	c := &q.Cars[0]
	as := [Stages]float64{60 * c.stages[0], nan, 60*c.stages[2] + 30}
	same, err := q.Against(c, 3, as, 60*c.hours)
	require.NoError(t, err)
	assert.Equal(t, 3, same.Number)
	assert.InDelta(t, c.earned, same.Earned, 1e-9*c.earned)
	assert.InDelta(t, 0, same.Stages[0], 1e-12)
	assert.True(t, math.IsNaN(same.Stages[1]))
	assert.InDelta(t, 0.5, same.Stages[2], 1e-12)
	assert.InDelta(t, -0.5, same.Else, 1e-12)
	twice, err := q.Against(c, 0, as, 2*60*c.hours)
	require.NoError(t, err)
	assert.InDelta(t, c.earned/2, twice.Earned, 1e-9*c.earned)
	assert.InDelta(t, c.hours-0.5, twice.Else, 1e-9)
	for _, clocked := range []float64{0, nan} {
		none, err := q.Against(c, 0, as, clocked)
		require.NoError(t, err)
		assert.True(t, math.IsNaN(none.Earned))
	}
}
