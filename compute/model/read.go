package model

import (
	"fmt"
	"io/fs"
	"math"
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

func (m *Model) readUnits(fsys fs.FS) error {
	list, err := readStanzas(fsys, "units.txt")
	if err != nil {
		return err
	}
	for _, s := range list {
		if err := s.only("us", "metric", "shown_us", "shown_metric", "what"); err != nil {
			return err
		}
		us, err := units.Parse(s.text("us"))
		if err != nil {
			return s.errorf("%v", err)
		}
		u, err := units.Parse(m.pick(s, "us", "metric"))
		if err != nil {
			return s.errorf("%v", err)
		}
		m.Units[s.key] = UnitRow{Key: s.key, Unit: u, US: us, Shown: m.pick(s, "shown_us", "shown_metric"), What: s.text("what")}
	}
	return nil
}

// pick takes the field of this book's system.
func (m *Model) pick(s *stanza, us, metric string) string {
	if m.System == Metric {
		return s.text(metric)
	}
	return s.text(us)
}

// unit resolves a purpose, a plain unit or a word for a count.
func (m *Model) unit(name string) (units.Unit, string, error) {
	if r, ok := m.Units[name]; ok {
		return r.Unit, r.Shown, nil
	}
	switch name {
	case "", "factor":
		return units.Unit{}, "0.000", nil
	case "day": // as spreadsheets count them
		return units.Unit{}, "yyyy-mm-dd", nil
	case "flag", "days", "weeks":
		return units.Unit{}, "0", nil
	}
	u, err := units.Parse(name)
	return u, "#,##0", err
}

// describe fills what figures, inputs and columns have in common.
func (m *Model) describe(s *stanza, q *Quantity) error {
	q.Key, q.Heading, q.Group = s.key, s.text("heading"), s.text("group")
	q.Why, q.Source, q.Needed = s.text("why"), s.text("source"), s.has("needed")
	q.UnitOf = s.text("unit")
	if s.has("text") {
		q.Kind = formula.KindText
	}
	var err error
	if q.Unit, q.Shown, err = m.unit(q.UnitOf); err != nil {
		return s.errorf("%v", err)
	}
	if s.has("shown") {
		q.Shown = s.text("shown")
	}
	name := "="
	if q.Role == Input {
		name = "default"
	}
	if f, ok := s.get(name); ok {
		q.src = s.source(f)
		if q.node, err = formula.Parse(q.src); err != nil {
			return err
		}
	}
	return nil
}

var figureFields = []string{"of", "heading", "unit", "text", "group", "shown", "why", "source", "=", "adds", "kept"}

func (m *Model) readFigure(s *stanza, into *Scope) error {
	if err := s.only(figureFields...); err != nil {
		return err
	}
	q := &Quantity{Role: Figure, Told: Told{Kept: s.has("kept")}}
	if err := m.describe(s, q); err != nil {
		return err
	}
	if q.node == nil {
		return s.errorf("has no formula; add a line that begins with =")
	}
	for _, part := range strings.Split(s.text("adds"), "|") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		col, text, _ := strings.Cut(part, "=")
		src := formula.Source{File: s.file, Line: s.line, Col: 1, Text: strings.TrimSpace(text)}
		n, err := formula.Parse(src)
		if err != nil {
			return err
		}
		q.Adds = append(q.Adds, Addition{column: strings.TrimSpace(col), src: src, node: n})
	}
	return s.put(q, into)
}

func (m *Model) readSingles(fsys fs.FS) error {
	list, err := readStanzas(fsys, "assumptions.txt")
	if err != nil {
		return err
	}
	section := ""
	for _, s := range list {
		switch s.kind {
		case "section":
			section = s.key
			continue
		case "figure":
			if err := m.readFigure(s, m.Singles); err != nil {
				return err
			}
			m.Singles.Quantities[len(m.Singles.Quantities)-1].Section = section
			continue
		}
		if err := m.readAssumption(s, section); err != nil {
			return err
		}
	}
	return nil
}

func (m *Model) readAssumption(s *stanza, section string) error {
	if err := s.only("what", "unit", "value", "us", "metric", "usual", "choice", "shown", "basis", "more_than", "less_than", "decided", "spreads", "under", "anew"); err != nil {
		return err
	}
	q := &Quantity{Role: Assumption, Settable: Settable{Section: section}}
	if err := m.describe(s, q); err != nil {
		return err
	}
	q.Heading, q.Source, q.Decided, q.Anew = s.text("what"), s.text("basis"), s.has("decided"), s.has("anew")
	if s.has("spreads") {
		m.spreads = append(m.spreads, spread{s, q})
	}
	value := s.text("value")
	if !s.has("value") {
		value = m.pick(s, "us", "metric")
	}
	if !s.has("unit") && !s.has("usual") {
		q.Kind, q.TextValue = formula.KindText, value
		if c := s.text("choice"); strings.Contains(c, ".") {
			q.ChoicesOf = c
		} else {
			q.Choices = splitTrim(c, ",")
		}
		return s.put(q, m.Singles)
	}
	var err error
	if q.Value, err = number(value); err != nil {
		return s.errorf("value: %v", err)
	}
	if q.MoreThan, err = bound(s, "more_than", -1); err == nil {
		q.LessThan, err = bound(s, "less_than", math.Inf(1))
	}
	if err != nil {
		return s.errorf("bound: %v", err)
	}
	if err := m.readUsual(s.text("usual"), q); err != nil {
		return s.errorf("%v", err)
	}
	return s.put(q, m.Singles)
}

// spread is an assumption whose columns are looked for once the tables are read.
type spread struct {
	s *stanza
	q *Quantity
}

// findSpreads finds the columns of which assumptions are a share.
func (m *Model) findSpreads(fs.FS) error {
	for _, x := range m.spreads {
		for _, name := range strings.Fields(x.s.text("spreads")) {
			table, key, _ := strings.Cut(name, ".")
			t := m.Table(table)
			if t == nil || t.byKey[key] == nil || t.byKey[key].IsText() {
				return x.s.errorf("spreads %q, which is no column of numbers", name)
			}
			x.q.Spreads = append(x.q.Spreads, t.byKey[key])
		}
		if key := x.s.text("under"); key != "" {
			if x.q.Under = m.Singles.byKey[key]; x.q.Under == nil {
				return x.s.errorf("under %q, which is no assumption", key)
			}
		}
	}
	return nil
}

// bound reads a bound of an assumption, which holds in every unit: 0 or a
// share.
func bound(s *stanza, name string, none float64) (float64, error) {
	if !s.has(name) {
		return none, nil
	}
	return number(s.text(name))
}

// number reads a number of a model file: 0.35, 85%.
func number(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if t, ok := strings.CutSuffix(text, "%"); ok {
		x, err := strconv.ParseFloat(t, 64)
		return x / 100, err
	}
	return strconv.ParseFloat(text, 64)
}

func splitTrim(s, sep string) []string {
	var out []string
	for _, p := range strings.Split(s, sep) {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

func (m *Model) readTables(fsys fs.FS) error {
	list, err := readStanzas(fsys, "tables.txt")
	if err != nil {
		return err
	}
	for _, s := range list {
		if s.kind == "figure" {
			t := m.Table(s.text("of"))
			if t == nil {
				return s.errorf("there is no table %q", s.text("of"))
			}
			if err := m.readFigure(s, t); err != nil {
				return err
			}
			continue
		}
		if err := m.readTable(s); err != nil {
			return err
		}
	}
	return nil
}

func (m *Model) readTable(s *stanza) error {
	if err := s.only("prefix", "alias", "title", "about", "room", "closed", "later", "column", "us", "metric", "both", "steps"); err != nil {
		return err
	}
	t := newScope(s.key, s.text("title"))
	t.where = fmt.Sprintf("%s:%d", s.file, s.line)
	t.Prefix, t.Alias, t.About, t.Closed, t.Later = s.text("prefix"), s.text("alias"), s.text("about"), s.has("closed"), s.has("later")
	t.Room, _ = strconv.Atoi(s.text("room"))
	m.Tables = append(m.Tables, t)
	for _, f := range s.fields {
		var err error
		switch f.name {
		case "column":
			err = m.readColumn(t, f, s.source(f))
		case "us", "metric", "both":
			if f.name == "both" || (f.name == "metric") == (m.System == Metric) {
				err = t.readRow(f.text)
			}
		case "steps":
			err = t.readSteps(f.text)
		}
		if err != nil {
			return fmt.Errorf("%s:%d: table %s: %w", s.file, f.line, s.key, err)
		}
	}
	return nil
}

func (m *Model) readColumn(t *Scope, f field, at formula.Source) error {
	parts := strings.Split(f.text, "|")
	if len(parts) != 5 {
		return fmt.Errorf("a column has five parts: key | heading | unit, text or words | usual range | what a blank cell is")
	}
	kind := strings.TrimSpace(parts[2])
	q := &Quantity{Role: Column, Key: strings.TrimSpace(parts[0]), Heading: strings.TrimSpace(parts[1]), UnitOf: kind}
	switch {
	case kind == "text":
		q.Kind = formula.KindText
	case strings.Contains(kind, ","):
		q.Kind, q.Choices = formula.KindText, splitTrim(kind, ",")
	default:
		var err error
		if q.Unit, q.Shown, err = m.unit(kind); err != nil {
			return err
		}
	}
	if q.IsText() {
		q.UnitOf = "text"
	}
	if err := m.readGuard(t, q, strings.TrimSpace(parts[3]), strings.TrimSpace(parts[4]), at); err != nil {
		return err
	}
	return t.add(q)
}

func (t *Scope) readRow(text string) error {
	parts := strings.Split(" "+text+" ", "|")
	if len(parts) != len(t.Quantities) {
		return fmt.Errorf("the line has %d cells, the table %d columns", len(parts), len(t.Quantities))
	}
	r := t.blankRow()
	for i, q := range t.Quantities {
		cell := strings.TrimSpace(parts[i])
		switch {
		case q.IsText():
			r.Text[q.TextSlot] = cell
		case cell != "":
			x, err := number(cell)
			if err != nil {
				return err
			}
			r.Num[i] = x
		}
	}
	t.Rows = append(t.Rows, r)
	return nil
}

// readSteps fills a table with the steps of one column.
func (t *Scope) readSteps(text string) error {
	var key string
	var from, to, by float64
	if _, err := fmt.Sscanf(text, "%s %g to %g by %g", &key, &from, &to, &by); err != nil {
		return err
	}
	q := t.byKey[key]
	if q == nil || by <= 0 {
		return fmt.Errorf("steps of %q by %g", key, by)
	}
	for x := from; x <= to; x += by {
		r := t.blankRow()
		r.Num[q.Slot] = x
		t.Rows = append(t.Rows, r)
	}
	return nil
}

func (t *Scope) blankRow() TableRow {
	r := TableRow{Num: make([]float64, len(t.Quantities)), Text: make([]string, t.texts)}
	for i := range r.Num {
		r.Num[i] = math.NaN()
	}
	return r
}
