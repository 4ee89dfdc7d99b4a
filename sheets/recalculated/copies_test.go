package recalculated_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/explain"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// copied is a workbook in which somebody has copied a sheet, in front of all
// others: with formulas and names as a spreadsheet program does, or its values
// alone.
func copied(t *testing.T, in, sheet, as string, values bool) string {
	t.Helper()
	return shop.Edited(t, in, func(f *excelize.File) {
		to, err := f.NewSheet(as)
		require.NoError(t, err)
		from, err := f.GetSheetIndex(sheet)
		require.NoError(t, err)
		require.NoError(t, f.CopySheet(from, to))
		require.NoError(t, f.MoveSheet(as, f.GetSheetList()[0])) // before it has names of its own: the library leaves them where they were
		if values {
			for ref, v := range sheetstest.Read(t, in)[sheet] {
				if v.Formula == "" {
					continue
				}
				require.NoError(t, f.SetCellFormula(as, ref, ""))
				if v.Kind == sheetstest.Number {
					require.NoError(t, f.SetCellValue(as, ref, v.Num))
				} else {
					require.NoError(t, f.SetCellValue(as, ref, v.Text))
				}
			}
		} else {
			for _, d := range f.GetDefinedName() {
				if d.Scope == "Workbook" && strings.HasPrefix(d.RefersTo, "'"+sheet+"'!") {
					d.Scope, d.RefersTo = as, strings.ReplaceAll(d.RefersTo, "'"+sheet+"'!", "'"+as+"'!")
					require.NoError(t, f.SetDefinedName(&d))
				}
			}
		}
	})
}

// A copy of a sheet of ours is the shop's: nothing is read from it, nothing is
// refused for it, and it stays as it is.
func TestCopiesOfOurSheets(t *testing.T) {
	clean, err := sheets.Price(t.Context(), sheets.PriceOptions{In: shop.Unpriced(t, "order.xlsx"), Out: t.TempDir() + "/priced.xlsx", With: []string{"rates", "schedule"}})
	require.NoError(t, err)
	for k, sheet := range []string{"Summary", "Workings", "Assumptions", "Set-ups", "Schedule"} {
		for i, values := range []bool{false, true} {
			if !shop.Thorough() && (i+k)%2 == 0 {
				continue // each sheet one way
			}
			t.Run(fmt.Sprint(sheet, " values ", values), func(t *testing.T) {
				in := copied(t, clean.Output, sheet, sheet+" (2)", values)
				out, rep := shop.Price(t, in)
				assert.Equal(t, clean.Order, rep.Order)
				assert.True(t, rep.Complete, "%v", rep.Findings)
				told := 0
				for _, f := range rep.Findings {
					if f.Rule == "copy" {
						told++
						assert.Equal(t, sheet+" (2)", f.Cell)
					}
				}
				assert.Equal(t, 1, told)
				assert.NotContains(t, rep.Findings, "_2")
				was, is := sheetstest.Read(t, in), sheetstest.Read(t, out)
				assert.Equal(t, was[sheet+" (2)"], is[sheet+" (2)"])
				audit, err := audit.Workbook(t.Context(), audit.Options{In: out})
				require.NoError(t, err)
				assert.True(t, audit.Clean(), "%v", audit.Faults)
				check, err := sheets.Check(t.Context(), in, "")
				require.NoError(t, err)
				assert.Len(t, check.Lists, 2)
				_, err = explain.Figures(t.Context(), explain.Options{In: out, Mark: "order", Figure: "order_price"})
				require.NoError(t, err)
				assert.Contains(t, sheetstest.Read(t, shop.Cleared(t, out)), sheet+" (2)")
			})
		}
	}
}
