package compute

import (
	"math"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// lineSums are the sums of the joint lines: by list, by figure in the order of
// the model's sums, by the number of the row that the lines belong to.
type lineSums struct {
	lists [][]numbered
}

// addLine adds a line to the sums of its list.
func (v *Values) addLine(l *Line, list int) {
	of := v.sumsOf(list)
	for i, k := range v.Model.LineSums {
		no := 1.0
		if k.By != nil {
			no = l.Frame.Num[k.By.Slot]
		}
		of[i].add(no, l.Frame.Num[k.Figure.Slot])
	}
}

// sumsOf are the sums of a list.
func (v *Values) sumsOf(list int) []numbered {
	for len(v.sums.lists) <= list {
		v.sums.lists = append(v.sums.lists, make([]numbered, len(v.Model.LineSums)))
	}
	return v.sums.lists[list]
}

// LineSum is a line figure added up over all lists, for one number.
func (v *Values) LineSum(figure, by *model.Quantity, no int) float64 {
	return v.SumOf(v.Model.SumPlace(figure, by), float64(no))
}

// SumOf is LineSum by the place among the model's sums.
func (v *Values) SumOf(i int, no float64) float64 {
	total := 0.0
	for list := range v.sums.lists {
		x, _ := v.SumAt(list, i, no)
		total += x
	}
	return total
}

// ListSum is the same over one list; ok is false where no line of the list
// has that number.
func (v *Values) ListSum(list int, figure, by *model.Quantity, no int) (x float64, ok bool) {
	return v.SumAt(list, v.Model.SumPlace(figure, by), float64(no))
}

// SumAt is ListSum by the place among the model's sums.
func (v *Values) SumAt(list, i int, no float64) (x float64, ok bool) {
	if i < 0 {
		return 0, false
	}
	if v.heldSums != nil {
		k := v.Model.LineSums[i]
		if x, held := v.heldSums[listSum{list, k.Figure, k.By, no}]; held {
			return x, true
		}
	}
	if list < 0 || list >= len(v.sums.lists) {
		return 0, false
	}
	return v.sums.lists[list][i].at(no)
}

// HasLines reports whether a list has a priced line with that number.
func (v *Values) HasLines(list int, of *model.Scope, no int) bool {
	by := v.Model.Line.Quantity(of.By)
	n, ok := v.ListSum(list, v.Model.Line.Quantity("fine"), by, no)
	return ok && n > 0
}

// Fault is a value that could not be worked out, outside the joint lines.
type Fault struct {
	Quantity *model.Quantity
	Row      int // from 1; 0 for a single value
}

// Close works out the tables of the summary and the order from the sums of the
// lines. The rows of a summary table are the lines in use of the table it
// follows: every car, and the stock and filler that some line uses. Faults
// lists what came out as no number.
func (e *Engine) Close() ([]Fault, error) {
	for _, t := range e.Model.Tables { // cars may have come since
		e.workRows(t)
	}
	for _, s := range e.Model.Summary {
		e.openRows(s)
	}
	if err := e.compileClosing(); err != nil {
		return nil, err
	}
	for _, c := range e.closing {
		if c.q.Scope != e.Model.Ready {
			e.close(c)
		}
	}
	return e.faults(), nil
}

// close works out a figure on every row that it has.
func (e *Engine) close(c step) {
	s := c.q.Scope
	if s.Once() {
		e.work(c.q, c.code, e.Values.Once(s), 0)
		return
	}
	by := s.Quantity(s.By)
	for _, f := range e.Values.Rows(s).Frames {
		e.work(c.q, c.code, f, int(f.Num[by.Slot]))
	}
}

// OpenLists gives the table of the joint lists its rows.
func (e *Engine) OpenLists(n int) {
	rows := e.Values.Rows(e.Model.Lists)
	rows.Frames = nil
	for i := range n {
		e.Values.AddRow(e.Model.Lists).Num[e.Model.Lists.Quantity(e.Model.Lists.By).Slot] = float64(i + 1)
	}
}

// Judge works out the checks of the order, once all is known that they look at,
// and whether it is complete.
func (e *Engine) Judge() {
	for _, c := range e.closing {
		if c.q.Scope == e.Model.Ready {
			e.close(c)
		}
	}
}

// Complete reports whether nothing keeps the order from being complete.
func (v *Values) Complete() bool {
	q := v.Model.Roles.Verdict
	return q.Text(v.once[q.Scope]) == model.WordComplete
}

// Failing are the checks that keep the order from being complete.
func (v *Values) Failing() []*model.Quantity {
	return v.checked(func(q *model.Quantity, word string) bool { return word == model.WordIncomplete })
}

// Looks are the checks that want a look.
func (v *Values) Looks() []*model.Quantity {
	return v.checked(func(_ *model.Quantity, word string) bool { return word == model.WordLook })
}

// Named are the checks that want a look and say what to do: the verdict names them.
func (v *Values) Named() []*model.Quantity {
	return v.checked(func(q *model.Quantity, word string) bool { return word == model.WordLook && q.Fix != "" })
}

func (v *Values) checked(is func(q *model.Quantity, word string) bool) []*model.Quantity {
	var out []*model.Quantity
	for _, q := range v.Model.Ready.Quantities {
		if q.Role == model.Check && is(q, q.Verdict(q.Num(v.once[q.Scope]))) {
			out = append(out, q)
		}
	}
	return out
}

// compileClosing makes ready, once, what comes after the lines.
func (e *Engine) compileClosing() error {
	if e.closing != nil {
		return nil
	}
	for _, q := range e.Model.ClosingOrder {
		code, err := e.compile(q.Scope, q.Formula())
		if err != nil {
			return err
		}
		e.closing = append(e.closing, step{q: q, code: code})
	}
	return nil
}

// openRows gives a summary table a row for every line in use.
func (e *Engine) openRows(s *model.Scope) {
	rows := e.Values.Rows(s)
	rows.Frames = nil
	for i := range e.Values.Rows(s.Of).Frames {
		used := s.Of.Name == "cars"
		for list := range e.Values.sums.lists {
			used = used || e.Values.HasLines(list, s, i+1)
		}
		if used {
			e.Values.AddRow(s).Num[s.Quantity(s.By).Slot] = float64(i + 1)
		}
	}
}

func (e *Engine) faults() []Fault {
	var out []Fault
	look := func(s *model.Scope, f *formula.Frame, row int) {
		for _, q := range s.Order() {
			if !q.IsText() && math.IsNaN(f.Num[q.Slot]) && !formula.IsBlank(f.Num[q.Slot]) {
				out = append(out, Fault{q, row})
			}
		}
	}
	look(e.Model.Singles, e.Values.Singles, 0)
	for _, s := range append(append([]*model.Scope{}, e.Model.Tables...), e.Model.Summary...) {
		for i, f := range e.Values.Rows(s).Frames {
			look(s, f, i+1)
		}
	}
	look(e.Model.OrderOf, e.Values.Order, 0)
	return out
}
