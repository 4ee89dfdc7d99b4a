package account

import (
	"fmt"

	"seamtally/compute/model"
	"seamtally/sheets/book"
)

// An amount may have been typed as a number of parts: 6 pies under Pie angle. One that is
// much nearer to what is usual so is asked about; one that is a little nearer only where
// no other of its column cannot be one.

// maybeParts is a number that may be one of parts.
type maybeParts struct{ cell, what, fix string }

// partsSeen are the inputs of a list that may be numbers of parts.
type partsSeen struct {
	little  map[*model.Quantity][]maybeParts
	amounts map[*model.Quantity]bool // some number of the column can only be an amount
}

const muchNearer, aLittleNearer = 2, 1.25

// lookAtParts looks at a bare number whose heading names no unit.
func (ac *account) lookAtParts(i, row int) {
	c, line := &ac.Cols[i], &ac.Line.Frame
	if c.Q.Counts == nil || c.Reader.Shop.HasUnit || ac.b.texts.NamesUnit(c.Reader.Shop.Head, c.Q.Unit) {
		return
	}
	if ac.little == nil {
		ac.partsSeen = partsSeen{map[*model.Quantity][]maybeParts{}, map[*model.Quantity]bool{}}
	}
	each, nearer := c.Q.AsParts(line, ac.b.Values.Singles)
	if nearer < 1 || ac.b.texts.NamesUnit(book.CellText(*ac.Inputs[i]), c.Q.Unit) {
		ac.amounts[c.Q] = true
	}
	if nearer < aLittleNearer || ac.b.texts.NamesUnit(book.CellText(*ac.Inputs[i]), c.Q.Unit) {
		return
	}
	x, into := c.Q.Num(line), c.Q.Counts.Into
	is := maybeParts{
		cell: ac.L.Ref(row, c.Reader.Shop.Col),
		what: fmt.Sprintf("%s is %v without a unit, and is taken for %s; it may be how many there are in %s, each %s", c.Reader.Name(), x, c.Q.AmountText(x), into.AmountText(into.Num(line)), c.Q.AmountText(each)),
		fix:  fmt.Sprintf("write %s; if %s is meant, settle the column: %s", c.Q.AmountText(each), c.Q.AmountText(x), book.SettleAs(ac.L.ColumnName(c.Reader.Shop.Col), c.Q.Key+", "+c.Q.Unit.String())),
	}
	if nearer >= muchNearer {
		ac.tellPart(c.Q, is)
	} else if len(ac.little[c.Q]) < mostAsides {
		ac.little[c.Q] = append(ac.little[c.Q], is)
	}
}

// tellParts tells of those that are a little nearer.
func (ac *account) tellParts() {
	for i := range ac.Cols {
		for _, is := range ac.little[ac.Cols[i].Q] {
			if !ac.amounts[ac.Cols[i].Q] {
				ac.tellPart(ac.Cols[i].Q, is)
			}
		}
	}
}

func (ac *account) tellPart(q *model.Quantity, is maybeParts) {
	ac.b.unsettled(book.CheckInputs, "counts "+q.Key, is.cell, is.what, is.fix)
}
