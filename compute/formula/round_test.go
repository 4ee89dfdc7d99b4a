package formula

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRounding(t *testing.T) {
	for _, c := range []struct {
		x              float64
		n              int
		near, up, down float64
	}{
		{2.5, 0, 3, 3, 2},
		{-2.5, 0, -3, -3, -2},
		{1.005, 2, 1.01, 1.01, 1}, // stored as 1.00499999999999989
		{2.675, 2, 2.68, 2.68, 2.67},
		{1.0049999999999999, 2, 1.01, 1.01, 1}, // 15 digits: 1.005
		{1.00499999999999, 2, 1, 1.01, 1},
		{0.1 + 0.2, 1, 0.3, 0.3, 0.3}, // 0.30000000000000004
		{123456789.995, 2, 123456790, 123456790, 123456789.99},
		{1234.5, -2, 1200, 1300, 1200},
		{-1250, -2, -1300, -1300, -1200},
		{5, -3, 0, 1000, 0},
		{0.4, 0, 0, 1, 0},
		{-0.4, 0, 0, -1, 0},
		{1e300, 2, 1e300, 1e300, 1e300},
		{3, 400, 3, 3, 3},
		{1.5, 400, 1.5, 1.5, 1.5},
		{1e-320, 2, 0, 0.01, 0},
		{0, 2, 0, 0, 0},
	} {
		assert.Equal(t, c.near, Round(c.x, c.n), "ROUND(%v,%d)", c.x, c.n)
		assert.Equal(t, c.up, RoundUp(c.x, c.n), "ROUNDUP(%v,%d)", c.x, c.n)
		assert.Equal(t, c.down, RoundDown(c.x, c.n), "ROUNDDOWN(%v,%d)", c.x, c.n)
	}
	assert.True(t, math.IsNaN(Round(math.NaN(), 2)))
	assert.True(t, math.IsNaN(RoundUp(math.Inf(1), 2)))
	assert.False(t, math.Signbit(Round(-0.4, 0)), "no minus zero")
	assert.False(t, math.Signbit(Round(math.Copysign(0, -1), 0)), "no minus zero")
}

// Wherever the fast way answers at all it must answer as decimals do. Half of
// the values sit on or within a few steps of a tie or of a whole number.
func TestFastRoundingAgreesWithDecimals(t *testing.T) {
	count := 2_000_000
	if testing.Short() {
		count = 100_000
	}
	r := rand.New(rand.NewPCG(1, 2))
	taken := 0
	for range count {
		n := r.IntN(13) - 3
		x := (r.Float64() - 0.5) * math.Pow(10, float64(r.IntN(12)))
		if r.IntN(2) == 0 {
			half := float64(r.IntN(2_000_000)-1_000_000) / 2
			x = half / math.Pow(10, float64(n))
			for range r.IntN(4) {
				x = math.Nextafter(x, math.Inf(1-2*r.IntN(2)))
			}
			x += float64(r.IntN(3)-1) * 1.01e-4 * math.Pow(10, float64(-n)) * float64(r.IntN(2))
		}
		for _, d := range []direction{nearest, away, toward} {
			fast, ok := roundFast(x, n, d)
			if !ok {
				continue
			}
			taken++
			if slow := roundDecimal(x, n, d); fast != slow {
				t.Fatalf("x %v, places %d, direction %d: fast %v, decimals %v", x, n, d, fast, slow)
			}
		}
	}
	require.Greater(t, taken, count, "the fast way hardly ever answers")
}
