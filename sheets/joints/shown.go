package joints

import (
	"fmt"
	"math"
	"strconv"

	"seamtally/sheets/entry"
	"seamtally/sheets/part/worksheet"
)

// A format may say of a number what the number does not: 2 shown as "2 pairs", 0.9 as
// 90 %. What the cell shows is read as if it were typed; where that is another quantity
// than the number, neither is taken.

// shownOtherwise is why a number cannot be taken as what its cell shows, nil if it can.
func (b *Lists) shownOtherwise(r *Reader, c *worksheet.Cell) *Misread {
	what := b.otherwise(c, r.Want, r.Scale.Apply(c.Num))
	if what == "" {
		return nil
	}
	return &Misread{rule: "shown otherwise", What: fmt.Sprintf("%s is %s", r.Name(), what), fix: formatFix}
}

const formatFix = "type what is meant, and set the cell's format to a number"

// otherwise says how a cell shows another quantity than x, "" if it does not.
func (b *Lists) otherwise(c *worksheet.Cell, want entry.Want, x float64) string {
	beside := b.Beside(c.Style)
	if beside == "" {
		return ""
	}
	typed := strconv.FormatFloat(c.Num, 'g', 15, 64)
	shown := typed + " " + beside
	if beside == "%" {
		shown = strconv.FormatFloat(100*c.Num, 'g', 15, 64) + " %"
	}
	if got, err := b.Measures.Quantity(shown, want); err == nil && !got.PerOD && math.Abs(got.Value-x) <= 1e-9*math.Abs(x) {
		return ""
	}
	return fmt.Sprintf("%s, which the cell's format shows as %q", typed, shown)
}

// carsShown says how a cell shows another number of cars than it holds, "" if it does not.
func (b *Lists) carsShown(c *worksheet.Cell) string {
	beside := b.Beside(c.Style)
	if key := b.Quick.Recognise(beside).Key; beside == "" || key == "ordered" || key == "qty" {
		return ""
	}
	return fmt.Sprintf("%v, and the cell's format shows %q beside it", c.Num, beside)
}
