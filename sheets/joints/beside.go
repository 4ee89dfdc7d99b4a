package joints

import (
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/part/worksheet"
)

// Results stand beside the shop's own columns, and look like them: their font, fill and
// borders are those of the outside diameter on the same row.

// besideShop is the format of a result in a row whose outside diameter stands in a cell.
func (ed *Editor) besideShop(od *worksheet.Cell, own int) int {
	if od == nil {
		return own
	}
	key := [2]int{od.Style, own}
	xf, known := ed.beside[key]
	if !known {
		var err error
		if xf, err = ed.b.Styles.Beside(od.Style, own); err != nil {
			xf = own // the workbook has no room for more formats
		}
		ed.beside[key] = xf
	}
	return xf
}

// Heights and widths of the results.
const (
	twoLines   = 26 // points of a row that has room for two lines of words
	leastFor   = 7  // characters of a column
	mostDigits = 10 // of an amount of money
)

// resultWidth is the width of a result's column: where its heading may take two lines, as
// wide as its longest word.
func (l *List) resultWidth(q *model.Quantity) float64 {
	head := book.Heading(q)
	if q.IsText() || l.High > 0 && l.High < twoLines {
		return widthFor(q)
	}
	longest := leastFor
	if model.UnitLabel(q) == "$" {
		longest = mostDigits
	}
	for _, w := range strings.Fields(head) {
		longest = max(longest, len([]rune(w))+2)
	}
	return float64(max(longest, (len([]rune(head))+1)/2+2))
}
