package audit

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
)

// columnGone is the fault that a cell belongs to, or follows from, where a
// calculated column was taken out of a list, heading and all; nil else. The
// column is told once, and not what referred to it.
func (a *auditor) columnGone(c seenCell) *auditFault {
	if c.q == nil {
		for _, l := range a.All {
			for _, q := range a.goneColumns(l) {
				if strings.Contains(c.want.Formula, l.Areas()[0]) || strings.Contains(c.want.Formula, l.Column(q)) {
					return a.goneFault(l, q)
				}
			}
		}
		return nil
	}
	l := a.All[c.line.List]
	gone := a.goneColumns(l)
	if slices.Contains(gone, c.q) {
		f := a.goneFault(l, c.q)
		if !c.q.IsText() {
			f.show(c.line, c.q, 0)
		}
		return f
	}
	for _, q := range gone {
		if a.refersTo(grid.ColName(l.Ours[q])).MatchString(c.want.Formula) {
			return a.goneFault(l, q)
		}
	}
	return nil
}

// ofReplaced reports whether a cell of an earlier version's workbook sums a column
// in which another figure stands from now on.
func (a *auditor) ofReplaced(c seenCell) bool {
	if c.q != nil || !a.earlier() {
		return false
	}
	for _, l := range a.All {
		for _, q := range l.Added {
			if l.Replaces(q) && strings.Contains(c.want.Formula, l.Column(q)) {
				return true
			}
		}
	}
	return false
}

// refersTo finds cells of a column in a formula.
func (a *auditor) refersTo(col string) *regexp.Regexp {
	if a.refs[col] == nil {
		a.refs[col] = regexp.MustCompile(`(^|[^A-Z$])\$?` + col + `\$?[0-9]`)
	}
	return a.refs[col]
}

// goneFault is the fault of a column that was taken out.
func (a *auditor) goneFault(l *joints.List, q *model.Quantity) *auditFault {
	key := fmt.Sprintf("column gone %d %s", l.No, q.Key)
	if was := a.byKey[key]; was != nil {
		return was
	}
	return a.add(key, Fault{
		Grade: Wrong, Rule: RuleColumnGone, Cell: l.Ref(l.HeadRow, l.Ours[q]),
		What:  fmt.Sprintf("the calculated column %q was taken out of the list", a.Heading(q)),
		Found: "no such column", Expected: "a column of its formula", Fix: "price again, which puts it back here",
	})
}

// goneColumns are the calculated columns of a list that an earlier run wrote,
// and that are not there. One that no run has recorded is new in this version.
func (a *auditor) goneColumns(l *joints.List) []*model.Quantity {
	if l.IsNew {
		return nil
	}
	var out []*model.Quantity
	for _, q := range l.Added {
		if slices.ContainsFunc(a.Own.Records, func(r book.ColumnRecord) bool {
			return r.Ours && r.Figure == q.Key && strings.EqualFold(r.Sheet, l.Title)
		}) {
			out = append(out, q)
		}
	}
	return out
}
