package assumptions

import (
	"seamtally/compute/model"
	"seamtally/sheets/account"
)

// Sheet are what a workbook has on Assumptions.
type Sheet struct {
	*account.Ledger
	Loaded   map[*model.Scope]int         // lines of each table that were read from the sheet
	Lenient  bool                         // faulty assumptions are noted, and as far as can be worked with
	Stamp    Stamp                        // of the lines that are added to the log
	Now      []StateLine                  // what this run's figures come from
	Sealed   []Sealed                     // what the run leaves on our sheets, see [StateSeal]
	sealed   map[string]bool              // the IDs of these
	seals    map[string]int               // how many there are of each line of the record
	before   map[string]map[string]string // of lines with more than fit: what the last run sealed
	Logged   []string                     // what is other than the log's last line recorded
	From     *Earlier                     // whose rates it has taken, nil for nobody's
	settings *Settings                    // what the run is asked to write, nil for nothing
	hands    bool                         // it is that of an earlier workbook: what its version did not know may be missing
}

// Stamp says when a run was, who had it done, and by which version of the program.
type Stamp struct{ Date, By, Version string }
