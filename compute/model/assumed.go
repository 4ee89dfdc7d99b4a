package model

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/formula"
)

// Words for an assumption: whether it lies in its usual range, and whether it is
// as shipped.
const (
	WordInside  = "inside"
	WordOutside = "OUTSIDE"
	WordShipped = "shipped"
	WordChanged = "changed"
)

// Among reports whether a text is one of some words; capitals make no difference.
func Among(words []string, s string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.EqualFold(w, s) })
}

// Assumed is the value of a single assumption beside what is usual: for a number
// the ends of its range, for a text the words that it may be.
type Assumed struct {
	*Quantity
	Low, High float64
	Words     []string
}

// In is the word for whether the value in a frame is a usual one.
func (a Assumed) In(f *formula.Frame) string {
	x := a.Num(f)
	inside := x >= a.Low && x <= a.High
	if a.IsText() {
		inside = Among(a.Words, a.Text(f))
	}
	if inside {
		return WordInside
	}
	return WordOutside
}

// InFormula is the same as the formula of a cell: value is the cell of the value;
// of a number, low and high are those of its range; of a text, words is the column
// of its words, "" where they never change.
func (a Assumed) InFormula(value, low, high, words string) string {
	test := fmt.Sprintf("AND(%[1]s>=%[2]s,%[1]s<=%[3]s)", value, low, high)
	switch {
	case words != "":
		test = fmt.Sprintf("ISNUMBER(MATCH(%s,%s,0))", value, words)
	case a.IsText():
		var equal []string
		for _, w := range a.Words {
			equal = append(equal, value+`="`+w+`"`)
		}
		test = "OR(" + strings.Join(equal, ",") + ")"
	}
	return fmt.Sprintf(`IF(%s,"%s","%s")`, test, WordInside, WordOutside)
}

// Since is the word for whether the value in a frame is the shipped one.
func (a Assumed) Since(f *formula.Frame) string {
	same := a.Num(f) == a.Value
	if a.IsText() {
		same = strings.EqualFold(a.Text(f), a.TextValue)
	}
	if same {
		return WordShipped
	}
	return WordChanged
}

// SinceFormula is the same as the formula of a cell, from the cells of the value
// and of the shipped one.
func (a Assumed) SinceFormula(value, shipped string) string {
	return fmt.Sprintf(`IF(%s=%s,"%s","%s")`, value, shipped, WordShipped, WordChanged)
}
