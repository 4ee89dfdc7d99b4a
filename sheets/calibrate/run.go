package calibrate

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"

	"seamtally/sheets"
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
		several, err := severalCars(ctx, path, o.Password, some)
		if err != nil {
			return nil, err
		}
		lines, found = append(lines, some...), append(append(found, told...), several...)
	}
	return Of(ctx, lines, found, o)
}

// severalCars tells of cars whose joints have minutes beside them, and of which several
// are ordered: the minutes are taken for those of one, and may be those of all.
func severalCars(ctx context.Context, path, password string, lines []timesheet.Line) (found []book.Finding, err error) {
	first := map[string]timesheet.Line{}
	for _, l := range lines {
		if _, had := first[l.Car]; l.Kind != "" && !had {
			first[l.Car] = l
		}
	}
	if len(first) == 0 {
		return nil, nil
	}
	run, err := sheets.Read(ctx, path, password)
	if err != nil {
		return nil, err
	}
	defer run.Close()
	for _, c := range run.Report.Cars {
		if l, is := first[c.Car]; is && c.Ordered > 1 {
			found = append(found, book.Finding{
				Level: book.LevelWarning, Rule: "several cars", Cell: place(l),
				What: fmt.Sprintf("minutes beside the joints of %s are taken for those of one car, and %g are ordered", l.Car, c.Ordered),
				Fix:  "where they are those of all, log each car on a line of a time sheet",
			})
		}
	}
	return found, nil
}
