package sheets_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/offer"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// because finds a reason by its check.
func because(t *testing.T, v sheets.Verdict, check string) sheets.Reason {
	t.Helper()
	for _, r := range v.Reasons {
		if r.Check == check {
			return r
		}
	}
	require.Failf(t, "no such reason", "%s in %+v", check, v.Reasons)
	return sheets.Reason{}
}

// Each reason names the cell where it was found, counts the others, and says what
// to do; a complete order has none.
func TestReasonsNameTheirCells(t *testing.T) {
	_, rep := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	assert.True(t, rep.Complete)
	assert.Empty(t, rep.Reasons)

	thin, thick, odd, rare := shop.Butt("J-2"), shop.Butt("J-3"), shop.Butt("J-4"), shop.Butt("J-5")
	thin[5], thick[5], odd[3], rare[5] = "thin", 1.6, 1.5, 0.061
	in := shop.Edited(t, shop.Small(t, shop.Butt("J-1"), thin, thick, odd, rare), func(f *excelize.File) {
		_, err := f.NewSheet("Cars")
		require.NoError(t, err)
		for ref, v := range map[string]any{"A1": "Car", "B1": "Ordered", "A2": "Demo car one", "B2": 2, "A3": "Demo car two", "B3": 1} {
			require.NoError(t, f.SetCellValue("Cars", ref, v))
		}
	})
	out, rep := shop.Price(t, in)
	assert.False(t, rep.Complete)
	left := because(t, rep.Verdict, "rows_left_out")
	assert.Equal(t, "Joints!F3", left.Cell)
	assert.Equal(t, 3.0, left.Count)
	assert.Zero(t, left.More, "the others want something else done")
	assert.Equal(t, `wall is text "thin"`, left.Found)
	assert.NotEmpty(t, left.Fix)
	price := because(t, rep.Verdict, "rows_unpriced")
	assert.Equal(t, "Joints!E6", price.Cell)
	assert.Equal(t, 1.0, price.Count)
	assert.Equal(t, "price missing", price.Found)
	assert.Equal(t, "type the price of tube grade 2, 3 x 0.061 in, on the Assumptions sheet, under Tube stock", price.Fix)
	none := because(t, rep.Verdict, "cars_without_joints")
	assert.Equal(t, `"Demo car two" is on the list of cars, and has no joints`, none.Found)
	assert.Equal(t, "Cars!A3", none.Cell)
	assert.Len(t, rep.Reasons, 3)
	thick[5] = "thin"
	_, two := shop.Price(t, shop.Small(t, shop.Butt("J-1"), thin, thick, odd))
	assert.Equal(t, 1, because(t, two.Verdict, "rows_left_out").More)

	check, err := sheets.Check(t.Context(), in, "")
	require.NoError(t, err)
	assert.Equal(t, rep.Reasons, check.Reasons, "check says what price says")
	_, err = offer.Make(t.Context(), offer.Options{In: out, Out: t.TempDir() + "/offer.xlsx", Date: "2026-11-25"})
	var refused *sheets.RefusedError
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, rep.Reasons, refused.Reasons, "and so does offer")
}

// Where no cell was found, the reason points at the check's own line on Summary.
func TestReasonWithoutACellPointsAtItsCheck(t *testing.T) {
	out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	row := shop.TableRow(t, sheetstest.Read(t, out), "Hangers")
	again, rep := shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", row), "Demo car nine")))
	astray := because(t, rep.Verdict, "parts_astray")
	assert.Empty(t, astray.Found)
	assert.NotEmpty(t, astray.Fix)
	require.Contains(t, astray.Cell, "Workings!C")
	assert.Equal(t, astray.What, sheetstest.Read(t, again)["Workings"]["B"+astray.Cell[len("Workings!C"):]].Text)
}

// Each check leads to where it was first found, or to what it counts; settled, it leads
// to no old place.
func TestChecksLeadToTheirCells(t *testing.T) {
	bent, thin := shop.Butt("J-2"), shop.Butt("J-3")
	bent[7], thin[5] = 45.0, "thin"
	in := shop.Small(t, shop.Butt("J-1"), bent, thin)
	out, rep := shop.Price(t, in)
	leads := func(path, check string) string {
		g := sheetstest.Read(t, path)["Workings"]
		for row := 1; row < 200; row++ { // the first; below it, how it is worked out
			if g[fmt.Sprint("B", row)].Text == check {
				at := g[fmt.Sprint("A", row)]
				assert.Equal(t, at.Formula != "", at.Text == "→", check)
				return at.Formula
			}
		}
		require.Failf(t, "no such check", "%s", check)
		return ""
	}
	inputs, left := because(t, rep.Verdict, "inputs_unsettled"), because(t, rep.Verdict, "rows_left_out")
	for check, to := range map[string]string{
		inputs.What: "'Joints'!H3", left.What: "'Joints'!F4",
		"Lines of other work not settled":                 "part_item",
		"Lines of other work for a car that is not there": "part_car_no",
		"Rows without a price of tube or rod":             "seamtally.block.lists",
		"Tube paid for and not in the price, too much":    "tube_unpriced",
	} {
		assert.Equal(t, `HYPERLINK("#`+to+`","→")`, leads(out, check), check)
	}
	assert.Empty(t, leads(out, "Workbook with numbers as shown, by the last run"), "it is about no cell")

	mended, rep2 := shop.Price(t, shop.Edited(t, out, func(f *excelize.File) {
		require.NoError(t, f.SetCellValue("Joints", "F4", 0.047))
		require.NoError(t, f.SetCellValue("Joints", "H3", nil))
	}))
	require.True(t, rep2.Complete, "%v", rep2.Reasons)
	assert.Empty(t, leads(mended, inputs.What))
	assert.Equal(t, `HYPERLINK("#seamtally.block.lists","→")`, leads(mended, left.What))
}
