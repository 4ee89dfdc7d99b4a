package grid

import (
	"strconv"
	"strings"
)

// MoveFormula gives a formula as it reads when copied dRow rows down and dCol
// columns right: relative references move, absolute ones ($) stay, a reference
// that leaves the sheet becomes #REF!. This is how the dependants of a shared
// formula are spelled out (ISO/IEC 29500-1, 18.3.1.40).
func MoveFormula(f string, dRow, dCol int) string {
	if dRow == 0 && dCol == 0 {
		return f
	}
	m := mover{src: f, dRow: dRow, dCol: dCol}
	m.out.Grow(len(f) + 8)
	for m.at < len(f) {
		m.step()
	}
	return m.out.String()
}

type mover struct {
	src        string
	at         int
	dRow, dCol int
	out        strings.Builder
}

func (m *mover) step() {
	switch ch := m.src[m.at]; {
	case ch == '"' || ch == '\'':
		m.copyTo(quoteEnd(m.src, m.at))
	case ch == '[':
		m.copyTo(bracketEnd(m.src, m.at))
	case ch == '#':
		m.copyTo(errorEnd(m.src, m.at))
	case isWord(ch):
		m.word()
	default:
		m.copyTo(m.at + 1)
	}
}

func (m *mover) copyTo(end int) {
	m.out.WriteString(m.src[m.at:end])
	m.at = end
}

// word handles a run of name characters: a cell, a half of A:C or 1:3, or
// something that stays as it is (a name, a function, a number, a sheet).
func (m *mover) word() {
	end := nameEnd(m.src, m.at)
	word := m.src[m.at:end]
	var next byte
	if end < len(m.src) {
		next = m.src[end]
	}
	if next == '(' || next == '!' {
		m.copyTo(end)
		return
	}
	if r, ok := parseSided(word); ok && r.row != 0 && r.col != 0 {
		m.out.WriteString(r.moved(m.dRow, m.dCol))
		m.at = end
		return
	}
	if next == ':' {
		if second := nameEnd(m.src, end+1); m.wholeLines(word, m.src[end+1:second]) {
			m.at = second
			return
		}
	}
	m.copyTo(end)
}

// wholeLines writes A:C or 1:3 moved, if that is what the two words are.
func (m *mover) wholeLines(from, to string) bool {
	a, okA := parseSided(from)
	b, okB := parseSided(to)
	if !okA || !okB || (a.row == 0) != (b.row == 0) || (a.col == 0) != (b.col == 0) {
		return false
	}
	x, y := a.moved(m.dRow, m.dCol), b.moved(m.dRow, m.dCol)
	if x == RefError || y == RefError {
		m.out.WriteString(RefError)
		return true
	}
	m.out.WriteString(x + ":" + y)
	return true
}

// RefError is what a formula has for a cell that is gone.
const RefError = "#REF!"

// sided is a reference with its dollar signs. Row or col is 0 where it has
// only the other.
type sided struct {
	row, col       int
	rowAbs, colAbs bool
}

// parseSided reads AB12, $A$1, A, $A, 1 or $1.
func parseSided(s string) (sided, bool) {
	var r sided
	rest := s
	dollar := strings.HasPrefix(rest, "$")
	if dollar {
		rest = rest[1:]
	}
	if col, n := leadingCol(rest); n > 0 {
		if col > MaxCol || n > 3 {
			return r, false
		}
		r.col, r.colAbs = col, dollar
		rest = rest[n:]
		if rest == "" {
			return r, true
		}
		if dollar = strings.HasPrefix(rest, "$"); dollar {
			rest = rest[1:]
		}
	}
	row, ok := ScanCount(rest, MaxRow)
	r.row, r.rowAbs = row, dollar
	return r, ok && rest[0] != '0'
}

func (r sided) moved(dRow, dCol int) string {
	var b []byte
	if r.col != 0 {
		if r.colAbs {
			b = append(b, '$')
		} else if r.col += dCol; r.col < 1 || r.col > MaxCol {
			return RefError
		}
		b = appendColName(b, r.col)
	}
	if r.row != 0 {
		if r.rowAbs {
			b = append(b, '$')
		} else if r.row += dRow; r.row < 1 || r.row > MaxRow {
			return RefError
		}
		b = strconv.AppendInt(b, int64(r.row), 10)
	}
	return string(b)
}

// isWord says whether a byte can be part of a name, a reference or a number.
func isWord(ch byte) bool {
	return ch >= '0' && ch <= '9' || ch >= 'A' && ch <= 'Z' || ch >= 'a' && ch <= 'z' ||
		ch == '_' || ch == '.' || ch == '$' || ch == '\\' || ch == '?' || ch >= 0x80
}

func nameEnd(s string, i int) int {
	for i < len(s) && isWord(s[i]) {
		i++
	}
	return i
}

// errorEnd finds the end of an error value: #REF!, #DIV/0!, #NAME?, #N/A.
func errorEnd(s string, i int) int {
	if strings.HasPrefix(s[i:], "#N/A") {
		return i + len("#N/A")
	}
	for j := i + 1; j < len(s); j++ {
		switch ch := s[j]; {
		case ch == '!' || ch == '?':
			return j + 1
		case !isWord(ch) && ch != '/':
			return j
		}
	}
	return len(s)
}
