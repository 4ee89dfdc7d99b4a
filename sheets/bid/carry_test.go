package bid_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// rowOf is the row of a sheet that is called so in its second column, the last one.
func rowOf(t *testing.T, g sheetstest.Grid, sheet, name string) int {
	for row := 400; row > 0; row-- {
		if g[sheet][fmt.Sprint("B", row)].Text == name {
			return row
		}
	}
	require.FailNow(t, "no such row", "%s: %s", sheet, name)
	return 0
}

// What the shop types right of a sheet for the bid stays beside the row that it was
// typed beside, when that row has another place; what points at it follows, and what
// has lost its row is told.
func TestRemarksFollowTheirRows(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"), shop.Row{"J-2", "Demo car two", "butt", 1, 2.5, 0.049, nil, nil, 10, nil})
	priced, _ := shop.PriceWith(t, in, "schedule", "buying")
	g := sheetstest.Read(t, priced)
	car, check := rowOf(t, g, "Schedule", "Demo car two"), rowOf(t, g, "Schedule", "Working days")
	tube := rowOf(t, g, "Buying", "grade 2, 2.5 x 0.049")
	noted := shop.Edited(t, priced, func(f *excelize.File) {
		_, err := f.NewSheet("Demo office")
		require.NoError(t, err)
		for ref, text := range map[string]string{fmt.Sprint("P", car): "demo: asks for May", fmt.Sprint("P", check): "demo: seen", fmt.Sprint("P", check+2): "demo: below", "P4": "demo: on top"} {
			require.NoError(t, f.SetCellValue("Schedule", ref, text))
		}
		require.NoError(t, f.SetCellValue("Buying", fmt.Sprint("S", tube), "demo: of this size"))
		require.NoError(t, f.SetCellFormula("Schedule", fmt.Sprint("Q", check), fmt.Sprintf("P%d&\"!\"", check)))
		require.NoError(t, f.SetCellFormula("Demo office", "A1", fmt.Sprintf("Schedule!$P$%d", check)))
		require.NoError(t, f.SetSheetRow("Joints", "A4", &shop.Row{"J-3", "Demo car three", "butt", 1, 3, 0.049, nil, nil, 10, nil}))
		require.NoError(t, f.SetCellValue("Joints", "E3", 3))
	})
	out, rep := shop.Price(t, noted)
	g = sheetstest.Read(t, out)
	now := rowOf(t, g, "Schedule", "Working days")
	assert.NotEqual(t, check, now)
	assert.Equal(t, "demo: asks for May", g["Schedule"][fmt.Sprint("P", rowOf(t, g, "Schedule", "Demo car two"))].Text)
	assert.Equal(t, "demo: seen", g["Schedule"][fmt.Sprint("P", now)].Text)
	assert.Equal(t, "demo: below", g["Schedule"][fmt.Sprint("P", now+2)].Text)
	assert.Equal(t, "demo: on top", g["Schedule"]["P4"].Text)
	assert.Equal(t, fmt.Sprintf("P%d&\"!\"", now), g["Schedule"][fmt.Sprint("Q", now)].Formula)
	assert.Equal(t, fmt.Sprintf("Schedule!$P$%d", now), g["Demo office"]["A1"].Formula)
	n := 0
	for _, c := range g["Schedule"] {
		if strings.HasPrefix(c.Text, "demo:") {
			n++
		}
	}
	assert.Equal(t, 4, n, "one is left where it was")
	var told []string
	for _, f := range rep.Findings {
		if f.Rule == "carried" {
			told = append(told, f.Cell)
			assert.Contains(t, f.What, fmt.Sprint("S", tube))
		}
	}
	require.Len(t, told, 1)
	_, ref, _ := strings.Cut(told[0], "!")
	assert.Equal(t, "demo: of this size", g["Buying"][ref].Text)
	_, again := shop.Price(t, out)
	assert.True(t, again.Unchanged, "priced once more, it is another")
}
