package summary

import (
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// summaryNotes are the notes that the shop has typed beside the rows of the
// Summary's tables: by block, then by what the row is called. A row's place
// may change when a car is added above it; its note goes with it.
type summaryNotes struct {
	cells map[int]map[int]worksheet.Cell // of the rows of the Summary
}

// readSummary reads the Summary sheet of an earlier run.
func readSummary(b *book.Book) (summaryNotes, error) {
	n := summaryNotes{cells: map[int]map[int]worksheet.Cell{}}
	if b.Own.Summary == "" {
		return n, nil
	}
	_, err := b.ReadPart(b.Workbook.Sheets[b.Workbook.Sheet(b.Own.Summary)].PartName, func(r *worksheet.Row) error {
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
func (n summaryNotes) of(at page.Rows, noteCol int, name string) worksheet.Cell {
	for row := at.First; row <= at.Last(); row++ {
		if c, ok := n.cells[row][book.SumName]; ok && strings.EqualFold(book.CellText(c), name) {
			return n.cells[row][noteCol]
		}
	}
	return worksheet.Cell{}
}
