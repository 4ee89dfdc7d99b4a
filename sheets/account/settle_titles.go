package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/settling"
)

// Words among joints, and beside the cars ordered, are settled one by one, by what they say and where they stand:
// others that come to stand there, or elsewhere, are asked about.

// settleTitles is how the command line says that titles of a sheet are the shop's own.
func settleTitles(sheet string, titles []*titleRow) string {
	at := grid.Range{Row1: titles[0].row, Col1: titles[0].col, Row2: titles[0].row, Col2: titles[0].col}
	for _, t := range titles[1:] {
		at.Row2, at.Col1, at.Col2 = t.row, min(at.Col1, t.col), max(at.Col2, t.col)
	}
	return book.SettleAs(sheet+"!"+at.String(), book.OwnWord)
}

// settledTitle reports whether the shop has settled that a title is its own, and keeps
// it for the Columns table.
func (b *Ledger) settledTitle(sheet string, t *titleRow) bool {
	by := slices.ContainsFunc(b.Own.Among, func(r book.ColumnRecord) bool {
		return strings.EqualFold(r.Sheet, sheet) && r.Row == t.row && entry.SameWords(r.Words, t.words) && book.IsOwn(r.SettledAs)
	})
	for i := range b.cells {
		s := &b.cells[i]
		if strings.EqualFold(s.Sheet, sheet) && s.Cells.Contains(t.row, t.col) {
			by, s.used = true, true
		}
	}
	at := func(r book.ColumnRecord) bool {
		return strings.EqualFold(r.Sheet, sheet) && r.Row == t.row && entry.SameWords(r.Words, t.words)
	}
	if by && !slices.ContainsFunc(b.titles, at) {
		b.titles = append(b.titles, book.ColumnRecord{Sheet: sheet, Words: t.words, Row: t.row, Col: t.col, SettledAs: book.OwnWord})
	}
	return by
}

// settledCells is what the command line settles of cells.
type settledCells struct {
	settling.Settling
	used bool
}

// tellIdleCells tells of cells that were settled, and hold no words that are asked about.
func (b *Ledger) tellIdleCells() {
	for _, s := range b.cells {
		if !s.used {
			b.Note(book.LevelWarning, "settled", s.Sheet+"!"+s.Cells.String(), fmt.Sprintf("no words that are asked about stand there; %s settles nothing", book.SettleAs(s.Sheet+"!"+s.Cells.String(), s.As)), "write the cells that the run names")
		}
	}
}
