package recalculated_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/audit"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/templates"
)

// Whatever is typed over a number that looks things up, the program stores what
// the formulas come to, calls the order complete only where they do, and audits
// it; LibreOffice is the referee.
func TestNumbersThatLookUp(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	m, err := compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	clean, _ := shop.Price(t, shop.TwoButts(t))
	g := sheetstest.Read(t, clean)
	numbers := []float64{1.5, 0, -1, 99, 3e6, 1e300}
	var paths, what []string
	turn := 0 // each number over some of them, and over each in CI
	for _, q := range m.Line.Quantities {
		if m.LookUps()[q] == nil {
			continue
		}
		turn++
		for _, x := range shop.Some(slices.Concat(numbers[turn%len(numbers):], numbers[:turn%len(numbers)]), len(numbers)) {
			in := shop.TypeIn(t, clean, shop.At("Joints", fmt.Sprint(shop.OurColumn(t, g, "Joints", q.Key), 2), x))
			out, rep := shop.Price(t, in)
			if q.Key == "car_no" {
				assert.False(t, rep.Complete, "%s %g", q.Key, x)
			}
			_, err := audit.Workbook(t.Context(), audit.Options{In: in})
			assert.NoError(t, err, "%s %g", q.Key, x)
			paths, what = append(paths, out), append(what, fmt.Sprintf("%s %g", q.Key, x))
		}
	}
	require.GreaterOrEqual(t, len(paths), 6*len(shop.Some(numbers, len(numbers))))
	for i, now := range sheetstest.RecalculateAll(t, paths...) {
		t.Run(what[i], func(t *testing.T) {
			assert.Greater(t, sheetstest.Compare(t, sheetstest.Read(t, paths[i]), now, 1e-9), 800)
		})
	}
}
