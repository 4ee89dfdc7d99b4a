package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/xuri/excelize/v2"
)

// What number formats show (sections, literals, commas that scale) is that of
// ECMA-376 part 1, 18.8.31, from memory.
func TestHidingFormats(t *testing.T) {
	code := func(s string) *excelize.Style { return &excelize.Style{CustomNumFmt: &s} }
	solid := func(c string) excelize.Fill { return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{c}} }
	for _, c := range []struct {
		name  string
		style *excelize.Style
		x     float64
		text  bool
		hides string
	}{
		{"usual", code("#,##0.00"), 5, false, ""},
		{"signed", code("+#,##0.00;-#,##0.00;0.00"), -5, false, ""},
		{"zero left out", code("#,##0;-#,##0;"), 0, false, ""},
		{"a unit", code(`0.0" h"`), 5, false, ""},
		{"day, or not set", code(`[=0]"not set";yyyy-mm-dd`), 46000, false, ""},
		{"hours on", code("[h]:mm"), 5, false, ""},
		{"nothing", code(";;;"), 5, false, "its number format shows nothing"},
		{"nothing below zero", code("0;;0"), -5, false, "its number format shows nothing"},
		{"words nowhere", code("0;0;0;"), 0, true, "its number format shows nothing"},
		{"words as they are", code("0;-0"), 0, true, ""},
		{"words in place", code(`"ok"`), 5, false, "its number format shows the same words for every value"},
		{"another number", code(`"92,650.00"`), 5, false, "its number format shows the same words for every value"},
		{"figures before", code(`"9"0`), 5, false, "its number format has figures of its own"},
		{"thousands", code("#,##0,"), 5, false, "its number format shows thousandths"},
		{"thousands and places", code("0.00,,"), 5, false, "its number format shows thousandths"},
		{"white on nothing", &excelize.Style{Font: &excelize.Font{Color: "FFFFFF"}}, 5, false, "its words have the colour of the cell"},
		{"nearly white", &excelize.Style{Font: &excelize.Font{Color: "FAFAFA"}}, 5, true, "its words have the colour of the cell"},
		{"white on red", &excelize.Style{Font: &excelize.Font{Color: "FFFFFF"}, Fill: solid("C00000")}, 5, false, ""},
		{"red on red", &excelize.Style{Font: &excelize.Font{Color: "C00000"}, Fill: solid("C00000")}, 5, false, "its words have the colour of the cell"},
		{"grey", &excelize.Style{Font: &excelize.Font{Color: "808080"}}, 5, false, ""},
	} {
		s := stylesOf(t, styledBook(t, c.style))
		assert.Equal(t, c.hides, s.Hides(1, c.x, c.text), c.name)
	}
}
