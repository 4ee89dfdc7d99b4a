package compute_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/templates"
)

// A pie angle may be a number of pies where that many would be much nearer to the shop's
// usual angle, 15 degrees as shipped, than the number itself (worked out by hand).
func TestPieAngleThatMayCount(t *testing.T) {
	m, err := compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	v := compute.Defaults(m)
	angle, bend := m.Line.Quantity("pie_angle"), m.Line.Quantity("bend")
	line := compute.NewLine(m)
	for _, c := range []struct {
		bend, typed, each float64
		may               bool
	}{
		{90, 6, 15, true}, {45, 3, 15, true}, {90, 4, 22.5, true}, {180, 12, 15, true}, {90, 8, 11.25, true}, {15, 1, 15, true},
		{90, 15, 6, false}, {90, 10, 9, false}, {45, 9, 5, false}, {90, 7.5, 12, false}, {0, 6, 0, false}, {90, 0, 0, false}, {90, 9, 10, false}, {30, 6, 5, false},
	} {
		line.Frame.Num[bend.Slot] = c.bend
		line.Frame.Num[angle.Slot] = c.typed
		each, may := angle.MayCount(&line.Frame, v.Singles)
		assert.Equal(t, c.may, may, c)
		if may {
			assert.Equal(t, c.each, each, c)
		}
	}
	_, may := bend.MayCount(&line.Frame, v.Singles)
	assert.False(t, may, "no number of parts")
}
