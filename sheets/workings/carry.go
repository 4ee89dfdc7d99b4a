package workings

import (
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// Where Workings is laid out anew, each of its cells has a new place: that of
// the row and the column that are called the same, in the same section. What
// the shop has typed on the sheet goes there, and what points at the sheet
// follows.

// spot is where a cell of the sheet that is there lies.
type spot struct {
	sec    section // as it is now
	was    page.Rows
	inside bool // in its rows; else over them, or below
}

// spotOf finds the section of a row of the sheet that is there: the one whose
// rows or headings it is among, else the last one over it.
func (s *Sheet) spotOf(row int) (spot, bool) {
	var out spot
	ok := false
	for _, sec := range s.list {
		was, there := s.was[sec.key]
		if there && was.First-sec.heads <= row && (!ok || was.First > out.was.First) {
			out, ok = spot{sec: sec, was: was, inside: row >= was.First && row <= was.Last()}, true
		}
	}
	return out, ok
}

// newRow is where a row of the sheet that is there has gone. One that is called
// like none now keeps its place in its section; below the section's new end
// there is no place.
func (s *Sheet) newRow(row int) (int, bool) {
	at, ok := s.spotOf(row)
	switch {
	case !ok:
		return row, true
	case !at.inside && row < at.was.First:
		return at.sec.at.First - (at.was.First - row), true
	case !at.inside:
		return at.sec.at.Last() + row - at.was.Last(), true
	}
	i := row - at.was.First
	if name := strings.ToLower(book.CellText(s.notes.cells[row][book.SumName])); at.sec.named && name != "" {
		for k := range at.sec.at.Count {
			if strings.ToLower(s.P.Cell(at.sec.at.First+k, book.SumName).Text) == name {
				return at.sec.at.First + k, true
			}
		}
		return at.sec.at.First + i, false
	}
	return at.sec.at.First + i, i < at.sec.at.Count
}

// newCol is where a column has gone, on a row of the sheet that is there.
func (s *Sheet) newCol(row, col int) (int, bool) {
	at, ok := s.spotOf(row)
	if !ok || !at.sec.named || at.sec.heads < 2 {
		return col, true
	}
	words := book.CellText(s.notes.cells[at.sec.headings(at.was.First)][col])
	if words == "" {
		return col, true
	}
	for _, c := range s.P.Row(at.sec.headings(at.sec.at.First)).Cells() {
		if c.Text == words {
			return c.Col, true
		}
	}
	return col, col > at.sec.width
}

// Gone is where cells of the sheet that is there have gone.
func (s *Sheet) Gone() grid.Moved {
	return grid.Moved{
		Sheet: s.P.Title,
		Row:   func(row int) int { r, _ := s.newRow(row); return r },
		At: func(row, col int) (int, int, bool) {
			r, ok := s.newRow(row)
			c, known := s.newCol(row, col)
			return r, c, ok && known
		},
		Top: func(row int) (int, bool) {
			if at, ok := s.spotOf(row); ok && at.sec.named && row == at.was.First {
				return at.sec.at.First, true
			}
			return 0, false
		},
	}
}

// isOurs reports whether a cell of the sheet that is there is the program's.
func (s *Sheet) isOurs(row, col int) bool {
	at, ok := s.spotOf(row)
	switch {
	case !ok:
		return row < topRow && col < book.SumFirst+len(s.heads())
	case row > at.was.Last():
		return false
	}
	if note := s.noteAt(at.sec, at.was); note > 0 {
		return col < note || col == note && row == at.sec.headings(at.was.First)
	}
	return col <= at.sec.width
}

// carry takes what the shop has typed on the sheet along, where it is laid out
// anew.
func (s *Sheet) carry() {
	s.NoteCarried(s.P, s.P.Carry(s.notes.cells, s.Gone(), s.isOurs, book.SumLast+2))
}
