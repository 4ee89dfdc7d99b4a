package book

import (
	"fmt"
	"slices"

	"seamtally/sheets/part/worksheet"
)

// Typed is a cell that is read as if somebody had typed it, in a run that writes
// nothing.
type Typed struct {
	Sheet    string
	Row, Col int
	Kind     worksheet.Kind
	Num      float64
	Text     string
}

// TypeOver has cells read as typed from now on. Their rows must be there.
func (b *Book) TypeOver(cells []Typed) error {
	for _, c := range cells {
		i := b.Workbook.Sheet(c.Sheet)
		if i < 0 {
			return fmt.Errorf("there is no sheet %q", c.Sheet)
		}
		if b.over == nil {
			b.over = map[string][]worksheet.Cell{}
		}
		part := b.Workbook.Sheets[i].PartName
		b.over[part] = append(b.over[part], worksheet.Cell{Row: c.Row, Col: c.Col, Kind: c.Kind, Num: c.Num, Text: c.Text})
	}
	return nil
}

// typedOver is a row with what is typed over in it.
func typedOver(r *worksheet.Row, cells []worksheet.Cell) *worksheet.Row {
	out := r
	for _, c := range cells {
		if c.Row != r.Num {
			continue
		}
		if out == r { // the reader's own cells stay
			row := *r
			row.Cells = slices.Clone(r.Cells)
			out = &row
		}
		i, found := slices.BinarySearchFunc(out.Cells, c.Col, func(have worksheet.Cell, col int) int { return have.Col - col })
		if found {
			c.Style = out.Cells[i].Style
			out.Cells[i] = c
			continue
		}
		out.Cells = slices.Insert(out.Cells, i, c)
	}
	return out
}

// overEditor edits rows with what is typed over in them.
type overEditor struct {
	worksheet.Editor
	cells []worksheet.Cell
}

func (o overEditor) Row(r *worksheet.Row) (worksheet.RowEdit, error) {
	return o.Editor.Row(typedOver(r, o.cells))
}
