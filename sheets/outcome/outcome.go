// Package outcome lays what was logged of a job beside its quote: hours by car and
// stage so that the parts add up, argon and rods, and what was earned for an hour.
package outcome

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"seamtally/compute/floor"
	"seamtally/compute/model"
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
	Cars     []floor.Done // each that was logged
	Sum      floor.Done   // of those whose hours in all are known; Counted of them
	Counted  int          //
	Gas      floor.Amount // of the lines whose bottles were counted
	Rods     floor.Amount
	Findings []book.Finding
	sheets.Verdict
}

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
	q, err := floor.QuoteOf(t.Order)
	if err != nil {
		return nil, err
	}
	r := &Report{Quote: o.Quote, Currency: t.Currency(), GasUnit: model.UnitName(t.Model.ClosingScope("cars").Quantity(floor.KeyArgon)), Verdict: t.Report.Verdict}
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
	if err := r.gather(q, lines); err != nil {
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

// gather lays the lines beside the quote.
func (r *Report) gather(q *floor.Quote, lines []timesheet.Line) error {
	for _, l := range lines {
		at := fmt.Sprintf("%s:%s!%s", filepath.Base(l.File), l.Sheet, l.Cell)
		made := q.Find(l.Car)
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
		c, err := q.Against(made, l.Number, l.Minutes, l.Clocked)
		if err != nil {
			return err
		}
		if math.IsNaN(c.Logged) {
			r.Findings = append(r.Findings, book.Finding{Level: book.LevelNote, Rule: "hours in all", Cell: at,
				What: fmt.Sprintf("the hours of %s in all are not logged, so they are not in the sum", l.Car), Fix: "fill in the clocked minutes"})
		}
		r.Cars = append(r.Cars, c)
		r.Gas.Gas(q, l.Bottles, l.Gas, l.BottleHolds)
		r.Rods.Rods(l.Rods, l.RodsEstimate)
	}
	if n := slices.IndexFunc(lines, ofRow); n >= 0 {
		r.warn(filepath.Base(lines[n].File), "of rows", "minutes beside joints are not counted here: they are not those of a whole car", "log each car on a line of a time sheet")
	}
	r.Sum, r.Counted = floor.InAll(r.Cars)
	return nil
}
