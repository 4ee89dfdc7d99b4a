package assumptions

import (
	"math"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Unusable is a cell of what the shop has set that no order can be worked out with.
type Unusable struct {
	Cell     string  // where it is typed
	Num      float64 // what formulas take it for; NaN for what gives an error
	Quantity *model.Quantity
	Line     int // of its table, counted from 0
	Row      int // on Assumptions
}

// passOver notes a cell that cannot be read, of a run that comes to its end all the same.
func (b *Sheet) passOver(at *Places, row, col int) (cell string) {
	c := b.Own.Cell(row, col)
	u := Unusable{Cell: b.TypedCell(row, col), Num: math.NaN(), Row: row}
	if c.Kind == worksheet.Number || c.Kind == worksheet.Empty && !c.HasFormula {
		u.Num = c.Num
	}
	for _, q := range b.Model.Singles.Quantities {
		if at.Key[q.Key] == row {
			u.Quantity = q
		}
	}
	for _, t := range b.Model.Tables {
		for q, of := range at.Table[t].Cols {
			if i := row - at.Table[t].First; of == col && i >= 0 && i < len(b.Values.Rows(t).Frames) {
				u.Quantity, u.Line = q, i
			}
		}
	}
	if u.Quantity != nil {
		b.Unusable = append(b.Unusable, u)
	}
	return u.Cell
}

// TypedCell is where a value of Assumptions is typed: on the shop's own list of cars,
// where the cell is a plain reference to that; else there.
func (b *Sheet) TypedCell(row, col int) string {
	if sheet, at, ok := page.SplitRef(b.Own.Cell(row, col).Formula); ok && b.Cars != nil && strings.EqualFold(sheet, b.Cars.Title) {
		return b.Cars.Title + "!" + grid.Ref(at.Row1, at.Col1)
	}
	return b.Own.Assumptions + "!" + grid.Ref(row, col)
}
