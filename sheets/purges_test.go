package sheets_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute/formula"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// purgesOf are what a run says of joints that do not say how often they are purged.
func purgesOf(rep *sheets.Report) []book.Finding {
	return slices.DeleteFunc(slices.Clone(rep.Findings), func(f book.Finding) bool { return f.Rule != "purges open" })
}

// manyButts has so many joints, some of which say how many purges they take.
func manyButts(t *testing.T, joints int, purges ...any) string {
	t.Helper()
	var rows []shop.Row
	for i := range joints {
		rows = append(rows, shop.Butt(fmt.Sprintf("J-%d", i+1)))
	}
	return shop.Edited(t, shop.Small(t, rows...), func(f *excelize.File) {
		if len(purges) > 0 {
			head := append([]any{"Purges"}, purges...)
			require.NoError(t, f.SetSheetCol("Joints", "K1", &head))
		}
	})
}

// What moving the assumption by one does is what a run comes to with it so, and a
// fill is counted for each of two joints on the three cars ordered.
func TestOpenPurgesAreToldOnce(t *testing.T) {
	in, _ := shop.Price(t, manyButts(t, 10))
	in = shop.TypeIn(t, in, shop.At("Assumptions", fmt.Sprint("C", shop.TableRow(t, sheetstest.Read(t, in), "Demo car one")), 3))
	out, rep := shop.Price(t, in)
	two := shop.ReportOf(t, shop.Assume(t, in, shop.Set("default_purges", 2, "")))
	told := purgesOf(rep)
	require.Len(t, told, 1)
	is, would := rep.Order["order_price"], two.Order["order_price"]
	require.Greater(t, would, 1.01*is)
	row := shop.Assumption(t, sheetstest.Read(t, out), "default_purges")
	assert.Equal(t, fmt.Sprint("Assumptions!C", row), told[0].Cell)
	assert.Contains(t, told[0].What, fmt.Sprintf("10 of 10 joints do not say how many purge set-ups they take; each takes 1 (default_purges), 60 fills for the whole order; with 2 its price would be %s instead of %s, ", formula.GeneralText(would), formula.GeneralText(is)))
	assert.Empty(t, purgesOf(two), "the shop has set it")

	said := shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("L", row), "one plug a joint, timed"))
	assert.Empty(t, purgesOf(shop.ReportOf(t, said)), "the shop has said why")
}

func TestOpenPurgesAreToldOfManyJointsAlone(t *testing.T) {
	for name, c := range map[string]struct {
		in   string
		told int
	}{
		"nine joints":                   {manyButts(t, 9), 0},
		"half of them say":              {manyButts(t, 20, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1), 0},
		"one less than half of them":    {manyButts(t, 20, 1, 1, 1, 1, 1, 1, 1, 1, 1), 1},
		"not purged":                    {manyButts(t, 10, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0), 0},
		"each joint is a column's text": {manyButts(t, 10, "2", "2", "2", "2", "2", "2", "2", "2", "2", "2"), 0},
	} {
		_, rep := shop.Price(t, c.in)
		assert.Len(t, purgesOf(rep), c.told, name)
	}
}
