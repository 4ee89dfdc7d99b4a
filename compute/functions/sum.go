package functions

import (
	"fmt"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
)

// sum adds up a column of another table: over the joint lines or the parts
// that belong to a row, over the lines of a joint list, or over every row.
func (w view) sum() formula.Func {
	return formula.Func{
		Name:  "sum",
		Doc:   "sum(lines.x,k): x over the joint lines whose k is the row's own, and in a row of a joint list sum(lines.x) over its lines; sum(parts.x,n): over the parts of car n; sum(cars.x): over all rows",
		Least: 1, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			q, err := w.column(c, call.Args[0])
			if err != nil {
				return formula.Type{}, err
			}
			if w.summedBy(q.Scope) != (len(call.Args) == 2) {
				return formula.Type{}, c.Errorf(call, "lines and parts are summed by a number, any other table whole", "sum(cars.x); sum(lines.x, car_no)")
			}
			var by *model.Quantity
			if len(call.Args) == 2 {
				if err := c.Want(call.Args[1], units.Unit{}); err != nil {
					return formula.Type{}, err
				}
				if by, err = w.sumKey(c, q.Scope, call.Args[1]); err != nil {
					return formula.Type{}, err
				}
				w.Note(q.Quantity, model.ReachColumn, by)
			}
			if q.Scope == w.Model.Line {
				w.Model.NoteSum(q.Quantity, by)
			}
			return q.Type(), nil
		},
		Compile: w.compileSum,
		Print:   w.printSum,
	}
}

// summedBy reports whether the rows of a table are added up by a number that
// they bear.
func (w view) summedBy(s *model.Scope) bool {
	return s.Of == nil && !s.PerList && s.Sheet == "" && !(s == w.Model.Line && w.Scope.PerList)
}

// sumKey is the number that rows are added up by.
func (w view) sumKey(c *formula.Checker, of *model.Scope, n formula.Node) (*model.Quantity, error) {
	if of != w.Model.Line {
		if by := of.Quantity("car_no"); by != nil {
			return by, nil
		}
		return nil, c.Errorf(n, fmt.Sprintf("%s has no numbers of cars", of.Name), "sum a table that has")
	}
	key, ok := n.(*formula.Name)
	if !ok || w.Scope.By == "" || key.Key != w.Scope.By {
		return nil, c.Errorf(n, "lines are summed by the number of the own row", "use the number that this table goes by")
	}
	return of.Quantity(key.Key), nil
}

func (w view) compileSum(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
	q, rows := w.columnOf(call.Args[0])
	switch {
	case q.Scope == w.Model.Line && w.Scope.PerList:
		at, no := w.Model.SumPlace(q, nil), w.Scope.Quantity(w.Scope.By).Slot
		return formula.Code{Num: func(f *formula.Frame) float64 {
			x, _ := w.Values.SumAt(int(f.Num[no])-1, at, 1)
			return x
		}}, nil
	case !w.summedBy(q.Scope):
		return formula.Code{Num: func(*formula.Frame) float64 {
			var t Tally
			for _, r := range rows.Frames {
				t.Add(model.ZeroIfBlank(r.Num[q.Slot]))
			}
			return t.Sum()
		}}, nil
	}
	no, err := c.Compile(call.Args[1])
	if err != nil {
		return formula.Code{}, err
	}
	if q.Scope == w.Model.Line {
		at := w.Model.SumPlace(q, q.Scope.Quantity(w.Scope.By))
		return formula.Code{Num: func(f *formula.Frame) float64 {
			return w.Values.SumOf(at, no.Num(f))
		}}, nil
	}
	key := q.Scope.Quantity("car_no").Slot
	return formula.Code{Num: func(f *formula.Frame) float64 {
		want := no.Num(f)
		var t Tally
		for _, r := range rows.Frames {
			if r.Num[key] == want {
				t.Add(r.Num[q.Slot])
			}
		}
		return t.Sum()
	}}, nil
}

// printSum prints SUM over a summary table; else SUMIFS over the column, where
// the column of numbers beside it is the row's.
func (w view) printSum(p *formula.Printer, call *formula.Call) (string, error) {
	name := call.Args[0].(*formula.Name)
	col, err := p.Name(name.Table+model.ColumnMark, name.Key)
	if err != nil || len(call.Args) == 1 {
		return "SUM(" + col + ")", err
	}
	key := "car_no"
	if name.Table == w.Model.Line.Name {
		key = w.Scope.By
	}
	keys, err := p.Name(name.Table+model.ColumnMark, key)
	if err != nil {
		return "", err
	}
	no, err := p.Node(call.Args[1])
	return "SUMIFS(" + col + "," + keys + "," + no + ")", err
}

// total adds up a figure of one car over all the cars ordered.
func (w view) total() formula.Func {
	return formula.Func{
		Name:  "total",
		Doc:   "total(cars.x): each car's x times the cars ordered of it, added up",
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			q, err := w.column(c, call.Args[0])
			if err == nil && q.Scope.Quantity("car_qty") == nil {
				err = c.Errorf(call, "only figures of the cars have a total", "total(cars.x)")
			}
			if err != nil {
				return formula.Type{}, err
			}
			w.Note(q.Scope.Quantity("car_qty"), model.ReachColumn, nil)
			return q.Type(), nil
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			q, rows := w.columnOf(call.Args[0])
			x, n := q.Slot, q.Scope.Quantity("car_qty").Slot
			return formula.Code{Num: func(*formula.Frame) float64 {
				var t Tally
				for _, r := range rows.Frames {
					t.Add(model.ZeroIfBlank(r.Num[x]) * r.Num[n])
				}
				return t.Sum()
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			name := call.Args[0].(*formula.Name)
			col, err := p.Name(name.Table+model.ColumnMark, name.Key)
			if err != nil {
				return "", err
			}
			n, err := p.Name(name.Table+model.ColumnMark, "car_qty")
			return "SUMPRODUCT(" + col + "," + n + ")", err
		},
	}
}
