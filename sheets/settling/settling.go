// Package settling reads what the command line settles: what a column, a sheet or words of
// a shop's workbook are.
package settling

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
)

// OtherWork is settled as none: all lines of the table that nothing was filled in on.
const OtherWork, None = "Other work", "none"

// Settling is what the shop says of a column or a sheet, on the command line.
type Settling struct {
	Sheet string
	Col   int        // or book.OfSheet, book.OfAll
	Cells grid.Range // in place of a column: words among joints that stand there
	As    string     // an input, or that it is the shop's own
	Unit  string     // of bare numbers in the column, "" for the heading's or the book's
}

// Parse reads SHEET!COLUMN=INPUT, with a unit behind a comma, or
// SHEET!COLUMN=own, SHEET!*=own, SHEET=own, SHEET!CELLS=own, Other work=none.
func Parse(text string) (s Settling, err error) {
	wrong := func(what string) (Settling, error) {
		return s, fmt.Errorf("--settle %q: %s; write as SHEET!COLUMN=INPUT, SHEET!COLUMN=own, SHEET!CELLS=own, SHEET=own or Other work=none, for example \"Coupe!E=qty\"", text, what)
	}
	i := strings.LastIndex(text, "=")
	if i < 0 {
		return wrong("there is no = in it")
	}
	place, as := strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])
	s.As, s.Unit, _ = strings.Cut(as, ",")
	s.As, s.Unit = strings.TrimSpace(s.As), strings.TrimSpace(s.Unit)
	s.Sheet = place
	if n := strings.LastIndex(place, "!"); n >= 0 {
		s.Sheet = strings.Trim(place[:n], "'")
		if col := strings.TrimSpace(place[n+1:]); col == "*" {
			s.Col = book.OfAll
		} else if r, err := grid.ParseRange(strings.ToUpper(col)); err == nil {
			s.Cells = r
		} else if s.Col = columnOf(col); s.Col == 0 {
			return wrong(fmt.Sprintf("%q is no column's letters and no cell", col))
		}
	}
	switch {
	case s.Sheet == "":
		return wrong("there is no sheet before the =")
	case s.As == "":
		return wrong("nothing stands behind the =")
	case strings.EqualFold(s.Sheet, OtherWork) && s.Col == 0:
		if !strings.EqualFold(s.As, None) {
			return wrong("other work is filled in on Assumptions, or it is none")
		}
	case s.Col <= 0 && !book.IsOwn(s.As):
		return wrong("a whole sheet can only be own, and so can words in a cell")
	}
	return s, nil
}

// columnOf is the number of a column by its letters, 0 if they are none.
func columnOf(letters string) int {
	r, err := grid.ParseRange(strings.ToUpper(letters) + "1")
	if err != nil || r.Col1 > grid.MaxCol {
		return 0
	}
	return r.Col1
}
