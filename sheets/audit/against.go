package audit

import (
	"context"
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets"
	"seamtally/sheets/revisions"
)

// against holds the joints and the assumptions against those of another
// workbook: what is not there, what is there twice, what is other. Both are
// worked out by one model in one system of units, so a quantity of this
// workbook's reads the other's frames too.
func (a *auditor) against(ctx context.Context) error {
	base, err := sheets.Read(ctx, a.o.Against, a.o.Password)
	if err != nil {
		return err
	}
	defer base.Close()
	if base.Model.System != a.Model.System {
		return fmt.Errorf("%s is in %s units and %s in %s; audit it against a workbook in the same units", a.o.In, a.Model.System, a.o.Against, base.Model.System)
	}
	a.joints(base)
	a.assumptionsAgainst(base)
	return nil
}

// joints compares the joint rows. A row that is left out here is told of where
// it was read, and only its units are compared.
func (a *auditor) joints(base *sheets.Run) {
	here := make([]*compute.Joint, 0, len(a.Joints)+len(a.leftOut))
	for _, rows := range [][]compute.Joint{a.Joints, a.leftOut} {
		for i := range rows {
			here = append(here, &rows[i])
		}
	}
	var keys, contents [2][]string
	of := func(side int, r *compute.Joint) {
		keys[side] = append(keys[side], r.Key())
		contents[side] = append(contents[side], r.Said(a.Model))
	}
	known := map[string]int{}
	for i := range base.Joints {
		of(revisions.Old, &base.Joints[i])
		known[keys[revisions.Old][i]]++
	}
	for _, r := range here {
		of(revisions.New, r)
	}
	for _, pair := range revisions.Paired(keys, contents) {
		old, now := pair[revisions.Old], pair[revisions.New]
		switch {
		case now == revisions.None:
			a.jointMissing(&base.Joints[old])
		case old == revisions.None && now < len(a.Joints):
			a.jointAdded(here[now], known[keys[revisions.New][now]])
		case old == revisions.None:
		case now < len(a.Joints):
			a.jointChanged(here[now], &base.Joints[old])
		default:
			a.unitAgainst(here[now], &base.Joints[old])
		}
	}
}

// jointAdded tells of a joint that the other workbook does not have, or has
// less often: known times.
func (a *auditor) jointAdded(r *compute.Joint, known int) {
	f := Fault{Grade: Doubtful, Rule: RuleJointAdded, Cell: a.All[r.List].Ref(r.Row, 1), What: fmt.Sprintf("%s is not in %s", r.Name(), a.o.Against), Fix: "see that it is meant"}
	if known > 0 {
		f.Rule, f.What = RuleJointTwice, fmt.Sprintf("%s is there once more than in %s", r.Name(), a.o.Against)
	}
	fault := a.add(f.Rule+" "+f.Cell, f)
	a.undo(fault, nil, func(o *compute.Joint, _ *compute.Line) bool { return o != r })
}

// jointMissing tells of a joint that only the other workbook has.
func (a *auditor) jointMissing(r *compute.Joint) {
	cell := a.All[r.List].Ref(r.Row, 1)
	a.with(a.add("missing "+cell, Fault{
		Grade: Wrong, Rule: RuleJointMissing, Cell: cell, What: fmt.Sprintf("%s is in %s, at this cell, and not here", r.Name(), a.o.Against),
		Fix: "put it back, or see that it is meant",
	}), r)
}

// with weighs a joint that is missing by what the order comes to with it.
func (a *auditor) with(f *auditFault, r *compute.Joint) {
	line := compute.NewLine(a.Model)
	line.Clear()
	for _, q := range a.Model.Line.Quantities {
		if r.Line.Given(q) {
			line.Take(r.Line, q)
		}
	}
	home := a.All[0]
	for _, l := range a.All {
		if strings.EqualFold(l.Title, r.Sheet) {
			home = l
		}
	}
	if w, err := a.scales.WithJoint(line, home.No); err == nil && w != nil {
		f.effect(-w.Cost, -w.Price)
	}
}

// unitAgainst looks for sizes of a row that is left out which are those of the
// other workbook in another unit.
func (a *auditor) unitAgainst(r, was *compute.Joint) {
	for _, q := range a.Model.Line.Quantities {
		if q.Role != model.Input || q.IsText() || !r.Line.Given(q) || !was.Line.Given(q) {
			continue
		}
		x, y := q.Num(&r.Line.Frame), q.Num(&was.Line.Frame)
		if why, is := units.Slip(x, y); is && a.byKey[unitKey(a.All[r.List], q, r.Row)] == nil {
			a.add(unitKey(a.All[r.List], q, r.Row), Fault{
				Grade: Doubtful, Rule: RuleUnit, Cell: a.All[r.List].Ref(r.Row, a.All[r.List].Shop[q.Key].Col),
				What:  fmt.Sprintf("%s: %s is that of %s %s", r.Name(), a.Heading(q), a.o.Against, why),
				Found: inputText(r, q), Expected: inputText(was, q), Fix: "check the value and its unit",
			})
		}
	}
}

// jointChanged compares the inputs of a joint.
func (a *auditor) jointChanged(r, was *compute.Joint) {
	for _, q := range a.Model.Line.Quantities {
		if q.Role != model.Input {
			continue
		}
		before, after := inputText(was, q), inputText(r, q)
		if before == after || was.Line.Given(q) == r.Line.Given(q) && q.Same(&was.Line.Frame, &r.Line.Frame) {
			continue
		}
		col := a.All[r.List].Shop[q.Key].Col
		if col == 0 {
			col = a.All[r.List].Ours[q]
		}
		f := Fault{
			Grade: Doubtful, Rule: RuleJointChanged, Cell: a.All[r.List].Ref(r.Row, col), What: fmt.Sprintf("%s: %s is not that of %s", r.Name(), a.Heading(q), a.o.Against),
			Found: after, Expected: before, Fix: "see that the change is meant",
		}
		if why, is := units.Slip(q.Num(&r.Line.Frame), q.Num(&was.Line.Frame)); is && !q.IsText() {
			f.Rule, f.What = RuleUnit, fmt.Sprintf("%s: %s is that of %s %s", r.Name(), a.Heading(q), a.o.Against, why)
			f.Fix = "check the value and its unit"
			if a.byKey[unitKey(a.All[r.List], q, r.Row)] != nil {
				continue // told already, by the other rows
			}
		}
		fault := a.add("changed "+f.Cell, f)
		a.undo(fault, nil, func(o *compute.Joint, line *compute.Line) bool {
			switch {
			case o != r:
			case !was.Line.Given(q):
				line.Release(q)
			default:
				line.Take(was.Line, q)
			}
			return true
		})
	}
}

func inputText(r *compute.Joint, q *model.Quantity) string {
	switch {
	case !r.Line.Given(q):
		return "the default"
	case q.IsText():
		return q.Text(&r.Line.Frame)
	}
	return formula.GeneralText(q.Num(&r.Line.Frame))
}

// assumptionsAgainst compares what the figures come from besides the joints:
// single assumptions, and the lines of every table.
func (a *auditor) assumptionsAgainst(base *sheets.Run) {
	at, err := a.Standing()
	if err != nil {
		return
	}
	other := "against " + a.o.Against
	a.changedSince(earlier{base.Now, RuleChanged, other, "see that the change is meant, and that its basis says why"}, at)
}
