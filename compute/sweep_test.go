package compute_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
)

// A sweep gives what a new engine gives, whichever assumptions are other, and
// keeps nothing of the values before.
func TestSweepIsANewEngine(t *testing.T) {
	for _, system := range []compute.System{compute.US, compute.Metric} {
		m := load(t, system)
		j := shopJob()
		w := workJob(t, m, j)
		var varied []*compute.Quantity
		for _, q := range numbers(m) {
			if !q.Decided && q.Low < q.High {
				varied = append(varied, q)
			}
		}
		require.Greater(t, len(varied), 20)
		wanted := []*compute.Quantity{m.OrderOf.Quantity("order_cost"), m.OrderOf.Quantity("order_hours"), m.OrderOf.Quantity("order_price")}
		s, err := compute.NewSweep(w.v, append(w.lines, w.lines...), varied, wanted)
		require.NoError(t, err)
		assert.Equal(t, len(w.lines), s.Distinct(), "every joint is there twice")
		rng := rand.New(rand.NewPCG(1, 2))
		for range 20 {
			values := make([]float64, len(varied))
			v := w.v.Clone()
			for i, q := range varied {
				values[i] = q.Low + rng.Float64()*(q.High-q.Low)
				v.Singles.Num[q.Slot] = values[i]
				for _, col := range q.Spreads {
					for _, f := range v.Rows(col.Scope).Frames {
						f.Num[col.Slot] *= values[i]
					}
				}
			}
			e, err := compute.NewEngine(v)
			require.NoError(t, err)
			for _, l := range append(w.lines, w.lines...) {
				_, err := e.Work(l.Clone(), 0)
				require.NoError(t, err)
			}
			_, err = e.Close()
			require.NoError(t, err)
			got := s.At(values)
			for i, q := range wanted {
				assert.InEpsilon(t, q.Num(v.Order), got[i], 1e-12, q.Key)
			}
		}
	}
}
