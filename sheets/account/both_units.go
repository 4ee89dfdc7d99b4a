package account

import (
	"math"
	"strconv"
	"strings"

	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/worksheet"
)

// Shops keep a size in both units, the second rounded as it is shown. Such columns agree
// if either is the other so rounded.

// unitOf is the unit of bare numbers in a column: that of its heading, or the book's.
func unitOf(q *model.Quantity, unit units.Unit, has bool) units.Unit {
	if has && unit.SameDim(q.Unit) {
		return unit
	}
	return q.Unit
}

// inOtherUnit reports whether a column that says again what an input says is in
// another unit than that.
func (ac *account) inOtherUnit(m entry.Match) bool {
	q, of := ac.b.Model.Line.Quantity(m.Key), ac.L.Shop[m.Key]
	return q != nil && !q.IsText() && !unitOf(q, m.Unit, m.HasUnit).Equal(unitOf(q, of.Unit, of.HasUnit))
}

// mostRounded is how far a rounded size may lie from the other, relatively.
const mostRounded = 0.05

// saysSame reports whether a cell below a heading that repeats another's says what the
// cell there says.
func (ac *account) saysSame(m entry.Match, again, first *worksheet.Cell) bool {
	other := ac.inOtherUnit(m)
	if !other && book.CellText(*again) == book.CellText(*first) {
		return true
	}
	q, of := ac.b.Model.Line.Quantity(m.Key), ac.L.Shop[m.Key]
	if q == nil || q.IsText() {
		return false
	}
	desc, _ := ac.b.Headings.Column(m.Key)
	x, fineX, ok := ac.b.sizeIn(q, desc, unitOf(q, m.Unit, m.HasUnit), again)
	y, fineY, both := ac.b.sizeIn(q, desc, unitOf(q, of.Unit, of.HasUnit), first)
	off := math.Abs(x - y)
	switch {
	case !ok || !both:
		return false
	case !other:
		return off <= 1e-9*math.Abs(y)
	}
	return off <= twinTolerance*math.Abs(y) || off <= mostRounded*math.Abs(y) && off <= max(fineX, fineY)/2*(1+1e-9)
}

// sizeIn reads a cell in the unit of an input. fine is the unit of its last place.
func (b *Ledger) sizeIn(q *model.Quantity, desc entry.Column, unit units.Unit, c *worksheet.Cell) (x, fine float64, ok bool) {
	if c.Kind == worksheet.Text {
		got, err := b.Measures.Quantity(c.Text, desc.Want(q.Unit, unit))
		return got.Value, 0, err == nil && !got.PerOD
	}
	f, err := units.Conversion(unit, q.Unit)
	if err != nil || c.Kind != worksheet.Number {
		return 0, 0, false
	}
	_, places, _ := strings.Cut(strconv.FormatFloat(c.Num, 'f', -1, 64), ".")
	return f.Apply(c.Num), f.Apply(math.Pow10(-len(places))), true
}
