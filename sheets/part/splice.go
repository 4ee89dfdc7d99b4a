package part

import (
	"errors"
	"io"
)

// Op says what to do with a cell.
type Op uint8

// The operations. Set writes content, Clear takes the content and keeps (or
// sets) the style, Remove takes the cell element out.
const (
	Set Op = iota
	Clear
	Remove
)

// NewCell is one cell to be written.
//
// A constant is a Kind with its Num or Text and no Formula. With a Formula
// (without the equals sign), Kind, Num and Text are the value stored beside
// it. Bool takes Num 1 or 0, Error takes Text ("#N/A"). Kind Empty without a
// Formula is a styled blank cell.
type NewCell struct {
	Col     int // counting from 1
	Style   int // cellXfs index; -1 keeps the existing cell's
	Op      Op
	Kind    Kind
	Num     float64
	Text    string
	Formula string
}

// RowEdit is what to change in one row. Cells ascend by Col. Zero and nil
// fields keep what is there.
type RowEdit struct {
	Cells        []NewCell
	Height       float64 // points
	Hidden       *bool
	OutlineLevel *int
	Collapsed    *bool
}

// Editor decides on the changes, row by row.
type Editor interface {
	// Row is called once, in ascending order, for every row element of the
	// sheet and for every row number that Next names; the row's existing cells
	// are given typed. Neither the row nor the result is kept after the next
	// call, so slices may be reused.
	Row(r *Row) (RowEdit, error)

	// Next gives the next row number after the given one that must exist even
	// if the sheet has no such row; 0 = none.
	Next(after int) int
}

// SheetEdit is what to change in a worksheet part.
type SheetEdit struct {
	Editor  Editor // nil = no cells change
	Strings Strings

	// Extent is the block of cells that the Editor will write in, "" = within
	// the present one. The dimension is grown to cover it; in a stream it comes
	// before the cells, so it has to be known beforehand.
	Extent string

	// Cols are laid over the present column definitions, ascending and without
	// overlap. Width 0 and Style -1 keep what is there.
	Cols []Col

	// RemoveCols drops the definitions of these columns (Min and Max count).
	RemoveCols []Col

	SummaryRight    *bool // where outline buttons of columns sit; nil = keep
	OutlineLevelRow int   // least outline depth of rows to declare
	AutoFilterRef   string
}

// Splice copies a worksheet part from src to dst with the changes made, and
// every other byte as it was. Splicing the result again with the same changes
// gives the same bytes. On an error, what dst has received is of no use.
func Splice(dst io.Writer, src io.Reader, ed SheetEdit) error {
	return errors.New("not written yet")
}
