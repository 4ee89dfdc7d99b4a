package tell

import (
	"fmt"
	"io"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/calibrate"
)

// Calibrated tells what logged hours say of the assumptions.
func (v Voice) Calibrated(r *calibrate.Report) error {
	if v.JSON {
		if err := calibrateJSON(v.Out, r); err != nil {
			return err
		}
	} else if err := Calibration(v.Out, r); err != nil {
		return err
	}
	lines := calibrateNotes(r)
	if r.Priced == nil {
		if r.Output != "" {
			lines = append(lines, "wrote "+plain(r.Output))
		}
		return say(v.Err, lines...)
	}
	lines = append(lines, changed(r.Priced.Logged)...)
	if !r.Priced.Complete {
		lines = append(lines, verdict(r.Priced.Verdict)...)
	}
	return say(v.Err, append(lines, v.written(r.Priced.Input, r.Priced.Output, r.Priced.Unchanged, r.Priced.Stands))...)
}

// NotCalibrated tells what was found before it came to an error: it says why nothing was
// left.
func (v Voice) NotCalibrated(r *calibrate.Report) error { return say(v.Err, calibrateNotes(r)...) }

// calibrateNotes are the findings as lines, the worst first.
func calibrateNotes(r *calibrate.Report) (lines []string) {
	for _, level := range []book.Level{book.LevelError, book.LevelWarning, book.LevelNote} {
		for _, f := range r.Findings {
			if f.Level == level {
				lines = append(lines, calibrateNote(f))
			}
		}
	}
	return lines
}

// calibrateNote is a finding as a line.
func calibrateNote(f book.Finding) string {
	level, fix := "", ""
	if f.Level != book.LevelError {
		level = string(f.Level) + ": "
	}
	if f.Fix != "" {
		fix = "; " + f.Fix
	}
	return plain(f.Cell + ": " + level + f.What + fix)
}

// Calibration writes a line for each factor, how far hours are still expected to be
// off, and the cars that counted less. The error is one of writing.
func Calibration(w io.Writer, r *calibrate.Report) error {
	p := message.NewPrinter(language.English)
	share := func(x float64) string { return number(p, 100*x, 1) }
	rows := [][]string{{"Assumption", "Cars", "Estimate", "Logged", "Stands, %", "Logged says, %", "80 % from", "to", "One car ±%", "Verdict"}}
	for _, f := range r.Factors {
		row := []string{f.Name, number(p, float64(f.Count), 0), "-", "-", share(f.Stands), share(f.Value), share(f.Low), share(f.High), "-", string(f.Verdict)}
		if f.Estimate > 0 {
			unit := calibrateUnit(f.Name)
			row[2], row[3] = number(p, f.Estimate/unit.per, 1)+unit.name, number(p, f.Logged/unit.per, 1)+unit.name
		}
		if f.OneCar > 0 {
			row[8] = number(p, 100*f.OneCar, 0)
		}
		rows = append(rows, row)
	}
	lines := aligned(rows)
	lines = append(lines, "", fmt.Sprintf("hours worked out with these are still expected to be off by %.0f %% in the mean of many cars, and by %.0f %% for one car", 100*r.Expected, 100*r.OneCar))
	for i, f := range r.Far {
		if i == 0 {
			lines = append(lines, "", "counted less than half:")
		}
		lines = append(lines, plain(fmt.Sprintf("  %s: %s counts %.0f %%: %s", f.Cell, f.Car, 100*f.Weight, f.Why)))
	}
	for i, k := range r.Kinds {
		if i == 0 {
			lines = append(lines, "", "by kind of joint:")
		}
		lines = append(lines, plain(fmt.Sprintf("  %s: %d rows, %.1f h logged over %.1f h: %.0f %%", k.Kind, k.Rows, k.Logged/60, k.Estimate/60, 100*k.Logged/k.Estimate)))
	}
	return say(w, lines...)
}

// calibrateUnit is what estimate and logged of a factor are shown in.
func calibrateUnit(name string) (unit struct {
	per  float64
	name string
}) {
	switch name {
	case model.GasFactor:
		unit.per, unit.name = 1, " bottles"
	case calibrate.FillerYield:
		unit.per, unit.name = 1, " rods"
	default:
		unit.per, unit.name = 60, " h"
	}
	return unit
}

// calibrateJSON writes the report for other programs, in the shape that
// templates/calibrate.schema.json writes down.
func calibrateJSON(w io.Writer, r *calibrate.Report) error {
	factors, lines, far, kinds, found := []object{}, []object{}, []object{}, []object{}, []object{}
	for _, f := range r.Factors {
		factors = append(factors, object{"name": f.Name, "stands": f.Stands, "value": f.Value, "low": f.Low, "high": f.High, "n": f.Count, "verdict": f.Verdict, "written": f.Written})
	}
	for _, l := range r.Lines {
		lines = append(lines, object{"file": l.File, "sheet": l.Sheet, "cell": l.Cell, "car": l.Car, "number": l.Number, "stage": l.Stage, "estimate_min": l.Estimate, "logged_min": l.Logged, "weight": l.Weight})
	}
	for _, f := range r.Far {
		far = append(far, object{"cell": f.Cell, "car": f.Car, "weight": f.Weight, "why": f.Why})
	}
	for _, k := range r.Kinds {
		kinds = append(kinds, object{"kind": k.Kind, "rows": k.Rows, "estimate_min": k.Estimate, "logged_min": k.Logged})
	}
	for _, f := range r.Findings {
		if f.Level != book.LevelNote {
			found = append(found, object{"cell": f.Cell, "level": f.Level, "what": f.What, "fix": f.Fix})
		}
	}
	return writeJSON(w, object{"cars": r.Cars, "factors": factors, "expected_error": r.Expected, "expected_error_one_car": r.OneCar,
		"lines": lines, "counted_less": far, "kinds": kinds, "findings": found, "output": r.Output})
}
