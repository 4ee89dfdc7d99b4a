package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
)

// Words among joints, and beside the cars ordered, are settled one by one, by what they say and where they stand:
// others that come to stand there, or elsewhere, are asked about.

// settleTitles is how the command line says that titles of a list are the shop's own.
func settleTitles(l *joints.List, titles []*titleRow) string {
	at := grid.Range{Row1: titles[0].row, Col1: titles[0].col, Row2: titles[0].row, Col2: titles[0].col}
	for _, t := range titles[1:] {
		at.Row2, at.Col1, at.Col2 = t.row, min(at.Col1, t.col), max(at.Col2, t.col)
	}
	return book.SettleAs(l.Title+"!"+at.String(), book.OwnWord)
}

// settledTitle reports whether the shop has settled that a title is its own.
func (b *Ledger) settledTitle(l *joints.List, t *titleRow) bool {
	return b.settledWords(l.Title, t.row, t.col, t.words)
}

// settledWords reports whether the shop has settled that words are its own, and keeps it
// for the Columns table.
func (b *Ledger) settledWords(sheet string, row, col int, words string) bool {
	are := func(r book.ColumnRecord) bool {
		return strings.EqualFold(r.Sheet, sheet) && r.Row == row && entry.SameWords(r.Words, words) && book.IsOwn(r.SettledAs)
	}
	by := slices.ContainsFunc(b.Own.Among, are)
	for i := range b.cells {
		s := &b.cells[i]
		if strings.EqualFold(s.Sheet, sheet) && s.Cells.Contains(row, col) {
			by, s.used = true, true
		}
	}
	if by && !slices.ContainsFunc(b.titles, are) {
		b.titles = append(b.titles, book.ColumnRecord{Sheet: sheet, Words: words, Row: row, Col: col, SettledAs: book.OwnWord})
	}
	return by
}

// settledCells is what the command line settles of cells.
type settledCells struct {
	Settling
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
