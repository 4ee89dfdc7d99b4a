// Package functions holds the functions that formulas of the model may call besides
// a spreadsheet's own: of each, how it is checked, worked out and printed. It knows
// the model and what stands behind its names, and nothing of how lines and orders
// are worked out, of cells, sheets or files.
package functions

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
)

// view is what the formulas of one scope can see.
type view struct{ *model.View }

// Find finds the functions that the model has besides a spreadsheet's own.
// Each prints as plain spreadsheet functions.
func Find(v *model.View, name string) (formula.Func, bool) {
	w := view{v}
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

// column resolves an argument that must name a column of another table, and
// notes it.
func (w view) column(c *formula.Checker, n formula.Node) (model.Target, error) {
	name, ok := n.(*formula.Name)
	if !ok || name.Table == "" {
		return model.Target{}, c.Errorf(n, "a column is needed here", "write table.column")
	}
	t, err := w.Model.Find(w.Scope, name.Table+model.ColumnMark, name.Key)
	if err != nil {
		return model.Target{}, c.Errorf(n, err.Error(), "name a column or a figure of that table")
	}
	w.Note(t.Quantity, t.Reach, t.By)
	return t, nil
}

// columnOf is a column that was checked, and the rows that it has; those of the
// joint lines are nobody's to keep.
func (w view) columnOf(n formula.Node) (q *model.Quantity, rows *model.Rows) {
	name := n.(*formula.Name)
	t, err := w.Model.Find(w.Scope, name.Table+model.ColumnMark, name.Key)
	if err != nil {
		return nil, nil // refused when the model was loaded
	}
	return t.Quantity, w.Values.Rows(t.Scope)
}

// columnsOf are several columns of a table.
func (w view) columnsOf(nodes []formula.Node) []*model.Quantity {
	out := make([]*model.Quantity, len(nodes))
	for i, n := range nodes {
		out[i], _ = w.columnOf(n)
	}
	return out
}

// printColumns prints columns of tables, each whole.
func printColumns(p *formula.Printer, nodes []formula.Node) ([]string, error) {
	return each(nodes, func(n formula.Node) (string, error) {
		name := n.(*formula.Name)
		return p.Name(name.Table+model.ColumnMark, name.Key)
	})
}

// printChecks prints cells of a joint list that have to do with its checks.
func printChecks(p *formula.Printer, keys ...string) ([]string, error) {
	return each(keys, func(key string) (string, error) { return p.Name("checks"+model.ColumnMark, key) })
}

// each does something to every one, up to the first error.
func each[A, B any](all []A, do func(A) (B, error)) ([]B, error) {
	out := make([]B, len(all))
	for i, one := range all {
		var err error
		if out[i], err = do(one); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// printSearch prints what a look-up goes through and what it looks for.
func printSearch(p *formula.Printer, call *formula.Call) (col, what string, err error) {
	cols, err := printColumns(p, call.Args[:1])
	if err != nil {
		return "", "", err
	}
	what, err = p.Node(call.Args[1])
	return cols[0], what, err
}

// match finds the line of a table: match(setups.name, setup).
func (w view) match() formula.Func {
	return formula.Func{
		Name:  "match",
		Doc:   "the number of the line whose column is that text",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
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
			slot := q.TextSlot
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
					return math.NaN()
				}
				for i, r := range rows.Frames {
					if strings.EqualFold(r.Text[slot], s) {
						last, lastNo = s, i+1
						return float64(lastNo)
					}
				}
				return math.NaN()
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
func (w view) band() formula.Func {
	return formula.Func{
		Name:  "band",
		Doc:   "the number of the first line whose bound is not under the amount",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
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
		Name:  "mentions",
		Doc:   "whether a text has another in it",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			for _, a := range call.Args {
				if err := c.WantKind(a, formula.KindText); err != nil {
					return formula.Type{}, err
				}
			}
			return formula.Type{Kind: formula.KindBool}, nil
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			of, err := each(call.Args, c.Compile)
			return formula.Code{Num: func(f *formula.Frame) float64 {
				return truth(strings.Contains(strings.ToLower(of[0].Text(f)), strings.ToLower(of[1].Text(f))))
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			of, err := each(call.Args, p.Node)
			if err != nil {
				return "", err
			}
			return "ISNUMBER(SEARCH(" + of[1] + "," + of[0] + "))", nil
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
func (w view) cup() formula.Func {
	return formula.Func{
		Name:  "cup",
		Doc:   "the bore of a gas cup, written as a length or by its number in sixteenths of an inch",
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
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
			length := w.Model.Units["length"]
			f, err := units.Conversion(length.US, length.Unit)
			return fmt.Sprintf(`IF(LEFT(%[1]s)="#",SUBSTITUTE(%[1]s,"#","")/16%[2]s,%[1]s)`, cell, f.Text()), err
		},
	}
}

// blank tells a cell of a table's line that is blank from one that says 0.
func (w view) blank() formula.Func {
	column := func(n formula.Node) *model.Quantity {
		if name, ok := n.(*formula.Name); ok && name.Table == "" && w.Scope.Quantity(name.Key) != nil && w.Scope.Quantity(name.Key).Role == model.Column {
			return w.Scope.Quantity(name.Key)
		}
		return nil
	}
	return formula.Func{
		Name:  "blank",
		Doc:   "whether a column of the own line is blank",
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
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
func (w view) branchEdge() formula.Func {
	return formula.Func{
		Name:  "branch_edge",
		Doc:   "length of a coped edge, over the circumference of the branch",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Want(call.Args[0], units.Unit{}); err != nil {
				return formula.Type{}, err
			}
			for _, q := range w.Model.Table("edge").Quantities {
				w.Note(q, model.ReachColumn, nil)
			}
			return formula.Type{}, c.Want(call.Args[1], w.Model.Units["°"].Unit)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			of, err := each(call.Args, c.Compile)
			t := w.Model.Table("edge")
			sin, cos, rows := t.Quantity("sin").Slot, t.Quantity("cos").Slot, w.Values.Rows(t)
			return formula.Code{Num: func(f *formula.Frame) float64 {
				b, a := of[0].Num(f), of[1].Num(f)*math.Pi/180
				sinT, cosT := math.Sincos(a)
				total := 0.0
				for _, r := range rows.Frames {
					s, c := r.Num[sin], r.Num[cos]
					slope := (b*s*c/math.Sqrt(1-(b*s)*(b*s)) + s*cosT) / sinT
					total += math.Sqrt(1 + slope*slope)
				}
				return total / float64(len(rows.Frames))
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			cols, err := each([]string{"sin", "cos"}, func(key string) (string, error) { return p.Name("edge"+model.ColumnMark, key) })
			if err != nil {
				return "", err
			}
			of, err := each(call.Args, p.Node)
			if err != nil {
				return "", err
			}
			return strings.NewReplacer("{S}", cols[0], "{C}", cols[1], "{B}", of[0], "{T}", of[1]).Replace(edgeFormula), nil
		},
	}
}

// edgeFormula is the length of the edge as a cell works it out: B the ratio, T
// the angle, S and C the columns of sines and cosines.
const edgeFormula = "SUMPRODUCT(SQRT(1+(({B}*{S}*{C}/SQRT(1-({B}*{S})^2)+{S}*COS(RADIANS({T})))/SIN(RADIANS({T})))^2))/ROWS({S})"

// firstCheck is the number of the first check that is raised on the row.
func (w view) firstCheck() formula.Func {
	return formula.Func{
		Name: "first_check",
		Doc:  "the number of the first check that is raised on the row",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			for _, q := range w.Model.Checks() {
				w.Note(q, model.ReachRow, nil)
			}
			return formula.Type{}, nil
		},
		Compile: func(*formula.Compiler, *formula.Call) (formula.Code, error) {
			checks := w.Model.Checks()
			return formula.Code{Num: func(f *formula.Frame) float64 {
				for i, q := range checks {
					if x := f.Num[q.Slot]; x == 1 {
						return float64(i + 1)
					}
				}
				return math.NaN()
			}}, nil
		},
		Print: func(p *formula.Printer, _ *formula.Call) (string, error) {
			cells, err := printChecks(p, RefusingFlags, "flags", w.Model.Roles.Fine.Key)
			if err != nil {
				return "", err
			}
			// A row that shows an error has only what refuses it: there is nothing to divide by else.
			return "IFERROR(MATCH(1," + cells[0] + ",0),MATCH(1," + cells[1] + ",0)/" + cells[2] + ")", nil
		},
	}
}

// checkWords is the heading of the check of that number.
func (w view) checkWords() formula.Func {
	return formula.Func{
		Name:  "check_words",
		Doc:   "the heading of the check of that number",
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			return formula.Type{Kind: formula.KindText}, c.Want(call.Args[0], units.Unit{})
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			no, err := c.Compile(call.Args[0])
			if err != nil {
				return formula.Code{}, err
			}
			checks := w.Model.Checks()
			return formula.Code{Text: func(f *formula.Frame) string {
				if n := no.Num(f); n >= 1 && n <= float64(len(checks)) {
					return checks[int(n)-1].Heading
				}
				return formula.ErrorText
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			words, err := p.Name("checks"+model.ColumnMark, "words")
			if err != nil {
				return "", err
			}
			no, err := p.Node(call.Args[0])
			return "IFERROR(INDEX(" + words + "," + no + `),"` + WordPriceAgain + `")`, err
		},
	}
}
