package joints

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/functions"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// LineCells resolves the formulas of a joint list.
func LineCells(m *model.Model, n *page.Names, l *List) book.Resolver {
	base := book.Lookups(m, n, m.Line, func(q *model.Quantity) (string, bool) {
		return grid.ColName(l.Ours[q]) + page.RowMark, l.Ours[q] > 0
	})
	checks := m.Checks()
	first, last := grid.ColName(l.Ours[checks[0]]), grid.ColName(l.Ours[checks[len(checks)-1]])
	return func(table, key string) (string, error) {
		switch {
		case table != "checks"+model.ColumnMark:
			return base(table, key)
		case key == "flags":
			return first + page.RowMark + ":" + last + page.RowMark, nil
		case key == functions.RefusingFlags:
			return first + page.RowMark + ":" + grid.ColName(l.Ours[checks[model.Refusals(checks)-1]]) + page.RowMark, nil
		case key == m.Roles.Fine.Key:
			return last + page.RowMark, nil
		case key == functions.BesideChecks:
			return l.besideChecks(m), nil
		}
		return fmt.Sprintf("$%s$%d:$%s$%d", first, l.HeadRow, last, l.HeadRow), nil
	}
}

// besideChecks are the calculated cells of a row that its checks do not work out.
func (l *List) besideChecks(m *model.Model) string {
	var cols []int
	for q, col := range l.Ours {
		if q.Role != model.Check && q != m.Roles.Finding && q != m.Roles.Words {
			cols = append(cols, col)
		}
	}
	var out []string
	for _, run := range runs(cols) {
		out = append(out, grid.ColName(run[0])+page.RowMark+":"+grid.ColName(run[1])+page.RowMark)
	}
	return strings.Join(out, ",")
}

// runs are the first and last of columns that stand side by side.
func runs(cols []int) (out [][2]int) {
	slices.Sort(cols)
	for i := 0; i < len(cols); {
		n := i + 1
		for n < len(cols) && cols[n] == cols[n-1]+1 {
			n++
		}
		out = append(out, [2]int{cols[i], cols[n-1]})
		i = n
	}
	return out
}
