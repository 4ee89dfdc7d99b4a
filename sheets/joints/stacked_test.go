package joints_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// stacked is a sheet with two lists one below the other, of other columns and
// another unit, with units in a row of their own and two rows of headings.
func stacked(t *testing.T) string {
	f := excelize.NewFile()
	defer f.Close()
	rows := []shop.Row{
		{"Front", nil, nil, nil, nil},
		{"Joint no", "Kind", "OD", "Wall", "Qty"},
		{nil, nil, "in", "in", nil},
		{"A1", "butt", 3, 0.049, 1},
		{"A2", "butt", 2.5, 0.049, 2},
		{"Total", nil, nil, nil, 3},
		nil,
		{"Rear, in millimetres", nil, nil, nil, nil},
		{"Tube", nil, "Weld", "Joint", "Joint"},
		{"OD mm", "Wall mm", "Kind", "no", "qty"},
		{76.2, 1.2446, "butt", "B1", 3},
		{"all welds purged", nil, nil, nil, nil},
	}
	for i, row := range rows {
		for k, v := range row {
			cell, err := excelize.CoordinatesToCellName(k+1, i+1)
			require.NoError(t, err)
			require.NoError(t, f.SetCellValue("Sheet1", cell, v))
		}
	}
	return shop.Saved(t, f)
}

func TestListsOneBelowTheOther(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	in := stacked(t)
	out, rep := shop.Price(t, in)
	require.Equal(t, 3, rep.Priced, "%v", rep.Findings)
	require.Zero(t, rep.LeftOut, "%v", rep.Findings)
	require.True(t, rep.Complete, "%v", rep.Findings)

	check, err := sheets.Check(t.Context(), in, "")
	require.NoError(t, err)
	require.Len(t, check.Lists, 2)
	assert.Equal(t, []int{2, 4}, []int{check.Lists[0].HeadingRow, check.Lists[0].FirstRow}, "units stand below the headings")
	assert.Equal(t, []int{10, 11}, []int{check.Lists[1].HeadingRow, check.Lists[1].FirstRow})
	assert.Contains(t, check.Lists[0].Passed, sheets.PassedReport{Row: 6, Why: "a total"})

	g := sheetstest.Read(t, out)
	same := func(key string) {
		a, b := shop.Figure(t, g, "Sheet1", key, 4), shop.Figure(t, g, "Sheet1", key, 11)
		assert.InEpsilon(t, a.Num, b.Num, 1e-9, "%s of 3 in and of 76.2 mm", key)
	}
	same("seam")
	same("arc_time")
	shop.Equal(t, out, sheetstest.Recalculate(t, out))

	again, _ := shop.Price(t, out)
	assert.Equal(t, shop.Content(t, out), shop.Content(t, again), "priced again")
	shop.SameCells(t, sheetstest.Read(t, in)["Sheet1"], sheetstest.Read(t, shop.Cleared(t, out))["Sheet1"], "cleared")
}
