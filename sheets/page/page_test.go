package page_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sheetstest"
)

// shops is a workbook with a sheet of the shop's.
func shops(t *testing.T) string {
	f := excelize.NewFile()
	require.NoError(t, f.SetCellValue("Sheet1", "A1", "the shop's"))
	path := filepath.Join(t.TempDir(), "book.xlsx")
	require.NoError(t, f.SaveAs(path))
	return path
}

// written gives what a workbook holds once a plan is written into it, and the
// cells that were shown meanwhile.
func written(t *testing.T, path string, p *page.Plan) (sheetstest.Grid, []string) {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	pkg, err := opc.Open(bytes.NewReader(data), int64(len(data)), opc.DefaultLimits())
	require.NoError(t, err)
	wb, err := workbook.Read(pkg)
	require.NoError(t, err)
	styles, err := wb.ReadStyles(pkg)
	require.NoError(t, err)
	e := pkg.Edit()
	defer e.Close()
	var seen []string
	to := page.Target{Workbook: wb, Styles: styles}
	if wb.SharedStrings != "" {
		src, err := pkg.Read(wb.SharedStrings)
		require.NoError(t, err)
		to.Strings, err = worksheet.ReadStrings(bytes.NewReader(src))
		require.NoError(t, err)
	}
	to.See = func(title string, r *worksheet.Row, _ *worksheet.Cell, c page.Cell, _ worksheet.NewCell) {
		seen = append(seen, title+"!"+grid.Ref(r.Num, c.Col))
	}
	var patch workbook.Changes
	patch.AddSheets, patch.SetNames, err = p.Into(e, to)
	require.NoError(t, err)
	require.NoError(t, wb.PutStyles(e, styles))
	src, err := e.Read(wb.Part)
	require.NoError(t, err)
	out, err := wb.Patch(src, patch)
	require.NoError(t, err)
	e.Replace(wb.Part, out)
	f, err := os.Create(path)
	require.NoError(t, err)
	_, err = e.WriteTo(f)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return sheetstest.Read(t, path), seen
}

// change changes a workbook as a shop does.
func change(t *testing.T, path string, do func(f *excelize.File)) {
	f, err := excelize.OpenFile(path)
	require.NoError(t, err)
	do(f)
	require.NoError(t, f.Save())
	require.NoError(t, f.Close())
}

// laid is a plan with a cell of each owner.
func laid(build bool, of float64) *page.Plan {
	p := page.New("Ours", build)
	p.Put(2, page.Text(1, look.Label, "made once", page.Static))
	p.Put(2, page.Number(3, look.Calc, "0", of, page.Ours).Live("1+1"))
	p.Put(2, page.Number(2, look.Input, "0", 5, page.Shop))
	return p
}

// A sheet is made with all its cells. At the next run only those of ours are
// written again, or whose row is new; what the shop has changed stays.
func TestWhoMayChangeACell(t *testing.T) {
	path := shops(t)
	got, seen := written(t, path, laid(true, 2))
	assert.Equal(t, "the shop's", got["Sheet1"]["A1"].Text)
	assert.Equal(t, map[string]sheetstest.Value{
		"A2": {Kind: sheetstest.Text, Text: "made once"},
		"B2": {Kind: sheetstest.Number, Num: 5},
		"C2": {Kind: sheetstest.Number, Num: 2, Formula: "1+1"},
	}, got["Ours"])
	assert.Equal(t, []string{"Ours!A2", "Ours!B2", "Ours!C2"}, seen)

	change(t, path, func(f *excelize.File) {
		require.NoError(t, f.SetCellValue("Ours", "A2", "worded anew"))
		require.NoError(t, f.SetCellValue("Ours", "B2", 7))
		require.NoError(t, f.SetCellValue("Ours", "C2", 8))
		require.NoError(t, f.SetCellValue("Ours", "D2", "a note"))
	})
	p := laid(false, 3)
	fresh := page.Text(2, look.InputText, "arrived", page.Shop)
	fresh.Fresh = true
	p.Put(3, fresh)
	got, seen = written(t, path, p)
	assert.Equal(t, map[string]sheetstest.Value{
		"A2": {Kind: sheetstest.Text, Text: "worded anew"},
		"B2": {Kind: sheetstest.Number, Num: 7},
		"C2": {Kind: sheetstest.Number, Num: 3, Formula: "1+1"},
		"D2": {Kind: sheetstest.Text, Text: "a note"},
		"B3": {Kind: sheetstest.Text, Text: "arrived"},
	}, got["Ours"])
	assert.Equal(t, []string{"Ours!C2", "Ours!B3"}, seen)
}

// Where columns are written whole, what is in them and not in the plan goes, and
// what is to the right of them stays.
func TestWholeColumns(t *testing.T) {
	path := shops(t)
	written(t, path, laid(true, 2))
	change(t, path, func(f *excelize.File) {
		for _, at := range []string{"A2", "B2", "A3", "C9", "D2", "D9"} {
			require.NoError(t, f.SetCellValue("Ours", at, "typed"))
		}
	})
	p := laid(false, 2)
	p.Whole = 3
	got, _ := written(t, path, p)
	typed := sheetstest.Value{Kind: sheetstest.Text, Text: "typed"}
	assert.Equal(t, map[string]sheetstest.Value{
		"A2": {Kind: sheetstest.Text, Text: "made once"},
		"B2": {Kind: sheetstest.Number, Num: 5},
		"C2": {Kind: sheetstest.Number, Num: 2, Formula: "1+1"},
		"D2": typed, "D9": typed,
	}, got["Ours"])
}

// A name of the shop's, for the workbook or for a sheet, is left alone; one that
// came with a copy of a sheet of ours is in nobody's way.
func TestNamesThatAreTaken(t *testing.T) {
	wb := &workbook.Workbook{Names: []workbook.DefinedName{
		{Name: "RATE", Sheet: -1, Ref: "Sheet1!$A$1"},
		{Name: "rate_2", Sheet: 1, Ref: "Sheet1!$A$2"},
		{Name: "hours", Sheet: -1, Ref: "Ours!$B$2"},
		{Name: "seamtally.summary", Sheet: 2, Ref: "'Ours (2)'!$A$1"},
		{Name: "gas", Sheet: 2, Ref: "'Ours (2)'!$B$3"},
		{Name: "gone", Sheet: -1, Ref: "#REF!"},
	}}
	n := page.NewNames(wb, func(ref string) bool { sheet, _, _ := page.SplitRef(ref); return sheet == "Ours" })
	assert.Equal(t, "rate_3", n.Use("rate"))
	assert.Equal(t, "rate_3", n.Use("rate"), "asked again")
	assert.Equal(t, "hours", n.Use("hours"))
	assert.Equal(t, "gas", n.Use("gas"))
	assert.Equal(t, "Ours!$B$2", n.Find("hours"))
	assert.Empty(t, n.Find("travel"))
	assert.True(t, n.Has("hours"))
	assert.True(t, n.Has("gone"), "the name is there, though what it pointed at is not")
	assert.False(t, n.Has("travel"))
	n.Define("rate", "Ours!$B$9")
	assert.Equal(t, []workbook.DefinedName{{Name: "rate_3", Sheet: -1, Ref: "Ours!$B$9"}}, n.Defined)
	wanted, actual := n.Renamed()
	assert.Contains(t, wanted, "rate")
	assert.Contains(t, actual, "rate_3")
	assert.NotContains(t, wanted, "hours")
}

// A reference comes back from its text, whatever its sheet is called.
func TestReferences(t *testing.T) {
	block := grid.Range{Row1: 2, Col1: 1, Row2: 5, Col2: 28}
	cell := grid.Range{Row1: 7, Col1: 2, Row2: 7, Col2: 2}
	assert.Equal(t, "'Joe''s list'!$A$2:$AB$5", page.RangeRef("Joe's list", block))
	for _, sheet := range []string{"Ours", "Joe's list", "a!b", "2026"} {
		for _, r := range []grid.Range{block, cell} {
			back, at, ok := page.SplitRef(page.RangeRef(sheet, r))
			assert.True(t, ok)
			assert.Equal(t, sheet, back)
			assert.Equal(t, r, at)
		}
	}
	for _, bad := range []string{"", "A1", "Ours!", "#REF!", "Ours!rate"} {
		_, _, ok := page.SplitRef(bad)
		assert.False(t, ok, bad)
	}
}

func TestTemplate(t *testing.T) {
	f := page.NewTemplate("B" + page.RowMark + "*C" + page.RowMark)
	assert.Equal(t, "B12*C12", f.At(12))
	assert.Equal(t, "=B7*C7", string(f.AppendAt([]byte("="), "7")))
	assert.Equal(t, "1+1", page.NewTemplate("1+1").At(12))
	for formula, is := range map[string]bool{"B12*C12": true, "": false, "B12*C13": false, "B12*C12+1": false, "B12*D12": false, "B1*C1": false} {
		assert.Equal(t, is, f.Gives(formula, "12"), formula)
	}
	assert.Equal(t, `"3"""`, page.Quoted(`3"`))
}
