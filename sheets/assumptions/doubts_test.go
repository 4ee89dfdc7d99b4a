package assumptions_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A cell of a table that would make the price wrong without a word is told by its
// place, and keeps the order from being complete until it is put right.
func TestCellsOfTablesAreGuarded(t *testing.T) {
	fresh, rep := shop.Price(t, shop.TwoButts(t))
	require.True(t, rep.Complete, "%v", rep.Findings)
	for name, c := range map[string]struct {
		line  []any          // the cells that it begins with
		cells map[string]any // columns, and what is typed there
		col   string         // where it is told
		what  string
		check string // the reason; "" for something to look at
	}{
		"hours without a quantity":        {[]any{"Flanges"}, map[string]any{"E": 10, "D": nil}, "D", "quantity is blank, and counts as nothing", "parts_uncounted"},
		"once":                            {[]any{"Flanges"}, map[string]any{"E": 10, "G": "once"}, "G", `for each is "once", which is none of its words`, "parts_unworded"},
		"sticks without a length":         {[]any{"grade 2", 3.0, 0.049}, map[string]any{"G": "whole sticks", "F": nil}, "F", "stick length is blank, and counts as nothing", "metal_lacks"},
		"a rod without density":           {[]any{"grade 2", 0.045}, map[string]any{"E": nil}, "E", "density is blank, and counts as nothing", "metal_lacks"},
		"a rod without length":            {[]any{"grade 2", 0.045}, map[string]any{"F": nil}, "F", "rod length is blank, and counts as nothing", ""},
		"no purge flow":                   {[]any{"cup, stop and start"}, map[string]any{"I": nil}, "I", "purge flow, filling is blank, and counts as nothing", "tables_unsettled"},
		"cup 16 for #16":                  {[]any{"cup, stop and start"}, map[string]any{"C": 16}, "C", "cup bore, or its number (#16) is 16 in, and is usually 0.25 to 1.5", "tables_unsettled"},
		"a share of the bore in per cent": {[]any{"cup, stop and start"}, map[string]any{"D": 45}, "D", "share of the bore welded before a stop is 4500 %, and is usually 20 to 80", "tables_unsettled"},
		"a flow a little high":            {[]any{"cup, stop and start"}, map[string]any{"G": 70}, "G", "torch flow is 70 ft³/h, and is usually 8 to 60", ""},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			row := shop.TableRow(t, sheetstest.Read(t, fresh), c.line...)
			var typed []shop.Cell
			for col, x := range c.cells {
				typed = append(typed, shop.At("Assumptions", fmt.Sprint(col, row), x))
			}
			spoiled, rep := shop.Price(t, shop.TypeIn(t, fresh, typed...))
			cell, level := fmt.Sprint("Assumptions!", c.col, row), "error"
			if c.check == "" {
				level = "warning"
			}
			assert.True(t, shop.HasFinding(rep, level, cell, c.what), "%v", rep.Findings)
			assert.Equal(t, c.check == "", rep.Complete)
			var reasons []string
			for _, r := range rep.Reasons {
				reasons = append(reasons, r.Check)
				if r.Check == c.check {
					assert.Equal(t, cell, r.Cell)
					assert.NotEmpty(t, r.Fix)
				}
			}
			if c.check != "" {
				assert.Contains(t, reasons, c.check)
				assert.Equal(t, "INCOMPLETE", shop.Master(sheetstest.Read(t, spoiled)))
			}
			was := sheetstest.Read(t, fresh)["Assumptions"]
			typed = nil
			for col := range c.cells {
				ref := fmt.Sprint(col, row)
				var x any = was[ref].Num
				if was[ref].Kind == sheetstest.Text {
					x = was[ref].Text
				}
				typed = append(typed, shop.At("Assumptions", ref, x))
			}
			_, rep = shop.Price(t, shop.TypeIn(t, spoiled, typed...))
			assert.True(t, rep.Complete, "%v", rep.Findings)
			assert.False(t, shop.HasFinding(rep, level, cell, c.what))
		})
	}
}

// A size twice, with two prices, is told where the order uses it; a line that the
// program adds has a basis that is true of it once its price is typed.
func TestLinesOfStock(t *testing.T) {
	fresh, _ := shop.Price(t, shop.TwoButts(t))
	g := sheetstest.Read(t, fresh)
	row := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	end := shop.TableRow(t, g, "grade 2", 4.0, 0.049) + 1
	double := func(price float64) []shop.Cell {
		var out []shop.Cell
		for col, x := range map[string]any{"B": "grade 2", "C": 3, "D": 0.049, "E": price, "F": g["Assumptions"][fmt.Sprint("F", row)].Num, "G": "used"} {
			out = append(out, shop.At("Assumptions", fmt.Sprint(col, end), x))
		}
		return out
	}
	_, rep := shop.Price(t, shop.TypeIn(t, fresh, double(99)...))
	assert.False(t, rep.Complete)
	assert.True(t, shop.HasFinding(rep, "error", fmt.Sprint("Assumptions!B", end), "with another price; only the first is found"), "%v", rep.Findings)
	_, rep = shop.Price(t, shop.TypeIn(t, fresh, double(g["Assumptions"][fmt.Sprint("E", row)].Num)...))
	assert.True(t, rep.Complete, "%v", rep.Findings)

	odd := shop.Butt("J-1")
	odd[4] = 3.375
	added, rep := shop.Price(t, shop.Small(t, odd))
	assert.False(t, rep.Complete)
	g = sheetstest.Read(t, added)
	line := shop.TableRow(t, g, "grade 2", 3.375)
	assert.Equal(t, "size from the joint list; the price is the shop's own", g["Assumptions"][fmt.Sprint("L", line)].Text)
}
