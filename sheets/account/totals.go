package account

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
	"seamtally/sheets/settling"
	"seamtally/sheets/totals"
)

// takeForTotals takes a joint into what a total may give again.
func (ac *account) takeForTotals(row int) {
	l, f, size := &ac.totals, &ac.Line.Frame, ac.SizeOfRow()
	if !ac.Came.Doubt {
		r := totals.Row{Num: row, Cell: ac.L.Ref(row, ac.L.Shop["od"].Col), Mark: ac.Came.Mark, Size: size, Sums: ac.Came.Sums}
		for i, c := range ac.Inputs {
			if joints.Filled(c) {
				r.Has |= 1 << i
				r.More = r.More || i != ac.OdAt && i != ac.WallAt && i != ac.QtyAt
			}
		}
		r.Pieces, r.HasPieces = ac.Number(ac.QtyAt)
		l.Take(r)
	}
	n := totals.Count{Rows: 1, Pieces: ac.Cols[ac.QtyAt].Q.Num(f), Welds: 1}
	if ac.Came.To == joints.Priced {
		n.Welds = ac.b.Model.Line.Quantity("welds").Num(f)
	}
	l.Add(n, strings.ToLower(ac.carOfRow()), "kind "+ac.b.Model.Line.Quantity("kind").Text(f), "diameter "+size.OD, "size "+size.OD+"|"+size.Wall)
}

// piecesAlone looks at a row that is no joint and gives pieces: it may be a total of the
// joints above it, or a joint of which nobody has typed the size.
func (ac *account) piecesAlone(r *worksheet.Row, why string) {
	cell := ac.Inputs[ac.QtyAt]
	x, has := ac.Number(ac.QtyAt)
	if !has || x == 0 || ac.totals.Above().Rows == 0 || why == joints.IsHeading {
		return
	}
	mark, words := "", 0
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Col == ac.MarkCol && joints.Filled(c) {
			mark = strings.TrimSpace(book.CellText(*c))
		}
		if c.Kind == worksheet.Text && !ac.OurCell(c.Col) {
			words += len(sayings.Words(c.Text))
		}
	}
	alike, gives := ac.totals.Alike(mark), ac.totals.Gives(x)
	if words > 1 || ac.SizeOfRow() != (joints.Size{}) { // it may be one of some joints
		gives = gives || ac.totals.GivesSome(x, ac.b.orderedOfEach()...)
	}
	if why != joints.IsTotal && (mark == "" || alike) && (alike || !gives) {
		ac.sizeless(r.Num, cell.Col, strings.TrimSpace(mark+" "+book.CellText(*cell)))
	} else if why == joints.IsTotal && !gives {
		ac.typedTotal(r.Num, cell, x)
	}
}

// typedTotal tells of a total that gives other pieces than the joints above it: a joint may
// be lost, or its pieces. What a filter leaves is no total.
func (ac *account) typedTotal(row int, cell *worksheet.Cell, x float64) {
	words := settling.Words{Row: row, Col: cell.Col, Text: "total " + book.CellText(*cell)}
	if strings.HasPrefix(strings.ToUpper(cell.Formula), "SUBTOTAL(") || ac.b.WordsAreOwn(ac.L.Title, words) {
		return
	}
	ac.b.unsettled(book.CheckInputs, "total that differs", ac.L.Ref(row, cell.Col),
		fmt.Sprintf("the total gives %v, and the joints above it come to %v pieces on %v rows", x, ac.totals.Above().Pieces, ac.totals.Above().Rows),
		"look for a joint that is missing, or there twice, and mend the rows or the total; if it counts something else: "+settling.WordsAsOwn(ac.L.Title, words))
}

// sizeless tells of a row that may be a joint without its size.
func (ac *account) sizeless(row, col int, words string) {
	at := settling.Words{Row: row, Col: col, Text: words}
	if ac.b.WordsAreOwn(ac.L.Title, at) {
		return
	}
	ac.b.unsettled(book.CheckInputs, "pieces without a size", ac.L.Ref(row, ac.L.Shop["od"].Col), "the row gives pieces, and no size; it is not priced",
		`type its size if it is a joint; begin it with "Total" if it counts others; else: `+settling.WordsAsOwn(ac.L.Title, at))
}

// orderedOfEach are the numbers of cars ordered.
func (b *Ledger) orderedOfEach() (out []float64) {
	t := b.Model.Table("cars")
	for _, f := range b.Values.Rows(t).Frames {
		out = append(out, t.Quantity("ordered").Num(f))
	}
	return out
}

// tellTotals tells of rows that may be totals, at the end of the list.
func (ac *account) tellTotals() {
	for _, t := range ac.totals.OfSizes() {
		what := "the row gives a size again, with as many pieces as the rows above have of it; a total is no joint"
		if t.Rows > 1 {
			what = fmt.Sprintf("the %d rows from here on give each size once, with as many pieces as the rows above have of it; a total of each size is no joint", t.Rows)
		}
		ac.b.unsettled(book.CheckInputs, "total of each size", t.Cell, what,
			`delete such rows, or write "Total" beside each; if they are joints, give them marks and kinds as the others have`)
	}
	if ac.L.Shop["mark"].Settled {
		return
	}
	for _, row := range ac.totals.Unlike() {
		ac.b.unsettled(book.CheckInputs, "row that may be a total", row.Cell,
			fmt.Sprintf("%q is named unlike the others, and says no more than a size; a total is no joint", row.Mark),
			`delete the row, or begin its name with "Total"; if it is a joint, name it as the others are`)
	}
}
