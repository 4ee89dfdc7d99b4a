package joints

import (
	"fmt"

	"seamtally/sheets/book"
	"seamtally/sheets/headings"
	"seamtally/sheets/part/workbook"
)

// Lists are the joint lists of a workbook, and its list of cars.
type Lists struct {
	*book.Book
	All         []*List
	Cars        *CarList
	Changed     ChangedFigures
	Unread      []Unread               // sheets that are neither
	firsts      map[string]bool        // lists and texts, and whether these begin with a word of the list
	FilterNames []workbook.DefinedName // of filters and of print, as they are to be
	NamesGone   []workbook.DefinedName
	Watch       Observer
	Next        func() error // counts a joint, and says whether the run is to end
	Refill      bool         // numbers typed over calculated cells give way to their formulas
	ReadOnly    bool         // nothing is written into the edited package
	Unwritten   bool         // the lists at least are not: they are worked out alone
}

// Unread is a sheet that is neither a joint list nor the list of cars.
type Unread struct {
	Sheet workbook.Sheet
	Near  headings.Near
}

// NearestList says which sheet comes nearest to a joint list, and what it lacks, as
// the end of a sentence.
func (b *Lists) NearestList() string {
	var best *Unread
	for i := range b.Unread {
		if u := &b.Unread[i]; u.Near.Listed() > 0 && (best == nil || u.Near.Listed() > best.Near.Listed()) {
			best = u
		}
	}
	if best == nil {
		return ""
	}
	return fmt.Sprintf(" (nearest comes the sheet %s: %s)", best.Sheet.Name, best.Near.Words())
}
