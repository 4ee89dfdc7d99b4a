package book

import (
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/part/worksheet"
)

// Shops keep copies of our sheets: a Summary as it was sent, Assumptions to try
// something out. A spreadsheet program copies the names that point at the sheet
// too, for the copy alone. Such a sheet is the shop's.

// AssumeLegend begins the second row of Assumptions.
const AssumeLegend = "Bordered cells are yours to change"

// CopyOf is the sheet of ours that a sheet of the shop's is a copy of, by what its
// first rows say; "" if it is none.
func CopyOf(rows []worksheet.Row) string {
	at := func(row, col int) string {
		for _, r := range rows {
			for _, c := range r.Cells {
				if r.Num == row && c.Col == col {
					return CellText(c)
				}
			}
		}
		return ""
	}
	title, verdict := at(1, SumNo), at(3, SumName)
	switch {
	case (title == WorkingsTitle || title == SummaryTitle) && judged(verdict),
		(title == SummaryTitle || title == OverviewTitle) && judged(at(3, SumNo)):
		return title
	case title == AssumptionsTitle && strings.HasPrefix(at(2, AssumeKey), AssumeLegend):
		return title
	}
	for _, k := range Kinds() {
		if (title == k.Title || k.Key == "rates" && title == ratesBefore) && (verdict == model.WordOK || verdict == model.WordLook) {
			return title
		}
	}
	return ""
}

// judged reports whether words are those of the master check.
func judged(words string) bool {
	return words == model.WordComplete || words == model.WordIncomplete
}
