package workings

import (
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// notes are the notes that the shop has typed beside the rows of the
// tables of Workings: by block, then by what the row is called. A row's place
// may change when a car is added above it; its note goes with it.
type notes struct {
	cells map[int]map[int]worksheet.Cell // of the rows of Workings
}

// readNotes reads Workings of an earlier run.
func readNotes(b *book.Book) (notes, error) {
	n := notes{cells: map[int]map[int]worksheet.Cell{}}
	if b.Own.Workings == "" {
		return n, nil
	}
	_, err := b.ReadPart(b.Workbook.Sheets[b.Workbook.Sheet(b.Own.Workings)].PartName, func(r *worksheet.Row) error {
		row := map[int]worksheet.Cell{}
		for _, c := range r.Cells {
			row[c.Col] = c
		}
		n.cells[r.Num] = row
		return nil
	})
	return n, err
}

// of finds the note of the row of a block that is called so.
func (n notes) of(at page.Rows, noteCol int, name string) worksheet.Cell {
	for row := at.First; row <= at.Last(); row++ {
		if c, ok := n.cells[row][book.SumName]; ok && strings.EqualFold(book.CellText(c), name) {
			return n.cells[row][noteCol]
		}
	}
	return worksheet.Cell{}
}
