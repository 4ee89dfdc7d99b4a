package calibrate

import (
	"fmt"
	"math"
	"path/filepath"

	"seamtally/compute/logged"
	"seamtally/sheets/book"
	"seamtally/sheets/timesheet"
)

// car is what was logged of one car: a line of a time sheet, or the rows of a joint
// list that are its.
type car struct {
	timesheet.Line
	fit  logged.Car
	rows int // of a joint list
}

// gathered is all that the sheets have, as it goes into the fits.
type gathered struct {
	cars     []*car
	rows     []timesheet.Line // of joint lists
	gas      []logged.Amount
	rods     []logged.Amount
	findings []book.Finding
}

// tell adds a finding at a line.
func (g *gathered) tell(level book.Level, l timesheet.Line, rule, what, fix string) {
	g.findings = append(g.findings, book.Finding{Level: level, Rule: rule, Cell: place(l), What: what, Fix: fix})
}

// place is where a line stands: file, sheet, cell.
func place(l timesheet.Line) string {
	return fmt.Sprintf("%s:%s!%s", filepath.Base(l.File), l.Sheet, l.Cell)
}

// gather sorts lines into cars and amounts. Hand is the share of each stage that is
// learned.
func gather(lines []timesheet.Line, hand [logged.Stages]float64) *gathered {
	g := &gathered{}
	seen := map[string]timesheet.Line{}
	ofRows := map[string]*car{}
	for _, l := range lines {
		if l.Kind != "" {
			g.row(l, ofRows, hand)
			continue
		}
		if !l.Whole {
			g.tell(book.LevelWarning, l, "part of a job", fmt.Sprintf("%s is not counted: the whole job was not logged", l.Car), "log the rest, and say yes there")
			continue
		}
		key := fmt.Sprint(l.Order, "\x00", l.Car, "\x00", l.Number, l.Day, l.Welder, l.Minutes, l.Clocked)
		if was, twice := seen[key]; twice && (was.File != l.File || was.Cell == l.Cell) {
			g.tell(book.LevelWarning, l, "twice", fmt.Sprintf("%s is counted once: %s has the same of it", l.Car, place(was)), "give each time sheet once")
			continue
		}
		seen[key] = l
		c := &car{Line: l}
		for s := range logged.Stages {
			c.fit.Logged[s], c.fit.Estimate[s] = l.Minutes[s], l.Estimate[s]
		}
		c.fit.Clocked, c.fit.EstimateClocked, c.fit.Fixed, c.fit.Number, c.fit.Hand = l.Clocked, l.EstimateClocked, l.Fixed, l.Number, hand
		g.cars = append(g.cars, c)
	}
	g.amounts()
	return g
}

// row adds a row of a joint list to what was logged of its car.
func (g *gathered) row(l timesheet.Line, of map[string]*car, hand [logged.Stages]float64) {
	key := l.File + "\x00" + l.Sheet + "\x00" + l.Car
	c := of[key]
	if c == nil {
		c = &car{Line: l}
		c.fit.Clocked, c.fit.EstimateClocked, c.fit.Hand = math.NaN(), math.NaN(), hand
		of[key], g.cars = c, append(g.cars, c)
	}
	add := func(logged, estimate *float64, l, e float64) {
		if l > 0 && e > 0 {
			if math.IsNaN(*logged) {
				*logged, *estimate = 0, 0
			}
			*logged, *estimate = *logged+l, *estimate+e
		}
	}
	c.rows++
	for s := range logged.Stages {
		add(&c.fit.Logged[s], &c.fit.Estimate[s], l.Minutes[s], l.Estimate[s])
		if math.IsNaN(l.Minutes[s]) && l.Clocked > 0 && l.Estimate[s] > 0 {
			c.fit.Estimate[s] += l.Estimate[s] // its share of what was clocked
		}
	}
	add(&c.fit.Clocked, &c.fit.EstimateClocked, l.Clocked, l.EstimateClocked)
	g.rows = append(g.rows, l)
}

// amounts sums bottles for each run of cars, as bottles go on from one car to the
// next; rods are counted for each car.
func (g *gathered) amounts() {
	runs := map[string]*logged.Amount{}
	first := map[string]timesheet.Line{}
	squares := map[string]float64{}
	var order []string
	for _, c := range g.cars {
		used, gas, lines := 0.0, 0.0, 0
		for k, n := range c.Bottles {
			if n >= 0 {
				used += n
				lines++
			}
			if c.Gas[k] > 0 {
				gas += c.Gas[k]
			}
		}
		if lines > 0 && gas > 0 && c.BottleHolds > 0 {
			key := c.File + "\x00" + c.Order
			if runs[key] == nil {
				runs[key], first[key] = &logged.Amount{}, c.Line
				order = append(order, key)
			}
			a := runs[key]
			a.Used, a.Estimate, a.Cars, a.Ends = a.Used+used, a.Estimate+gas/c.BottleHolds, a.Cars+1, max(a.Ends, lines)
			squares[key] += gas / c.BottleHolds * gas / c.BottleHolds
		}
		switch {
		case c.Rods == 0 && c.RodsEstimate > 0:
			g.tell(book.LevelWarning, c.Line, "no rods", fmt.Sprintf("the rods of %s are not counted: none was used, and the estimate has some", c.Car), "leave the cell blank where rods were not counted")
		case c.Rods > 0 && c.RodsEstimate > 0 && c.FillerYield > 0:
			g.rods = append(g.rods, logged.Amount{Used: c.Rods, Estimate: c.RodsEstimate * c.FillerYield, Cars: 1, Ends: 1})
		}
	}
	for _, key := range order {
		a := runs[key]
		if a.Used == 0 {
			g.tell(book.LevelWarning, first[key], "no bottles", "the argon of these cars is not counted: not one bottle was changed, so no amount is known", "log over more cars")
			continue
		}
		a.Squares = squares[key] / a.Estimate / a.Estimate
		g.gas = append(g.gas, *a)
	}
}
