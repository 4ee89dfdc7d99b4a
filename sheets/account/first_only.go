package account

import (
	"fmt"
	"maps"
	"slices"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
)

// A set-up or an alloy may be typed on the first joint and meant for those below, as a car
// is: blank cells take the default, and it is another. Numbers are not copied down so: a
// size of its own is one joint's.

// firstOnly are the inputs in words that only the first joint of a list gives.
type firstOnly struct {
	row    int
	kind   string
	inputs map[int]*onlyThere // by the place among the columns
}

// onlyThere is what the first joint gives, and how many of its kind take another.
type onlyThere struct {
	gives, taken string
	others       int
}

// leastBelow is how many joints of the kind of the first stand below it at least: that the
// first of a few alone is otherwise says nothing.
const leastBelow = 6

// lookAtFirst takes a priced row into the account.
func (ac *account) lookAtFirst(row int) {
	f, first := &ac.Line.Frame, &ac.first
	kind := ac.b.Model.Line.Quantity("kind").Text(f)
	if first.inputs == nil {
		*first = firstOnly{row: row, kind: kind, inputs: map[int]*onlyThere{}}
		for i := range ac.Cols {
			if c := &ac.Cols[i]; c.Reader != nil && c.Reader.Words != "" && c.Reader.Shop.Col > 0 && !c.Reader.Shop.Settled && joints.Filled(ac.Inputs[i]) {
				first.inputs[i] = &onlyThere{gives: c.Q.Text(f)}
			}
		}
		return
	}
	for i, was := range first.inputs {
		if taken := ac.Cols[i].Q.Text(f); joints.Filled(ac.Inputs[i]) {
			delete(first.inputs, i)
		} else if kind == first.kind && taken != was.gives {
			was.others++
			was.taken = taken
		}
	}
}

// tellFirstOnly tells of them.
func (ac *account) tellFirstOnly() {
	for _, i := range slices.Sorted(maps.Keys(ac.first.inputs)) {
		only, r := ac.first.inputs[i], ac.Cols[i].Reader
		if only.others < leastBelow {
			continue
		}
		ac.b.unsettled(book.CheckInputs, "first only "+r.Q.Key, ac.L.Ref(ac.first.row, r.Shop.Col),
			fmt.Sprintf("%s stands on the first joint only; %d of its kind below it have none, and take %q", r.Name(), only.others, only.taken),
			"write it on each joint that it is meant for, or settle that a blank means the default: "+book.SettleAs(ac.L.ColumnName(r.Shop.Col), r.Q.Key))
	}
}
