package ranges

import (
	"math"

	"seamtally/compute"
	"seamtally/compute/backlog"
	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/book"
	"seamtally/sheets/workings"
)

// DrawnHours are the assumptions that move the hours of an order, as Range draws
// them, in the order of the model; and what works the hours out with others.
func DrawnHours(s *assumptions.Sheet) ([]backlog.Drawn, func() (*compute.Sweep, error), error) {
	at, err := s.Place()
	if err != nil {
		return nil, nil, err
	}
	r := &ranges{Laid: layout.Unseen(&workings.Sheet{Sheet: s, Assume: at}, book.Kind{Key: "range"})}
	if err := r.choose(); err != nil {
		return nil, nil, err
	}
	used := map[*model.Quantity]ranged{}
	for _, x := range r.used {
		used[x.q] = x
	}
	hours := s.Model.OrderOf.Quantity("order_hours")
	priced := hours.Num(s.Values.Order)
	var out []backlog.Drawn
	var varied []*model.Quantity
	for _, q := range s.Model.Singles.Quantities {
		x, drawn := used[q]
		if drawn && math.Max(math.Abs(x.hours[0]-priced), math.Abs(x.hours[1]-priced)) > 1e-9*priced {
			out = append(out, backlog.Drawn{Quantity: q, Spread: x.spread, Time: ofTime(q)})
			varied = append(varied, q)
		}
	}
	lines := make([]*compute.Line, len(s.Joints))
	for i := range s.Joints {
		lines[i] = s.Joints[i].Line
	}
	return out, func() (*compute.Sweep, error) {
		return compute.NewSweep(s.Values, lines, varied, []*model.Quantity{hours})
	}, nil
}
