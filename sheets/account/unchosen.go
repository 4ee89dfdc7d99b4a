package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
)

// tellUnchosen tells of a check that finds fault with what stands for a blank cell of the
// row, where nobody has chosen it: neither on the row, nor with a basis of the shop's own.
func (ac *account) tellUnchosen(row int) {
	f := &ac.Line.Frame
	for _, check := range ac.b.Model.Checks() {
		if check.Chosen == nil || check.Num(f) == 0 || ac.b.hasBasis(check.Chosen) {
			continue
		}
		at := slices.IndexFunc(ac.Cols, func(c joints.Column) bool { return c.Q.Key == check.Cells[0] })
		if at < 0 || joints.Filled(ac.Inputs[at]) {
			continue
		}
		q := ac.Cols[at].Q
		col, where := ac.L.Shop[q.Key].Col, ""
		if col == 0 {
			col, where = ac.L.Shop["od"].Col, fmt.Sprintf(" in a column %q", ac.head(q.Key))
		}
		taken := q.AmountText(q.Num(f))
		if q.IsText() {
			taken = fmt.Sprintf("%q", q.Text(f))
		}
		ac.b.unsettled(book.CheckInputs, "nobody chose "+q.Key, ac.L.Ref(row, col),
			fmt.Sprintf("%s: the row names no %s, and nobody has chosen %s for it", check.Heading, strings.ToLower(ac.head(q.Key)), taken),
			fmt.Sprintf("%s%s, or write on Assumptions, as the basis of %s, why it is the one", check.Fix, where, check.Chosen.Key))
		return
	}
}

// hasBasis reports whether the shop has written a basis of its own beside an assumption.
func (b *Ledger) hasBasis(q *model.Quantity) bool {
	basis := strings.TrimSpace(b.Bases[q])
	return basis != "" && basis != q.Source
}
