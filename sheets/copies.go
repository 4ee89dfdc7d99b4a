package sheets

import (
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/part"
)

// Shops keep copies of our sheets: a Summary as it was sent, Assumptions to try
// something out. A spreadsheet program copies the names that point at the sheet
// too, for the copy alone. Such a sheet is the shop's.

// assumeLegend begins the second row of Assumptions.
const assumeLegend = "Bordered cells are yours to change"

// copyOf is the sheet of ours that a sheet of the shop's is a copy of, by what its
// first rows say; "" if it is none.
func copyOf(rows []headingRow) string {
	at := func(row, col int) string {
		for _, r := range rows {
			for _, c := range r.cells {
				if r.num == row && c.Col == col {
					return cellText(c)
				}
			}
		}
		return ""
	}
	title, verdict := at(1, sumNo), at(3, sumName)
	switch {
	case title == summaryUsual && (verdict == compute.WordComplete || verdict == compute.WordIncomplete):
		return title
	case title == assumeUsual && strings.HasPrefix(at(2, assumeKey), assumeLegend):
		return title
	}
	for _, s := range bidSheets() {
		if title == s.title && (verdict == compute.WordOK || verdict == compute.WordLook) {
			return title
		}
	}
	return ""
}

// leaveAlone tells of a copy.
func (b *jointLists) leaveAlone(s part.SheetEntry, of string) {
	b.note(LevelNote, "copy", s.Name, fmt.Sprintf("the sheet is a copy of our %s; it is left as it is, and nothing is read from it", of), "")
}

// The titles that our two sheets usually have.
const (
	summaryUsual = "Summary"
	assumeUsual  = "Assumptions"
)
