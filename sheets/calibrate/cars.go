package calibrate

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/compute/floor"
	"seamtally/compute/logged"
	"seamtally/sheets/book"
	"seamtally/sheets/timesheet"
)

// car is what was logged of one car: a line of a time sheet, or the rows of a joint
// list that are its.
type car struct {
	timesheet.Line
	fit  logged.Car
	rows int // of a joint list, logged by stage
	// inAll are the rows with minutes in all alone, and how many they are.
	inAll     logged.Car
	inAllRows int
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
	ofRows := map[string]*car{}
	lines = g.once(lines)
	for _, l := range lines {
		if l.Kind != "" {
			g.row(l, ofRows, hand)
			continue
		}
		if !l.Whole {
			g.tell(book.LevelWarning, l, "part of a job", fmt.Sprintf("%s is not counted: the whole job was not logged", l.Car), "log the rest, and say yes there")
			continue
		}
		g.unused(l)
		if first := g.halfOf(l); first != nil {
			first.join(l)
			g.tell(book.LevelWarning, l, "two lines", fmt.Sprintf("%s is taken for the car at %s, as neither has a number in the run and no stage stands on both", l.Car, place(first.Line)), "number the cars, and write each into one line")
			continue
		}
		c := &car{Line: l}
		for s := range logged.Stages {
			c.fit.Logged[s], c.fit.Estimate[s] = l.Minutes[s], l.Estimate[s]
		}
		c.fit.Clocked, c.fit.EstimateClocked, c.fit.Fixed, c.fit.Number, c.fit.Hand = l.Clocked, l.EstimateClocked, l.Fixed, l.Number, hand
		g.cars = append(g.cars, c)
	}
	g.settleRows()
	g.besideRows(ofRows)
	g.amounts()
	return g
}

// once counts a car once. The same of it in two places is one; where they say different
// things, which of them is right is not guessed.
func (g *gathered) once(lines []timesheet.Line) (out []timesheet.Line) {
	seen, numbered := map[string]timesheet.Line{}, map[string][]timesheet.Line{}
	number := func(l timesheet.Line) string { return fmt.Sprint(l.Order, "\x00", l.Car, "\x00", l.Number) }
	for _, l := range lines {
		if l.Kind == "" && l.Whole {
			key := fmt.Sprint(number(l), l.Day, l.Welder, l.Minutes, l.Clocked)
			if was, twice := seen[key]; twice && (was.File != l.File || was.Cell == l.Cell) {
				g.tell(book.LevelWarning, l, "twice", fmt.Sprintf("%s is counted once: %s has the same of it", l.Car, place(was)), "give each time sheet once")
				continue
			}
			seen[key] = l
			if l.Number > 0 {
				numbered[number(l)] = append(numbered[number(l)], l)
			}
		}
		out = append(out, l)
	}
	return slices.DeleteFunc(out, func(l timesheet.Line) bool {
		same := numbered[number(l)]
		if l.Kind != "" || !l.Whole || len(same) < 2 {
			return false
		}
		other := same[0]
		if place(other) == place(l) {
			other = same[1]
		}
		g.tell(book.LevelWarning, l, "twice", fmt.Sprintf("%s %d is logged here and at %s with something else, and counted neither here nor there", l.Car, l.Number, place(other)), "keep the one that is right; where it is another car, give it a number of its own")
		return true
	})
}

// halfOf is the car that a line without a number in the run is the rest of: on the same
// sheet, without a number too, and with other stages. Nil if it is a car of its own.
func (g *gathered) halfOf(l timesheet.Line) *car {
	if l.Number > 0 || l.Clocked > 0 || !staged(l) {
		return nil
	}
	for _, c := range g.cars {
		if c.Kind != "" || c.Number > 0 || c.File != l.File || c.Sheet != l.Sheet || c.Car != l.Car || c.Clocked > 0 || !staged(c.Line) {
			continue
		}
		both := false
		for s := range logged.Stages {
			both = both || l.Minutes[s] >= 0 && c.Minutes[s] >= 0
		}
		if !both {
			return c
		}
	}
	return nil
}

// join adds the rest of a car to it.
func (c *car) join(l timesheet.Line) {
	for s := range logged.Stages {
		if l.Minutes[s] >= 0 {
			c.Minutes[s], c.fit.Logged[s] = l.Minutes[s], l.Minutes[s]
		}
	}
	add := func(to *float64, x float64) {
		switch {
		case !(x >= 0):
		case *to >= 0:
			*to += x
		default:
			*to = x
		}
	}
	add(&c.Rods, l.Rods)
	for k := range c.Bottles {
		add(&c.Bottles[k], l.Bottles[k])
		if !(c.Gas[k] >= 0) {
			c.Gas[k] = l.Gas[k] // both are the same car's
		}
	}
}

// besideRows leaves out what a list of cars has of a car whose joints are logged in the
// same workbook: it is the same car.
func (g *gathered) besideRows(ofRows map[string]*car) {
	of := map[string]*car{}
	for _, c := range ofRows {
		if c.rows+c.inAllRows > 0 {
			of[c.File+"\x00"+c.Car] = c
		}
	}
	g.cars = slices.DeleteFunc(g.cars, func(c *car) bool {
		rows := of[c.File+"\x00"+c.Car]
		if c.Kind != "" || rows == nil {
			return false
		}
		g.tell(book.LevelWarning, c.Line, "twice", fmt.Sprintf("%s is counted once, by what is logged beside its joints from %s on", c.Car, place(rows.Line)), "log a car beside its joints or in the list of cars")
		return true
	})
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
	g.rows = append(g.rows, l)
	g.unused(l)
	if staged(l) {
		c.rows++
		for s := range logged.Stages {
			if counts(l, s) {
				c.fit.AddStage(s, l.Minutes[s], l.Estimate[s])
			}
		}
		return
	}
	if l.Clocked > 0 && l.EstimateClocked > 0 {
		c.inAllRows++
		c.inAll.AddInAll(l.Clocked, l.EstimateClocked, l.Estimate)
	}
}

// unused tells of minutes that are typed and do not count: 0, those that the estimate
// has none for, and those in all beside some stages, which count.
func (g *gathered) unused(l timesheet.Line) {
	var none, over []string
	for s, x := range append(l.Minutes[:], l.Clocked) {
		estimate := l.EstimateClocked
		if s < logged.Stages {
			estimate = l.Estimate[s]
		}
		switch {
		case x == 0 && estimate > 0:
			none = append(none, stageWords()[s])
		case x > 0 && !(estimate > 0):
			over = append(over, stageWords()[s])
		}
	}
	if none != nil {
		g.tell(book.LevelWarning, l, "0 minutes", fmt.Sprintf("0 minutes of %s are not counted (%s): the estimate has some", l.Car, strings.Join(none, ", ")), "leave the cell blank where nobody timed it")
	}
	if over != nil {
		g.tell(book.LevelWarning, l, "no estimate", fmt.Sprintf("minutes of %s are not counted (%s): the estimate has none", l.Car, strings.Join(over, ", ")), "log them under the stage that they are of")
	}
	var missing []string
	for s, e := range l.Estimate {
		if e > 0 && !counts(l, s) {
			missing = append(missing, stageWords()[s])
		}
	}
	if l.Clocked > 0 && staged(l) && len(missing) > 0 {
		g.tell(book.LevelWarning, l, "clocked", fmt.Sprintf("the %g min of %s in all are not counted, as it counts by its stages, and what %s took is not logged", l.Clocked, l.Car, strings.Join(missing, " and ")), "log all stages, or only the minutes in all")
	}
}

// counts reports whether the minutes of a stage can be held against the estimate.
func counts(l timesheet.Line, s int) bool { return l.Minutes[s] > 0 && l.Estimate[s] > 0 }

// staged reports whether anything of a line counts by stage.
func staged(l timesheet.Line) bool { return counts(l, 0) || counts(l, 1) || counts(l, 2) }

// settleRows has each car of a joint list count by its rows with stages or by those
// with minutes in all, whichever are more of it: one fit has no room for both.
func (g *gathered) settleRows() {
	for _, c := range g.cars {
		if c.inAllRows == 0 {
			continue
		}
		if c.rows > 0 && floor.Sum(c.fit.Estimate) >= c.inAll.EstimateClocked {
			g.tell(book.LevelWarning, c.Line, "rows in all", fmt.Sprintf("%d rows of %s have minutes by stage and %d in all: the latter are not counted", c.rows, c.Car, c.inAllRows), "log all rows of a car in one way")
			continue
		}
		if c.rows > 0 {
			g.tell(book.LevelWarning, c.Line, "rows by stage", fmt.Sprintf("%d rows of %s have minutes in all and %d by stage: the latter are not counted", c.inAllRows, c.Car, c.rows), "log all rows of a car in one way")
		}
		c.inAll.Hand = c.fit.Hand
		c.fit = c.inAll
	}
}
