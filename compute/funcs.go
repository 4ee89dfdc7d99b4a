package compute

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

// Func finds the functions that the model has besides a spreadsheet's own.
// Each prints as plain spreadsheet functions.
func (w *view) Func(name string) (formula.Func, bool) {
	switch name {
	case "match":
		return w.match(), true
	case "band":
		return w.band(), true
	case "mentions":
		return mentions(), true
	case "sum":
		return w.sum(), true
	case "total":
		return w.total(), true
	case "cup":
		return w.cup(), true
	case "blank":
		return w.blank(), true
	case "branch_edge":
		return w.branchEdge(), true
	case "first_check":
		return w.firstCheck(), true
	case "check_words":
		return w.checkWords(), true
	case "shows_error":
		return w.showsError(), true
	case "first_error":
		return w.firstError(), true
	case "count":
		return w.count(), true
	}
	if f, ok := w.cellCounts(name); ok {
		return f, true
	}
	if f, ok := w.bidFuncs(name); ok {
		return f, true
	}
	return w.tableCounts(name)
}

// ColumnMark ends the table in a name that a formula prints for a whole column:
// match(stock.key, tube_key) asks for stock[].key, where stock.price alone
// means the price on the line that the row has found.
const ColumnMark = "[]"

// column resolves an argument that must name a column of another table, and
// notes it.
func (w *view) column(c *formula.Checker, n formula.Node) (Target, error) {
	name, ok := n.(*formula.Name)
	if !ok || name.Table == "" {
		return Target{}, c.Errorf(n, "a column is needed here", "write table.column")
	}
	t, err := w.m.Find(w.s, name.Table+ColumnMark, name.Key)
	if err != nil {
		return Target{}, c.Errorf(n, err.Error(), "name a column or a figure of that table")
	}
	w.note(t)
	return t, nil
}

// columnOf is a column that was checked, and the rows that it has; those of the
// joint lines are nobody's to keep.
func (w *view) columnOf(n formula.Node) (q *Quantity, rows *Rows) {
	name := n.(*formula.Name)
	t, err := w.m.Find(w.s, name.Table+ColumnMark, name.Key)
	if err != nil {
		return nil, nil // refused when the model was loaded
	}
	return t.Quantity, w.v.Rows(t.Scope)
}

// columnsOf are several columns of a table.
func (w *view) columnsOf(nodes []formula.Node) []*Quantity {
	out := make([]*Quantity, len(nodes))
	for i, n := range nodes {
		out[i], _ = w.columnOf(n)
	}
	return out
}

// printColumns prints columns of tables, each whole.
func printColumns(p *formula.Printer, nodes []formula.Node) ([]string, error) {
	out := make([]string, len(nodes))
	for i, n := range nodes {
		name := n.(*formula.Name)
		var err error
		if out[i], err = p.Name(name.Table+ColumnMark, name.Key); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// printSearch prints what a look-up goes through and what it looks for.
func printSearch(p *formula.Printer, call *formula.Call) (col, what string, err error) {
	name := call.Args[0].(*formula.Name)
	if col, err = p.Name(name.Table+ColumnMark, name.Key); err != nil {
		return "", "", err
	}
	what, err = p.Node(call.Args[1])
	return col, what, err
}

// match finds the line of a table: match(setups.name, setup).
func (w *view) match() formula.Func {
	return formula.Func{
		Name: "match",
		Doc:  "the number of the line whose column is that text",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 2, 2); err != nil {
				return formula.Type{}, err
			}
			q, err := w.column(c, call.Args[0])
			if err != nil {
				return formula.Type{}, err
			}
			if !q.IsText() {
				return formula.Type{}, c.Errorf(call.Args[0], "match compares texts", "give a text column")
			}
			return formula.Type{}, c.WantKind(call.Args[1], formula.KindText)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			q, rows := w.columnOf(call.Args[0])
			slot := q.Slot
			what, err := c.Compile(call.Args[1])
			if err != nil {
				return formula.Code{}, err
			}
			var last string
			lastNo := 0
			return formula.Code{Num: func(f *formula.Frame) float64 {
				s := what.Text(f)
				if lastNo > 0 && s == last {
					return float64(lastNo)
				}
				if s == "" {
					return nan
				}
				for i, r := range rows.Frames {
					if strings.EqualFold(r.Text[slot], s) {
						last, lastNo = s, i+1
						return float64(lastNo)
					}
				}
				return nan
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			col, what, err := printSearch(p, call)
			return "MATCH(" + what + "," + col + ",0)", err
		},
	}
}

// band finds the line of a table whose bounds rise: the first whose bound is
// not under x; the line without a bound holds for the rest.
func (w *view) band() formula.Func {
	return formula.Func{
		Name: "band",
		Doc:  "the number of the first line whose bound is not under the amount",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 2, 2); err != nil {
				return formula.Type{}, err
			}
			q, err := w.column(c, call.Args[0])
			if err != nil {
				return formula.Type{}, err
			}
			return formula.Type{}, c.Want(call.Args[1], q.Unit)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			q, rows := w.columnOf(call.Args[0])
			slot := q.Slot
			what, err := c.Compile(call.Args[1])
			if err != nil {
				return formula.Code{}, err
			}
			return formula.Code{Num: func(f *formula.Frame) float64 {
				x := formula.Round(what.Num(f), bandPlaces)
				no := 1.0
				for _, r := range rows.Frames {
					if r.Num[slot] < x { // a blank is no number and never under x
						no++
					}
				}
				return no
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			col, what, err := printSearch(p, call)
			return fmt.Sprintf(`COUNTIF(%s,"<"&ROUND(%s,%d))+1`, col, what, bandPlaces), err
		},
	}
}

// bandPlaces keeps the dust of a conversion from pushing a wall over its bound.
const bandPlaces = 6

func mentions() formula.Func {
	return formula.Func{
		Name: "mentions",
		Doc:  "whether a text has another in it",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 2, 2); err != nil {
				return formula.Type{}, err
			}
			for _, a := range call.Args {
				if err := c.WantKind(a, formula.KindText); err != nil {
					return formula.Type{}, err
				}
			}
			return formula.Type{Kind: formula.KindBool}, nil
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			in, err := c.Compile(call.Args[0])
			if err != nil {
				return formula.Code{}, err
			}
			what, err := c.Compile(call.Args[1])
			if err != nil {
				return formula.Code{}, err
			}
			return formula.Code{Num: func(f *formula.Frame) float64 {
				return truth(strings.Contains(strings.ToLower(in.Text(f)), strings.ToLower(what.Text(f))))
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			in, err := p.Node(call.Args[0])
			if err != nil {
				return "", err
			}
			what, err := p.Node(call.Args[1])
			return "ISNUMBER(SEARCH(" + what + "," + in + "))", err
		},
	}
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// cup is the bore of a gas cup that is written as a length or by its number.
// Reading has turned numbers into lengths already; a cell has to do it live.
func (w *view) cup() formula.Func {
	return formula.Func{
		Name: "cup",
		Doc:  "the bore of a gas cup, written as a length or by its number in sixteenths of an inch",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 1, 1); err != nil {
				return formula.Type{}, err
			}
			return c.Type(call.Args[0])
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			return c.Compile(call.Args[0])
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			cell, err := p.Node(call.Args[0])
			if err != nil {
				return "", err
			}
			length := w.m.Units["length"]
			f, err := units.Conversion(length.US, length.Unit)
			return fmt.Sprintf(`IF(LEFT(%[1]s)="#",SUBSTITUTE(%[1]s,"#","")/16%[2]s,%[1]s)`, cell, f.Text()), err
		},
	}
}

// blank tells a cell of a table's line that is blank from one that says 0.
func (w *view) blank() formula.Func {
	column := func(n formula.Node) *Quantity {
		if name, ok := n.(*formula.Name); ok && name.Table == "" && w.s.byKey[name.Key] != nil && w.s.byKey[name.Key].Role == Column {
			return w.s.byKey[name.Key]
		}
		return nil
	}
	return formula.Func{
		Name: "blank",
		Doc:  "whether a column of the own line is blank",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 1, 1); err != nil {
				return formula.Type{}, err
			}
			if q := column(call.Args[0]); q == nil || q.IsText() {
				return formula.Type{}, c.Errorf(call.Args[0], "a column of numbers of the own line is needed here", "only what is typed can be blank")
			}
			_, err := c.Type(call.Args[0])
			return formula.Type{Kind: formula.KindBool}, err
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			q := column(call.Args[0])
			return formula.Code{Num: func(f *formula.Frame) float64 { return truth(formula.IsBlank(q.Num(f))) }}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			cell, err := p.Node(call.Args[0])
			return cell + `=""`, err
		},
	}
}

// branchEdge is the length of a coped edge over the branch's circumference:
// branch_edge(branch OD over main OD, angle between the axes). The edge is the
// curve in which two cylinders meet,
//
//	z = (SQRT(R^2-(r*SIN(p))^2) + r*COS(p)*COS(t))/SIN(t)
//
// over the angle p round the branch; its length is the mean of
// SQRT(1+(dz/dp/r)^2), taken at midpoints, which converge fast round a circle.
// Half a turn serves: the other half repeats it.
func (w *view) branchEdge() formula.Func {
	return formula.Func{
		Name: "branch_edge",
		Doc:  "length of a coped edge, over the circumference of the branch",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 2, 2); err != nil {
				return formula.Type{}, err
			}
			if err := c.Want(call.Args[0], units.Unit{}); err != nil {
				return formula.Type{}, err
			}
			for _, q := range w.m.Table("edge").Quantities {
				w.note(Target{q, ReachColumn, nil})
			}
			return formula.Type{}, c.Want(call.Args[1], w.m.Units["°"].Unit)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			ratio, err := c.Compile(call.Args[0])
			if err != nil {
				return formula.Code{}, err
			}
			angle, err := c.Compile(call.Args[1])
			if err != nil {
				return formula.Code{}, err
			}
			t := w.m.Table("edge")
			sin, cos, rows := t.byKey["sin"].Slot, t.byKey["cos"].Slot, w.v.Rows(t)
			return formula.Code{Num: func(f *formula.Frame) float64 {
				b, a := ratio.Num(f), angle.Num(f)*math.Pi/180
				sinT, cosT := math.Sincos(a)
				total := 0.0
				for _, r := range rows.Frames {
					s, c := r.Num[sin], r.Num[cos]
					slope := (b*s*c/math.Sqrt(1-(b*s)*(b*s)) + s*cosT) / sinT
					total += math.Sqrt(1 + slope*slope)
				}
				return total / float64(len(rows.Frames))
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			var arg [4]string
			var err error
			for i, name := range []string{"sin", "cos"} {
				if arg[i], err = p.Name("edge"+ColumnMark, name); err != nil {
					return "", err
				}
			}
			for i, n := range call.Args {
				if arg[2+i], err = p.Node(n); err != nil {
					return "", err
				}
			}
			return strings.NewReplacer("{S}", arg[0], "{C}", arg[1], "{B}", arg[2], "{T}", arg[3]).Replace(edgeFormula), err
		},
	}
}

// edgeFormula is the length of the edge as a cell works it out: B the ratio, T
// the angle, S and C the columns of sines and cosines.
const edgeFormula = "SUMPRODUCT(SQRT(1+(({B}*{S}*{C}/SQRT(1-({B}*{S})^2)+{S}*COS(RADIANS({T})))/SIN(RADIANS({T})))^2))/ROWS({S})"

// firstCheck is the number of the first check that is raised on the row.
func (w *view) firstCheck() formula.Func {
	return formula.Func{
		Name: "first_check",
		Doc:  "the number of the first check that is raised on the row",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			for _, q := range w.m.Checks() {
				w.note(Target{q, ReachRow, nil})
			}
			return formula.Type{}, c.Args(call, 0, 0)
		},
		Compile: func(*formula.Compiler, *formula.Call) (formula.Code, error) {
			checks := w.m.Checks()
			return formula.Code{Num: func(f *formula.Frame) float64 {
				for i, q := range checks {
					if x := f.Num[q.Slot]; x == 1 {
						return float64(i + 1)
					}
				}
				return nan
			}}, nil
		},
		Print: func(p *formula.Printer, _ *formula.Call) (string, error) {
			var cells [3]string
			for i, key := range []string{RefusingFlags, "flags", w.m.Roles.Fine.Key} {
				var err error
				if cells[i], err = p.Name("checks"+ColumnMark, key); err != nil {
					return "", err
				}
			}
			// A row that shows an error has only what refuses it: there is nothing to divide by else.
			return "IFERROR(MATCH(1," + cells[0] + ",0),MATCH(1," + cells[1] + ",0)/" + cells[2] + ")", nil
		},
	}
}

// checkWords is the heading of the check of that number.
func (w *view) checkWords() formula.Func {
	return formula.Func{
		Name: "check_words",
		Doc:  "the heading of the check of that number",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Args(call, 1, 1); err != nil {
				return formula.Type{}, err
			}
			return formula.Type{Kind: formula.KindText}, c.Want(call.Args[0], units.Unit{})
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			no, err := c.Compile(call.Args[0])
			if err != nil {
				return formula.Code{}, err
			}
			checks := w.m.Checks()
			return formula.Code{Text: func(f *formula.Frame) string {
				if n := no.Num(f); n >= 1 && n <= float64(len(checks)) {
					return checks[int(n)-1].Heading
				}
				return formula.ErrorText
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			words, err := p.Name("checks"+ColumnMark, "words")
			if err != nil {
				return "", err
			}
			no, err := p.Node(call.Args[0])
			return "IFERROR(INDEX(" + words + "," + no + `),"` + WordPriceAgain + `")`, err
		},
	}
}
