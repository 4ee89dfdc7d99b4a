package whatif

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// set is what is to be asked: a place, and what would be typed there.
type set struct{ place, value string }

func (s set) String() string { return s.place + "=" + s.value }

// parsed reads what the command line asks.
func parsed(sets []string) ([]set, error) {
	var out []set
	for _, text := range sets {
		place, value, ok := strings.Cut(text, "=")
		s := set{strings.TrimSpace(place), strings.TrimSpace(value)}
		if !ok || s.place == "" || s.value == "" {
			return nil, fmt.Errorf("--set %q does not say what to type where; write it as shop_rate=110, or \"A-07.setup=trailing shield\"", text)
		}
		out = append(out, s)
	}
	return out, nil
}

// locator finds the cells of a priced workbook.
type locator struct {
	*sheets.Run
	at    *assumptions.Places
	marks map[string][]joint // by mark, in small letters
	names []string           // the marks, as they are written
	rows  []joint            // in the order of the lists
}

// joint is a row of a list, and its cells as far as they are inputs.
type joint struct {
	list  *joints.List
	row   int
	mark  string
	cells map[int]worksheet.Cell
}

// located finds the cell of everything that is asked, and the model that it is priced by.
func located(ctx context.Context, o sheets.PriceOptions, asked []set) ([]Cell, *model.Model, error) {
	run, err := sheets.Understood(ctx, o.In, o.Password)
	if err != nil {
		return nil, nil, err
	}
	defer run.Close()
	l := &locator{Run: run, marks: map[string][]joint{}}
	if l.at, err = run.Standing(); err != nil {
		return nil, nil, err
	}
	if err := l.readMarks(); err != nil {
		return nil, nil, err
	}
	var out []Cell
	for _, s := range asked {
		c, err := l.find(s)
		if err != nil {
			return nil, nil, fmt.Errorf("--set %q: %w", s.String(), err)
		}
		c.Name, c.At = s.place, c.typed.Sheet+"!"+grid.Ref(c.typed.Row, c.typed.Col)
		for _, before := range out {
			if strings.EqualFold(before.At, c.At) {
				return nil, nil, fmt.Errorf("--set %q and --set %q are of one cell, %s; give one of them", before.Name, c.Name, c.At)
			}
		}
		out = append(out, c)
	}
	return out, run.Model, l.follows(out)
}

// readMarks reads which rows the joints are on.
func (l *locator) readMarks() error {
	for _, lists := range l.BySheet() {
		_, err := l.ReadPart(lists[0].Part, func(r *worksheet.Row) error {
			for _, list := range lists {
				if r.Num >= list.DataRow && list.Has(r.Num) {
					l.take(list, r)
				}
			}
			return nil
		})
		if err != nil {
			return fmt.Errorf("sheet %q: %w", lists[0].Title, err)
		}
	}
	return nil
}

func (l *locator) take(list *joints.List, r *worksheet.Row) {
	j := joint{list: list, row: r.Num, cells: map[int]worksheet.Cell{}}
	for _, c := range r.Cells {
		j.cells[c.Col] = c
		if c.Col == list.Shop["mark"].Col {
			j.mark = book.CellText(c)
		}
	}
	od := j.cells[list.Shop["od"].Col]
	if j.mark == "" && book.CellText(od) == "" {
		return
	}
	key := strings.ToLower(j.mark)
	if l.marks[key] == nil && j.mark != "" {
		l.names = append(l.names, j.mark)
	}
	l.marks[key] = append(l.marks[key], j)
	l.rows = append(l.rows, j)
}

// find is the cell that a place names: a single assumption, an input of a joint, or a
// cell of a table, in this order.
func (l *locator) find(s set) (Cell, error) {
	if q := called(l.Model.Singles, s.place, model.Assumption); q != nil {
		return l.single(q, s)
	}
	known := false
	for i := len(s.place) - 1; i > 0; i-- {
		if s.place[i] != '.' {
			continue
		}
		of, column := strings.TrimSpace(s.place[:i]), strings.TrimSpace(s.place[i+1:])
		js := l.jointsOf(of)
		if len(js) == 0 {
			continue
		}
		known = true
		if len(js) > 1 {
			return Cell{}, severalRows(of, column, js)
		}
		if key := l.inputCalled(js[0].list, column); key != "" {
			return l.input(js[0], key, s)
		}
	}
	if known {
		i := strings.LastIndex(s.place, ".")
		return Cell{}, l.noInput(strings.TrimSpace(s.place[i+1:]))
	}
	if prefix, rest, dotted := strings.Cut(s.place, "."); dotted {
		if t := l.table(prefix); t != nil {
			return l.ofTable(t, rest, s)
		}
	}
	return Cell{}, l.nothing(s.place)
}

// called is the quantity of a scope by its key or its heading.
func called(s *model.Scope, name string, role model.Role) *model.Quantity {
	var by *model.Quantity
	for _, q := range s.Quantities {
		switch {
		case q.Role != role:
		case strings.EqualFold(q.Key, name):
			return q
		case strings.EqualFold(q.Heading, name):
			by = q
		}
	}
	return by
}

// jointsOf are the joints of a mark, with its sheet or without, or on a row of a sheet.
func (l *locator) jointsOf(name string) []joint {
	of := func(sheet, mark string) (out []joint) {
		for _, j := range l.marks[strings.ToLower(mark)] {
			if mark != "" && (sheet == "" || strings.EqualFold(j.list.Title, sheet)) {
				out = append(out, j)
			}
		}
		return out
	}
	if out := of("", name); len(out) > 0 {
		return out
	}
	i := strings.LastIndex(name, "!")
	if i <= 0 {
		return nil
	}
	sheet, mark := strings.Trim(name[:i], "'"), strings.TrimSpace(name[i+1:])
	if out := of(sheet, mark); len(out) > 0 {
		return out
	}
	row, err := strconv.Atoi(mark)
	if err != nil {
		return nil
	}
	for _, j := range l.rows {
		if j.row == row && strings.EqualFold(j.list.Title, sheet) {
			return []joint{j}
		}
	}
	return nil
}

// mostNamed bounds how many places a message names.
const mostNamed = 8

func severalRows(mark, column string, js []joint) error {
	var at []string
	for i, j := range js {
		if i == mostNamed {
			at = append(at, fmt.Sprintf("and %d more", len(js)-i))
			break
		}
		at = append(at, fmt.Sprintf("%s!%d", j.list.Title, j.row))
	}
	return fmt.Errorf("the mark %q is there %d times: %s; name one by its sheet, or by sheet and row: %s!%d.%s",
		mark, len(js), strings.Join(at, ", "), js[0].list.Title, js[0].row, column)
}

// inputCalled is the input that a name means: as formulas call it, as it is headed, or
// as the shop heads it.
func (l *locator) inputCalled(list *joints.List, name string) string {
	if q := called(l.Model.Line, name, model.Input); q != nil {
		return q.Key
	}
	for key, c := range list.Shop {
		if strings.EqualFold(c.Head, name) && l.Model.Line.Quantity(key) != nil {
			return key
		}
	}
	return ""
}

// input is the cell of a joint's input.
func (l *locator) input(j joint, key string, s set) (Cell, error) {
	col := j.list.Shop[key].Col
	if col == 0 {
		head := key
		if c, ok := l.Headings.Column(key); ok {
			head = c.Head
		}
		return Cell{}, fmt.Errorf("the list on %s has no column for it; head one %q", j.list.Title, head)
	}
	c := Cell{Old: words(j.cells[col]), New: s.value, typed: book.Typed{Sheet: j.list.Title, Row: j.row, Col: col}}
	c.typed.Kind, c.typed.Text = worksheet.Text, s.value
	if x, err := strconv.ParseFloat(s.value, 64); err == nil { // as a spreadsheet takes what is typed
		c.typed.Kind, c.typed.Num, c.typed.Text = worksheet.Number, x, ""
	}
	return c, nil
}

// words are what stands in a cell.
func words(c worksheet.Cell) string {
	if s := book.CellText(c); s != "" {
		return s
	}
	return "blank"
}

// single is the cell of a single assumption.
func (l *locator) single(q *model.Quantity, s set) (Cell, error) {
	row := l.at.Key[q.Key]
	if row == 0 {
		return Cell{}, fmt.Errorf("%s has no row for it; price the workbook first, which puts it there", l.Own.Assumptions)
	}
	was := *l.Own.Cell(row, book.AssumeValue)
	unit, err := l.UnitOf(q, row)
	if err != nil {
		return Cell{}, fmt.Errorf("%s!%s: %w", l.Own.Assumptions, grid.Ref(row, book.AssumeUnit), err)
	}
	c := Cell{Old: l.amount(was, q, unit), typed: book.Typed{Sheet: l.Own.Assumptions, Row: row, Col: book.AssumeValue}}
	if q.IsText() {
		for _, choice := range l.ChoicesOf(q) {
			if strings.EqualFold(choice, s.value) {
				c.New, c.typed.Kind, c.typed.Text = choice, worksheet.Text, choice
				return c, nil
			}
		}
		return Cell{}, fmt.Errorf("%q is none of its words; choose one of %s", s.value, strings.Join(l.ChoicesOf(q), "; "))
	}
	err = l.number(&c, q, unit, s.value)
	return c, err
}

// number reads what would be typed for a quantity whose cell is in that unit.
func (l *locator) number(c *Cell, q *model.Quantity, unit units.Unit, text string) error {
	if q.IsDay() {
		day, ok := model.Day(text)
		if !ok {
			return fmt.Errorf("%s is a day; write it as 2026-03-01", q.Key)
		}
		c.typed.Kind, c.typed.Num = worksheet.Number, day
		c.New = l.amount(worksheet.Cell{Kind: worksheet.Number, Num: day}, q, unit)
		return nil
	}
	asTyped, err := l.asTyped(text, unit)
	if err != nil {
		return err
	}
	r, err := l.Measures.Quantity(asTyped, entry.Want{Key: q.Key, Dim: unit, Heading: unit})
	if err != nil {
		return l.unclear(text, unit, err)
	}
	// 0.4, and 1.2 where no share is so low, may be typed for 40 % and 120 %.
	if low := q.HasRange && r.Value >= q.Low; unit.String() == "%" && r.Plain && r.Value > 0 && (r.Value <= 0.01 || r.Value <= 0.03 && !low) {
		return fmt.Errorf("%s is a share; write %s %%, or %s %%", q.Key, formula.GeneralText(100*100*r.Value), text)
	}
	if why := q.Fault(r.Value); q.Role == model.Assumption && why != "" && unit.Equal(q.Unit) {
		return fmt.Errorf("%s %s", q.Key, why)
	}
	c.typed.Kind, c.typed.Num = worksheet.Number, r.Value
	c.New = l.amount(worksheet.Cell{Kind: worksheet.Number, Num: r.Value}, q, unit)
	return nil
}

// amount is what a cell holds, with its unit.
func (l *locator) amount(c worksheet.Cell, q *model.Quantity, unit units.Unit) string {
	if c.Kind != worksheet.Number || q.IsText() {
		return words(c)
	}
	if q.IsDay() {
		return book.DayText(c.Num)
	}
	x, name := c.Num, unit.String()
	switch {
	case name == "%":
		x = formula.Round(100*x, 10)
	case unit.IsPlain() && name != "ppm":
		name = ""
	}
	return strings.TrimSpace(formula.GeneralText(x) + " " + strings.ReplaceAll(name, "$", l.Currency()))
}

// table is the table that a word names.
func (l *locator) table(name string) *model.Scope {
	for _, t := range l.Model.Tables {
		for _, n := range []string{t.Name, t.Prefix, t.Alias, t.Title} {
			if n != "" && strings.EqualFold(n, name) {
				return t
			}
		}
	}
	return nil
}

// ofTable is a cell of a table: the name of its line, and of its column.
func (l *locator) ofTable(t *model.Scope, rest string, s set) (Cell, error) {
	line, column := rest, ""
	if i := strings.LastIndex(rest, "."); i >= 0 {
		line, column = strings.TrimSpace(rest[:i]), strings.TrimSpace(rest[i+1:])
	}
	name, at := t.Quantity("name"), l.at.Table[t]
	q := called(t, column, model.Column)
	switch {
	case name == nil:
		return Cell{}, fmt.Errorf("the lines of the table %q have no names; type into it, and price that", t.Title)
	case q == nil || at.Cols[q] == 0:
		return Cell{}, fmt.Errorf("the table %q has no column %q%s", t.Title, column, near(column, columnsOf(t)))
	}
	var names []string
	for i, f := range l.Values.Rows(t).Frames {
		names = append(names, name.Text(f))
		if !strings.EqualFold(name.Text(f), line) {
			continue
		}
		row := at.First + i
		c := Cell{Old: l.amount(*l.Own.Cell(row, at.Cols[q]), q, q.Unit), typed: book.Typed{Sheet: l.Own.Assumptions, Row: row, Col: at.Cols[q]}}
		if on, is := l.listed(t, name.Text(f), q); is {
			c.typed = on
		}
		if q.IsText() {
			c.New, c.typed.Kind, c.typed.Text = s.value, worksheet.Text, s.value
			return c, nil
		}
		err := l.number(&c, q, q.Unit, s.value)
		return c, err
	}
	return Cell{}, fmt.Errorf("the table %q has no line %q%s", t.Title, line, near(line, names))
}

func columnsOf(t *model.Scope) (out []string) {
	for _, q := range t.Quantities {
		if q.Role == model.Column {
			out = append(out, q.Key)
		}
	}
	return out
}

// near names what a name may have been meant for; where nothing is near, what there is,
// if that is little.
func near(name string, known []string) string {
	if names := entry.Near(name, known); len(names) > 0 {
		return "; near to it: " + strings.Join(names, ", ")
	}
	if len(known) <= 2*mostNamed && len(known) > 0 {
		return "; there are: " + strings.Join(known, ", ")
	}
	return ""
}

func (l *locator) noInput(column string) error {
	var keys []string
	for _, q := range l.Model.Line.Quantities {
		if q.Role == model.Input {
			keys = append(keys, q.Key)
		}
	}
	if q := l.Model.Line.Quantity(strings.ToLower(column)); q != nil {
		return fmt.Errorf("%s is worked out, and not typed; name an input: %s", q.Key, strings.Join(keys, ", "))
	}
	if names := entry.Near(column, keys); len(names) > 0 {
		keys = names
	}
	return fmt.Errorf("a joint has no input %q; near to it: %s", column, strings.Join(keys, ", "))
}

// nothing says that a place is not known, and what is near to it.
func (l *locator) nothing(place string) error {
	var known []string
	for _, q := range l.Model.Singles.Quantities {
		if q.Role == model.Assumption {
			known = append(known, q.Key)
		}
	}
	mark := place
	if i := strings.LastIndex(place, "."); i > 0 {
		mark = place[:i]
		if names := entry.Near(mark[strings.LastIndex(mark, "!")+1:], l.names); len(names) > 0 {
			return fmt.Errorf("no joint is called %q; near to it: %s", mark, strings.Join(names, ", "))
		}
	}
	names := entry.Near(place, known)
	if len(names) == 0 {
		return errors.New("no assumption and no joint is called so; seamtally formulas lists the assumptions, and a joint is named as MARK.column, such as A-07.setup")
	}
	return fmt.Errorf("no assumption is called %q; near to it: %s", place, strings.Join(names, ", "))
}
