package account_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/settling"
	"seamtally/sheets/sheetstest/shop"
)

// What rows say in other ways than by their columns is asked about, each beside a list
// that differs in little and is asked nothing.
func TestRowsAreAccountedFor(t *testing.T) {
	list := func(rows ...shop.Row) tab { return tab{"Coupe", rows} }
	plain := shop.Row{"Joint no", "Kind", "OD (in)", "Wall (in)", "Qty"}
	bare := shop.Row{"Joint no", "OD (in)", "Wall (in)"}
	bend := shop.Row{"Joint no", "Kind", "OD (in)", "Wall (in)", "Bend", "Pie angle", "CLR (in)"}
	mm := shop.Row{"Joint no", "OD (mm)", "Wall (mm)", "Tube length (mm)"}
	twins := func(head string, cells ...any) tab {
		rows := []shop.Row{append(append(shop.Row{}, bare...), head)}
		for i, c := range cells {
			rows = append(rows, shop.Row{"A" + string(rune('1'+i)), 3, 0.047, c})
		}
		return list(rows...)
	}
	beside := func(head string, cells ...any) tab {
		return list(append(append(shop.Row{}, plain...), head), shop.Row{"A1", "butt", 3, 0.047, 1, cells[0]}, shop.Row{"A2", "butt", 3, 0.047, 4, cells[1]})
	}
	for _, c := range []struct {
		name string
		of   tab
		cell string // of what is not settled; "" = all is
		says string
	}{
		{"marks that count pieces", list(bare, shop.Row{"W1-W2", 3, 0.047}, shop.Row{"W3", 3, 0.047}), "Coupe!A2", "speaks of 2 pieces"},
		{"marks of two pieces joined", list(bare, shop.Row{"P1-P2", 3, 0.047}, shop.Row{"P2-P3", 3, 0.047}), "", ""},
		{"marks of more joints than pieces", list(plain, shop.Row{"W1/2/3", "butt", 3, 0.047, 1}, shop.Row{"W4", "butt", 3, 0.047, 1}), "Coupe!A2", "names 3 joints, and the row gives 1 of them"},
		{"marks of as many joints as pieces", list(plain, shop.Row{"W1/2/3", "butt", 3, 0.047, 6}, shop.Row{"W4", "butt", 3, 0.047, 1}), "", ""},
		{"marks of other letters that name as many", list(plain, shop.Row{"A1a-d", "butt", 3, 0.047, 1}, shop.Row{"B1a-c", "butt", 3, 0.047, 3}), "Coupe!A2", "names 4 joints"},
		{"marks of a header and a joint", list(plain, shop.Row{"H1-1", "butt", 3, 0.047, 1}, shop.Row{"H1-2", "butt", 3, 0.047, 1}, shop.Row{"H2-1", "butt", 3, 0.047, 1}), "", ""},
		{"marks of other cars", list(append(append(shop.Row{}, plain...), "Car"), shop.Row{"W1-2", "butt", 3, 0.047, 1, "Coupe"}, shop.Row{"W1-4", "butt", 3, 0.047, 4, "Spyder"}), "Coupe!A2", "names 2 joints"},
		{"marks of a drawing", list(plain, shop.Row{"A-X103", "butt", 3, 0.047, 1}, shop.Row{"A-X104", "butt", 3, 0.047}), "", ""},
		{"marks with a hyphen", list(bare, shop.Row{"A-01", 3, 0.047}, shop.Row{"A-02", 3, 0.047}), "", ""},
		{"pieces behind a mark", list(bare, shop.Row{"A1 (4 off)", 3, 0.047}), "Coupe!A2", "speaks of 4 pieces"},
		{"pieces behind a mark and in their column", list(plain, shop.Row{"A1 (4 off)", "butt", 3, 0.047, 4}), "", ""},
		{"pieces behind a mark, their column blank", list(plain, shop.Row{"A1 (4 off)", "butt", 3, 0.047}), "Coupe!A2", "under \"Qty\""},
		{"a size in words", list(append(bare, "Notes"), shop.Row{"A1", 3, 0.047, "sleeve 2 x 0.035"}), "", ""},
		{"two numbers in a bend", list(bend, shop.Row{"A1", "pie cut", 3, 0.047, "165/15", 15, 4.5}), "Coupe!E2", "two numbers with a bar between"},
		{"pies in place of their angle", list(bend, shop.Row{"A1", "pie cut", 3, 0.047, 90, 6, 4.5}), "Coupe!F2", "may be how many there are in 90 °, each 15 °"},
		{"an angle of pies with its sign", list(bend, shop.Row{"A1", "pie cut", 3, 0.047, 90, "6°", 9}), "", ""},
		{"an angle of pies under degrees", list(shop.Row{"Joint no", "Kind", "OD (in)", "Wall (in)", "Bend", "Deg per pie", "CLR (in)"}, shop.Row{"A1", "pie cut", 3, 0.047, 90, 6, 9}), "", ""},
		{"pies that may be either, alone", list(bend, shop.Row{"A1", "pie cut", 3, 0.047, 180, 10, 9}), "Coupe!F2", "each 18 °"},
		{"pies that may be either, beside angles", list(bend, shop.Row{"A1", "pie cut", 3, 0.047, 180, 10, 9}, shop.Row{"A2", "pie cut", 3, 0.047, 30, 10, 9}), "", ""},
		{"the usual angle of pies", list(bend, shop.Row{"A1", "pie cut", 3, 0.047, 90, 15, 4.5}, shop.Row{"A2", "pie cut", 3, 0.047, 45, 15, 4.5}), "", ""},
		{"a radius in diameters", list(bend, shop.Row{"A1", "pie cut", 3, 0.047, 90, 15, 2}), "Coupe!G2", "as in 1.5D"},
		{"a radius of one diameter", list(bend, shop.Row{"A1", "pie cut", 3, 0.047, 90, 15, 3}), "", ""},
		{"a dot for thousands", list(mm, shop.Row{"A1", 76.1, 1.2, "1.050"}), "Coupe!D2", "thousands or a decimal"},
		{"a dot that is none", list(mm, shop.Row{"A1", "76.100", "1.200", "99.500"}), "", ""},
		{"a joint twice", list(plain, shop.Row{"A1", "butt", 3, 0.047, 1}, shop.Row{"A1", "butt", 3, 0.047, 1}), "Coupe!A3", "with the same inputs"},
		{"a mark twice", list(plain, shop.Row{"A1", "butt", 3, 0.047, 1}, shop.Row{"A1", "butt", 3, 0.047, 2}), "", ""},
		{"a mark twice, of other places", list(append(append(shop.Row{}, plain...), "Section"), shop.Row{"A1", "butt", 3, 0.047, 1, "left"}, shop.Row{"A1", "butt", 3, 0.047, 1, "right"}), "", ""},
		{"a total of each size", list(plain, shop.Row{"A1", "butt", 3, 0.047, 1}, shop.Row{"A2", "butt", 3, 0.047, 2}, shop.Row{"A3", "butt", 2.5, 0.047, 2}, shop.Row{},
			shop.Row{"By size"}, shop.Row{nil, nil, 3, 0.047, 3}, shop.Row{nil, nil, 2.5, 0.047, 2}), "Coupe!C7", "a total of each size is no joint"},
		{"joints without marks below a blank row", list(plain, shop.Row{"A1", "butt", 3, 0.047, 1}, shop.Row{"A2", "butt", 3, 0.047, 2}, shop.Row{}, shop.Row{nil, nil, 3, 0.047, 4}), "", ""},
		{"a total in words in no table", list(plain, shop.Row{"A1", "butt", 3, 0.047, 1}, shop.Row{"A2", "butt", 3, 0.047, 2}, shop.Row{"so far", nil, 3, 0.047, 3}), "Coupe!C4", "named unlike the others"},
		{"a joint in words", list(plain, shop.Row{"A1", "butt", 3, 0.047, 1}, shop.Row{"A2", "butt", 3, 0.047, 2}, shop.Row{"tip", nil, 3, 0.047, 5}), "", ""},
		{"a total of a size with two walls", list(plain, shop.Row{"A1", "butt", 3, 0.047, 1}, shop.Row{"A2", "butt", 3, 0.049, 2}, shop.Row{"A3", "butt", 3, 0.047, 5}, shop.Row{"Subtotal", nil, 3, 0.047, 6}), "", ""},
		{"pieces as they were", beside("Old qty", 2, 3), "Coupe!F1", "may give otherwise what stands under \"Qty\", and differs"},
		{"pieces that are the same still", beside("New qty", 1, 4), "", ""},
		{"by how much pieces change", beside("+/-", nil, "-2"), "Coupe!F1", "may say that their rows are otherwise"},
		{"by how much nothing changes", beside("Change", 0, 0), "", ""},
		{"a wall as it was", beside("Wall was (in)", 0.049, 0.047), "Coupe!F1", "may give otherwise what stands under \"Wall (in)\""},
		{"the revision of rows", beside("Latest rev", "B", "C"), "", ""},
		{"filler under another word", twins("Zusatz", "yes", "no", "yes"), "Coupe!D1", "may be Filler"},
		{"ticks under another word", twins("Zusatz", "x", "-", "x"), "Coupe!D1", "may be Filler"},
		{"nothing under another word", twins("Coating", "none", "none", "-"), "", ""},
		{"an option", twins("Scope", "base", "Option 2", "base"), "Coupe!B3", "may not be meant"},
		{"no option any more", twins("Scope", "base", "deleted", "base"), "Coupe!B3", "none any more"},
		{"a note that begins otherwise", twins("Note", "no option", "hold square", "as required"), "", ""},
		{"a day below", list(bare, shop.Row{"A1", 3, 0.047}, shop.Row{}, shop.Row{"Printed", "1 June", 2026}), "", ""},
		{"a date below", list(bare, shop.Row{"A1", 3, 0.047}, shop.Row{}, shop.Row{"Printed", time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)}), "", ""},
		{"a day right below a joint", list(bare, shop.Row{"A1", 3, 0.047}, shop.Row{"Tip", "1 June"}), "Coupe!B3", ""},
		{"a fraction that became a day", list(bare, shop.Row{"A1", 3, 0.047}, shop.Row{}, shop.Row{"Tip", time.Date(2026, 3, 8, 0, 0, 0, 0, time.UTC), 0.047}), "Coupe!B4", ""},
		{"a word in place of a size", list(bare, shop.Row{"A1", 3, 0.047}, shop.Row{}, shop.Row{"Tip", "later"}), "Coupe!B4", ""},
		{"filler yes or blank", twins("Filler", "yes", nil, "yes"), "Coupe!D3", "blank on some rows"},
		{"filler no or blank", twins("Filler", "no", nil, "no"), "", ""},
		{"welds in place of pieces", twins("Welds", 2, 4, 1), "Coupe!D1", `"Welds" is not taken`},
		{"welds as they are", twins("Welds", 1, 1, 1), "", ""},
		{"sizes in both units", twins("Wall (mm)", 1.2, 1.19, 1.194), "", ""},
		{"sizes in both units that differ", twins("Wall (mm)", 1.2, 1.5, 1.2), "Coupe!D1", "the two differ"},
		{"headings over two rows", list(shop.Row{"Joint", nil, "OD", "Wall", "Tube"}, shop.Row{"no", "Kind", "(in)", "(in)", "length (in)"}, shop.Row{"A1", "butt", 3, 0.047, 12}), "", ""},
		{"a group over one heading", list(shop.Row{"Joint no", "Rohr", "Rohr", "Schweißen"}, shop.Row{nil, "OD (in)", "Wall (in)", "Filler"}, shop.Row{"A1", 3, 0.047, "no"}), "", ""},
		{"groups with a row of units", list(shop.Row{"Joint no", "Rohr", "Rohr", "Bend"}, shop.Row{nil, "OD", "Wall", "Tube length"}, shop.Row{nil, "in", "in", "in"}, shop.Row{"A1", 3, 0.047, 12}), "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			rep := shop.ReportOf(t, workbook(t, c.of))
			var open []book.Finding
			for _, f := range rep.Findings {
				if f.Level == book.LevelError {
					open = append(open, f)
				}
			}
			if c.cell == "" {
				assert.Empty(t, open)
				assert.True(t, rep.Complete, "%v", rep.Findings)
				return
			}
			require.NotEmpty(t, open)
			assert.False(t, rep.Complete)
			assert.Equal(t, c.cell, open[0].Cell, "%v", open)
			assert.Contains(t, open[0].What+open[0].Fix, c.says)
		})
	}
}

// A quantity that is a sum beside it is a quantity, and one of the rows above a total.
func TestSums(t *testing.T) {
	in := shop.Edited(t, workbook(t, tab{"Coupe", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"A1", 3, 0.047, 2}, {"A2", 3, 0.047}, {"A3", 3, 0.047}, {nil, 3, 0.047}}}), func(f *excelize.File) {
		for cell, formula := range map[string]string{"D3": "SUM(2,0)", "D4": "SUM(E4:G4)", "D5": "SUM(D2:D4)"} {
			require.NoError(t, f.SetCellValue("Coupe", cell, map[string]float64{"D3": 2, "D4": 4, "D5": 8}[cell]))
			require.NoError(t, f.SetCellFormula("Coupe", cell, formula))
		}
	})
	rep := shop.ReportOf(t, in)
	assert.Equal(t, []int{3, 3, 0}, []int{rep.Read, rep.Priced, rep.LeftOut}, "%v", rep.Findings)
	assert.Equal(t, 8.0, rep.Order["order_welds"])
}

// What was asked of rows is settled by saying what their column is.
func TestRowsAreSettled(t *testing.T) {
	for _, c := range []struct {
		head   shop.Row
		rows   []shop.Row
		settle string
	}{
		{shop.Row{"Joint no", "OD (in)", "Wall (in)"}, []shop.Row{{"W1-W2", 3, 0.047}, {"A1 (4 off)", 3, 0.047}}, "Coupe!A=mark"},
		{shop.Row{"Joint no", "OD (in)", "Wall (in)"}, []shop.Row{{"A1", 3, 0.047}, {"A1", 3, 0.047}}, "Coupe!A=mark"},
		{shop.Row{"OD (in)", "Wall (in)", "Filler"}, []shop.Row{{3, 0.047, "yes"}, {3, 0.047, nil}}, "Coupe!C=filler"},
		{shop.Row{"Joint no", "OD (in)", "Wall (in)", "Notes"}, []shop.Row{{"A1", 3, 0.047, "2 off"}}, "Coupe!D=own"},
		{shop.Row{"Kind", "OD (in)", "Wall (in)", "Bend", "CLR (in)"}, []shop.Row{{"pie cut", 3, 0.047, 90, 2}}, "Coupe!E=clr, in"},
	} {
		in := workbook(t, tab{"Coupe", append([]shop.Row{c.head}, c.rows...)})
		assert.False(t, shop.ReportOf(t, in).Complete, c.settle)
		s, err := settling.Parse(c.settle)
		require.NoError(t, err)
		rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, DryRun: true, Settle: []settling.Settling{s}})
		require.NoError(t, err)
		assert.True(t, rep.Complete, "%s: %v", c.settle, rep.Findings)
	}
}
