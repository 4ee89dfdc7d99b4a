package part

import (
	"errors"
	"io"
)

// Col is a column definition (CT_Col): columns Min to Max, counting from 1.
type Col struct {
	Min, Max     int
	Width        float64 // in characters of the default font; 0 = none given
	Style        int     // cellXfs index; -1 = none given
	Hidden       bool
	OutlineLevel int // 0 to 7
	Collapsed    bool
}

// Row is one row as stored. The slice of cells is reused by the reader; the
// strings in it may be kept.
type Row struct {
	Num          int // counting from 1
	Hidden       bool
	OutlineLevel int
	Collapsed    bool
	Height       float64 // points; 0 = none given
	Cells        []Cell  // ascending by Col
}

// SheetInfo is what a worksheet part says about itself besides its cells.
type SheetInfo struct {
	Strict           bool // the namespace of the strict form
	Dimension        string
	SummaryLeft      bool // outline buttons left of the detail columns
	SummaryAbove     bool // outline buttons above the detail rows
	FilterMode       bool // rows are hidden by a filter
	RightToLeft      bool
	DefaultColWidth  float64
	OutlineLevelRow  int
	OutlineLevelCol  int
	Cols             []Col
	Protected        bool
	AutoFilter       string // range, or ""
	MergedCells      []string
	DrawingRel       string   // relationship ids
	LegacyDrawingRel string   // of the comments' shapes
	TableRels        []string // of the tables on the sheet
	LastRow, LastCol int      // last row and column with a value or a formula; 0 = none
	Rows             int      // number of row elements
	Cells            int      // number of cell elements
}

// ReadSheet streams a worksheet part. Each row goes to each (nil = none
// wanted), in order; an error from it stops the reading and is returned. The
// part is read to its end and checked to be well-formed; nothing that was
// given out may be trusted when an error comes back. Errors of the part are a
// *SheetError.
func ReadSheet(r io.Reader, ss Strings, each func(*Row) error) (*SheetInfo, error) {
	return nil, errors.New("not written yet")
}

// Strings is the table of shared strings. The zero value is an empty table.
type Strings struct {
	all string
	end []int
}

// Len is the number of strings.
func (s Strings) Len() int { return len(s.end) }

// At gives string i, counting from 0.
func (s Strings) At(i int) (string, bool) {
	if i < 0 || i >= len(s.end) {
		return "", false
	}
	from := 0
	if i > 0 {
		from = s.end[i-1]
	}
	return s.all[from:s.end[i]], true
}

// ReadSharedStrings reads a shared strings part: rich text flattened, phonetic
// runs left out, _xHHHH_ escapes decoded.
func ReadSharedStrings(r io.Reader) (Strings, error) {
	return Strings{}, errors.New("not written yet")
}
