package account_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A set-up that nobody has chosen for a row that it does not fit is not settled: by naming
// one on the row, or by writing why it is the one for rows that name none.
func TestSetupThatNobodyChose(t *testing.T) {
	list := func(setup any) tab {
		return tab{"Coupe", []shop.Row{{"Joint no", "Kind", "OD (in)", "Wall (in)", "Qty", "Set-up"}, {"A1", "butt", 3, 0.047, 2, nil}, {"A2", "fillet", 3, 0.047, 1, setup}}}
	}
	onRolls := "trailing shield, on rolls"
	with := func(value, basis string, l tab) string {
		out, rep := shop.Price(t, workbook(t, l))
		require.True(t, rep.Complete, "%v", rep.Findings)
		row := shop.Assumption(t, sheetstest.Read(t, out), "default_setup")
		out = shop.Assume(t, out, shop.Setting{Key: "default_setup", Value: value})
		return shop.Edited(t, out, func(f *excelize.File) {
			if basis != "" {
				require.NoError(t, f.SetCellStr("Assumptions", "L"+strconv.Itoa(row), basis))
			}
		})
	}
	out, rep := shop.Price(t, with(onRolls, "", list(nil)))
	assert.False(t, rep.Complete)
	assert.True(t, shop.HasFinding(rep, "Coupe!F3", "nobody has chosen", `"`+onRolls+`"`, "default_setup"), "%v", rep.Findings)
	assert.False(t, shop.HasFinding(rep, "Coupe!F2", "nobody has chosen"), "%v", rep.Findings)

	_, rep = shop.Price(t, shop.TypeIn(t, out, shop.At("Coupe", "F3", "cup, stop and start")))
	assert.True(t, rep.Complete, "%v", rep.Findings)
	_, rep = shop.Price(t, shop.TypeIn(t, out, shop.At("Coupe", "F3", onRolls)))
	assert.True(t, rep.Complete, "the row names it, which is odd and no more: %v", rep.Findings)
	_, rep = shop.Price(t, with(onRolls, "we turn everything, and hold the shield by hand at brackets", list(nil)))
	assert.True(t, rep.Complete, "%v", rep.Findings)
	_, rep = shop.Price(t, with("cup, stop and start", "", list(nil)))
	assert.True(t, rep.Complete, "the shipped one fits all: %v", rep.Findings)
}
