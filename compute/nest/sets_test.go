package nest

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawn is a made-up order: that many pieces of that many lengths.
func drawn(r *rand.Rand, pieces, lengths int, short, long float64, inches bool) Task {
	t := Task{Stick: 240, Kerf: 0.06, Facing: 0.5, Keep: 12}
	at := map[int]int{}
	for range pieces {
		at[r.IntN(lengths)]++
	}
	for i := range lengths {
		l := t.Stick * (short + (long-short)*r.Float64())
		if inches {
			l = float64(int(l*16)) / 16
		}
		l = math.Round(l*1e4) / 1e4
		t.Pieces = append(t.Pieces, Piece{Length: l, Count: at[i], Label: i})
	}
	return t
}

// How often the relaxation's bound is met, over few long pieces and many short
// ones, few lengths and many, odd lengths and sixteenths.
func TestSharesOfTheBound(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and nothing in it runs side by side")
	}
	r := rand.New(rand.NewPCG(1, 2))
	spans := [][2]float64{{0.005, 0.9}, {0.01, 0.1}, {0.02, 0.7}, {0.05, 0.35}, {0.1, 0.5}, {0.2, 0.5}, {0.25, 0.5}}
	var sets, equal, one, proven int
	for _, span := range spans {
		for _, n := range []int{10, 14, 30, 60, 120, 250, 600, 2000} {
			for _, lengths := range []int{3, 10, 25, 60} {
				if lengths > n {
					continue
				}
				for k := range 2 {
					task := drawn(r, n, lengths, span[0], span[1], k == 0)
					p := solved(t, task)
					sets++
					switch p.Sticks - p.Bounds.Best() {
					case 0:
						equal++
					case 1:
						one++
						t.Logf("one over: %d pieces, %d lengths, %v of the stick: %d sticks, %+v", n, lengths, span, p.Sticks, p.Bounds)
					default:
						t.Errorf("%d pieces, %d lengths, %v of the stick: %d sticks, %+v", n, lengths, span, p.Sticks, p.Bounds)
					}
					if p.Bounds.Fewest {
						proven++
					}
				}
			}
		}
	}
	t.Logf("%d sets: %d at the bound (%.1f %%), %d one over, %d proven to be the fewest",
		sets, equal, 100*float64(equal)/float64(sets), one, proven)
	assert.GreaterOrEqual(t, equal*100, sets*95)
}

// Beyond what is tried in full: no stick more, sometimes one fewer, else a drop
// that is mostly longer and never shorter.
func TestGather(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and nothing in it runs side by side")
	}
	r := rand.New(rand.NewPCG(3, 4))
	const sets = 30
	longer := 0
	for range sets {
		task := drawn(r, 600, 12, 0.05, 0.4, true)
		s := newShop(task).set
		widest := func(loads []load) (gap int64) {
			for _, l := range loads {
				gap = max(gap, s.gap(l.hold))
			}
			return gap
		}
		before := s.descending(false)
		after := s.gather(before)
		require.Greater(t, count(before), spareSticks)
		require.LessOrEqual(t, count(after), count(before))
		if count(after) == count(before) {
			require.GreaterOrEqual(t, widest(after), widest(before))
		}
		if count(after) < count(before) || widest(after) > widest(before) {
			longer++
		}
		got := make([]int, len(s.want))
		for _, l := range after {
			take(got, l.hold, -l.times)
		}
		require.Equal(t, s.want, got)
	}
	t.Logf("a longer drop, or a stick saved, in %d of %d", longer, sets)
	assert.Greater(t, longer, sets/2)
}

// Far more lengths than an order has: the plan is near the bound, and does not
// claim what was not proven.
func TestManyLengths(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and nothing in it runs side by side")
	}
	r := rand.New(rand.NewPCG(7, 8))
	p := solved(t, drawn(r, 2000, 300, 0.1, 0.5, false))
	t.Logf("%d sticks, %+v", p.Sticks, p.Bounds)
	assert.LessOrEqual(t, p.Sticks*100, p.Bounds.Best()*103)
	if p.Sticks > p.Bounds.Best() {
		assert.False(t, p.Bounds.Fewest, "2,000 pieces were not laid in every way")
	}
}

// Triples that fill a stick exactly, 249 to 501 thousandths each, the kind of
// set that E. Falkenauer (A hybrid grouping genetic algorithm for bin packing,
// J. Heuristics 2, 1996; from memory) made to be hard. The fewest sticks are a
// third of the pieces, with nothing left over.
func TestTriples(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and nothing in it runs side by side")
	}
	r := rand.New(rand.NewPCG(5, 6))
	sets, equal := 0, 0
	for _, triples := range []int{10, 20, 40, 83} {
		for range 5 {
			task := Task{Stick: 1000}
			for range triples {
				a := 380 + r.IntN(111)
				b := 250 + r.IntN((1000-a)/2-250+1)
				for _, l := range []int{a, b, 1000 - a - b} {
					task.Pieces = append(task.Pieces, Piece{float64(l), 1, len(task.Pieces)})
				}
			}
			p := solved(t, task)
			require.LessOrEqual(t, p.Sticks, triples+1)
			if sets++; p.Sticks == triples {
				equal++
			}
		}
	}
	t.Logf("%d of %d without any waste", equal, sets)
	assert.GreaterOrEqual(t, equal*10, sets*9)
}
