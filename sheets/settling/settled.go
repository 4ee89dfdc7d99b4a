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
	columns   []book.ColumnRecord // columns of no joint list that are settled
	inColumn  map[place]int       // how many different words of columns are settled with these
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

// WholeSettled are what the shop has settled of whole sheets, of all columns of a list,
// of columns of no list, and of words, with the sheets of which it is still to be settled.
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
	return append(append(out, s.columns...), s.words...)
}

// A column that is settled as the shop's own is so with the words that stand in it then.
// Others that come to stand there later, and may change a joint, are asked about.

// InColumn takes words of a column of the shop's own, which may change a joint, and says
// whether they are settled with it, wherever they stand in it: a list may be sorted. head
// is the row of its heading.
func (s *Settled) InColumn(sheet string, head, col int, of book.ColumnRecord, text string) bool {
	same := func(r book.ColumnRecord) bool {
		return strings.EqualFold(r.Sheet, sheet) && r.Col == col && entry.SameWords(r.Words, text)
	}
	if of.WordsKnown && !slices.ContainsFunc(s.in.Own.Among, same) {
		return false
	}
	if slices.ContainsFunc(s.words, same) {
		return true
	}
	at := place{strings.ToLower(sheet), col}
	if s.inColumn == nil {
		s.inColumn = map[place]int{}
	}
	if s.inColumn[at]++; of.WordsKnown || s.WordsKnown(sheet, col) {
		s.words = append(s.words, book.ColumnRecord{Sheet: sheet, Words: strings.Clone(text), Row: head, Col: col, SettledAs: book.OwnWord})
	}
	return true
}

// WordsKnown reports whether all words of a column of the shop's own that may change a joint
// are kept. Where there are many different ones, none is asked about later.
func (s *Settled) WordsKnown(sheet string, col int) bool {
	return s.inColumn[place{strings.ToLower(sheet), col}] <= mostInColumn
}

// place is a column, by the title of its sheet in small letters.
type place struct {
	sheet string
	col   int
}

// mostInColumn is how many words of a column are kept.
const mostInColumn = 50

// ColumnIsOwn reports whether the shop has settled that a column of no joint list is its
// own, and keeps it for the Columns table.
func (s *Settled) ColumnIsOwn(sheet string, head, col int, heading string) bool {
	is := s.in.Own.SettledAsOwn(sheet, func(r book.ColumnRecord) bool { return r.Col == col && r.StillHeaded(heading) })
	if is {
		s.columns = append(s.columns, book.ColumnRecord{Sheet: sheet, Figure: book.SettledHead + heading, Row: head, Col: col, SettledAs: book.OwnWord})
	}
	return is
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
