package joints

import (
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// CarList is a list of the cars ordered that the shop keeps itself.
type CarList struct {
	Title   string
	headRow int
	Entries []CarEntry
}

type CarEntry struct {
	Name         string
	row          int
	Ordered, Bid *CarCell
}

type CarCell struct {
	Ref string // absolute, on its sheet: $B$7
	Num float64
}

// findCars looks for the cars ordered: a heading row with the car and how many
// are ordered of it.
func (b *Lists) findCars(rows []headingRow, s workbook.Sheet) error {
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
		b.Cars = &CarList{Title: s.Name, headRow: r.num}
		bid, hasBid := cols["bid"]
		_, err := b.ReadPart(s.PartName, func(r *worksheet.Row) error {
			if r.Num <= b.Cars.headRow {
				return nil
			}
			e := CarEntry{row: r.Num}
			for _, c := range r.Cells {
				switch {
				case c.Col == car.Col:
					e.Name = book.CellText(c)
				case c.Col == ordered.Col && c.Kind == worksheet.Number:
					e.Ordered = &CarCell{page.Absolute(r.Num, c.Col), c.Num}
				case hasBid && c.Col == bid.Col && c.Kind == worksheet.Number:
					e.Bid = &CarCell{page.Absolute(r.Num, c.Col), c.Num}
				}
			}
			if e.Name != "" && e.Ordered != nil {
				b.Cars.Entries = append(b.Cars.Entries, e)
			}
			return nil
		})
		return err
	}
	return nil
}

// Entry finds a car of the shop's own list.
func (c *CarList) Entry(name string) *CarEntry {
	if c == nil {
		return nil
	}
	for i := range c.Entries {
		if strings.EqualFold(c.Entries[i].Name, name) {
			return &c.Entries[i]
		}
	}
	return nil
}
