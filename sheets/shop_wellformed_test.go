package sheets_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// nothingGiven finds a function that got no arguments; only a few take none.
var nothingGiven = regexp.MustCompile(`\b(\w+)\(\)`)

func TestNoFormulaIsOneThatASpreadsheetRefuses(t *testing.T) {
	for name, in := range shops(t) {
		out, _ := shop.Price(t, in)
		n := 0
		for sheet, cells := range sheetstest.Read(t, out) {
			for ref, v := range cells {
				for _, m := range nothingGiven.FindAllStringSubmatch(v.Formula, -1) {
					ok := m[1] == "PI" || m[1] == "NA" || m[1] == "ROW" || m[1] == "TRUE" || m[1] == "FALSE"
					assert.True(t, ok, "%s: %s!%s: =%s", name, sheet, ref, v.Formula)
				}
				assert.Less(t, len(v.Formula), 8192, "%s!%s", sheet, ref) // the longest that the format allows: Excel specifications and limits
				for _, word := range []string{"OFFSET(", "INDIRECT(", "NOW(", "TODAY(", "RAND("} {
					assert.NotContains(t, v.Formula, word, "%s!%s", sheet, ref)
				}
				if v.Formula != "" {
					n++
				}
			}
		}
		require.Greater(t, n, 1000)
	}
}

func TestFormulaNeverNamesItsOwnSheet(t *testing.T) {
	out, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	for sheet, cells := range sheetstest.Read(t, out) {
		for ref, v := range cells {
			assert.False(t, strings.Contains(v.Formula, "'"+sheet+"'!"), "%s!%s: =%s", sheet, ref, v.Formula)
		}
	}
}
