package compute_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// What must hold of any order, whatever its figures: worked out from what the
// words mean, no source.

func TestMoreStopsNeverTakeLessTime(t *testing.T) {
	t.Parallel()
	m := load(t, model.US)
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t, m, 1)
		share := rapid.IntRange(1, 100).Draw(t, "share, per cent")
		wider := rapid.IntRange(share, 120).Draw(t, "wider share")
		j.lines[0]["setup"] = setups[0]
		at := func(share int) *worked {
			j.tables["setups"][0]["bead_share"] = float64(share) / 100
			w := workJob(t, m, j)
			w.priced(t, j)
			return w
		}
		narrow, wide := at(share), at(wider)
		assert.GreaterOrEqual(t, narrow.line(0, "starts"), wide.line(0, "starts"), "a wider bead, more starts")
		assert.Equal(t, narrow.line(0, "starts")-narrow.line(0, "passes"), narrow.line(0, "stops"), "a pass ends without a stop")
		for _, key := range []string{"floor_time", "weld_out", "torch_gas", "argon", "labour"} {
			assert.GreaterOrEqual(t, narrow.line(0, key), wide.line(0, key)*(1-1e-12), key)
		}
		if narrow.line(0, "stops") == wide.line(0, "stops") {
			assert.Equal(t, narrow.line(0, "floor_time"), wide.line(0, "floor_time"), "the same stops, another time")
		}
	})
}

func TestPriceKeepsTheMargin(t *testing.T) {
	t.Parallel()
	m := load(t, model.US)
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t, m, 5)
		w := workJob(t, m, j)
		w.priced(t, j)
		step, margin := j.singles.num("price_step", 0), j.singles.num("margin", 0)
		for i := range j.tables["cars"] {
			least := w.car(i, "cost_car") / (1 - margin)
			assert.GreaterOrEqual(t, w.car(i, "price_car"), least-1e-6*step, "car %d under its margin", i+1)
			if j.singles.num("rush", 0) == 0 {
				assert.Less(t, w.car(i, "price_car"), least+step*(1+1e-6), "car %d: more than one step up", i+1)
			}
			if w.car(i, "price_car") > 0 {
				assert.GreaterOrEqual(t, w.car(i, "margin_made"), margin-1e-6, "margin made of car %d", i+1)
			}
		}
		least := j.singles.num("minimum_order", 0)
		assert.GreaterOrEqual(t, w.order("order_price"), least)
		if w.order("order_price") > least {
			steps := w.order("order_price") / step
			assert.InDelta(t, math.Round(steps), steps, 1e-6, "the price is no whole number of steps")
		}
	})
}

func TestPartsAddUp(t *testing.T) {
	t.Parallel()
	m := load(t, model.US)
	groups := map[string][]string{}
	for _, q := range m.OrderOf.Quantities {
		groups[q.Group] = append(groups[q.Group], q.Key)
	}
	require.Len(t, groups["money_goes"], 10)
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t, m, 8)
		w := workJob(t, m, j)
		w.priced(t, j)
		sum := func(keys []string) (x float64) {
			for _, k := range keys {
				x += w.order(k)
			}
			return x
		}
		assert.InDelta(t, w.order("order_price"), sum(groups["money_goes"]), 1e-3, "where the money goes")
		hours := []string{"hours_saw", "hours_fit", "hours_tacks", "hours_rigging", "hours_arc", "hours_tail", "hours_regrip", "hours_tending"}
		assert.InEpsilon(t, 1+w.order("hours_floor"), 1+sum(hours), 1e-12, "floor hours")
		assert.InEpsilon(t, 1+w.order("order_hours"), 1+sum(append(hours, "hours_else")), 1e-12, "where the hours go")
		for i := range w.lines {
			parts := w.line(i, "labour") + w.line(i, "argon_cost") + w.line(i, "filler_cost") + w.line(i, "tube_cost") + w.line(i, "sundries")
			assert.InDelta(t, w.line(i, "line_cost"), parts, 1e-6, "%s", j.show(i))
		}
	})
}

// ofTheRow are the figures that belong to all the joints of a row; they double
// with qty. Money is rounded to the cent in each of its five parts.
var ofTheRow = []string{
	"welds", "line_stops", "line_arc", "line_tail", "line_regrip", "line_tacks", "line_fit", "line_rigging", "line_tending", "fills",
	"saw_time", "bench_time", "weld_time", "paced_time", "floor_time", "torch_gas", "trail_gas", "hold_time", "purge_gas", "argon", "filler_length",
	"filler_mass", "tube_used", "tube_order", "rod_order",
}

func TestTwiceTheJointsIsTwiceTheRow(t *testing.T) {
	t.Parallel()
	m := load(t, model.US)
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t, m, 1)
		qty := rapid.IntRange(0, 40).Draw(t, "qty")
		j.lines[0]["qty"] = qty
		one := workJob(t, m, j)
		one.priced(t, j)
		j.lines[0]["qty"] = 2 * qty
		two := workJob(t, m, j)
		doubles := map[string]bool{}
		for _, k := range ofTheRow {
			doubles[k] = true
			assert.InDelta(t, 2*one.line(0, k), two.line(0, k), 1e-12*math.Abs(two.line(0, k)), k)
		}
		for _, q := range m.Line.Quantities {
			got, want := two.line(0, q.Key), one.line(0, q.Key)
			switch {
			case q.IsText() || q.Key == "qty" || doubles[q.Key] || q.Role == model.Check || formula.IsBlank(want):
			case q.Key == "line_cost":
				assert.InDelta(t, 2*want, got, 0.0751)
			case q.UnitOf == "$":
				assert.InDelta(t, 2*want, got, 0.0151, q.Key)
			case q.Group != "checks":
				assert.Equal(t, want, got, "%s is of one weld or joint", q.Key)
			}
		}
	})
}

// A learning slope of 100 % changes nothing: every car takes the same hours.
func TestNoLearning(t *testing.T) {
	t.Parallel()
	m := load(t, model.US)
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t, m, 3)
		j.singles["learning_slope"] = 1
		w := workJob(t, m, j)
		w.priced(t, j)
		for i := range j.tables["cars"] {
			assert.Equal(t, 1.0, w.car(i, "learning"))
		}
	})
}
