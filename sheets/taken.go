package sheets

import (
	"context"
	"fmt"

	"seamtally/compute"
)

// taken is an order as a workbook holds it now: what the estimator has set,
// every joint row as it was read, and what comes of them. Nothing is written.
type taken struct {
	*pricing
	// set is what the estimator has set, as it was before the lines were worked
	// out: a row whose tube is not in stock adds a line to Stock when it is.
	set  *compute.Values
	rows []takenRow
}

// takenRow is a priced joint row. Of its line, what the row itself says is
// given (a typed-over figure too); the rest was worked out.
type takenRow struct {
	list *list
	row  int
	mark string // of the joint; the sheet and row where it has none
	car  string
	line *compute.Line
}

// take reads a workbook and works it out, as Price does, and keeps it all. The
// caller closes it.
func take(ctx context.Context, in, password string) (*taken, error) {
	return takeWith(ctx, in, password, func(*taken) {})
}

// takeWith does the same after something was set about the run.
func takeWith(ctx context.Context, in, password string, set func(*taken)) (*taken, error) {
	b, err := openBook(in, password)
	if err != nil {
		return nil, err
	}
	t := &taken{pricing: &pricing{book: b, o: PriceOptions{In: in, Password: password}, ctx: ctx, report: &Report{Input: in}, readOnly: true}}
	t.keep = func(l *list, row int, mark string, line *compute.Line) {
		car := t.model.Line.Quantity("car").Text(&line.Frame)
		t.rows = append(t.rows, takenRow{list: l, row: row, mark: mark, car: car, line: line.Clone()})
	}
	t.ready = func() { t.set = t.values.Clone() }
	set(t)
	edit := b.pkg.Edit()
	defer edit.Close()
	if err := t.all(edit); err != nil {
		b.close()
		return nil, fmt.Errorf("%s: %w", in, err)
	}
	return t, nil
}

// rework works the order out anew with other values, which it fills in. Rows
// that cannot be worked out with them are named.
func (t *taken) rework(v *compute.Values) (refused []*takenRow, err error) {
	return t.reworkWith(v, everyRow)
}

// everyRow leaves every line as it is, and none out.
func everyRow(*takenRow, *compute.Line) bool { return true }

// reworkWith does the same with lines that change may change, or, by false,
// leave out.
func (t *taken) reworkWith(v *compute.Values, change func(*takenRow, *compute.Line) bool) (refused []*takenRow, err error) {
	engine, err := compute.NewEngine(v)
	if err != nil {
		return nil, err
	}
	for i := range t.rows {
		line := t.rows[i].line.Clone()
		if !change(&t.rows[i], line) {
			continue
		}
		out, err := engine.Work(line, t.rows[i].list.no)
		if err != nil {
			return nil, err
		}
		if out.Refused {
			refused = append(refused, &t.rows[i])
		}
	}
	_, err = engine.Close()
	return refused, err
}
