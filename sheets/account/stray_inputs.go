package account

import (
	"slices"

	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/entry"
)

// mayBe lists the inputs that a column may hold, by its heading, its unit and its
// values: the headings to give it. None: no price can come of it.
func (ac *account) mayBe(s *stray) []string {
	if s.numbers == 0 && s.words == 0 || s.numbers < s.words && s.numbers > 0 && !s.hasUnit {
		return nil // dates, or words with a number among them
	}
	if s.own {
		if ac.lacksPieces() && ac.mayCount(s) {
			return []string{ac.head("qty")}
		}
		return ac.setupsThere(s)
	}
	near, fit := ac.inputs(s, false)
	if len(near)+len(fit) == 0 {
		near, fit = ac.inputs(s, true)
	}
	if s.onlyRows(ac.L) && !s.hasUnit {
		return near
	}
	return append(near, fit...)
}

// inputs lists those that a column may hold: that which its heading comes near to, and
// the others. A length without a unit is in the book's, or in that of the other system.
func (ac *account) inputs(s *stray, otherUnit bool) (near, fit []string) {
	for _, q := range ac.b.Model.Line.Quantities {
		desc, known := ac.b.Headings.Column(q.Key)
		if q.Role != model.Input || !known || desc.Table != "lines" || ac.L.Shop[q.Key].Col > 0 {
			continue
		}
		in := []units.Unit{q.Unit}
		if otherUnit {
			in = desc.Takes.UnitsUsed()
		}
		switch {
		case !ac.fits(s, q, desc, in), s.twin != nil && s.counts() && !s.twin.q.Unit.SameDim(q.Unit):
		case desc.Head == s.heading.Nearest:
			near = append(near, desc.Head)
		default:
			fit = append(fit, desc.Head)
		}
	}
	return near, fit
}

// fits reports whether the values of a column can be those of an input, numbers without
// a unit in one of some units.
func (ac *account) fits(s *stray, q *model.Quantity, desc entry.Column, in []units.Unit) bool {
	if q.IsText() {
		another := s.heading.Key != "" && s.heading.Key != q.Key // whose cells cannot be these words
		return s.numbers == 0 && !another && ac.wordsFit(s, q, desc)
	}
	if s.numbers == 0 {
		return false
	}
	if s.heading.HasUnit && !s.heading.Unit.SameDim(q.Unit) || s.hasUnit && !s.unit.SameDim(q.Unit) {
		return false
	}
	if s.least == s.most && s.least == 0 {
		return false
	}
	if desc.Takes == entry.TakesCount && (!s.whole || s.least == 1 && s.most == 1) {
		return false
	}
	switch {
	case s.heading.HasUnit:
		in = []units.Unit{s.heading.Unit}
	case s.hasUnit:
		in = []units.Unit{s.unit}
	}
	return desc.Head == s.heading.Nearest || slices.ContainsFunc(in, func(unit units.Unit) bool {
		f, err := units.Conversion(unit, q.Unit)
		return err == nil && !q.Beyond(f.Apply(s.least)) && !q.Beyond(f.Apply(s.most))
	})
}
