package account

import (
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/entry"
)

// A copy of a list may have got other marks. What it was copied from shows in all that
// its joints say besides: nearly all of them, and of several kinds or sizes, are as on the
// other list, down to the pieces. Both sides of a car may be so too, where the titles of
// both sheets say which.

// leastDifferent is how many different joints make a list that is likely no other by chance.
const leastDifferent = 3

// wholeJoint is all that the joint of a row says, but for its mark, its place and its car.
func (ac *account) wholeJoint() string {
	var out strings.Builder
	for _, c := range ac.Cols {
		if c.Q.Role != model.Input || harmless(c.Q.Key) || c.Q.Key == "car" {
			continue
		}
		if c.Q.IsText() {
			out.WriteString(c.Q.Text(&ac.Line.Frame))
		} else {
			out.WriteString(formula.GeneralText(c.Q.Num(&ac.Line.Frame)))
		}
		out.WriteByte('|')
	}
	return out.String()
}

// copies is how many joints of a list are those of an earlier one under other marks, 0
// where they are no copy, or the shop has settled that its marks are meant.
func (b *Ledger) copies(k, l *account) int {
	if l.L.Shop["mark"].Settled || !b.inDoubt(k, l) || b.namesPlace(k.L.Title) && b.namesPlace(l.L.Title) {
		return 0
	}
	n, different := shared(l.alike.whole, k.alike.whole), 0
	for key := range l.alike.whole {
		if k.alike.whole[key] > 0 {
			different++
		}
	}
	if different < leastDifferent || 5*n < 4*max(l.L.Rows.Priced, k.L.Rows.Priced) {
		return 0
	}
	return n
}

// namesPlace reports whether a title says where on a car joints are.
func (b *Ledger) namesPlace(title string) bool {
	return slices.ContainsFunc(entry.WordsIn(title), func(w string) bool { return b.texts.OneOf("place", w) != "" })
}
