package account

import (
	"fmt"
	"maps"
	"slices"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
)

// A set-up or an alloy may be typed on the first joint and meant for those below, as a car
// is: blank cells take the default, and it is another.

// firstOnly are the inputs that only the first joint of a list gives.
type firstOnly struct {
	row    int
	kind   string
	inputs map[int]*onlyThere // by the place among the columns
}

// onlyThere is what the first joint gives, and how many of its kind take another.
type onlyThere struct {
	num    float64
	text   string
	others int
	taken  string
}

// leastBelow is how many joints of the kind of the first stand below it at least.
const leastBelow = 2

// lookAtFirst takes a priced row into the account.
func (ac *account) lookAtFirst(row int) {
	f, first := &ac.Line.Frame, &ac.first
	kind := ac.b.Model.Line.Quantity("kind").Text(f)
	if first.inputs == nil {
		*first = firstOnly{row: row, kind: kind, inputs: map[int]*onlyThere{}}
		for i := range ac.Cols {
			if c := &ac.Cols[i]; c.Reader != nil && c.Reader.Shop.Col > 0 && !c.Reader.Shop.Settled && !c.Q.Needed && c.Q.Key != "qty" && joints.Filled(ac.Inputs[i]) {
				first.inputs[i] = &onlyThere{num: c.Q.Num(f), text: c.Q.Text(f)}
			}
		}
		return
	}
	if kind != first.kind {
		return
	}
	for i, was := range first.inputs {
		q := ac.Cols[i].Q
		switch {
		case joints.Filled(ac.Inputs[i]):
			delete(first.inputs, i)
		case q.IsText() && q.Text(f) != "" && q.Text(f) != was.text:
			was.others++
			was.taken = fmt.Sprintf("%q", q.Text(f))
		case !q.IsText() && q.Num(f) != 0 && q.Num(f) != was.num:
			was.others++
			was.taken = q.AmountText(q.Num(f))
		}
	}
}

// tellFirstOnly tells of them.
func (ac *account) tellFirstOnly() {
	for _, i := range slices.Sorted(maps.Keys(ac.first.inputs)) {
		only, r := ac.first.inputs[i], ac.Cols[i].Reader
		if only.others < leastBelow || harmless(r.Q.Key) || r.Q.Key == "car" {
			continue
		}
		ac.b.unsettled(book.CheckInputs, "first only "+r.Q.Key, ac.L.Ref(ac.first.row, r.Shop.Col),
			fmt.Sprintf("%s stands on the first joint only; %d below it of its kind have none, and take %s", r.Name(), only.others, only.taken),
			"write it on each joint that it is meant for, or settle that a blank means the default: "+book.SettleAs(ac.L.ColumnName(r.Shop.Col), r.Q.Key))
	}
}
