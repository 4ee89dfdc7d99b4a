// Package floor has what the model makes of each car of an order on the floor: the
// minutes of its stages, its argon and its rods, apart from what the shop's own factors
// do to them. It knows nothing of cells, files, or what was logged.
package floor

import (
	"fmt"
	"maps"
	"math"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/compute/units"
)

// Stages are saw, bench and weld, in this order.
const Stages = 3

// Lines is how many gas lines there are.
const Lines = 3

// GasLines are they, by their names in the model.
func GasLines() [Lines]string { return [...]string{"torch", "trail", "purge"} }

// Order is what the model makes of an order.
type Order struct {
	Together bool    // all gas lines hang on one bottle
	Holds    float64 // usable gas of one bottle, in the unit of gas; NaN where not known
	GasUnit  string
	Yield    float64 // filler_yield
	Cars     []Car
}

// Car is one car, at factors of 100 %. Times are in minutes.
type Car struct {
	Name    string
	Ordered int
	Stages  [Stages]float64
	All     float64
	Fixed   float64 // of All, what no factor moves
	Gas     [Lines]float64
	Rods    float64 // NaN where the length of a rod is not known
}

// The figures that it is made of, by their names in the model.
const (
	KeyMinutes  = "car_floor"
	KeyArgon    = "car_argon"
	KeyLearning = "learning_slope"
	keyHours    = "car_hours"
	keyYield    = "filler_yield"
)

// Sum is the minutes of all stages, or the gas of all lines; NaN where one is not known.
func Sum(of [Stages]float64) float64 { return of[0] + of[1] + of[2] }

// Over reports whether the stages that were logged have more minutes together than a
// car was clocked for in all, by more than rounding to whole ones, and how many.
func Over(minutes [Stages]float64, all float64) (sum float64, over bool) {
	for _, x := range minutes {
		if x >= 0 {
			sum += x
		}
	}
	return sum, all < sum-0.5
}

// allAt has the factors of all stages at x, that of gas at 100 %, and nothing learned.
func allAt(x float64) map[string]float64 {
	out := map[string]float64{model.GasFactor: 1, KeyLearning: 1}
	for _, factor := range model.StageFactors() {
		out[factor] = x
	}
	return out
}

// Of works an order out again with every factor at 100 %, and nothing learned. A stage
// is what its factor multiplies, so the others are set to nothing for it.
func Of(o *compute.Order) (*Order, error) {
	m := o.Model
	out := &Order{
		Together: m.Singles.Quantity("gas_lines").Text(o.Values.Singles) == "together",
		Yield:    m.Singles.Quantity(keyYield).Num(o.Values.Singles),
	}
	cars := m.ClosingScope("cars")
	of := func(set map[string]float64) (*compute.Values, error) {
		v := o.Set.Clone()
		for key, x := range set {
			q := m.Singles.Quantity(key)
			if q == nil {
				return nil, fmt.Errorf("the model has no %s, by which a time sheet is made", key)
			}
			v.Singles.Num[q.Slot] = x
		}
		return v, worked(o, v)
	}
	whole, err := of(allAt(1))
	if err != nil {
		return nil, err
	}
	minutes := func(v *compute.Values, key string, i int) float64 {
		q := cars.Quantity(key)
		return q.Num(v.Rows(cars).Frames[i]) * conversion(q.Unit, "min")
	}
	argon, name, ordered := cars.Quantity(KeyArgon), m.Table("cars").Quantity("name"), cars.Quantity("car_qty")
	out.GasUnit = model.UnitName(argon)
	size := m.Singles.Quantity("bottle_size")
	out.Holds = size.Num(o.Values.Singles) * m.Singles.Quantity("bottle_usable").Num(o.Values.Singles) * conversion(size.Unit, argon.Unit.String())
	if !(out.Holds > 0) {
		out.Holds = math.NaN()
	}
	for i, f := range whole.Rows(cars).Frames {
		no := int(cars.Quantity(cars.By).Num(f))
		one := Car{
			Name:    name.Text(whole.Rows(m.Table("cars")).Frames[no-1]),
			Ordered: int(math.Ceil(ordered.Num(f))), All: minutes(whole, keyHours, i),
		}
		var parts [Lines]float64
		sum := 0.0
		for k, line := range GasLines() {
			parts[k] = cars.Quantity(line + "_car").Num(f)
			sum += parts[k]
		}
		for k := range parts {
			if sum > 0 {
				one.Gas[k] = argon.Num(f) * parts[k] / sum
			}
		}
		out.Cars = append(out.Cars, one)
	}
	none := allAt(0)
	still, err := of(none)
	if err != nil {
		return nil, err
	}
	for i := range out.Cars {
		out.Cars[i].Fixed = minutes(still, keyHours, i)
	}
	for s, factor := range model.StageFactors() {
		set := maps.Clone(none)
		set[factor] = 1
		v, err := of(set)
		if err != nil {
			return nil, err
		}
		for i := range out.Cars {
			out.Cars[i].Stages[s] = minutes(v, KeyMinutes, i)
		}
	}
	out.rods(o)
	return out, nil
}

// worked works the joints out with other values. What somebody has typed over a figure
// that a factor is in would have the factor in it: such a figure is worked out again.
func worked(o *compute.Order, v *compute.Values) error {
	var with []*model.Quantity
	for _, q := range o.Model.Line.Quantities {
		if q.Role == model.Figure && factored(q) {
			with = append(with, q)
		}
	}
	_, err := o.Again(v, func(_ *compute.Joint, l *compute.Line) bool {
		for _, q := range with {
			l.Release(q)
		}
		return true
	})
	return err
}

func factored(q *model.Quantity) bool {
	for _, to := range q.Reaches() {
		if to.Key == model.GasFactor {
			return true
		}
		for _, factor := range model.StageFactors() {
			if to.Key == factor {
				return true
			}
		}
	}
	return false
}

// rods are those that one car takes, of every sort of rod together.
func (out *Order) rods(o *compute.Order) {
	m := o.Model
	rodNo, carNo, melted := m.Line.Quantity("rod_no"), m.Line.Quantity("car_no"), m.Line.Quantity("filler_length")
	fillers, cars := m.Table("fillers"), m.ClosingScope("cars")
	length := fillers.Quantity("length")
	at := map[int]int{}
	for i, f := range o.Values.Rows(cars).Frames {
		at[int(cars.Quantity(cars.By).Num(f))] = i
	}
	for i := range o.Joints {
		f := &o.Joints[i].Line.Frame
		amount := melted.Num(f)
		car, known := at[int(carNo.Num(f))]
		if !known || !(amount > 0) {
			continue
		}
		one, no := math.NaN(), int(rodNo.Num(f))
		if rows := o.Values.Rows(fillers).Frames; no >= 1 && no <= len(rows) {
			if x := length.Num(rows[no-1]); x > 0 {
				one = x * conversion(length.Unit, melted.Unit.String())
			}
		}
		out.Cars[car].Rods += amount / one
	}
}

// conversion is by what a number in one unit is multiplied to be in another of the same
// dimension; NaN where there is no such.
func conversion(from units.Unit, to string) float64 {
	u, err := units.Parse(to)
	if err != nil {
		return math.NaN()
	}
	f, err := units.Conversion(from, u)
	if err != nil {
		return math.NaN()
	}
	return f.Float()
}
