package compute

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
)

// Sweep works some figures of an order out for one set of assumptions after
// another; one that is a share of columns of tables has these go with it. Only what these move is worked out again, and joints that are alike
// once. It gives what a new engine would give, with the joints that this order
// has: none is refused. It is for one goroutine.
type Sweep struct {
	e       *Engine
	varied  []*Quantity
	wanted  []*Quantity
	singles []step
	tables  map[*Scope][]step
	steps   []step // of the line
	lines   []sweepLine
	sums    []int // places of the sums that move
	closing []step
	out     []float64
	spread  []spreadCell
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
func NewSweep(v *Values, lines []*Line, varied, wanted []*Quantity) (*Sweep, error) {
	m := v.Model
	e, err := NewEngine(v.Clone())
	if err != nil {
		return nil, err
	}
	s := &Sweep{e: e, varied: varied, wanted: wanted, tables: map[*Scope][]step{}, out: make([]float64, len(wanted))}
	for _, q := range append(append([]*Quantity{}, varied...), wanted...) {
		if q.IsText() || q.Scope != m.Singles && q.Scope != m.OrderOf {
			return nil, fmt.Errorf("%s is no number of the order or among the single assumptions", q.Where())
		}
	}
	var changed []*Quantity
	for i, q := range varied {
		changed = append(append(changed, q), q.Spreads...)
		for _, col := range q.Spreads {
			for _, f := range e.Values.Rows(col.Scope).Frames {
				if !formula.IsBlank(f.Num[col.Slot]) {
					s.spread = append(s.spread, spreadCell{i, f, col.Slot, f.Num[col.Slot]})
				}
			}
		}
	}
	moved, behind := m.Moved(changed...), m.Behind(wanted...)
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
	if err := s.take(lines, behind); err != nil {
		return nil, err
	}
	if _, err := e.Close(); err != nil {
		return nil, err
	}
	s.closing = needed(e.closing)
	for i, k := range m.sums {
		if k.by != nil && moved[k.figure] && behind[k.figure] {
			s.sums = append(s.sums, i)
		}
	}
	return s, nil
}

// take works the lines out once, and keeps those that differ.
func (s *Sweep) take(lines []*Line, behind map[*Quantity]bool) error {
	m := s.e.Model
	at := map[string]int{}
	for _, l := range lines {
		line := l.Clone()
		out, err := s.e.Work(line, 0)
		if err != nil {
			return err
		}
		if out.Refused {
			return fmt.Errorf("a joint cannot be worked out: %s", out.Why.Heading)
		}
		var key strings.Builder
		for _, q := range m.Line.Quantities {
			if behind[q] || strings.HasSuffix(q.Key, "_no") {
				fmt.Fprintf(&key, "%x %q %t\x00", math.Float64bits(line.Frame.Num[q.Slot]), line.Frame.Text[q.Slot], line.given[q.Slot])
			}
		}
		if i, known := at[key.String()]; known {
			s.lines[i].count++
			continue
		}
		at[key.String()] = len(s.lines)
		s.lines = append(s.lines, sweepLine{line, 1})
	}
	return nil
}

// Distinct is how many joints differ.
func (s *Sweep) Distinct() int { return len(s.lines) }

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
	for i := range s.lines {
		l := &s.lines[i]
		for k := range s.steps {
			if st := &s.steps[k]; !l.given[st.q.Slot] {
				run(st.q, st.code, &l.Frame)
			}
		}
		for _, k := range s.sums {
			sum := s.e.Model.sums[k]
			lists[0][k].add(l.Frame.Num[sum.by.Slot], l.count*l.Frame.Num[sum.figure.Slot])
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
