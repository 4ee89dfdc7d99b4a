package assumptions

import (
	"fmt"
	"slices"
	"time"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Setting is what a run is asked to write into the shop's cells beside a single
// assumption that is a number.
type Setting struct {
	Key              string
	Value, Low, High float64 // in the unit of the book
	Basis            string
	Reliability      string // one of the words of that column
	Since            time.Time
}

// Settings are those of a run, and what the log says of where they come from.
type Settings struct {
	Of  []Setting
	Why string
}

// TypeIn takes settings as if the shop had typed them before the run.
func (b *Sheet) TypeIn(s *Settings) error {
	at, err := b.locate()
	if err != nil {
		return err
	}
	b.placeReliability(at)
	for _, x := range s.Of {
		q, row := b.Model.Singles.Quantity(x.Key), at.Key[x.Key]
		switch {
		case q == nil || q.IsText() || q.Role != model.Assumption:
			return fmt.Errorf("%s is no number among the assumptions", x.Key)
		case row == 0:
			return fmt.Errorf("%s!A: the row of %q is not on the sheet; price the workbook first, which puts it there", b.Own.Assumptions, x.Key)
		}
		for _, amount := range []float64{x.Value, x.Low, x.High} {
			if why := q.Fault(amount); why != "" {
				return fmt.Errorf("%s!%s: %v cannot be written for %s; it %s", b.Own.Assumptions, grid.Ref(row, book.AssumeValue), amount, x.Key, why)
			}
		}
		b.Values.Singles.Num[q.Slot] = x.Value
		for col, c := range x.cells(at) {
			if b.Own.Cells[row] == nil {
				b.Own.Cells[row] = map[int]*worksheet.Cell{}
			}
			b.Own.Cells[row][col] = &worksheet.Cell{Row: row, Col: col, Kind: c.Kind, Num: c.Num, Text: c.Text}
		}
		if unit := b.Own.Cells[row][book.AssumeUnit]; unit != nil && book.CellText(*unit) != q.Unit.String() {
			return fmt.Errorf("%s!%s: %s is set in %s, and what is to be written is in %s; choose that unit there", b.Own.Assumptions, grid.Ref(row, book.AssumeUnit), x.Key, book.CellText(*unit), q.Unit)
		}
	}
	b.settings = s
	return nil
}

// cells are what a setting puts into a row, by column.
func (x Setting) cells(at *Places) map[int]page.Cell {
	out := map[int]page.Cell{
		book.AssumeValue: {Kind: worksheet.Number, Num: x.Value},
		book.AssumeLow:   {Kind: worksheet.Number, Num: x.Low},
		book.AssumeHigh:  {Kind: worksheet.Number, Num: x.High},
		book.AssumeBasis: {Kind: worksheet.Text, Text: x.Basis},
	}
	if at.reliability > 0 {
		out[at.reliability] = page.Cell{Kind: worksheet.Text, Text: x.Reliability}
	}
	if at.since > 0 {
		out[at.since] = page.Cell{Kind: worksheet.Number, Num: model.DayOf(x.Since)}
	}
	return out
}

// putSettings writes them over what the shop has in those cells, and nothing else
// of the shop's.
func (a *Plan) putSettings() {
	if a.settings == nil {
		return
	}
	for _, x := range a.settings.Of {
		cells := a.p.Row(a.At.Key[x.Key]).Cells()
		for col, c := range x.cells(a.At) {
			i := slices.IndexFunc(cells, func(c page.Cell) bool { return c.Col == col && c.Owner == page.Shop })
			if i < 0 {
				continue
			}
			cells[i].Kind, cells[i].Num, cells[i].Text, cells[i].Owner = c.Kind, c.Num, c.Text, page.Ours
		}
	}
}
