package shop

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/sheetstest"
)

// BidTitle is the usual title of a sheet for the bid.
func BidTitle(key string) string {
	if key == "rates" {
		return "Set-ups"
	}
	return strings.ToUpper(key[:1]) + key[1:]
}

// OursIn says where in a package our columns are, or would be.
func OursIn(t testing.TB, path string) sheetstest.Ours {
	t.Helper()
	check, err := sheets.Check(t.Context(), path, "")
	require.NoError(t, err)
	wb := WorkbookOf(t, path)
	out := sheetstest.Ours{}
	for _, l := range check.Lists {
		from, to, _ := strings.Cut(l.Calculated, ":")
		a, err := grid.ParseCol(from)
		require.NoError(t, err)
		b, err := grid.ParseCol(to)
		require.NoError(t, err)
		name := wb.Sheets[wb.Sheet(l.Sheet)].PartName
		if have, ok := out[name]; ok {
			a, b = min(a, have[0]), max(b, have[1])
		}
		out[name] = [2]int{a, b}
	}
	return out
}

// WorkbookOf reads the workbook part of a package, as the program does.
func WorkbookOf(t testing.TB, path string) *workbook.Workbook {
	t.Helper()
	data := []byte(Content(t, path))
	p, err := opc.Open(bytes.NewReader(data), int64(len(data)), opc.DefaultLimits())
	require.NoError(t, err)
	wb, err := workbook.Read(p)
	require.NoError(t, err)
	return wb
}

// PartNames are the parts in order.
func PartNames(parts map[string]string) []string { return slices.Sorted(maps.Keys(parts)) }

// NamedRows is where a name of the workbook points on Assumptions.
func NamedRows(t testing.TB, path, name string) (first, last int) {
	t.Helper()
	f, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer f.Close()
	for _, d := range f.GetDefinedName() {
		if d.Name != name {
			continue
		}
		sheet, ref, _ := strings.Cut(d.RefersTo, "!")
		require.Equal(t, "Assumptions", strings.Trim(sheet, "'"))
		from, to, block := strings.Cut(strings.ReplaceAll(ref, "$", ""), ":")
		_, first, err = excelize.SplitCellName(from)
		require.NoError(t, err)
		if last = first; block {
			_, last, err = excelize.SplitCellName(to)
			require.NoError(t, err)
		}
		return first, last
	}
	require.FailNow(t, "no such name", name)
	return 0, 0
}

// FilesIn lists what a folder holds.
func FilesIn(t *testing.T, dir string) []string {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

// OurColumn gives the column of a figure on a joint sheet, from the table of
// columns on Assumptions.
func OurColumn(t testing.TB, g sheetstest.Grid, sheet, figure string) string {
	t.Helper()
	for _, name := range []string{"Assumptions", "Assumptions 2"} {
		a := g[name]
		for ref, v := range a {
			if !strings.HasPrefix(ref, "B") || v.Text != figure {
				continue
			}
			row, isB := strings.CutPrefix(ref, "B")
			if !isB || a["A"+row].Text != sheet || a["C"+row].Text != "calculated" {
				continue
			}
			at := a["E"+row].Formula
			parts := strings.Split(at[strings.LastIndex(at, "!")+1:], "$")
			require.Len(t, parts, 3, at)
			return parts[1]
		}
	}
	require.FailNow(t, "no column", "%s of %s", figure, sheet)
	return ""
}

// Figure gives the cell of a figure on a row of a joint sheet.
func Figure(t testing.TB, g sheetstest.Grid, sheet, key string, row int) sheetstest.Value {
	t.Helper()
	return g[sheet][fmt.Sprint(OurColumn(t, g, sheet, key), row)]
}

// Assumption gives the row of a single assumption, by its key.
func Assumption(t testing.TB, g sheetstest.Grid, key string) int {
	t.Helper()
	for row := 1; row < 600; row++ { // one that came with a later version stands far down
		if g["Assumptions"][fmt.Sprint("A", row)].Text == key {
			return row
		}
	}
	require.FailNow(t, "no assumption", key)
	return 0
}

// TableRow gives the row of Assumptions that has these first texts or numbers
// from column B on.
func TableRow(t testing.TB, g sheetstest.Grid, start ...any) int {
	t.Helper()
	a := g["Assumptions"]
	for row := 1; row < 1000; row++ {
		same := true
		for i, want := range start {
			v := a[fmt.Sprintf("%c%d", 'B'+i, row)]
			switch w := want.(type) {
			case string:
				same = same && v.Kind == sheetstest.Text && v.Text == w
			case float64:
				same = same && v.Kind == sheetstest.Number && v.Num == w
			}
		}
		if same {
			return row
		}
	}
	require.FailNow(t, "no such line on Assumptions", "%v", start)
	return 0
}

// Workings is the sheet on which the order is worked out: an earlier version called
// it Summary.
func Workings(g sheetstest.Grid) map[string]sheetstest.Value {
	if s, ok := g[book.WorkingsTitle]; ok {
		return s
	}
	return g[book.SummaryTitle]
}

// OnWorkings gives the number beside a label in column B of Workings.
func OnWorkings(t testing.TB, g sheetstest.Grid, label string) float64 {
	t.Helper()
	for row := 1; row < 1000; row++ {
		if v := Workings(g)[fmt.Sprint("C", row)]; Workings(g)[fmt.Sprint("B", row)].Text == label && v.Formula != "" {
			require.Equal(t, sheetstest.Number, v.Kind, "%s: %v", label, v)
			return v.Num
		}
	}
	require.FailNow(t, "not on Workings", label)
	return 0
}

// Labels of Workings.
const (
	LabelPrice    = "Price of the order"
	LabelTyped    = "Cells typed over calculated ones"
	LabelLeft     = "Rows left out: their check cells say why"
	LabelNonsense = "Rows that cannot be priced as they stand now"
	LabelGrown    = "Rows on a list without figures: price again"
	LabelErrors   = "Calculated cells that show an error"
	LabelMissing  = "Rows without a price of tube or rod"
)

// Master is the word of the master check.
func Master(g sheetstest.Grid) string { return Workings(g)["B3"].Text }

// Parts reads the entries of a package: name, then content.
func Parts(t testing.TB, path string) map[string]string {
	t.Helper()
	z, err := zip.OpenReader(path)
	require.NoError(t, err)
	defer z.Close()
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		r.Close()
		out[f.Name] = string(data)
	}
	return out
}

// Content is what a file holds.
func Content(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

// SameCells demands two sheets with the same cells: values, kinds, formulas.
func SameCells(t testing.TB, want, got map[string]sheetstest.Value, what string) {
	t.Helper()
	var differ []string
	for ref, v := range want {
		if got[ref] != v {
			differ = append(differ, fmt.Sprintf("%s!%s: %v, was %v", what, ref, got[ref], v))
		}
	}
	for ref, v := range got {
		if _, ok := want[ref]; !ok {
			differ = append(differ, fmt.Sprintf("%s!%s: %v, was not there", what, ref, v))
		}
	}
	sort.Strings(differ)
	if len(differ) > 10 {
		differ = append(differ[:10], "...")
	}
	require.Empty(t, differ)
}

// HasFinding says whether a finding has all of the texts in it.
func HasFinding(rep *sheets.Report, texts ...string) bool {
	for _, f := range rep.Findings {
		all := fmt.Sprint(f.Cell, " ", f.Level, " ", f.What, "; ", f.Fix)
		has := true
		for _, s := range texts {
			has = has && strings.Contains(all, s)
		}
		if has {
			return true
		}
	}
	return false
}

// LastColumn gives the number of the rightmost calculated column of a joint
// sheet.
func LastColumn(t testing.TB, g sheetstest.Grid, sheet string) (last int) {
	t.Helper()
	for ref, v := range g["Assumptions"] {
		row, isB := strings.CutPrefix(ref, "B")
		if !isB || g["Assumptions"]["A"+row].Text != sheet || g["Assumptions"]["C"+row].Text != "calculated" {
			continue
		}
		col, err := excelize.ColumnNameToNumber(OurColumn(t, g, sheet, v.Text))
		require.NoError(t, err)
		last = max(last, col)
	}
	require.NotZero(t, last, "no column of ours on %s", sheet)
	return last
}

// Beside is what stands beside a label on one of our sheets, in a column.
func Beside(t testing.TB, g map[string]sheetstest.Value, label, col string) sheetstest.Value {
	t.Helper()
	for row := 1; row < 400; row++ {
		if g[fmt.Sprint("B", row)].Text == label {
			return g[fmt.Sprint(col, row)]
		}
	}
	require.FailNow(t, "no such row", label)
	return sheetstest.Value{}
}
