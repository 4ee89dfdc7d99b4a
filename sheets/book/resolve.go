package book

import (
	"fmt"
	"slices"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/page"
)

// Resolver says which cell or name stands for a quantity in a formula.
type Resolver func(table, key string) (string, error)

// ColumnName prints a defined name for a whole column of a table.
func ColumnName(n *page.Names, t *model.Scope, key string) string {
	return n.Use(t.Prefix + "_" + key)
}

// Lookups resolves what every scope has in common: whole columns of tables, a
// column on the line that the row has found, and single assumptions. own gives
// the cell of a quantity of the scope itself.
func Lookups(m *model.Model, n *page.Names, s *model.Scope, own func(*model.Quantity) (string, bool)) Resolver {
	return func(table, key string) (string, error) {
		t, err := m.Find(s, table, key)
		if err != nil {
			return "", err
		}
		switch t.Reach {
		case model.ReachColumn:
			if slices.Contains(m.Tables, t.Scope) {
				return ColumnName(n, t.Scope, key), nil
			}
		case model.ReachFound:
			if no, ok := own(t.By); ok {
				return "INDEX(" + ColumnName(n, t.Scope, key) + "," + no + ")", nil
			}
		case model.ReachOnce:
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

// Holder makes values keep a number in the place of a planned cell's.
type Holder func(v *compute.Values, x float64)

// Showing says which figure the cell shows.
func Showing(c page.Cell, q *model.Quantity, row int) page.Cell {
	c.Means = Holder(func(v *compute.Values, x float64) { v.Hold(compute.Place{Figure: q, Row: row}, x) })
	return c
}
