package account

import (
	"fmt"
	"math"
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
	given  float64 // by the row, 0 where it says none
}

// markOfSeveral is a mark that names several joints. Where most such marks of a list share
// one with another, or go downwards, they are codes, or name what a joint joins.
type markOfSeveral struct {
	text string
	code bool
	asks *saidPieces // where the row has not as many pieces
}

// marksOfSeveral are those of a list.
type marksOfSeveral struct {
	all []markOfSeveral
	of  map[string]int // the mark that names a joint, by where that is on which car
}

// lookAtPieces looks for pieces in words, where the column of pieces says none, and for
// more marks than there are pieces.
func (ac *account) lookAtPieces(r *worksheet.Row) {
	filled := joints.Filled(ac.Inputs[ac.QtyAt])
	for i := range r.Cells {
		c := &r.Cells[i]
		key := ac.Keys[c.Col]
		if c.Kind != worksheet.Text || ac.OurCell(c.Col) || key != "" && key != "mark" && key != "section" || filled && key != "mark" || ac.meantSo(c.Col, key) {
			continue
		}
		said := saidPieces{cell: ac.L.Ref(r.Num, c.Col), col: c.Col, text: strings.TrimSpace(c.Text)}
		if key == "mark" && ac.keepMarks(r, said, filled) || filled {
			return
		}
		if n, ok := ac.b.Measures.Pieces(c.Text, key == "mark"); ok {
			said.pieces = n
			ac.tellPieces(said)
			return
		}
	}
}

// keepMarks keeps a mark that names several joints, and says whether it is one.
func (ac *account) keepMarks(r *worksheet.Row, said saidPieces, filled bool) bool {
	names, upwards := entry.Marks(said.text)
	if len(names) == 0 {
		return false
	}
	m := &ac.marks
	if len(m.all) >= mostNamed {
		return true
	}
	if m.of == nil {
		m.of = map[string]int{}
	}
	m.all = append(m.all, markOfSeveral{text: strings.Clone(said.text), code: !upwards})
	now := &m.all[len(m.all)-1]
	for _, name := range names {
		key := ac.block() + "\x00" + ac.section(r) + "\x00" + name
		if at, has := m.of[key]; !has {
			m.of[key] = len(m.all) - 1
		} else if m.all[at].text != now.text {
			m.all[at].code, now.code = true, true
		}
	}
	said.pieces = float64(len(names))
	num := func(key string) float64 { return ac.b.Model.Line.Quantity(key).Num(&ac.Line.Frame) }
	if filled {
		said.given = num("qty")
	}
	if !filled || ac.Came.To != joints.LeftOut && math.Mod(said.given, said.pieces) != 0 && said.pieces != num("sides") && said.pieces != num("welds_per_joint") {
		said.text, now.asks = now.text, &said
	}
	return true
}

// mostNamed bounds how many such marks are kept of a list.
const mostNamed = 10000

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
	codes := 0
	for _, m := range ac.marks.all {
		if m.code {
			codes++
		}
	}
	for _, m := range ac.marks.all {
		if m.asks != nil && 2*codes < len(ac.marks.all) {
			ac.tellPieces(*m.asks)
		}
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
	what := fmt.Sprintf("%q speaks of %v pieces, and the row gives no number of them", said.text, said.pieces)
	if said.given > 0 {
		what = fmt.Sprintf("%q names %v joints, and the row gives %v of them", said.text, said.pieces, said.given)
	}
	ac.b.unsettled(book.CheckInputs, "pieces in words", said.cell, what,
		where+"; if none are meant, say what the column is: "+book.SettleAs(ac.L.ColumnName(said.col), as))
}
