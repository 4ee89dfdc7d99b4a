package sheets

import (
	"seamtally/sheets/book"
	"seamtally/sheets/part"
)

// jointLists are the joint lists of a workbook, and its list of cars.
type jointLists struct {
	*book.Book
	lists       []*list
	cars        *carList
	changed     changedFigures
	beside      int // joint lists beside another, which are not read
	filterNames []part.DefinedName
	watch       rowObserver
	next        func() error // counts a joint, and says whether the run is to end
	refill      bool         // numbers typed over calculated cells give way to their formulas
	readOnly    bool         // the lists are worked out, and not written into the edited package
}
