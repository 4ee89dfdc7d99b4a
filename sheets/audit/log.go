package audit

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// earlier is what the workbook's figures came from before: at its last run, as
// its log has it, or in another workbook.
type earlier struct {
	lines []logbook.StateLine
	rule  string // what kind of fault a changed assumption is
	was   string // how a change is told
	fix   string
}

// logFaults looks for what was changed since the log's last line: whoever did
// it has not priced since, and nothing says who or why.
func (a *auditor) logFaults(at *assumptions.Places) {
	before := a.ReadState()
	if len(before) == 0 {
		return
	}
	a.changedSince(earlier{before, RuleNotLogged, "since the last run, and no line of the log says so", "price again, and say who and why in the log"}, at)
}

// changedSince tells of what is other than it was before. What is told already
// is not told twice: it is said to hold against the other workbook as well.
func (a *auditor) changedSince(b earlier, at *assumptions.Places) {
	for _, p := range a.PairStates(b.lines, a.Now) {
		s := p.Now
		if s == nil {
			s = p.Was
		}
		switch s.What {
		case logbook.StateSingle:
			if p.Was != nil && p.Now != nil && p.Was.Value != p.Now.Value {
				a.singleChanged(b, a.Model.Singles.Quantity(s.Name), at.Key[s.Name], p.Was.Value, p.Now.Value)
			}
		case logbook.StateList:
			a.listChanged(b, p)
		case logbook.StateOrder, logbook.StateFormulas, logbook.StateRows, logbook.StateSeal, logbook.StateKept:
		default:
			a.lineChanged(b, p, at)
		}
	}
}

// tell adds a fault of a change, unless it was told already: then that is said
// to be so against this too.
func (a *auditor) tell(key string, b earlier, f Fault) *auditFault {
	told := a.byKey[key]
	if told == nil {
		return a.add(key, f)
	}
	if b.rule == RuleNotLogged {
		return nil
	}
	if told.Expected == f.Expected {
		told.What += "; in " + a.o.Against + " it is as it was"
	} else {
		told.What += "; in " + a.o.Against + " it is " + f.Expected
	}
	return nil
}

// singleChanged tells of a single assumption: at its value, or where that is
// what it was, at its unit.
func (a *auditor) singleChanged(b earlier, q *model.Quantity, row int, was, now string) {
	if q == nil || row == 0 || a.byKey["slip "+q.Key] != nil {
		return
	}
	col := book.AssumeValue
	number, _, _ := strings.Cut(was, " ")
	unit := book.CellText(*a.Own.Cell(row, book.AssumeUnit))
	if c := a.Own.Cell(row, book.AssumeValue); c.Kind == worksheet.Number && formula.GeneralText(c.Num) == number && unit != q.Unit.String() {
		col = book.AssumeUnit
	}
	f := a.tell("state "+q.Key, b, Fault{
		Grade: Doubtful, Rule: b.rule, Cell: a.Own.Assumptions + "!" + grid.Ref(row, col),
		What: q.Key + " was changed " + b.was, Found: now, Expected: was, Fix: b.fix,
	})
	if f != nil {
		a.undo(f, func(v *compute.Values) { logbook.SetState(q, v.Singles, was) }, nil)
	}
}

// listChanged tells of a joint list. Against another workbook the joints
// themselves are compared.
func (a *auditor) listChanged(b earlier, p logbook.StatePair) {
	if b.rule != RuleNotLogged {
		return
	}
	f := Fault{Grade: Doubtful, Rule: RuleJointsChanged, Fix: b.fix}
	switch {
	case p.Now == nil:
		f.Cell = p.Was.Name
		f.What = "the joint list " + p.Was.Name + " was taken out " + b.was
	case p.Was == nil:
		f.Cell = a.listCell(p.Now.Name)
		f.What = "the joint list " + p.Now.Name + " was added " + b.was
	case p.Was.Value != p.Now.Value:
		f.Cell = a.listCell(p.Now.Name)
		f.What = logbook.ListDiffers(p.Now.Name, p.Was.Value, p.Now.Value) + ", and no line of the log says so"
	default:
		return
	}
	a.add("list "+f.Cell, f)
}

// listCell is where the joints of a list begin.
func (a *auditor) listCell(title string) string {
	for _, l := range a.All {
		if l.Title == title {
			return l.Ref(l.DataRow, l.Shop["od"].Col)
		}
	}
	return title
}

// lineChanged tells of a table's line: of each of its cells, or that it came or
// went.
func (a *auditor) lineChanged(b earlier, p logbook.StatePair, at *assumptions.Places) {
	if p.Now == nil {
		a.lineGone(b, p.Was, at)
		return
	}
	t := a.TableTitled(p.Now.What)
	row := p.Now.Row
	if at.Table[t].First == 0 || row >= len(a.Set.Rows(t).Frames) {
		return // a joint has brought it, which is told of
	}
	cell := func(q *model.Quantity) string {
		return a.TypedCell(at.Table[t].First+row, at.Table[t].Cols[q])
	}
	if p.Was == nil {
		f := a.tell(fmt.Sprintf("state %s %d", t.Name, row), b, Fault{
			Grade: Doubtful, Rule: RuleLineAdded, Cell: cell(t.Quantities[0]),
			What: fmt.Sprintf("%s: the line %s was added %s", t.Title, p.Now.Name, b.was), Found: a.LineInFull(*p.Now), Expected: "no line", Fix: b.fix,
		})
		if f != nil {
			a.undo(f, func(v *compute.Values) {
				rows := v.Rows(t)
				rows.Frames = slices.Delete(rows.Frames, row, row+1)
			}, nil)
		}
		return
	}
	_, before := logbook.StateCells(p.Was.Value)
	_, after := logbook.StateCells(p.Now.Value)
	for _, q := range t.Quantities {
		if before[q.Key] == after[q.Key] {
			continue
		}
		f := a.tell(fmt.Sprintf("state %s %s %d", t.Name, q.Key, row), b, Fault{
			Grade: Doubtful, Rule: b.rule, Cell: cell(q),
			What:  fmt.Sprintf("%s of %s was changed %s", book.Heading(q), p.Now.Name, b.was),
			Found: logbook.OrBlank(after[q.Key]), Expected: logbook.OrBlank(before[q.Key]), Fix: b.fix,
		})
		if f != nil {
			a.undo(f, func(v *compute.Values) { logbook.SetState(q, v.Rows(t).Frames[row], before[q.Key]) }, nil)
		}
	}
}

// lineGone tells of a table's line that is there no more.
func (a *auditor) lineGone(b earlier, was *logbook.StateLine, at *assumptions.Places) {
	t := a.TableTitled(was.What)
	if at.Table[t].First == 0 {
		return
	}
	f := a.tell("state "+t.Name+" gone "+was.Value, b, Fault{
		Grade: Doubtful, Rule: RuleLineGone, Cell: a.Own.Assumptions + "!" + grid.Ref(at.Table[t].First, at.Table[t].Cols[t.Quantities[0]]),
		What: fmt.Sprintf("%s: the line %s was taken out %s", t.Title, was.Name, b.was), Found: "no line", Expected: a.LineInFull(*was), Fix: b.fix,
	})
	if f == nil {
		return
	}
	_, cells := logbook.StateCells(was.Value)
	a.undo(f, func(v *compute.Values) {
		frame := v.AddRow(t)
		for _, q := range t.Quantities {
			if q.Role == model.Column {
				logbook.SetState(q, frame, cells[q.Key])
			}
		}
	}, nil)
}
