package timesheet

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"math"
	"strings"

	"seamtally/compute"
	"seamtally/compute/units"
	"seamtally/sheets"
)

// estimates are what the model makes of the cars of an order.
type estimates struct {
	digest   string // SHA-256 of the quote
	complete bool
	metric   bool
	together bool    // all gas lines hang on one bottle
	holds    float64 // usable gas of one bottle, in the unit of gas; NaN where not known
	gasUnit  string
	yield    float64 // filler_yield
	cars     []estimate
	rests    []Rest
}

// estimate is one car, at factors of 100 %. Times are in minutes.
type estimate struct {
	car     string
	ordered int
	stages  [Stages]float64
	all     float64
	fixed   float64 // of all, what no factor moves
	gas     [gasCount]float64
	rods    float64 // NaN where the length of a rod is not known
}

// The figures that an estimate is made of, by their names in the model.
const (
	keyFloor    = "car_floor"
	keyHours    = "car_hours"
	keyArgon    = "car_argon"
	keyLearning = "learning_slope"
	keyYield    = "filler_yield"
)

// KeyAllowance is the assumption that clocked minutes rest on, and stages do not.
const KeyAllowance = "allowance"

// stagesAt has the factors of all stages at x, that of gas at 100 %, and nothing learned.
func stagesAt(x float64) map[string]float64 {
	out := map[string]float64{compute.GasFactor: 1, keyLearning: 1}
	for _, factor := range compute.StageFactors() {
		out[factor] = x
	}
	return out
}

// estimated works the order out again with every factor at 100 %, and nothing learned.
// A stage is what its factor multiplies, so the others are set to nothing for it.
func estimated(t *sheets.Run) (*estimates, error) {
	m := t.Model
	e := &estimates{
		complete: t.Report.Complete, metric: m.System == compute.Metric,
		together: m.Singles.Quantity("gas_lines").Text(t.Values.Singles) == "together",
		yield:    m.Singles.Quantity(keyYield).Num(t.Values.Singles), rests: RestsOn(m, t.Values),
	}
	var err error
	if e.digest, err = t.InputSum(); err != nil {
		return nil, err
	}
	cars := m.ClosingScope("cars")
	of := func(set map[string]float64) (*compute.Values, error) {
		v := t.Set.Clone()
		for key, x := range set {
			q := m.Singles.Quantity(key)
			if q == nil {
				return nil, fmt.Errorf("the model has no %s, by which a time sheet is made", key)
			}
			v.Singles.Num[q.Slot] = x
		}
		return v, worked(t, v)
	}
	whole, err := of(stagesAt(1))
	if err != nil {
		return nil, err
	}
	minutes := func(v *compute.Values, key string, i int) float64 {
		q := cars.Quantity(key)
		return q.Num(v.Rows(cars).Frames[i]) * conversion(q.Unit, "min")
	}
	argon, name, ordered := cars.Quantity(keyArgon), m.Table("cars").Quantity("name"), cars.Quantity("car_qty")
	e.gasUnit = compute.UnitName(argon)
	size := m.Singles.Quantity("bottle_size")
	e.holds = size.Num(t.Values.Singles) * m.Singles.Quantity("bottle_usable").Num(t.Values.Singles) * conversion(size.Unit, argon.Unit.String())
	if !(e.holds > 0) {
		e.holds = math.NaN()
	}
	for i, f := range whole.Rows(cars).Frames {
		no := int(cars.Quantity(cars.By).Num(f))
		one := estimate{
			car:     name.Text(whole.Rows(m.Table("cars")).Frames[no-1]),
			ordered: int(math.Ceil(ordered.Num(f))), all: minutes(whole, keyHours, i),
		}
		var parts [gasCount]float64
		sum := 0.0
		for k, line := range gasLines() {
			parts[k] = cars.Quantity(line + "_car").Num(f)
			sum += parts[k]
		}
		for k := range parts {
			if sum > 0 {
				one.gas[k] = argon.Num(f) * parts[k] / sum
			}
		}
		e.cars = append(e.cars, one)
	}
	none := stagesAt(0)
	still, err := of(none)
	if err != nil {
		return nil, err
	}
	for i := range e.cars {
		e.cars[i].fixed = minutes(still, keyHours, i)
	}
	for s, factor := range compute.StageFactors() {
		set := maps.Clone(none)
		set[factor] = 1
		v, err := of(set)
		if err != nil {
			return nil, err
		}
		for i := range e.cars {
			e.cars[i].stages[s] = minutes(v, keyFloor, i)
		}
	}
	e.rods(t)
	return e, nil
}

// worked works the joints out with other values. What somebody has typed over a figure
// that a factor is in would have the factor in it: such a figure is worked out again.
func worked(t *sheets.Run, v *compute.Values) error {
	var with []*compute.Quantity
	for _, q := range t.Model.Line.Quantities {
		if q.Role == compute.Figure && factored(q) {
			with = append(with, q)
		}
	}
	_, err := t.Again(v, func(_ *compute.Joint, l *compute.Line) bool {
		for _, q := range with {
			l.Release(q)
		}
		return true
	})
	return err
}

func factored(q *compute.Quantity) bool {
	for _, to := range q.Reaches() {
		if to.Key == compute.GasFactor {
			return true
		}
		for _, factor := range compute.StageFactors() {
			if to.Key == factor {
				return true
			}
		}
	}
	return false
}

// rods are those that one car takes, of every sort of rod together.
func (e *estimates) rods(t *sheets.Run) {
	m := t.Model
	rodNo, carNo, melted := m.Line.Quantity("rod_no"), m.Line.Quantity("car_no"), m.Line.Quantity("filler_length")
	fillers, cars := m.Table("fillers"), m.ClosingScope("cars")
	length := fillers.Quantity("length")
	at := map[int]int{}
	for i, f := range t.Values.Rows(cars).Frames {
		at[int(cars.Quantity(cars.By).Num(f))] = i
	}
	for i := range t.Order.Joints {
		f := &t.Order.Joints[i].Line.Frame
		amount := melted.Num(f)
		car, known := at[int(carNo.Num(f))]
		if !known || !(amount > 0) {
			continue
		}
		one, no := math.NaN(), int(rodNo.Num(f))
		if rows := t.Values.Rows(fillers).Frames; no >= 1 && no <= len(rows) {
			if x := length.Num(rows[no-1]); x > 0 {
				one = x * conversion(length.Unit, melted.Unit.String())
			}
		}
		e.cars[car].rods += amount / one
	}
}

// seal is a digest of all that is compared with: a number that was changed by hand
// would make every factor wrong.
func (e *estimates) seal() string {
	h := sha256.New()
	fmt.Fprintf(h, "%s %t %t %t %.12g %.12g\n", e.digest, e.complete, e.metric, e.together, e.holds, e.yield)
	for _, c := range e.cars {
		fmt.Fprintf(h, "%s %.12g %.12g %.12g %.12g %.12g\n", strings.Join(strings.Fields(c.car), " "), c.stages, c.all, c.fixed, c.gas, c.rods)
	}
	for _, r := range e.rests {
		fmt.Fprintf(h, "%s %.12g %s %s\n", r.What, r.Num, r.Text, r.Unit)
	}
	return fmt.Sprintf("%x", h.Sum(nil))[:sealDigits]
}

// sealDigits is how much of the digest is kept.
const sealDigits = 16

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
