package sheets

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/part"
)

// logFaults looks for what was changed since the log's last line: whoever did
// it has not priced since, and nothing says who or why.
func (a *auditor) logFaults(at *assumeAt) {
	now := map[string]stateLine{}
	for _, s := range a.now {
		now[s.what+"\x00"+strings.ToLower(s.name)] = s
	}
	for _, was := range a.readState() {
		s, is := now[was.what+"\x00"+strings.ToLower(was.name)]
		if !is || s.value == was.value {
			continue
		}
		switch was.what {
		case stateSingle:
			a.notLogged(a.model.Singles.Quantity(was.name), at.key[was.name], was.value, s.value)
		case stateList:
			a.add("list "+was.name, Fault{
				Grade: Doubtful, Rule: "joints changed since the last run", Cell: was.name,
				What: listDiffers(was.name, was.value, s.value) + ", and no line of the log says so", Fix: "price again, and say who and why in the log",
			})
		case stateOrder, stateFormulas:
		default:
			a.lineNotLogged(was, s, at)
		}
	}
}

// notLogged tells of a single assumption.
func (a *auditor) notLogged(q *compute.Quantity, row int, was, now string) {
	if q == nil || row == 0 {
		return
	}
	f := a.add("log "+q.Key, Fault{
		Grade: Doubtful, Rule: "assumption changed without a line in the log", Cell: a.own.assumptions + "!" + part.Ref(row, assumeValue),
		What: q.Key + " was changed since the last run, and no line of the log says so", Found: now, Expected: was, Fix: "price again, and say who and why in the log",
	})
	a.undo(f, func(v *compute.Values) { setState(q, v.Singles, was) }, nil)
}

// lineNotLogged tells of the cells of a table's line.
func (a *auditor) lineNotLogged(was, now stateLine, at *assumeAt) {
	t := a.tableTitled(was.what)
	row := -1
	for i, f := range a.set.Rows(t).Frames {
		if name, _ := stateOf(t, f); equalFold(name, was.name) {
			row = i
		}
	}
	_, before := stateCells(was.value)
	_, after := stateCells(now.value)
	for _, q := range t.Quantities {
		if row < 0 || before[q.Key] == after[q.Key] {
			continue
		}
		f := a.add(fmt.Sprintf("log %s %s %d", t.Name, q.Key, row), Fault{
			Grade: Doubtful, Rule: "assumption changed without a line in the log",
			Cell:  a.own.assumptions + "!" + part.Ref(at.table[t].first+row, at.table[t].cols[q]),
			What:  fmt.Sprintf("%s of %s was changed since the last run, and no line of the log says so", heading(q), was.name),
			Found: orBlank(after[q.Key]), Expected: orBlank(before[q.Key]), Fix: "price again, and say who and why in the log",
		})
		a.undo(f, func(v *compute.Values) { setState(q, v.Rows(t).Frames[row], before[q.Key]) }, nil)
	}
}

// setState gives a frame a value as the record writes it.
func setState(q *compute.Quantity, f *formula.Frame, text string) {
	if q.IsText() {
		if s, err := strconv.Unquote(text); err == nil {
			text = s
		}
		f.Text[q.Slot] = text
		return
	}
	number, _, _ := strings.Cut(text, " ")
	x, err := strconv.ParseFloat(number, 64)
	switch {
	case err != nil:
		x = formula.Blank()
	case q.Unit.String() == "%":
		x /= 100
	}
	f.Num[q.Slot] = x
}
