package compute_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
)

// plainShop is a shop that does nothing but weld: no rigging, tacks, waits or
// laps, so that a cost from elsewhere can be set against it.
func plainShop(t require.TestingT) *bench {
	b := newBench(t, model.US)
	for _, key := range []string{
		"clean_fit", "inspect", "purge_rig", "cut_deburr", "tie_in", "closing_overlap", "restart_clean",
		"tack_arc", "tack_pre_flow", "tack_post_flow", "tack_handling", "sundries_per_weld", "argon_loss",
		"crown_height_per_wall", "fillet_convexity",
	} {
		b.assume(key, 0)
	}
	for _, key := range []string{"bead_share", "trail_flow", "purge_flow", "purge_hold", "pre_flow", "post_flow", "reposition", "mount"} {
		b.cell("setups", 0, key, 0)
	}
	return b
}

// seamOf is a straight seam in steel, of a wall whose travel factor is 1.
func seamOf(length, area float64) row {
	return row{"kind": "seam", "alloy": "304L", "od": 4, "wall": 0.05, "gap": area / 0.05, "weld_length": length, "purges": 0}
}

// The worked example of a filler metal data handbook, p. 8-8 (seen): labour
// and overhead 45 $/h, 10.2 lb/h, operating factor 0.45: 9.80 $/lb of deposit;
// wire 1.78 $/lb at 0.87 efficiency: 2.05; gas 40 ft³/h at 0.02 $/ft³: 0.08;
// total 11.93 $/lb.
func TestCostOfDeposit(t *testing.T) {
	b := plainShop(t)
	b.assume("shop_rate", 45)
	b.assume("filler_yield", 0.87)
	b.assume("argon_price", 0.02)
	b.cell("setups", 0, "torch_flow", 40)
	const travel, length, density, operating = 10.0, 1e6, 0.283, 0.45
	b.cell("setups", 0, "travel", travel)
	rod := at304L(t, b)
	b.cell("fillers", rod, "price", 1.78)
	b.cell("fillers", rod, "density", density)
	area := 10.2 / (travel * 60 * density)
	arc := length / travel
	b.assume("clean_fit", arc*(1/operating-1)) // all that is not arc
	get, out, _ := b.work(seamOf(length, area))
	require.False(t, out.Refused)
	pounds := get("filler_mass") * 0.87
	require.InEpsilon(t, 10.2, pounds/get("line_arc")*60, 1e-12, "lb/h")
	assert.InDelta(t, 9.80, get("labour")/pounds, 0.005)
	assert.InDelta(t, 2.05, get("filler_cost")/pounds, 0.005)
	assert.InDelta(t, 0.08, get("argon_cost")/pounds, 0.005)
	assert.InDelta(t, 11.93, get("line_cost")/pounds, 0.005)
	assert.Zero(t, get("tube_cost")+get("sundries"))
}

func at304L(t require.TestingT, b *bench) int {
	s := b.m.Table("fillers")
	for i, f := range b.v.Rows(s).Frames {
		if s.Quantity("alloy").Text(f) == "304L" {
			return i
		}
	}
	require.Fail(t, "no rod of 304L is shipped")
	return 0
}

// Labour to the foot of weld is rate/(travel*operating factor*5), travel in
// in/min: a TIG handbook's chapter on costs (seen).
func TestLabourToTheFoot(t *testing.T) {
	for _, c := range []struct{ rate, travel, operating float64 }{{95, 3, 0.3}, {60, 5, 0.45}, {180, 2.4, 1}} {
		b := plainShop(t)
		b.assume("shop_rate", c.rate)
		b.cell("setups", 0, "travel", c.travel)
		const feet = 1e4
		b.assume("clean_fit", feet*12/c.travel*(1/c.operating-1))
		get, out, _ := b.work(seamOf(feet*12, 0.002))
		require.False(t, out.Refused)
		assert.InDelta(t, c.rate/(c.travel*c.operating*5), get("labour")/feet, 1e-5)
	}
}

// orderOf works out an order of one car spec without lines, but with work and
// cost of its own.
func orderOf(t require.TestingT, cars, hours, cost float64, assume map[string]float64) *worked {
	m := load(t, model.US)
	j := job{singles: row{"coupons": 0, "allowance": 0, "contingency": 0, "rework": 0, "overhead": 0, "price_step": 0.01, "minimum_order": 0, "rush": 0}}
	for k, x := range assume {
		j.singles[k] = x
	}
	j.tables = map[string][]row{
		"cars":  {{"name": "Coupe", "ordered": cars}},
		"parts": {{"item": "all of it", "car": "all", "quantity": 1, "hours_each": hours, "cost_each": cost, "per": "car", "learns": "yes"}},
	}
	w := workJob(t, m, j)
	w.priced(t, j)
	return w
}

// Wright's cumulative average at 80 %, first unit 100 h: averages of 80, 64,
// 51.2, 40.96 and totals of 160, 256, 409.6, 655.36 for 2, 4, 8, 16: a
// cost-estimating text (seen).
func TestLearning(t *testing.T) {
	for _, c := range []struct{ n, mean, total float64 }{{1, 100, 100}, {2, 80, 160}, {4, 64, 256}, {8, 51.2, 409.6}, {16, 40.96, 655.36}} {
		w := orderOf(t, c.n, 100, 0, map[string]float64{"learning_slope": 0.8})
		assert.InDelta(t, c.mean, w.car(0, "car_hours"), 1e-9, "mean of %g", c.n)
		assert.InDelta(t, c.total, w.order("order_hours"), 1e-9, "total of %g", c.n)
	}
	for _, n := range []float64{1, 7, 100} {
		w := orderOf(t, n, 100, 0, map[string]float64{"learning_slope": 1})
		assert.Equal(t, 1.0, w.car(0, "learning"), "100 % is no learning")
		assert.InDelta(t, 100*n, w.order("order_hours"), 1e-9)
	}
}

// Cost 75, price 100: margin 25 %, markup 33.3 %: an accounting text (seen).
func TestMarginIsNoMarkup(t *testing.T) {
	w := orderOf(t, 1, 1, 65, map[string]float64{"margin": 0.25, "shop_rate": 10})
	require.InDelta(t, 75, w.car(0, "cost_car"), 1e-9)
	assert.InDelta(t, 100, w.car(0, "price_car"), 1e-9)
	assert.InDelta(t, 0.25, w.car(0, "margin_made"), 1e-9, "margin, of the price")
	assert.InDelta(t, 0.333, w.order("money_margin")/w.order("order_cost"), 0.0005, "markup, of the cost")
	assert.InDelta(t, 0.25, w.order("order_margin"), 1e-9)
}
