package joints

import (
	"fmt"

	"seamtally/compute/formula"
	"seamtally/sheets/book"
)

// tellUnder tells of a number that is less than another input, which it usually is not:
// a radius in diameters, typed as a bare number.
func (ed *Editor) tellUnder(row int, c *Column, x float64) {
	of := ed.b.Model.Line.Quantity(c.Q.NotUnder)
	if of == nil || !ed.Line.Given(of) || x >= of.Num(&ed.Line.Frame)*(1-twinTolerance) {
		return
	}
	unit, other := c.Q.Unit.String(), (&Reader{Q: of}).Name()
	ed.b.unsettled(book.CheckInputs, "under "+c.Q.Key, ed.L.Ref(row, c.Reader.Shop.Col),
		fmt.Sprintf("%s is %s %s, less than the %s of %s %s; is it a multiple of that?", c.Reader.Name(), formula.GeneralText(x), unit, other, formula.GeneralText(of.Num(&ed.Line.Frame)), unit),
		fmt.Sprintf("write a multiple as in 1.5D; if the number is meant, settle the column: %s", settling(ed.L.columnName(c.Reader.Shop.Col), c.Q.Key+", "+unit)))
}
