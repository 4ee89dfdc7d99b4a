package sheetstest

import (
	"fmt"
	"math"
	"sort"
	"testing"

	"github.com/xuri/excelize/v2"
)

// nearZero is the absolute difference below which two numbers are equal
// whatever their ratio: the dust of a difference that ought to be 0.
const nearZero = 1e-12

// mostReported keeps a broken column from flooding the test's output.
const mostReported = 20

// Compare reports every formula cell whose stored value is not what the
// recalculation gives, up to twenty of them, and returns how many formula cells
// it compared. Numbers may differ by relTol of the greater one (or by 1e-12
// near zero); texts, truth values and errors must be equal. A formula cell
// without a stored value differs from one with a value.
func Compare(t testing.TB, stored, recalculated Grid, relTol float64) (compared int) {
	t.Helper()
	differ, compared := Differences(stored, recalculated, relTol)
	for i, d := range differ {
		if i == mostReported {
			t.Errorf("... and %d more", len(differ)-mostReported)
			break
		}
		t.Error(d)
	}
	return compared
}

// Differences is [Compare] for those who want the list: one line a cell, in
// the order of sheets, rows and columns.
func Differences(stored, recalculated Grid, relTol float64) (differ []string, compared int) {
	for _, sheet := range sheetsOf(stored) {
		again, ok := recalculated[sheet]
		if !ok {
			differ = append(differ, fmt.Sprintf("%s: the recalculated book lacks this sheet", sheet))
			continue
		}
		for _, ref := range refsOf(stored[sheet]) {
			was := stored[sheet][ref]
			if was.Formula == "" {
				continue
			}
			compared++
			now, ok := again[ref]
			if !ok {
				now.Kind = Empty
			}
			if !same(was, now, relTol) {
				differ = append(differ, fmt.Sprintf("%s!%s: stored %v, recalculated %v: =%s",
					sheet, ref, was, now, was.Formula))
			}
		}
	}
	return differ, compared
}

func same(a, b Value, relTol float64) bool {
	if a.Kind != b.Kind {
		return false
	}
	switch a.Kind {
	case Number:
		return math.Abs(a.Num-b.Num) <= math.Max(nearZero, relTol*math.Max(math.Abs(a.Num), math.Abs(b.Num)))
	case Bool:
		return a.Num == b.Num
	default:
		return a.Text == b.Text
	}
}

func sheetsOf(g Grid) []string {
	names := make([]string, 0, len(g))
	for name := range g {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

func refsOf(cells map[string]Value) []string {
	type place struct {
		ref      string
		row, col int
	}
	places := make([]place, 0, len(cells))
	for ref := range cells {
		col, row, err := excelize.CellNameToCoordinates(ref)
		if err != nil {
			row = math.MaxInt // a key made up by a test: last, not lost
		}
		places = append(places, place{ref, row, col})
	}
	sort.Slice(places, func(i, j int) bool {
		a, b := places[i], places[j]
		if a.row != b.row {
			return a.row < b.row
		}
		if a.col != b.col {
			return a.col < b.col
		}
		return a.ref < b.ref
	})
	refs := make([]string, len(places))
	for i, p := range places {
		refs[i] = p.ref
	}
	return refs
}
