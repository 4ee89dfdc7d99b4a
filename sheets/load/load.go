package load

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/backlog"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/bid/schedule"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/progress"
)

// Options says what Weeks is to do.
type Options struct {
	Files    []string // priced quotes, in any order
	Password string   // of those that are encrypted
	Out      string   // where a workbook of it goes; "" = none is written
	Force    bool     // an existing output is replaced
	Date     string   // the day that is written there, as 2026-11-25; "" = none
	DayHours float64  // floor hours that the shop has in a working day; 0 = the most that a quote counts on
}

// Report is the work of several quotes, week by week.
type Report struct {
	Output    string
	Date      string
	Encrypted bool
	Files     []*File  // that are counted, by start, name and digest
	LeftOut   []Left   // that are not, or only once
	Differ    []Differ // where the quotes rest on something else
	Twins     []string // quotes that may be two revisions of one order, in words

	DayHoursAsked bool // the hours of a day were given, and not found in a quote
	backlog.Load
}

// File is a quote that is counted.
type File struct {
	Path            string
	Digest          string // SHA-256
	Title, Revision string // of the order
	System          model.System
	Formulas        string // of the version that has priced it; "" = none has
	backlog.Order
	Start, First, Last string // days; "" = not known
	Unplaced           string // why its hours are in no week; "" where they are
	Findings           []book.Finding
	LeftRows           int
	sheets.Verdict

	run *sheets.Run
}

// Left is a file that is not counted, or not again.
type Left struct {
	Path, Why string
	Same      bool // it is a quote that is counted already
}

// Weeks reads quotes and lays their weeks over one another. Those that cannot be
// read are left out, and told. Only where none can is that an error.
func Weeks(ctx context.Context, o Options) (*Report, error) {
	var to disk.Output
	if o.Out != "" {
		var err error
		if to, err = disk.Apart(o.Out, o.Force, "the workbook of a load is", "the output would replace one of the quotes", o.Files...); err != nil {
			return nil, err
		}
	}
	r := &Report{Date: o.Date, DayHoursAsked: o.DayHours > 0}
	defer r.close()
	if err := r.read(ctx, o); err != nil {
		return nil, err
	}
	var orders []*backlog.Order
	for _, f := range r.Files {
		orders = append(orders, &f.Order)
	}
	r.Load = *backlog.Lay(orders, len(schedule.Stages()), o.DayHours)
	if err := r.Draw(ctx, func(done, total int) { progress.Of(ctx, "trials", done, total) }); err != nil {
		return nil, err
	}
	r.differ()
	if o.Out != "" {
		data, err := r.book()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", o.Out, err)
		}
		var runs []*sheets.Run
		for _, f := range r.Files {
			runs = append(runs, f.run)
		}
		if r.Encrypted, err = sheets.SaveOf(to, data, runs); err != nil {
			return nil, err
		}
		r.Output = o.Out
	}
	return r, nil
}

func (r *Report) close() {
	for _, f := range r.Files {
		f.run.Close()
	}
}

// Whole reports whether all that was given is counted, in weeks, and complete.
func (r *Report) Whole() bool {
	return !slices.ContainsFunc(r.LeftOut, func(l Left) bool { return !l.Same }) &&
		!slices.ContainsFunc(r.Files, func(f *File) bool { return !f.Placed || !f.Complete })
}

// byStart puts quotes in an order that is nobody's choice.
func byStart(x, y *File) int {
	return cmp.Or(strings.Compare(x.Start, y.Start), strings.Compare(x.Name, y.Name), strings.Compare(x.Digest, y.Digest))
}
