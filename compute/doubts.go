package compute

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// Doubt is what is doubtful about a cell of a table on a line that the order uses.
type Doubt struct {
	Table  *model.Scope
	Row    int // from 1
	Column *model.Quantity
	What   string
	Fix    string
	Look   bool            // odd; any other keeps the order from being complete
	Check  *model.Quantity // the check of the order that counts it live; nil: the run counts it
}

// lookUp is a figure of the line that is the number of a line of a table, and which
// lines it has been.
type lookUp struct {
	by   *model.Quantity
	of   *model.Scope
	rows []bool
}

// look notes which lines of the tables a line has found.
func (e *Engine) look(l *Line) {
	for i := range e.lookUps {
		u := &e.lookUps[i]
		no := l.Frame.Num[u.by.Slot]
		if !(no >= 1) || no > float64(len(e.Values.Rows(u.of).Frames)) { // typed over, it may be any
			continue
		}
		for len(u.rows) < int(no) {
			u.rows = append(u.rows, false)
		}
		u.rows[int(no)-1] = true
	}
}

// uses reports whether some joint has found that line of a table; a table that no
// joint looks up is used whole.
func (e *Engine) uses(t *model.Scope, row int) bool {
	looked := false
	for _, u := range e.lookUps {
		if u.of != t {
			continue
		}
		if looked = true; row <= len(u.rows) && u.rows[row-1] {
			return true
		}
	}
	return !looked
}

// Doubts goes through the lines of the tables that the order uses, once its
// joints have been worked out.
func (e *Engine) Doubts() ([]Doubt, error) {
	var out []Doubt
	for _, t := range e.Model.Tables {
		where := map[*model.Quantity]formula.Code{}
		for _, q := range t.Quantities {
			if q.Guard == nil || q.Guard.Where == nil {
				continue
			}
			code, err := e.compile(t, q.Guard.Where)
			if err != nil {
				return nil, err
			}
			where[q] = code
		}
		for i, f := range e.Values.Rows(t).Frames {
			if !e.uses(t, i+1) || isEmpty(t, f) {
				continue
			}
			for _, q := range t.Quantities {
				if q.Guard == nil {
					continue
				}
				asked := q.Guard.Blank == "" && (where[q].Num == nil || where[q].Num(f) == 1)
				if d, is := doubtOf(q, f, asked); is {
					d.Table, d.Row, d.Column = t, i+1, q
					out = append(out, d)
				}
			}
			odd, err := e.unlike(t, i)
			if err != nil {
				return nil, err
			}
			out = append(out, odd...)
			if d, is := e.twice(t, i); is {
				out = append(out, d)
			}
		}
		if d, is := e.falls(t); is {
			out = append(out, d)
		}
	}
	return out, nil
}

// Doubts is [Engine.Doubts].
func (o *Order) Doubts() ([]Doubt, error) { return o.engine.Doubts() }

// doubtOf holds a cell against its guard; asked is whether a blank is asked about.
func doubtOf(q *model.Quantity, f *formula.Frame, asked bool) (Doubt, bool) {
	g := q.Guard
	if q.IsText() {
		s := q.Text(f)
		switch {
		case s == "" && asked:
			return Doubt{What: q.Name() + " is blank", Fix: "type it", Look: g.Look, Check: g.Live}, true
		case s != "" && q.Choices != nil && !model.Among(q.Choices, s):
			return Doubt{What: fmt.Sprintf("%s is %q, which is none of its words", q.Name(), s), Fix: "choose " + strings.Join(q.Choices, " or "), Check: g.Live}, true
		}
		return Doubt{}, false
	}
	x := q.Num(f)
	if formula.IsBlank(x) && q.IsDay() {
		return Doubt{What: q.Name() + " is blank, and the line is passed over", Fix: "type the day", Look: true}, asked
	}
	if formula.IsBlank(x) {
		return Doubt{What: q.Name() + " is blank, and counts as nothing", Fix: "type it; 0 where there is none", Look: g.Look, Check: g.Live}, asked
	}
	if x == 0 && g.Zero != "" {
		what := q.Name() + " is 0"
		if g.Blank != "" {
			what += ", and counts as a blank: " + g.Blank
		}
		return Doubt{What: what, Fix: g.Zero}, true
	}
	// 0 says that there is none.
	if x == 0 || !q.Beyond(x) {
		return Doubt{}, false
	}
	return Doubt{
		What: fmt.Sprintf("%s is %s, and is usually %s", q.Name(), q.AmountText(x), q.RangeText(q.Low, q.High)),
		Fix:  "check it and its unit", Look: q.IsDay() || x < g.Never && x*model.FarOff >= q.Low, // no price comes from a day
	}, true
}

// twice is that of two lines which a look-up takes for the same, and which are not
// alike, only the first is found.
func (e *Engine) twice(t *model.Scope, i int) (Doubt, bool) {
	key, frames := t.Quantity("key"), e.Values.Rows(t).Frames
	if key == nil {
		return countedTwice(t, frames, i)
	}
	if key.Text(frames[i]) == "" {
		return Doubt{}, false
	}
	for j := i + 1; j < len(frames); j++ {
		if !strings.EqualFold(key.Text(frames[i]), key.Text(frames[j])) {
			continue
		}
		for _, q := range t.Quantities {
			if q.Role == model.Column && q.Key != "basis" && !q.Same(frames[i], frames[j]) {
				return Doubt{Table: t, Row: j + 1, Column: t.Quantities[0],
					What: fmt.Sprintf("the same as line %d, with another %s; only the first is found", i+1, q.Name()),
					Fix:  "take one of the two out"}, true
			}
		}
	}
	return Doubt{}, false
}

// countedTwice is that of a line of money that has all words of one above it: nothing is
// looked up there, so that both count.
func countedTwice(t *model.Scope, frames []*formula.Frame, i int) (Doubt, bool) {
	money, name := false, t.Quantities[0]
	for _, q := range t.Quantities {
		money = money || q.UnitOf == "$" && q.Role == model.Column
	}
	if !money || name.Text(frames[i]) == "" {
		return Doubt{}, false
	}
	for j := range frames[:i] {
		words, numbers, some := true, true, false
		for _, q := range t.Quantities {
			switch {
			case q.Role != model.Column || q.Key == "basis":
			case q.IsText():
				words = words && strings.EqualFold(q.Text(frames[i]), q.Text(frames[j]))
			default:
				numbers = numbers && q.Same(frames[i], frames[j])
				some = some || q.Num(frames[i]) != 0 && !formula.IsBlank(q.Num(frames[i]))
			}
		}
		if words && some {
			return Doubt{Table: t, Row: i + 1, Column: name, Look: !numbers,
				What: fmt.Sprintf("%q is on line %d too, for the same cars; both count", name.Text(frames[i]), j+1),
				Fix:  "take one of the two out, or call them differently"}, true
		}
	}
	return Doubt{}, false
}

// falls tells of the first line of a table whose lines are to rise that does not, whether
// or not it is used: what is looked for may stop before it.
func (e *Engine) falls(t *model.Scope) (Doubt, bool) {
	for _, q := range t.Quantities {
		if q.Guard == nil || !q.Guard.Rises {
			continue
		}
		above, last := math.Inf(-1), 0
		for i, f := range e.Values.Rows(t).Frames {
			switch x := q.Num(f); {
			case isEmpty(t, f):
			case last > 0:
				return Doubt{Table: t, Row: last, Column: q, What: q.Name() + " is blank, and lines stand below it", Fix: "a blank is for the last line alone: type it, or move the line to the end"}, true
			case formula.IsBlank(x):
				last = i + 1
			case x <= above:
				return Doubt{Table: t, Row: i + 1, Column: q, What: fmt.Sprintf("%s is %s, and the line above has %s: the lines do not rise", q.Name(), q.AmountText(x), q.AmountText(above)), Fix: "put them in order, each once"}, true
			default:
				above = x
			}
		}
	}
	return Doubt{}, false
}

// isEmpty reports whether nothing is typed on a line.
func isEmpty(t *model.Scope, f *formula.Frame) bool {
	for _, q := range t.Quantities {
		if q.Role == model.Column && q.Digits(f) != "" {
			return false
		}
	}
	return true
}
