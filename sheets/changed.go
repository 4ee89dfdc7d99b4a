package sheets

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/book"
)

// compareFormulas looks for formulas that are not those which this run writes.
// If another version of the program wrote them, the figures are noted; else
// somebody has changed a formula, and is told that it is put back.
func (ed *listEditor) compareFormulas(row int) {
	for i, c := range ed.cols {
		p := ed.present[i]
		if c.reader != nil || p == nil || !p.HasFormula || sameFormula(p.Formula, c.formula.At(row)) {
			continue
		}
		if ed.b.Own.Model != ed.b.Fingerprint {
			ed.b.changed[c.q] = true
			continue
		}
		ed.b.Note(book.LevelWarning, "formula changed "+c.q.Key, ed.l.ref(row, c.col),
			fmt.Sprintf("the formula of %s was changed; the program's own is put back", strconv.Quote(ed.l.heads[c.col])), "to keep a value of your own, type a number over the formula")
	}
}

// tellChanged says, of a workbook that another version of the program worked
// out, which figures are worked out differently now, and what that does to the
// price.
func (r *pricing) tellChanged() error {
	was := r.Own.Model
	if was == "" || was == r.Fingerprint {
		return nil
	}
	var names []string
	for _, q := range r.Model.Line.Quantities {
		if r.changed[q] {
			names = append(names, q.Key)
		}
	}
	which := "figures of the Summary or the tables"
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

// changedFigures is the set that compareFormulas fills.
type changedFigures map[*compute.Quantity]bool
