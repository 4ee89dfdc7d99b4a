package compute_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// keptOrder is a job's order, its joints kept on two lists.
func keptOrder(t *testing.T, m *model.Model, j job) *compute.Order {
	w := workJob(t, m, j)
	o := &compute.Order{Model: m, Values: w.v.Clone()}
	require.NoError(t, o.Open(true))
	for i, was := range w.lines {
		l := was.Clone()
		out, err := o.Work(l, i%2)
		require.NoError(t, err)
		if !out.Refused {
			o.Keep(compute.Joint{List: i % 2, Sheet: "Demo", Row: i + 2, Line: l})
		}
	}
	_, err := o.Finish(2)
	require.NoError(t, err)
	return o
}

// Scenes give what working the order out anew gives, to the last bit, whether joint
// lines are left as they are, or in part, or have to be worked out. They keep nothing of
// a scene before.
func TestScenesAreTheOrderAnew(t *testing.T) {
	t.Parallel()
	m := load(t, model.US)
	single, cars := m.Singles.Quantity, m.Table("cars").Quantity
	changes := []struct {
		q     *model.Quantity
		keeps bool // lines keep what does not move
	}{
		{cars("ordered"), true},                                                      // what lines take of tube and rod
		{single("learning_slope"), true}, {m.Table("stock").Quantity("stick"), true}, // nothing of lines
		{single("shop_rate"), true}, {single("gas_factor"), true},
		{single("default_qty"), false}, {m.Table("stock").Quantity("od"), false}, {m.Table("walls").Quantity("to"), false},
	}
	for _, c := range changes {
		for n, j := range sweptJobs(m) {
			o := keptOrder(t, m, j)
			scenes, err := o.Scenes(c.q)
			require.NoError(t, err)
			assert.Equal(t, c.keeps, scenes.Keeps(), c.q.ID())
			rng := rand.New(rand.NewPCG(3, uint64(n)))
			for range 2 {
				x, which := float64(1+rng.IntN(9)), rng.Int()
				set := func(v *compute.Values) {
					f := v.Singles
					if c.q.Scope != m.Singles {
						frames := v.Rows(c.q.Scope).Frames
						f = frames[which%len(frames)]
					}
					f.Num[c.q.Slot] = x
				}
				got, err := scenes.With(set)
				require.NoError(t, err)
				want := o.Values.Clone()
				set(want)
				_, err = o.Again(want, nil)
				require.NoError(t, err)
				sameWorked(t, m, want, got, c.q.ID())
			}
		}
	}
}

// sameWorked compares all that was worked out outside the lines.
func sameWorked(t *testing.T, m *model.Model, want, got *compute.Values, name string) {
	t.Helper()
	frames := func(v *compute.Values, s *model.Scope) []*formula.Frame {
		if s.Once() {
			return []*formula.Frame{v.Once(s)}
		}
		return v.Rows(s).Frames
	}
	for _, s := range append(append([]*model.Scope{m.Singles}, m.Tables...), append(m.Summary, m.OrderOf)...) {
		a, b := frames(want, s), frames(got, s)
		require.Len(t, b, len(a), "%s: %s", name, s.Name)
		for i := range a {
			for _, q := range s.Quantities {
				assert.Equal(t, math.Float64bits(q.Num(a[i])), math.Float64bits(q.Num(b[i])), "%s: %s, row %d: %g, %g", name, q.ID(), i+1, q.Num(a[i]), q.Num(b[i]))
				assert.Equal(t, q.Text(a[i]), q.Text(b[i]), "%s: %s", name, q.ID())
			}
		}
	}
	for _, k := range m.LineSums {
		for no := range 40 {
			assert.Equal(t, want.LineSum(k.Figure, k.By, no), got.LineSum(k.Figure, k.By, no), "%s: %s %d", name, k.Figure.ID(), no)
		}
	}
}

// What is no number of the shop's cannot be other in a scene.
func TestScenesRefuse(t *testing.T) {
	m := load(t, model.US)
	o := keptOrder(t, m, shopJob())
	_, err := o.Scenes(m.OrderOf.Quantity("order_cost"))
	assert.ErrorContains(t, err, "no number that the shop has set")
}
