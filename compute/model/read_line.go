package model

import (
	"bufio"
	"fmt"
	"io/fs"
	"strings"
)

func (m *Model) readLine(fsys fs.FS) error {
	list, err := readStanzas(fsys, "line.txt")
	if err != nil {
		return err
	}
	for _, s := range list {
		switch s.kind {
		case "group":
			err = m.readGroups(s)
		case "input":
			err = m.readInput(s)
		case "figure":
			err = m.readFigure(s, m.Line)
		case "check":
			err = m.readCheck(s)
		default:
			err = s.errorf("is no group, input, figure or check")
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// readGroups reads the groups of columns: they stand in one block, one a line,
// the first of which the stanza takes for its own heading.
func (m *Model) readGroups(s *stanza) error {
	lines := []string{s.key}
	for _, f := range s.fields {
		lines = append(lines, f.text)
	}
	for _, l := range lines {
		parts := strings.Split(l+"||", "|")
		m.Line.Groups = append(m.Line.Groups, Group{strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1]), strings.TrimSpace(parts[2])})
	}
	return nil
}

func (m *Model) readInput(s *stanza) error {
	if err := s.only("heading", "unit", "text", "default", "needed", "shown", "usual", "counts", "why"); err != nil {
		return err
	}
	q := &Quantity{Role: Input}
	if err := m.describe(s, q); err != nil {
		return err
	}
	q.Group = "read"
	if err := m.readUsual(s.text("usual"), q); err != nil {
		return s.errorf("%v", err)
	}
	if s.has("counts") {
		if err := m.readCounting(s.text("counts"), q); err != nil {
			return s.errorf("%v", err)
		}
	}
	return s.put(q, m.Line)
}

func (m *Model) readCheck(s *stanza) error {
	if err := s.only("level", "heading", "fix", "cell", "chosen", "="); err != nil {
		return err
	}
	q := &Quantity{Role: Check, Told: Told{Fix: s.text("fix"), Cells: strings.Fields(s.text("cell"))}}
	if err := m.describe(s, q); err != nil {
		return err
	}
	q.Group, q.UnitOf, q.Shown = "checks", "flag", "0"
	switch s.text("level") {
	case "refuse":
		q.Level = LevelRefuse
	case "warn":
		q.Level = LevelWarn
	case "ok":
	default:
		return s.errorf("level is refuse, warn or ok")
	}
	if s.has("chosen") {
		if q.Chosen = m.Singles.byKey[s.text("chosen")]; q.Chosen == nil || len(q.Cells) == 0 {
			return s.errorf("chosen names a single assumption that stands for a blank cell, and cell names the cell")
		}
	}
	return s.put(q, m.Line)
}

// Checks lists the checks of a joint row, the gravest first.
func (m *Model) Checks() []*Quantity {
	var out []*Quantity
	for _, q := range m.Line.Quantities {
		if q.Role == Check {
			out = append(out, q)
		}
	}
	return out
}

func (m *Model) readOrder(fsys fs.FS) error { return m.readClosing(fsys, "order.txt") }

func (m *Model) readChecks(fsys fs.FS) error { return m.readClosing(fsys, "checks.txt") }

// readClosing reads a file of what is worked out after the joint lines.
func (m *Model) readClosing(fsys fs.FS, name string) error {
	return m.readScopes(fsys, name, scopeReader{m.readScope, m.ClosingScope, m.readOrderCheck})
}

// scopeReader reads what differs between the files of scopes: a scope and a check,
// and finds a scope by its name.
type scopeReader struct {
	scope func(*stanza) error
	find  func(name string) *Scope
	check func(*stanza, *Scope) error
}

// readScopes reads a file of scopes, and of what stands on them.
func (m *Model) readScopes(fsys fs.FS, name string, r scopeReader) error {
	list, err := readStanzas(fsys, name)
	if err != nil {
		return err
	}
	for _, s := range list {
		if s.kind == "scope" {
			if err := r.scope(s); err != nil {
				return err
			}
			continue
		}
		into := r.find(s.text("of"))
		if into == nil {
			return s.errorf("there is no scope %q", s.text("of"))
		}
		switch s.kind {
		case "figure":
			err = m.readFigure(s, into)
		case "given":
			err = m.readGiven(s, into)
		case "check":
			err = r.check(s, into)
		default:
			err = s.errorf("is no scope, figure, given or check")
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// ClosingScope returns the table of that name that is worked out after the
// lines, or nil. Tables that the estimator keeps may have the same name (cars).
func (m *Model) ClosingScope(name string) *Scope { return called(m.Closing, name) }

func (m *Model) readScope(s *stanza) error {
	if err := s.only("of", "by", "each", "title"); err != nil {
		return err
	}
	sc := newScope(s.key, s.text("title"))
	sc.where = fmt.Sprintf("%s:%d", s.file, s.line)
	m.Closing = append(m.Closing, sc)
	switch {
	case s.has("of"):
		if sc.Of = m.Table(s.text("of")); sc.Of == nil {
			return s.errorf("there is no table %q", s.text("of"))
		}
		sc.By = s.text("by")
		if m.Line.byKey[sc.By] == nil {
			return s.errorf("a joint line has no figure %q", sc.By)
		}
		m.Summary = append(m.Summary, sc)
	case s.text("each") == "list":
		sc.PerList, sc.By = true, "list_no"
	case s.has("each"):
		return s.errorf("each is list")
	default:
		sc.once = true
		return nil
	}
	return s.put(&Quantity{Key: sc.By, Heading: "No.", Role: Number, UnitOf: "each", Shown: "0"}, sc)
}

func (m *Model) readGiven(s *stanza, into *Scope) error {
	if err := s.only("of", "heading", "unit", "text", "shown", "why"); err != nil {
		return err
	}
	q := &Quantity{Role: Given}
	if err := m.describe(s, q); err != nil {
		return err
	}
	return s.put(q, into)
}

func (m *Model) readOrderCheck(s *stanza, into *Scope) error {
	if err := s.only("of", "level", "heading", "fix", "cell", "unit", "why", "="); err != nil {
		return err
	}
	q := &Quantity{Role: Check, Told: Told{Fix: s.text("fix"), Cells: strings.Fields(s.text("cell"))}}
	if err := m.describe(s, q); err != nil {
		return err
	}
	for _, id := range q.Cells {
		table, key, _ := strings.Cut(id, ".")
		t := m.Table(table)
		if t == nil || t.byKey[key] == nil || t.byKey[key].Guard == nil {
			return s.errorf("there is no column %q", id)
		}
		t.byKey[key].Guard.Live = q
	}
	if q.node == nil {
		return s.errorf("has no formula; add a line that begins with =")
	}
	q.Shown = "0.##"
	switch s.text("level") {
	case "incomplete":
		q.Level = LevelRefuse
		if q.Fix == "" {
			return s.errorf("keeps the order from being complete, and says not what to do; add a line that begins with fix")
		}
	case "look":
		q.Level = LevelWarn
	case "tell":
	default:
		return s.errorf("level is incomplete, look or tell")
	}
	return s.put(q, into)
}

func (m *Model) readHead(fsys fs.FS) error {
	list, err := readStanzas(fsys, "header.txt")
	if err != nil {
		return err
	}
	for _, s := range list {
		m.Heads = append(m.Heads, Head{Key: s.key, What: s.text("what"), Value: s.text("value"), Anew: s.has("anew"), Letter: s.has("letter")})
	}
	if list, err = readStanzas(fsys, "basis.txt"); err != nil {
		return err
	}
	for _, s := range list {
		if err := s.only("what", "anew"); err != nil {
			return err
		}
		m.Basis = append(m.Basis, Head{Key: s.key, What: s.text("what"), Anew: s.has("anew")})
	}
	f, err := fsys.Open("cautions.txt")
	if err != nil {
		return err
	}
	defer f.Close()
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		if t := strings.TrimSpace(sc.Text()); t != "" {
			m.Cautions = append(m.Cautions, t)
		}
	}
	return sc.Err()
}

// Refusals is how many of the checks of a joint row, the gravest first, refuse
// it.
func Refusals(checks []*Quantity) int {
	n := 0
	for _, q := range checks {
		if q.Level == LevelRefuse {
			n++
		}
	}
	return n
}
