package joints

import (
	"math"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/worksheet"
)

// saysADay reports whether a row that does not follow a joint right below it says words and a
// day and nothing else: "Printed", 1 June. A kind is of a joint, and so are two days: a
// spreadsheet makes one of a fraction.
func (ed *Editor) saysADay(r *worksheet.Row) bool {
	if ed.sums.row == 0 || r.Num <= ed.sums.row+1 {
		return false
	}
	if c := ed.Inputs[ed.kindAt]; Filled(c) {
		if _, _, err := ed.b.Words.Read("kind", book.CellText(*c), ed.b.TableNames(ed.Cols[ed.kindAt].Reader.table)); err == nil {
			return false
		}
	}
	words, days := 0, 0
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case !Filled(c) || ed.OurCell(c.Col):
		case c.Kind == worksheet.Number && ed.b.IsDate(c.Style), c.Kind == worksheet.Text && ed.b.isDay(c.Text):
			days++
		case c.Kind == worksheet.Number && isYear(c.Num):
		case c.Kind == worksheet.Text && !strings.ContainsAny(c.Text, "0123456789½¼¾"):
			words++
		default:
			return false
		}
	}
	return words == 1 && days == 1
}

// isDay reports whether a text is a day in words: a month, and besides it numbers alone.
func (b *Lists) isDay(text string) bool {
	months := 0
	for _, w := range entry.WordsIn(text) {
		if _, _, err := b.Words.Read("month", w, nil); err == nil {
			months++
		} else if strings.Trim(w, "0123456789.") != "" {
			return false
		}
	}
	return months == 1 && strings.ContainsAny(text, "0123456789")
}

// isYear reports whether a number may be that of a year in our time.
func isYear(x float64) bool { return x == math.Trunc(x) && x >= 1990 && x < 2100 }
