package whatif

import (
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// How many of a car are ordered, and its bid, may stand on the shop's own list of cars.
// The table on Assumptions then only shows what stands there, so it is typed there.

// listed is the cell of the shop's list of cars that a cell of the table of cars shows.
func (l *locator) listed(t *model.Scope, car string, q *model.Quantity) (book.Typed, bool) {
	if l.Cars == nil || t.Name != "cars" {
		return book.Typed{}, false
	}
	e := l.Cars.Entry(car)
	if e == nil {
		return book.Typed{}, false
	}
	at, known := map[string]*joints.CarCell{"ordered": e.Ordered, "bid": e.Bid}[q.Key]
	if !known || at == nil {
		return book.Typed{}, false
	}
	r, err := grid.ParseRange(strings.ReplaceAll(at.Ref, "$", ""))
	return book.Typed{Sheet: l.Cars.Title, Row: r.Row1, Col: r.Col1}, err == nil
}

// showsList reports whether a formula on Assumptions only shows a cell of the shop's list
// of cars: a run reads the list itself, and not that formula.
func (l *locator) showsList(formula string) bool {
	sheet, r, ok := page.SplitRef(formula)
	return ok && l.Cars != nil && strings.EqualFold(sheet, l.Cars.Title) && r.Row1 == r.Row2 && r.Col1 == r.Col2
}
