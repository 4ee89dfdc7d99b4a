package joints

import (
	"seamtally/sheets/book"
	"seamtally/sheets/part/workbook"
)

// Lists are the joint lists of a workbook, and its list of cars.
type Lists struct {
	*book.Book
	All         []*List
	Cars        *CarList
	Changed     ChangedFigures
	Unread      []Unread        // sheets that are neither
	firsts      map[string]bool // lists and texts, and whether these begin with a word of the list
	FilterNames []workbook.DefinedName
	Watch       Observer
	Next        func() error // counts a joint, and says whether the run is to end
	Refill      bool         // numbers typed over calculated cells give way to their formulas
	ReadOnly    bool         // the lists are worked out, and not written into the edited package
}
