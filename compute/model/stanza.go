package model

import (
	"bufio"
	"fmt"
	"io/fs"
	"strings"

	"seamtally/compute/formula"
)

// A stanza is one block of a model file: a first line "kind key", then a field
// a line. Blocks are set apart by blank lines; a line that begins with # is a
// remark. Each field keeps its place, so that an error can name it.
type stanza struct {
	file   string
	line   int
	kind   string
	key    string
	fields []field
}

type field struct {
	name string
	text string
	line int
	col  int // where text begins, counted from 1
	full string
}

// readStanzas reads one model file.
func readStanzas(fsys fs.FS, name string) ([]*stanza, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var out []*stanza
	var cur *stanza
	sc := bufio.NewScanner(f)
	for n := 1; sc.Scan(); n++ {
		line := strings.TrimRight(sc.Text(), " \t\r")
		switch {
		case strings.HasPrefix(line, "#"):
		case line == "":
			cur = nil
		case cur == nil:
			kind, key, _ := strings.Cut(line, " ")
			cur = &stanza{file: name, line: n, kind: kind, key: strings.TrimSpace(key)}
			out = append(out, cur)
		default:
			cur.fields = append(cur.fields, splitField(line, n))
		}
	}
	if err := sc.Err(); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return out, nil
}

// splitField takes "name text", or "= formula", apart.
func splitField(line string, n int) field {
	name, rest, _ := strings.Cut(line, " ")
	text := strings.TrimLeft(rest, " ")
	return field{name: name, text: text, line: n, col: len([]rune(line)) - len([]rune(text)) + 1, full: line}
}

// get returns the first field of that name.
func (s *stanza) get(name string) (field, bool) {
	for _, f := range s.fields {
		if f.name == name {
			return f, true
		}
	}
	return field{}, false
}

func (s *stanza) text(name string) string {
	f, _ := s.get(name)
	return f.text
}

func (s *stanza) has(name string) bool {
	_, ok := s.get(name)
	return ok
}

// only refuses a field that the stanza's kind does not know: a misspelt field
// would otherwise be lost without a word.
func (s *stanza) only(names ...string) error {
	for _, f := range s.fields {
		known := false
		for _, n := range names {
			known = known || f.name == n
		}
		if !known {
			return fmt.Errorf("%s:%d: %s %s has a field %q that means nothing here; use one of %s",
				s.file, f.line, s.kind, s.key, f.name, strings.Join(names, ", "))
		}
	}
	return nil
}

func (s *stanza) errorf(format string, args ...any) error {
	return fmt.Errorf("%s:%d: %s %s: %s", s.file, s.line, s.kind, s.key, fmt.Sprintf(format, args...))
}

// put adds what a stanza describes to a scope; an error says where it stands.
func (s *stanza) put(q *Quantity, to *Scope) error {
	if err := to.add(q); err != nil {
		return s.errorf("%v", err)
	}
	return nil
}

// source is where the text of a field begins, for the errors of its formula.
func (s *stanza) source(f field) formula.Source {
	return formula.Source{File: s.file, Line: f.line, Col: f.col, Text: f.text}
}
