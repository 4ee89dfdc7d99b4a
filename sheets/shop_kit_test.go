package sheets_test

import (
	"archive/zip"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/look"
	"seamtally/sheets/sheetstest"
)

// thorough reports whether every case of the long comparisons is to be run, and
// not some of each: in CI.
func thorough() bool { return os.Getenv("CI") != "" && !testing.Short() }

// heavy leaves a test out where the race detector would take minutes over it.
func heavy(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("heavy")
	}
}

// demo is the path of an invented order that comes with the program, from the
// folder of any package: all tests find the module above where they run.
func demo(name string) string {
	dir := "."
	for range 10 {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		dir = filepath.Join(dir, "..")
	}
	return filepath.Join(dir, "testdata", filepath.FromSlash(name))
}

// put writes a file of its own for the test.
func put(t testing.TB, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.xlsx")
	require.NoError(t, os.WriteFile(path, data, 0o644))
	return path
}

func starter(t testing.TB, metric bool) string {
	t.Helper()
	data, err := look.Starter(metric)
	require.NoError(t, err)
	return put(t, data)
}

func generated(t testing.TB, rows int, seed int64, metric bool) string {
	t.Helper()
	data, err := sheetstest.GenerateOrder(rows, seed, metric)
	require.NoError(t, err)
	return put(t, data)
}

// listRow is a row of a small list, as typed.
type listRow = []any

// The columns of a small list.
const (
	colMark, colCar, colKind, colQty, colOD, colWall = "A", "B", "C", "D", "E", "F"
	colSetup, colBend, colTube, colAlloy             = "G", "H", "I", "J"
)

var smallHead = listRow{"Joint no", "Car", "Kind", "Qty", "OD (in)", "Wall (in)", "Set-up", "Bend °", "Tube length (in)", "Alloy"}

// butt is a joint that can be priced, of a size in stock.
func butt(mark string) listRow {
	return listRow{mark, "Demo car one", "butt", 2, 3, 0.049, nil, nil, 10, nil}
}

// small makes a workbook with one joint list: headings on row 1 of "Joints".
func small(t testing.TB, rows ...listRow) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	for i, row := range append([]listRow{smallHead}, rows...) {
		require.NoError(t, f.SetSheetRow("Joints", fmt.Sprintf("A%d", i+1), &row))
	}
	return saved(t, f)
}

func saved(t testing.TB, f *excelize.File) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.xlsx")
	require.NoError(t, f.SaveAs(path))
	return path
}

// edited opens a workbook as another program does, changes it and saves a copy.
func edited(t testing.TB, path string, change func(f *excelize.File)) string {
	t.Helper()
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	defer f.Close()
	change(f)
	return saved(t, f)
}

// typed is one cell as someone types over it.
type typed struct {
	sheet, ref string
	value      any
}

func typeIn(t testing.TB, path string, cells ...typed) string {
	t.Helper()
	return edited(t, path, func(f *excelize.File) {
		for _, c := range cells {
			require.NoError(t, f.SetCellValue(c.sheet, c.ref, c.value))
		}
	})
}

func refilled(t testing.TB, in string) (string, *sheets.Report) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "refilled.xlsx")
	rep, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out, Refill: true})
	require.NoError(t, err)
	return out, rep
}

// refused prices a workbook that must not be priced, and gives the reason.
func refused(t testing.TB, in string) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "none.xlsx")
	_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out})
	require.Error(t, err)
	require.NoFileExists(t, out)
	return err.Error()
}

func cleared(t testing.TB, in string) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "cleared.xlsx")
	_, err := sheets.Clear(context.Background(), sheets.ClearOptions{In: in, Out: out})
	require.NoError(t, err)
	return out
}

// ourColumn gives the column of a figure on a joint sheet, from the table of
// columns on Assumptions.
func ourColumn(t testing.TB, g sheetstest.Grid, sheet, figure string) string {
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

// figure gives the cell of a figure on a row of a joint sheet.
func figure(t testing.TB, g sheetstest.Grid, sheet, key string, row int) sheetstest.Value {
	t.Helper()
	return g[sheet][fmt.Sprint(ourColumn(t, g, sheet, key), row)]
}

// assumption gives the row of a single assumption, by its key.
func assumption(t testing.TB, g sheetstest.Grid, key string) int {
	t.Helper()
	for row := 1; row < 200; row++ {
		if g["Assumptions"][fmt.Sprint("A", row)].Text == key {
			return row
		}
	}
	require.FailNow(t, "no assumption", key)
	return 0
}

// tableRow gives the row of Assumptions that has these first texts or numbers
// from column B on.
func tableRow(t testing.TB, g sheetstest.Grid, start ...any) int {
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

// onSummary gives the number beside a label in column B of the Summary.
func onSummary(t testing.TB, g sheetstest.Grid, label string) float64 {
	t.Helper()
	for row := 1; row < 1000; row++ {
		if v := g["Summary"][fmt.Sprint("C", row)]; g["Summary"][fmt.Sprint("B", row)].Text == label && v.Formula != "" {
			require.Equal(t, sheetstest.Number, v.Kind, "%s: %v", label, v)
			return v.Num
		}
	}
	require.FailNow(t, "not on the Summary", label)
	return 0
}

const (
	labelPrice    = "Price of the order"
	labelTyped    = "Cells typed over calculated ones"
	labelLeft     = "Rows left out: their check cells say why"
	labelNonsense = "Rows that cannot be priced as they stand now"
	labelGrown    = "Rows on a list without figures: price again"
	labelErrors   = "Calculated cells that show an error"
	labelMissing  = "Rows without a price of tube or rod"
)

// master is the word of the master check.
func master(g sheetstest.Grid) string { return g["Summary"]["B3"].Text }

// equal demands that every formula of a workbook recalculates to its stored
// value, and tells how many there were.
func equal(t *testing.T, path string, live sheetstest.Grid) {
	t.Helper()
	n := sheetstest.Compare(t, sheetstest.Read(t, path), live, 1e-9)
	require.Greater(t, n, 1000)
	t.Logf("%d formula cells equal", n)
}

// parts reads the entries of a package: name, then content.
func parts(t testing.TB, path string) map[string]string {
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

func content(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

// sameCells demands two sheets with the same cells: values, kinds, formulas.
func sameCells(t testing.TB, want, got map[string]sheetstest.Value, what string) {
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

// hasFinding says whether a finding has all of the texts in it.
func hasFinding(rep *sheets.Report, texts ...string) bool {
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

// scene is a workbook, or some, that LibreOffice is to recalculate, and what
// must then hold. Scenes share one start of LibreOffice.
type scene struct {
	name  string
	heavy bool
	make  func(t *testing.T) []string
	check func(t *testing.T, paths []string, live []sheetstest.Grid)
	fault string // what is wrong with the program, if the scene is known to fail
}

func play(t *testing.T, scenes ...scene) {
	t.Helper()
	sheetstest.NeedLibreOffice(t)
	dir := t.TempDir()
	made := make([][]string, len(scenes))
	var all []string
	for i, s := range scenes {
		t.Run("prepare "+s.name, func(t *testing.T) {
			if s.fault != "" {
				t.Skip(s.fault)
			}
			if s.heavy && !thorough() {
				t.Skip("heavy: in CI alone")
			}
			for _, path := range s.make(t) {
				keep := filepath.Join(dir, fmt.Sprintf("%d-%d.xlsx", i, len(made[i])))
				require.NoError(t, os.WriteFile(keep, []byte(content(t, path)), 0o644))
				made[i] = append(made[i], keep)
			}
			all = append(all, made[i]...)
		})
	}
	if len(all) == 0 {
		return
	}
	live := sheetstest.RecalculateAll(t, all...)
	for i, s := range scenes {
		mine := live[:len(made[i])]
		live = live[len(made[i]):]
		if len(mine) > 0 {
			t.Run(s.name, func(t *testing.T) { s.check(t, made[i], mine) })
		}
	}
}

// repacked changes the text of one part of a package.
func repacked(t testing.TB, path, part string, change func(string) string) string {
	t.Helper()
	z, err := zip.OpenReader(path)
	require.NoError(t, err)
	defer z.Close()
	out := filepath.Join(t.TempDir(), "shop.xlsx")
	file, err := os.Create(out)
	require.NoError(t, err)
	defer file.Close()
	w := zip.NewWriter(file)
	found := false
	for _, f := range z.File {
		if f.Name != part {
			require.NoError(t, w.Copy(f))
			continue
		}
		found = true
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		to, err := w.Create(part)
		require.NoError(t, err)
		_, err = io.WriteString(to, change(string(data)))
		require.NoError(t, err)
	}
	require.True(t, found, part)
	require.NoError(t, w.Close())
	return out
}

// priceOrNot prices a workbook that may be refused.
func priceOrNot(t testing.TB, in string) (string, error) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out})
	return out, err
}
