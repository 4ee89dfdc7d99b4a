package account

import (
	"fmt"

	"seamtally/compute"
	"seamtally/sheets/book"
)

// paysNothing reports whether an amount of money on a joint's row, typed over, would
// be lost: the order's price does not come from it.
func (b *Ledger) paysNothing(q *compute.Quantity) bool {
	if q.UnitOf != "$" {
		return false
	}
	if b.behindPrice == nil {
		b.behindPrice = b.Model.Behind(b.Model.OrderOf.Quantity("order_price"))
	}
	return !b.behindPrice[q]
}

// typedNumber says what a number that is typed over a calculated cell does.
func (ed *account) typedNumber(q *compute.Quantity, row int) {
	cell := ed.L.Ref(row, ed.L.Ours[q])
	if ed.b.paysNothing(q) {
		ed.b.unsettled(book.CheckInputs, "pays nothing "+q.Key, cell,
			fmt.Sprintf("%s is typed over its formula, and the price does not come from it", book.Heading(q)),
			"type an amount on Assumptions, under Other work and parts, or the minutes over Floor time; then clear the cell and price again")
		return
	}
	ed.b.Note(book.LevelWarning, "override "+q.Key, cell, fmt.Sprintf("%s is typed over its formula; the typed value is used", book.Heading(q)), "price with --refill to bring the formulas back")
}
