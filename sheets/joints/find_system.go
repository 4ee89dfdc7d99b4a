package joints

import (
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/part/worksheet"
)

// largestInches is the largest OD that is taken for inches where no heading
// names a unit: no tube of this trade is wider, and none as thin in millimetres.
const largestInches = 12

// sizes are the diameters of the first rows, for a book whose headings name no unit.
type sizes struct {
	inCells        bool // one names millimetres
	sampled, large int  // how many, and those too large for inches
}

// gatherSizes looks at the diameters of the first rows.
func (l *List) gatherSizes(rows []worksheet.Row) {
	for _, r := range rows {
		for _, c := range r.Cells {
			if r.Num < l.DataRow || c.Col != l.Shop["od"].Col {
				continue
			}
			switch {
			case c.Kind == worksheet.Number:
				l.sizes.sampled++
				if c.Num > largestInches {
					l.sizes.large++
				}
			case c.Kind == worksheet.Text && strings.ContainsAny(c.Text, "0123456789"):
				l.sizes.sampled++
				if strings.HasSuffix(strings.TrimSpace(strings.ToLower(c.Text)), "mm") {
					l.sizes.large, l.sizes.inCells = l.sizes.large+1, true
				}
			}
		}
	}
}

// bySize decides between the systems by the sizes alone, and says so.
func (b *Lists) bySize() model.System {
	sampled, large := 0, 0
	for _, l := range b.All {
		sampled, large = sampled+l.sizes.sampled, large+l.sizes.large
	}
	if large*2 <= sampled {
		return model.US
	}
	l := b.All[0]
	if l.sizes.inCells {
		return model.Metric // the cells say so
	}
	b.Note(book.LevelWarning, "units by size", l.Ref(l.HeadRow, l.Shop["od"].Col), "no heading names a unit of length; the sizes are taken for mm", `head the columns with their unit, as in "OD (mm)"`)
	return model.Metric
}

// System decides between the two systems of units, for a workbook that has no
// Assumptions yet: by the units that headings of lengths name, else by size.
func (b *Lists) System() model.System {
	metric, us := 0, 0
	for _, l := range b.All {
		for _, c := range l.Shop {
			if !c.HasUnit {
				continue
			}
			switch c.Unit.String() {
			case "mm", "cm", "m":
				metric++
			case "in", "ft":
				us++
			}
		}
	}
	switch {
	case metric > us:
		return model.Metric
	case us == 0:
		return b.bySize()
	}
	return model.US
}
