package worksheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/markup"
)

func ourFoot(s string) bool { return strings.HasPrefix(s, "&L our") }

// A page setup is put into a sheet that has none, set anew, and taken out again: the
// sheet is then what it was, byte for byte.
func TestSplicePrint(t *testing.T) {
	const setup = `<pageSetup orientation="landscape" fitToWidth="2" fitToHeight="0"/>`
	const foot = `<headerFooter><oddFooter>&amp;L our &amp;&amp; so</oddFooter></headerFooter>`
	const margins = `<pageMargins left="0.4" right="0.4" top="0.4" bottom="0.6" header="0.3" footer="0.3"/>`
	for name, c := range map[string][2]string{
		"bare": {`<sheetData/>`, `<sheetPr><pageSetUpPr fitToPage="true"/></sheetPr><sheetData/>` + margins + setup + foot},
		"properties without a fit": {`<sheetPr><outlinePr summaryRight="0"/><pageSetUpPr/></sheetPr><sheetData/><pageMargins left="1"/><tableParts/>`,
			`<sheetPr><outlinePr summaryRight="0"/><pageSetUpPr fitToPage="1"/></sheetPr><sheetData/><pageMargins left="1"/>` + setup + foot + `<tableParts/>`},
		"an attribute of the properties": {`<sheetPr codeName="a"/><sheetData/><extLst/>`,
			`<sheetPr codeName="a"><pageSetUpPr fitToPage="true"/></sheetPr><sheetData/>` + margins + setup + foot + `<extLst/>`},
		"a colour": {`<sheetPr> <tabColor/> </sheetPr><sheetData/><conditionalFormatting/><conditionalFormatting/><drawing/>`,
			`<sheetPr> <tabColor/> <pageSetUpPr fitToPage="true"/></sheetPr><sheetData/><conditionalFormatting/><conditionalFormatting/>` + margins + setup + foot + `<drawing/>`},
		"what another writes": {`<sheetData/><mergeCells/><o:x xmlns:o="urn:o"/>`,
			`<sheetPr><pageSetUpPr fitToPage="true"/></sheetPr><sheetData/><mergeCells/>` + margins + setup + foot + `<o:x xmlns:o="urn:o"/>`},
	} {
		t.Run(name, func(t *testing.T) {
			around := func(s string) string { return `<worksheet xmlns="` + markup.SheetNS + `">` + s + `</worksheet>` }
			one := Print{New: true, Landscape: true, Wide: 2, Footer: "&L our && so", Ours: ourFoot}
			got := splice(t, around(c[0]), Edit{Print: &one})
			require.Equal(t, around(c[1]), got)
			info, err := Read(strings.NewReader(got), Strings{}, nil)
			require.NoError(t, err)
			assert.True(t, info.Pages.Fits && info.Pages.Foot && info.Pages.Margins && IsOurSetup(info.Pages.Setup))

			other := splice(t, got, Edit{Print: &Print{Setup: true, Wide: 1, Footer: "&L our new", Ours: ourFoot}})
			assert.Equal(t, strings.NewReplacer(setup, `<pageSetup orientation="portrait" fitToWidth="1" fitToHeight="0"/>`, "our &amp;&amp; so", "our new").Replace(got), other)

			gone := splice(t, other, Edit{Print: &Print{Setup: true, Remove: true, Ours: ourFoot}})
			assert.Equal(t, around(c[0]), gone)
		})
	}
}

// What somebody has changed in it is theirs, and stays.
func TestSplicePrintOfOthers(t *testing.T) {
	for _, theirs := range []string{
		`<pageSetup orientation="portrait" paperSize="9" fitToWidth="1" fitToHeight="0"/>`,
		`<pageSetup orientation="portrait" fitToWidth="1" fitToHeight="0"></pageSetup>`,
		`<pageSetup/>`, `<pageSetup fitToWidth="x"/>`,
	} {
		assert.False(t, IsOurSetup(theirs), theirs)
		sheet := `<worksheet xmlns="` + markup.SheetNS + `"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr><sheetData/><pageMargins left="1"/>` + theirs +
			`<headerFooter><oddHeader>a</oddHeader><oddFooter>&amp;L our one</oddFooter></headerFooter></worksheet>`
		assert.Equal(t, sheet, splice(t, sheet, Edit{Print: &Print{Remove: true, Ours: ourFoot}}), "a footer beside a header of theirs")
		assert.Equal(t, strings.Replace(sheet, "our one", "our two", 1), splice(t, sheet, Edit{Print: &Print{Footer: "&L our two", Ours: ourFoot}}))
		foot := strings.Replace(sheet, "our one", "theirs", 1)
		assert.Equal(t, foot, splice(t, foot, Edit{Print: &Print{Footer: "&L our two", Ours: ourFoot}}))
	}
}
