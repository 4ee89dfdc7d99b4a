package load

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/sheets"
	"seamtally/sheets/bid/ranges"
	"seamtally/sheets/bid/schedule"
	"seamtally/sheets/book"
)

// read reads the quotes, each once. Paths are taken in their own order, so that
// which of two equal ones is named does not depend on the command.
func (r *Report) read(ctx context.Context, o Options) error {
	paths := make([]string, len(o.Files))
	for i, path := range o.Files {
		paths[i] = filepath.Clean(path)
	}
	slices.Sort(paths)
	seen := map[string]string{} // path by digest
	var first error
	for i, path := range paths {
		if i > 0 && path == paths[i-1] {
			r.LeftOut = append(r.LeftOut, Left{path, "it is given twice, and counted once", true})
			continue
		}
		f, err := open(ctx, path, o.Password)
		var locked *book.PasswordError
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.As(err, &locked) && o.Password == "":
			err = fmt.Errorf("%s: it is encrypted; give its password with --password-file, or load it in a run of its own", path)
		case errors.As(err, &locked):
			err = fmt.Errorf("%s: the password does not open it; load quotes with another password in a run of their own", path)
		case errors.Is(err, fs.ErrNotExist):
			err = fmt.Errorf("%s: there is no such file; check the name and the folder", path)
		case errors.Is(err, fs.ErrPermission):
			err = fmt.Errorf("%s: it may not be read; see to the rights of the file", path)
		}
		if err != nil {
			first = cmp.Or(first, err)
			why, _ := strings.CutPrefix(err.Error(), path+": ")
			r.LeftOut = append(r.LeftOut, Left{Path: path, Why: why})
			continue
		}
		if other := seen[f.Digest]; other != "" {
			f.run.Close()
			r.LeftOut = append(r.LeftOut, Left{path, "it is " + other + ", byte for byte, and counted once", true})
			continue
		}
		seen[f.Digest] = path
		r.Files = append(r.Files, f)
	}
	if len(r.Files) == 0 {
		return first
	}
	r.name()
	slices.SortFunc(r.Files, byStart)
	r.twins()
	return nil
}

// open reads one quote.
func open(ctx context.Context, path, password string) (*File, error) {
	run, err := sheets.Read(ctx, path, password)
	if err != nil {
		return nil, err
	}
	var t *schedule.Timetable
	f := &File{Path: path, run: run, System: run.Model.System, Formulas: run.Own.Model, Verdict: run.Report.Verdict, LeftRows: run.Report.LeftOut}
	if f.Digest, err = run.InputSum(); err == nil {
		t, err = schedule.TimetableOf(run.Sheet)
	}
	if err != nil {
		run.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	for _, h := range run.Model.Heads {
		text := book.CellText(*run.HeadValue(h))
		switch h.Key {
		case "order":
			f.Title = text
		case "revision":
			f.Revision = text
		}
	}
	single := func(key string) float64 { return run.Model.Singles.Quantity(key).Num(run.Values.Singles) }
	f.Order = t.Order
	f.Settle()
	f.Chance, f.Findings = single("win_chance"), t.Findings
	f.Trials, f.Seed, f.Correlation = int(single("trials")), uint64(single("seed")), single("time_correlation")
	switch {
	case t.Start == 0:
		f.Unplaced = "no day is typed on which work starts; type one at start_date on its Assumptions"
	case run.Workbook.Date1904:
		f.Unplaced = "its days count from 1904; have its spreadsheet program count from 1900"
	case t.Last == 0:
		f.Unplaced = "the day on which its last car is done cannot be worked out; look at its hours and days"
	default:
		f.Start, f.First, f.Last = book.DayText(t.Start), book.DayText(t.First), book.DayText(t.Last)
		if t.Left > 0 {
			f.Unplaced = fmt.Sprintf("it takes %g weeks, more than are listed; look at its hours and days", float64(len(t.Weeks))+t.Left)
		}
	}
	if f.Placed = f.Unplaced == ""; f.Placed {
		if f.Drawn, f.Sweep, err = ranges.DrawnHours(run.Sheet); err != nil {
			run.Close()
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	return f, nil
}

// name gives each quote the shortest name that no other has.
func (r *Report) name() {
	count := map[string]int{}
	for _, f := range r.Files {
		count[filepath.Base(f.Path)]++
	}
	for _, f := range r.Files {
		if f.Name = filepath.Base(f.Path); count[f.Name] > 1 {
			f.Name = f.Path
		}
	}
}

// twins finds quotes that may be of one order, which would be counted twice: they
// have its name, or the same cars with the same hours.
func (r *Report) twins() {
	of := map[string]*File{}
	for _, f := range r.Files {
		work, hours := []string{"cars"}, 0.0
		for _, c := range f.run.Report.Cars {
			work = append(work, c.Car, fmt.Sprint(c.Ordered))
			hours += c.Figures["car_hours"]
		}
		keys := []string{strings.Join(append(work, fmt.Sprint(hours)), "\x00")}
		if name := strings.ToLower(strings.Join(strings.Fields(f.Title), " ")); name != "" {
			keys = append(keys, name)
		}
		var twin *File
		for _, key := range keys {
			twin = cmp.Or(twin, of[key])
		}
		for _, key := range keys {
			of[key] = cmp.Or(of[key], f)
		}
		if twin != nil {
			r.Twins = append(r.Twins, fmt.Sprintf("%s and %s may be one order (%s, revision %s; %s, revision %s), and both are counted; leave one out if they are",
				twin.Name, f.Name, cmp.Or(twin.Title, "no name"), cmp.Or(twin.Revision, "none"), cmp.Or(f.Title, "no name"), cmp.Or(f.Revision, "none")))
		}
	}
}
