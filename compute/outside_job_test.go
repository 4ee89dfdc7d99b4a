package compute_test

import (
	"fmt"
	"math"

	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
)

// job is what a shop would have typed for one order, in the units of a US
// book: what it sets, the tables that it keeps, and its joint rows. A key that
// is left out is a blank cell.
type job struct {
	singles row
	tables  map[string][]row
	lines   []row
}

// perUS is what one of a US book's unit is in a metric book, by what the
// unit is for. From 1 in = 25.4 mm and 1 lb = 0.45359237 kg, exactly; what is
// not here (minutes, money, degrees, shares) is the same in both books.
var perUS = map[string]float64{
	"length":      25.4,
	"tube_length": 0.3048,
	"area":        25.4 * 25.4,
	"travel":      25.4,
	"flow":        0.3048 * 0.3048 * 0.3048 * 1000 / 60, // ft³/h to L/min
	"gas":         0.3048 * 0.3048 * 0.3048 * 1000,      // ft³ to L
	"gas_sold":    0.3048 * 0.3048 * 0.3048,             // ft³ to m³
	"mass":        453.59237,
	"mass_sold":   0.45359237,
	"density":     453.59237 / (2.54 * 2.54 * 2.54), // lb/in³ to g/cm³
	"gas_price":   1 / (0.3048 * 0.3048 * 0.3048),
	"mass_price":  1 / 0.45359237,
	"tube_price":  1 / 0.3048,
}

// inBook is what one US unit of the quantity's purpose is in its own book.
func inBook(m *model.Model, q *model.Quantity) float64 {
	if f, ok := perUS[q.UnitOf]; ok && m.System == model.Metric {
		return f
	}
	return 1
}

// worked is a job that the model has worked out.
type worked struct {
	m        *model.Model
	v        *compute.Values
	lines    []*compute.Line
	outcomes []compute.Outcome
	faults   []compute.Fault
}

// fill sets the cells of a row by key, converted into the units of the book.
func fill(t require.TestingT, m *model.Model, s *model.Scope, in row, num func(*model.Quantity, float64), text func(*model.Quantity, string)) {
	for k, x := range in {
		q := s.Quantity(k)
		require.NotNil(t, q, "%s has no %s", s.Name, k)
		switch x := x.(type) {
		case string:
			text(q, x)
		case int:
			num(q, float64(x)*inBook(m, q))
		case float64:
			num(q, x*inBook(m, q))
		default:
			require.FailNow(t, "a cell is a text or a number", "%s is %T", k, x)
		}
	}
}

// workJob puts a job into a book and works it out to the price of the order.
func workJob(t require.TestingT, m *model.Model, j job) *worked {
	v := compute.Defaults(m)
	fill(t, m, m.Singles, j.singles,
		func(q *model.Quantity, x float64) { v.Singles.Num[q.Slot] = x },
		func(q *model.Quantity, s string) { v.Singles.Text[q.TextSlot] = s })
	for name, rows := range j.tables {
		s := m.Table(name)
		require.NotNil(t, s, name)
		v.Rows(s).Frames = nil
		for _, r := range rows {
			f := v.AddRow(s)
			fill(t, m, s, r,
				func(q *model.Quantity, x float64) { f.Num[q.Slot] = x },
				func(q *model.Quantity, s string) { f.Text[q.TextSlot] = s })
		}
	}
	e, err := compute.NewEngine(v)
	require.NoError(t, err)
	w := &worked{m: m, v: v}
	for _, r := range j.lines {
		l := compute.NewLine(m)
		l.Clear()
		fill(t, m, m.Line, r, l.Set, l.SetText)
		out, err := e.Work(l, 0)
		require.NoError(t, err)
		w.lines, w.outcomes = append(w.lines, l), append(w.outcomes, out)
	}
	w.faults, err = e.Close()
	require.NoError(t, err)
	return w
}

// line, car and order read a figure that was worked out.
func (w *worked) line(i int, key string) float64 {
	return w.m.Line.Quantity(key).Num(&w.lines[i].Frame)
}

func (w *worked) car(i int, key string) float64 {
	s := w.summary("cars")
	return s.Quantity(key).Num(w.v.Rows(s).Frames[i])
}

func (w *worked) order(key string) float64 { return w.m.OrderOf.Quantity(key).Num(w.v.Order) }

func (w *worked) summary(name string) *model.Scope {
	for _, s := range w.m.Summary {
		if s.Name == name {
			return s
		}
	}
	return nil
}

// priced fails where a row was refused or a figure has no value: the random
// jobs are all sound.
func (w *worked) priced(t require.TestingT, j job) {
	for i, o := range w.outcomes {
		if o.Refused {
			require.Failf(t, "a sound row is refused", "%s\nby %s", j.show(i), o.Why.ID())
		}
	}
	for _, f := range w.faults {
		require.Failf(t, "a figure has no value", "%s, row %d", f.Quantity.ID(), f.Row)
	}
}

func (j job) show(i int) string { return fmt.Sprintf("row %d: %v", i, j.lines[i]) }

// text and num are a cell's, or what stands for a blank one.
func (r row) text(key, blank string) string {
	if s, ok := r[key].(string); ok {
		return s
	}
	return blank
}

func (r row) num(key string, blank float64) float64 {
	switch x := r[key].(type) {
	case float64:
		return x
	case int:
		return float64(x)
	}
	return blank
}

// dice throws one of n: a seeded generator for many jobs, or one that shrinks
// what it finds.
type dice func(n int) int

// of picks one.
func (d dice) of(list ...string) string { return list[d(len(list))] }

// some picks a size of the trade.
func (d dice) some(list ...float64) float64 { return list[d(len(list))] }

// between is a number from low to high that a person would type: one of
// steps+1, evenly set.
func (d dice) between(low, high float64, steps int) float64 {
	x := low + (high-low)*float64(d(steps+1))/float64(steps)
	return math.Round(x*1e6) / 1e6
}

// odds is true once in n.
func (d dice) odds(n int) bool { return d(n) == 0 }
