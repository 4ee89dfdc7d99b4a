package functions

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
)

// Marks that a table in a printed name ends in, for some rows of the own scope.
const (
	DownToMark = "[:]" // from the first row to the own
	AboveMark  = "[^]" // from the heading to the row above the own
	AroundMark = "[=]" // those around the own, and the own, that say the same in what follows the mark
)

// bidFuncs finds the functions of the sheets for the bid.
func (w view) bidFuncs(name string) (formula.Func, bool) {
	switch name {
	case "running":
		return w.running(), true
	case "above":
		return w.above(), true
	case "least":
		return w.least(), true
	case "lowest":
		return w.endOf("lowest", "lowest(t.x): the least number of a column, 0 where it has none", "MIN({})", func(x, least float64) bool { return x < least }), true
	case "most":
		return w.endOf("most", "most(t.x): the greatest number of a column, 0 where it has none", "MAX({})", func(x, most float64) bool { return x > most }), true
	case "sum_product":
		return w.sumProduct(), true
	case "distinct":
		return w.distinct(), true
	case "done":
		return w.done(), true
	case "unless":
		return unless(), true
	case "bare":
		return bare(), true
	case "workday":
		return workday(), true
	case "worked_days":
		return workedDays(), true
	case "workdays_to":
		return workdaysTo(), true
	case "weekday":
		return weekday(), true
	}
	return formula.Func{}, false
}

// ownColumn resolves an argument that must name a number of the own row, on a
// scope with rows.
func (w view) ownColumn(c *formula.Checker, n formula.Node) (formula.Type, error) {
	name, ok := n.(*formula.Name)
	if !ok || name.Table != "" || w.Scope.Quantity(name.Key) == nil || w.Scope.Sheet == "" || w.Scope.Once() {
		return formula.Type{}, c.Errorf(n, "a figure of the own row is needed here", "use it on a sheet for the bid, with a name without a table")
	}
	return c.Type(n)
}

// over goes through a number of the rows of the own scope.
func (w view) over(n formula.Node, do func(f *formula.Frame, x float64) (on bool)) {
	q := w.Scope.Quantity(n.(*formula.Name).Key)
	for _, f := range w.Values.Rows(w.Scope).Frames {
		if !do(f, f.Num[q.Slot]) {
			return
		}
	}
}

// downTo works out a number from a figure of the rows down to one; mark says which
// they are.
func (w view) downTo(name, doc, mark, prints string, num func(n formula.Node, own *formula.Frame) float64) formula.Func {
	return formula.Func{
		Name: name, Doc: doc,
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			return w.ownColumn(c, call.Args[0])
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			return formula.Code{Num: func(own *formula.Frame) float64 { return num(call.Args[0], own) }}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			cells, err := p.Name(w.Scope.Name+mark, call.Args[0].(*formula.Name).Key)
			return prints + "(" + cells + ")", err
		},
	}
}

// running adds up a figure from the first row to the own.
func (w view) running() formula.Func {
	return w.downTo("running", "running(x): x of all rows down to this one, added up", DownToMark, "SUM", func(n formula.Node, own *formula.Frame) float64 {
		var t Tally
		w.over(n, func(f *formula.Frame, x float64) bool {
			t.Add(model.ZeroIfBlank(x))
			return f != own
		})
		return t.Sum()
	})
}

// least is the least of a figure on the rows that say the same.
func (w view) least() formula.Func {
	return formula.Func{
		Name:  "least",
		Doc:   "least(x, k): the least x of the rows around this one, and it, with the same k",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if _, err := w.ownColumn(c, call.Args[1]); err != nil {
				return formula.Type{}, err
			}
			return w.ownColumn(c, call.Args[0])
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			k := w.Scope.Quantity(call.Args[1].(*formula.Name).Key)
			return formula.Code{Num: func(own *formula.Frame) float64 {
				least, past := math.Inf(1), false
				w.over(call.Args[0], func(f *formula.Frame, x float64) bool {
					switch {
					case k.Num(f) == k.Num(own):
						least = math.Min(least, x)
					case past:
						return false
					default:
						least = math.Inf(1)
					}
					past = past || f == own
					return true
				})
				return least
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			cells, err := p.Name(w.Scope.Name+AroundMark+call.Args[1].(*formula.Name).Key, call.Args[0].(*formula.Name).Key)
			return "MIN(" + cells + ")", err
		},
	}
}

// endOf is the number of a column that goes before all others.
func (w view) endOf(name, doc, print string, before func(x, other float64) bool) formula.Func {
	f := w.tableCount(name, doc, print, nil)
	count := f.Check
	f.Check = func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
		if _, err := count(c, call); err != nil {
			return formula.Type{}, err
		}
		q, err := w.column(c, call.Args[0])
		return q.Type(), err
	}
	f.Compile = func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
		q, rows := w.columnOf(call.Args[0])
		return formula.Code{Num: func(*formula.Frame) float64 {
			end, any := 0.0, false
			for _, r := range rows.Frames {
				x := r.Num[q.Slot]
				switch {
				case formula.IsBlank(x):
				case math.IsNaN(x):
					return x
				case !any || before(x, end):
					end, any = x, true
				}
			}
			return end
		}}, nil
	}
	return f
}

// distinct counts the different numbers of a column.
func (w view) distinct() formula.Func {
	f := w.tableCount("distinct", "distinct(t.x): how many different numbers over 0 a column has", "ROUND(SUMPRODUCT(({}>0)/COUNTIF({},{})),0)", nil)
	f.Compile = func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
		q, rows := w.columnOf(call.Args[0])
		return formula.Code{Num: func(*formula.Frame) float64 {
			seen := map[float64]bool{}
			for _, r := range rows.Frames {
				if x := r.Num[q.Slot]; x > 0 {
					seen[x] = true
				}
			}
			return float64(len(seen))
		}}, nil
	}
	return f
}

// above is the greatest of a figure on the rows above.
func (w view) above() formula.Func {
	return w.downTo("above", "above(x): the greatest x of the rows above this one, 0 on the first", AboveMark, "MAX", func(n formula.Node, own *formula.Frame) float64 {
		most, first := 0.0, true
		w.over(n, func(f *formula.Frame, x float64) bool {
			if f != own && (first || x > most) {
				most, first = x, false
			}
			return f != own
		})
		return most
	})
}

// sumProduct adds up, row by row, the product of two columns of as many rows.
func (w view) sumProduct() formula.Func {
	return formula.Func{
		Name:  "sum_product",
		Doc:   "sum_product(t.x, u.y): x times y, row by row, added up",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			x, err := w.column(c, call.Args[0])
			if err != nil {
				return formula.Type{}, err
			}
			y, err := w.column(c, call.Args[1])
			if err != nil {
				return formula.Type{}, err
			}
			return formula.Type{Unit: x.Unit.Mul(y.Unit)}, nil
		},
		Compile: func(_ *formula.Compiler, call *formula.Call) (formula.Code, error) {
			x, rows := w.columnOf(call.Args[0])
			y, others := w.columnOf(call.Args[1])
			return formula.Code{Num: func(*formula.Frame) float64 {
				if len(rows.Frames) != len(others.Frames) {
					return math.NaN()
				}
				var t Tally
				for i, r := range rows.Frames {
					t.Add(model.ZeroIfBlank(r.Num[x.Slot]) * model.ZeroIfBlank(others.Frames[i].Num[y.Slot]))
				}
				return t.Sum()
			}}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			cols, err := printColumns(p, call.Args)
			if err != nil {
				return "", err
			}
			return "SUMPRODUCT(" + cols[0] + "," + cols[1] + ")", nil
		},
	}
}

// done is how far rows have come that follow one another on a line of days: of each
// what lies before a day. Each is worked on evenly.
func (w view) done() formula.Func {
	return formula.Func{
		Name:  "done",
		Doc:   "done(n, t.to, t.days, u.rate): by day n, what comes of rows that take their days up to day to, at a rate a day; without a rate, how many days",
		Least: 3, Most: 4,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Want(call.Args[0], units.Unit{}); err != nil {
				return formula.Type{}, err
			}
			out := formula.Type{}
			for i, n := range call.Args[1:] {
				q, err := w.column(c, n)
				if err != nil {
					return formula.Type{}, err
				}
				if i == 2 {
					out.Unit = q.Unit
				}
			}
			return out, nil
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			day, err := c.Compile(call.Args[0])
			cols, rows := make([]*model.Quantity, len(call.Args)), make([]*model.Rows, len(call.Args))
			for i, n := range call.Args[1:] {
				cols[i+1], rows[i+1] = w.columnOf(n)
			}
			return formula.Code{Num: func(f *formula.Frame) float64 {
				n := day.Num(f)
				var t Tally
				for i, r := range rows[1].Frames {
					to, days, rate := model.ZeroIfBlank(r.Num[cols[1].Slot]), model.ZeroIfBlank(rows[2].Frames[i].Num[cols[2].Slot]), 1.0
					if len(cols) > 3 {
						rate = model.ZeroIfBlank(rows[3].Frames[i].Num[cols[3].Slot])
					}
					t.Add(rate * (math.Abs(n-to+days) - math.Abs(n-to) + days))
				}
				return t.Sum() / 2
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			n, err := p.Node(call.Args[0])
			if err != nil {
				return "", err
			}
			cols, err := printColumns(p, call.Args[1:])
			if err != nil {
				return "", err
			}
			rate := ""
			if len(cols) > 2 {
				rate = cols[2] + ","
			}
			return fmt.Sprintf("SUMPRODUCT(%sABS(%s-%[3]s+%[4]s)-ABS(%[2]s-%[3]s)+%[4]s)/2", rate, n, cols[0], cols[1]), nil
		},
	}
}

// unless is a number where there is one, and else a word that says why not.
func unless() formula.Func {
	return formula.Func{
		Name:  "unless",
		Doc:   `unless(condition, "word", x): no number where the condition holds, but that word; else x`,
		Least: 3, Most: 3,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if _, ok := call.Args[1].(*formula.Text); !ok {
				return formula.Type{}, c.Errorf(call.Args[1], "the word is not written out", `unless(x<=0, "never", 1/x)`)
			}
			if err := c.WantKind(call.Args[0], formula.KindBool); err != nil {
				return formula.Type{}, err
			}
			t, err := c.Type(call.Args[2])
			if err == nil && t.Kind != formula.KindNumber {
				err = c.Errorf(call.Args[2], "this is no number", `unless(x<=0, "never", 1/x)`)
			}
			t.Blank = true
			return t, err
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			none, err := c.Compile(call.Args[0])
			if err != nil {
				return formula.Code{}, err
			}
			x, err := c.Compile(call.Args[2])
			return formula.Code{Num: func(f *formula.Frame) float64 {
				switch none.Num(f) {
				case 0:
					return x.Num(f)
				case 1:
					return formula.Blank()
				}
				return math.NaN()
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			none, err := p.Node(call.Args[0])
			if err != nil {
				return "", err
			}
			x, err := p.Node(call.Args[2])
			return fmt.Sprintf("IF(%s,%s,%s)", none, formula.Format(call.Args[1]), x), err
		},
	}
}

// bare is a number without its unit. In a text to find things by, it does not
// matter which unit it had.
func bare() formula.Func {
	return formula.Func{
		Name:  "bare",
		Doc:   "bare(x): the number that x is in its own unit",
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			t, err := c.Type(call.Args[0])
			if err == nil && (t.Kind != formula.KindNumber || t.Blank) {
				err = c.Errorf(call.Args[0], "this is no number, or may be none", "give it a number")
			}
			return formula.Type{}, err
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) { return c.Compile(call.Args[0]) },
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			x, err := p.Node(call.Args[0])
			if _, name := call.Args[0].(*formula.Name); !name {
				x = "(" + x + ")"
			}
			return x, err
		},
	}
}

// lastDay is the last that a spreadsheet knows, 9999-12-31.
const lastDay = 2958465

// workday is the day on which a working day falls. Days are counted as
// spreadsheets do: 2 is a Monday (1900-01-02, in their calendar).
func workday() formula.Func {
	return formula.Func{
		Name:  "workday",
		Doc:   "workday(d, n, w): the n-th working day from day d on, with the days of a week as worked_days has them",
		Least: 3, Most: 3,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			for _, n := range call.Args[:2] {
				if err := c.Want(n, units.Unit{}); err != nil {
					return formula.Type{}, err
				}
			}
			return formula.Type{}, c.WantKind(call.Args[2], formula.KindText)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			of, err := each(call.Args, c.Compile)
			return formula.Code{Num: func(f *formula.Frame) float64 {
				return nthWorkday(math.Floor(of[0].Num(f))-1, math.Floor(of[1].Num(f)), strings.Count(of[2].Text(f), "0"))
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			of, err := each(call.Args, p.Node)
			if err != nil {
				return "", err
			}
			return "WORKDAY.INTL(" + of[0] + "-1," + of[1] + "," + of[2] + ")", nil
		},
	}
}

// nthWorkday is the day on which the n-th working day after a day falls, with the
// first so many days of a week, from Monday on, worked.
func nthWorkday(after, n float64, week int) float64 {
	if math.IsNaN(after+n) || week == 0 {
		return math.NaN()
	}
	weeks := math.Floor((n - 1) / float64(week)) // whole ones, so that few days are left to step through
	day := after + 7*weeks
	for left := n - weeks*float64(week); left > 0; {
		day++
		if int(math.Mod(day+5, 7)) < week {
			left--
		}
	}
	if day > lastDay {
		return math.NaN()
	}
	return day
}

// A week in which all days are worked, and one in which none is.
const (
	daysOfWeek = 7
	week0      = "0000000"
	week1      = "1111111"
)

// workedDays says which days of a week are worked, as WORKDAY.INTL wants to be
// told.
func workedDays() formula.Func {
	return formula.Func{
		Name:  "worked_days",
		Doc:   `worked_days(n): which days of a week are worked (0) and not (1), from Monday on; "0000011" for 5`,
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			return formula.Type{Kind: formula.KindText}, c.Want(call.Args[0], units.Unit{})
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			week, err := c.Compile(call.Args[0])
			return formula.Code{Text: func(f *formula.Frame) string {
				n := week.Num(f)
				if !(n >= 0 && n <= daysOfWeek) {
					return formula.ErrorText
				}
				return week0[:int(n)] + week1[:int(daysOfWeek-n)]
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			n, err := p.Node(call.Args[0])
			return fmt.Sprintf("REPT(0,%[1]s)&REPT(1,%[2]d-%[1]s)", n, daysOfWeek), err
		},
	}
}

// monday is the first that a spreadsheet knows.
const monday = 2

// workdaysTo counts working days from the first Monday on, so that what lies
// between two days is a difference.
func workdaysTo() formula.Func {
	return formula.Func{
		Name:  "workdays_to",
		Doc:   "workdays_to(d, w): how many working days there are up to and with day d, from the first Monday that spreadsheets know",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if err := c.Want(call.Args[0], units.Unit{}); err != nil {
				return formula.Type{}, err
			}
			return formula.Type{}, c.WantKind(call.Args[1], formula.KindText)
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			of, err := each(call.Args, c.Compile)
			return formula.Code{Num: func(f *formula.Frame) float64 {
				days, worked := math.Max(math.Floor(of[0].Num(f)), monday)-monday+1, float64(strings.Count(of[1].Text(f), "0"))
				return worked*math.Floor(days/daysOfWeek) + math.Min(worked, math.Mod(days, daysOfWeek))
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			of, err := each(call.Args, p.Node)
			if err != nil {
				return "", err
			}
			return fmt.Sprintf("NETWORKDAYS.INTL(%[1]d,MAX(%[1]d,%[2]s),%[3]s)", monday, of[0], of[1]), nil
		},
	}
}

// weekday names a day of the week.
func weekday() formula.Func {
	names := [daysOfWeek]string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}
	return formula.Func{
		Name:  "weekday",
		Doc:   `weekday(n): the n-th day of a week in words, from "Monday" on`,
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			return formula.Type{Kind: formula.KindText}, c.Want(call.Args[0], units.Unit{})
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			no, err := c.Compile(call.Args[0])
			return formula.Code{Text: func(f *formula.Frame) string {
				n := no.Num(f)
				if !(n >= 1 && n < daysOfWeek+1) {
					return formula.ErrorText
				}
				return names[int(n)-1]
			}}, err
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			n, err := p.Node(call.Args[0])
			return fmt.Sprintf(`CHOOSE(%s,"%s")`, n, strings.Join(names[:], `","`)), err
		},
	}
}
