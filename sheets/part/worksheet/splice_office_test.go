package worksheet

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
	"seamtally/sheets/part/workbook"
)

// spliced edits one sheet part of a package through a spool, as the program
// does, and returns the new file.
func spliced(t testing.TB, p *opc.Package, part string, ed Edit) []byte {
	t.Helper()
	if p.Has("xl/sharedStrings.xml") {
		rc, err := p.Open("xl/sharedStrings.xml")
		require.NoError(t, err)
		ed.Strings, err = ReadStrings(rc)
		require.NoError(t, err)
		require.NoError(t, rc.Close())
	}
	e := p.Edit()
	defer func() { require.NoError(t, e.Close()) }()
	src, err := p.Open(part)
	require.NoError(t, err)
	defer src.Close()
	dst, err := e.Spool(part)
	require.NoError(t, err)
	require.NoError(t, Splice(dst, src, ed))
	require.NoError(t, dst.Close())
	return parttest.Written(t, e)
}

// Every sheet of the library's samples: without edits nothing changes; with
// some, the library reads the new cells and all the old ones.
func TestSpliceLibraryBooks(t *testing.T) {
	row := cellsOf(num(40, 2.5), str(41, " <a> "), calc(42, "1+1", 2), NewCell{Col: 43, Kind: Bool, Num: 1}, NewCell{Col: 44, Kind: Error, Text: "#N/A", Formula: "NA()"})
	change := Edit{Editor: edits{1: row, 7: row, 1000: row}, Extent: "AN1:AR1000", Cols: []Col{{Min: 40, Max: 42, Width: 12, Style: -1, OutlineLevel: 1}}}
	books := parttest.LibraryBooks(t, func(data []byte) (*opc.Package, error) {
		p, err := opc.OpenBytes(data)
		if err == nil {
			_, err = workbook.Read(p)
		}
		return p, err
	})
	for name, p := range books {
		w, err := workbook.Read(p)
		require.NoError(t, err)
		for _, s := range w.Sheets {
			if !strings.Contains(s.PartName, "worksheets/") {
				continue
			}
			before := sheetText(t, p, s.Name)
			same := spliced(t, p, s.PartName, Edit{Editor: edits{}})
			assert.Equal(t, parttest.Read(t, p, s.PartName), parttest.Read(t, parttest.Open(t, same, opc.OpenBytes), s.PartName), name)

			out := parttest.Open(t, spliced(t, p, s.PartName, change), opc.OpenBytes)
			after := sheetText(t, out, s.Name)
			for _, r := range []string{"1", "7", "1000"} {
				for col, want := range map[string]string{"AN": "2.5", "AO": " <a> ", "AP": "2|1+1", "AQ": "1", "AR": "#N/A|NA()"} {
					assert.Equal(t, want, after[col+r], "%s %s %s", name, s.Name, col+r)
					delete(after, col+r)
				}
			}
			assert.Equal(t, before, after, "%s %s", name, s.Name)
			again := spliced(t, out, s.PartName, change)
			assert.Equal(t, readAll(t, out), again, "%s: a second run gives the same file", name)
		}
	}
}

// readAll gives a package written without edits, every entry copied raw.
func readAll(t testing.TB, p *opc.Package) []byte {
	t.Helper()
	return parttest.Written(t, p.Edit())
}

// sheetText reads a sheet with the spreadsheet library: value, and formula
// where there is one.
func sheetText(t testing.TB, p *opc.Package, sheet string) map[string]string {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(readAll(t, p)))
	require.NoError(t, err)
	defer f.Close()
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	cells := map[string]string{}
	for i, row := range rows {
		for k, text := range row {
			ref := grid.Ref(i+1, k+1)
			formula, err := f.GetCellFormula(sheet, ref)
			require.NoError(t, err)
			if formula != "" {
				text += "|" + formula
			}
			if text != "" {
				cells[ref] = text
			}
		}
	}
	return cells
}

// LibreOffice loads a spliced sheet and gives back the same cells, the outline
// and the hidden columns.
func TestSplicedSheetOpensInLibreOffice(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetRow("Sheet1", "A1", &[]any{"od", "wall", 3.0, true}))
	require.NoError(t, f.SetCellFormula("Sheet1", "C2", "C1*2"))
	left, yes, one := false, true, 1
	file := spliced(t, parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes), "xl/worksheets/sheet1.xml", Edit{
		Editor: edits{
			1: cellsOf(str(6, "_x0041_ & <b>\nline"), calc(7, `C1*2&" in"`, 0)),
			2: {Cells: []NewCell{num(5, 0.1), calc(6, "E2*10", 1)}, Hidden: &yes, OutlineLevel: &one},
			5: cellsOf(NewCell{Col: 1, Kind: Text, Text: "x", Formula: `"x"`}, NewCell{Col: 2, Kind: Bool, Num: 1}, NewCell{Col: 3, Kind: Error, Text: "#N/A", Formula: "NA()"}),
		},
		Extent: "A1:G5", SummaryRight: &left, OutlineLevelRow: 1,
		Cols: []Col{{Min: 5, Max: 6, Width: 20, Style: -1, OutlineLevel: 1, Hidden: true}, {Min: 7, Max: 7, Width: 11, Style: -1}},
	})
	out := parttest.Convert(t, "xlsx", map[string][]byte{"spliced.xlsx": file})
	got, err := excelize.OpenFile(filepath.Join(out, "spliced.xlsx"))
	require.NoError(t, err)
	defer got.Close()
	for ref, want := range map[string]string{"A1": "od", "C1": "3", "D1": "TRUE", "F1": "_x0041_ & <b>\nline", "E2": "0.1", "F2": "1", "A5": "x", "B5": "TRUE", "C5": "#N/A"} {
		text, err := got.GetCellValue("Sheet1", ref)
		require.NoError(t, err)
		assert.Equal(t, want, text, ref)
	}
	for ref, want := range map[string]string{"C2": "C1*2", "G1": `C1*2&" in"`, "F2": "E2*10", "C5": "NA()"} {
		formula, err := got.GetCellFormula("Sheet1", ref)
		require.NoError(t, err)
		assert.Equal(t, want, formula, ref)
	}
	level, err := got.GetColOutlineLevel("Sheet1", "F")
	require.NoError(t, err)
	assert.Equal(t, uint8(1), level)
	shown, err := got.GetColVisible("Sheet1", "E")
	require.NoError(t, err)
	assert.False(t, shown)
	visible, err := got.GetRowVisible("Sheet1", 2)
	require.NoError(t, err)
	assert.False(t, visible)
}
