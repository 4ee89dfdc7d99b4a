package sheets_test

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/bid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// libraryFault is what the spreadsheet library writes into the axes of a curve
// that the schema does not have there; programs pass over it.
func libraryFault(fault string) bool {
	for _, of := range []string{"auto", "lblAlgn", "lblOffset", "noMultiLvlLbl"} {
		if strings.HasPrefix(fault, "xl/charts/") && strings.HasSuffix(fault, "<"+of+"> may not stand in <valAx>") {
			return true
		}
	}
	return false
}

// brokenRules are the rules that a package breaks and the one that it was made
// from does not.
func brokenRules(t *testing.T, before, after string) []string {
	t.Helper()
	faults, err := sheetstest.NewFaults(before, after)
	require.NoError(t, err)
	return slices.DeleteFunc(faults, func(f string) bool { return strings.HasPrefix(f, "weak") || libraryFault(f) })
}

// What the program writes breaks no rule of packages, and none of our sheets the
// schema: the demo orders with every sheet for the bid, and workbooks that an
// earlier version has priced. Odd workbooks are held to it where they are priced.
func TestOutputsKeepTheRulesOfPackages(t *testing.T) {
	ins, err := filepath.Glob(shop.Demo("earlier/*.xlsx"))
	require.NoError(t, err)
	require.NotEmpty(t, ins)
	ins = append(ins, shop.Unpriced(t, "order.xlsx"), shop.Unpriced(t, "order-metric.xlsx"))
	for i, in := range ins {
		if strings.Contains(in, "encrypted") || testing.Short() && i%5 > 0 {
			continue
		}
		t.Run(filepath.Base(in), func(t *testing.T) {
			t.Parallel()
			out, cleared := filepath.Join(t.TempDir(), "priced.xlsx"), filepath.Join(t.TempDir(), "cleared.xlsx")
			o := sheets.PriceOptions{In: in, Out: out}
			if i >= len(ins)-2 {
				o.With = bid.Sheets()
			}
			_, err := sheets.Price(t.Context(), o)
			require.NoError(t, err)
			assert.Empty(t, brokenRules(t, in, out))
			_, err = sheets.Clear(t.Context(), sheets.ClearOptions{In: out, Out: cleared})
			require.NoError(t, err)
			assert.Empty(t, brokenRules(t, in, cleared))
		})
	}
}

// A part that has no content type, and elements out of order, are found.
func TestBrokenRulesOfPackagesAreFound(t *testing.T) {
	out, _ := shop.Price(t, shop.TwoButts(t))
	for name, c := range map[string]struct{ part, old, planted string }{
		"no type":      {"[Content_Types].xml", `Extension="rels"`, `Extension="other"`},
		"out of order": {"xl/worksheets/sheet1.xml", "<sheetData", `<pageMargins left="1" right="1" top="1" bottom="1" header="1" footer="1"/><sheetData`},
	} {
		t.Run(name, func(t *testing.T) {
			in := shop.Repacked(t, out, c.part, func(s string) string {
				require.Contains(t, s, c.old)
				return strings.Replace(s, c.old, c.planted, 1)
			})
			faults, err := sheetstest.NewFaults(out, in)
			require.NoError(t, err)
			assert.NotEmpty(t, faults)
		})
	}
}
