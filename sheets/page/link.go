package page

import "seamtally/sheets/look"

// Link is a cell that leads to a place in the workbook: a reference or a name.
func Link(col int, to, words string, o Owner) Cell {
	return Text(col, look.Link, words, o).Live("HYPERLINK(" + Quoted("#"+to) + "," + Quoted(words) + ")")
}
