package chance_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/chance"
)

func drawn(t *testing.T, d chance.Draws, trials int) [][]float64 {
	t.Helper()
	require.NoError(t, d.Check())
	out := make([][]float64, len(d.Of))
	row := make([]float64, len(d.Of))
	for no := range trials {
		d.Trial(no, row)
		for i, x := range row {
			out[i] = append(out[i], x)
		}
	}
	return out
}

func moments(x []float64) (mean, variance float64) {
	for _, v := range x {
		mean += v
	}
	mean /= float64(len(x))
	for _, v := range x {
		variance += (v - mean) * (v - mean)
	}
	return mean, variance / float64(len(x)-1)
}

// The sum of triangular amounts has the sum of their means and variances: the
// closed forms of the distribution.
func TestSumsOfTriangles(t *testing.T) {
	const n = 40_000
	d := chance.Draws{
		Of:       []chance.Triangle{{1, 2, 6}, {0, 0, 1}, {-3, 4, 4}, {10, 10, 10}, {2, 3, 4}},
		Together: make([]bool, 5), Seed: 7,
	}
	all := drawn(t, d, n)
	sum := make([]float64, n)
	mean, variance := 0.0, 0.0
	for i, tr := range d.Of {
		mean, variance = mean+tr.Mean(), variance+tr.Variance()
		m, v := moments(all[i])
		assert.InDelta(t, tr.Mean(), m, 4*math.Sqrt(tr.Variance()/n)+1e-12)
		assert.InDelta(t, tr.Variance(), v, 0.05*tr.Variance()+1e-12)
		for k, x := range all[i] {
			sum[k] += x
			assert.True(t, x >= tr.Low && x <= tr.High)
		}
	}
	m, v := moments(sum)
	assert.InDelta(t, mean, m, 4*math.Sqrt(variance/n))
	assert.InDelta(t, variance, v, 0.05*variance)
}

// A symmetric triangle is the sum of two even draws (Irwin-Hall of two), so that
// half of two of them lies at 2 and the shares of Irwin-Hall of four hold: P(sum
// of four even draws <= 1) = 1/24, <= 2 = 1/2.
func TestIrwinHallOfFour(t *testing.T) {
	const n = 60_000
	d := chance.Draws{Of: []chance.Triangle{{0, 1, 2}, {0, 1, 2}}, Together: []bool{false, false}, Seed: 3}
	all := drawn(t, d, n)
	sum := make([]float64, n)
	for k := range sum {
		sum[k] = all[0][k] + all[1][k]
	}
	s := chance.Sort(sum)
	for x, share := range map[float64]float64{1: 1. / 24, 2: 0.5, 3: 23. / 24} {
		assert.InDelta(t, share, 1-s.Over(x), 4*math.Sqrt(share*(1-share)/n), "%g", x)
	}
	assert.InDelta(t, 2, s.At(0.5), 4*s.Error(0.5))
}

// ranks are the places of amounts among each other.
func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if x[a] < x[b] {
			return -1
		}
		return 1
	})
	out := make([]float64, len(x))
	for r, i := range order {
		out[i] = float64(r)
	}
	return out
}

// Spearman's rank correlation, worked out from the ranks, is that which was
// asked for; amounts that do not go together have none.
func TestRankCorrelation(t *testing.T) {
	const n = 20_000
	for _, r := range []float64{0, 0.3, 0.5, 0.9} {
		d := chance.Draws{
			Of:       []chance.Triangle{{0, 1, 5}, {10, 11, 30}, {1, 2, 3}},
			Together: []bool{true, true, false}, Correlation: r, Seed: 11,
		}
		all := drawn(t, d, n)
		pair := func(a, b []float64) float64 {
			x, y := ranks(a), ranks(b)
			mean, d2 := float64(n-1)/2, 0.0
			top := 0.0
			for i := range x {
				top += (x[i] - mean) * (y[i] - mean)
				d2 += (x[i] - mean) * (x[i] - mean)
			}
			return top / d2
		}
		assert.InDelta(t, r, pair(all[0], all[1]), 0.03)
		assert.InDelta(t, 0, pair(all[0], all[2]), 0.03)
		for i, tr := range d.Of {
			m, _ := moments(all[i])
			assert.InDelta(t, tr.Mean(), m, 5*math.Sqrt(tr.Variance()/n), "each is spread as it would be alone")
		}
	}
}

// The error of a percentile falls with the root of the number of trials, and is
// as large as the percentile really strays.
func TestErrorOfPercentiles(t *testing.T) {
	of := func(seed uint64, n int) chance.Sorted {
		d := chance.Draws{Of: []chance.Triangle{{0, 2, 10}}, Together: []bool{false}, Seed: seed}
		return chance.Sort(drawn(t, d, n)[0])
	}
	few, many := of(1, 1_000), of(1, 16_000)
	assert.InDelta(t, 4, few.Error(0.8)/many.Error(0.8), 1.5)
	var p80 []float64
	for seed := range uint64(60) {
		p80 = append(p80, of(seed, 1_000).At(0.8))
	}
	_, variance := moments(p80)
	assert.InDelta(t, math.Sqrt(variance), few.Error(0.8), 0.5*math.Sqrt(variance))
	exact := chance.Triangle{Low: 0, Mode: 2, High: 10}.At(0.8) // 10 - sqrt(0.2*10*8)
	assert.InDelta(t, 6, exact, 1e-12)
	assert.InDelta(t, exact, many.At(0.8), 4*many.Error(0.8))
}

func TestDrawsThatCannotBe(t *testing.T) {
	for _, d := range []chance.Draws{
		{Of: []chance.Triangle{{2, 1, 3}}, Together: []bool{false}},
		{Of: []chance.Triangle{{1, 2, math.NaN()}}, Together: []bool{false}},
		{Of: []chance.Triangle{{1, 2, 3}}},
		{Of: []chance.Triangle{{1, 2, 3}}, Together: []bool{true}, Correlation: 1},
	} {
		assert.Error(t, d.Check())
	}
	assert.True(t, math.IsNaN(chance.Sorted(nil).At(0.5)))
}

// Of no trials nothing can be said.
func TestNoTrials(t *testing.T) {
	none := chance.Sort(nil)
	for what, x := range map[string]float64{"percentile": none.At(0.5), "its error": none.Error(0.5), "share": none.Over(1)} {
		assert.True(t, math.IsNaN(x), what)
	}
}
