package account

import (
	"fmt"
	"math"
	"slices"

	"seamtally/compute/model"
	"seamtally/sheets/joints"
	"seamtally/sheets/sayings"
)

// contradicts looks for pieces in words beside a joint whose row gives another number: "2
// off" beside a 4, "L/R" beside a 1. "2x left, 2x right" gives them piece by piece.
func (ac *account) contradicts(text, key string) (s besideSaid) {
	b, given := ac.b, ac.Cols[ac.QtyAt].Q.Num(&ac.Line.Frame)
	num := func(key string) float64 { return b.Model.Line.Quantity(key).Num(&ac.Line.Frame) }
	filled := joints.Filled(ac.Inputs[ac.QtyAt])
	said, all := b.Measures.Counts(text, key == "mark")
	if !filled {
		said, all = nil, nil // asked about where pieces are looked for
	}
	sum := 0.0
	for _, n := range all {
		if sum += n; n == given {
			return s
		}
	}
	if len(said) > 0 && (sum == given || 2*sum == given && b.texts.Has("pair", sayings.Words(text)) != "") { // "2 each side"
		return s
	}
	if len(said) == 0 {
		said = slices.DeleteFunc(b.texts.Pieces(text, key == "mark"), func(n float64) bool {
			return filled && math.Mod(given, n) == 0 || n == num("sides") || n == num("welds_per_joint")
		})
	}
	if len(said) > 0 && filled {
		return besideSaid{
			what: fmt.Sprintf("speaks of %v pieces, and the row gives %v: %v is taken", said[0], given, given), rule: "pieces beside",
			fix: fmt.Sprintf("write the number that is meant under %q", ac.L.Shop["qty"].Head),
		}
	}
	if len(said) > 0 {
		s = besideSaid{what: fmt.Sprintf("speaks of %v pieces, and the row gives no number of them", said[0]), rule: "pair", fix: `give each row its number under "Qty per car"`}
	}
	return s
}

// saysOtherwise is what words of the shop's own beside a joint say against its row.
func (ac *account) saysOtherwise(text string, words []string) (what, fix string) {
	t, f := ac.b.texts, &ac.Line.Frame
	has := func(x float64) bool {
		return slices.ContainsFunc(ac.Cols, func(c joints.Column) bool { return c.Reader != nil && !c.Q.IsText() && sayings.Near(c.Q.Num(f), x) })
	}
	if t.NotOurs(text) {
		return "may say that the joint is not to be welded, or only partly", "take the row out if it is not"
	}
	other := ac.said.OtherInput(words, func(at int, x float64) bool { return sayings.Near(ac.Cols[at].Q.Num(f), x) })
	if other == "" {
		other = ac.said.OtherWord(words, func(q *model.Quantity) string { return q.Text(f) })
	}
	if other == "" && t.OtherAmount(text, has) {
		other = "number"
	}
	if other == "" {
		return "", ""
	}
	return "may give another " + other + " than the row has", "write in the row what is meant"
}
