package sheets

import (
	"seamtally/compute"
	"seamtally/sheets/joints"
)

// assumptions are what a workbook has on Assumptions.
type assumptions struct {
	*joints.Lists
	loaded  map[*compute.Scope]int // lines of each table that were read from the sheet
	lenient bool                   // faulty assumptions are noted, and as far as can be worked with
	stamp   stamp                  // of the lines that are added to the log
	now     []stateLine            // what this run's figures come from
	logged  []string               // what is other than the log's last line recorded
}

// stamp says when a run was, who had it done, and by which version of the program.
type stamp struct{ date, by, version string }
