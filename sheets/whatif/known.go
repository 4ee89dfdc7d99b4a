package whatif

import (
	"context"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
)

// Known is what of a workbook can be named.
type Known struct {
	Sheets, Marks, Cars     []string
	Assumptions, Inputs     []string // of --set
	OfJoint, OfCar, OfOrder []string // figures
}

// Of is what can be named of any workbook, with the model as shipped.
func Of(m *model.Model) *Known {
	k := &Known{}
	keys := func(s *model.Scope, want func(*model.Quantity) bool) (out []string) {
		for _, q := range s.Quantities {
			if want(q) {
				out = append(out, q.Key)
			}
		}
		return out
	}
	figure := func(q *model.Quantity) bool { return !q.Inner() }
	k.Assumptions = keys(m.Singles, func(q *model.Quantity) bool { return q.Role == model.Assumption })
	k.Inputs = keys(m.Line, func(q *model.Quantity) bool { return q.Role == model.Input })
	k.OfJoint, k.OfOrder = keys(m.Line, figure), keys(m.OrderOf, figure)
	if cars := m.ClosingScope("cars"); cars != nil {
		k.OfCar = keys(cars, figure)
	}
	return k
}

// Read is what can be named of a workbook, which is read as far as it takes.
func Read(ctx context.Context, path, password string) (*Known, error) {
	run, err := sheets.Understood(ctx, path, password)
	if err != nil {
		return nil, err
	}
	defer run.Close()
	l := &locator{Run: run, marks: map[string][]joint{}}
	if err := l.readMarks(); err != nil {
		return nil, err
	}
	k := Of(run.Model)
	k.Marks = l.names
	for _, s := range run.Workbook.Sheets {
		if !run.Own.IsOurs(s.Name) {
			k.Sheets = append(k.Sheets, s.Name)
		}
	}
	seen := map[string]bool{}
	for _, list := range run.All {
		for _, name := range l.carsOf(list.No) {
			if !seen[strings.ToLower(name)] {
				seen[strings.ToLower(name)] = true
				k.Cars = append(k.Cars, name)
			}
		}
	}
	return k, nil
}

// carsOf are the cars of a list: those that its rows name, or what the list is called.
func (l *locator) carsOf(no int) (out []string) {
	list := l.All[no]
	col := list.Shop["car"].Col
	if col == 0 {
		if list.Called != "" {
			return []string{list.Called}
		}
		return []string{list.Title}
	}
	for _, j := range l.rows {
		if j.list == list {
			if name := book.CellText(j.cells[col]); name != "" {
				out = append(out, name)
			}
		}
	}
	return out
}
