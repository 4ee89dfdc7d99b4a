package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/part/worksheet"
)

// seenMark is the first row that a mark of a car stands on.
type seenMark struct {
	row     int
	digest  uint64 // of its inputs
	section string
}

// warnTwice tells of a mark that stands on two rows of a car. Where the rows say the same,
// the joint may be there twice.
func (ac *account) warnTwice(r *worksheet.Row) {
	row, mark := r.Num, ac.Came.Mark
	if mark == "" {
		return
	}
	key := mark + "\x00" + strings.ToLower(ac.carOfRow())
	ac.keepPieces(mark)
	now := seenMark{row, ac.Came.Digest, ac.section(r)}
	first, twice := ac.seen[key]
	ac.lookAtMark(row, mark, twice && !ac.titleBetween(first.row, row))
	if !twice {
		ac.seen[key] = now
		return
	}
	cell, what := ac.L.Ref(row, ac.MarkCol), fmt.Sprintf("the mark %q is on row %d of the same car too", mark, first.row)
	if now.digest != first.digest || ac.titleBetween(first.row, row) || now.section != first.section || ac.L.Shop["mark"].Settled {
		ac.b.Note(book.LevelWarning, book.FindMarkTwice, cell, what, "check that the joint is not there twice")
		return
	}
	ac.b.unsettled(book.CheckInputs, book.FindMarkTwice, cell, what+", with the same inputs",
		"delete the row if the joint is there twice; else give it a mark of its own, or say that marks may come twice: "+book.SettleAs(ac.L.ColumnName(ac.MarkCol), "mark"))
}

// section is where on the car the row says that its joint is.
func (ac *account) section(r *worksheet.Row) string {
	col := ac.L.Shop["section"].Col
	for i := range r.Cells {
		if r.Cells[i].Col == col && col > 0 {
			return strings.Clone(book.CellText(r.Cells[i]))
		}
	}
	return ""
}

// titleBetween reports whether words or headings stand between two rows: what is below
// them may be of something else.
func (ac *account) titleBetween(first, row int) bool {
	return slices.ContainsFunc(ac.titles, func(t titleRow) bool { return t.Row > first && t.Row < row })
}

// keepPieces adds up the pieces of a mark.
func (ac *account) keepPieces(mark string) {
	if ac.pieces == nil {
		ac.pieces = map[string]float64{}
	}
	ac.pieces[strings.ToLower(mark)] += ac.Cols[ac.QtyAt].Q.Num(&ac.Line.Frame)
}
