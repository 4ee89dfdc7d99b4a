package part

import (
	"regexp"
	"strings"
)

// Moved says where cells of a sheet have gone, so that what points at them can
// follow as in a spreadsheet program that moves cells.
type Moved struct {
	Sheet string // title
	// At gives the new place of a cell; ok is false where it has none any more.
	At func(row, col int) (newRow, newCol int, ok bool)
	// Row gives the new place of a whole row, for what hangs on rows: drawings,
	// notes, ranges of formats.
	Row func(row int) int
}

// blockRef is a cell or a block of cells at the beginning of a text; whole
// columns and rows are none, and stay as they are.
var blockRef = regexp.MustCompile(`^(\$?)([A-Za-z]{1,3})(\$?)([0-9]{1,7})(?::(\$?)([A-Za-z]{1,3})(\$?)([0-9]{1,7}))?`)

// MoveRefs gives a formula that stands on the sheet called on with its
// references to cells that have gone led to their new places. A block follows by
// its corners. What cannot follow stays as it is, and is listed. References into
// other workbooks and over several sheets are left alone.
func (m Moved) MoveRefs(formula, on string) (out string, lost []string) {
	var b strings.Builder
	here := strings.EqualFold(on, m.Sheet)
	for i := 0; i < len(formula); {
		switch ch := formula[i]; {
		case ch == '[': // a table's column, or another workbook, whose sheet and cells follow
			end := bracketEnd(formula, i)
			if e := nameEnd(formula, end); e < len(formula) && formula[e] == '!' {
				end = nameEnd(formula, e+1)
			}
			i = copyTo(&b, formula, i, end)
		case ch == '#':
			i = copyTo(&b, formula, i, errorEnd(formula, i))
		case ch == '"':
			i = copyTo(&b, formula, i, quoteEnd(formula, i))
		case ch == '\'' || isWord(ch):
			end := nameEnd(formula, i)
			if ch == '\'' {
				end = quoteEnd(formula, i)
			}
			if end >= len(formula) || formula[end] != '!' {
				if ch == '\'' || !here {
					i = copyTo(&b, formula, i, end)
					continue
				}
				i = m.ref(&b, formula, i, end, &lost)
				continue
			}
			several := i > 0 && formula[i-1] == ':'
			sheet := formula[i:end]
			if ch == '\'' {
				sheet = strings.ReplaceAll(sheet[1:len(sheet)-1], "''", "'")
			}
			i = copyTo(&b, formula, i, end+1)
			if end = nameEnd(formula, i); strings.EqualFold(sheet, m.Sheet) && !several {
				i = m.ref(&b, formula, i, end, &lost)
			} else if i = copyTo(&b, formula, i, end); i < len(formula) && formula[i] == ':' {
				i = copyTo(&b, formula, i, nameEnd(formula, i+1))
			}
		default:
			i = copyTo(&b, formula, i, i+1)
		}
	}
	return b.String(), lost
}

func copyTo(b *strings.Builder, s string, from, to int) int {
	b.WriteString(s[from:to])
	return to
}

// ref moves what begins at i, a word that ends at end, if it is a reference.
func (m Moved) ref(b *strings.Builder, formula string, i, end int, lost *[]string) int {
	f := blockRef.FindStringSubmatch(formula[i:])
	if f == nil {
		return copyTo(b, formula, i, end)
	}
	stop := i + len(f[0])
	if stop < len(formula) && (isWord(formula[stop]) || formula[stop] == '(' || formula[stop] == '!') {
		return copyTo(b, formula, i, end)
	}
	r, err := ParseRange(f[0])
	if err != nil {
		return copyTo(b, formula, i, stop)
	}
	now, ok := m.block(r)
	if !ok {
		*lost = append(*lost, f[0])
		return copyTo(b, formula, i, stop)
	}
	if now == r {
		return copyTo(b, formula, i, stop)
	}
	b.WriteString(f[1] + ColName(now.Col1) + f[3])
	b.Write(appendInt(nil, now.Row1))
	if f[6] != "" {
		b.WriteString(":" + f[5] + ColName(now.Col2) + f[7])
		b.Write(appendInt(nil, now.Row2))
	}
	return stop
}

// block is where a block of cells has gone.
func (m Moved) block(r Range) (Range, bool) {
	row1, col1, ok1 := m.At(r.Row1, r.Col1)
	row2, col2, ok2 := m.At(r.Row2, r.Col2)
	return Range{Row1: row1, Col1: col1, Row2: row2, Col2: col2}, ok1 && ok2 && row1 <= row2 && col1 <= col2
}

// rows is a range of formats after the move of its rows.
func (m Moved) rows(r Range) Range {
	r.Row1, r.Row2 = m.Row(r.Row1), m.Row(r.Row2)
	if r.Row2 < r.Row1 {
		r.Row1, r.Row2 = r.Row2, r.Row1
	}
	return r
}

// LostRef is a reference that could not follow: where it stands, as Sheet!C5, a
// name, or a part of the package, and what it points at.
type LostRef struct{ Where, Ref string }
