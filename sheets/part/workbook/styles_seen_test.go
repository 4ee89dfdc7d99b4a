package workbook

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
	"seamtally/sheets/sheetstest"
)

// either lists items twice: for readers that know urn:x, and for the others.
func either(choice, fallback string) string {
	return `<mc:AlternateContent><mc:Choice Requires="x">` + choice + `</mc:Choice><mc:Fallback>` + fallback + `</mc:Fallback></mc:AlternateContent>`
}

// alternatives are styles parts whose lists differ with what a reader knows.
func alternatives() map[string]string {
	const (
		fonts  = `<fonts count="1"><font><sz val="9"/></font></fonts>`
		xf     = `<xf numFmtId="0"/>`
		other  = `<xf numFmtId="2"/>`
		dxf    = `<dxf><font><b/></font></dxf>`
		nested = `<mc:AlternateContent><mc:Choice Requires="y">` + other + other + `</mc:Choice></mc:AlternateContent>`
	)
	return map[string]string{
		"as many":          fonts + `<cellXfs count="2">` + xf + either(other, other) + `</cellXfs>`,
		"others behind":    fonts + `<cellXfs count="5">` + xf + either(other+xf, xf) + other + `</cellXfs>`,
		"more for some":    fonts + `<cellXfs count="1">` + xf + either(other+other+other, "") + `</cellXfs>`,
		"more for others":  fonts + `<cellXfs>` + xf + either(other, xf+xf+xf) + `</cellXfs>`,
		"one in the other": fonts + `<cellXfs count="9">` + xf + either(nested+xf, xf+nested) + `</cellXfs>`,
		"fonts":            `<fonts count="3"><font/>` + either(`<font><b/></font><font><i/></font>`, `<font><i/></font>`) + `</fonts><cellXfs>` + xf + `</cellXfs>`,
		"fills": `<fonts><font/></fonts><fills count="0">` + either(`<fill><patternFill patternType="none"/></fill>`, "") + `</fills>` +
			`<borders>` + either("", `<border/>`) + `</borders><cellXfs count="1">` + xf + `</cellXfs>`,
		"number formats": `<numFmts count="4">` + either(`<numFmt numFmtId="165" formatCode="0.0&quot; in&quot;"/><numFmt numFmtId="166" formatCode="0"/>`,
			`<numFmt numFmtId="165" formatCode="0.00000"/>`) + `</numFmts>` + fonts + `<cellXfs count="1">` + xf + `</cellXfs>`,
		"whole lists":  fonts + `<cellXfs count="1">` + xf + `</cellXfs>` + either(`<dxfs count="2">`+dxf+dxf+`</dxfs>`, `<dxfs count="1">`+dxf+`</dxfs>`),
		"differential": fonts + `<cellXfs count="1">` + xf + `</cellXfs><dxfs count="2">` + either(dxf+dxf, dxf) + `</dxfs>`,
	}
}

func alternativeStyles(inside string) []byte {
	return []byte(`<styleSheet xmlns="` + markup.SheetNS + `" xmlns:mc="` + markup.CompatNS + `" xmlns:x="urn:x" xmlns:y="urn:y">` + inside + `</styleSheet>`)
}

// Whatever a reader knows, it finds each imported format under the number that
// Import gave, and every count is that of the items it has.
func TestImportBesideAlternatives(t *testing.T) {
	code := `0.0" in"`
	f := excelize.NewFile()
	for _, s := range []*excelize.Style{{NumFmt: 2}, {CustomNumFmt: &code, Font: &excelize.Font{Italic: true, Size: 7},
		Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFF2CC"}}, Border: []excelize.Border{{Type: "top", Style: 1}}}} {
		_, err := f.NewStyle(s)
		require.NoError(t, err)
	}
	_, err := f.NewConditionalStyle(&excelize.Style{CustomNumFmt: &code, Font: &excelize.Font{Color: "9C0006"}})
	require.NoError(t, err)
	from := stylesOf(t, parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes))
	for name, inside := range alternatives() {
		t.Run(name, func(t *testing.T) {
			st, err := ReadStyles(alternativeStyles(inside))
			require.NoError(t, err)
			numbers := func(st *Styles) []int {
				t.Helper()
				var all []int
				for xf := 1; xf <= 2; xf++ {
					at, err := st.Import(from, xf)
					require.NoError(t, err)
					all = append(all, at)
				}
				at, err := st.ImportDxf(from, 0)
				require.NoError(t, err)
				return append(all, at)
			}
			got := numbers(st)
			out := stylesText(t, st)
			again, err := ReadStyles([]byte(out))
			require.NoError(t, err)
			assert.Equal(t, got, numbers(again))
			assert.Equal(t, out, stylesText(t, again), "a second import adds nothing")
			for _, known := range [][]string{nil, {"urn:x"}, {"urn:y"}, {"urn:x", "urn:y"}} {
				one, err := sheetstest.Seen([]byte(out), known...)
				require.NoError(t, err)
				require.NotContains(t, string(one), "mc:")
				plain, err := ReadStyles(one)
				require.NoError(t, err)
				assert.Equal(t, []string{"0.00", code + " FFF2CC thin italic", code + " 9C0006"}, []string{
					plain.means(plain.lists["cellXfs"].items[got[0]]), plain.means(plain.lists["cellXfs"].items[got[1]]),
					plain.means(plain.lists["dxfs"].items[got[2]])}, "%v: %s", known, one)
				for list, l := range plain.lists {
					if len(l.places) > 0 && l.places[0].node.Attr("count") != nil && list != "numFmts" {
						assert.Equal(t, strconv.Itoa(len(l.items)), l.places[0].node.Get("count"), "%v: %s of %s", known, list, one)
					}
				}
				assert.Equal(t, string(one), stylesText(t, plain))
			}
			was := alternativeStyles(inside)
			assert.True(t, parttest.OnlyInserted(was, []byte(out)))
		})
	}
}

// means says what a format looks like: its number format, and what it has of
// the looks of the test above.
func (s *Styles) means(n *markup.Node) string {
	all := canonical(n)
	for list, key := range map[string]string{"fonts": "fontId", "fills": "fillId", "borders": "borderId"} {
		if a := n.Attr(key); a != nil {
			all += canonical(s.lists[list].items[markup.Int(a.Value, 0)])
		}
	}
	if f := n.Child("numFmt"); f != nil {
		n = f
	}
	out := s.code(markup.Int(n.Get("numFmtId"), 0))
	for _, look := range [][2]string{{"FFF2CC", "FFF2CC"}, {`"thin"`, "thin"}, {`<i val="1">`, "italic"}, {"9C0006", "9C0006"}} {
		if strings.Contains(all, look[0]) {
			out += " " + look[1]
		}
	}
	return out
}

// A list that some readers do not have at all cannot be mended; nor are there
// formats with more ways to read them than can be gone through.
func TestAlternativesThatAreRefused(t *testing.T) {
	from := stylesOf(t, styledBook(t, sampleStyles()...))
	st, err := ReadStyles(alternativeStyles(`<fonts><font/></fonts>` + either(`<cellXfs><xf/></cellXfs>`, "")))
	require.NoError(t, err)
	_, err = st.Import(from, 1)
	require.NoError(t, err)
	_, err = st.Bytes()
	assert.ErrorContains(t, err, "the list cellXfs is within mc:AlternateContent, and not in each of its branches; save the workbook anew")

	asks := ""
	for i := range maxRequired + 1 {
		asks += `<mc:AlternateContent><mc:Choice xmlns:n="urn:n` + strconv.Itoa(i) + `" Requires="n"><xf/></mc:Choice></mc:AlternateContent>`
	}
	_, err = ReadStyles(alternativeStyles(`<cellXfs>` + asks + `</cellXfs>`))
	assert.ErrorContains(t, err, "asks for 4 namespaces, the limit is 3")
	_, err = ReadStyles(alternativeStyles(`<cellXfs><xf>` + asks + `</xf></cellXfs>`))
	assert.NoError(t, err, "within an item it makes no difference to numbers")
}
