package worksheet

import (
	"io"
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

// A footer is said anew where the sheet has one, and its pages begin where they are to.
func TestSpliceBreaks(t *testing.T) {
	around := func(s string) string {
		return `<worksheet xmlns="` + markup.SheetNS + `"><sheetData/>` + s + `</worksheet>`
	}
	const setup, foot = `<pageSetup paperSize="9"/>`, `<headerFooter><oddFooter>&amp;L new &amp; more</oddFooter></headerFooter>`
	const two = `<rowBreaks count="2" manualBreakCount="2"><brk id="9" max="16383" man="1"/><brk id="19" max="16383" man="1"/></rowBreaks>`
	for name, c := range map[string]struct {
		from string
		rows []int
		not  bool
		want string
	}{
		"new":                 {setup + foot, []int{10, 20}, false, setup + foot + two},
		"as they are":         {setup + foot + two, []int{10, 20}, false, setup + foot + two},
		"others":              {setup + foot + `<rowBreaks count="1"><brk id="4"></brk></rowBreaks><drawing/>`, []int{10, 20}, false, setup + foot + two + `<drawing/>`},
		"before what follows": {setup + foot + `<drawing/>`, []int{10, 20}, false, setup + foot + two + `<drawing/>`},
		"before a stranger":   {setup + foot + `<x:a xmlns:x="urn:x"/>`, []int{10, 20}, false, setup + foot + two + `<x:a xmlns:x="urn:x"/>`},
		"none":                {setup + foot + two + `<drawing/>`, nil, false, setup + foot + `<drawing/>`},
		"not to be set":       {setup + foot + two, []int{10}, true, setup + foot + two},
		"no footer":           {setup + two, []int{10}, false, setup + two},
		"another footer":      {setup + `<headerFooter><oddFooter>old</oddFooter></headerFooter>`, nil, false, setup + foot},
		"an emptied footer":   {setup + `<headerFooter><oddHeader>a</oddHeader><oddFooter/></headerFooter>`, nil, false, setup + `<headerFooter><oddHeader>a</oddHeader><oddFooter/></headerFooter>`},
	} {
		edit := Edit{Print: &Print{Footer: "&L new & more", Ours: func(string) bool { return true }, Breaks: func(paper int) ([]int, bool) {
			assert.Equal(t, 9, paper, name)
			return c.rows, !c.not
		}}}
		var out strings.Builder
		require.NoError(t, Splice(&out, strings.NewReader(around(c.from)), edit), name)
		assert.Equal(t, around(c.want), out.String(), name)
	}
	require.Error(t, Splice(io.Discard, strings.NewReader(around(setup + foot)[:80]), Edit{Print: &Print{}}))
	const prefixed = `<x:worksheet xmlns:x="` + markup.SheetNS + `"><x:headerFooter><x:oddHeader>a</x:oddHeader><x:oddFooter/></x:headerFooter></x:worksheet>`
	var out strings.Builder
	require.NoError(t, Splice(&out, strings.NewReader(prefixed), Edit{Print: &Print{Footer: "&L new", Ours: func(string) bool { return true }, Breaks: func(int) ([]int, bool) { return []int{2}, true }}}))
	assert.Contains(t, out.String(), `<x:oddFooter/></x:headerFooter><x:rowBreaks count="1" manualBreakCount="1"><x:brk id="1" max="16383" man="1"/></x:rowBreaks></x:worksheet>`)
}
