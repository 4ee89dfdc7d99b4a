package floor

import (
	"math"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
)

// Quote is what was quoted of an order's cars.
type Quote struct {
	Cars      []Quoted
	order     *compute.Order
	gasFactor float64
}

// Quoted is one car as it was quoted: its hours in all, and those of the stages before
// allowance.
type Quoted struct {
	Name        string
	row         int // of the cars of the order
	hours       float64
	stages      [Stages]float64
	price       float64
	earned      float64
	bid         bool
	other       float64 // cost other than hours
	priceWorked float64
}

// Done is a car that was logged, over what was quoted, in hours: the differences of the
// stages, and Else for all that is none of them, add up to Logged less Quoted.
type Done struct {
	Name   string
	Number int // in the run; 0 = not known
	Quoted float64
	Stages [Stages]float64 // NaN = not logged: its difference is in Else
	Else   float64
	Logged float64

	Price        float64 // the bid where there is one
	EarnedQuoted float64 // money for an hour on the floor
	Earned       float64
}

// Amount is what was quoted and what was used up.
type Amount struct {
	Quoted, Logged float64
	Cars           int // that it is counted over
}

// The figures of the cars that a quote is made of, by their names in the model.
const (
	keyWork      = "work_hours"
	keyOther     = "other_cost"
	keyPrice     = "price_car"
	keyBid       = "bid"
	keyEarned    = "earned"
	keyBidEarned = "bid_earned"
)

// QuoteOf takes an order apart: a stage is what its factor adds to the work.
func QuoteOf(o *compute.Order) (*Quote, error) {
	m := o.Model
	cars := m.ClosingScope("cars")
	work := cars.Quantity(keyWork)
	q := &Quote{order: o, gasFactor: m.Singles.Quantity(model.GasFactor).Num(o.Values.Singles)}
	for i, f := range o.Values.Rows(cars).Frames {
		x := cars.Figures(f)
		name := m.Table("cars").Quantity("name").Text(o.Values.Rows(m.Table("cars")).Frames[q.no(i)-1])
		one := Quoted{Name: name, row: i, hours: x[keyHours], price: x[keyPrice], priceWorked: x[keyPrice], other: x[keyOther], earned: x[keyEarned]}
		if x[keyBid] > 0 {
			one.price, one.earned, one.bid = x[keyBid], x[keyBidEarned], true
		}
		q.Cars = append(q.Cars, one)
	}
	whole := o.Set.Clone()
	if _, err := o.Again(whole, nil); err != nil {
		return nil, err
	}
	for s, key := range model.StageFactors() {
		v := o.Set.Clone()
		v.Singles.Num[m.Singles.Quantity(key).Slot] = 0
		if _, err := o.Again(v, nil); err != nil {
			return nil, err
		}
		for i := range q.Cars {
			q.Cars[i].stages[s] = work.Num(whole.Rows(cars).Frames[i]) - work.Num(v.Rows(cars).Frames[i])
		}
	}
	return q, nil
}

// Find is a car of the quote, nil where there is none.
func (q *Quote) Find(name string) *Quoted {
	for i := range q.Cars {
		if strings.EqualFold(q.Cars[i].Name, name) {
			return &q.Cars[i]
		}
	}
	return nil
}

// Against is what was logged of a car, in minutes, over what was quoted.
func (q *Quote) Against(c *Quoted, number int, minutes [Stages]float64, clocked float64) (Done, error) {
	out := Done{Name: c.Name, Number: number, Quoted: c.hours, Logged: clocked / 60, Price: c.price, EarnedQuoted: c.earned}
	out.Else = out.Logged - out.Quoted
	for s := range out.Stages {
		out.Stages[s] = minutes[s]/60 - c.stages[s]
		if !math.IsNaN(out.Stages[s]) {
			out.Else -= out.Stages[s]
		}
	}
	var err error
	out.Earned, err = q.earns(c, out.Logged)
	return out, err
}

// earns is what an hour brings at the price, or the bid, with the hours that were
// logged and all else as quoted: the model's own figure, with these held.
func (q *Quote) earns(c *Quoted, hours float64) (float64, error) {
	if math.IsNaN(hours) || hours <= 0 {
		return math.NaN(), nil
	}
	cars := q.order.Model.ClosingScope("cars")
	v := q.order.Set.Clone()
	for key, x := range map[string]float64{keyHours: hours, keyOther: c.other, keyPrice: c.priceWorked} {
		v.Hold(compute.Place{Figure: cars.Quantity(key), Row: q.no(c.row)}, x)
	}
	none := func(*compute.Joint, *compute.Line) bool { return false } // all that it rests on is held
	if _, err := q.order.Again(v, none); err != nil {
		return math.NaN(), err
	}
	key := keyEarned
	if c.bid {
		key = keyBidEarned
	}
	return cars.Quantity(key).Num(v.Rows(cars).Frames[c.row]), nil
}

// no is the number of the line that a car of the order follows.
func (q *Quote) no(row int) int {
	cars := q.order.Model.ClosingScope("cars")
	return int(cars.Quantity(cars.By).Num(q.order.Values.Rows(cars).Frames[row]))
}

// Gas adds the argon of a car, by the bottles that were changed on each line, of which
// one holds so much; estimate is the model's at a factor of 100 %.
func (a *Amount) Gas(q *Quote, bottles, estimate [Lines]float64, holds float64) {
	counted := false
	for k, n := range bottles {
		if n >= 0 && estimate[k] >= 0 && holds > 0 {
			counted = true
			a.Logged += n * holds
			a.Quoted += q.gasFactor * estimate[k]
		}
	}
	if counted {
		a.Cars++
	}
}

// Rods adds the rods of a car, where both are known.
func (a *Amount) Rods(used, estimate float64) {
	if used >= 0 && estimate >= 0 {
		a.Logged += used
		a.Quoted += estimate
		a.Cars++
	}
}

// InAll adds up the cars whose hours in all are known; counted of them.
func InAll(cars []Done) (s Done, counted int) {
	brought := 0.0
	for _, c := range cars {
		if math.IsNaN(c.Logged) {
			continue
		}
		counted++
		s.Quoted, s.Logged, s.Else, s.Price = s.Quoted+c.Quoted, s.Logged+c.Logged, s.Else+c.Else, s.Price+c.Price
		for i, x := range c.Stages {
			if !math.IsNaN(x) {
				s.Stages[i] += x
			}
		}
		s.EarnedQuoted += c.EarnedQuoted * c.Quoted
		brought += c.Earned * c.Logged
	}
	s.EarnedQuoted /= s.Quoted
	s.Earned = brought / s.Logged
	return s, counted
}
