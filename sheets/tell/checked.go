package tell

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"seamtally/sheets"
)

// Checked tells how a workbook was understood, and what was found in it. Both
// are what was asked for, and go to standard output.
func (v Voice) Checked(r *sheets.CheckReport) error {
	if v.JSON {
		return checkJSON(v.Out, r)
	}
	lines := []string{fmt.Sprintf("%s, %s units", filepath.Base(r.Input), r.System)}
	for _, l := range r.Lists {
		lines = append(lines, "")
		lines = append(lines, listLines(l)...)
	}
	lines = append(lines, "")
	if r.Cars != "" {
		lines = append(lines, fmt.Sprintf("cars ordered: from the sheet %s", r.Cars))
	}
	if len(r.Others) > 0 {
		lines = append(lines, "left alone: "+strings.Join(r.Others, ", "))
	}
	found := v.findingsOn(v.Out, &r.Report)
	if len(found) == 0 {
		found = []string{"nothing found"}
	}
	lines = append(lines, found...)
	lines = append(lines, fmt.Sprintf("rows: %d read, %d to be priced, %d to be left out", r.Read, r.Priced, r.LeftOut))
	return say(v.Out, append(lines, verdict(r.Verdict)...)...)
}

// listLines are the lines about one joint list.
func listLines(l sheets.ListReport) []string {
	out := []string{fmt.Sprintf("%s: headings on row %d, joints on rows %d to %d; calculated columns %s",
		l.Sheet, l.HeadingRow, l.FirstRow, l.LastRow, l.Calculated)}
	wide := 0
	for _, c := range append(append([]sheets.ColumnReport{}, l.Columns...), l.Unread...) {
		wide = max(wide, len([]rune(c.Heading)))
	}
	for _, c := range l.Columns {
		line := fmt.Sprintf("  %-3s %s  %s", c.Column, padded(c.Heading, wide), c.Input)
		if c.Unit != "" {
			line += fmt.Sprintf(", %s (%s)", c.Unit, c.From)
		}
		out = append(out, line)
	}
	for _, c := range l.Unread {
		what := "yours, not read"
		if c.Open {
			what = "not settled, see below"
		}
		out = append(out, fmt.Sprintf("  %-3s %s  %s", c.Column, padded(c.Heading, wide), what))
	}
	var defaults []string
	for _, d := range l.Missing {
		defaults = append(defaults, d.Input+" "+d.Value)
	}
	if len(defaults) > 0 {
		out = append(out, folded("  by default: ", defaults)...)
	}
	for _, p := range l.Passed {
		out = append(out, fmt.Sprintf("  row %d is no joint: %s", p.Row, p.Why))
	}
	return out
}

func padded(s string, wide int) string {
	return s + strings.Repeat(" ", max(0, wide-len([]rune(s))))
}

// lineWide is where a list of words is folded.
const lineWide = 96

// folded writes words one after another, on as many lines as they need.
func folded(first string, words []string) []string {
	var out []string
	line := first
	for i, w := range words {
		if i < len(words)-1 {
			w += "; "
		}
		if len([]rune(line+w)) > lineWide && line != first {
			out = append(out, strings.TrimRight(line, " "))
			line = strings.Repeat(" ", len(first))
		}
		line += w
	}
	return append(out, line)
}

// checkJSON writes the check for other programs: the keys of JSON without the
// figures, and "lists".
func checkJSON(w io.Writer, r *sheets.CheckReport) error {
	lists := make([]object, 0, len(r.Lists))
	for _, l := range r.Lists {
		columns := []object{}
		for _, c := range append(append([]sheets.ColumnReport{}, l.Columns...), l.Unread...) {
			columns = append(columns, object{"column": c.Column, "heading": c.Heading, "input": c.Input, "unit": c.Unit, "unit_from": c.From, "settled": !c.Open})
		}
		defaults := object{}
		for _, d := range l.Missing {
			defaults[d.Input] = d.Value
		}
		passed := []object{}
		for _, p := range l.Passed {
			passed = append(passed, object{"row": p.Row, "why": p.Why})
		}
		lists = append(lists, object{
			"sheet": l.Sheet, "heading_row": l.HeadingRow, "first_row": l.FirstRow, "last_row": l.LastRow,
			"columns": columns, "defaults": defaults, "passed_over": passed, "calculated": l.Calculated,
			"rows": object{"read": l.Read, "priced": l.Priced, "left_out": l.LeftOut},
		})
	}
	found := []object{}
	for _, f := range r.Findings {
		found = append(found, object{"cell": f.Cell, "level": f.Level, "what": f.What, "fix": f.Fix})
	}
	return writeJSON(w, object{
		"input": r.Input, "complete": r.Complete, "reasons": reasons(r.Verdict), "system": r.System.String(), "lists": lists,
		"cars_from": r.Cars, "left_alone": r.Others, "findings": found,
		"rows": object{"read": r.Read, "priced": r.Priced, "left_out": r.LeftOut},
	})
}
