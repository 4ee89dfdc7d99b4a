package sheets

import (
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// carList is a list of the cars ordered that the shop keeps itself.
type carList struct {
	title   string
	headRow int
	entries []carEntry
}

type carEntry struct {
	name         string
	row          int
	ordered, bid *carCell
}

type carCell struct {
	ref string // absolute, on its sheet: $B$7
	num float64
}

// findCars looks for the cars ordered: a heading row with the car and how many
// are ordered of it.
func (b *jointLists) findCars(rows []headingRow, s part.SheetEntry) error {
	for _, r := range rows {
		cols := b.recognise(textsOf(r.cells), nil, "cars", nil)
		car, ok := cols["car"]
		if !ok {
			continue
		}
		ordered, ok := cols["ordered"]
		if !ok {
			continue
		}
		b.cars = &carList{title: s.Name, headRow: r.num}
		bid, hasBid := cols["bid"]
		_, err := b.ReadPart(s.PartName, func(r *part.Row) error {
			if r.Num <= b.cars.headRow {
				return nil
			}
			e := carEntry{row: r.Num}
			for _, c := range r.Cells {
				switch {
				case c.Col == car.col:
					e.name = book.CellText(c)
				case c.Col == ordered.col && c.Kind == part.Number:
					e.ordered = &carCell{page.Absolute(r.Num, c.Col), c.Num}
				case hasBid && c.Col == bid.col && c.Kind == part.Number:
					e.bid = &carCell{page.Absolute(r.Num, c.Col), c.Num}
				}
			}
			if e.name != "" && e.ordered != nil {
				b.cars.entries = append(b.cars.entries, e)
			}
			return nil
		})
		return err
	}
	return nil
}

// entry finds a car of the shop's own list.
func (c *carList) entry(name string) *carEntry {
	if c == nil {
		return nil
	}
	for i := range c.entries {
		if strings.EqualFold(c.entries[i].name, name) {
			return &c.entries[i]
		}
	}
	return nil
}
