// Package outcome lays what was logged of a job beside its quote: hours by car and
// stage so that the parts add up, argon and rods, and what was earned for an hour.
package outcome

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/floor"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/timesheet"
)

// Options says what Of is to do.
type Options struct {
	Quote    string
	Sheets   []string // time sheets, or workbooks with minutes in them
	Password string   // of those that are encrypted
}

// Report is what came of a quote. Hours and amounts are NaN where they are not known.
type Report struct {
	Quote    string
	Currency string
	GasUnit  string
	Cars     []Car  // each that was logged
	Sum      Car    // of those whose hours in all are known; Counted of them
	Counted  int    //
	Gas      Amount // of the lines whose bottles were counted
	Rods     Amount
	Findings []book.Finding
	sheets.Verdict
}

// Car is one that was logged. Its difference is what was logged over what was quoted,
// in hours: those of the stages, and Else for all that is none of them, add up to
// Logged less Quoted.
type Car struct {
	Name   string
	Number int // in the run; 0 = not known
	Quoted float64
	Stages [floor.Stages]float64 // NaN = not logged: its difference is in Else
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

// The figures of the model that are asked for by name.
const (
	keyWork      = "work_hours"
	keyHours     = "car_hours"
	keyOther     = "other_cost"
	keyPrice     = "price_car"
	keyBid       = "bid"
	keyEarned    = "earned"
	keyBidEarned = "bid_earned"
)

// Of reads a quote and what was logged of it.
func Of(ctx context.Context, o Options) (*Report, error) {
	t, err := sheets.Read(ctx, o.Quote, o.Password)
	if err != nil {
		return nil, err
	}
	defer t.Close()
	digest, err := t.InputSum()
	if err != nil {
		return nil, err
	}
	q, err := read(t)
	if err != nil {
		return nil, err
	}
	r := &Report{Quote: o.Quote, Currency: t.Currency(), GasUnit: q.gasUnit, Verdict: t.Report.Verdict}
	var lines []timesheet.Line
	for i, path := range o.Sheets {
		if slices.Contains(o.Sheets[:i], path) {
			r.warn(filepath.Base(path), "twice", "the file is given twice, and counted once", "give it once")
			continue
		}
		some, found, err := timesheet.Read(ctx, path, o.Password)
		if err != nil {
			return nil, err
		}
		r.Findings = append(r.Findings, found...)
		if len(some) > 0 && some[0].Order != digest {
			r.Findings = append(r.Findings, book.Finding{Level: book.LevelNote, Rule: "another quote", Cell: filepath.Base(path),
				What: "the time sheet was made of another state of the quote; it is compared with the quote as it is now", Fix: "give the quote that it was made of, if that is meant"})
		}
		lines = append(lines, some...)
	}
	if err := r.gather(t, q, lines); err != nil {
		return nil, err
	}
	switch rows := slices.ContainsFunc(lines, ofRow); {
	case len(r.Cars) == 0 && rows:
		return nil, fmt.Errorf("%s: minutes are logged beside joints alone, and those are not of a whole car; log each car on a line of a time sheet", o.Quote)
	case len(r.Cars) == 0:
		return nil, fmt.Errorf("%s: nothing was logged of a whole car that stands in it; fill in its time sheet, and say yes where the whole job was logged", o.Quote)
	}
	return r, t.StillTheSame()
}

// ofRow reports whether a line is of a row of joints.
func ofRow(l timesheet.Line) bool { return l.Kind != "" }

func (r *Report) warn(cell, rule, what, fix string) {
	r.Findings = append(r.Findings, book.Finding{Level: book.LevelWarning, Rule: rule, Cell: cell, What: what, Fix: fix})
}

// quote is what was quoted of each car.
type quote struct {
	gasUnit   string
	gasFactor float64
	cars      []quoted
}

// quoted is one car: its hours in all, and those of the stages before allowance.
type quoted struct {
	name        string
	row         int // on Summary, from 1
	hours       float64
	stages      [floor.Stages]float64
	price       float64
	earned      float64
	bid         bool
	other       float64 // cost other than hours
	priceWorked float64
}

// read takes the quote apart: a stage is what its factor adds to the work.
func read(t *sheets.Run) (*quote, error) {
	m := t.Model
	cars := m.ClosingScope("cars")
	work := cars.Quantity(keyWork)
	q := &quote{gasUnit: compute.UnitName(cars.Quantity("car_argon")), gasFactor: m.Singles.Quantity(compute.GasFactor).Num(t.Values.Singles)}
	for i, c := range t.Report.Cars {
		one := quoted{name: c.Car, row: i + 1, hours: c.Figures[keyHours], price: c.Figures[keyPrice], priceWorked: c.Figures[keyPrice], other: c.Figures[keyOther], earned: c.Figures[keyEarned]}
		if bid := c.Figures[keyBid]; bid > 0 {
			one.price, one.earned, one.bid = bid, c.Figures[keyBidEarned], true
		}
		q.cars = append(q.cars, one)
	}
	whole := t.Set.Clone()
	if _, err := t.Again(whole, nil); err != nil {
		return nil, err
	}
	for s, key := range compute.StageFactors() {
		v := t.Set.Clone()
		v.Singles.Num[m.Singles.Quantity(key).Slot] = 0
		if _, err := t.Again(v, nil); err != nil {
			return nil, err
		}
		for i := range q.cars {
			q.cars[i].stages[s] = work.Num(whole.Rows(cars).Frames[i]) - work.Num(v.Rows(cars).Frames[i])
		}
	}
	return q, nil
}

// find is a car of the quote, nil where there is none.
func (q *quote) find(name string) *quoted {
	for i := range q.cars {
		if strings.EqualFold(q.cars[i].name, name) {
			return &q.cars[i]
		}
	}
	return nil
}

// gather lays the lines beside the quote.
func (r *Report) gather(t *sheets.Run, q *quote, lines []timesheet.Line) error {
	r.Gas, r.Rods = Amount{}, Amount{}
	for _, l := range lines {
		at := fmt.Sprintf("%s:%s!%s", filepath.Base(l.File), l.Sheet, l.Cell)
		made := q.find(l.Car)
		switch {
		case ofRow(l):
			continue // told below
		case made == nil:
			r.warn(at, "not in the quote", fmt.Sprintf("%s is no car of the quote, and is not counted", l.Car), "name it as the quote does")
			continue
		case !l.Whole:
			r.warn(at, "part of a job", fmt.Sprintf("%s is not counted: the whole job was not logged", l.Car), "log the rest, and say yes there")
			continue
		}
		c := made.against(l)
		var err error
		if c.Earned, err = made.earns(t, c.Logged); err != nil {
			return err
		}
		if math.IsNaN(c.Logged) {
			r.Findings = append(r.Findings, book.Finding{Level: book.LevelNote, Rule: "hours in all", Cell: at,
				What: fmt.Sprintf("the hours of %s in all are not logged, so they are not in the sum", l.Car), Fix: "fill in the clocked minutes"})
		}
		r.Cars = append(r.Cars, c)
		r.amounts(q, l)
	}
	if n := slices.IndexFunc(lines, ofRow); n >= 0 {
		r.warn(filepath.Base(lines[n].File), "of rows", "minutes beside joints are not counted here: they are not those of a whole car", "log each car on a line of a time sheet")
	}
	r.sum()
	return nil
}

// against is what was logged of a car, over what was quoted.
func (q *quoted) against(l timesheet.Line) Car {
	c := Car{Name: q.name, Number: l.Number, Quoted: q.hours, Logged: l.Clocked / 60, Price: q.price, EarnedQuoted: q.earned}
	c.Else = c.Logged - c.Quoted
	for s := range c.Stages {
		c.Stages[s] = l.Minutes[s]/60 - q.stages[s]
		if !math.IsNaN(c.Stages[s]) {
			c.Else -= c.Stages[s]
		}
	}
	return c
}

// earns is what an hour brings at the price, or the bid, with the hours that were
// logged and all else as quoted: the model's own figure, with these held.
func (q *quoted) earns(t *sheets.Run, hours float64) (float64, error) {
	if math.IsNaN(hours) || hours <= 0 {
		return math.NaN(), nil
	}
	cars := t.Model.ClosingScope("cars")
	v := t.Set.Clone()
	for key, x := range map[string]float64{keyHours: hours, keyOther: q.other, keyPrice: q.priceWorked} {
		v.Hold(compute.Place{Figure: cars.Quantity(key), Row: q.no(t)}, x)
	}
	none := func(*compute.Joint, *compute.Line) bool { return false } // all that it rests on is held
	if _, err := t.Again(v, none); err != nil {
		return math.NaN(), err
	}
	key := keyEarned
	if q.bid {
		key = keyBidEarned
	}
	return cars.Quantity(key).Num(v.Rows(cars).Frames[q.row-1]), nil
}

// no is the number of the car's line.
func (q *quoted) no(t *sheets.Run) int {
	cars := t.Model.ClosingScope("cars")
	return int(cars.Quantity(cars.By).Num(t.Values.Rows(cars).Frames[q.row-1]))
}

// amounts adds argon and rods of a car.
func (r *Report) amounts(q *quote, l timesheet.Line) {
	counted := false
	for k, n := range l.Bottles {
		if n >= 0 && l.Gas[k] >= 0 && l.BottleHolds > 0 {
			counted = true
			r.Gas.Logged += n * l.BottleHolds
			r.Gas.Quoted += q.gasFactor * l.Gas[k]
		}
	}
	if counted {
		r.Gas.Cars++
	}
	if l.Rods >= 0 && l.RodsEstimate >= 0 {
		r.Rods.Logged += l.Rods
		r.Rods.Quoted += l.RodsEstimate
		r.Rods.Cars++
	}
}

// sum adds up the cars whose hours in all are known.
func (r *Report) sum() {
	var s Car
	brought := 0.0
	for _, c := range r.Cars {
		if math.IsNaN(c.Logged) {
			continue
		}
		r.Counted++
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
	r.Sum = s
}
