package sheets

import (
	"seamtally/compute"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// amountAt is an amount in a cell: a formula and its value, or a value alone.
type amountAt struct {
	formula string
	value   float64
}

// orderAmount is a figure of the order on the Summary.
func (f *bidPlan) orderAmount(key string) amountAt {
	q := f.model.OrderOf.Quantity(key)
	return amountAt{f.s.orderCell(key), q.Num(f.values.Order)}
}

// single is the value of a single assumption.
func (f *bidPlan) single(key string) float64 {
	return f.model.Singles.Quantity(key).Num(f.values.Singles)
}

// orderCell is the cell of a figure of the order, for formulas on other sheets.
func (s *summaryPlan) orderCell(key string) string {
	return page.RangeRef(s.p.Title, oneCell(s.order[key], sumFirst))
}

// cellAt is a cell of the Summary for formulas on other sheets: the figure of
// row i of its scope, counted from 0.
func (s *summaryPlan) cellAt(q *compute.Quantity, i int) string {
	ref, ok := s.cellOf(q, i)
	if !ok {
		return ""
	}
	at, err := part.ParseRange(ref)
	if err != nil {
		return ""
	}
	return page.RangeRef(s.p.Title, at)
}

func oneCell(row, col int) part.Range { return part.Range{Row1: row, Col1: col, Row2: row, Col2: col} }
