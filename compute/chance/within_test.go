package chance_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/compute/chance"
)

// The range that a triangle is made about has the share that was asked for outside of
// it at each end, by the triangle's own inverse.
func TestAround(t *testing.T) {
	for _, c := range [][3]float64{{0.9, 1, 1.1}, {0.95, 1, 1.3}, {0.7, 1, 1.02}, {1, 1, 1.2}, {0.8, 1, 1}, {1.1, 1, 1.2}, {2, 2, 2}} {
		x := chance.Around(c[0], c[1], c[2], 0.1)
		assert.True(t, x.Sound(), "%v %v", c, x)
		assert.Equal(t, c[1], x.Mode)
		assert.InDelta(t, min(c[0], c[1]), x.At(0.1), 1e-9, "%v", c)
		assert.InDelta(t, max(c[1], c[2]), x.At(0.9), 1e-9, "%v", c)
	}
	assert.InDelta(t, 1-0.1/(1-0.4472135955), chance.Around(0.9, 1, 1.1, 0.1).Low, 1e-9, "of an even one by hand: low is width/2*(1-root of 2*share) below")
}
