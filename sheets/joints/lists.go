package joints

import (
	"seamtally/compute"
	"seamtally/sheets/book"
	"seamtally/sheets/part/workbook"
)

// Lists are the joint lists of a workbook, and its list of cars.
type Lists struct {
	*book.Book
	All         []*List
	Cars        *CarList
	Changed     ChangedFigures
	Unsettled   map[string]int             // what is not settled, by the check that counts it
	Whole       []string                   // sheets of which it is to be settled, as a whole, what they are
	firsts      map[string]bool            // lists and texts, and whether these begin with a word of the list
	unread      []unread                   // sheets that are neither
	behindPrice map[*compute.Quantity]bool // what the price comes from; nil until it is asked for
	doubtful    map[string]bool            // cars of which nobody has said how many are ordered, in small letters
	blanks      []*blanks                  // columns of yes and no
	FilterNames []workbook.DefinedName
	Watch       Observer
	Next        func() error // counts a joint, and says whether the run is to end
	Refill      bool         // numbers typed over calculated cells give way to their formulas
	ReadOnly    bool         // the lists are worked out, and not written into the edited package
}
