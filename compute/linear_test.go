package compute

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A figure that is called a plain sum over the lines is one: what a line makes
// is the same whichever others are there. Of those that are not, some show it.
func TestLinearFiguresAddUp(t *testing.T) {
	var names []string
	probe := newClosing(t, "order_hours")
	for _, q := range probe.m.OrderOf.Quantities {
		if !q.IsText() {
			names = append(names, q.Key)
		}
	}
	c := newClosing(t, names...)
	rng := rand.New(rand.NewPCG(1, 2))
	line := func(car string) *Line {
		l := NewLine(c.m)
		l.Clear()
		l.SetText(c.m.Line.Quantity("car"), car)
		for key, x := range map[string]float64{"qty": float64(1 + rng.IntN(9)), "od": 3, "wall": 0.049, "tube": 7.3 * rng.Float64()} {
			l.Set(c.m.Line.Quantity(key), x)
		}
		return l
	}
	value := func() []float64 {
		c.closer.Close()
		return append([]float64{}, c.engine.Values.Order.Num...)
	}
	bent := map[string]bool{}
	for k := range 30 {
		car := []string{"Demo one", "Demo two"}[k%2]
		one, other := line(car), line([]string{"Demo one", "Demo two"}[k/2%2])
		v := map[[2]bool][]float64{}
		for _, with := range [][2]bool{{false, false}, {true, false}, {false, true}, {true, true}} {
			for i, l := range []*Line{one, other} {
				if !with[i] {
					l = nil
				}
				c.put(t, 2*i, l)
			}
			v[with] = value()
		}
		for _, q := range c.m.OrderOf.Quantities {
			if q.IsText() {
				continue
			}
			i := q.Slot
			off := v[[2]bool{true, true}][i] - v[[2]bool{true, false}][i] - v[[2]bool{false, true}][i] + v[[2]bool{false, false}][i]
			if c.m.Linear(q) {
				assert.InDelta(t, 0, off, 1e-9*(1+math.Abs(v[[2]bool{true, true}][i])), q.Key)
			} else if math.Abs(off) > 1e-6 {
				bent[q.Key] = true
			}
		}
		c.put(t, 4, line(car)) // so that the next are not the first
	}
	linear := map[string]bool{}
	for _, key := range names {
		linear[key] = c.m.Linear(c.m.OrderOf.Quantity(key))
	}
	for _, key := range []string{"order_hours", "order_argon", "order_welds", "order_tube", "days", "hours_fit", "torch_all"} {
		assert.True(t, linear[key], key)
	}
	for _, key := range []string{"order_price", "order_cost", "order_margin", "bottles", "money_tube"} {
		require.Contains(t, names, key)
		assert.False(t, linear[key], key)
	}
	for _, key := range []string{"order_price", "order_margin"} {
		assert.True(t, bent[key], key)
	}
}
