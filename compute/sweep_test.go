package compute_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// swept is an order and what is tried with it.
type swept struct {
	*worked
	varied, wanted []*model.Quantity
	sweep          *compute.Sweep
}

// sweepOf makes a sweep of an order by all assumptions that Range may draw, with
// every joint there twice.
func sweepOf(t *testing.T, m *model.Model, j job) *swept {
	s := &swept{worked: workJob(t, m, j)}
	s.priced(t, j)
	for _, q := range numbers(m) {
		if !q.Decided && q.Low < q.High {
			s.varied = append(s.varied, q)
		}
	}
	require.Greater(t, len(s.varied), 20)
	for _, key := range []string{"order_cost", "order_hours", "order_argon", "order_filler", "order_tube"} {
		s.wanted = append(s.wanted, m.OrderOf.Quantity(key))
	}
	s.lines = append(s.lines, s.lines...)
	var err error
	s.sweep, err = compute.NewSweep(s.v, s.lines, s.varied, s.wanted)
	require.NoError(t, err)
	return s
}

// draw puts every assumption somewhere in its range.
func (s *swept) draw(rng *rand.Rand) []float64 {
	values := make([]float64, len(s.varied))
	for i, q := range s.varied {
		values[i] = q.Low + rng.Float64()*(q.High-q.Low)
	}
	return values
}

// anew works the order out by a new engine.
func (s *swept) anew(t *testing.T, values []float64) []float64 {
	v := s.v.Clone()
	for i, q := range s.varied {
		v.Singles.Num[q.Slot] = values[i]
		for _, col := range q.Spreads {
			for _, f := range v.Rows(col.Scope).Frames {
				f.Num[col.Slot] *= values[i]
			}
		}
	}
	e, err := compute.NewEngine(v)
	require.NoError(t, err)
	for _, l := range s.lines {
		out, err := e.Work(l.Clone(), 0)
		require.NoError(t, err)
		require.False(t, out.Refused)
	}
	_, err = e.Close()
	require.NoError(t, err)
	var out []float64
	for _, q := range s.wanted {
		out = append(out, q.Num(v.Order))
	}
	return out
}

// sweptJobs are the shop's order, one with numbers typed over, and some with rows of
// every kind and factors of the shop's own.
func sweptJobs(m *model.Model) []job {
	over := shopJob()
	over.lines[1]["tacks"], over.lines[2]["arc_time"], over.lines[3]["labour"] = 7, 4.5, 31.25
	out := []job{shopJob(), over}
	d := dice(rand.New(rand.NewPCG(5, 5)).IntN)
	for range 12 {
		out = append(out, randomJob(m, d, 1+d(20)))
	}
	return out
}

// unrounded are the model's texts without any cents.
func unrounded(t *testing.T) fstest.MapFS {
	files := copyOf(t, "line.txt", "", "")
	for name, roundings := range map[string]int{"line.txt": 5, "order.txt": 18} {
		lines, found := strings.Split(string(files[name].Data), "\n"), 0
		for i, l := range lines {
			if strings.HasPrefix(l, "=") && strings.Contains(l, ", 2)") {
				found += strings.Count(l, "ROUND(")
				lines[i] = strings.NewReplacer("ROUND(", "(", ", 2)", ")").Replace(l)
			}
		}
		require.Equal(t, roundings, found, "%s rounds otherwise now", name)
		files[name] = &fstest.MapFile{Data: []byte(strings.Join(lines, "\n"))}
	}
	return files
}

// A sweep gives what a new engine gives, whichever assumptions are other, and
// keeps nothing of the values before. A twin gives the same.
func TestSweepIsANewEngine(t *testing.T) {
	files := unrounded(t)
	for _, system := range []model.System{model.US, model.Metric} {
		m, err := compute.Load(files, system)
		require.NoError(t, err)
		for n, j := range sweptJobs(m) {
			s := sweepOf(t, m, j)
			assert.True(t, s.sweep.Apart(), "order %d is worked out line by line", n)
			assert.LessOrEqual(t, s.sweep.Distinct(), len(s.lines)/2, "every joint is there twice")
			twin, err := s.sweep.Twin()
			require.NoError(t, err)
			rng := rand.New(rand.NewPCG(1, uint64(n)))
			for range 20 {
				values := s.draw(rng)
				want, got := s.anew(t, values), append([]float64{}, s.sweep.At(values)...)
				assert.Equal(t, got, twin.At(values))
				for i, q := range s.wanted {
					assert.InDelta(t, want[i], got[i], 1e-9*math.Abs(want[i]), "order %d: %s", n, q.Key)
				}
			}
		}
	}
}

// With cents, a sweep differs from a new engine by those of the lines alone: a line has
// five amounts that are rounded, each by half a cent as drawn and half a cent as priced
// at most. They are as often up as down: over many lines less than half a cent for each
// line and car is left, over a few less than one. Where nothing is drawn they are the
// same.
func TestSweepAndCents(t *testing.T) {
	m := load(t, model.US)
	most := 0.0
	long := randomJob(m, dice(rand.New(rand.NewPCG(6, 6)).IntN), 200)
	for n, j := range append(sweptJobs(m), long) {
		s := sweepOf(t, m, j)
		bound := 0.01
		if len(j.lines) > 100 {
			bound = 0.002
		}
		var priced []float64
		for _, q := range s.varied {
			x := q.Num(s.v.Singles)
			if len(q.Spreads) > 0 {
				x = 1
			}
			priced = append(priced, x)
		}
		want := s.anew(t, priced)
		for i, x := range s.sweep.At(priced) {
			near(t, want[i], x, 1e-12, "order %d: %s", n, s.wanted[i].Key)
		}
		rng := rand.New(rand.NewPCG(2, uint64(n)))
		for range 20 {
			values := s.draw(rng)
			want, got := s.anew(t, values), s.sweep.At(values)
			off := math.Abs(want[0]-got[0]) / float64(len(s.lines)) / s.order("order_cars")
			most = max(most, off)
			t.Logf("order %d of %d lines: %.3f cents a line and car", n, len(j.lines), 100*off)
			assert.Less(t, off, bound, "order %d of %d lines", n, len(j.lines))
			for i, q := range s.wanted[1:] {
				near(t, want[i+1], got[i+1], 1e-9, "order %d: %s", n, q.Key)
			}
		}
	}
	assert.Positive(t, most, "nothing was rounded")
}

// near demands that two amounts are equal but for a share, or both 0.
func near(t *testing.T, want, got, share float64, says ...any) {
	t.Helper()
	if want == 0 {
		assert.Zero(t, got, says...)
		return
	}
	assert.InEpsilon(t, want, got, share, says...)
}

// Where lines cannot be taken apart, they are worked out one by one.
func TestSweepLineByLine(t *testing.T) {
	m, err := compute.Load(copyOf(t, "line.txt", "= MAX(tacks_least, whole_up(seam/tack_pitch))", "= MAX(tacks_least, band(walls.to, tack_pitch))"), model.US)
	require.NoError(t, err)
	for n, j := range sweptJobs(m)[:4] {
		s := sweepOf(t, m, j)
		assert.False(t, s.sweep.Apart())
		twin, err := s.sweep.Twin()
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(3, uint64(n)))
		for range 5 {
			values := s.draw(rng)
			want, got := s.anew(t, values), append([]float64{}, s.sweep.At(values)...)
			assert.Equal(t, got, twin.At(values))
			for i, q := range s.wanted {
				near(t, want[i], got[i], 1e-12, "order %d: %s", n, q.Key)
			}
		}
	}
}
