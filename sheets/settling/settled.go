package settling

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/grid"
)

// Settled is what the shop has settled of a workbook, on the command line and as its
// Columns table has it.
type Settled struct {
	PartsNone bool // lines of other work that nothing was filled in on are none
	in        *book.Book
	cells     []settledCells      // what the command line settles of words
	words     []book.ColumnRecord // such words that are settled
	whole     []string            // sheets of which it is to be settled, as a whole, what they are
}

// Of begins with what the workbook's Columns table has.
func Of(b *book.Book) *Settled { return &Settled{in: b} }

// Settle takes what the command line settles: it goes before what the Columns
// table says of the same place, and is kept there.
func (s *Settled) Settle(all []Settling) error {
	b := s.in
	for _, one := range all {
		if strings.EqualFold(one.As, None) && strings.EqualFold(one.Sheet, OtherWork) {
			s.PartsNone = true
			continue
		}
		i := b.Workbook.Sheet(one.Sheet)
		if i < 0 {
			return fmt.Errorf("--settle: the workbook has no sheet %q; write its title as on its tab", one.Sheet)
		}
		if _, known := b.Headings.Column(one.As); !known && !book.IsOwn(one.As) {
			return fmt.Errorf("--settle: %q is no input of a joint list; write its name, as the second column of the Columns table on Assumptions has it, or own", one.As)
		}
		if one.Cells.Row1 > 0 {
			one.Sheet = b.Workbook.Sheets[i].Name
			s.cells = append(s.cells, settledCells{Settling: one})
			continue
		}
		b.Own.Records = append([]book.ColumnRecord{{
			Sheet: b.Workbook.Sheets[i].Name, Col: one.Col, SettledAs: one.As, SettledUnit: one.Unit, AnyRow: true,
		}}, b.Own.Records...)
	}
	return nil
}

// AskWhole keeps a sheet of which it is to be settled what it is.
func (s *Settled) AskWhole(sheet string) { s.whole = append(s.whole, sheet) }

// WholeSettled are what the shop has settled of whole sheets, of all columns of a
// list, and of words among joints, with the sheets of which it is still to be settled.
func (s *Settled) WholeSettled() []book.ColumnRecord {
	var out []book.ColumnRecord
	seen := map[string]bool{}
	add := func(r book.ColumnRecord) {
		if key := fmt.Sprint(r.Col, strings.ToLower(r.Sheet)); !seen[key] && s.in.Workbook.Sheet(r.Sheet) >= 0 {
			seen[key] = true
			out = append(out, r)
		}
	}
	for _, r := range s.in.Own.Records {
		if !r.Ours && r.Col <= 0 && r.SettledAs != "" {
			add(r)
		}
	}
	for _, title := range s.whole {
		add(book.ColumnRecord{Sheet: title, Col: book.OfSheet})
	}
	return append(out, s.words...)
}

// Words among joints, beside the cars ordered, and in comments are settled one by one, by
// what they say and where they stand: others that come to stand there, or elsewhere, are
// asked about.

// Words are some words, and where on their sheet they stand.
type Words struct {
	Row, Col int
	Text     string
}

// WordsAsOwn is how the command line says that words of a sheet are the shop's own.
func WordsAsOwn(sheet string, all ...Words) string {
	at := grid.Range{Row1: all[0].Row, Col1: all[0].Col, Row2: all[0].Row, Col2: all[0].Col}
	for _, w := range all[1:] {
		at.Row2, at.Col1, at.Col2 = w.Row, min(at.Col1, w.Col), max(at.Col2, w.Col)
	}
	return book.SettleAs(sheet+"!"+at.String(), book.OwnWord)
}

// WordsAreOwn reports whether the shop has settled that words are its own, and keeps them
// for the Columns table.
func (s *Settled) WordsAreOwn(sheet string, w Words) bool {
	same := func(r book.ColumnRecord) bool {
		return strings.EqualFold(r.Sheet, sheet) && r.Row == w.Row && entry.SameWords(r.Words, w.Text)
	}
	by := slices.ContainsFunc(s.in.Own.Among, func(r book.ColumnRecord) bool { return same(r) && book.IsOwn(r.SettledAs) })
	for i := range s.cells {
		c := &s.cells[i]
		if strings.EqualFold(c.Sheet, sheet) && c.Cells.Contains(w.Row, w.Col) {
			by, c.used = true, true
		}
	}
	if by && !slices.ContainsFunc(s.words, same) {
		s.words = append(s.words, book.ColumnRecord{Sheet: sheet, Words: w.Text, Row: w.Row, Col: w.Col, SettledAs: book.OwnWord})
	}
	return by
}

// settledCells is what the command line settles of cells.
type settledCells struct {
	Settling
	used bool
}

// TellIdleCells tells of cells that were settled, and hold no words that are asked about.
func (s *Settled) TellIdleCells() {
	for _, c := range s.cells {
		if at := c.Sheet + "!" + c.Cells.String(); !c.used {
			s.in.Note(book.LevelWarning, "settled", at, fmt.Sprintf("no words that are asked about stand there; %s settles nothing", book.SettleAs(at, c.As)), "write the cells that the run names")
		}
	}
}
