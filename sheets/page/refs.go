package page

import (
	"fmt"
	"strings"

	"seamtally/sheets/part/grid"
)

// Absolute is the address of a cell that stays when the formula is copied.
func Absolute(row, col int) string { return fmt.Sprintf("$%s$%d", grid.ColName(col), row) }

// SplitRef takes 'Sheet name'!$A$1:$B$2 apart.
func SplitRef(ref string) (sheet string, r grid.Range, ok bool) {
	i := strings.LastIndex(ref, "!")
	if i < 0 {
		return "", r, false
	}
	sheet = ref[:i]
	if strings.HasPrefix(sheet, "'") && strings.HasSuffix(sheet, "'") && len(sheet) > 1 {
		sheet = strings.ReplaceAll(sheet[1:len(sheet)-1], "''", "'")
	}
	r, err := grid.ParseRange(ref[i+1:])
	return sheet, r, err == nil
}

// RangeRef writes a block of cells on a sheet, absolute.
func RangeRef(sheet string, r grid.Range) string {
	a := Absolute(r.Row1, r.Col1)
	if r.Row1 == r.Row2 && r.Col1 == r.Col2 {
		return grid.QuoteSheet(sheet) + "!" + a
	}
	return grid.QuoteSheet(sheet) + "!" + a + ":" + Absolute(r.Row2, r.Col2)
}

// Quoted is a text as a formula has it.
func Quoted(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// CellRef writes a cell of a sheet, absolute.
func CellRef(sheet string, row, col int) string {
	return grid.QuoteSheet(sheet) + "!" + Absolute(row, col)
}
