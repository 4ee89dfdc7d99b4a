package calibrate

import (
	"cmp"
	"slices"
)

// byBuild sorts lines in the order of build: by day where each has one, as runs of
// several quotes have the same numbers, and by the number in the run within a day;
// by that number alone where a day is missing.
func byBuild(lines []Line) {
	days := !slices.ContainsFunc(lines, func(l Line) bool { return l.Day.IsZero() })
	slices.SortStableFunc(lines, func(a, b Line) int {
		if days {
			if c := a.Day.Compare(b.Day); c != 0 {
				return c
			}
		}
		return cmp.Compare(a.Number, b.Number)
	})
}
