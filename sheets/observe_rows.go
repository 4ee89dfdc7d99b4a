package sheets

import (
	"seamtally/compute"
	"seamtally/sheets/part"
)

// rowObserver is shown the rows of joint lists while they are filled, and may have
// them count otherwise than they read.
type rowObserver interface {
	// fills is called before the rows of a list.
	fills(*listEditor)
	// passes reports whether a row is to be passed over.
	passes(l *list, row int) bool
	// reads may change what was read of a row.
	reads(l *list, row int, line *compute.Line)
	// prices is given every priced row; the line is used again after it.
	prices(l *list, row int, mark string, line *compute.Line)
	// row is shown a row of a list, and what is to be written on it.
	row(ed *listEditor, r *part.Row, cells []part.NewCell)
}

// unobservedRows is for those that care for none of it.
type unobservedRows struct{}

func (unobservedRows) fills(*listEditor)                          {}
func (unobservedRows) passes(*list, int) bool                     { return false }
func (unobservedRows) reads(*list, int, *compute.Line)            {}
func (unobservedRows) prices(*list, int, string, *compute.Line)   {}
func (unobservedRows) row(*listEditor, *part.Row, []part.NewCell) {}
