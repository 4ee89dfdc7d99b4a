package sheets

import (
	"seamtally/compute"
	"seamtally/sheets/part"
)

// takenRow is a priced joint row. Of its line, what the row itself says is
// given (a typed-over figure too); the rest was worked out.
type takenRow struct {
	list *list
	row  int
	mark string // of the joint; the sheet and row where it has none
	car  string
	line *compute.Line
}

// cell is the cell of a quantity on the row, for formulas on other sheets.
func (r *takenRow) cell(q *compute.Quantity) string {
	return part.QuoteSheet(r.list.title) + "!" + part.Ref(r.row, r.list.ours[q])
}

// keepRow keeps a priced row, to be worked out again.
func (r *pricing) keepRow(l *list, row int, mark string, line *compute.Line) {
	car := r.model.Line.Quantity("car").Text(&line.Frame)
	r.rows = append(r.rows, takenRow{list: l, row: row, mark: mark, car: car, line: line.Clone()})
}

// rework works the order out anew with other values, which it fills in. Rows
// that cannot be worked out with them are named.
func (r *pricing) rework(v *compute.Values) (refused []*takenRow, err error) {
	return r.reworkWith(v, everyRow)
}

// everyRow leaves every line as it is, and none out.
func everyRow(*takenRow, *compute.Line) bool { return true }

// reworkWith does the same with lines that change may change, or, by false,
// leave out.
func (r *pricing) reworkWith(v *compute.Values, change func(*takenRow, *compute.Line) bool) (refused []*takenRow, err error) {
	engine, err := compute.NewEngine(v)
	if err != nil {
		return nil, err
	}
	for i := range r.rows {
		line := r.rows[i].line.Clone()
		if !change(&r.rows[i], line) {
			continue
		}
		out, err := engine.Work(line, r.rows[i].list.no)
		if err != nil {
			return nil, err
		}
		if out.Refused {
			refused = append(refused, &r.rows[i])
		}
	}
	_, err = engine.Close()
	return refused, err
}
