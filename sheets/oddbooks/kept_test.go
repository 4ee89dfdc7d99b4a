package oddbooks_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// The comparison that the corpus rests on sees every loss that it is to see.
func TestComparisonSeesWhatIsLost(t *testing.T) {
	in := oddBook{name: "names-of-the-shops.xlsx"}.path()
	out, _ := pricedBook(t, in)
	ours := shop.OursIn(t, out)
	for name, c := range map[string]struct{ part, old, new, told string }{
		"a value":              {"xl/worksheets/sheet1.xml", `<v>0.049</v>`, `<v>0.05</v>`, "0.05"},
		"a cell":               {"xl/worksheets/sheet1.xml", `<c r="D2"><v>3</v></c>`, ``, "D2"},
		"a row of ours":        {"xl/worksheets/sheet1.xml", `</sheetData>`, `<row r="99"/></sheetData>`, `r="99"`},
		"a name":               {"xl/workbook.xml", `"Secret"`, `"Secret2"`, "Secret"},
		"a name that we took":  {"xl/workbook.xml", `>Rates!$B$1<`, `>Rates!$B$2<`, "B$2"},
		"a sheet's state":      {"xl/workbook.xml", `name="Rates"`, `name="Rates" x="1"`, "Rates"},
		"an old format":        {"xl/styles.xml", `<fill><patternFill/></fill>`, `<fill><patternFill patternType="solid"/></fill>`, "solid"},
		"a part of no concern": {"docProps/core.xml", `invented`, `changed!`, "docProps/core.xml"},
		"a content type":       {"[Content_Types].xml", `PartName="/docProps/core.xml"`, `PartName="/docProps/gone.xml"`, "core.xml"},
	} {
		t.Run(name, func(t *testing.T) {
			if !strings.Contains(shop.Parts(t, out)[c.part], c.old) {
				t.Fatalf("%s has no %s:\n%.3000s", c.part, c.old, shop.Parts(t, out)[c.part])
			}
			lost, err := sheetstest.Kept(in, shop.Repacked(t, out, c.part, func(s string) string { return strings.Replace(s, c.old, c.new, 1) }), ours)
			require.NoError(t, err)
			assert.Contains(t, strings.Join(lost, "\n"), c.told)
		})
	}
}
