package compute

import "seamtally/compute/model"

// Blame is the input of a refused line that a check is about: of those that the
// check names, the first that the row gives and that, left blank, would silence it.
func (o *Order) Blame(l *Line, check *model.Quantity) *model.Quantity {
	for _, key := range check.Cells {
		q := o.Model.Line.Quantity(key)
		if !l.given[q.Slot] {
			continue
		}
		blank := l.Clone()
		blank.Release(q)
		o.engine.try(blank)
		if blank.Frame.Num[check.Slot] == 0 {
			return q
		}
	}
	return o.Model.Line.Quantity(check.Cells[0])
}
