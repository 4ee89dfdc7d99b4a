package habits_test

import "slices"

// stillOpen are the habits that the program does not understand, or asks about in vain,
// as they were last measured. They are told, and wait to be mended: whoever mends
// one takes it out here.
func stillOpen() []string {
	return []string{}
}

// isOpen reports whether a workbook has such a habit.
func (r result) isOpen() bool {
	return slices.ContainsFunc(r.used, func(h habit) bool { return slices.Contains(stillOpen(), h.name) })
}
