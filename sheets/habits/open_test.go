package habits_test

import "slices"

// stillOpen are the habits that the program does not understand, or asks about in vain,
// as they were last measured. They are told, and wait to be mended: whoever mends
// one takes it out here.
func stillOpen() []string {
	return []string{
		"a group Welds per car, loose",
		"CLR in diameters, bare",
		"a group Welds per car, merged",
		"a joint typed twice",
		"a subtotal that repeats the size",
		"a subtotal that repeats the size, in other words",
		"a total of each size below",
		"bend and pies in one column",
		"filler headed Apporto",
		"filler headed Autogenous",
		"filler headed Fusion",
		"filler headed Rod Y/N",
		"filler headed Wire fed",
		"filler headed Zusatz",
		"groups in German, loose",
		"groups in German, merged",
		"headings over two rows",
		"lengths with a dot for thousands",
		"no filler left blank",
		"pieces counted by marks",
		"pieces in the description",
		"qty headed Welds",
		"quantities by SUM",
		"saw angles",
		"sizes in both units",
		"sizes in both units beside each other",
		"wall in inches among mm",
	}
}

// isOpen reports whether a workbook has such a habit.
func (r result) isOpen() bool {
	return slices.ContainsFunc(r.used, func(h habit) bool { return slices.Contains(stillOpen(), h.name) })
}
