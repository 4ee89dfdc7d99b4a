package sheetstest

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// recorder stands in for a test, to see what a helper would have reported.
type recorder struct {
	testing.TB
	errors []string
}

func (r *recorder) Helper() {}
func (r *recorder) Error(args ...any) {
	r.errors = append(r.errors, args[0].(string))
}
func (r *recorder) Errorf(format string, args ...any) {
	r.errors = append(r.errors, format)
}

// book writes a workbook of one sheet, column A: formulas with a stored value
// (excelize's stream writer is the one writer of it that keeps both).
func book(t *testing.T, cells []excelize.Cell) string {
	t.Helper()
	f := excelize.NewFile()
	sw, err := f.NewStreamWriter("Sheet1")
	require.NoError(t, err)
	for i, c := range cells {
		ref, err := excelize.CoordinatesToCellName(1, i+1)
		require.NoError(t, err)
		require.NoError(t, sw.SetRow(ref, []any{c}))
	}
	require.NoError(t, sw.Flush())
	path := filepath.Join(t.TempDir(), "book.xlsx")
	require.NoError(t, f.SaveAs(path))
	require.NoError(t, f.Close())
	return path
}

// The expected values are arithmetic anyone can do by hand: common knowledge.
func TestRecalculateAndCompare(t *testing.T) {
	t.Parallel()
	path := book(t, []excelize.Cell{
		{Value: 7.0},                                    // a constant is no formula
		{Formula: "A1*2", Value: 14.0},                  // right
		{Formula: "A1*2", Value: 15.0},                  // wrong
		{Formula: "A3+1", Value: 16.0},                  // right only if the wrong one is believed
		{Formula: `"a"&"b"`, Value: "ab"},               // right
		{Formula: `"a"&"b"`, Value: "AB"},               // wrong
		{Formula: "A1>6", Value: true},                  // right
		{Formula: "A1>8", Value: true},                  // wrong
		{Formula: "1/0", Value: 1.0},                    // an error recalculated, not stored
		{Formula: "no_such_name+1", Value: 1.0},         // broken: a name nobody defined
		{Formula: "A1+", Value: 7.0},                    // broken: no formula at all
		{Formula: `IF(A1=7,"",1)`, Value: ""},           // right: an empty text
		{Formula: "1/3", Value: 0.333333333333333},      // right but for the last digit
		{Formula: "1/3", Value: 0.33333},                // wrong in the sixth
		{Formula: "0.1+0.2-0.3", Value: 5.55111512e-17}, // dust near zero
	})
	stored := Read(t, path)
	require.Len(t, stored["Sheet1"], 15)
	assert.Equal(t, Value{Kind: Number, Num: 7}, stored["Sheet1"]["A1"])
	assert.Equal(t, Value{Kind: Number, Num: 14, Formula: "A1*2"}, stored["Sheet1"]["A2"])
	assert.Equal(t, Value{Kind: Text, Text: "ab", Formula: `"a"&"b"`}, stored["Sheet1"]["A5"])
	assert.Equal(t, Bool, stored["Sheet1"]["A7"].Kind)
	assert.Equal(t, Text, stored["Sheet1"]["A12"].Kind)

	again := Recalculate(t, path)
	assert.Equal(t, Value{Kind: Error, Text: "#DIV/0!", Formula: "1/0"}, again["Sheet1"]["A9"])
	differ, n := Differences(stored, again, 1e-9)
	assert.Equal(t, 14, n)
	var refs []string
	for _, d := range differ {
		ref, _, _ := strings.Cut(strings.TrimPrefix(d, "Sheet1!"), ":")
		refs = append(refs, ref)
	}
	assert.Equal(t, []string{"A3", "A4", "A6", "A8", "A9", "A10", "A11", "A14"}, refs, "%q", differ)
	assert.Equal(t, "Sheet1!A3: stored 15, recalculated 14: =A1*2", differ[0])

	r := &recorder{TB: t}
	assert.Equal(t, 14, Compare(r, stored, again, 1e-9))
	assert.Equal(t, differ, r.errors)
}

// Either of the two means is enough by itself to stop LibreOffice from
// believing a stored value; both are used because each depends on its version.
func TestProfileAloneRecalculates(t *testing.T) {
	t.Parallel()
	NeedLibreOffice(t)
	path := book(t, []excelize.Cell{{Formula: "1+1", Value: 3.0}})
	out := t.TempDir()
	require.NoError(t, convert(t.TempDir(), "xlsx:Calc MS Excel 2007 XML", out, path))
	g, err := readGrid(filepath.Join(out, "book.xlsx"))
	require.NoError(t, err)
	assert.Equal(t, 2.0, g["Sheet1"]["A1"].Num)
}

func TestRecalculateAllKeepsTheOrder(t *testing.T) {
	t.Parallel()
	one := book(t, []excelize.Cell{{Formula: "1+0"}})
	two := book(t, []excelize.Cell{{Formula: "1+1"}})
	grids := RecalculateAll(t, two, one, two)
	var got []float64
	for _, g := range grids {
		got = append(got, g["Sheet1"]["A1"].Num)
	}
	assert.Equal(t, []float64{2, 1, 2}, got)
}

func TestMissingValueAndSheetDiffer(t *testing.T) {
	stored := Grid{
		"One": {"B2": {Kind: Empty, Formula: "1+1"}, "A3": {Kind: Number, Num: 1, Formula: "2-1"}, "A1": {Kind: Number, Num: 9}},
		"Two": {"A1": {Kind: Number, Num: 1, Formula: "1"}},
	}
	again := Grid{"One": {"B2": {Kind: Number, Num: 2, Formula: "1+1"}, "A1": {Kind: Number, Num: 8}}}
	differ, n := Differences(stored, again, 1e-9)
	assert.Equal(t, 2, n)
	assert.Equal(t, []string{
		"One!B2: stored nothing, recalculated 2: =1+1",
		"One!A3: stored 1, recalculated nothing: =2-1",
		"Two: the recalculated book lacks this sheet",
	}, differ)
}

func TestCompareStopsAtTwenty(t *testing.T) {
	stored := Grid{"S": {}}
	for i := 1; i <= 50; i++ {
		ref, err := excelize.CoordinatesToCellName(1, i)
		require.NoError(t, err)
		stored["S"][ref] = Value{Kind: Number, Num: 1, Formula: "2"}
	}
	r := &recorder{TB: t}
	assert.Equal(t, 50, Compare(r, stored, Grid{"S": {}}, 1e-9))
	assert.Len(t, r.errors, mostReported+1)
}

func TestReadSeesUnderMergesAndSkipsCharts(t *testing.T) {
	f := excelize.NewFile()
	sw, err := f.NewStreamWriter("Sheet1")
	require.NoError(t, err)
	require.NoError(t, sw.SetRow("A1", []any{"title", nil, "hidden"}))
	require.NoError(t, sw.MergeCell("A1", "D1"))
	require.NoError(t, sw.Flush())
	require.NoError(t, f.AddChartSheet("Picture", &excelize.Chart{Type: excelize.Col,
		Series: []excelize.ChartSeries{{Values: "Sheet1!$A$1:$A$2"}}}))
	path := filepath.Join(t.TempDir(), "merged.xlsx")
	require.NoError(t, f.SaveAs(path))
	g := Read(t, path)
	assert.NotContains(t, g, "Picture")
	assert.Equal(t, map[string]Value{
		"A1": {Kind: Text, Text: "title"}, "C1": {Kind: Text, Text: "hidden"},
	}, g["Sheet1"])
}

func TestToPNG(t *testing.T) {
	t.Parallel()
	path := book(t, []excelize.Cell{{Value: "seen"}})
	pages := ToPNG(t, path, filepath.Join(t.TempDir(), "pages"))
	require.Len(t, pages, 1)
	data, err := os.ReadFile(pages[0])
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(data), "\x89PNG"))
}
