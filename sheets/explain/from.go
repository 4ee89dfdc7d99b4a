package explain

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// from says where the value of a place comes from.
func (w *explainer) from(p place, e *Figure) error {
	switch {
	case p.q.Role == model.Input:
		return w.fromList(p, e)
	case p.q.Role == model.Assumption:
		w.fromAssumption(p, e)
	case p.q.Role == model.Column:
		w.fromTable(p, e)
	case p.q.Scope == w.Model.Line && w.to.row.Line.Given(p.q):
		would, err := w.wouldGive(p)
		if err != nil {
			return err
		}
		e.Formula = p.q.Formula().Spell(formula.SpellOptions{Name: nameInFormula})
		e.From = fmt.Sprintf("typed over in %s; its formula would give %s", e.Cell, would)
	case p.q.Key == "finding":
		n := int(p.q.Num(p.f))
		if checks := w.Model.Checks(); n >= 1 && n <= len(checks) {
			e.From = fmt.Sprintf("check %d of %d: %s", n, len(checks), checks[n-1].Heading)
		}
	case strings.HasSuffix(p.q.Key, "_no"):
		w.fromLine(p, e)
	}
	return nil
}

// fromLine names the line of a table that was found.
func (w *explainer) fromLine(p place, e *Figure) {
	t, no := w.found(p, strings.TrimSuffix(p.q.Key, "_no"))
	if t == nil || no != p.q {
		return
	}
	x := p.q.Num(p.f)
	if rows := w.Values.Rows(t).Frames; x >= 1 && int(x) <= len(rows) {
		q := identity(t)[0]
		at := place{q, rows[int(x)-1], int(x)}
		e.From = fmt.Sprintf("line %d of the table %s: %s (%s)", int(x), t.Title, w.lineOf(at), w.cellOf(at))
	}
}

// fromAssumption says what is typed for a single assumption, and whether that
// is the shipped value.
func (w *explainer) fromAssumption(p place, e *Figure) {
	row := w.at.Key[p.q.Key]
	e.Basis = p.q.Source
	cell := grid.Ref(row, book.AssumeValue)
	typed := ""
	if w.Own.Assumptions != "" {
		e.Basis = book.CellText(*w.Own.Cell(row, book.AssumeBasis))
		unit := book.CellText(*w.Own.Cell(row, book.AssumeUnit))
		if c := w.Own.Cell(row, book.AssumeValue); c.Kind == worksheet.Number && unit != "" && unit != p.q.Unit.String() {
			typed = fmt.Sprintf("%s %s ", formula.GeneralText(c.Num), unit)
		}
	}
	shipped := w.shippedFrame(p.q)
	e.From = fmt.Sprintf("%sin %s!%s, %s", typed, w.Made.Assumptions, cell, w.shippedOr(p, shipped))
}

// shippedFrame holds the shipped value of a single assumption.
func (w *explainer) shippedFrame(q *model.Quantity) *formula.Frame {
	f := q.Scope.NewFrame()
	q.SetShipped(f)
	return f
}

// shippedOr says whether a value is the shipped one.
func (w *explainer) shippedOr(p place, shipped *formula.Frame) string {
	if sameValue(p.q, p.f, shipped) {
		return "as shipped"
	}
	return "changed; shipped is " + w.plain.result(p.q, shipped)
}

func sameValue(q *model.Quantity, a, b *formula.Frame) bool {
	if q.IsText() {
		return strings.EqualFold(q.Text(a), q.Text(b))
	}
	x, y := q.Num(a), q.Num(b)
	return x == y || math.IsNaN(x) && math.IsNaN(y)
}

// fromTable says whether a value of a table's line is the shipped one.
func (w *explainer) fromTable(p place, e *Figure) {
	t := w.tableOf(p.q)
	if b := t.Quantity("basis"); b != nil && b != p.q {
		e.Basis = b.Text(p.f)
	}
	switch shipped := shippedLine(t, p.f); {
	case w.linkedCar(p) != "":
		e.From = "from " + w.linkedCar(p)
	case shipped == nil:
		e.From = "a line that is not among the shipped ones"
	default:
		e.From = w.shippedOr(p, shipped)
	}
	if !p.q.IsText() && formula.IsBlank(p.q.Num(p.f)) {
		e.From += "; blank, which counts as 0"
	}
}

// shippedLine is the line of a table as shipped that has the same name.
func shippedLine(t *model.Scope, f *formula.Frame) *formula.Frame {
	for _, r := range t.Rows {
		shipped := t.NewFrame()
		copy(shipped.Text, r.Text)
		for i, x := range r.Num {
			if !math.IsNaN(x) {
				shipped.Num[i] = x
			}
		}
		same := true
		for _, q := range identity(t) {
			same = same && sameValue(q, f, shipped)
		}
		if same {
			return shipped
		}
	}
	return nil
}

// linkedCar is the cell of the shop's own list of cars that a number follows.
func (w *explainer) linkedCar(p place) string {
	t := w.Model.Table("cars")
	if p.q.Scope != t || w.Cars == nil {
		return ""
	}
	e := w.Cars.Entry(t.Quantity("name").Text(p.f))
	if e == nil {
		return ""
	}
	from := map[string]*joints.CarCell{"ordered": e.Ordered, "bid": e.Bid}[p.q.Key]
	if from == nil || p.no <= w.Loaded[t] && !w.IsLinked(t, p.no-1, p.q) {
		return ""
	}
	return w.Cars.Title + "!" + strings.ReplaceAll(from.Ref, "$", "")
}

// fromList says which cell of the shop's an input was read from, and how.
func (w *explainer) fromList(p place, e *Figure) error {
	r, row := w.readers[p.q], w.to.row
	over, is := w.cellAt(p)
	if is && !over.HasFormula && !joints.BlankText(&over) {
		e.From = fmt.Sprintf("typed over in %s; your column would give %s", e.Cell, w.reading(r, true))
		return nil
	}
	e.From = w.reading(r, false)
	if r.Shop.Col > 0 {
		return nil
	}
	if p.q.Key == "car" {
		e.From = fmt.Sprintf("the name of the sheet; %s has no column for it", row.Sheet)
	}
	return nil
}

// reading says what the shop's cell holds and what it was read as; or, short,
// just that.
func (w *explainer) reading(r *joints.Reader, short bool) string {
	row := w.to.row
	if r.Shop.Col == 0 {
		if short {
			return "the default: " + r.Q.FormulaText()
		}
		return "by default: the list has no column for it"
	}
	cell := w.All[row.List].Ref(row.Row, r.Shop.Col)
	c, ok := w.stored[row.Sheet][grid.Ref(row.Row, r.Shop.Col)]
	if !ok || c.Kind == worksheet.Empty && !c.HasFormula || joints.BlankText(&c) {
		if r.Q.Key == "car" {
			return cell + " is blank: the name of the sheet"
		}
		if short {
			return "the default: " + r.Q.FormulaText()
		}
		return cell + " is blank: by default"
	}
	line := compute.NewLine(w.Model)
	od := w.Model.Line.Quantity("od")
	line.Set(od, od.Num(&row.Line.Frame))
	if _, m := w.ReadCell(r, &c, line); m != nil && !m.Note {
		return cell + ": " + m.What
	}
	value := w.plain.result(r.Q, &line.Frame)
	if short {
		return value
	}
	held := w.heldAs(r, &c, value)
	if strings.Contains(held, ":") {
		return cell + held
	}
	return "read from " + cell + held
}

// heldAs is how a cell was read.
func (w *explainer) heldAs(r *joints.Reader, c *worksheet.Cell, value string) string {
	formula := ""
	if c.HasFormula {
		formula = ", a formula of yours"
	}
	switch {
	case r.Q.IsText() && book.CellText(*c) == value:
		return formula
	case c.Kind != worksheet.Number && !r.Q.IsText():
		if got, err := w.Measures.Quantity(c.Text, r.Want); err == nil {
			note := got.Note
			if note != value && !strings.Contains(note, "=") {
				note += " = " + value
			}
			return fmt.Sprintf("%s: %s, read as %s", formula, strconv.Quote(c.Text), note)
		}
	case c.Kind == worksheet.Number && !r.Q.IsText():
		if !r.Scale.IsOne() {
			return fmt.Sprintf("%s: %s = %s", formula, amounts{rounded: true}.number(r.Want.Heading, c.Num), value)
		}
		return formula
	}
	return fmt.Sprintf("%s: %s, read as %s", formula, strconv.Quote(book.CellText(*c)), value)
}

// wouldGive is what the formula of a figure that was typed over gives.
func (w *explainer) wouldGive(p place) (string, error) {
	engine, err := compute.NewEngine(w.Values.Clone())
	if err != nil {
		return "", err
	}
	line := compute.NewLine(w.Model)
	for _, q := range w.Model.Line.Quantities {
		switch {
		case q == p.q:
		case q.IsText():
			line.SetText(q, q.Text(p.f))
		default:
			line.Set(q, q.Num(p.f))
		}
	}
	if _, err := engine.Work(line, w.to.row.List); err != nil {
		return "", err
	}
	return w.plain.result(p.q, &line.Frame), nil
}
