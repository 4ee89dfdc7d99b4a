package functions

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Criterion is what cells are to answer to, as COUNTIF takes it: a comparison
// with a number, or a text with * and ?.
type Criterion struct {
	op      string
	number  float64
	numeric bool
	pattern string
	plain   bool // the pattern has no * or ?
}

// NewCriterion reads one.
func NewCriterion(text string) Criterion {
	c := Criterion{op: "="}
	for _, op := range []string{"<=", ">=", "<>", "<", ">", "="} {
		if rest, ok := strings.CutPrefix(text, op); ok {
			c.op, text = op, rest
			break
		}
	}
	if x, err := strconv.ParseFloat(text, 64); err == nil {
		c.number, c.numeric = x, true
	}
	c.pattern, c.plain = strings.ToLower(text), !strings.ContainsAny(text, "*?")
	return c
}

// Met reports whether a cell answers. Blank cells, errors and texts answer no
// comparison with a number, numbers no text.
func (c Criterion) Met(q *model.Quantity, f *formula.Frame) bool {
	if q.IsText() {
		if c.plain {
			return !c.numeric && c.op == "=" && strings.EqualFold(c.pattern, q.Text(f))
		}
		return !c.numeric && c.op == "=" && wild(c.pattern, strings.ToLower(q.Text(f)))
	}
	x := f.Num[q.Slot]
	if math.IsNaN(x) || !c.numeric {
		return false
	}
	switch c.op {
	case "<":
		return x < c.number
	case "<=":
		return x <= c.number
	case ">":
		return x > c.number
	case ">=":
		return x >= c.number
	case "<>":
		return x != c.number
	}
	return x == c.number
}

// wild reports whether a text is of a pattern in which * stands for any letters
// and ? for one.
func wild(pattern, text string) bool {
	for i, r := range pattern {
		rest := pattern[i+len(string(r)):]
		switch {
		case r == '*':
			for at := range text + " " {
				if wild(rest, text[at:]) {
					return true
				}
			}
			return false
		case text == "":
			return false
		default:
			first := []rune(text)[0]
			if r != '?' && r != first {
				return false
			}
			text = text[len(string(first)):]
		}
	}
	return text == ""
}

// count is how many cells of a column answer to something: on a joint list, or
// in another table.
func (w view) count() formula.Func {
	return formula.Func{
		Name:  "count",
		Doc:   "count(lists.x, c): the cells of a column that answer to c, as COUNTIF has it",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			q, err := w.column(c, call.Args[0])
			if err != nil {
				return formula.Type{}, err
			}
			if q.Scope == w.Model.Line {
				if !w.Scope.PerList {
					return formula.Type{}, c.Errorf(call.Args[0], "lines are counted list by list", "count them in a row of lists, and sum that")
				}
				w.NoteCount(q.Quantity, call.Args[1], "")
			}
			return formula.Type{}, c.WantKind(call.Args[1], formula.KindText)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			q, rows := w.columnOf(call.Args[0])
			if q.Scope == w.Model.Line {
				return w.counted(func(k model.Count) bool { return k.Node == call.Args[1] }), nil
			}
			text, err := c.Compile(call.Args[1])
			return formula.Code{Num: func(f *formula.Frame) float64 {
				answers, n := NewCriterion(text.Text(f)), 0.0
				for _, r := range rows.Frames {
					if answers.Met(q, r) {
						n++
					}
				}
				return n
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			col, what, err := printSearch(p, call)
			return "COUNTIF(" + col + "," + what + ")", err
		},
	}
}

// counted is what was counted on the list of the row.
func (w view) counted(is func(model.Count) bool) formula.Code {
	at, no := slices.IndexFunc(w.Model.Counts, is), w.Scope.Quantity(w.Scope.By).Slot
	return formula.Code{Num: func(f *formula.Frame) float64 { return w.Values.Counted(int(f.Num[no])-1, at) }}
}

// countCells is a count of cells of any calculated column of a joint list.
func (w view) countCells(name string, print func(p *formula.Printer) (string, error)) formula.Func {
	return formula.Func{
		Name: name,
		Doc:  "a count on the joint list of the row, see checks.txt",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if !w.Scope.PerList {
				return formula.Type{}, c.Errorf(call, "cells are counted list by list", "count them in a row of lists, and sum that")
			}
			w.NoteCount(nil, nil, name)
			return formula.Type{}, nil
		},
		Compile: func(*formula.Compiler, *formula.Call) (formula.Code, error) {
			return w.counted(func(k model.Count) bool { return k.What == name }), nil
		},
		Print: func(p *formula.Printer, _ *formula.Call) (string, error) { return print(p) },
	}
}

// Names that a formula prints for parts of a joint list that are no columns of
// the model's.
const (
	AllCells  = "all" // every calculated cell of the list; several blocks stand with AndCells between them
	AndCells  = "\n"
	ShopCells = "shop" // the table of the shop's own columns behind inputs

	RefusingChecks = "refusing" // the headings of the checks that refuse a row, in checks[]
	EveryCheck     = "every"    // of all checks
)

// cellCounts finds the functions that count on joint lists.
func (w view) cellCounts(name string) (formula.Func, bool) {
	lines := w.Model.Line.Name + model.ColumnMark
	over := func(format string) func(p *formula.Printer) (string, error) {
		return func(p *formula.Printer) (string, error) {
			all, err := p.Name(lines, AllCells)
			var terms []string
			for _, cells := range strings.Split(all, AndCells) {
				terms = append(terms, strings.ReplaceAll(format, "{}", cells))
			}
			if len(terms) == 1 {
				return terms[0], err
			}
			return "(" + strings.Join(terms, "+") + ")", err
		}
	}
	switch name {
	case "typed_over":
		return w.countCells(name, over("SUMPRODUCT((ISNUMBER({})+ISTEXT({}))*(1-_xlfn.ISFORMULA({})))")), true
	case "errors_shown":
		return w.countCells(name, over("SUMPRODUCT(ISERROR({})*1)")), true
	case "sizes_unread":
		return w.countCells(name, func(p *formula.Printer) (string, error) {
			od, err := p.Name(lines, "od")
			return "(COUNTA(" + od + ")-COUNT(" + od + "))", err
		}), true
	case "rows_unanswered":
		return w.countCells(name, func(p *formula.Printer) (string, error) {
			od, err := p.Name(ShopCells+model.ColumnMark, "od")
			if err != nil {
				return "", err
			}
			words, err := p.Name(lines, w.Model.Roles.Words.Key)
			// Not "<>": that counts the formula of a prepared row, which shows nothing.
			count := func(what string) string { return `COUNTIFS(` + od + `,"` + what + `",` + words + `,"")` }
			return "(" + count(">0") + "+" + count("?*") + ")", err
		}), true
	case "refusals":
		return w.checkNumber(name, RefusingChecks, func() int { return model.Refusals(w.Model.Checks()) }), true
	case "findings":
		return w.checkNumber(name, EveryCheck, func() int { return len(w.Model.Checks()) }), true
	}
	return formula.Func{}, false
}

// checkNumber is the number of a check of the joint row that marks off others:
// the last that refuses a row, the last of all. It prints as the width of their
// columns on the list.
func (w view) checkNumber(name, key string, n func() int) formula.Func {
	return formula.Func{
		Name: name,
		Doc:  "how many checks of a joint row there are: that refuse it, or in all",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			return formula.Type{}, nil
		},
		Compile: func(*formula.Compiler, *formula.Call) (formula.Code, error) {
			x := float64(n())
			return formula.Code{Num: func(*formula.Frame) float64 { return x }}, nil
		},
		Print: func(p *formula.Printer, _ *formula.Call) (string, error) {
			heads, err := p.Name("checks"+model.ColumnMark, key)
			return "COLUMNS(" + heads + ")", err
		},
	}
}

// sumWhere adds up the cells of a column beside those of another that answer to
// something.
func (w view) sumWhere() formula.Func {
	return formula.Func{
		Name:  "sum_where",
		Doc:   "sum_where(cars.x, cars.y, c): x over the rows whose y answers to c, as SUMIF has it",
		Least: 3, Most: 3,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			x, err := w.column(c, call.Args[0])
			if err != nil {
				return formula.Type{}, err
			}
			y, err := w.column(c, call.Args[1])
			switch {
			case err != nil:
				return formula.Type{}, err
			case x.Scope != y.Scope || x.Scope == w.Model.Line:
				return formula.Type{}, c.Errorf(call.Args[1], "these are columns of one table of ours", "sum_where(cars.x, cars.y, c)")
			}
			return x.Type(), c.WantKind(call.Args[2], formula.KindText)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			x, rows := w.columnOf(call.Args[0])
			y, _ := w.columnOf(call.Args[1])
			text, err := c.Compile(call.Args[2])
			return formula.Code{Num: func(f *formula.Frame) float64 {
				answers := NewCriterion(text.Text(f))
				var t Tally
				for _, r := range rows.Frames {
					if answers.Met(y, r) {
						t.Add(model.ZeroIfBlank(r.Num[x.Slot]))
					}
				}
				return t.Sum()
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			cols, err := printColumns(p, call.Args[:2])
			if err != nil {
				return "", err
			}
			what, err := p.Node(call.Args[2])
			return "SUMIF(" + cols[1] + "," + what + "," + cols[0] + ")", err
		},
	}
}

// tableCount is how many cells of a column are of a kind.
func (w view) tableCount(name, doc, print string, is func(q *model.Quantity, f *formula.Frame) bool) formula.Func {
	return formula.Func{
		Name: name, Doc: doc,
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			_, err := w.column(c, call.Args[0])
			return formula.Type{}, err
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			q, rows := w.columnOf(call.Args[0])
			return formula.Code{Num: func(*formula.Frame) float64 {
				n := 0.0
				for _, r := range rows.Frames {
					if is(q, r) {
						n++
					}
				}
				return n
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			name := call.Args[0].(*formula.Name)
			col, err := p.Name(name.Table+model.ColumnMark, name.Key)
			return strings.ReplaceAll(print, "{}", col), err
		},
	}
}

// blankBeside counts the lines of a table on which one cell is blank though another
// holds something.
func (w view) blankBeside() formula.Func {
	return formula.Func{
		Name:  "blank_beside",
		Doc:   "blank_beside(parts.x, parts.y, parts.z): the lines of a table whose x is blank and whose y and z, of one line, do not come to 0",
		Least: 2, Most: 3,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			for _, n := range call.Args {
				if q, err := w.column(c, n); err != nil {
					return formula.Type{}, err
				} else if q.IsText() {
					return formula.Type{}, c.Errorf(n, "a text comes to no number", "name a column of numbers")
				}
			}
			return formula.Type{}, nil
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			of, rows := w.columnOf(call.Args[0])
			cells := w.columnsOf(call.Args[1:])
			return formula.Code{Num: func(*formula.Frame) float64 {
				n := 0.0
				for _, r := range rows.Frames {
					sum := 0.0
					for _, q := range cells {
						sum += model.ZeroIfBlank(q.Num(r))
					}
					n += truth(formula.IsBlank(of.Num(r)) && sum != 0)
				}
				return n
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			cols, err := printColumns(p, call.Args)
			if err != nil {
				return "", err
			}
			return "SUMPRODUCT((" + cols[0] + `="")*(` + strings.Join(cols[1:], "+") + "<>0))", nil
		},
	}
}

// openLines are the lines of a table that are neither filled in nor said to be none.
type openLines struct {
	names, says *model.Quantity
	words       string
	cells       []*model.Quantity
}

func (o *openLines) has(r *formula.Frame) bool {
	text := o.says.Text(r)
	if o.names.Text(r) == "" || len(text) >= len(o.words) && strings.EqualFold(text[:len(o.words)], o.words) {
		return false
	}
	return !slices.ContainsFunc(o.cells, func(q *model.Quantity) bool { return model.ZeroIfBlank(q.Num(r)) != 0 })
}

// openLinesOf are the lines that a call of unfilled counts, and the table.
func (w view) openLinesOf(call *formula.Call) (open openLines, rows *model.Rows) {
	open.names, rows = w.columnOf(call.Args[0])
	open.says, _ = w.columnOf(call.Args[1])
	open.words, open.cells = call.Args[2].(*formula.Text).Value, w.columnsOf(call.Args[3:])
	return open, rows
}

// Settle writes a word into the lines of a table that a figure counts by unfilled, and
// nothing else, and gives them.
func Settle(v *model.View, figure *model.Quantity, word string) map[*formula.Frame]bool {
	open, rows := view{v}.openLinesOf(figure.Call("unfilled"))
	out := map[*formula.Frame]bool{}
	for _, r := range rows.Frames {
		if open.has(r) {
			r.Text[open.says.TextSlot] = word
			out[r] = true
		}
	}
	return out
}

// unfilled counts the lines of a table that are neither filled in nor said to be none.
func (w view) unfilled() formula.Func {
	return formula.Func{
		Name:  "unfilled",
		Doc:   `unfilled(parts.w, parts.x, "words", parts.y, parts.z): the lines of a table that have a w, whose x does not begin with the words, in either case, and on which y and z are 0 or blank`,
		Least: 4, Most: 5,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if _, ok := call.Args[2].(*formula.Text); !ok {
				return formula.Type{}, c.Errorf(call.Args[2], "these are no words", `write them between quotation marks`)
			}
			for i, n := range call.Args {
				if i == 2 {
					continue
				}
				if q, err := w.column(c, n); err != nil {
					return formula.Type{}, err
				} else if q.IsText() != (i < 2) {
					return formula.Type{}, c.Errorf(n, "the first two columns are of words, and the others are of numbers", "name such a column")
				}
			}
			return formula.Type{}, nil
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			open, rows := w.openLinesOf(call)
			return formula.Code{Num: func(*formula.Frame) float64 {
				n := 0.0
				for _, r := range rows.Frames {
					n += truth(open.has(r))
				}
				return n
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			says, err := printColumns(p, call.Args[:2])
			if err != nil {
				return "", err
			}
			cells, err := printColumns(p, call.Args[3:])
			words := call.Args[2].(*formula.Text).Value
			return fmt.Sprintf(`SUMPRODUCT((%s<>"")*(LEFT(%s,%d)<>%q)*(%s=0))`, says[0], says[1], len(words), words, strings.Join(cells, "=0)*(")), err
		},
	}
}

// tableCounts finds the functions that count in tables.
func (w view) tableCounts(name string) (formula.Func, bool) {
	failed := func(q *model.Quantity, f *formula.Frame) bool {
		if q.IsText() {
			return q.Text(f) == formula.ErrorText
		}
		return math.IsNaN(f.Num[q.Slot]) && !formula.IsBlank(f.Num[q.Slot])
	}
	switch name {
	case "errors":
		return w.tableCount(name, "errors(cars.x): the cells of a column that show an error", "SUMPRODUCT(ISERROR({})*1)", failed), true
	case "numbers":
		return w.tableCount(name, "numbers(cars.x): the cells of a column that hold a number", "COUNT({})",
			func(q *model.Quantity, f *formula.Frame) bool { return !q.IsText() && !math.IsNaN(f.Num[q.Slot]) }), true
	case "filled":
		return w.tableCount(name, "filled(cars.name): the cells of a column that hold anything", "COUNTA({})",
			func(q *model.Quantity, f *formula.Frame) bool {
				if q.IsText() {
					return q.Text(f) != ""
				}
				return !formula.IsBlank(f.Num[q.Slot])
			}), true
	case "unfilled":
		return w.unfilled(), true
	case "blank_beside":
		return w.blankBeside(), true
	case "sum_where":
		return w.sumWhere(), true
	case "raised":
		return w.raised(), true
	}
	return formula.Func{}, false
}

// raised counts the checks of the own scope by their verdict.
func (w view) raised() formula.Func {
	return formula.Func{
		Name:  "raised",
		Doc:   `raised("LOOK"): how many checks here have that verdict`,
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			for _, q := range w.Scope.Quantities {
				if q.Role == model.Check {
					w.Note(q, model.ReachRow, nil)
				}
			}
			return formula.Type{}, c.WantKind(call.Args[0], formula.KindText)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			word, err := c.Compile(call.Args[0])
			return formula.Code{Num: func(f *formula.Frame) float64 {
				n, want := 0.0, word.Text(f)
				for _, q := range w.Scope.Quantities {
					if q.Role == model.Check && strings.EqualFold(q.Verdict(f.Num[q.Slot]), want) {
						n++
					}
				}
				return n
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			verdicts, err := p.Name(w.Scope.Name+model.ColumnMark, "verdicts")
			if err != nil {
				return "", err
			}
			word, err := p.Node(call.Args[0])
			return "COUNTIF(" + verdicts + "," + word + ")", err
		},
	}
}
