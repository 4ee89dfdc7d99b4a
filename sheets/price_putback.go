package sheets

import (
	"fmt"
	"strings"
	"unicode"

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

// Labelled says what a cell of our own sheets is: by the words right behind it where
// nothing stands before it, as a count has them; else by the first words of its row.
func Labelled(r *worksheet.Row, col int) string { return Label(LabelWords(r, col)) }

// LabelWords are the words that a cell is called by; "" for none.
func LabelWords(r *worksheet.Row, col int) string {
	words, before, behind := "", false, ""
	for i := range r.Cells {
		c := &r.Cells[i]
		is := c.Kind == worksheet.Text && strings.ContainsFunc(c.Text, unicode.IsLetter)
		switch {
		case !joints.Filled(c):
		case c.Col == col-1:
			before = true
		case c.Col == col+1 && is:
			behind = c.Text
		}
		if is && c.Col < col && words == "" {
			words = c.Text
		}
	}
	if behind != "" && !before {
		words = behind
	}
	return words
}

// Label says what a cell with these words is.
func Label(words string) string {
	if words == "" {
		return "this cell"
	}
	return fmt.Sprintf("the cell of %q", OneLine(words))
}
