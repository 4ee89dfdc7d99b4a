package look

import "github.com/xuri/excelize/v2"

// Book is a scratch workbook that holds shells of sheets and the formats that
// cells will take.
type Book struct {
	file   *excelize.File
	font   string
	size   float64
	styles map[Style]int
	names  []Name
}

// New begins a scratch workbook. Font and size, in points, are those that the
// shop's workbook uses by default, so that our sheets fit in; "" and 0 stand
// for Calibri 11.
func New(font string, size float64) *Book {
	return &Book{file: excelize.NewFile(), font: font, size: size, styles: map[Style]int{}}
}

// Style gives the number of the cell format (xf) for s in the scratch workbook.
// Equal Styles get equal numbers.
func (b *Book) Style(s Style) (xf int, err error) { return 0, nil }

// AddSheet adds the shell of a sheet. Its title must be new to the workbook.
func (b *Book) AddSheet(s Sheet) error { return nil }

// Names gives the defined names that the sheets added so far need, in order.
func (b *Book) Names() []Name { return b.names }

// Bytes gives the scratch workbook as a file. Two books built alike are equal
// byte for byte.
func (b *Book) Bytes() ([]byte, error) { return nil, nil }

// BadWords are the words that a flagged range shows boldly: a cell that begins
// with one of them, in this spelling.
func BadWords() []string {
	return []string{"INCOMPLETE", "OUTSIDE", "LOOK", "changed", "missing", "left out"}
}
