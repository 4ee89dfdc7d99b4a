package compute

import (
	"fmt"
	"slices"

	"seamtally/compute/formula"
)

// summed finds the scope and the quantity that a sum adds up: a column of a
// summary table, of the joint lines, or of a table on Assumptions.
func (w *view) summed(c *formula.Checker, call *formula.Call) (*Scope, *Quantity, error) {
	name, ok := call.Args[0].(*formula.Name)
	if !ok || name.Table == "" {
		return nil, nil, c.Errorf(call.Args[0], "a sum adds up a column", "write sum(lines.labour, car_no)")
	}
	s := w.sumScope(name.Table)
	if s == nil || s.byKey[name.Key] == nil {
		return nil, nil, c.Errorf(name, fmt.Sprintf("there is no column %s.%s", name.Table, name.Key), "name a figure of that table")
	}
	return s, s.byKey[name.Key], nil
}

func (w *view) sumScope(name string) *Scope {
	if name == w.m.Line.Name {
		return w.m.Line
	}
	if s := w.m.summary(name); s != nil {
		return s
	}
	return w.m.Table(name)
}

// sum adds up a column of another scope: over the joint lines or the parts
// that belong to a row, or over every row of a summary table.
func (w *view) sum() formula.Func {
	return formula.Func{
		Name: "sum",
		Doc:  "sum(lines.x,k): x over the joint lines whose k is the row's own; sum(parts.x,n): over the parts of car n; sum(cars.x): over all rows",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 1, 2); err != nil {
				return formula.Type{}, err
			}
			s, q, err := w.summed(c, call)
			if err != nil {
				return formula.Type{}, err
			}
			if (s.Of != nil) != (len(call.Args) == 1) {
				return formula.Type{}, c.Errorf(call, "a summary table is summed whole, lines and parts by a number", "sum(cars.x); sum(lines.x, car_no)")
			}
			if s == w.m.Line {
				key, ok := call.Args[1].(*formula.Name)
				if !ok || w.s.By == "" || key.Key != w.s.By {
					return formula.Type{}, c.Errorf(call.Args[1], "lines are summed by the number of the own row", "use the number that this table goes by")
				}
				w.m.noteSum(sumKey{q, s.byKey[key.Key]})
			}
			if len(call.Args) == 2 {
				if err := c.Want(call.Args[1], formula.Unit{}); err != nil {
					return formula.Type{}, err
				}
			}
			return typeOf(q), nil
		},
		Compile: w.compileSum,
		Print:   w.printSum,
	}
}

func (m *Model) noteSum(k sumKey) {
	for _, s := range m.sums {
		if s == k {
			return
		}
	}
	m.sums = append(m.sums, k)
}

// Sums lists the line figures that a table of the summary adds up.
func (m *Model) Sums(of *Scope) []*Quantity {
	var out []*Quantity
	for _, k := range m.sums {
		if k.by.Key == of.By {
			out = append(out, k.figure)
		}
	}
	return out
}

func (w *view) compileSum(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
	name := call.Args[0].(*formula.Name)
	s := w.sumScope(name.Table)
	q := s.byKey[name.Key]
	if s.Of != nil {
		rows := w.v.Rows(s)
		return formula.Code{Num: func(*formula.Frame) float64 {
			var t tally
			for _, r := range rows.Frames {
				t.add(zeroIfBlank(r.Num[q.Slot]))
			}
			return t.value()
		}}, nil
	}
	no, err := c.Compile(call.Args[1])
	if err != nil {
		return formula.Code{}, err
	}
	if s == w.m.Line {
		at := slices.Index(w.m.sums, sumKey{q, s.byKey[w.s.By]})
		return formula.Code{Num: func(f *formula.Frame) float64 {
			return w.v.sumOf(at, int(no.Num(f)))
		}}, nil
	}
	rows, key := w.v.Rows(s), s.byKey["car_no"].Slot
	return formula.Code{Num: func(f *formula.Frame) float64 {
		want := no.Num(f)
		var t tally
		for _, r := range rows.Frames {
			if r.Num[key] == want {
				t.add(r.Num[q.Slot])
			}
		}
		return t.value()
	}}, nil
}

// printSum prints SUM over a summary table; else SUMIFS over the column, where
// the column of numbers beside it is the row's.
func (w *view) printSum(p *formula.Printer, call *formula.Call) (string, error) {
	name := call.Args[0].(*formula.Name)
	s := w.sumScope(name.Table)
	col, err := p.Name(name.Table+ColumnMark, name.Key)
	if err != nil || s.Of != nil {
		return "SUM(" + col + ")", err
	}
	key := "car_no"
	if s == w.m.Line {
		key = w.s.By
	}
	keys, err := p.Name(name.Table+ColumnMark, key)
	if err != nil {
		return "", err
	}
	no, err := p.Node(call.Args[1])
	return "SUMIFS(" + col + "," + keys + "," + no + ")", err
}

// total adds up a figure of one car over all the cars ordered.
func (w *view) total() formula.Func {
	return formula.Func{
		Name: "total",
		Doc:  "total(cars.x): each car's x times the cars ordered of it, added up",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 1, 1); err != nil {
				return formula.Type{}, err
			}
			s, q, err := w.summed(c, call)
			if err == nil && s.byKey["car_qty"] == nil {
				err = c.Errorf(call, "only figures of the cars have a total", "total(cars.x)")
			}
			if err != nil {
				return formula.Type{}, err
			}
			return typeOf(q), nil
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			name := call.Args[0].(*formula.Name)
			s := w.sumScope(name.Table)
			rows, x, n := w.v.Rows(s), s.byKey[name.Key].Slot, s.byKey["car_qty"].Slot
			return formula.Code{Num: func(*formula.Frame) float64 {
				var t tally
				for _, r := range rows.Frames {
					t.add(zeroIfBlank(r.Num[x]) * r.Num[n])
				}
				return t.value()
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			name := call.Args[0].(*formula.Name)
			col, err := p.Name(name.Table+ColumnMark, name.Key)
			if err != nil {
				return "", err
			}
			n, err := p.Name(name.Table+ColumnMark, "car_qty")
			return "SUMPRODUCT(" + col + "," + n + ")", err
		},
	}
}
