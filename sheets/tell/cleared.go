package tell

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"seamtally/sheets"
)

// Cleared tells what was taken out of a workbook.
func (v Voice) Cleared(r *sheets.ClearReport) error {
	found := fmt.Sprintf("%s: %s and %s taken out", plain(filepath.Base(r.Input)),
		named(r.Sheets, "sheet"), counted(r.Columns, "column"))
	return say(v.Err, found, v.written(r.Input, r.Output, false, r.Stands))
}

// named is counted with the names behind it: "2 sheets (Summary, Assumptions)".
func named(names []string, thing string) string {
	if len(names) == 0 {
		return counted(0, thing)
	}
	return plain(fmt.Sprintf("%s (%s)", counted(len(names), thing), strings.Join(slices.Sorted(slices.Values(names)), ", ")))
}
