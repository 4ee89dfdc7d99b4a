package joints

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
)

// seenMark is the first row that a mark of a car stands on.
type seenMark struct {
	row     int
	digest  uint64 // of its inputs
	section string
}

// warnTwice tells of a mark that stands on two rows of a car. Where the rows say the same,
// the joint may be there twice.
func (ed *Editor) warnTwice(row int, mark string, digest uint64) {
	if mark == "" {
		return
	}
	key := mark + "\x00" + strings.ToLower(ed.b.Model.Line.Quantity("car").Text(&ed.Line.Frame))
	now := seenMark{row, digest, ed.wordsIn("section")}
	first, twice := ed.seen[key]
	if !twice {
		ed.seen[key] = now
		return
	}
	cell, what := ed.L.Ref(row, ed.MarkCol), fmt.Sprintf("the mark %q is on row %d of the same car too", mark, first.row)
	if now.digest != first.digest || ed.L.titleBetween(first.row, row) || now.section != first.section || ed.L.Shop["mark"].Settled {
		ed.b.Note(book.LevelWarning, book.FindMarkTwice, cell, what, "check that the joint is not there twice")
		return
	}
	ed.b.unsettled(book.CheckInputs, book.FindMarkTwice, cell, what+", with the same inputs",
		"delete the row if the joint is there twice; else give it a mark of its own, or say that marks may come twice: "+settling(ed.L.columnName(ed.MarkCol), "mark"))
}

// wordsIn is the text of the row in the column of an input.
func (ed *Editor) wordsIn(key string) string {
	col := ed.L.Shop[key].Col
	for i := range ed.row {
		if ed.row[i].Col == col && col > 0 {
			return strings.Clone(book.CellText(ed.row[i]))
		}
	}
	return ""
}

// titleBetween reports whether words or headings stand between two rows: what is below
// them may be of something else.
func (l *List) titleBetween(first, row int) bool {
	return slices.ContainsFunc(l.titles, func(t titleRow) bool { return t.row > first && t.row < row })
}
