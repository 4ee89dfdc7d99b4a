package grid

import (
	"fmt"
	"strconv"
)

// The size of a worksheet (ISO/IEC 29500-1 leaves it open; these are the
// limits of every current spreadsheet program).
const (
	MaxRow = 1048576
	MaxCol = 16384
)

// Ref gives the A1 name of a cell, both numbers counting from 1.
// Ref(3, 28) is "AB3".
func Ref(row, col int) string {
	return string(AppendRef(nil, row, col))
}

// AppendRef writes what Ref gives.
func AppendRef(dst []byte, row, col int) []byte {
	return strconv.AppendInt(appendColName(dst, col), int64(row), 10)
}

// ColName gives the letters of a column that counts from 1: 28 is "AB".
// A number under 1 gives "".
func ColName(col int) string {
	return string(appendColName(nil, col))
}

func appendColName(dst []byte, col int) []byte {
	var tmp [8]byte
	i := len(tmp)
	for col > 0 && i > 0 {
		col--
		i--
		tmp[i] = byte('A' + col%26)
		col /= 26
	}
	return append(dst, tmp[i:]...)
}

// ParseCol reads column letters in either case: "AB" is 28.
func ParseCol(s string) (int, error) {
	col, n := leadingCol(s)
	if n == 0 || n != len(s) || col > MaxCol {
		return 0, fmt.Errorf("%q is not a column; columns run from A to XFD", s)
	}
	return col, nil
}

// ParseRef reads an A1 reference without dollar signs, letters in either case:
// "AB3" is row 3, column 28.
func ParseRef(s string) (row, col int, err error) {
	row, col, ok := ScanRef(s)
	if !ok {
		return 0, 0, fmt.Errorf("%q is not a cell; cells run from A1 to XFD1048576", s)
	}
	return row, col, nil
}

// bytesOrString lets the scanner parse its own buffer without a copy.
type bytesOrString interface{ ~string | ~[]byte }

// ScanRef is ParseRef without an error to tell.
func ScanRef[T bytesOrString](s T) (row, col int, ok bool) {
	col, n := leadingCol(s)
	if n == 0 || n == len(s) || col > MaxCol {
		return 0, 0, false
	}
	row, ok = ScanCount(s[n:], MaxRow)
	return row, col, ok
}

// leadingCol reads the letters that s begins with and says how many they are.
// Four or more letters are no column: col is then over MaxCol.
func leadingCol[T bytesOrString](s T) (col, n int) {
	for n < len(s) {
		ch := s[n] | 0x20
		if ch < 'a' || ch > 'z' {
			break
		}
		if n < 4 {
			col = col*26 + int(ch-'a') + 1
		}
		n++
	}
	return col, n
}

// ScanCount reads a decimal from 1 to limit with nothing else around it.
func ScanCount[T bytesOrString](s T, limit int) (int, bool) {
	v, ok := ScanWhole(s, limit)
	return v, ok && v > 0
}

// ScanWhole is ScanCount from 0.
func ScanWhole[T bytesOrString](s T, limit int) (int, bool) {
	if len(s) == 0 {
		return 0, false
	}
	v := 0
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		v = v*10 + int(s[i]-'0')
		if v > limit {
			return 0, false
		}
	}
	return v, true
}

// Range is a block of cells, ends included, all numbers counting from 1.
type Range struct {
	Row1, Col1, Row2, Col2 int
}

// ParseRange reads "B2:F9" or "B2". Dollar signs are allowed.
func ParseRange(s string) (Range, error) {
	rg, ok := parseRange(s)
	if !ok {
		return Range{}, fmt.Errorf("%q is not a range of cells; write it as in B2:F9", s)
	}
	return rg, nil
}

func parseRange[T bytesOrString](s T) (Range, bool) {
	var plain [32]byte
	text := plain[:0]
	colon := -1
	for i := range len(s) {
		if s[i] == '$' {
			continue
		}
		if len(text) == cap(text) {
			return Range{}, false
		}
		if s[i] == ':' && colon < 0 {
			colon = len(text)
		}
		text = append(text, s[i])
	}
	if colon < 0 {
		row, col, ok := ScanRef(text)
		return Range{row, col, row, col}, ok
	}
	r1, c1, ok1 := ScanRef(text[:colon])
	r2, c2, ok2 := ScanRef(text[colon+1:])
	rg := Range{min(r1, r2), min(c1, c2), max(r1, r2), max(c1, c2)}
	return rg, ok1 && ok2
}

// String writes the range as "B2:F9", or "B2" for a single cell.
func (r Range) String() string {
	if r.Row1 == r.Row2 && r.Col1 == r.Col2 {
		return Ref(r.Row1, r.Col1)
	}
	return Ref(r.Row1, r.Col1) + ":" + Ref(r.Row2, r.Col2)
}

// Contains says whether a cell lies in the range.
func (r Range) Contains(row, col int) bool {
	return row >= r.Row1 && row <= r.Row2 && col >= r.Col1 && col <= r.Col2
}

// Union gives the smallest range that covers both.
func (r Range) Union(o Range) Range {
	return Range{
		min(r.Row1, o.Row1), min(r.Col1, o.Col1),
		max(r.Row2, o.Row2), max(r.Col2, o.Col2),
	}
}
