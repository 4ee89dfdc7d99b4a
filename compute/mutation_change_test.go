package compute_test

import (
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/templates"
)

// change is one formula of the model changed in one place.
type change struct {
	file         string
	line         int
	of           string // scope and key of the figure; the field too where it is not the formula
	was, is      string
	old, planted string // the stanza, as shipped and as changed
}

// everyChange is all changes of all formulas of the model files: of figures and
// checks, of what a blank cell stands for, and of the lines that look-ups add.
func everyChange(t require.TestingT) []change {
	var out []change
	m := load(t, model.US)
	for _, file := range []string{"line.txt", "order.txt", "tables.txt", "assumptions.txt", "checks.txt", "bids_rates.txt", "bids_breaks.txt", "bids_buying.txt", "bids_range.txt", "bids_schedule.txt"} {
		data, err := fs.ReadFile(templates.FS, file)
		require.NoError(t, err)
		no := 1
		for _, stanza := range strings.Split(string(data), "\n\n") {
			out = append(out, changesOf(t, m, change{file: file, line: no, old: stanza})...)
			no += strings.Count(stanza, "\n") + 2
		}
	}
	return out
}

// changesOf are those of one stanza.
func changesOf(t require.TestingT, m *model.Model, c change) []change {
	rows := strings.Split(strings.TrimRight(c.old, "\n"), "\n")
	_, key, _ := strings.Cut(rows[0], " ")
	scope := map[string]*model.Scope{"line.txt": m.Line, "assumptions.txt": m.Singles}[c.file]
	for _, row := range rows {
		if name, ok := strings.CutPrefix(row, "of "); ok {
			scope = m.Table(name)
			if c.file == "order.txt" || c.file == "checks.txt" {
				scope = m.ClosingScope(name)
			}
			if strings.HasPrefix(c.file, "bids_") {
				scope = m.BidScope(name)
			}
		}
	}
	var out []change
	for i, row := range rows {
		field, text, _ := strings.Cut(row, " ")
		if scope == nil || scope.Quantity(key) == nil || !slices.Contains([]string{"=", "default", "adds", "here", "there"}, field) {
			continue
		}
		figure := scope.Quantity(key)
		if field == "here" || field == "there" {
			figure = scope.Quantity(key + "_" + field)
		}
		parts := []string{text}
		if field == "adds" {
			parts = strings.Split(text, "|")
		}
		for at, part := range parts {
			front, of := field+" ", figure.ID()
			if field == "default" {
				of += ", default"
			}
			if field == "adds" {
				column, formula, _ := strings.Cut(part, "=")
				of += ", adds " + strings.TrimSpace(column)
				part = strings.TrimSpace(formula)
				front += strings.Join(parts[:at], "|")
				if at > 0 {
					front += "| "
				}
				front += strings.TrimSpace(column) + " = "
			}
			behind := ""
			if at+1 < len(parts) {
				behind = " |" + strings.Join(parts[at+1:], "|")
			}
			g := changer{m: m, scope: scope, figure: figure}
			for _, is := range g.all(t, part) {
				changed := slices.Clone(rows)
				changed[i] = front + is + behind
				out = append(out, change{c.file, c.line + i, of, part, is, c.old, strings.Join(changed, "\n")})
			}
		}
	}
	return out
}

// changer changes the formulas of one figure.
type changer struct {
	m      *model.Model
	scope  *model.Scope
	figure *model.Quantity
}

// all are the formulas that come of one, by one change each.
func (g changer) all(t require.TestingT, text string) []string {
	n, err := formula.Parse(formula.Source{Text: text})
	require.NoError(t, err, text)
	var out []string
	for _, v := range g.variants(n) {
		is := formula.Format(v)
		if is != formula.Format(n) && !slices.Contains(out, is) {
			out = append(out, is)
		}
	}
	return out
}

// variants are n changed in one place, at n itself or below.
func (g changer) variants(n formula.Node) []formula.Node {
	out := g.here(n)
	below := func(x formula.Node, put func(formula.Node) formula.Node) {
		for _, v := range g.variants(x) {
			if _, ok := v.(*formula.Binary); ok { // what binds looser than it must
				v = &formula.Paren{X: v}
			}
			out = append(out, put(v))
		}
	}
	switch n := n.(type) {
	case *formula.Unary:
		below(n.X, func(v formula.Node) formula.Node { return &formula.Unary{Op: n.Op, X: v} })
	case *formula.Percent:
		below(n.X, func(v formula.Node) formula.Node { return &formula.Percent{X: v} })
	case *formula.Paren:
		for _, v := range g.variants(n.X) {
			out = append(out, &formula.Paren{X: v})
		}
	case *formula.Binary:
		below(n.L, func(v formula.Node) formula.Node { return &formula.Binary{Op: n.Op, L: v, R: n.R} })
		below(n.R, func(v formula.Node) formula.Node { return &formula.Binary{Op: n.Op, L: n.L, R: v} })
	case *formula.Call:
		for i, arg := range n.Args {
			for _, v := range g.argument(n, i, arg) {
				args := slices.Clone(n.Args)
				args[i] = v
				out = append(out, &formula.Call{Name: n.Name, Args: args})
			}
		}
	}
	return out
}

// argument changes an argument of a function, some of which are no amounts:
// places, units, columns of another table.
func (g changer) argument(call *formula.Call, i int, arg formula.Node) []formula.Node {
	switch {
	case strings.HasPrefix(call.Name, "ROUND") && i == 1:
		places := arg.(*formula.Number).Value
		if places == 0 {
			return []formula.Node{number(1)}
		}
		return []formula.Node{number(places + 1), number(places - 1)}
	case call.Name == "amount" && i == 1:
		return []formula.Node{&formula.Text{Value: "mm"}}
	case slices.Contains([]string{"sum", "total", "most"}, call.Name) && i == 0, call.Name == "sum_product", call.Name == "sum_where" && i < 2, call.Name == "done" && i > 0:
		name := arg.(*formula.Name)
		s := g.m.BidScope(name.Table)
		if s == nil {
			s = (&worked{m: g.m}).summary(name.Table)
		}
		if s == nil {
			s = g.m.Scope(name.Table)
		}
		return another(name, s, nil)
	case slices.Contains([]string{"match", "band"}, call.Name) && i == 0:
		name := arg.(*formula.Name)
		return another(name, g.m.Table(name.Table), nil)
	}
	return g.variants(arg)
}

// here are the changes of one node alone.
func (g changer) here(n formula.Node) []formula.Node {
	switch n := n.(type) {
	case *formula.Number:
		if n.Value == 0 {
			return []formula.Node{number(1)}
		}
		out := []formula.Node{number(n.Value * 1.01)}
		if n.Value < 10 { // a count
			out = append(out, number(n.Value+1))
		}
		return out
	case *formula.Text:
		out := []formula.Node{&formula.Text{Value: n.Value + "x"}}
		if n.Value == "" {
			out = append(out, number(0))
		}
		return out
	case *formula.Name:
		return g.other(n)
	case *formula.Unary:
		return []formula.Node{n.X}
	case *formula.Binary:
		var out []formula.Node
		for _, op := range neighbours(n.Op) {
			out = append(out, &formula.Binary{Op: op, L: n.L, R: n.R})
		}
		if n.Op <= formula.Join { // a term or a factor is dropped
			out = append(out, n.L, n.R)
		}
		return out
	case *formula.Call:
		return g.call(n)
	}
	return nil
}

func number(x float64) *formula.Number {
	return &formula.Number{Spelling: strconv.FormatFloat(x, 'g', 6, 64), Value: x}
}

// neighbours are what an operator is mistaken for: another, or of a comparison
// its opposite and the one that differs where both are equal.
func neighbours(op formula.Op) []formula.Op {
	return map[formula.Op][]formula.Op{
		formula.Add: {formula.Sub}, formula.Sub: {formula.Add},
		formula.Mul: {formula.Div}, formula.Div: {formula.Mul}, formula.Pow: {formula.Mul},
		formula.Equal: {formula.NotEqual}, formula.NotEqual: {formula.Equal},
		formula.Less: {formula.LessEqual, formula.GreaterEqual}, formula.LessEqual: {formula.Less, formula.Greater},
		formula.Greater: {formula.GreaterEqual, formula.LessEqual}, formula.GreaterEqual: {formula.Greater, formula.Less},
	}[op]
}

// call are the changes of a function: taken for another, an argument left out
// or in the other's place, a condition turned, a branch always taken.
func (g changer) call(n *formula.Call) []formula.Node {
	var out []formula.Node
	if name, ok := map[string]string{
		"ROUND": "ROUNDUP", "whole_up": "whole_down", "whole_down": "whole_up", "MIN": "MAX", "MAX": "MIN", "AND": "OR", "OR": "AND",
		"SIN": "COS", "COS": "SIN", "TAN": "SIN", "LN": "EXP", "SQRT": "ABS", "sum": "total", "total": "sum",
	}[n.Name]; ok {
		out = append(out, &formula.Call{Name: name, Args: n.Args})
	}
	swapped := func(i, j int) {
		args := slices.Clone(n.Args)
		args[i], args[j] = args[j], args[i]
		out = append(out, &formula.Call{Name: n.Name, Args: args})
	}
	switch n.Name {
	case "IF":
		swapped(1, 2)
		out = append(out, n.Args[1], n.Args[2])
	case "AND", "OR", "MIN", "MAX":
		for i := range n.Args {
			out = append(out, &formula.Call{Name: n.Name, Args: slices.Delete(slices.Clone(n.Args), i, i+1)})
		}
		if n.Name == "AND" || n.Name == "OR" {
			out = append(out, &formula.Call{Name: "NOT", Args: []formula.Node{n}})
		}
	case "match", "band":
		out = append(out, number(1))
	case "mentions", "POWER":
		swapped(0, 1)
	case "NOT", "ROUND", "whole_up", "whole_down", "ABS", "SQRT", "SIN", "COS", "TAN", "LN", "cup":
		out = append(out, n.Args[0])
	}
	return out
}

// seen is the scope in which a formula finds a name.
func (g changer) seen(n *formula.Name) *model.Scope {
	switch {
	case n.Table == g.m.OrderOf.Name:
		return g.m.OrderOf
	case g.scope.Beside != nil && g.scope.Beside.Name == n.Table:
		return g.scope.Beside
	case g.m.BidScope(n.Table) != nil:
		return g.m.BidScope(n.Table)
	case n.Table == "" && g.scope.Quantity(n.Key) == nil:
		return g.m.Singles
	case n.Table == "":
		return g.scope
	}
	for _, t := range g.m.Tables {
		if t.Prefix == n.Table || t.Alias == n.Table {
			return t
		}
	}
	return nil
}

// another are the next and the last quantity before it of a scope, of the same
// kind and dimension, that can stand where a name does; not those that would
// need the figure.
func another(n *formula.Name, s *model.Scope, not func(*model.Quantity) bool) []formula.Node {
	q, size := s.Quantity(n.Key), len(s.Quantities)
	var out []formula.Node
	for _, step := range []int{1, size - 1} {
		for at := (q.Slot + step) % size; at != q.Slot; at = (at + step) % size {
			o := s.Quantities[at]
			if o.Kind == q.Kind && o.Role != model.Check && o.Unit.SameDim(q.Unit) && (not == nil || !not(o)) {
				out = append(out, &formula.Name{Table: n.Table, Key: o.Key})
				break
			}
		}
	}
	return out
}

// other puts another quantity in the place of a name; where there is none, 0
// times it.
func (g changer) other(n *formula.Name) []formula.Node {
	s := g.seen(n)
	if s == nil {
		return nil
	}
	order := s.Order()
	out := another(n, s, func(q *model.Quantity) bool {
		at := slices.Index(order, q)
		return s == g.scope && at >= 0 && at >= slices.Index(order, g.figure)
	})
	if out == nil && !s.Quantity(n.Key).IsText() {
		out = []formula.Node{&formula.Binary{Op: formula.Mul, L: number(0), R: n}}
	}
	return out
}

// A formula is changed in every place, one at a time, and in no other way.
func TestChangesOfAFormula(t *testing.T) {
	m := load(t, model.US)
	g := changer{m: m, scope: m.Line, figure: m.Line.Quantity("line_cost")}
	for text, want := range map[string][]string{
		"1+2":                     {"1-2", "1", "2", "1.01+2", "2+2", "1+2.02", "1+3"},
		"2^3":                     {"2*3", "2", "3", "2.02^3", "3^3", "2^3.03", "2^4"},
		"0*(1-.5)":                {"0/(1-.5)", "0", "(1-.5)", "1*(1-.5)", "0*(1+.5)", "0*(1)", "0*(.5)", "0*(1.01-.5)", "0*(2-.5)", "0*(1-0.505)", "0*(1-1.5)"},
		"1-2/4":                   {"1+2/4", "1", "2/4", "1.01-2/4", "2-2/4", "1-(2*4)", "1-2", "1-4", "1-(2.02/4)", "1-(3/4)", "1-(2/4.04)", "1-(2/5)"},
		`IF(1<2, 0, "")`:          {`IF(1<2,"",0)`, "0", `""`, `IF(1<=2,0,"")`, `IF(1>=2,0,"")`, `IF(1.01<2,0,"")`, `IF(2<2,0,"")`, `IF(1<2.02,0,"")`, `IF(1<3,0,"")`, `IF(1<2,1,"")`, `IF(1<2,0,"x")`, `IF(1<2,0,0)`},
		`AND("a"="b", NOT(0>=0))`: {`OR("a"="b",NOT(0>=0))`, `AND(NOT(0>=0))`, `AND("a"="b")`, `NOT(AND("a"="b",NOT(0>=0)))`, `AND("a"<>"b",NOT(0>=0))`, `AND("ax"="b",NOT(0>=0))`, `AND("a"="bx",NOT(0>=0))`, `AND("a"="b",0>=0)`, `AND("a"="b",NOT(0>0))`, `AND("a"="b",NOT(0<0))`, `AND("a"="b",NOT(1>=0))`, `AND("a"="b",NOT(0>=1))`},
		"ROUND(0,2)":              {"ROUNDUP(0,2)", "0", "ROUND(1,2)", "ROUND(0,3)", "ROUND(0,1)"},
		"MIN(od,0)":               {"MAX(od,0)", "MIN(0)", "MIN(od)", "MIN(wall,0)", "MIN(tube_used,0)", "MIN(od,1)"},
		"setup.pre_flow":          {"setup.post_flow", "setup.mount"},
		"clean_fit":               {"inspect", "purge_rig"},
		"rod.price":               {"0*rod.price"},
		`amount(od,"in")`:         {`amount(wall,"in")`, `amount(tube_used,"in")`, `amount(od,"mm")`},
		"match(setups.name,kind)": {"1", "match(setups.fits,kind)", "match(setups.basis,kind)", "match(setups.name,alloy)", "match(setups.name,car)"},
	} {
		got := g.all(t, text)
		assert.ElementsMatch(t, want, got, text)
	}
}

// Every formula of the model is changed: none is left out by the way in which
// the files are read here.
func TestEveryFormulaIsChanged(t *testing.T) {
	changed := map[string]bool{}
	for _, c := range everyChange(t) {
		changed[c.of] = true
		assert.NotEqual(t, c.old, c.planted, c.of)
	}
	m := load(t, model.US)
	for _, s := range append(append(append([]*model.Scope{m.Singles, m.Line, m.OrderOf}, m.Tables...), m.Summary...), m.Bids...) {
		for _, q := range s.Quantities {
			if q.FormulaText() == "" || q.Key == "finding" || q.Here != nil || q.Kept && q.Heading == "" { // all of first_check() is its name
				continue
			}
			of := q.ID()
			if q.Role == model.Input {
				of += ", default"
			}
			assert.True(t, changed[of], of)
		}
	}
	assert.True(t, changed["lines.rod_no, adds density"])
}
