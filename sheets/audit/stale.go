package audit

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/part/worksheet"
)

// leastTogether cells of one row, or of one sheet of ours, are told as one: an
// input was changed, and nothing has worked the row out since.
const leastTogether = 4

// stale tells of the cells whose value is neither what their formula comes to
// nor what follows from a changed figure.
func (a *auditor) stale() {
	together := func(d *differing, at cellAt) string {
		if d.q != nil {
			return fmt.Sprintf("%s %d", at.sheet, at.row)
		}
		return at.sheet
	}
	if a.earlier() { // whose sheets for the bid may rest on other formulas elsewhere
		for at, d := range a.differ {
			for _, title := range a.Own.Bid {
				if strings.EqualFold(at.sheet, title) {
					delete(a.differ, at)
				}
			}
			if d.q == nil && d.holds == nil || strings.Contains(d.formula, book.NameAgrees) { // words and counts of what that version ships and checks
				delete(a.differ, at)
			}
		}
	}
	many := map[string]int{}
	for _, at := range a.order {
		if d := a.differ[at]; d != nil {
			many[together(d, at)]++
		}
	}
	for _, at := range a.order {
		d := a.differ[at]
		if d == nil {
			continue
		}
		key := at.String()
		if g := together(d, at); many[g] >= leastTogether {
			key = g
		} else if d.q != nil {
			key = at.sheet + " " + d.q.Key
		}
		f := a.add("stale "+key, Fault{
			Grade: Wrong, Rule: RuleStale, Cell: at.String(), What: d.what + " is not what its formula comes to",
			Found: shownText(&d.have), Expected: shownText(&d.want), Fix: "open it in the spreadsheet program, let it work out anew, and save",
		})
		c := seenCell{have: &d.have, line: d.line, q: d.q, holds: d.holds}
		if d.have.Kind == worksheet.Number {
			c.hold(f)
		}
	}
}
