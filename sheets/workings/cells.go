package workings

import (
	"fmt"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// TallyColumn is a column of the sums by list on Workings.
func (s *Sheet) TallyColumn(of *model.Scope, q *model.Quantity) (string, error) {
	c, err := s.tallyOf(of.Name).column(q)
	return grid.QuoteSheet(s.P.Title) + "!" + c, err
}

// OrderCell is the cell of a figure of the order, for formulas on other sheets.
func (s *Sheet) OrderCell(key string) string {
	return page.CellRef(s.P.Title, s.OrderRows[key], book.SumFirst)
}

// CellAt is a cell of Workings for formulas on other sheets: the figure of
// row i of its scope, counted from 0.
func (s *Sheet) CellAt(q *model.Quantity, i int) string {
	ref, ok := s.RowCell(q, i)
	switch {
	case !ok && s.found:
		return "NA()" // a figure that an earlier version's Workings does not have
	case !ok:
		return ""
	}
	at, err := grid.ParseRange(ref)
	if err != nil {
		return ""
	}
	return page.RangeRef(s.P.Title, at)
}

// NameAt is what a row of a scope is called, read from Workings.
func (s *Sheet) NameAt(sc *model.Scope, i int) page.Cell {
	bl := s.Home(sc)
	no := sc.Quantity(sc.By).Num(s.Values.Rows(sc).Frames[i])
	return page.Text(book.SumName, look.CalcText, s.RowName(bl, i, no).Text, page.Ours).
		Live(page.CellRef(s.P.Title, bl.at.First+i, book.SumName) + `&""`)
}

// UsedColumn is a figure of the rows in use of a table of Workings.
func (s *Sheet) UsedColumn(q *model.Quantity) (string, error) {
	sheet, at, ok := page.SplitRef(s.CellAt(q, 0))
	if !ok {
		return "", fmt.Errorf("%s has no column on %s", q.Where(), s.P.Title)
	}
	at.Row2 = at.Row1 + max(len(s.Values.Rows(q.Scope).Frames), 1) - 1
	return page.RangeRef(sheet, at), nil
}

// VerdictCell is where it says whether the order is complete, and what it says.
func (s *Sheet) VerdictCell() (ref, text string) {
	return page.CellRef(s.P.Title, 3, book.SumName), s.Model.Roles.Verdict.Text(s.Values.Once(s.Model.Ready))
}

// ChartOf is a chart over a block of figures of the order.
func (s *Sheet) ChartOf(key string) (look.Chart, error) {
	for _, sb := range s.Singles {
		if sb.Key == key && sb.chart != "" {
			return s.chart(sb), nil
		}
	}
	return look.Chart{}, fmt.Errorf("no block %q has a chart", key)
}

// Looks is how many checks say LOOK: the count, live, and what it comes to.
func (s *Sheet) Looks() (formula string, n int) {
	for _, q := range s.Values.Looks() {
		if s.CheckRow(q) > 0 {
			n++
		}
	}
	sheet := grid.QuoteSheet(s.P.Title) + "!"
	return fmt.Sprintf(`COUNTIF(%s,"%s")`, sheet+s.verdicts(), model.WordLook), n
}
