package formula

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Source is the text of one formula and where it begins: Line and Col count
// from 1, Col in characters. File may be a file, or whatever else tells a
// person where to look.
type Source struct {
	File string
	Line int
	Col  int
	Text string
}

// Error is a fault at one place of a formula. Offset is counted in bytes from
// the start of Source.Text.
type Error struct {
	Source
	Offset int
	What   string // what is wrong
	Fix    string // what to do; may be empty
}

// Error gives file:line:col, what is wrong and what to do, then the line of
// the formula with a caret under the place.
func (e *Error) Error() string {
	offset := min(max(e.Offset, 0), len(e.Text))
	start := strings.LastIndexByte(e.Text[:offset], '\n') + 1
	end := len(e.Text)
	if i := strings.IndexByte(e.Text[offset:], '\n'); i >= 0 {
		end = offset + i
	}
	before := e.Text[start:offset]
	col := utf8.RuneCountInString(before)
	line := e.Line + strings.Count(e.Text[:start], "\n")
	shown := col + 1
	if start == 0 && e.Col > 0 {
		shown = col + e.Col
	}
	what := e.What
	if e.Fix != "" {
		what += "; " + e.Fix
	}
	return fmt.Sprintf("%s:%d:%d: %s\n%s\n%s^", e.File, line, shown, what, e.Text[start:end], blankLike(before))
}

// blankLike is as wide as s on a screen: tabs stay, all else is one space.
func blankLike(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\t' {
			return r
		}
		return ' '
	}, s)
}
