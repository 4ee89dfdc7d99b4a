package explain

import (
	"math"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/functions"
	"seamtally/compute/model"
)

// mostParts bounds how many rows of a sum are listed.
const mostParts = 20

// sumOf is a sum in a formula, and the quantity that it adds up.
type sumOf struct {
	Sum
	q *model.Quantity
}

// count is how many rows of a table of Workings answer to what is looked for.
func (w *explainer) count(c *formula.Call) float64 {
	q, answers := w.answering(c.Args[0], c.Args[1])
	n := 0.0
	for _, f := range w.Values.Rows(q.Scope).Frames {
		if answers(f) {
			n++
		}
	}
	return n
}

// answering is a column of Workings, and which of its rows answer.
func (w *explainer) answering(column, to formula.Node) (*model.Quantity, func(*formula.Frame) bool) {
	col := column.(*formula.Name)
	q := w.summary.ScopeOf(col.Table).Quantity(col.Key)
	text, _ := to.(*formula.Text)
	return q, func(f *formula.Frame) bool { return text != nil && functions.NewCriterion(text.Value).Met(q, f) }
}

// sum takes a sum apart: sum(lines.x, k), sum(parts.x, k), sum(cars.x),
// total(cars.x) or sum_where(cars.x, cars.y, c).
func (w *explainer) sum(p place, c *formula.Call) *sumOf {
	col := c.Args[0].(*formula.Name)
	out := &sumOf{Sum: Sum{Of: strings.ReplaceAll(formula.Format(c), ",", ", ")}}
	switch summary := w.summary.ScopeOf(col.Table); {
	case col.Table == w.Model.Line.Name:
		out.q = w.Model.Line.Quantity(col.Key)
		w.lineParts(p, out)
	case summary != nil:
		out.q = summary.Quantity(col.Key)
		counts := func(*formula.Frame) bool { return true }
		if c.Name == "sum_where" {
			_, counts = w.answering(c.Args[1], c.Args[2])
		}
		w.summaryParts(out, c.Name == "total", counts)
	default:
		t := w.Model.Table(col.Table)
		out.q = t.Quantity(col.Key)
		w.tableParts(t, w.argument(p, c), out)
	}
	out.Unit, out.Count = model.UnitName(out.q), len(out.Parts)
	w.cut(out)
	return out
}

// lineParts are the joints of a car, or of a size of tube or rod.
func (w *explainer) lineParts(p place, out *sumOf) {
	by := w.Model.Line.Quantity(p.q.Scope.By)
	no := int(p.q.Scope.Quantity(p.q.Scope.By).Num(p.f))
	for _, r := range w.Joints {
		if int(by.Num(&r.Line.Frame)) == no {
			out.Parts = append(out.Parts, Part{Name: r.Mark, Cell: w.All[r.List].Ref(r.Row, w.All[r.List].Ours[out.q]), Value: out.q.Num(&r.Line.Frame)})
		}
	}
	out.Total = w.Values.LineSum(out.q, by, no)
}

// summaryParts are the rows of a table of Workings.
func (w *explainer) summaryParts(out *sumOf, times bool, counts func(*formula.Frame) bool) {
	s := out.q.Scope
	home := w.summary.Home(s)
	for i, f := range w.Values.Rows(s).Frames {
		if !counts(f) {
			continue
		}
		part := Part{
			Name: w.summary.RowName(home, i, s.Quantity(s.By).Num(f)).Text,
			Cell: w.cellOf(place{out.q, f, i}), Value: model.ZeroIfBlank(out.q.Num(f)),
		}
		if times {
			part.Times = s.Quantity("car_qty").Num(f)
			part.Value *= part.Times
		}
		out.Total += part.Value
		out.Parts = append(out.Parts, part)
	}
}

// tableParts are the lines of a table on Assumptions that belong to a car.
func (w *explainer) tableParts(t *model.Scope, no float64, out *sumOf) {
	for i, f := range w.Values.Rows(t).Frames {
		if t.Quantity("car_no").Num(f) != no {
			continue
		}
		p := place{out.q, f, i + 1}
		out.Parts = append(out.Parts, Part{Name: w.lineOf(p), Cell: w.cellOf(p), Value: out.q.Num(f)})
		out.Total += out.q.Num(f)
	}
}

// argument is the number that a sum goes by.
func (w *explainer) argument(p place, c *formula.Call) float64 {
	switch n := c.Args[1].(type) {
	case *formula.Number:
		return n.Value
	case *formula.Name:
		if u, ok := w.lookup(p, n.Table, n.Key); ok {
			return u.q.Num(u.f)
		}
	}
	return math.NaN()
}

// largerFirst orders amounts by their size, whatever their sign.
func largerFirst(a, b float64) int {
	switch x, y := math.Abs(a), math.Abs(b); {
	case x > y:
		return -1
	case x < y:
		return 1
	}
	return 0
}

// cut leaves the largest parts, and adds up the rest.
func (w *explainer) cut(s *sumOf) {
	slices.SortStableFunc(s.Parts, func(a, b Part) int { return largerFirst(a.Value, b.Value) })
	keep := 0
	for keep < len(s.Parts) && keep < mostParts && s.Parts[keep].Value != 0 {
		keep++
	}
	for _, p := range s.Parts[keep:] {
		s.More++
		s.MoreTotal += p.Value
	}
	s.Parts = slices.Clone(s.Parts[:keep])
	for i := range s.Parts {
		s.Parts[i].Shown = w.plain.number(s.q.Unit, s.Parts[i].Value)
	}
	s.Shown, s.MoreShown = w.plain.number(s.q.Unit, s.Total), w.plain.number(s.q.Unit, s.MoreTotal)
	if s.Parts == nil {
		s.Parts = []Part{}
	}
}
