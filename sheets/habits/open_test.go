package habits_test

import "slices"

// stillOpen are the habits that the program does not understand, or asks about in vain,
// as they were last measured. They are told, and wait to be mended: whoever mends
// one takes it out here.
func stillOpen() []string {
	return []string{
		"an old copy of the list",
		"a group Welds per car, loose",
		"the list before, as rev A",
		"a list of another order",
		"a list to send out",
		"CLR in diameters, bare",
		"a car of no joints on order",
		"a car spelled otherwise on some rows",
		"a group Welds per car, merged",
		"a joint typed twice",
		"a sheet of examples",
		"a subtotal that repeats the size",
		"a subtotal that repeats the size, in other words",
		"a total of each size below",
		"an assembly of which there are two",
		"bend and pies in one column",
		"bid for all cars of a spec",
		"car and headings over its block",
		"car as a line with its number over its block",
		"car headed Assembly",
		"car headed Auto",
		"car headed Belongs to",
		"car headed Kit",
		"car headed Macchina",
		"car headed On",
		"car headed Unit",
		"car headed Which",
		"car named in a title, block below block",
		"cars along a row",
		"cars and numbers in one cell",
		"cars ordered below the list",
		"cars ordered with an own total",
		"cars, one a row, by chassis",
		"filler headed Apporto",
		"filler headed Autogenous",
		"filler headed Fusion",
		"filler headed Rod Y/N",
		"filler headed Wire fed",
		"filler headed Zusatz",
		"groups in German, loose",
		"groups in German, merged",
		"headings over two rows",
		"joints on two cars named in one cell",
		"lengths with a dot for thousands",
		"no filler left blank",
		"number of cars in a line above the list",
		"number of cars in the sheet's title",
		"optional joints below a line",
		"pieces counted by marks",
		"pieces in the description",
		"qty headed Welds",
		"quantities by SUM",
		"saw angles",
		"sizes in both units",
		"sizes in both units beside each other",
		"spare parts ordered below the cars",
		"the next revision's joints below a line",
		"wall in inches among mm",
	}
}

// isOpen reports whether a workbook has such a habit.
func (r result) isOpen() bool {
	return slices.ContainsFunc(r.used, func(h habit) bool { return slices.Contains(stillOpen(), h.name) })
}
