package tell

import (
	"fmt"
	"math"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets"
)

// verdict says whether the price may be quoted, and on further lines why not. All
// commands say it in these words.
func verdict(v sheets.Verdict) []string {
	head := model.WordComplete
	if !v.Complete {
		head = fmt.Sprintf("%s: %s", model.WordIncomplete, counted(len(v.Reasons), "reason"))
	}
	return append(append([]string{head}, reasonLines(v.Reasons)...), reasonLines(v.Open)...)
}

// reasonLines are a line for each reason: where, what, what to do, and which check
// of the summary counts it.
func reasonLines(all []sheets.Reason) []string {
	var out []string
	for _, r := range all {
		line, count := "  ", "an error"
		if !math.IsNaN(r.Count) {
			count = formula.GeneralText(r.Count)
		}
		if r.Cell != "" {
			line += r.Cell
			if r.More > 0 {
				line += fmt.Sprintf(" and %d more", r.More)
			}
			line += ": "
		}
		if r.Found == "" {
			line += fmt.Sprintf("%s: %s; %s", model.Uncapped(r.What), count, r.Fix)
		} else {
			line += fmt.Sprintf("%s; %s (%s: %s)", r.Found, r.Fix, model.Uncapped(r.What), count)
		}
		out = append(out, line)
	}
	return out
}

// reasons are the same for other programs. A count that shows an error is null.
func reasons(v sheets.Verdict) []object {
	out := []object{}
	for _, r := range v.Reasons {
		o := object{"check": r.Check, "what": r.What, "count": r.Count, "cell": r.Cell, "more": r.More, "found": r.Found, "fix": r.Fix}
		if math.IsNaN(r.Count) {
			o["count"] = nil
		}
		out = append(out, o)
	}
	return out
}
