package sheets_test

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

// A list of formats may hold items twice, for readers that know an extension
// and for the others, and not as many of them. Whichever a reader takes, our
// cells look as they do in a workbook without.
func TestFormatsBesideAlternatives(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"))
	either := func(xml, list, choice, fallback string) string {
		end := "</" + list + ">"
		require.Contains(t, xml, end)
		return strings.Replace(xml, end, `<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006">`+
			`<mc:Choice xmlns:x="urn:demo" Requires="x">`+choice+`</mc:Choice><mc:Fallback>`+fallback+`</mc:Fallback></mc:AlternateContent>`+end, 1)
	}
	const date = `<xf numFmtId="14" applyNumberFormat="1"/>`
	odd := shop.Repacked(t, in, "xl/styles.xml", func(s string) string {
		s = either(s, "cellXfs", date+date, date)
		return either(s, "fonts", `<font><b/></font>`, `<font><i/></font><font><b/></font>`)
	})
	plain, _ := shop.PriceWith(t, in, "rates")
	out, _ := shop.PriceWith(t, odd, "rates")
	again, rep := shop.Price(t, out)
	assert.True(t, rep.Unchanged)
	assert.True(t, shop.Content(t, out) == shop.Content(t, again))
	want := looks(t, plain)
	require.Greater(t, len(want), 500)
	for _, known := range [][]string{nil, {"urn:demo"}} {
		got := looks(t, shop.Repacked(t, out, "xl/styles.xml", func(s string) string {
			one, err := sheetstest.Seen([]byte(s), known...)
			require.NoError(t, err)
			return string(one)
		}))
		assert.Equal(t, want, got, "%v", known)
	}
}

// looks are the number format and the font of every cell that holds something.
func looks(t *testing.T, path string) map[string]string {
	t.Helper()
	f, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer f.Close()
	out := map[string]string{}
	for sheet, cells := range sheetstest.Read(t, path) {
		for ref := range cells {
			id, err := f.GetCellStyle(sheet, ref)
			require.NoError(t, err)
			s, err := f.GetStyle(id)
			require.NoError(t, err)
			code := ""
			if s.CustomNumFmt != nil {
				code = *s.CustomNumFmt
			}
			if s.Font == nil {
				s.Font = &excelize.Font{}
			}
			out[sheet+"!"+ref] = fmt.Sprint(s.NumFmt, code, s.Font.Family, s.Font.Color, s.Font.Bold, s.Font.Italic)
		}
	}
	return out
}
