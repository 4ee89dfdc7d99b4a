package sheets

import (
	"seamtally/compute"
	"seamtally/sheets/part"
)

// jointLists are the joint lists of a workbook, and its list of cars.
type jointLists struct {
	*book
	lists       []*list
	cars        *carList
	changed     changedFigures
	beside      int // joint lists beside another, which are not read
	filterNames []part.DefinedName
	watch       observer
	next        func() error // counts a joint, and says whether the run is to end
	refill      bool         // numbers typed over calculated cells give way to their formulas
	readOnly    bool         // the lists are worked out, and not written into the edited package
}

// assumptions are what a workbook has on Assumptions.
type assumptions struct {
	*jointLists
	loaded  map[*compute.Scope]int // lines of each table that were read from the sheet
	lenient bool                   // faulty assumptions are noted, and as far as can be worked with
	stamp   stamp                  // of the lines that are added to the log
	now     []stateLine            // what this run's figures come from
	logged  []string               // what is other than the log's last line recorded
}

// stamp says when a run was, who had it done, and by which version of the program.
type stamp struct{ date, by, version string }
