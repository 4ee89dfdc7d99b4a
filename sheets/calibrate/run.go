package calibrate

import (
	"context"
	"path/filepath"
	"slices"

	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/timesheet"
)

// Run reads the sheets, fits, and writes what is asked for. Its report beside an error
// is as Of has it.
func Run(ctx context.Context, o Options) (*Report, error) {
	if _, err := target(o); err != nil {
		return nil, err
	}
	var lines []timesheet.Line
	var found []book.Finding
	for i, path := range o.Sheets {
		if slices.ContainsFunc(o.Sheets[:i], func(p string) bool { return disk.SameFile(p, path) }) {
			found = append(found, book.Finding{Level: book.LevelWarning, Rule: "twice", Cell: filepath.Base(path), What: "the file is given twice, and counted once", Fix: "give it once"})
			continue
		}
		some, told, err := timesheet.Read(ctx, path, o.Password)
		if err != nil {
			return nil, err
		}
		lines, found = append(lines, some...), append(found, told...)
	}
	return Of(ctx, lines, found, o)
}
