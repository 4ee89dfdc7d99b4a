package account

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

// ParseSettling reads SHEET!COLUMN=INPUT, with a unit behind a comma, or
// SHEET!COLUMN=own, SHEET!*=own, SHEET=own, SHEET!CELLS=own, Other work=none.
func ParseSettling(text string) (s Settling, err error) {
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

// Settle takes what the command line settles: it goes before what the Columns
// table says of the same place, and is kept there.
func (b *Ledger) Settle(all []Settling) error {
	for _, s := range all {
		if strings.EqualFold(s.As, None) && strings.EqualFold(s.Sheet, OtherWork) {
			b.PartsNone = true
			continue
		}
		i := b.Workbook.Sheet(s.Sheet)
		if i < 0 {
			return fmt.Errorf("--settle: the workbook has no sheet %q; write its title as on its tab", s.Sheet)
		}
		if _, known := b.Headings.Column(s.As); !known && !book.IsOwn(s.As) {
			return fmt.Errorf("--settle: %q is no input of a joint list; write its name, as the second column of the Columns table on Assumptions has it, or own", s.As)
		}
		if s.Cells.Row1 > 0 {
			s.Sheet = b.Workbook.Sheets[i].Name
			b.cells = append(b.cells, settledCells{Settling: s})
			continue
		}
		b.Own.Records = append([]book.ColumnRecord{{
			Sheet: b.Workbook.Sheets[i].Name, Col: s.Col, SettledAs: s.As, SettledUnit: s.Unit, AnyRow: true,
		}}, b.Own.Records...)
	}
	return nil
}

// WholeSettled are what the shop has settled of whole sheets, of all columns of a
// list, and of words among joints, with the sheets of which it is still to be settled.
func (b *Ledger) WholeSettled() []book.ColumnRecord {
	var out []book.ColumnRecord
	seen := map[string]bool{}
	add := func(r book.ColumnRecord) {
		if key := fmt.Sprint(r.Col, strings.ToLower(r.Sheet)); !seen[key] && b.Workbook.Sheet(r.Sheet) >= 0 {
			seen[key] = true
			out = append(out, r)
		}
	}
	for _, r := range b.Own.Records {
		if !r.Ours && r.Col <= 0 && r.SettledAs != "" {
			add(r)
		}
	}
	for _, title := range b.whole {
		add(book.ColumnRecord{Sheet: title, Col: book.OfSheet})
	}
	return append(out, b.titles...)
}

// columnOf is the number of a column by its letters, 0 if they are none.
func columnOf(letters string) int {
	r, err := grid.ParseRange(strings.ToUpper(letters) + "1")
	if err != nil || r.Col1 > grid.MaxCol {
		return 0
	}
	return r.Col1
}
