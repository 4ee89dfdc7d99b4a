package assumptions

import (
	"fmt"

	"seamtally/compute/model"
	"seamtally/sheets/logbook"
)

// Sheet are what a workbook has on Assumptions.
type Sheet struct {
	logbook.Log
	Loaded   map[*model.Scope]int // lines of each table that were read from the sheet
	Lenient  bool                 // what cannot be read is noted, and stands as the last run recorded it
	Unusable []Unusable           // such cells
	From     *Earlier             // whose rates it has taken, nil for nobody's
	settings *Settings            // what the run is asked to write, nil for nothing
	hands    bool                 // it is that of an earlier workbook: what its version did not know may be missing
}

// Record compares this run with what the log's last line recorded, and notes where
// else its values come from.
func (r *Sheet) Record() {
	var also []string
	if r.From != nil {
		also = append(also, fmt.Sprintf("taken from %s, sha256 %s: %s", r.From.File, r.From.Sum, r.From.Took))
	}
	if r.settings != nil {
		also = append(also, r.settings.Why)
	}
	r.Log.Record(also...)
}
