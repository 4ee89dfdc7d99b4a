package compute

import (
	"fmt"
	"slices"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/terms"
)

// Sweep works some figures of an order out for one set of assumptions after
// another; one that is a share of columns of tables has these go with it. Only what
// these move is worked out again. Joint lines are taken apart once, so that a set
// costs as much as there are distinct terms, however many lines there are; cents that
// a line is rounded to stay as they are with the order's own values. Where lines
// cannot be taken apart, those that differ are worked out one by one. It gives what a
// new engine would give, with the joints that this order has: none is refused. It is
// for one goroutine.
type Sweep struct {
	e       *Engine
	varied  []*model.Quantity
	wanted  []*model.Quantity
	singles []step
	tables  map[*model.Scope][]step
	steps   []step // of the line
	lines   []sweepLine
	sums    []int // places of the sums that move
	closing []step
	out     []float64
	spread  []spreadCell
	whole   bool // the lines are worked out one by one

	program *terms.Program
	runner  *terms.Runner
	inputs  []input
	targets []splitSum
	off     []float64 // what the order's own sums have over the split ones
	in, to  []float64
}

// spreadCell is a cell of a table of which an assumption is a share.
type spreadCell struct {
	by   int // of those that are varied
	of   *formula.Frame
	slot int
	is   float64
}

// sweepLine is a joint and how many there are of it.
type sweepLine struct {
	*Line
	count float64
}

// NewSweep makes ready to work figures of the order out with other values of
// some single assumptions, which are numbers. The lines are those of the order,
// worked out with the values; neither is changed.
func NewSweep(v *Values, lines []*Line, varied, wanted []*model.Quantity) (*Sweep, error) {
	m := v.Model
	for _, q := range append(append([]*model.Quantity{}, varied...), wanted...) {
		if q.IsText() || q.Scope != m.Singles && q.Scope != m.OrderOf {
			return nil, fmt.Errorf("%s is no number of the order or among the single assumptions", q.Where())
		}
	}
	e, err := NewEngine(v.Clone())
	if err != nil {
		return nil, err
	}
	s := &Sweep{e: e, varied: varied, wanted: wanted}
	memory := e.Remember()
	at := map[string]int{}
	for _, l := range lines {
		e.Add(l, 0)
		key := memory.keyOf(l)
		if i, known := at[string(key)]; known {
			s.lines[i].count++
			continue
		}
		at[string(key)] = len(s.lines)
		s.lines = append(s.lines, sweepLine{l, 1})
	}
	moved, err := s.prepare()
	if err != nil {
		return nil, err
	}
	if err := s.split(moved); err != nil {
		s.workWhole()
	}
	return s, nil
}

// Twin makes a sweep for another goroutine. This one must not have been used yet.
func (s *Sweep) Twin() (*Sweep, error) {
	e, err := NewEngine(s.e.Values.Clone())
	if err != nil {
		return nil, err
	}
	for list := range s.e.Values.sums.lists {
		of := e.Values.sumsOf(list)
		for i, sum := range s.e.Values.sums.lists[list] {
			of[i] = sum.clone()
		}
	}
	t := &Sweep{e: e, varied: s.varied, wanted: s.wanted, lines: s.lines,
		program: s.program, inputs: s.inputs, targets: s.targets, off: s.off}
	if _, err := t.prepare(); err != nil {
		return nil, err
	}
	if s.whole {
		t.workWhole()
	} else {
		t.ready()
	}
	return t, nil
}

// prepare finds what has to be worked out again for a set. The lines are in the sums.
func (s *Sweep) prepare() (moved map[*model.Quantity]bool, err error) {
	e, m := s.e, s.e.Model
	s.tables, s.out = map[*model.Scope][]step{}, make([]float64, len(s.wanted))
	var changed []*model.Quantity
	for i, q := range s.varied {
		changed = append(append(changed, q), q.Spreads...)
		for _, col := range q.Spreads {
			for _, f := range e.Values.Rows(col.Scope).Frames {
				if !formula.IsBlank(f.Num[col.Slot]) {
					s.spread = append(s.spread, spreadCell{i, f, col.Slot, f.Num[col.Slot]})
				}
			}
		}
	}
	moved, behind := m.Moved(changed...), m.Behind(s.wanted...)
	needed := func(all []step) (out []step) {
		for _, st := range all {
			if moved[st.q] && behind[st.q] {
				out = append(out, st)
			}
		}
		return out
	}
	s.singles = needed(e.singles)
	for t, all := range e.tables {
		if some := needed(all); some != nil {
			s.tables[t] = some
		}
	}
	s.steps = needed(append(append([]step{}, e.first...), e.rest...))
	if _, err := e.Close(); err != nil {
		return nil, err
	}
	s.closing = needed(e.closing)
	for i, k := range m.LineSums {
		if k.By != nil && moved[k.Figure] && behind[k.Figure] {
			s.sums = append(s.sums, i)
		}
	}
	return moved, nil
}

// workWhole makes lines of the sweep's own, to be worked out one by one.
func (s *Sweep) workWhole() {
	s.whole = true
	lines := s.lines
	s.lines = nil
	for _, l := range lines {
		s.lines = append(s.lines, sweepLine{l.Clone(), l.count})
	}
}

// ready makes ready to work the split sums out.
func (s *Sweep) ready() {
	s.runner = s.program.Runner()
	s.in, s.to = make([]float64, len(s.inputs)), make([]float64, len(s.targets))
}

// shareOf is which of those that are varied is a share of a column, -1 for none.
func (s *Sweep) shareOf(col *model.Quantity) int {
	for i := len(s.varied) - 1; i >= 0; i-- {
		if slices.Contains(s.varied[i].Spreads, col) {
			return i
		}
	}
	return -1
}

// Distinct is how many joints differ.
func (s *Sweep) Distinct() int { return len(s.lines) }

// Apart reports whether the lines are taken apart, and not worked out one by one.
func (s *Sweep) Apart() bool { return !s.whole }

// At is what the wanted figures come to with the varied assumptions at these
// values. The slice is used again.
func (s *Sweep) At(values []float64) []float64 {
	v := s.e.Values
	for i, q := range s.varied {
		v.Singles.Num[q.Slot] = values[i]
	}
	for _, c := range s.spread {
		c.of.Num[c.slot] = c.is * values[c.by]
	}
	for _, st := range s.singles {
		run(st.q, st.code, v.Singles)
	}
	for t, steps := range s.tables {
		for _, f := range v.Rows(t).Frames {
			for _, st := range steps {
				run(st.q, st.code, f)
			}
		}
	}
	lists := v.sums.lists
	for _, i := range s.sums {
		for list := range lists {
			lists[list][i].clear()
		}
	}
	if s.whole {
		s.addWhole()
	} else {
		s.runTerms(func(varied int) float64 { return values[varied] })
		for i, t := range s.targets {
			lists[0][t.sum].add(t.no, s.to[i]+s.off[i])
		}
	}
	for _, st := range s.closing {
		if st.q.Scope == s.e.Model.OrderOf {
			run(st.q, st.code, v.Order)
			continue
		}
		for _, f := range v.Rows(st.q.Scope).Frames {
			run(st.q, st.code, f)
		}
	}
	for i, q := range s.wanted {
		s.out[i] = q.Num(v.Order)
	}
	return s.out
}

// addWhole works the lines out and adds them to the sums.
func (s *Sweep) addWhole() {
	of := s.e.Values.sumsOf(0)
	for i := range s.lines {
		l := &s.lines[i]
		for k := range s.steps {
			if st := &s.steps[k]; !l.given[st.q.Slot] {
				run(st.q, st.code, &l.Frame)
			}
		}
		for _, k := range s.sums {
			sum := s.e.Model.LineSums[k]
			of[k].add(l.Frame.Num[sum.By.Slot], l.count*l.Frame.Num[sum.Figure.Slot])
		}
	}
}
