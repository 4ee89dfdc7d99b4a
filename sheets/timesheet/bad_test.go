package timesheet_test

import (
	"math"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/timesheet"
)

// whole is a line that is filled in.
func whole(n int) [][3]any {
	return [][3]any{{"Saw, min", n, 250}, {"Bench, min", n, 700}, {"Weld, min", n, 650}, {"Rods used", n, 18}, {"Whole job logged?", n, "yes"}}
}

// says finds what is said at a cell of the floor's page.
func says(found []book.Finding, cell string) string {
	for _, f := range found {
		if f.Cell == "shop.xlsx:"+floor+"!"+cell {
			return f.What + "; " + f.Fix
		}
	}
	return ""
}

// What is no amount is told with its cell, and nothing is made of it. The other cells
// of the line, and the other lines, are used.
func TestBadCellsAreToldAndTheRestIsUsed(t *testing.T) {
	sheet := made(t, shop.Demo("order.xlsx")).Output
	at := opened(t, sheet, floor)
	for _, c := range []struct {
		heading string
		value   any
		said    string
		of      func(timesheet.Line) float64
	}{
		{"Saw, min", "four hours", `saw of Coupe Demo-A is text "four hours", and is not counted; write minutes, as a number`, func(l timesheet.Line) float64 { return l.Minutes[0] }},
		{"Saw, min", "250", `saw of Coupe Demo-A is text "250", and is not counted; write minutes, as a number`, func(l timesheet.Line) float64 { return l.Minutes[0] }},
		{"Bench, min", "1,2", `bench of Coupe Demo-A is text "1,2", and is not counted; write minutes, as a number`, func(l timesheet.Line) float64 { return l.Minutes[1] }},
		{"Bench, min", -5, `bench of Coupe Demo-A is -5, which is below 0, and is not counted; write minutes, as a number`, func(l timesheet.Line) float64 { return l.Minutes[1] }},
		{"Weld, min", 1440.5, `weld of Coupe Demo-A is 1440.5 min, which is over a day, and is not counted; write the minutes of this car alone`, func(l timesheet.Line) float64 { return l.Minutes[2] }},
		{"Weld, min", true, `weld of Coupe Demo-A is yes or no, and is not counted; write minutes, as a number`, func(l timesheet.Line) float64 { return l.Minutes[2] }},
		{"Weld, min", nil, `the minutes at weld of Coupe Demo-A are not logged; fill them in, if anybody knows them`, func(l timesheet.Line) float64 { return l.Minutes[2] }},
		{"Clocked in all, min", -1, `clocked of Coupe Demo-A is -1, which is below 0, and is not counted; write minutes, as a number`, func(l timesheet.Line) float64 { return l.Clocked }},
		{"Rods used", "a few", `rods of Coupe Demo-A is text "a few", and is not counted; write a number, 0 or more`, func(l timesheet.Line) float64 { return l.Rods }},
		{"Bottles, trail", "?", `trail of Coupe Demo-A is text "?", and is not counted; write a number, 0 or more`, func(l timesheet.Line) float64 { return l.Bottles[1] }},
	} {
		path := typed(t, sheet, append(slices.Concat(whole(2), whole(9)), [3]any{c.heading, 2, c.value})...)
		lines, found := read(t, path)
		require.Len(t, lines, 2)
		assert.Equal(t, c.said, says(found, at.ref(t, c.heading, 2)), "%v", found)
		assert.Len(t, found, 1)
		assert.True(t, math.IsNaN(c.of(lines[0])), "%s: %v", c.heading, c.value)
		used := 0
		for _, x := range []float64{lines[0].Minutes[0], lines[0].Minutes[1], lines[0].Minutes[2], lines[0].Rods} {
			if x > 0 {
				used++
			}
		}
		assert.GreaterOrEqual(t, used, 3, "the rest of the line is used")
		assert.Equal(t, [3]float64{250, 700, 650}, lines[1].Minutes, "and so are other lines")
	}
}

// A day for one stage is believed, and an amount with its own unit is read, with a word.
func TestWhatIsJustBelieved(t *testing.T) {
	sheet := made(t, shop.Demo("order.xlsx")).Output
	at := opened(t, sheet, floor)
	lines, found := read(t, typed(t, sheet, append(whole(1), [3]any{"Weld, min", 1, 1440}, [3]any{"Saw, min", 1, "4.5 h"})...))
	assert.Equal(t, [3]float64{270, 700, 1440}, lines[0].Minutes)
	assert.Equal(t, `saw of Coupe Demo-A is text "4.5 h", read as 270 min; write minutes, as a number`, says(found, at.ref(t, "Saw, min", 1)))
	assert.Len(t, found, 1)
}

// A time of day is no number of minutes; a formula is one if the file says what it came
// to, and that fits.
func TestClocksAndFormulas(t *testing.T) {
	sheet := made(t, shop.Demo("order.xlsx")).Output
	at := opened(t, sheet, floor)
	path := shop.Edited(t, typed(t, sheet, whole(1)...), func(f *excelize.File) {
		clock, err := f.NewStyle(&excelize.Style{NumFmt: 20})
		require.NoError(t, err)
		saw, bench, weld := at.ref(t, "Saw, min", 1), at.ref(t, "Bench, min", 1), at.ref(t, "Weld, min", 1)
		require.NoError(t, f.SetCellStyle(floor, saw, saw, clock))
		require.NoError(t, f.SetCellValue(floor, saw, 0.1875))
		require.NoError(t, f.SetCellFormula(floor, bench, "=300+400"))
		require.NoError(t, f.SetCellValue(floor, weld, nil))
		require.NoError(t, f.SetCellFormula(floor, weld, "=300+350"))
	})
	lines, found := read(t, path)
	require.Len(t, lines, 1)
	assert.Contains(t, says(found, at.ref(t, "Saw, min", 1)), "is shown as a day or a time of day, and is not counted")
	assert.Contains(t, says(found, at.ref(t, "Weld, min", 1)), "is a formula without a value, and is not counted; open the workbook in a spreadsheet program")
	assert.True(t, math.IsNaN(lines[0].Minutes[0]) && math.IsNaN(lines[0].Minutes[2]))
}

// Cars that are not in the quote, stand twice, or are not named are told and left out.
func TestCarsThatAreNotCounted(t *testing.T) {
	sheet := made(t, shop.Demo("order.xlsx")).Output
	at := opened(t, sheet, floor)
	cells := slices.Concat(whole(1), whole(2), whole(3), whole(9), whole(16), whole(17), whole(18))
	cells = append(cells,
		[3]any{"Car", 16, "Coupe Demo"}, [3]any{"Car", 18, "Coupe Demo-A"}, [3]any{"No. in the run", 18, 3},
		[3]any{"No. in the run", 2, "second"}, [3]any{"Whole job logged?", 1, "mostly"}, [3]any{"Whole job logged?", 9, nil},
		[3]any{"Date", 1, "last week"})
	lines, found := read(t, typed(t, sheet, cells...))
	for cell, said := range map[string]string{
		at.ref(t, "Car", 16):              `"Coupe Demo" is no car of the quote, and is not counted; name it as the quote does: Coupe Demo-A`,
		at.ref(t, "Car", 17):              "the line does not say of which car it is, and is not counted; name the car as the quote does",
		at.ref(t, "Car", 18):              "Coupe Demo-A 3 is logged here and at Time sheet!" + at.ref(t, "Car", 3) + ", and counted neither here nor there; write both into one line, or mend the number",
		at.ref(t, "No. in the run", 2):    `the number in the run is text "second", and is not known; write 1 for the first car of the run, 2 for the next`,
		at.ref(t, "Whole job logged?", 1): `whether the whole job was logged is text "mostly"; write yes, or no`,
		at.ref(t, "Whole job logged?", 9): "it is not said whether the whole job was logged; write yes, or no",
		at.ref(t, "Date", 1):              `the day is text "last week", and is not known; write it as 2026-11-25`,
	} {
		assert.Equal(t, said, says(found, cell))
	}
	assert.Len(t, found, 7)
	require.Len(t, lines, 3)
	assert.Equal(t, []int{1, 0, 1}, []int{lines[0].Number, lines[1].Number, lines[2].Number})
	assert.Equal(t, []bool{false, true, false}, []bool{lines[0].Whole, lines[1].Whole, lines[2].Whole})
}

// Bottles count only where the quote says how much one holds.
func TestBottlesWithoutASize(t *testing.T) {
	sheet := made(t, shop.Demo("order.xlsx")).Output
	e := opened(t, sheet, estimate)
	path := typed(t, sheet, append(whole(1), [3]any{"Bottles, torch", 1, 2})...)
	path = shop.Edited(t, path, func(f *excelize.File) {
		for ref, v := range e.Grid[estimate] {
			if v.Num == 270 {
				require.NoError(t, f.SetCellValue(estimate, ref, nil))
			}
		}
	})
	lines, found := read(t, path)
	require.Len(t, lines, 1)
	assert.True(t, math.IsNaN(lines[0].BottleHolds))
	assert.Equal(t, 2.0, lines[0].Bottles[0])
	assert.Equal(t, [3]float64{250, 700, 650}, lines[0].Minutes)
	assert.Contains(t, says(found, opened(t, sheet, floor).ref(t, "Bottles, torch", 1)), "the quote does not say how much one holds, so they are not counted")
}

// A page without the estimator's sheet is told, and nothing is made up for it.
func TestPagesAlone(t *testing.T) {
	sheet := made(t, shop.Demo("order.xlsx")).Output
	path := shop.Edited(t, typed(t, sheet, whole(1)...), func(f *excelize.File) { require.NoError(t, f.DeleteSheet(estimate)) })
	lines, found := read(t, path)
	assert.Empty(t, lines)
	require.Len(t, found, 1)
	assert.Equal(t, book.LevelError, found[0].Level)
	assert.Contains(t, found[0].What, "no sheet with what the model makes of the cars")

	_, _, err := timesheet.Read(t.Context(), shop.Saved(t, excelize.NewFile()), "")
	assert.ErrorContains(t, err, "it has no time sheet either")

	path = shop.Edited(t, sheet, func(f *excelize.File) {
		n, err := f.NewSheet("Estimate of before")
		require.NoError(t, err)
		from, err := f.GetSheetIndex(estimate)
		require.NoError(t, err)
		require.NoError(t, f.CopySheet(from, n))
	})
	_, _, err = timesheet.Read(t.Context(), path, "")
	assert.ErrorContains(t, err, "keep that of the quote which was built")
}

// Columns may move, be headed in hours, and stand among others; two of one heading, and
// one without a unit, are not read.
func TestColumnsOfAPage(t *testing.T) {
	sheet := made(t, shop.Demo("order.xlsx")).Output
	at := opened(t, sheet, floor)
	head := func(heading string) string { return at.ref(t, heading, 0) }
	path := shop.Edited(t, typed(t, sheet, append(whole(1), [3]any{"Saw, min", 1, 4.5}, [3]any{"Repairs, seam", 1, 7}, [3]any{"Clocked in all, min", 1, 30})...), func(f *excelize.File) {
		for heading, now := range map[string]string{"Saw, min": "Saw hrs", "Bench, min": "Bench", "Repairs, seam": "Scrap, kg", "Clocked in all, min": "Total time (h)"} {
			require.NoError(t, f.SetCellValue(floor, head(heading), now))
		}
		require.NoError(t, f.InsertCols(floor, "A", 2))
		require.NoError(t, f.InsertRows(floor, 3, 2))
	})
	lines, found := read(t, path)
	require.Len(t, lines, 1)
	assert.Equal(t, []float64{270, 650}, []float64{lines[0].Minutes[0], lines[0].Minutes[2]})
	assert.True(t, math.IsNaN(lines[0].Minutes[1]))
	assert.Equal(t, 1800.0, lines[0].Clocked)
	var rules []string
	for _, f := range found {
		rules = append(rules, f.Rule)
	}
	assert.ElementsMatch(t, []string{"no unit", "not read", "stage missing"}, rules)

	path = shop.Edited(t, typed(t, sheet, whole(1)...), func(f *excelize.File) {
		require.NoError(t, f.SetCellValue(floor, head("Weld, min"), "Bench, min"))
	})
	lines, found = read(t, path)
	require.Len(t, lines, 1)
	assert.Equal(t, 250.0, lines[0].Minutes[0])
	assert.True(t, math.IsNaN(lines[0].Minutes[1]))
	assert.Contains(t, says(found, head("Weld, min")), "have one heading, and neither is read")
}

// Gas lines that hang on one bottle have one column; a metric quote is in litres.
func TestTogetherAndMetric(t *testing.T) {
	priced, _ := shop.Price(t, shop.Demo("order-metric.xlsx"))
	apart := made(t, priced).Output
	e := opened(t, apart, estimate)
	lines, found := read(t, typed(t, made(t, shop.Assume(t, priced, shop.Set("gas_lines", "together", ""))).Output, append(whole(1), [3]any{"Bottles changed", 1, 3})...))
	assert.Empty(t, found)
	require.Len(t, lines, 1)
	l := lines[0]
	assert.True(t, l.Metric)
	assert.InEpsilon(t, 8500*0.9, l.BottleHolds, 1e-9, "8.5 m³, nine tenths of it")
	assert.Equal(t, 3.0, l.Bottles[0])
	all := 0.0
	for _, heading := range []string{"Argon, torch, L", "Argon, trail, L", "Argon, purge, L"} {
		all += e.Grid[estimate][e.ref(t, heading, 1)].Num
	}
	assert.InEpsilon(t, all, l.Gas[0], 1e-9)
	assert.True(t, math.IsNaN(l.Gas[1]) && math.IsNaN(l.Gas[2]))
}

// A time sheet is not written of an order that is not complete, nor over what is there.
func TestRefused(t *testing.T) {
	out := filepath.Join(t.TempDir(), "floor.xlsx")
	for _, c := range []struct {
		o    timesheet.Options
		said string
	}{
		{timesheet.Options{In: shop.Small(t, shop.Butt("J-1"), shop.Row{"J-2", "", "", 1, "thick"}), Out: out}, "not written for the floor: the order is INCOMPLETE"},
		{timesheet.Options{In: shop.TwoButts(t), Out: filepath.Join(t.TempDir(), "floor.xlsm")}, "a time sheet is an .xlsx"},
	} {
		_, err := timesheet.Make(t.Context(), c.o)
		assert.ErrorContains(t, err, c.said)
	}
	assert.NoFileExists(t, out)
	in := shop.TwoButts(t)
	_, err := timesheet.Make(t.Context(), timesheet.Options{In: in, Out: in, Force: true})
	assert.ErrorContains(t, err, "would replace the workbook that it is made of")

	draft := made(t, shop.Small(t, shop.Butt("J-1"), shop.Row{"J-2", "", "", 1, "thick"}))
	_, found := read(t, typed(t, draft.Output, whole(1)...))
	assert.True(t, slices.ContainsFunc(found, func(f book.Finding) bool { return f.Rule == "draft" }))
}
