package audit

import (
	"fmt"

	"seamtally/sheets/logbook"
	"seamtally/sheets/part/grid"
)

// sealFaults tells of what was touched since the last run that no formula holds and
// no figure comes from, by what that run has sealed.
func (a *auditor) sealFaults() {
	if !a.earlier() {
		for _, title := range a.Unsealed() {
			a.add("seal gone "+title, Fault{
				Grade: Doubtful, Rule: RuleTouched, Cell: a.Own.Assumptions, What: "what the last run left on " + title + " is gone from the record at the foot, so that what was changed there since cannot be told",
				Found: "nothing", Fix: "hold the workbook against an earlier copy with --against; or look it through, and price again",
			})
		}
	}
	for _, s := range a.Touched() {
		cell := "the workbook"
		if s.Row > 0 {
			cell = s.Title + "!" + grid.Ref(s.Row, s.Col)
		}
		if s.Title != "" && a.Workbook.Sheet(s.Title) < 0 || s.Title != "" && !a.Own.IsOurs(s.Title) && s.Stands == "" || // a column without a heading is told as gone
			a.byKey[misplacedKey+s.Title] != nil {
			continue
		}
		f := Fault{
			Grade: Doubtful, Rule: RuleTouched, Cell: cell,
			What: s.What + " changed since the last run", Found: "nothing", Expected: s.Program, Fix: "see that it is meant; a copy of the workbook from that time has what stood there",
		}
		if !s.Matters {
			f.Grade = WorthKnowing
		}
		if s.Of == logbook.SealLog {
			f.What, f.Found = s.What+" is not what that run wrote", ""
		}
		if s.Stands != "" && s.Of != logbook.SealLog {
			f.Found = fmt.Sprintf("%.60s", s.Stands)
		}
		a.add("touched "+f.Cell+s.ID, f)
	}
}
