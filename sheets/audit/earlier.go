package audit

import (
	"fmt"
	"regexp"
	"strconv"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// alikeCells are calculated cells of one sheet that have the same formula but for
// the row, in a workbook that an earlier version of the program has worked out.
// What that version wrote is not known here; but it wrote the same into all.
type alikeCells struct {
	asNow  int // cells that have today's formula
	others []otherCell
}

// otherCell is a cell without today's formula; have is nil where it has none.
type otherCell struct {
	cell  seenCell
	shape string
}

// earlier reports whether another version of the program has worked the
// workbook out.
func (a *auditor) earlier() bool { return a.Own.Model != a.Fingerprint }

// keepForLater sorts a cell of such a workbook among those that are alike, and
// reports whether nothing more is to be said of it now.
func (a *auditor) keepForLater(c seenCell) bool {
	if !a.earlier() || c.have != nil && !c.have.HasFormula && !hollow(c.have) {
		return false
	}
	key := c.at.sheet + " " + shapeOf(c.want.Formula, c.at.row)
	if c.q != nil {
		key += " " + c.q.Key
	}
	of := a.alike[key]
	if of == nil {
		of = &alikeCells{}
		a.alike[key] = of
		a.alikes = append(a.alikes, of)
	}
	if !hollow(c.have) && book.SameFormula(c.have.Formula, c.want.Formula) {
		of.asNow++
		return false
	}
	o := otherCell{cell: c}
	if hollow(c.have) {
		o.cell.have = nil
	} else {
		have := *c.have
		o.cell.have, o.shape = &have, shapeOf(have.Formula, c.at.row)
	}
	of.others = append(of.others, o)
	return true
}

// shapeOf is a formula with a mark in place of the row that it stands on.
func shapeOf(f string, row int) string {
	own := regexp.MustCompile(`(\$?[A-Za-z]{1,3}\$?)` + strconv.Itoa(row) + `\b`)
	return own.ReplaceAllString(book.TidyFormula(f), "${1}"+page.RowMark)
}

// tellEarlier tells, once, that the formulas are an earlier version's, and of
// the cells whose formula is not what that version wrote.
func (a *auditor) tellEarlier() error {
	if !a.earlier() {
		return nil
	}
	was, stored, err := a.OldPrice()
	if err != nil {
		return err
	}
	price := "which gives the same price"
	if now := a.scales.Price; stored && model.Cents(was) != now {
		price = fmt.Sprintf("with which the price of the order would be %s, and is %s", formula.GeneralText(now), formula.GeneralText(model.Cents(was)))
	}
	fault := a.add("earlier formulas", Fault{
		Grade: WorthKnowing, Rule: RuleEarlier, Cell: a.Own.Assumptions + "!" + grid.Ref(1, 1),
		Fix: "price a copy of it, and compare the two",
	})
	others, figures := 0, 0
	for _, of := range a.alikes {
		count, most := map[string]int{}, ""
		for _, o := range of.others {
			if count[o.shape]++; o.shape != "" && count[o.shape] > count[most] {
				most = o.shape
			}
		}
		theirs := 0
		for _, o := range of.others {
			switch {
			case of.asNow == 0 && o.shape == most && o.shape != "":
				theirs++
				o.cell.hold(fault)
			case of.asNow == 0 && most == "": // the earlier version had no such figure
			case o.shape == "":
				a.formulaGone(o.cell)
			default:
				a.otherFormula(o.cell)
			}
		}
		if theirs > 0 {
			others, figures = others+theirs, figures+1
		}
	}
	fault.What = fmt.Sprintf("its formulas are those of another version of the program (%s, now %s): %d of its cells, of %d figures, have another than now, %s", a.Own.Model, a.Fingerprint, others, figures, price)
	return nil
}
