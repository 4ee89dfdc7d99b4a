package compute

import "math"

// An assumption that stands for what most joints leave open is a decision that
// nobody may have made. It is worth telling from so many joints on, if one more purge
// moves the price by so much. Common practice, no source.
const (
	leastOpen  = 10
	leastMoved = 0.01 // of the price
)

// PurgesOpen is what hangs on how often joints are purged that do not say so.
type PurgesOpen struct {
	Joints     int     // that leave it open
	Fills      float64 // of them, for the whole order
	Now, Would float64 // purges of each, and one more
	Is, Then   float64 // the price of the order, with each
}

// More is what the price rises by, as a share.
func (p PurgesOpen) More() float64 { return p.Then/p.Is - 1 }

// PurgesOpen is nil where too little hangs on it. It works the order out again.
func (o *Order) PurgesOpen() (*PurgesOpen, error) {
	m := o.Model
	purges, fills, carNo := m.Line.Quantity("purges"), m.Line.Quantity("fills"), m.Line.Quantity("car_no")
	q, cars := m.Singles.Quantity("default_purges"), m.Table("cars")
	p := &PurgesOpen{Now: q.Num(o.Values.Singles)}
	p.Would = p.Now + 1
	for i := range o.Joints {
		line := o.Joints[i].Line
		if line.Given(purges) || line.Given(fills) || fills.Num(&line.Frame) == 0 {
			continue
		}
		p.Joints++
		p.Fills += fills.Num(&line.Frame) * cars.Quantity("ordered").Num(o.Values.Rows(cars).At(carNo.Num(&line.Frame)))
	}
	if p.Joints < leastOpen || 2*p.Joints <= len(o.Joints) {
		return nil, nil
	}
	v := o.Set.Clone()
	v.Singles.Num[q.Slot] = p.Would
	if _, err := o.Again(v, nil); err != nil {
		return nil, err
	}
	p.Is, p.Then = m.Roles.Price.Num(o.Values.Order), m.Roles.Price.Num(v.Order)
	if !(math.Abs(p.Then-p.Is) >= leastMoved*p.Is) || p.Is == 0 {
		return nil, nil
	}
	return p, nil
}
