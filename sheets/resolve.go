package sheets

import (
	"fmt"
	"slices"

	"seamtally/compute"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// resolver says which cell or name stands for a quantity in a formula.
type resolver func(table, key string) (string, error)

// columnName prints a defined name for a whole column of a table.
func columnName(n *page.Names, t *compute.Scope, key string) string {
	return n.Use(t.Prefix + "_" + key)
}

// lookups resolves what every scope has in common: whole columns of tables, a
// column on the line that the row has found, and single assumptions. own gives
// the cell of a quantity of the scope itself.
func lookups(m *compute.Model, n *page.Names, s *compute.Scope, own func(*compute.Quantity) (string, bool)) resolver {
	return func(table, key string) (string, error) {
		t, err := m.Find(s, table, key)
		if err != nil {
			return "", err
		}
		switch t.Reach {
		case compute.ReachColumn:
			if slices.Contains(m.Tables, t.Scope) {
				return columnName(n, t.Scope, key), nil
			}
		case compute.ReachFound:
			if no, ok := own(t.By); ok {
				return "INDEX(" + columnName(n, t.Scope, key) + "," + no + ")", nil
			}
		case compute.ReachOnce:
			if t.Scope == m.Singles {
				return n.Use(key), nil
			}
		default:
			if cell, ok := own(t.Quantity); ok {
				return cell, nil
			}
		}
		return "", fmt.Errorf("%s has no cell", t.ID())
	}
}

// lineCells resolves the formulas of a joint list.
func lineCells(m *compute.Model, n *page.Names, l *list) resolver {
	base := lookups(m, n, m.Line, func(q *compute.Quantity) (string, bool) {
		return part.ColName(l.ours[q]) + page.RowMark, l.ours[q] > 0
	})
	checks := m.Checks()
	first, last := part.ColName(l.ours[checks[0]]), part.ColName(l.ours[checks[len(checks)-1]])
	return func(table, key string) (string, error) {
		switch {
		case table != "checks"+compute.ColumnMark:
			return base(table, key)
		case key == "flags":
			return first + page.RowMark + ":" + last + page.RowMark, nil
		}
		return fmt.Sprintf("$%s$%d:$%s$%d", first, l.headRow, last, l.headRow), nil
	}
}

// holder makes values keep a number in the place of a planned cell's.
type holder func(v *compute.Values, x float64)

// showing says which figure the cell shows.
func showing(c page.Cell, q *compute.Quantity, row int) page.Cell {
	c.Means = holder(func(v *compute.Values, x float64) { v.Hold(compute.Place{Figure: q, Row: row}, x) })
	return c
}
