package calibrate

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute/logged"
	"seamtally/compute/model"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/timesheet"
)

// A quote, its time sheet filled in by an invented shop that takes half as long again
// at the saw, a fifth less at the bench and a tenth more to weld; and back into the
// quote. The same sheet twice is counted once.
func TestFromTheFloorBackIntoTheQuote(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	g := sheetstest.Read(t, base)
	base, _ = shop.Price(t, shop.TypeIn(t, base, shop.At("Assumptions", fmt.Sprint("C", shop.TableRow(t, g, "Demo car one")), 8)))
	floor := filepath.Join(t.TempDir(), "floor.xlsx")
	_, err := timesheet.Make(context.Background(), timesheet.Options{In: base, Out: floor, Draft: true})
	require.NoError(t, err)
	made := sheetstest.Read(t, floor)
	var cells []shop.Cell
	for row := 8; row < 16; row++ {
		require.Equal(t, "Demo car one", made["Time sheet"][fmt.Sprint("A", row)].Text)
		scatter := 1 + 0.05*float64(row%3-1)
		for i, times := range []float64{1.5, 0.8, 1.1} {
			estimate := made["Estimate"][[]string{"C14", "D14", "E14"}[i]].Num
			cells = append(cells, shop.At("Time sheet", fmt.Sprint([]string{"E", "F", "G"}[i], row), estimate*times*scatter))
		}
		cells = append(cells, shop.At("Time sheet", fmt.Sprint("N", row), "yes"))
	}
	filled := shop.TypeIn(t, floor, cells...)
	out := filepath.Join(t.TempDir(), "own.xlsx")
	r, err := Run(context.Background(), Options{Sheets: []string{filled, filled}, Into: base, Out: out, Date: "2026-01-15"})
	require.NoError(t, err)
	assert.Equal(t, 8, r.Cars)
	require.Len(t, r.Findings, 1)
	assert.Contains(t, r.Findings[0].What, "given twice")
	after := sheetstest.Read(t, out)
	for i, name := range model.StageFactors() {
		f := r.Factor(name)
		require.NotNil(t, f)
		assert.Equal(t, logged.Write, f.Verdict)
		assert.InEpsilon(t, []float64{1.5, 0.8, 1.1}[i], after["Assumptions"][fmt.Sprint("C", shop.Assumption(t, after, name))].Num, 0.03)
	}
	_, err = Run(context.Background(), Options{Sheets: []string{floor}, Date: "2026-01-15"})
	assert.ErrorIs(t, err, logged.ErrNothing, "nothing is filled in")
}

// Minutes beside joints are of one car; where several are ordered, that is told.
func TestMinutesBesideJointsOfSeveralCars(t *testing.T) {
	base, _ := shop.Price(t, shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), func(f *excelize.File) {
		for i, x := range []any{"Actual min", 40., 45.} {
			require.NoError(t, f.SetCellValue("Joints", fmt.Sprint("K", i+1), x))
		}
	}))
	r, err := Run(context.Background(), Options{Sheets: []string{base}, Date: "2026-01-15"})
	require.NoError(t, err)
	assert.Empty(t, r.Findings)
	row := shop.TableRow(t, sheetstest.Read(t, base), "Demo car one")
	five := shop.TypeIn(t, base, shop.At("Assumptions", fmt.Sprint("C", row), 5))
	r, err = Run(context.Background(), Options{Sheets: []string{five}, Date: "2026-01-15"})
	require.NoError(t, err)
	require.Len(t, r.Findings, 1)
	assert.Contains(t, r.Findings[0].What, "Demo car one are taken for those of one car, and 5 are ordered")
}
