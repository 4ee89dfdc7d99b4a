package logbook

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// StateLine is a line of the table "As the log's last line has it": one single
// assumption, one line of a table, or the rows of one joint list. Together they
// are all that the figures come from, so that the next run can say what is
// other than it was.
type StateLine struct {
	What, Name, Value string
	Row               int // of a table's line, counted from 0; of what a run has, not of a record
}

// What the lines are of; those of a table bear its title.
const (
	StateSingle   = "Assumption"
	StateList     = "Joint list"
	StateFormulas = "Formulas"
	StateOrder    = "Order"
	StateRows     = "Rows in order" // of a joint list: no figure comes from it, but the sheets for the bid have it
)

// noFigure reports whether no figure comes from a line of the record, so that the
// log has nothing to say of it.
func (s StateLine) noFigure() bool {
	return s.What == StateRows || s.What == StateSeal || s.What == StateKept
}

// state is what the workbook's figures come from in this run.
func (r *Log) state() []StateLine {
	var out []StateLine
	seen := map[string]int{}
	row := 0
	add := func(what, name, value string) {
		key := what + "\x00" + strings.ToLower(name)
		if seen[key]++; seen[key] > 1 { // two lines of a table may be called alike
			name = fmt.Sprintf("%s (%d)", name, seen[key])
		}
		out = append(out, StateLine{what, name, value, row})
	}
	for _, q := range r.Model.Singles.Quantities {
		if q.Role == model.Assumption {
			add(StateSingle, q.Key, ValueOf(q, r.Values.Singles))
		}
	}
	for _, t := range r.Model.Tables {
		for i, f := range r.Values.Rows(t).Frames {
			row = i
			if name, value := LineOf(t, f); value != "" {
				add(t.Title, name, value)
			}
		}
	}
	row = 0
	for _, l := range r.All {
		add(StateList, strings.TrimSpace(l.Title), listState{l.Rows.Read, l.Rows.LeftOut, l.Rows.Overrides, fmt.Sprintf("%016x", l.Rows.Digest)}.String())
	}
	for _, l := range r.All {
		add(StateRows, strings.TrimSpace(l.Title), fmt.Sprintf("%016x", l.Rows.Order))
	}
	for _, name := range sealNames() { // each has its line, be it that it is filled later
		add(StateSeal, name, noSeal)
	}
	for _, name := range keptNames() { // so has each of these
		add(StateKept, name, noSeal)
	}
	add(StateFormulas, "as of", r.Fingerprint)
	for _, key := range []string{"order_cost", "order_price"} {
		add(StateOrder, key, ValueOf(r.Model.OrderOf.Quantity(key), r.Values.Order))
	}
	return out
}

// ValueOf is a value with its unit, as in "95 $/h".
func ValueOf(q *model.Quantity, f *formula.Frame) string {
	if q.IsText() {
		return q.Text(f)
	}
	x, unit := q.Num(f), q.Unit.String()
	switch {
	case formula.IsBlank(x):
		return book.StateBlank
	case q.IsDay():
		return book.DayText(x)
	case unit == "%":
		x = formula.Round(x*100, 10)
	case q.UnitOf == "$":
		x = formula.Round(x, model.MoneyPlaces)
	}
	return strings.TrimSpace(formula.GeneralText(x) + " " + unit)
}

// LineOf is what a line of a table says: its name (where there is none, what
// it is looked up by), and every cell that has something in it. Remarks are
// left out: no figure comes from them.
func LineOf(t *model.Scope, f *formula.Frame) (name, value string) {
	var names, cells []string
	for _, q := range t.Quantities {
		if q.Role != model.Column || q.Key == "basis" {
			continue
		}
		v := ValueOf(q, f)
		if v == "" || v == book.StateBlank && !q.IsText() {
			continue
		}
		if namesLine(t, q) {
			names = append(names, v)
		}
		if q.IsText() {
			v = strconv.Quote(v)
		}
		cells = append(cells, q.Key+" "+v)
	}
	if len(names) == 0 {
		names = []string{"without a name"}
	}
	return strings.Join(names, ", "), strings.Join(cells, "; ")
}

// namesLine reports whether a column tells the lines of a table apart.
func namesLine(t *model.Scope, q *model.Quantity) bool {
	if t.Quantity("name") != nil {
		return q.Key == "name"
	}
	switch q.Key {
	case "alloy", "od", "wall", "wire", "item", "car", "from", "point":
		return true
	case "to":
		return t.Quantity("from") == nil
	}
	return false
}

// StateCells takes a line's value apart again, in the order of its cells.
func StateCells(value string) (keys []string, cells map[string]string) {
	cells = map[string]string{}
	for value != "" {
		key, rest, _ := strings.Cut(value, " ")
		v, after, _ := strings.Cut(rest, "; ")
		if quoted, err := strconv.QuotedPrefix(rest); err == nil {
			after = strings.TrimPrefix(rest[len(quoted):], "; ")
			v, _ = strconv.Unquote(quoted)
		}
		keys, cells[key], value = append(keys, key), v, after
	}
	return keys, cells
}

// listState is what is recorded of the rows of one joint list.
type listState struct {
	rows, leftOut, typed int
	digest               string
}

const listStateForm = "%d rows; %d left out; %d typed over; digest %s"

func (s listState) String() string {
	return fmt.Sprintf(listStateForm, s.rows, s.leftOut, s.typed, s.digest)
}

func readListState(text string) (s listState, ok bool) {
	n, err := fmt.Sscanf(text, listStateForm, &s.rows, &s.leftOut, &s.typed, &s.digest)
	return s, err == nil && n == 4
}

// Columns of the table "As the log's last line has it".
const (
	stateWhat = iota + 1
	stateName
	stateText
)

// ReadState reads what the last line of the log recorded.
func (b *Log) ReadState() []StateLine {
	_, at, ok := page.SplitRef(b.Names.Find(book.NameState))
	if !ok {
		return nil
	}
	var out []StateLine
	for row := at.Row1; row <= at.Row2; row++ {
		cell := func(col int) *worksheet.Cell { return b.Own.Cell(row, at.Col1-1+col) }
		if what := book.CellText(*cell(stateWhat)); what != "" {
			out = append(out, StateLine{What: what, Name: book.CellText(*cell(stateName)), Value: book.CellText(*cell(stateText))})
		}
	}
	return out
}
