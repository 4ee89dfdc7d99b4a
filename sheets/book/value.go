package book

import (
	"math"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// FigureCell is a figure of a frame as a cell.
func FigureCell(q *model.Quantity, f *formula.Frame, col int, role look.Role) page.Cell {
	if q.IsText() {
		return page.Text(col, look.CalcText, q.Text(f), page.Ours)
	}
	x := q.Num(f)
	c := page.Number(col, role, q.Shown, x, page.Ours)
	switch {
	case formula.IsBlank(x):
		c.Kind = worksheet.Text
	case math.IsNaN(x):
		c.Kind, c.Text = worksheet.Error, "#DIV/0!"
	}
	return c
}
