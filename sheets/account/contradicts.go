package account

import (
	"fmt"

	"seamtally/sheets/joints"
	"seamtally/sheets/sayings"
)

// contradicts looks for pieces in words beside a joint whose row gives another number of
// them: "2 off" beside a 4. Words that name several numbers may do so piece by piece, as
// in "2x left, 2x right".
func (ac *account) contradicts(text, key string) (s besideSaid) {
	b, q := ac.b, ac.Cols[ac.QtyAt].Q
	if !joints.Filled(ac.Inputs[ac.QtyAt]) {
		return s
	}
	said, all := b.Measures.Counts(text, key == "mark")
	if len(said) == 0 {
		return s
	}
	given, sum := q.Num(&ac.Line.Frame), 0.0
	for _, n := range all {
		if sum += n; n == given {
			return s
		}
	}
	if sum == given || 2*sum == given && b.texts.Has("pair", sayings.Words(text)) != "" { // "2 each side"
		return s
	}
	return besideSaid{
		what: fmt.Sprintf("speaks of %v pieces, and the row gives %v: %v is taken", said[0], given, given), rule: "pieces beside",
		fix: fmt.Sprintf("write the number that is meant under %q", ac.L.Shop["qty"].Head),
	}
}
