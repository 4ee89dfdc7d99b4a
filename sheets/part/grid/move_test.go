package grid

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMoveFormula(t *testing.T) {
	// Down 2, right 1. What is a reference and what is not follows
	// ISO/IEC 29500-1, 18.17.2 (grammar of formulas); from memory.
	for f, want := range map[string]string{
		"A1":                             "B3",
		"$A1+A$1+$A$1":                   "$A3+B$1+$A$1",
		"SUM(A1:B2)":                     "SUM(B3:C4)",
		"SUM(A:B,$C:C)":                  "SUM(B:C,$C:D)",
		"SUM(1:3,$1:3)":                  "SUM(3:5,$1:5)",
		`A1&"A1"&"x""A1"`:                `B3&"A1"&"x""A1"`,
		"'A1 b'!A1+Sheet1!B2":            "'A1 b'!B3+Sheet1!C4",
		"'it''s A1'!A1":                  "'it''s A1'!B3",
		"LOG10(A1)+ATAN2(A1,B1)":         "LOG10(B3)+ATAN2(B3,C3)",
		"rate*A1+tax_A1+A1.b":            "rate*B3+tax_A1+A1.b",
		"1E5+1.5E-3*A1":                  "1E5+1.5E-3*B3",
		"Table1[A1]+T[[#This Row],[A1]]": "Table1[A1]+T[[#This Row],[A1]]",
		"[1]Sheet1!A1":                   "[1]Sheet1!B3",
		"IF(A1=#N/A,#REF!,#DIV/0!)":      "IF(B3=#N/A,#REF!,#DIV/0!)",
		"{1,2;3,4}*A1":                   "{1,2;3,4}*B3",
		"A1#":                            "B3#",
		"XFD1":                           "#REF!",
		"A1048575":                       "#REF!",
		"A01":                            "A01",
		"-A1^2%":                         "-B3^2%",
		"a1":                             "B3",
		"TRUE":                           "TRUE",
		"":                               "",
		"@A1:A3":                         "@B3:B5",
		"'open A1":                       "'open A1",
		"AAAA1+XFE1":                     "AAAA1+XFE1",
	} {
		assert.Equal(t, want, MoveFormula(f, 2, 1), f)
	}
	assert.Equal(t, "#REF!+A$1", MoveFormula("A1+A$1", -1, 0))
	assert.Equal(t, "A1", MoveFormula("A1", 0, 0))
}

func FuzzMoveFormula(f *testing.F) {
	f.Add(`IF(A1>"x""A1",'A 1'!B2,T[[#This Row],[A]])+SUM(1:3,A:$B)`, 2, -1)
	f.Fuzz(func(t *testing.T, formula string, dRow, dCol int) {
		dRow, dCol = dRow%1000, dCol%1000
		moved := MoveFormula(formula, dRow, dCol)
		if !strings.Contains(moved, RefError) {
			// Canonical after one move, so that there and back is the same.
			there := MoveFormula(moved, 3, 3)
			if !strings.Contains(there, RefError) {
				require.Equal(t, moved, MoveFormula(there, -3, -3))
			}
		}
	})
}
