package sheets_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// A workbook that another version of the program worked out says what is worked
// out otherwise now, and what that does to the price.
func TestOtherFormulasAreTold(t *testing.T) {
	out, rep := shop.Price(t, shop.Small(t, shop.Butt("A1")))
	price0 := rep.Order["order_price"]
	require.NotZero(t, price0)
	asOf := 0
	older := out
	for _, part := range []string{"xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml", "xl/worksheets/sheet3.xml", "xl/worksheets/sheet4.xml"} {
		older = shop.Repacked(t, older, part, func(xml string) string {
			if i := strings.Index(xml, "Formulas, as of"); i > 0 { // the cell behind it
				from := i + strings.Index(xml[i:], `<is><t>`) + len(`<is><t>`)
				xml, asOf = xml[:from]+"00000000"+xml[from+8:], asOf+1
			}
			// The lap was once not counted.
			return strings.ReplaceAll(xml, "*closing_overlap", "*0*closing_overlap")
		})
	}
	require.Equal(t, 1, asOf, "the cell that says which formulas these are")
	_, again := shop.Price(t, older)
	assert.True(t, shop.HasFinding(again, "another version of the program", "arc_time"), "%v", again.Findings)

	_, same := shop.Price(t, out)
	assert.False(t, shop.HasFinding(same, "another version"), "%v", same.Findings)
}

// A shop's own column headed as a figure of ours stays as it is, and the two
// are compared.
func TestOwnFigureIsCompared(t *testing.T) {
	in := shop.Edited(t, shop.Small(t, shop.Butt("A1"), shop.Butt("A2")), func(f *excelize.File) {
		col := len(shop.SmallHead) + 1
		for i, v := range []any{"Arc time, each weld (min)", 1.5, 99} {
			cell, err := excelize.CoordinatesToCellName(col, 1+i)
			require.NoError(t, err)
			require.NoError(t, f.SetCellValue("Joints", cell, v))
		}
	})
	_, rep := shop.Price(t, in)
	assert.True(t, shop.HasFinding(rep, "is the shop's own", "they differ on 2 of the 2 rows"), "%v", rep.Findings)
	out, err := sheets.Check(t.Context(), in, "")
	require.NoError(t, err)
	assert.Equal(t, "Arc time, each weld (min)", out.Lists[0].Unread[0].Heading)
}
