package account

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
)

// saidPieces is a cell that speaks of several pieces on a row that gives no number of
// them.
type saidPieces struct {
	cell   string
	col    int
	text   string
	pieces float64
}

// markRanges are the marks of rows that name a first and a last one. Where one begins
// with the mark that the one above ended with, they name what a joint joins.
type markRanges struct {
	said []saidPieces
	last int
	join bool
}

// lookAtPieces looks for pieces in words, where the column of pieces says none.
func (ac *account) lookAtPieces(r *worksheet.Row) {
	if joints.Filled(ac.Inputs[ac.QtyAt]) {
		return
	}
	for i := range r.Cells {
		c := &r.Cells[i]
		key := ac.Keys[c.Col]
		if c.Kind != worksheet.Text || ac.OurCell(c.Col) || key != "" && key != "mark" && key != "section" || ac.meantSo(c.Col, key) {
			continue
		}
		said := saidPieces{cell: ac.L.Ref(r.Num, c.Col), col: c.Col, text: strings.TrimSpace(c.Text)}
		if first, last, ok := entry.Marks(c.Text); key == "mark" && ok {
			m := &ac.marks
			said.pieces = float64(last - first + 1)
			m.join = m.join || len(m.said) > 0 && first <= m.last
			m.said, m.last = append(m.said, said), last
			return
		}
		if n, ok := ac.b.Measures.Pieces(c.Text, key == "mark"); ok {
			said.pieces = n
			ac.tellPieces(said)
			return
		}
	}
}

// meantSo reports whether the shop has settled what a column is, so that its words
// are no pieces.
func (ac *account) meantSo(col int, key string) bool {
	if key == "" {
		return ac.b.settledOwn(ac.L, col)
	}
	return ac.L.Shop[key].Settled
}

// tellMarks tells of marks that stand for several pieces each.
func (ac *account) tellMarks() {
	if ac.marks.join {
		return
	}
	for _, said := range ac.marks.said {
		ac.tellPieces(said)
	}
}

func (ac *account) tellPieces(said saidPieces) {
	as := ac.Keys[said.col]
	if as == "" {
		as = book.OwnWord
	}
	where := `give the list a column "Qty per car"`
	if qty, has := ac.L.Shop["qty"]; has {
		where = fmt.Sprintf("type them under %q", qty.Head)
	}
	ac.b.unsettled(book.CheckInputs, "pieces in words", said.cell,
		fmt.Sprintf("%q speaks of %v pieces, and the row gives no number of them", said.text, said.pieces),
		where+"; if none are meant, say what the column is: "+book.SettleAs(ac.L.ColumnName(said.col), as))
}
