package load

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute/model"
)

// counted is a number of things in words.
func counted(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// About says in a sentence what the load is of.
func (r *Report) About() string {
	text := fmt.Sprintf("%s, %s of work", counted(len(r.Files), "quote"), counted(len(r.Weeks), "week"))
	if r.Date != "" {
		text += ", as of " + r.Date
	}
	return text + ". Hours are those of each quote times the chance that it is won; P50 and P80 are what they may come to with one chance in two and with four in five. An estimate is no promise."
}

// Answer says whether the floor has hours enough.
func (r *Report) Answer() []string {
	if len(r.Weeks) == 0 {
		return []string{"No quote has its hours in weeks."}
	}
	var over, may []string
	for _, w := range r.Weeks {
		switch {
		case w.Over():
			over = append(over, w.ISO)
		case w.MayBeOver():
			may = append(may, w.ISO)
		}
	}
	var out []string
	if over != nil {
		out = append(out, "More hours are to be expected than the floor has in "+listed(over)+".")
	}
	if may != nil {
		out = append(out, "With one chance in five or more, too many may come in "+listed(may)+".")
	}
	if out == nil {
		out = []string{"The floor has hours enough in every week, also at P80."}
	}
	return out
}

// listed names weeks, or of many the first.
func listed(all []string) string {
	const most = 4
	if len(all) > most {
		return fmt.Sprintf("%d weeks, the first of them %s", len(all), all[0])
	}
	return strings.Join(all, ", ")
}

// Word is whether a quote is complete.
func (f *File) Word() string {
	if f.Complete {
		return model.WordComplete
	}
	return model.WordIncomplete
}

// ShortDigest is as much of the digest as tells files apart.
func (f *File) ShortDigest() string { return f.Digest[:16] }

// Remarks say what is left out, and what to look at, a line each: where, what, and
// after a semicolon what to do.
func (r *Report) Remarks() []string {
	var out []string
	for _, l := range r.LeftOut {
		how := "left out"
		if l.Same {
			how = "given again"
		}
		out = append(out, fmt.Sprintf("%s: %s: %s", l.Path, how, l.Why))
	}
	for _, f := range r.Files {
		if !f.Placed {
			out = append(out, fmt.Sprintf("%s: its hours are in no week: %s", f.Name, f.Unplaced))
		}
		switch {
		case f.LeftRows > 0:
			out = append(out, fmt.Sprintf("%s: it is INCOMPLETE, and lacks the hours of %s; see: seamtally check %s", f.Name, counted(f.LeftRows, "row"), f.Name))
		case !f.Complete:
			out = append(out, fmt.Sprintf("%s: it is INCOMPLETE, and its hours are counted as they are; see: seamtally check %s", f.Name, f.Name))
		}
		if f.Formulas == "" {
			out = append(out, fmt.Sprintf("%s: it is not priced, so that rates and times are as shipped; price it, set what it is to rest on, and load that workbook", f.Name))
		}
		if f.NotDrawn {
			out = append(out, fmt.Sprintf("%s: its hours cannot be worked out everywhere in the ranges, and are drawn as they are; narrow the ranges on its Assumptions", f.Name))
		}
		for _, x := range f.Findings {
			if x.Level == "warning" {
				out = append(out, fmt.Sprintf("%s:%s: %s; %s", f.Name, x.Cell, x.What, x.Fix))
			}
		}
	}
	if len(r.Systems()) > 1 {
		out = append(out, "some quotes are metric and some are in US units: hours count alike; lengths, speeds, flows and tables are not held against each other")
	}
	return append(out, r.Twins...)
}

// String is a difference in words.
func (d Differ) String() string {
	var each []string
	for _, s := range d.Each {
		each = append(each, fmt.Sprintf("%s in %s", s.Value, strings.Join(s.Files, ", ")))
	}
	return d.What + ": " + strings.Join(each, "; ")
}

// Notes say how the load is worked out, a line each.
func (r *Report) Notes() []string {
	capacity := fmt.Sprintf("The floor has %.4g h in a working day", r.DayHours)
	switch {
	case r.DayHoursAsked:
		capacity += ", as was asked for"
	case r.DayHoursDiffer():
		capacity += ": hours of a day times welders times the share worked on orders, the most that a quote counts on; --day-hours sets what the whole shop has"
	default:
		capacity += ": hours of a day times welders times the share worked on orders, as in every quote; --day-hours sets what the whole shop has"
	}
	notes := []string{
		"Weeks are those of ISO 8601, from Monday on. What a quote takes in each is what its sheet Schedule says: its cars follow one another from its own start, on days on which it knows the shop to be open, as if nothing else took the hours that it counts on. A day has the stages in the proportion of the car that is worked on. Other work is what stands beside the joints, coupons, and what is done once.",
		capacity + fmt.Sprintf(". A week has %s, less those on which any quote knows the shop to be shut.", counted(r.Weekdays, "working day")),
		"The chance that an order is won is typed at win_chance on its Assumptions. As shipped it is 100 %: ordered, and counted in full; at 0 % it counts nothing. Sure are those at 100 %.",
	}
	if r.Trials > 0 {
		text := fmt.Sprintf("P50 and P80 come from %d trials. %s of the times and lengths behind the hours are drawn from their ranges, once for all quotes, as all rest on the same minutes: what is too low in one is too low in all. Which quotes are won is drawn for each by itself. The days stay as planned, and their hours grow or shrink. P50 lies above what is priced where more values sit low in their ranges than high, as most of those shipped do.", r.Trials, counted(r.Draws, "assumption"))
		if placed := r.placed(); placed > 1 && math.Abs(r.Total.P80-r.Apart) > 0.005*r.Total.P80 {
			text += fmt.Sprintf(" If each quote were drawn by itself, P80 of all weeks would be %.1f h and not %.1f h.", r.Apart, r.Total.P80)
		}
		notes = append(notes, text)
	}
	return notes
}

func (r *Report) placed() (n int) {
	for _, f := range r.Files {
		if f.Placed {
			n++
		}
	}
	return n
}

// DayHoursDiffer reports whether quotes count on different hours of a day, and the
// most of them is taken.
func (r *Report) DayHoursDiffer() bool {
	return !r.DayHoursAsked && slices.ContainsFunc(r.Files, func(f *File) bool { return f.DayHours != r.DayHours })
}
