package joints

import (
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
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
	leastCheck = 26 // characters of the verdict
	mostCheck  = 44
)

// fitCheck has the verdict, which is the last result, end where the window does, so that
// marks, sizes and results are seen together. laid are the new definitions of columns.
func (b *Lists) fitCheck(l *List, laid []worksheet.Col) {
	for i, c := range laid {
		if c.Min != l.Ours[b.Model.Roles.Words] || c.Width != mostCheck {
			continue
		}
		var beside []float64
		width := b.widths(l.Info, laid)
		for col := 1; col < c.Min; col++ {
			beside = append(beside, width(col))
		}
		laid[i].Width = look.LeftOver(l.Info.Zoom, digitWidth(b.Styles.DefaultFont()), beside, leastCheck, mostCheck)
	}
}

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
