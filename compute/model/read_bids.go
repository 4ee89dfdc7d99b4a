package model

import (
	"fmt"
	"io/fs"
	"strings"

	"seamtally/compute/formula"
)

// readBids reads what stands on the sheets for the bid, and nowhere else: a file a
// sheet.
func (m *Model) readBids(fsys fs.FS) error {
	files, err := fs.Glob(fsys, "bids_*.txt")
	if err != nil {
		return err
	}
	for _, name := range files {
		if err := m.readScopes(fsys, name, scopeReader{m.readBidScope, m.BidScope, m.readAgreement}); err != nil {
			return err
		}
	}
	return nil
}

// BidScope returns the scope of that name that stands on a sheet for the bid, or
// nil.
func (m *Model) BidScope(name string) *Scope { return called(m.Bids, name) }

func called(list []*Scope, name string) *Scope {
	for _, s := range list {
		if s.Name == name {
			return s
		}
	}
	return nil
}

func (m *Model) readBidScope(s *stanza) error {
	if err := s.only("sheet", "follows", "numbered", "each", "title"); err != nil {
		return err
	}
	sc := newScope(s.key, s.text("title"))
	sc.where = fmt.Sprintf("%s:%d", s.file, s.line)
	if sc.Sheet = s.text("sheet"); sc.Sheet == "" {
		return s.errorf("names no sheet")
	}
	m.Bids = append(m.Bids, sc)
	each := s.text("each")
	switch follows := s.text("follows"); {
	case each == "run", each == "scene":
		sc.Apart = each == "scene"
	case each != "":
		return s.errorf("each is run or scene")
	case follows == "":
		sc.once = true
	}
	switch follows := s.text("follows"); follows {
	case "":
	case m.Line.Name:
		sc.Beside = m.Line
	default:
		if sc.Beside = m.ClosingScope(follows); sc.Beside == nil || sc.Beside.By == "" {
			return s.errorf("there are no rows of %q to follow", follows)
		}
		sc.By = sc.Beside.By
		no := &Quantity{Key: sc.By, Role: Number, UnitOf: "each", Shown: "0"}
		if s.has("numbered") {
			no.Heading = "No."
		}
		return s.put(no, sc)
	}
	return nil
}

// readAgreement reads a check of a sheet for the bid: two amounts that have to be
// equal. Where only "there" has a formula, "here" keeps what that came to in the
// run; where only "here" has, "there" is 0.
func (m *Model) readAgreement(s *stanza, into *Scope) error {
	if err := s.only("of", "heading", "unit", "shown", "places", "why", "here", "there"); err != nil {
		return err
	}
	if !s.has("here") && !s.has("there") || !s.has("places") {
		return s.errorf("needs its places, and a formula: here, there, or both")
	}
	q := &Quantity{Role: Check, Told: Told{Level: LevelWarn}}
	if err := m.describe(s, q); err != nil {
		return err
	}
	side := func(name string) (*Quantity, error) {
		q := &Quantity{Role: Figure}
		f, ok := s.get(name)
		if !ok {
			q.Kept = true
			if f, ok = s.get("there"); !ok {
				f = field{text: "0", line: s.line, col: 1}
			}
		}
		if err := m.describe(s, q); err != nil {
			return nil, err
		}
		q.Key, q.Heading, q.src = s.key+"_"+name, "", s.source(f)
		var err error
		if q.node, err = formula.Parse(q.src); err != nil {
			return nil, err
		}
		return q, s.put(q, into)
	}
	var err error
	if q.Here, err = side("here"); err != nil {
		return err
	}
	if q.There, err = side("there"); err != nil {
		return err
	}
	q.src = formula.Source{File: s.file, Line: s.line, Col: 1, Text: fmt.Sprintf("ROUND(%s-%s, %s)", q.Here.Key, q.There.Key, s.text("places"))}
	if q.node, err = formula.Parse(q.src); err != nil {
		return err
	}
	return s.put(q, into)
}

// HeadingOn is the heading of a quantity on a row: {key} is what a text of the
// row says.
func (q *Quantity) HeadingOn(f *formula.Frame) string {
	out := q.Heading
	for _, o := range q.Scope.Quantities {
		if o.IsText() {
			out = strings.ReplaceAll(out, "{"+o.Key+"}", o.Text(f))
		}
	}
	return out
}
