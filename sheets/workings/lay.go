package workings

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// Rooms and heights of Workings.
const (
	leastRoom   = 12 // rows of a block that grows
	spareRows   = 6
	ChartRows   = 17 // that a chart of usual size takes
	checkRoom   = 44
	wordLines   = 4 // titles and headings among the words
	wordSpare   = 2
	HeadingHigh = 48
	topRow      = 6
)

// section is a run of rows of Workings that is laid out as one.
type section struct {
	key   string
	at    *page.Rows
	need  int
	room  int // that it gets on a new sheet
	above int // rows between it and the section over it
	heads int // of these, those with its title and headings
	// width is how many columns from the first are the program's; those from there
	// on are the shop's.
	width int
	named bool // a row goes by what stands in its second column
}

// headings is the row with the headings of its columns, where its rows begin at
// first.
func (s section) headings(first int) int { return first - s.heads + 1 }

// sections are all of them, from top to bottom.
func (s *Sheet) sections() []section {
	grow := func(n int) int { return max(leastRoom, n+spareRows) }
	ofBlock := func(bl *Block, above, heads int) section {
		n := len(s.Values.Rows(bl.scope).Frames)
		return section{bl.Key, &bl.at, n, grow(n), above, heads, bl.noteCol() - 1, true}
	}
	ofSingle := func(sb *SingleBlock) section {
		n := len(sb.figures)
		return section{sb.Key, &sb.at, n, n, 2, 1, book.SumFirst + 1, true}
	}
	out := []section{ofBlock(s.Blocks[0], 2, 3)}
	for _, sb := range s.Singles[:3] { // the charts come right below the first table
		out = append(out, ofSingle(sb))
	}
	out = append(out, section{"checks", &s.checks, s.mostChecks(), checkRoom, 3, 2, book.SumFirst + 1, true}, ofBlock(s.joint, 3, 2))
	for _, sb := range s.Singles[3:] {
		out = append(out, ofSingle(sb))
	}
	for _, bl := range s.Blocks[1:] {
		out = append(out, ofBlock(bl, 3, 2))
	}
	n := len(s.cautionLines()) + len(s.modelLines()) + wordLines
	out = append(out, section{"words", &s.wordsAt, n, n + wordSpare, 2, 0, book.SumFirst + 1, false})
	for _, t := range s.tallies {
		out = append(out, section{t.key, &t.at, len(t.rows), grow(len(t.rows)), 4, 2, tallyFirst + len(t.sums) - 1, false})
	}
	return out
}

// lay gives every section its rows. On a sheet that is there they stay where they
// are, as long as all of them fit; else all are stacked anew, and the sheet is
// written whole. found has them stay in any case: the sheet is only looked at.
func (s *Sheet) lay(found bool) error {
	list := s.sections()
	s.list = list
	s.found = found && !s.P.Build
	if !s.P.Build {
		s.was = s.findSections(list)
		for _, sec := range list {
			switch at, ok := s.was[sec.key]; {
			case found && sec.key == "words": // of which nobody looks for a cell
			case !ok && found:
				return fmt.Errorf("the sheet %q has lost its block %q; take the last sound copy of the workbook, or price it again", s.P.Title, sec.key)
			case sec.need > at.Count && found && s.labels(sec) == nil: // an earlier version's with labels are found by them
				return fmt.Errorf("the block %q on the sheet %q has room for %d rows and needs %d; price the workbook again", sec.key, s.P.Title, at.Count, sec.need)
			case !found && (!ok || sec.need > at.Count || s.shifted(sec, at)):
				s.Anew = true
			}
			*sec.at = s.was[sec.key]
			if at, ok := s.was[sec.key]; found && ok && (s.shifted(sec, at) || sec.need > at.Count && s.labels(sec) != nil) {
				s.other[sec.key] = sec
			}
		}
	}
	if s.P.Build || s.Anew {
		row := topRow
		for _, sec := range list {
			row += sec.above
			count := max(sec.room, sec.need)
			if was := s.was[sec.key]; was.Count >= sec.need && was.Count > 0 {
				count = was.Count
			}
			*sec.at = page.Rows{First: row, Count: count}
			row += count
		}
	}
	for _, sec := range list {
		if sec.at.First == 0 {
			continue
		}
		s.Names.Define(book.NameBlock+sec.key, page.RangeRef(s.P.Title, grid.Range{Row1: sec.at.First, Col1: 1, Row2: sec.at.Last(), Col2: book.SumLast}))
	}
	for _, sb := range s.Singles {
		for i, q := range sb.figures {
			row := s.namedRow(sb, q.Key)
			if row == 0 {
				row = s.rowFor(sb.Key, sb.at, i, q.Heading)
			}
			s.OrderRows[q.Key] = row
			if row > 0 {
				s.Names.Define(q.Key, page.CellRef(s.P.Title, row, book.SumFirst))
			}
		}
	}
	return nil
}

// findSections finds where the sections stand on a sheet that is there.
func (s *Sheet) findSections(list []section) map[string]page.Rows {
	out := map[string]page.Rows{}
	for _, sec := range list {
		if _, r, ok := page.SplitRef(s.Names.Find(book.NameBlock + sec.key)); ok {
			out[sec.key] = page.Rows{First: r.Row1, Count: r.Row2 - r.Row1 + 1}
		}
	}
	// Earlier versions gave the words no name: they stand over the sums by list.
	if below, ok := out[s.tallies[0].key]; ok && out["words"].Count == 0 {
		for row, cells := range s.notes.cells {
			if book.CellText(cells[book.SumNo]) == wordCautions && row < below.First {
				out["words"] = page.Rows{First: row, Count: below.First - tallyAbove - row}
			}
		}
	}
	return out
}

// Words is where the words below the checks stand: the cautions, and how each figure
// is worked out. Who only looks at a sheet lays out none.
func (s *Sheet) Words() page.Rows { return s.wordsAt }

// Place names a row by the section that it is in or belongs to, and by how far down
// in it the row is: another version may have other sections over it.
func (s *Sheet) Place(row int) string {
	key, from := "", 0
	for _, sec := range s.list {
		if first := sec.at.First; first > from && first-sec.heads <= row {
			key, from = sec.key, first
		}
	}
	return fmt.Sprint(key, " ", row-from)
}

// tallyAbove is how many rows there are between the words and the sums by list.
const tallyAbove = 4

// shifted reports whether a section has other rows or columns than stand there,
// or the same ones in another order.
func (s *Sheet) shifted(sec section, at page.Rows) bool {
	if !sec.named {
		return false
	}
	if note := s.noteAt(sec, at); note > 0 && note != sec.width+1 {
		return true
	}
	labels := s.labels(sec)
	place := map[string]int{}
	for i, l := range labels {
		place[strings.ToLower(l)] = i
	}
	for i := range min(at.Count, len(labels)) {
		have := strings.ToLower(book.CellText(s.notes.cells[at.First+i][book.SumName]))
		if k, known := place[have]; known && k != i {
			return true
		}
	}
	return false
}

// rowFor is the row of the i-th entry of a section. On a sheet that is only looked
// at, and has other entries than this version, it is the one that is called so;
// 0 if there is none.
func (s *Sheet) rowFor(key string, at page.Rows, i int, label string) int {
	if _, other := s.other[key]; !other {
		return at.First + i
	}
	for row := at.First; row <= at.Last(); row++ {
		if strings.EqualFold(book.CellText(s.notes.cells[row][book.SumName]), label) {
			return row
		}
	}
	return 0
}

// namedRow is the row that the name of a figure of the order leads to, on a sheet that
// is only looked at and has other entries, or other words for them; 0 if to none.
func (s *Sheet) namedRow(sb *SingleBlock, key string) int {
	if _, other := s.other[sb.Key]; !other {
		return 0
	}
	title, r, ok := page.SplitRef(s.Names.Find(key))
	if !ok || !strings.EqualFold(title, s.P.Title) || r.Row1 < sb.at.First || r.Row1 > sb.at.Last() {
		return 0
	}
	return r.Row1
}

// colFor is the same for the k-th figure of a block.
func (s *Sheet) colFor(bl *Block, k int) int {
	sec, other := s.other[bl.Key]
	if !other {
		return book.SumFirst + k
	}
	for col, c := range s.notes.cells[sec.headings(bl.at.First)] {
		if strings.EqualFold(book.CellText(c), s.Heading(bl.figures[k])) {
			return col
		}
	}
	return 0
}

// labels are what the rows of a section without an order of the shop's are
// called.
func (s *Sheet) labels(sec section) []string {
	var out []string
	if sec.key == "checks" {
		for _, q := range s.orderChecks() {
			out = append(out, q.Heading)
		}
	}
	for _, sb := range s.Singles {
		if sb.Key != sec.key {
			continue
		}
		for _, q := range sb.figures {
			out = append(out, q.Heading)
		}
	}
	return out
}

// noteAt is the column of notes beside a section, as the sheet has it; 0 if there
// is none.
func (s *Sheet) noteAt(sec section, at page.Rows) int {
	for col, c := range s.notes.cells[sec.headings(at.First)] {
		if book.CellText(c) == wordNote {
			return col
		}
	}
	return 0
}

// Words by which the program finds its place on Workings.
const (
	wordNote     = "Note"
	wordCautions = "Cautions"
)
