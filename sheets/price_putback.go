package sheets

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// own is shown every cell of our own sheets as it is written.
func (r *Run) own(title string, row *worksheet.Row, have *worksheet.Cell, c page.Cell, n worksheet.NewCell) {
	r.watch.Own(title, row, have, c, n)
	moved := c.Anew || c.Fresh
	if moved && have != nil && have.Kind == worksheet.Number { // on Summary every number has its formula
		moved = !strings.EqualFold(title, r.Own.Bid[book.FrontKey])
	}
	if r.watch.Looks() || r.Own.Model != r.Fingerprint || moved || n.Formula == "" || !joints.Filled(have) || have.HasFormula {
		return // an audit tells it itself, and an earlier version may have had no formula there
	}
	r.Note(book.LevelWarning, "put back "+title, title+"!"+grid.Ref(row.Num, n.Col),
		fmt.Sprintf("%s was typed over its formula, with %s; the formula is put back", Labelled(row, n.Col), OneLine(book.CellText(*have))),
		"change what it is worked out from; what is bid for a car has its column under Cars on Assumptions")
}

// Labelled says what a cell of our own sheets is, by the words before it.
func Labelled(r *worksheet.Row, col int) string {
	for i := range r.Cells {
		if c := &r.Cells[i]; c.Col < col && c.Kind == worksheet.Text && joints.Filled(c) {
			return fmt.Sprintf("the cell of %q", OneLine(c.Text))
		}
	}
	return "this cell"
}
