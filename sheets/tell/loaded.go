package tell

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/compute/backlog"
	"seamtally/sheets/bid/schedule"
	"seamtally/sheets/load"
)

// Loaded tells of the work of several quotes, week by week.
func (v Voice) Loaded(r *load.Report) error {
	if v.JSON {
		if err := loadJSON(v.Out, r); err != nil {
			return err
		}
	} else if err := Load(v.Out, r); err != nil {
		return err
	}
	var lines []string
	for _, text := range r.Remarks() {
		lines = append(lines, plain(text))
	}
	for _, d := range r.Differ {
		lines = append(lines, "note: not the same in all quotes: "+plain(d.String()))
	}
	if r.DayHoursDiffer() {
		lines = append(lines, fmt.Sprintf("note: the floor is taken to have %.4g h in a working day, the most that a quote counts on; --day-hours sets another", r.DayHours))
	}
	if r.Output != "" {
		lines = append(lines, "wrote "+plain(r.Output))
	}
	return say(v.Err, lines...)
}

// Load writes a line a week, with the hours of each stage, and a line a quote. The
// error is one of writing.
func Load(w io.Writer, r *load.Report) error {
	p := message.NewPrinter(language.English)
	lines := append(r.Answer(), "", "Hours, each quote's times the chance that it is won:")
	hours := func(all ...float64) (out []string) {
		for _, x := range all {
			out = append(out, number(p, x, 1))
		}
		return out
	}
	rows := [][]string{{"Week", "Monday", "Saw", "Bench", "Weld", "Other", "Load", "If all", "P50", "P80", "Floor", ""}}
	for _, x := range r.Weeks {
		row := append([]string{x.ISO, x.Monday}, hours(append(slices.Clone(x.Stages), x.Weighted, x.If, x.P50, x.P80, x.Capacity)...)...)
		rows = append(rows, append(row, x.Verdict()))
	}
	if len(r.Weeks) > 0 {
		x := r.Total
		row := append([]string{"All", ""}, hours(append(slices.Clone(x.Stages), x.Weighted, x.If, x.P50, x.P80, x.Capacity)...)...)
		lines = append(append(lines, aligned(append(rows, append(row, "")))...), "")
	}
	rows = [][]string{{"Quote", "Revision", "Verdict", "Chance", "Hours", "Starts", "Last car", "Check number"}}
	for _, f := range r.Files {
		rows = append(rows, []string{plain(f.Name), plain(f.Revision), f.Word(), number(p, f.Chance*100, 0) + " %", number(p, f.Hours, 1), f.Start, f.Last, f.ShortDigest()})
	}
	lines = append(lines, aligned(rows)...)
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " ")
	}
	return say(w, lines...)
}

// loadJSON writes the load for other programs, keys sorted; keys may be added.
// Hours of stages, and "expected", are those of quotes times their chances.
func loadJSON(w io.Writer, r *load.Report) error {
	week := func(x backlog.Week) object {
		o := object{"expected": x.Weighted, "sure": x.Firm, "if_all_won": x.If, "p50": x.P50, "p80": x.P80, "capacity": x.Capacity, "days": x.Days}
		for i, stage := range schedule.Stages() {
			o[stage] = x.Stages[i]
		}
		return o
	}
	weeks, files, left, differ := []object{}, []object{}, []object{}, []object{}
	for _, x := range r.Weeks {
		o := week(x)
		o["week"], o["monday"], o["over"], o["over_at_p80"] = x.ISO, x.Monday, x.Over(), x.MayBeOver()
		weeks = append(weeks, o)
	}
	for _, f := range r.Files {
		files = append(files, object{
			"input": f.Path, "sha256": f.Digest, "order": f.Title, "revision": f.Revision, "units": f.System.String(), "formulas": f.Formulas,
			"complete": f.Complete, "reasons": reasons(f.Verdict), "left_out": f.LeftRows, "chance": f.Chance, "hours": f.Hours, "day_hours": f.DayHours,
			"start": f.Start, "first_car": f.First, "last_car": f.Last, "in_weeks": f.Placed, "why_not": f.Unplaced,
		})
	}
	for _, l := range r.LeftOut {
		left = append(left, object{"input": l.Path, "why": l.Why, "same": l.Same})
	}
	for _, d := range r.Differ {
		each := []object{}
		for _, s := range d.Each {
			each = append(each, object{"value": s.Value, "files": s.Files})
		}
		differ = append(differ, object{"key": d.Key, "what": d.What, "each": each})
	}
	return writeJSON(w, object{
		"weeks": weeks, "total": week(r.Total), "files": files, "not_counted": left, "differ": differ, "one_order": append([]string{}, r.Twins...),
		"day_hours": r.DayHours, "trials": r.Trials, "p80_drawn_apart": r.Apart, "output": r.Output, "whole": r.Whole(),
	})
}
