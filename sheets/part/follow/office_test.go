package follow

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

const (
	officeSums = "Our 'own' sums"
	officeRef  = "'Our ''own'' sums'!"
)

// rowsAnew gives rows other cells.
type rowsAnew map[int]worksheet.RowEdit

func (e rowsAnew) Row(r *worksheet.Row) (worksheet.RowEdit, error) { return e[r.Num], nil }

func (e rowsAnew) Next(after int) int {
	if after < slices.Max(slices.Collect(maps.Keys(e))) {
		return after + 1
	}
	return 0
}

// pointed is an invented workbook in which all sorts of things point at a sheet.
func pointed(t *testing.T) *opc.Package {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", officeSums))
	_, err := f.NewSheet("Demo")
	require.NoError(t, err)
	for row := 1; row <= 20; row++ {
		require.NoError(t, f.SetSheetRow(officeSums, fmt.Sprint("A", row), &[]any{fmt.Sprint("demo ", row), row * row, row * 3}))
	}
	require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "twelve", RefersTo: officeRef + "$B$12"}))
	for i, formula := range []string{
		officeRef + "B9+" + officeRef + "B10", "SUM(" + officeRef + "B2:B20)", "SUM(" + officeRef + "$B$12:$C$14)*2", "SUM(" + officeRef + "B:B)", "SUM(" + officeRef + "10:12)",
		"SUM(" + officeRef + "$C$12:$C$1048576)", "INDEX(" + officeRef + "$B$11:$C$20,3,2)", `VLOOKUP("demo 14",` + officeRef + "$A$2:$C$20,2,FALSE)", "twelve*2", "LEN(\"" + strings.ReplaceAll(officeRef, `"`, `""`) + "B10\")", "COUNT(" + officeRef + "B10:" + officeRef + "B12)",
	} {
		require.NoError(t, f.SetCellFormula("Demo", fmt.Sprint("A", i+1), formula))
	}
	ref, kind := "D5:D16", excelize.STCellFormulaTypeShared
	require.NoError(t, f.SetCellFormula("Demo", "D5", officeRef+"B5*"+officeRef+"C$11", excelize.FormulaOpts{Ref: &ref, Type: &kind}))
	red, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: "9C0006"}})
	require.NoError(t, err)
	require.NoError(t, f.SetConditionalFormat("Demo", "D5:D9", []excelize.ConditionalFormatOptions{{Type: "formula", Criteria: "D5>" + officeRef + "$B$12", Format: &red}}))
	dv := excelize.NewDataValidation(true)
	dv.Sqref = "F1"
	dv.SetSqrefDropList(officeRef + "$A$10:$A$12")
	require.NoError(t, f.AddDataValidation("Demo", dv))
	require.NoError(t, f.AddComment(officeSums, excelize.Comment{Cell: "B12", Author: "demo", Text: "invented"}))
	require.NoError(t, f.AddComment(officeSums, excelize.Comment{Cell: "B3", Author: "demo", Text: "stays"}))
	png, err := base64.StdEncoding.DecodeString(parttest.OnePixel)
	require.NoError(t, err)
	require.NoError(t, f.AddPictureFromBytes(officeSums, "E15", &excelize.Picture{Extension: ".png", File: png, Format: &excelize.GraphicOptions{}}))
	require.NoError(t, f.AddChart("Demo", "H2", &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{
		{Name: officeRef + "$A$12", Categories: officeRef + "$A$12:$A$16", Values: officeRef + "$B$12:$B$16"}}}))
	return parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes)
}

// LibreOffice works out the same figures of a workbook whose cells have moved, and
// finds the format, the list of choice, the notes, the picture and the chart where
// they should be.
func TestWhatFollowsInLibreOffice(t *testing.T) {
	p := pointed(t)
	w, err := workbook.Read(p)
	require.NoError(t, err)
	m := lowered(10, 3)
	m.Sheet = officeSums
	m.At = func(r, c int) (int, int, bool) { return m.Row(r), c, true }
	e := p.Edit()
	defer e.Close()
	ours := w.Sheets[w.Sheet(officeSums)].PartName
	names, lost, err := Cells(w, e, m, func(part string) bool { return part == ours })
	require.NoError(t, err)
	assert.Empty(t, lost)
	require.Len(t, names, 1)
	require.NoError(t, e.Change(w.Part, func(src []byte) ([]byte, error) {
		return w.Patch(src, workbook.Changes{SetNames: names})
	}))
	// The caller's half of the work: the cells themselves.
	rows := rowsAnew{}
	for row := 1; row <= 20; row++ {
		if to := m.Row(row); to != row {
			rows[to] = worksheet.RowEdit{Cells: []worksheet.NewCell{{Col: 1, Kind: worksheet.Text, Text: fmt.Sprint("demo ", row)}, {Col: 2, Kind: worksheet.Number, Num: float64(row * row)}, {Col: 3, Kind: worksheet.Number, Num: float64(row * 3)}}}
		}
	}
	for row := 10; row < 13; row++ {
		rows[row] = worksheet.RowEdit{Cells: []worksheet.NewCell{{Col: 1, Op: worksheet.Remove}, {Col: 2, Op: worksheet.Remove}, {Col: 3, Op: worksheet.Remove}}}
	}
	var sheet bytes.Buffer
	ss, err := p.Open("xl/sharedStrings.xml")
	require.NoError(t, err)
	defer ss.Close()
	texts, err := worksheet.ReadStrings(ss)
	require.NoError(t, err)
	require.NoError(t, worksheet.Splice(&sheet, strings.NewReader(parttest.Read(t, e, ours)), worksheet.Edit{Editor: rows, Strings: texts, Extent: "A1:C23"}))
	e.Replace(ours, sheet.Bytes())

	out := parttest.Convert(t, "xlsx", map[string][]byte{"was.xlsx": parttest.Written(t, p.Edit()), "is.xlsx": parttest.Written(t, e)})
	was, err := excelize.OpenFile(filepath.Join(out, "was.xlsx"))
	require.NoError(t, err)
	defer was.Close()
	is, err := excelize.OpenFile(filepath.Join(out, "is.xlsx"))
	require.NoError(t, err)
	defer is.Close()
	compared := 0
	for _, cells := range [][2]int{{1, 11}, {4, 16}} {
		for row := 1; row <= cells[1]; row++ {
			want, err := was.GetCellValue("Demo", grid.Ref(row, cells[0]))
			require.NoError(t, err)
			got, err := is.GetCellValue("Demo", grid.Ref(row, cells[0]))
			require.NoError(t, err)
			assert.Equal(t, want, got, grid.Ref(row, cells[0]))
			if want != "" {
				compared++
			}
		}
	}
	assert.Equal(t, 11+12, compared)
	got, err := is.GetCellValue("Demo", "A1")
	require.NoError(t, err)
	assert.Equal(t, "181", got, "9*9 and 10*10")
	for _, c := range []struct{ cell, want string }{{"D9", officeRef + "B9*" + officeRef + "C$14"}, {"D10", officeRef + "B13*" + officeRef + "C$14"}, {"D16", officeRef + "B19*" + officeRef + "C$14"}} {
		formula, err := is.GetCellFormula("Demo", c.cell)
		require.NoError(t, err)
		assert.Equal(t, c.want, strings.ReplaceAll(formula, "$"+officeRef, officeRef), c.cell)
	}
	formats, err := is.GetConditionalFormats("Demo")
	require.NoError(t, err)
	require.Len(t, formats["D5:D9"], 1)
	assert.Equal(t, "D5>"+officeRef+"$B$15", strings.ReplaceAll(formats["D5:D9"][0].Criteria, "$"+officeRef, officeRef))
	choices, err := is.GetDataValidations("Demo")
	require.NoError(t, err)
	require.Len(t, choices, 1)
	assert.Contains(t, choices[0].Formula1, "$A$13:$A$15")
	notes, err := is.GetComments(officeSums)
	require.NoError(t, err)
	var at []string
	for _, n := range notes {
		at = append(at, n.Cell)
	}
	assert.ElementsMatch(t, []string{"B3", "B15"}, at)
	pictures, err := is.GetPictureCells(officeSums)
	require.NoError(t, err)
	assert.Equal(t, []string{"E18"}, pictures)
	back := parttest.Open(t, []byte(parttest.ReadFile(t, filepath.Join(out, "is.xlsx"))), opc.OpenBytes)
	chart := ""
	for _, name := range back.Names() {
		if strings.HasPrefix(name, "xl/charts/chart") {
			chart += parttest.Read(t, back, name)
		}
	}
	assert.Contains(t, chart, "$B$15:$B$19")
	assert.Contains(t, chart, "$A$15:$A$19")
	assert.NotContains(t, chart, "$B$12")
}
