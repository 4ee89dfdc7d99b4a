package formula

import (
	"fmt"
	"strings"
)

// The size of a sheet in today's spreadsheets: XFD1048576 is its last cell.
const (
	lastColumn = 16384
	lastRow    = 1048576
)

// ValidKey tells whether s can name a quantity: a lower-case letter, then
// lower-case letters, digits and underscores, at most 200 of them, and
// nothing that a spreadsheet takes for a cell (a1 to xfd1048576, r, c, r1c1)
// or for a truth value.
func ValidKey(s string) error {
	if s == "" {
		return fmt.Errorf("the name is empty; write a key such as od")
	}
	for i, r := range s {
		switch {
		case r >= 'a' && r <= 'z', i > 0 && (r == '_' || r >= '0' && r <= '9'):
		default:
			return fmt.Errorf("%q is no key; use lower-case letters, digits and _, beginning with a letter", s)
		}
	}
	switch {
	case len(s) > 200:
		return fmt.Errorf("the key %.20s... is too long; use at most 200 characters", s)
	case s == "true" || s == "false":
		return fmt.Errorf("%s is a truth value in a spreadsheet; choose another key", s)
	case isCellA1(s) || isCellRC(s):
		return fmt.Errorf("%s reads as a cell address; choose another key", s)
	}
	return nil
}

// isCellA1 tells whether s is an address such as b12, within the size of a
// sheet. s is of lower-case letters, digits and underscores.
func isCellA1(s string) bool {
	letters := strings.TrimRight(s, "0123456789")
	digits := s[len(letters):]
	if letters == "" || len(letters) > 3 || digits == "" || len(digits) > 7 {
		return false
	}
	column, row := 0, 0
	for _, c := range []byte(letters) {
		if c < 'a' || c > 'z' {
			return false
		}
		column = column*26 + int(c-'a') + 1
	}
	for _, c := range []byte(digits) {
		row = row*10 + int(c-'0')
	}
	return column <= lastColumn && row >= 1 && row <= lastRow
}

// isCellRC tells whether s is an address of the row-and-column style: r, c,
// rc, r1, c2, r1c1.
func isCellRC(s string) bool {
	rest := s
	for _, letter := range []string{"r", "c"} {
		if after, found := strings.CutPrefix(rest, letter); found {
			rest = strings.TrimLeft(after, "0123456789")
		}
	}
	return rest == "" && s != ""
}
