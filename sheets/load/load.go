package load

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/sheets"
	"seamtally/sheets/bid"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
)

// Options says what Weeks is to do.
type Options struct {
	Files    []string // priced quotes, in any order
	Password string   // of those that are encrypted
	Out      string   // where a workbook of it goes; "" = none is written
	Force    bool     // an existing output is replaced
	Date     string   // the day that is written there, as 2026-11-25; "" = none
	DayHours float64  // floor hours that the shop has in a working day; 0 = the most that a quote counts on

	// Progress, if set, is told now and then how many trials are drawn.
	Progress func(done, total int)
}

// Report is the work of several quotes, week by week.
type Report struct {
	Output    string
	Date      string
	Encrypted bool
	Files     []*File  // that are counted, by start, name and digest
	LeftOut   []Left   // that are not, or only once
	Weeks     []Week   // without gaps
	Total     Week     // of all weeks
	Differ    []Differ // where the quotes rest on something else
	Twins     []string // quotes that may be two revisions of one order, in words
	Days
	Draws
}

// Days are the working days that there are.
type Days struct {
	DayHours      float64 // floor hours of one
	DayHoursAsked bool    // they were given, and not found in a quote
	Weekdays      int     // worked in a week, from Monday on
}

// Draws are how the hours were drawn.
type Draws struct {
	Trials int
	Drawn  int     // assumptions that are drawn
	Apart  float64 // P80 of all hours if each quote were drawn by itself
}

// File is a quote that is counted.
type File struct {
	Path, Name      string // Name is that shown
	Digest          string // SHA-256
	Order, Revision string
	System          compute.System
	Formulas        string // of the version that has priced it; "" = none has
	Chance          float64
	Findings        []book.Finding
	LeftRows        int
	NotDrawn        bool // its hours cannot be worked out everywhere in its ranges
	Plan
	sheets.Verdict

	run   *sheets.Run
	times *bid.Timetable
}

// Plan is when the hours of a quote are worked.
type Plan struct {
	Start, First, Last string // days; "" = not known
	Hours              float64
	DayHours           float64
	Unplaced           string // why its hours are in no week; "" where they are
	Shut               int
}

// Left is a file that is not counted, or not again.
type Left struct {
	Path, Why string
	Same      bool // it is a quote that is counted already
}

// Week is a week of the floor. Hours of stages are those of quotes times their
// chances.
type Week struct {
	ISO, Monday string    // 2026-W49, and the day
	Stages      []float64 // saw, bench, weld, other
	Weighted    float64   // their sum
	Firm, If    float64   // of quotes that are sure; of all, if all are won
	P50, P80    float64   // of what may come
	Capacity    float64
	Days        int // that are worked
	number      float64
}

// Over reports whether more is to be expected than the floor has hours for.
func (w Week) Over() bool { return w.Weighted > w.Capacity+dust }

// MayBeOver reports whether that may be so with one chance in five.
func (w Week) MayBeOver() bool { return w.P80 > w.Capacity+dust }

// dust is in hours what a difference of sums may be off.
const dust = 1e-6

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
	r := &Report{Date: o.Date, Days: Days{DayHoursAsked: o.DayHours > 0}}
	defer r.close()
	if err := r.read(ctx, o); err != nil {
		return nil, err
	}
	r.capacity(o.DayHours)
	r.add()
	if err := r.spread(ctx, o.Progress); err != nil {
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

// Placed reports whether the hours of a quote are in the weeks.
func (f *File) Placed() bool { return f.Unplaced == "" }

// Whole reports whether all that was given is counted, in weeks, and complete.
func (r *Report) Whole() bool {
	return !slices.ContainsFunc(r.LeftOut, func(l Left) bool { return !l.Same }) &&
		!slices.ContainsFunc(r.Files, func(f *File) bool { return !f.Placed() || !f.Complete })
}

// add adds up the weeks of all quotes, from the first in which one is worked on to
// the last.
func (r *Report) add() {
	at := map[float64]*Week{}
	for _, f := range r.Files {
		if !f.Placed() {
			continue
		}
		for _, w := range f.times.Weeks {
			for i, hours := range w.Hours {
				if hours == 0 {
					continue
				}
				if at[w.Monday] == nil {
					at[w.Monday] = r.week(w.Monday)
				}
				at[w.Monday].put(i, hours, f.Chance)
			}
		}
	}
	r.Total = Week{Stages: make([]float64, len(bid.Stages()))}
	if len(at) == 0 {
		return
	}
	first, last := math.Inf(1), math.Inf(-1)
	for monday := range at {
		first, last = min(first, monday), max(last, monday)
	}
	for monday := first; monday <= last; monday += daysOfWeek {
		w := at[monday]
		if w == nil {
			w = r.week(monday)
		}
		w.Weighted = sum(w.Stages)
		r.Weeks = append(r.Weeks, *w)
		for i, hours := range w.Stages {
			r.Total.Stages[i] += hours
		}
		r.Total.Weighted += w.Weighted
		r.Total.Firm += w.Firm
		r.Total.If += w.If
		r.Total.Capacity += w.Capacity
		r.Total.Days += w.Days
	}
}

// put adds hours of a stage with the chance that they come.
func (w *Week) put(stage int, hours, chance float64) {
	w.Stages[stage] += chance * hours
	w.If += hours
	if chance == 1 {
		w.Firm += hours
	}
}

func sum(all []float64) float64 {
	total := 0.0
	for _, x := range all {
		total += x
	}
	return total
}

// byStart puts quotes in an order that is nobody's choice.
func byStart(x, y *File) int {
	return cmp.Or(strings.Compare(x.Start, y.Start), strings.Compare(x.Name, y.Name), strings.Compare(x.Digest, y.Digest))
}
