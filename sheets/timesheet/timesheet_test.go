package timesheet_test

import (
	"fmt"
	"math"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/timesheet"
)

func TestMain(m *testing.M) { shop.Main(m) }

const (
	floor    = "Time sheet"
	estimate = "Estimate"
)

// made is the time sheet of a workbook.
func made(t *testing.T, in string) *timesheet.Report {
	t.Helper()
	r, err := timesheet.Make(t.Context(), timesheet.Options{In: in, Out: filepath.Join(t.TempDir(), "floor.xlsx"), Draft: true})
	require.NoError(t, err)
	return r
}

// read is what a time sheet says.
func read(t *testing.T, path string) ([]timesheet.Line, []book.Finding) {
	t.Helper()
	lines, found, err := timesheet.Read(t.Context(), path, "")
	require.NoError(t, err)
	return lines, found
}

// sheetOf is a time sheet as a grid, with the cells of a row by what heads them.
type sheetOf struct {
	sheetstest.Grid
	head int
	cols map[string]string // letters by heading
}

func opened(t *testing.T, path, sheet string) sheetOf {
	t.Helper()
	s := sheetOf{Grid: sheetstest.Read(t, path), cols: map[string]string{}}
	for row := 1; row < 40 && s.head == 0; row++ {
		if s.Grid[sheet][fmt.Sprint("A", row)].Text == "Car" {
			s.head = row
		}
	}
	require.Positive(t, s.head)
	for ref, v := range s.Grid[sheet] {
		if strings.TrimLeft(ref, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == fmt.Sprint(s.head) {
			s.cols[v.Text] = strings.TrimRight(ref, "0123456789")
		}
	}
	return s
}

// ref is the cell of the n-th line, from 1, below a heading.
func (s sheetOf) ref(t *testing.T, heading string, n int) string {
	t.Helper()
	col := s.cols[heading]
	require.NotEmpty(t, col, heading)
	return fmt.Sprint(col, s.head+n)
}

// typed is a time sheet in which something is typed: heading, line, value.
func typed(t *testing.T, path string, cells ...[3]any) string {
	t.Helper()
	s := opened(t, path, floor)
	return shop.Edited(t, path, func(f *excelize.File) {
		for _, c := range cells {
			require.NoError(t, f.SetCellValue(floor, s.ref(t, c[0].(string), c[1].(int)), c[2]))
		}
	})
}

// logged are three lines that are filled in: whole, with clocked minutes alone, and
// one more that is written below the cars of the order.
func logged() [][3]any {
	return [][3]any{
		{"Date", 1, time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)}, {"Welder", 1, "A"},
		{"Saw, min", 1, 260}, {"Bench, min", 1, 701.5}, {"Weld, min", 1, 690}, {"Clocked in all, min", 1, 1900},
		{"Bottles, torch", 1, 1}, {"Bottles, trail", 1, 0}, {"Rods used", 1, 19}, {"Repairs, butt", 1, 2},
		{"Whole job logged?", 1, "yes"}, {"Note", 1, "first of the run"},
		{"Clocked in all, min", 9, 2500}, {"Whole job logged?", 9, "Yes"},
		{"Car", 17, "coupe demo-a"}, {"Saw, min", 17, 250}, {"Bench, min", 17, 700}, {"Weld, min", 17, 650}, {"Whole job logged?", 17, "no"},
	}
}

// What is filled in comes back, beside what the model makes of the car.
func TestFilledInComesBack(t *testing.T) {
	r := made(t, shop.Demo("order.xlsx"))
	path := typed(t, r.Output, logged()...)
	lines, found := read(t, path)
	assert.Empty(t, found)
	require.Len(t, lines, 3)

	l := lines[0]
	s := opened(t, path, floor)
	assert.Equal(t, floor, l.Sheet)
	assert.Equal(t, s.ref(t, "Car", 1), l.Cell)
	assert.Equal(t, "Coupe Demo-A", l.Car)
	assert.Equal(t, 1, l.Number)
	assert.Equal(t, r.Digest, l.Order)
	assert.Equal(t, "2026-11-25", l.Day.Format(time.DateOnly))
	assert.Equal(t, "A", l.Welder)
	assert.Equal(t, "first of the run", l.Note)
	assert.Equal(t, [3]float64{260, 701.5, 690}, l.Minutes)
	assert.Equal(t, 1900.0, l.Clocked)
	assert.Equal(t, []float64{1, 0}, l.Bottles[:2])
	assert.True(t, math.IsNaN(l.Bottles[2]) && math.IsNaN(l.Gas[2]), "nobody counted the purge line's")
	assert.Equal(t, 19.0, l.Rods)
	assert.Equal(t, map[string]float64{"butt": 2}, l.Repairs)
	assert.True(t, l.Whole)
	assert.False(t, l.Metric)
	assert.Equal(t, 270.0, l.BottleHolds)
	assert.Equal(t, 0.85, l.FillerYield)
	e := opened(t, path, estimate)
	for i, heading := range []string{"Saw, min", "Bench, min", "Weld, min"} {
		assert.Equal(t, e.Grid[estimate][e.ref(t, heading, 1)].Num, l.Estimate[i], heading)
	}
	assert.Equal(t, e.Grid[estimate][e.ref(t, "All hours, min", 1)].Num, l.EstimateClocked)
	assert.Equal(t, e.Grid[estimate][e.ref(t, "Argon, trail, ft³", 1)].Num, l.Gas[1])
	assert.Equal(t, e.Grid[estimate][e.ref(t, "Rods", 1)].Num, l.RodsEstimate)

	assert.Equal(t, "Spyder Demo-B", lines[1].Car)
	assert.Equal(t, 2500.0, lines[1].Clocked)
	assert.True(t, math.IsNaN(lines[1].Minutes[0]) && math.IsNaN(lines[1].Rods))
	assert.Equal(t, "Coupe Demo-A", lines[2].Car)
	assert.Zero(t, lines[2].Number)
	assert.False(t, lines[2].Whole)
}

// A sheet that other programs have saved since says the same.
func TestSavedByOthers(t *testing.T) {
	path := typed(t, made(t, shop.Demo("order.xlsx")).Output, logged()...)
	want, _ := read(t, path)
	again := map[string]string{}
	if exec.Command("/usr/bin/python3", "-c", "import openpyxl").Run() == nil {
		out := filepath.Join(t.TempDir(), "again.xlsx")
		said, err := exec.Command("/usr/bin/python3", "-c", "import sys, openpyxl; openpyxl.load_workbook(sys.argv[1]).save(sys.argv[2])", path, out).CombinedOutput()
		require.NoError(t, err, "%s", said)
		again["openpyxl"] = out
	}
	again["LibreOffice"] = sheetstest.SavedAgain(t, path)
	for program, path := range again {
		got, found := read(t, path)
		assert.Empty(t, found, program)
		require.Len(t, got, len(want), program)
		for i := range got {
			got[i].File = want[i].File
			assert.Equal(t, fmt.Sprintf("%+v", want[i]), fmt.Sprintf("%+v", got[i]), program)
		}
	}
}

// What the model makes of a car does not depend on what the shop has learned so far:
// factors, learning, and floor time or argon typed over. It adds up to what the order
// is priced with, and the rods to those that are to be bought.
func TestEstimateIsTheModels(t *testing.T) {
	priced, rep := shop.Price(t, shop.Demo("order.xlsx"))
	plain := opened(t, made(t, priced).Output, estimate)
	get := func(s sheetOf, heading string, n int) float64 { return s.Grid[estimate][s.ref(t, heading, n)].Num }
	stages := []string{"Saw, min", "Bench, min", "Weld, min"}
	gas := []string{"Argon, torch, ft³", "Argon, trail, ft³", "Argon, purge, ft³"}
	rods := 0.0
	for i, c := range rep.Cars {
		sum := func(headings []string) (total float64) {
			for _, heading := range headings {
				total += get(plain, heading, i+1)
			}
			return total
		}
		near := func(want, got float64, what string) { assert.InEpsilon(t, want, got, 1e-9, "%s of %s", what, c.Car) }
		near(60*c.Figures["car_floor"], sum(stages), "stages")
		near(60*c.Figures["car_saw"], get(plain, stages[0], i+1), "saw")
		near(60*(c.Figures["car_fit"]+c.Figures["car_tacks"]+c.Figures["car_rigging"]), get(plain, stages[1], i+1), "bench")
		near(60*c.Figures["car_hours"], get(plain, "All hours, min", i+1), "all")
		near(c.Figures["car_argon"], sum(gas), "argon")
		near(1.1*c.Figures["purge_car"], get(plain, gas[2], i+1), "purge line, with a tenth lost")
		rods += c.Ordered * get(plain, "Rods", i+1)
	}
	run, err := sheets.Read(t.Context(), priced, "")
	require.NoError(t, err)
	defer run.Close()
	of, fillers := run.Model.ClosingScope("rods"), run.Model.Table("fillers")
	needed := 0.0
	for _, f := range run.Values.Rows(of).Frames {
		filler := run.Values.Rows(fillers).Frames[int(of.Quantity(of.By).Num(f))-1]
		needed += of.Quantity("rod_needed").Num(f) / fillers.Quantity("length").Num(filler)
	}
	assert.InEpsilon(t, needed, rods, 1e-9, "rods of all cars")

	changed := shop.Assume(t, priced, shop.Set("saw_factor", 1.3, ""), shop.Set("bench_factor", 0.8, ""), shop.Set("weld_factor", 1.21, ""), shop.Set("gas_factor", 1.4, ""), shop.Set("learning_slope", 0.9, ""))
	other := opened(t, made(t, changed).Output, estimate)
	for i := range rep.Cars {
		for _, heading := range slices.Concat(stages, gas, []string{"All hours, min", "Rods"}) {
			assert.InEpsilon(t, get(plain, heading, i+1), get(other, heading, i+1), 1e-9, "%s of %s", heading, rep.Cars[i].Car)
		}
	}
}

// Floor time or argon that is typed over a row has factors in it that nobody knows: the
// model's own counts. What the model rests on, and is measured, counts as typed.
func TestTypedOver(t *testing.T) {
	priced, _ := shop.Price(t, shop.TwoButts(t))
	get := func(path, heading string) float64 {
		s := opened(t, made(t, path).Output, estimate)
		return s.Grid[estimate][s.ref(t, heading, 1)].Num
	}
	typed := shop.TypedOver(t, shop.TypedOver(t, priced, "floor_time", 2, 500.0), "argon", 2, 99.0)
	assert.Equal(t, get(priced, "Weld, min"), get(typed, "Weld, min"))
	assert.Equal(t, get(priced, "Argon, torch, ft³"), get(typed, "Argon, torch, ft³"))
	assert.Greater(t, get(shop.TypedOver(t, priced, "arc_time", 2, 50.0), "Weld, min"), 40+get(priced, "Weld, min"))
}

// Nothing of the estimate is in any part of the page that the floor sees: not in its
// cells, choices, names or properties, nor in the texts of the workbook.
func TestFloorSeesNoEstimate(t *testing.T) {
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		priced, _ := shop.Price(t, shop.Demo(name))
		again := filepath.Join(t.TempDir(), "again.xlsx")
		rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: priced, Out: again, Lines: true})
		require.NoError(t, err)
		r := made(t, again)
		e := opened(t, r.Output, estimate)

		var all strings.Builder
		told := 0
		for part, text := range shop.Parts(t, r.Output) {
			if strings.HasSuffix(part, "sheet2.xml") {
				told += len(shop.NumbersIn(text))
				continue
			}
			all.WriteString(part + "\n" + text + "\n" + shop.CharactersOf(t, text) + "\n")
		}
		require.Greater(t, told, 30, "the second sheet is the estimate's")
		numbers := shop.NumbersIn(strings.ReplaceAll(all.String(), r.Digest, ""))
		searched := 0
		look := func(what string, x float64) {
			for _, s := range shop.Spelled(x) {
				searched++
				assert.False(t, numbers[s], "%s, %v, stands on the floor's page as %s", what, x, s)
			}
		}
		for ref, v := range e.Grid[estimate] {
			if v.Num > 0 {
				look(ref, v.Num)
			}
		}
		figures := func(of string, f model.Figures) {
			for key, x := range f {
				switch unit := rep.Units[key]; unit {
				case "min", "h", "ft³", "L", "m³", "$", "$/h", rep.Currency:
					look(key+" of "+of, x)
				}
			}
		}
		figures("the order", rep.Order)
		for _, c := range rep.Cars {
			figures(c.Car, c.Figures)
		}
		for _, l := range rep.Lines {
			figures(l.Mark, l.Figures)
		}
		require.Greater(t, searched, 3000)
	}
}

// The estimate is hidden: who prints the workbook prints the floor's page alone.
func TestEstimateIsNotPrinted(t *testing.T) {
	f, err := excelize.OpenFile(made(t, shop.TwoButts(t)).Output)
	require.NoError(t, err)
	defer f.Close()
	for sheet, shows := range map[string]bool{floor: true, estimate: false} {
		visible, err := f.GetSheetVisible(sheet)
		require.NoError(t, err)
		assert.Equal(t, shows, visible, sheet)
	}
	assert.Zero(t, f.GetActiveSheetIndex())
}

// A tick under whether the whole job was logged is a yes, a 0 is a no.
func TestTickedIsYes(t *testing.T) {
	out := made(t, shop.TwoButts(t)).Output
	for _, c := range []struct {
		typed any
		yes   bool
	}{{"x", true}, {"X ", true}, {"✓", true}, {1, true}, {"1", true}, {0, false}, {"no", false}} {
		lines, found := read(t, typed(t, out, [3]any{"Clocked in all, min", 1, 500}, [3]any{"Whole job logged?", 1, c.typed}))
		require.Len(t, lines, 1)
		assert.Equal(t, c.yes, lines[0].Whole, "%v", c.typed)
		for _, f := range found {
			assert.NotEqual(t, "whole", f.Rule, "%v", c.typed)
		}
	}
	lines, found := read(t, typed(t, out, [3]any{"Clocked in all, min", 1, 500}, [3]any{"Whole job logged?", 1, 2}))
	assert.False(t, lines[0].Whole)
	assert.Equal(t, "whole", found[len(found)-1].Rule)
}
