package sheetstest

import (
	"errors"
	"fmt"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
)

// The kinds of [Value].
const (
	Number = "number"
	Text   = "text"
	Bool   = "bool"
	Error  = "error"
	Empty  = "empty"
)

// Value is one cell as stored in the file: no number format is applied.
type Value struct {
	Kind    string  // Number, Text, Bool, Error or Empty
	Num     float64 // the number; 1 or 0 for a Bool
	Text    string  // the text, or the error's text such as "#N/A"
	Formula string  // without the leading "="; "" for a constant
}

// String says the value as a failing test should show it.
func (v Value) String() string {
	switch v.Kind {
	case Number:
		return strconv.FormatFloat(v.Num, 'g', -1, 64)
	case Text:
		return strconv.Quote(v.Text)
	case Bool:
		if v.Num != 0 {
			return "TRUE"
		}
		return "FALSE"
	case Error:
		return v.Text
	default:
		return "nothing"
	}
}

// Grid holds the cells that are not blank: sheet name, then A1 reference.
type Grid map[string]map[string]Value

// Read gives the typed cells of the workbook at path, formulas included, as
// excelize reads them. Chart sheets are left out. It fails the test when the
// workbook cannot be read.
func Read(t testing.TB, path string) Grid {
	t.Helper()
	g, err := readGrid(path)
	if err != nil {
		t.Fatalf("reading %s: %v", path, err)
	}
	return g
}

func readGrid(path string) (_ Grid, err error) {
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	g := Grid{}
	for _, sheet := range f.GetSheetList() {
		cells, err := readSheet(f, sheet)
		if errors.Is(err, errNotCells) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("sheet %q: %w", sheet, err)
		}
		g[sheet] = cells
	}
	return g, nil
}

// errNotCells marks a sheet that holds no cells, such as a chart sheet.
var errNotCells = errors.New("not a sheet of cells")

func readSheet(f *excelize.File, sheet string) (map[string]Value, error) {
	// Before all else: a sheet that the reader has taken apart already, as the
	// following does, it would first write out again.
	rows, err := f.GetRows(sheet)
	if err != nil {
		if err.Error() == fmt.Sprintf("sheet %s is not a worksheet", sheet) {
			return nil, errNotCells
		}
		return nil, err
	}
	// The reader answers for every cell of a merged range with the first one's
	// content. What a file hides under a merge must be seen as it is.
	merged, err := f.GetMergeCells(sheet, true)
	if err != nil {
		if err.Error() == fmt.Sprintf("sheet %s is not a worksheet", sheet) {
			return nil, errNotCells
		}
		return nil, err
	}
	for _, m := range merged {
		if err := f.UnmergeCell(sheet, m.GetStartAxis(), m.GetEndAxis()); err != nil {
			return nil, err
		}
	}
	cells := make(map[string]Value)
	for r, row := range rows {
		for c, raw := range row {
			ref, err := excelize.CoordinatesToCellName(c+1, r+1)
			if err != nil {
				return nil, err
			}
			v, err := readCell(f, sheet, ref, raw)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", ref, err)
			}
			if v.Kind != Empty || v.Formula != "" {
				cells[ref] = v
			}
		}
	}
	return cells, nil
}

func readCell(f *excelize.File, sheet, ref, raw string) (Value, error) {
	kind, err := f.GetCellType(sheet, ref)
	if err != nil {
		return Value{}, err
	}
	formula, err := f.GetCellFormula(sheet, ref)
	if err != nil {
		return Value{}, err
	}
	v := Value{Formula: formula}
	switch kind {
	case excelize.CellTypeUnset, excelize.CellTypeNumber:
		if raw == "" {
			v.Kind = Empty
			return v, nil
		}
		v.Kind = Number
		v.Num, err = strconv.ParseFloat(raw, 64)
		return v, err
	case excelize.CellTypeBool:
		v.Kind = Bool
		v.Num, err = strconv.ParseFloat(raw, 64)
		return v, err
	case excelize.CellTypeError:
		v.Kind, v.Text = Error, raw
		return v, nil
	default:
		v.Kind, v.Text = Text, raw
		// A constant text of nothing is a blank cell; a formula's is a result.
		if raw == "" && formula == "" {
			v.Kind = Empty
		}
		return v, nil
	}
}
