package assumptions

import (
	"errors"
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Load reads what the shop has set on Assumptions. Faults are told together;
// a workbook with faulty assumptions is not priced.
func (b *Sheet) Load() error {
	b.Values = compute.Empty(b.Model)
	at, err := b.locate()
	if err != nil {
		return err
	}
	var faults []ownFault
	fault := func(row, col int, format string, args ...any) {
		if b.Lenient {
			b.Note(book.LevelError, book.FindUnreadable, b.passOver(at, row, col), fmt.Sprintf(format, args...), "")
			return
		}
		faults = append(faults, ownFault{b.Own.Assumptions + "!" + grid.Ref(row, col), fmt.Sprintf(format, args...)})
	}
	for _, q := range b.Model.Singles.Quantities {
		if row := at.Key[q.Key]; q.Role == model.Assumption && row > 0 {
			b.loadSingle(q, row, fault)
			b.keepBasis(q, b.Own.Cell(row, book.AssumeBasis))
		}
	}
	for _, t := range b.Model.Tables {
		b.loadTable(t, at.Table[t], fault)
	}
	for _, q := range b.Model.Singles.Quantities {
		if row := at.Key[q.Key]; q.IsText() && row > 0 && !model.Among(b.ChoicesOf(q), q.Text(b.Values.Singles)) {
			fault(row, book.AssumeValue, "%s is %q; choose one of %s", q.Key, q.Text(b.Values.Singles), strings.Join(b.ChoicesOf(q), "; "))
		}
	}
	for _, u := range b.Unusable {
		b.Restore(u.Quantity, u.Line)
	}
	if len(faults) > 0 {
		return unreadable(faults)
	}
	return nil
}

// keepBasis keeps what the shop has written as the basis of a single assumption.
func (b *Sheet) keepBasis(q *model.Quantity, c *worksheet.Cell) {
	if b.Bases == nil {
		b.Bases = map[*model.Quantity]string{}
	}
	b.Bases[q] = book.CellText(*c)
}

// ownFault is what is wrong with a cell of Assumptions, and what to do.
type ownFault struct{ cell, what string }

// mostFaults bounds how many different faults one message tells.
const mostFaults = 5

// unreadable are faults as one error: equal ones once, with how many cells have
// them.
func unreadable(faults []ownFault) error {
	var what []string
	cells := map[string][]string{}
	for _, f := range faults {
		if cells[f.what] == nil {
			what = append(what, f.what)
		}
		cells[f.what] = append(cells[f.what], f.cell)
	}
	var told []string
	for _, w := range what[:min(len(what), mostFaults)] {
		where := cells[w][0]
		if n := len(cells[w]) - 1; n > 0 {
			where += fmt.Sprintf(" and %d more", n)
		}
		told = append(told, where+": "+w)
	}
	if more := len(what) - len(told); more > 0 {
		told = append(told, fmt.Sprintf("%d more faults; seamtally audit tells each", more))
	}
	return errors.New(strings.Join(told, "; also "))
}

// UnitOf is the unit in which an assumption stands on its row. An error says what is
// wrong with that cell, and what to do.
func (b *Sheet) UnitOf(q *model.Quantity, row int) (units.Unit, error) {
	s := book.CellText(*b.Own.Cell(row, book.AssumeUnit))
	if s == "" || s == q.Unit.String() {
		return q.Unit, nil
	}
	switch u, err := units.Parse(s); {
	case err == nil && u.OtherDays(q.Unit):
		return u, fmt.Errorf("%q: a day of 24 hours is none of a shop's; choose a unit from the cell's list", s)
	case err != nil || !u.SameDim(q.Unit):
		return u, fmt.Errorf("%q is no unit for %s; choose one from the cell's list", s, q.Key)
	default:
		return u, nil
	}
}

func (b *Sheet) loadSingle(q *model.Quantity, row int, fault func(int, int, string, ...any)) {
	c := b.Own.Cell(row, book.AssumeValue)
	f := b.Values.Singles
	if q.IsText() {
		if s := book.CellText(*c); s != "" {
			f.Text[q.TextSlot] = s
		} else {
			fault(row, book.AssumeValue, "%s is blank; type it", q.Key)
		}
		return
	}
	switch {
	case c.Kind == worksheet.Empty && c.HasFormula:
		fault(row, book.AssumeValue, "%s is a formula without a stored value; open the workbook in your spreadsheet program and save it once", q.Key)
		return
	case c.Kind != worksheet.Number:
		fault(row, book.AssumeValue, "%s is no number; type one", q.Key)
		r, err := b.Measures.Quantity(c.Text, entry.Want{Key: q.Key, Dim: q.Unit, Heading: q.Unit})
		if !b.Lenient || c.Kind != worksheet.Text || err != nil {
			return
		}
		c = &worksheet.Cell{Kind: worksheet.Number, Num: r.Value}
	}
	if stale := book.Stale(c, nil); stale != "" {
		fault(row, book.AssumeValue, "%s is %s; open the workbook in your spreadsheet program and save it once", q.Key, stale)
		return
	}
	if why := q.Fault(c.Num); why != "" {
		fault(row, book.AssumeValue, "%s is %s; it %s", q.Key, formula.GeneralText(c.Num), why)
		return
	}
	unit, err := b.UnitOf(q, row)
	if err != nil {
		fault(row, book.AssumeUnit, "%v", err)
		return
	}
	conv, err := units.Conversion(unit, q.Unit)
	if err != nil {
		fault(row, book.AssumeUnit, "%v", err)
		return
	}
	f.Num[q.Slot] = c.Num
	if !conv.IsOne() {
		f.Num[q.Slot] = c.Num * conv.Apply(1)
	}
}

// loadTable reads the lines of a table, up to the last that has anything in it.
func (b *Sheet) loadTable(t *model.Scope, at TableAt, fault func(int, int, string, ...any)) {
	used := 0
	for i := range at.rows {
		for _, q := range t.Quantities {
			c := b.Own.Cell(at.First+i, at.Cols[q])
			if q.Role == model.Column && at.Cols[q] > 0 && (c.Kind != worksheet.Empty || c.HasFormula) {
				used = i + 1
			}
		}
	}
	for i := range used {
		f := b.Values.AddRow(t)
		for _, q := range t.Quantities {
			if q.Role != model.Column || at.Cols[q] == 0 {
				continue
			}
			row, col := at.First+i, at.Cols[q]
			c := b.Own.Cell(row, col)
			switch {
			case q.IsText():
				f.Text[q.TextSlot] = book.CellText(*c)
			case book.Stale(c, nil) != "":
				fault(row, col, "%s is %s; open the workbook in your spreadsheet program and save it once", book.Heading(q), book.Stale(c, nil))
			case c.Kind == worksheet.Number && c.Num < 0:
				fault(row, col, "%s is below 0; type 0 or more", book.Heading(q))
			case c.Kind == worksheet.Number:
				f.Num[q.Slot] = c.Num
			case c.Kind == worksheet.Empty && c.HasFormula && b.carsCell(c) != nil:
				f.Num[q.Slot] = b.carsCell(c).Num // some programs save formulas without what they come to
			case c.Kind == worksheet.Empty && c.HasFormula:
				fault(row, col, "a formula without a stored value; open the workbook in your spreadsheet program and save it once")
			case q.Key == "cup_bore" && strings.HasPrefix(c.Text, "#"):
				r, err := b.Measures.Quantity(c.Text, entry.Want{Key: q.Heading, Dim: q.Unit, Heading: q.Unit, Cup: true})
				if err != nil {
					fault(row, col, "%s", err)
				}
				f.Num[q.Slot] = r.Value
			case c.Kind == worksheet.Text && strings.TrimSpace(c.Text) != "":
				fault(row, col, "%s", b.textForNumber(q, c.Text))
			case c.Kind == worksheet.Error:
				fault(row, col, "shows %s; correct its formula", c.Text)
			}
		}
	}
	b.Loaded[t] = used
	b.checkNames(t, at, fault)
	if t.Name == "cars" {
		b.checkCars(t, at, fault)
	}
}

// checkNames refuses a name that a table has twice: only the first would ever
// be found.
func (b *Sheet) checkNames(t *model.Scope, at TableAt, fault func(int, int, string, ...any)) {
	q := t.Quantity("name")
	if q == nil {
		return
	}
	first := map[string]int{}
	for i, f := range b.Values.Rows(t).Frames {
		name := strings.ToLower(q.Text(f))
		if name == "" {
			continue
		}
		if row, twice := first[name]; twice {
			fault(at.First+i, at.Cols[q], "%q is in the table %q twice, on row %d too; give each line a name of its own", q.Text(f), t.Title, row)
			continue
		}
		first[name] = at.First + i
	}
}

// checkCars refuses a number of cars that cannot be ordered.
func (b *Sheet) checkCars(t *model.Scope, at TableAt, fault func(int, int, string, ...any)) {
	name, ordered := t.Quantity("name"), t.Quantity("ordered")
	for i, f := range b.Values.Rows(t).Frames {
		if c := b.Own.Cell(at.First+i, at.Cols[ordered]); c.Kind == worksheet.Empty && c.HasFormula && b.carsCell(c) == nil {
			continue // told already
		}
		if n := ordered.Num(f); name.Text(f) != "" && !book.IsCount(n) {
			fault(at.First+i, at.Cols[ordered], "the cars ordered of %q must be a whole number, 1 or more", name.Text(f))
		}
	}
}

// textForNumber says what number a text in a table was meant to be.
func (b *Sheet) textForNumber(q *model.Quantity, s string) string {
	if q.IsDay() {
		return fmt.Sprintf("%q is a text; type it as a date", s)
	}
	r, err := b.Measures.Quantity(s, entry.Want{Key: q.Heading, Dim: q.Unit, Heading: q.Unit, Count: q.UnitOf == "each"})
	if err != nil {
		return err.Error()
	}
	return fmt.Sprintf("%q is a text; type %s", s, formula.GeneralText(r.Value))
}
