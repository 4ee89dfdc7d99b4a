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
	for _, c := range []struct{ bend, typed, each, nearer float64 }{
		{90, 6, 15, 2.5}, {45, 3, 15, 5}, {90, 4, 22.5, 2.5}, {180, 12, 15, 1.25}, {60, 5, 12, 2.4}, {15, 1, 15, 15}, // more likely so many pies
		{90, 15, 6, 0.4}, {90, 10, 9, 0.9}, {45, 9, 5, 5.0 / 9}, {30, 6, 5, 5.0 / 6}, // more likely an angle
		{90, 7.5, 0, 0}, {0, 6, 0, 0}, {90, 0, 0, 0}, // no number of pies
	} {
		line.Frame.Num[bend.Slot], line.Frame.Num[angle.Slot] = c.bend, c.typed
		each, nearer := angle.AsParts(&line.Frame, v.Singles)
		assert.InDelta(t, c.each, each, 1e-12, c)
		assert.InDelta(t, c.nearer, nearer, 1e-12, c)
	}
}
