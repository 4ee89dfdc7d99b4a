package nest

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

func order(stick float64, lengthThenCount ...float64) Task {
	task := Task{Stick: stick}
	for i := 0; i < len(lengthThenCount); i += 2 {
		task.Pieces = append(task.Pieces, Piece{lengthThenCount[i], int(lengthThenCount[i+1]), i / 2})
	}
	return task
}

// Examples of the literature, all typed from memory.
func TestPublished(t *testing.T) {
	for _, c := range []struct {
		source string
		task   Task
		sticks int
		value  float64 // of the relaxation; 0 where not stated there
	}{
		{"V. Chvátal, Linear Programming, 1983, chapter 13: the relaxation is 452 1/4",
			order(100, 45, 97, 36, 610, 31, 395, 14, 211), 453, 452.25},
		{"the paper machine of 13 widths in many introductions to the problem: 73 rolls of 5600 mm, 0.401 % of waste",
			order(5600, 1380, 22, 1520, 25, 1560, 12, 1710, 14, 1820, 18, 1880, 18, 1930, 20,
				2000, 10, 2050, 12, 2100, 14, 2140, 16, 2150, 18, 2200, 20), 73, 0},
		{"Martello and Toth, Knapsack Problems, 1990, chapter 8: L1 = 3, L2 = 4",
			order(100, 70, 1, 60, 1, 50, 1, 33, 3, 11, 1, 7, 1, 3, 1), 4, 0},
		{"a set without the rounding property, in Scheithauer, Terno and others, 1990s: two would do by the relaxation that " +
			"Gilmore and Gomory state, three are needed",
			order(132, 44, 2, 33, 3, 12, 6), 3, 0},
		{"Johnson and others, 1974, kind of set on which first fit decreasing takes 11 sticks for 9",
			order(100, 51, 6, 27, 6, 26, 6, 23, 12), 9, 9},
	} {
		p := solved(t, c.task)
		assert.Equal(t, c.sticks, p.Sticks, c.source)
		assert.True(t, p.Bounds.Fewest, c.source)
		if c.value > 0 {
			assert.InDelta(t, c.value, p.Bounds.RelaxedValue, 1e-4, c.source)
		}
		t.Logf("%d sticks, %+v: %s", p.Sticks, p.Bounds, c.source)
	}
	p := solved(t, order(100, 70, 1, 60, 1, 50, 1, 33, 3, 11, 1, 7, 1, 3, 1))
	assert.Equal(t, 3, p.Bounds.Length)
	assert.Equal(t, 4, p.Bounds.Halves)
	s := newShop(order(100, 51, 6, 27, 6, 26, 6, 23, 12)).set
	assert.Equal(t, 11, count(s.descending(false)), "it is that kind of set")
	p = solved(t, order(5600, 1380, 22, 1520, 25, 1560, 12, 1710, 14, 1820, 18, 1880, 18, 1930, 20,
		2000, 10, 2050, 12, 2100, 14, 2140, 16, 2150, 18, 2200, 20))
	assert.InDelta(t, 0.00401, 1-p.Used/p.Bought, 0.000005)
}

// The relaxation against gonum's simplex method on all patterns written out.
// Its method can go in circles where several patterns tie; so the counts wanted
// are a little more there, each by another bit, and the orders are always the
// same ones. A bit more of everything costs at most that many sticks more.
func TestRelaxationAgainstGonum(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and nothing in it runs side by side")
	}
	const bit = 1e-5
	r := rand.New(rand.NewPCG(21, 22))
	compared := 0
	for range 300 {
		task, _, _, _ := few(r, 1+r.IntN(5))
		for i := range task.Pieces {
			task.Pieces[i].Count = 1 + r.IntN(12)
		}
		s := newShop(task).set
		patterns := s.patterns()
		if len(patterns) > 500 {
			continue
		}
		m, n := len(s.size), len(patterns)
		a := mat.NewDense(m, n+m, nil)
		c, b := make([]float64, n+m), make([]float64, m)
		slack := 0.
		for j, hold := range patterns {
			c[j] = 1
			for i, k := range hold {
				a.Set(i, j, float64(k))
			}
		}
		for i := range m {
			a.Set(i, n+i, -1)
			more := bit * (1 + r.Float64())
			b[i] = float64(s.want[i]) + more
			slack += more
		}
		want, _, err := lp.Simplex(c, a, b, 1e-10, nil)
		require.NoError(t, err)
		compared++
		work := allWork
		got := s.relax(&pool{}, &work, false)
		sum := 0.
		for _, u := range got.used {
			sum += u.times
		}
		require.LessOrEqual(t, sum, want+1e-7)
		require.GreaterOrEqual(t, sum, want-slack-1e-7)
		least, _ := got.least.Float64()
		require.LessOrEqual(t, least, sum+1e-7, "a bound must not be over the optimum")
		require.GreaterOrEqual(t, roundUp(got.least), int(math.Ceil(sum-1e-4)))
	}
	t.Logf("%d compared", compared)
	require.Greater(t, compared, 200)
}

// patterns are all that a stick can hold of what is wanted, but for nothing.
func (s set) patterns() [][]int {
	var out [][]int
	var all func(i int, hold []int, gap int64)
	all = func(i int, hold []int, gap int64) {
		if i == len(s.size) {
			if pieces(hold) > 0 {
				out = append(out, slices.Clone(hold))
			}
			return
		}
		for n := 0; n <= s.want[i] && int64(n)*s.size[i] <= gap; n++ {
			hold[i] = n
			all(i+1, hold, gap-int64(n)*s.size[i])
		}
		hold[i] = 0
	}
	all(0, make([]int, len(s.size)), s.room)
	return out
}
