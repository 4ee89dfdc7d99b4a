package book

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/part/worksheet"
)

// A formula over typed numbers is told where it does not come to its stored value,
// and only there.
func TestStale(t *testing.T) {
	row := []worksheet.Cell{
		{Row: 5, Col: 1, Kind: worksheet.Number, Num: 2},
		{Row: 5, Col: 2, Kind: worksheet.Number, Num: 0.5},
		{Row: 5, Col: 3, Kind: worksheet.Number, Num: 9, Formula: "A9", HasFormula: true},
		{Row: 5, Col: 4, Kind: worksheet.Text, Text: "3"},
	}
	for text, stored := range map[string]float64{
		"1+2": 3, "(1+2)*3/2": 4.5, "-2^2": 4, "50%": 0.5, "76.2/25.4": 3, "1/3": 0.333333333333333, "0.3-0.1-0.2": 0,
		"A5+B5": 2.5, "$A5*b5": 1, "SUM(A5,B5,1)": 3.5,
	} {
		c := worksheet.Cell{Row: 5, Col: 9, Kind: worksheet.Number, Num: stored, Formula: text, HasFormula: true}
		assert.Empty(t, Stale(&c, row), text)
		c.Num++
		assert.Contains(t, Stale(&c, row), "="+text+", which comes to ", text)
		c.Kind = worksheet.Text
		assert.Empty(t, Stale(&c, row), "a text")
		c.Kind, c.HasFormula = worksheet.Number, false
		assert.Empty(t, Stale(&c, row), "typed")
	}
	for _, text := range []string{
		"A6+1", "Rates!A5+1", "C5+1", "D5+1", "E5+1", "MAX(1,2)", "SUM(A5:B5)", "rate", "1/0", `"1"+2`, "1=1", "A5:A5", "1+", "",
	} {
		c := worksheet.Cell{Row: 5, Col: 9, Kind: worksheet.Number, Num: 77, Formula: text, HasFormula: true}
		assert.Empty(t, Stale(&c, row), "%s cannot be told", text)
	}
	c := worksheet.Cell{Row: 5, Col: 9, Kind: worksheet.Number, Num: 4, Formula: "1+2", HasFormula: true}
	assert.Equal(t, "=1+2, which comes to 3, and the file says 4", Stale(&c, nil))
}
