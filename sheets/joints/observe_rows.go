package joints

import (
	"seamtally/compute"
	"seamtally/sheets/part/worksheet"
)

// Observer is shown the rows of joint lists while they are filled, and may have
// them count otherwise than they read.
type Observer interface {
	// Fills is called before the rows of a list.
	Fills(*Editor)
	// Passes reports whether a row is to be passed over.
	Passes(l *List, row int) bool
	// Reads may change what was read of a row.
	Reads(l *List, row int, line *compute.Line)
	// Prices is given every priced row, mark as the row has it; the line is used again
	// after it.
	Prices(l *List, row int, mark string, line *compute.Line)
	// Row is shown a row of a list, and what is to be written on it.
	Row(ed *Editor, r *worksheet.Row, cells []worksheet.NewCell)
}

// Unobserved is for those that care for none of it.
type Unobserved struct{}

func (Unobserved) Fills(*Editor)                                    {}
func (Unobserved) Passes(*List, int) bool                           { return false }
func (Unobserved) Reads(*List, int, *compute.Line)                  {}
func (Unobserved) Prices(*List, int, string, *compute.Line)         {}
func (Unobserved) Row(*Editor, *worksheet.Row, []worksheet.NewCell) {}
