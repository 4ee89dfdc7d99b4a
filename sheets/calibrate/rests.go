package calibrate

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/timesheet"
)

// mostTold is how many differences a refusal lists.
const mostTold = 5

// same refuses a quote with other minutes than those that the factors came out of: a
// factor of 120 % of 5 min says nothing of 10 min. Units are not held against others.
func (q *quote) same(r *Report, lines []timesheet.Line, into string) error {
	stand := map[string]timesheet.Rest{}
	for _, x := range timesheet.RestsOn(q.model, q.values) {
		stand[x.What] = x
	}
	metric := q.model.System == model.Metric
	into = filepath.Base(into)
	var seen, differ []string
	for _, l := range lines {
		key := l.File + "\x00" + l.Order
		clocked := l.Clocked > 0 && !slices.ContainsFunc(l.Minutes[:], func(x float64) bool { return x > 0 })
		if clocked {
			key += "\x00clocked"
		}
		if slices.Contains(seen, key) {
			continue
		}
		seen = append(seen, key)
		if l.Rests == nil {
			r.Findings = append(r.Findings, book.Finding{Level: book.LevelWarning, Rule: "rests", Cell: place(l), What: "the time sheet does not say what its estimate rests on, so whether " + into + " has the same minutes is not known", Fix: "make the time sheet anew, and copy the lines of the floor into it"})
		}
		for _, was := range l.Rests {
			is, known := stand[was.What]
			if !known || was.Same(is) || was.What == timesheet.KeyAllowance && !clocked || l.Metric != metric && was.Unit != is.Unit {
				continue
			}
			text := fmt.Sprintf("%s is %s in %s and %s in %s", was.What, was, filepath.Base(l.File), is, into)
			if !slices.Contains(differ, text) {
				differ = append(differ, text)
			}
		}
	}
	if len(differ) == 0 {
		return nil
	}
	more := ""
	if n := len(differ) - mostTold; n > 0 {
		differ, more = differ[:mostTold], fmt.Sprintf(", and %d more", n)
	}
	return fmt.Errorf("%s: nothing is written: the cars were estimated with other values than stand there: %s%s; set the same there, or price the workbook of these cars with --from %s, make its time sheet anew, and copy the lines of the floor into it", into, strings.Join(differ, "; "), more, into)
}
