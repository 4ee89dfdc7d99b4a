package sheets

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
	"seamtally/sheets/book"
)

// tellChanged says, of a workbook that another version of the program worked
// out, which figures are worked out differently now, and what that does to the
// price.
func (r *Run) tellChanged() error {
	was := r.Own.Model
	if was == "" || was == r.Fingerprint {
		return nil
	}
	var names []string
	for _, q := range r.Model.Line.Quantities {
		if r.Changed[q] {
			names = append(names, q.Key)
		}
	}
	which := "figures of the order or the tables"
	if len(names) > 0 {
		which = strings.Join(names, ", ")
	}
	price := r.Model.OrderOf.Quantity("order_price").Num(r.Values.Order)
	effect := "the price of the order stays " + formula.GeneralText(price)
	old, ok, err := r.OldPrice()
	if err != nil {
		return err
	}
	if ok && math.Abs(old-price) >= 0.005 {
		effect = fmt.Sprintf("the price of the order was %s and is %s", formula.GeneralText(old), formula.GeneralText(price))
	}
	r.Note(book.LevelWarning, "other formulas", r.Own.Assumptions, fmt.Sprintf("the workbook was worked out by another version of the program (formulas %s, now %s); other than before: %s; %s",
		was, r.Fingerprint, which, effect), "compare with the copy that was sent out, if there is one")
	return nil
}
