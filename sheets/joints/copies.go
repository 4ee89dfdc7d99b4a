package joints

import (
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/book"
	"seamtally/sheets/part/workbook"
)

// Shops keep copies of our sheets: a Summary as it was sent, Assumptions to try
// something out. A spreadsheet program copies the names that point at the sheet
// too, for the copy alone. Such a sheet is the shop's.

// AssumeLegend begins the second row of Assumptions.
const AssumeLegend = "Bordered cells are yours to change"

// copyOf is the sheet of ours that a sheet of the shop's is a copy of, by what its
// first rows say; "" if it is none.
func copyOf(rows []headingRow) string {
	at := func(row, col int) string {
		for _, r := range rows {
			for _, c := range r.cells {
				if r.num == row && c.Col == col {
					return book.CellText(c)
				}
			}
		}
		return ""
	}
	title, verdict := at(1, book.SumNo), at(3, book.SumName)
	switch {
	case (title == book.WorkingsTitle || title == book.SummaryTitle) && judged(verdict),
		(title == book.SummaryTitle || title == book.OverviewTitle) && judged(at(3, book.SumNo)):
		return title
	case title == book.AssumptionsTitle && strings.HasPrefix(at(2, book.AssumeKey), AssumeLegend):
		return title
	}
	for _, k := range book.Kinds() {
		if title == k.Title && (verdict == compute.WordOK || verdict == compute.WordLook) {
			return title
		}
	}
	return ""
}

// leaveAlone tells of a copy.
func (b *Lists) leaveAlone(s workbook.Sheet, of string) {
	b.Note(book.LevelNote, "copy", s.Name, fmt.Sprintf("the sheet is a copy of our %s; it is left as it is, and nothing is read from it", of), "")
}

// judged reports whether words are those of the master check.
func judged(words string) bool {
	return words == compute.WordComplete || words == compute.WordIncomplete
}
