package compute

import (
	"slices"

	"seamtally/compute/model"
)

// Blame is what of a refused line a check is about: of what is typed over, and then of
// the inputs that the check names, the first that the row gives and that, left blank,
// would silence it.
func (o *Order) Blame(l *Line, check *model.Quantity, typed []*model.Quantity) *model.Quantity {
	about := slices.Clone(typed)
	for _, key := range check.Cells {
		about = append(about, o.Model.Line.Quantity(key))
	}
	for _, q := range about {
		if !l.given[q.Slot] {
			continue
		}
		blank := l.Clone()
		blank.Release(q)
		o.engine.try(blank, trial{o.engine.first, o.engine.rest})
		if blank.Frame.Num[check.Slot] == 0 {
			return q
		}
	}
	return about[len(typed)]
}
