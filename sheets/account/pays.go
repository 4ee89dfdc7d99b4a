package account

import (
	"fmt"

	"seamtally/compute/model"
	"seamtally/sheets/book"
)

// paysNothing reports whether an amount of money on a joint's row, typed over, would
// be lost: the order's price does not come from it.
func (b *Ledger) paysNothing(q *model.Quantity) bool {
	if q.UnitOf != "$" {
		return false
	}
	if b.behindPrice == nil {
		b.behindPrice = b.Model.Behind(b.Model.OrderOf.Quantity("order_price"))
	}
	return !b.behindPrice[q]
}

// typedNumber says what a number that is typed over a calculated cell does.
func (ac *account) typedNumber(q *model.Quantity, row int) {
	cell := ac.L.Ref(row, ac.L.Ours[q])
	if ac.b.paysNothing(q) {
		ac.b.unsettled(book.CheckInputs, "pays nothing "+q.Key, cell,
			fmt.Sprintf("%s is typed over its formula, and the price does not come from it", book.Heading(q)),
			"type an amount on Assumptions, under Other work and parts, or the minutes over Floor time; then clear the cell and price again")
		return
	}
	ac.b.Note(book.LevelWarning, "override "+q.Key, cell, fmt.Sprintf("%s is typed over its formula; the typed value is used", book.Heading(q)), "price with --refill to bring the formulas back")
}
