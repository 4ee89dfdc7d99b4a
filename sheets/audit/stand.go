package audit

import (
	"math"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/weigh"
	"seamtally/sheets"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// standIn is a row that cannot be worked out any more, or whose joint brings a
// line to a table that is not there yet, as its cells have it from the last run.
// Workings still counts it so.
type standIn struct {
	at    weigh.Row
	line  *compute.Line
	typed int // cells that were typed over
}

// standIn keeps what the cells of a row show. Where they show errors, or the
// last run left the row out, there is nothing to keep; after errors Workings
// cannot be judged.
func (a *auditor) standIn(ed *joints.Editor, at weigh.Row) {
	line := compute.NewLine(a.Model)
	line.Clear()
	for i, c := range ed.Cols {
		have := ed.Present[i]
		switch {
		case c.Q.Key == "check":
			if have != nil && strings.HasPrefix(have.Text, joints.LeftOutText) {
				return
			}
			if have != nil {
				line.SetText(c.Q, have.Text)
			}
		case have != nil && have.Kind == worksheet.Error:
			a.unjudged = true
			return
		case c.Q.IsText():
			if have != nil {
				line.SetText(c.Q, have.Text)
			}
		case have != nil && have.Kind == worksheet.Number:
			line.Set(c.Q, have.Num)
		case have != nil && have.Kind == worksheet.Bool:
			line.Set(c.Q, have.Num)
		default: // a text, or nothing: a sum of the column passes it over
			line.Set(c.Q, 0)
		}
	}
	for q := range a.Model.LookUps() {
		if x := q.Num(&line.Frame); math.IsNaN(x) || x < 1 {
			a.unjudged = true
			return
		}
	}
	a.standIns = append(a.standIns, standIn{at, line, ed.Typed()})
}

// broughtLines reports whether tables have got lines since it was last asked.
func (a *auditor) broughtLines() bool {
	n := 0
	for _, t := range a.Model.Tables {
		n += len(a.Values.Rows(t).Frames) - len(a.Set.Rows(t).Frames)
	}
	came := n > a.brought
	a.brought = n
	return came
}

// standsIn reports whether a row is one for which its cells stand in.
func (a *auditor) standsIn(at weigh.Row) bool {
	return slices.ContainsFunc(a.standIns, func(s standIn) bool { return s.at == at })
}

// standInFor counts the rows as their cells have them, in a second run from
// which they were left out.
func (a *auditor) standInFor(t *sheets.Run) {
	for _, s := range a.standIns {
		l := t.All[s.at.List]
		t.Add(s.line, s.at.List)
		t.Show(compute.Shown{Frame: &s.line.Frame, Typed: s.typed}, s.at.List)
		l.Rows.Read++
		l.Rows.Priced++
		l.Rows.Overrides += s.typed
	}
}

// leftOutFaults says what the rows that cannot be priced any more still do to
// the price: Workings counts them as they were at the last run.
func (a *auditor) leftOutFaults() error {
	for _, s := range a.standIns {
		l := a.All[s.at.List]
		for _, f := range a.found {
			if f.Rule != RuleLeftOut || !stands(l, f.Cell, s.at.Row) || !math.IsNaN(f.Cost) {
				continue
			}
			w, err := a.scales.WithWorked(s.line, s.at.List)
			if err != nil {
				return err
			}
			if w != nil {
				f.effect(w.Cost, w.Price)
				f.What += "; the price still has it as it was at the last run"
			}
			break
		}
	}
	return nil
}

// stands reports whether a cell, as a fault has it, is on a row of the list.
func stands(l *joints.List, cell string, row int) bool {
	at := strings.LastIndex(cell, "!")
	r, err := grid.ParseRange(cell[at+1:])
	return err == nil && at >= 0 && strings.EqualFold(cell[:at], l.Title) && r.Row1 == row
}
