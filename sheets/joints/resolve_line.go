package joints

import (
	"fmt"

	"seamtally/compute"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// LineCells resolves the formulas of a joint list.
func LineCells(m *compute.Model, n *page.Names, l *List) book.Resolver {
	base := book.Lookups(m, n, m.Line, func(q *compute.Quantity) (string, bool) {
		return grid.ColName(l.Ours[q]) + page.RowMark, l.Ours[q] > 0
	})
	checks := m.Checks()
	first, last := grid.ColName(l.Ours[checks[0]]), grid.ColName(l.Ours[checks[len(checks)-1]])
	return func(table, key string) (string, error) {
		switch {
		case table != "checks"+compute.ColumnMark:
			return base(table, key)
		case key == "flags":
			return first + page.RowMark + ":" + last + page.RowMark, nil
		}
		return fmt.Sprintf("$%s$%d:$%s$%d", first, l.HeadRow, last, l.HeadRow), nil
	}
}
