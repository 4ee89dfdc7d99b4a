package calibrate

import (
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/compute/chance"
	"seamtally/compute/logged"
	"seamtally/sheets"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
)

// step is what a factor is written in whole steps of.
const step = 0.001

// Basis is what is written as the basis of a factor.
func (f *Factor) Basis(date string) string {
	return fmt.Sprintf("own jobs, n = %d, ±%.0f %%, as of %s", f.Count, 100*f.Within(), date)
}

// Within is how far the value may be off, as a share, in four cases of five.
func (f *Factor) Within() float64 { return (f.High - f.Low) / 2 / f.Value }

// writes reports whether a factor is written: not on few cars, and not outside its
// usual range, unless that is asked for; what stands in for nothing logged is written too where its value is kept.
func (f *Factor) writes(o Options) bool {
	return (f.Count >= logged.Few || o.Few) && (f.Verdict != logged.Outside || o.Outside) && (!slices.Contains(Asked(), f.Name) || slices.Contains(o.Also, f.Name))
}

// beyond is the share of cases below what is told as low, and above what is told as high.
const beyond = 0.1

// setting is what is written of a factor: its value if that is not kept, and the
// range in any case. Range takes that for the ends of a triangle, so they lie further
// out than what is told, and its draws have the four cases of five within that.
func (f *Factor) setting(r *Report) (assumptions.Setting, error) {
	day, err := r.day()
	if err != nil {
		return assumptions.Setting{}, fmt.Errorf("%q is no day; write it as 2026-11-25", r.Date)
	}
	s := assumptions.Setting{
		Key: f.Name, Value: math.Round(f.Value/step) * step,
		Basis: f.Basis(r.Date), Reliability: "measured", Since: day,
	}
	if f.Verdict == logged.Keep {
		s.Value = f.Stands
	}
	ends := chance.Around(f.Low, s.Value, f.High, beyond)
	s.Low, s.High = math.Floor(max(ends.Low, f.Low/2)/step)*step, math.Ceil(ends.High/step)*step
	if f.Name == FillerYield {
		s.High = min(s.High, 1) // more cannot end in the weld
	}
	for _, x := range []*float64{&s.Value, &s.Low, &s.High} {
		*x = math.Round(*x*1e6) / 1e6 // no dust behind the steps
	}
	s.Low, s.High = min(s.Low, s.Value), max(s.High, s.Value)
	if f.Name == FillerYield && s.Value > 1 {
		return s, errors.New("filler_yield comes out over 100 %, and more filler cannot end in the weld than was used; look at the rods that were logged")
	}
	return s, nil
}

// flat says so where a run got faster and its factors are written as one for all cars.
func (r *Report) flat() {
	f := r.Factor(LearningSlope)
	if f == nil || f.Written || f.Verdict != logged.Write || f.High >= f.Stands {
		return
	}
	r.Findings = append(r.Findings, book.Finding{
		Level: book.LevelWarning, Rule: "learning", Cell: filepath.Base(r.Sheets[0]),
		What: fmt.Sprintf("the cars took less time as the run went on (learning_slope %.0f %%, and the quote has %.0f %%), and the factors that are written are the mean of this run: a shorter run takes longer than that, a longer one less", 100*f.Value, 100*f.Stands),
		Fix:  "write the slope too, with --also " + LearningSlope,
	})
}

// write writes the factors into the quote and prices it.
func (r *Report) write(ctx context.Context, o Options) error {
	var set assumptions.Settings
	var said []string
	for i := range r.Factors {
		f := &r.Factors[i]
		if !f.writes(o) {
			continue
		}
		s, err := f.setting(r)
		if err != nil {
			return err
		}
		f.Written = true
		set.Of = append(set.Of, s)
		said = append(said, fmt.Sprintf("%s %.1f %% (%.1f to %.1f)", f.Name, 100*s.Value, 100*s.Low, 100*s.High))
	}
	for _, name := range o.Also {
		if f := r.Factor(name); f == nil || !f.Written {
			if f != nil && f.Verdict == logged.Outside && !o.Outside {
				return fmt.Errorf("%s was asked for, and comes out outside its usual range; look at what was logged, or write it all the same with --outside", name)
			}
			return fmt.Errorf("%s was asked for, and too little is logged to write it; leave its name out, or log more", name)
		}
	}
	if len(set.Of) == 0 {
		if slices.ContainsFunc(r.Factors, func(f Factor) bool { return f.Verdict == logged.Outside && f.Count >= logged.Few && !o.Outside }) {
			return errors.New("nothing is written: what is logged lies outside its usual range; look whether hours stand under minutes, or write it all the same with --outside")
		}
		return fmt.Errorf("nothing is written: under %d cars are logged, and that is advice and no more; log more, or write it all the same with --few", logged.Few)
	}
	r.flat()
	var files []string
	for _, path := range r.Sheets {
		files = append(files, filepath.Base(path))
	}
	set.Why = fmt.Sprintf("calibrated by %d logged cars of %s: %s", r.Cars, strings.Join(files, ", "), strings.Join(said, ", "))
	p, err := sheets.Price(ctx, sheets.PriceOptions{
		In: o.Into, Out: o.Out, InPlace: o.InPlace, Force: o.Force, DryRun: o.DryRun, Password: o.Password,
		Set: &set, Date: o.Date, By: o.By, Version: o.Version,
	})
	if err != nil {
		return err
	}
	r.Priced, r.Output = p, p.Output
	return nil
}
