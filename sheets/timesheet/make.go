package timesheet

import (
	"context"
	"fmt"
	"strings"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
)

// Options says what Make is to do.
type Options struct {
	In       string // the shop's workbook, priced or not
	Out      string // where the time sheet goes
	Password string // of an encrypted input
	Force    bool   // an existing output is replaced
	Draft    bool   // an incomplete order gets one too, which says so
}

// Report is what Make wrote.
type Report struct {
	Input, Output string
	Digest        string // SHA-256 of the input
	Cars          []Cars
	NoBottle      bool // the shop has not set how much a bottle holds

	Encrypted bool // the input is; the time sheet is not
	sheets.Verdict
}

// Cars is a car spec and how many lines it has.
type Cars struct {
	Car   string
	Lines int
}

// mostLines is what a floor fills in by hand, and more than that.
const mostLines = 5000

// Lines that are left for cars that nobody has thought of, and all that one page holds
// above the cautions (looked at, on the lower of two common sizes of paper).
const (
	leastSpare = 3
	mostSpare  = 10
	pageLines  = 18
)

// spareLines are as many as leave the cautions on the first page, if they can.
func spareLines(cars int) int { return min(max(pageLines-cars, leastSpare), mostSpare) }

// Make works a workbook out and writes the time sheet of its cars, as a workbook of its
// own. An error means that nothing was written.
func Make(ctx context.Context, o Options) (*Report, error) {
	to, err := disk.Apart(o.Out, o.Force, "a time sheet is", "the time sheet would replace the workbook that it is made of", o.In)
	if err != nil {
		return nil, err
	}
	w, err := readWords()
	if err != nil {
		return nil, err
	}
	t, err := sheets.Read(ctx, o.In, o.Password)
	if err != nil {
		return nil, err
	}
	defer t.Close()
	r := &Report{Input: o.In, Verdict: t.Report.Verdict, Encrypted: t.Container != nil}
	if !r.Complete && !o.Draft {
		return nil, &sheets.RefusedError{In: o.In, Not: "written for the floor", Why: "the order is INCOMPLETE", Reasons: r.Reasons}
	}
	e, err := estimated(t)
	if err != nil {
		return nil, err
	}
	r.Digest, r.NoBottle = e.digest, !(e.Holds > 0)
	lines := 0
	for _, c := range e.Cars {
		r.Cars = append(r.Cars, Cars{c.Name, c.Ordered})
		lines += c.Ordered
	}
	switch {
	case lines == 0:
		return nil, fmt.Errorf("%s: there is no car to log; check how many are ordered", o.In)
	case lines > mostLines:
		return nil, fmt.Errorf("%s: that is a time sheet of %d lines, over %d; check how many cars are ordered", o.In, lines, mostLines)
	}
	data, err := write(t, e, w)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.Out, err)
	}
	if err := t.SaveOpen(to, data); err != nil {
		return nil, err
	}
	r.Output = o.Out
	return r, nil
}

// orderName is what the order is called: its name, or its reference.
func orderName(t *sheets.Run) string {
	for _, key := range []string{"order", "reference"} {
		for _, h := range t.Model.Heads {
			if name := strings.TrimSpace(book.CellText(*t.HeadValue(h))); h.Key == key && name != "" {
				return name
			}
		}
	}
	return ""
}
