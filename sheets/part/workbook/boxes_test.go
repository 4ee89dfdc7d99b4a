package workbook_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/workbook"
)

// Texts drawn on a sheet (ECMA-376 part 1, 20.5): alone, in a group, in one of several
// alternatives; not one that repeats a cell, nor a control's.
func TestBoxes(t *testing.T) {
	rel := func(id, kind, target string) string {
		return `<Relationship Id="` + id + `" Type="` + markup.RelNS + `/` + kind + `" Target="` + target + `"/>`
	}
	shape := func(attrs, inside, text string) string {
		return `<xdr:sp ` + attrs + `><xdr:nvSpPr><xdr:cNvPr id="2" name="Box">` + inside + `</xdr:cNvPr></xdr:nvSpPr><xdr:txBody><a:bodyPr/>` + text + `</xdr:txBody></xdr:sp>`
	}
	line := func(text string) string { return `<a:p><a:r><a:rPr/><a:t>` + text + `</a:t></a:r></a:p>` }
	from := `<xdr:from><xdr:col>2</xdr:col><xdr:colOff>9</xdr:colOff><xdr:row>7</xdr:row><xdr:rowOff>9</xdr:rowOff></xdr:from>`
	parts := texts{
		"xl/worksheets/_rels/sheet1.xml.rels": `<Relationships xmlns="` + markup.PkgRelNS + `">` + rel("rId1", "drawing", "../drawings/drawing1.xml") +
			rel("rId2", "vmlDrawing", "../drawings/vmlDrawing1.vml") + rel("rId3", "drawing", "../drawings/none.xml") + `</Relationships>`,
		"xl/drawings/drawing1.xml": `<xdr:wsDr xmlns:xdr="x" xmlns:a="a" xmlns:mc="` + markup.CompatNS + `" xmlns:a14="b">` +
			`<xdr:twoCellAnchor>` + from + shape(`macro="" textlink=""`, "", line("add 2 hangers")+`<a:p><a:r><a:t>on </a:t></a:r><a:r><a:t>B</a:t></a:r></a:p>`) + `<xdr:clientData/></xdr:twoCellAnchor>` +
			`<xdr:absoluteAnchor><xdr:grpSp>` + shape("", "", line("one")+`<a:p/>`) + `<xdr:grpSp>` + shape("", "", `<a:p><a:r><a:t>two</a:t></a:r><a:br/><a:r><a:t>too</a:t></a:r></a:p>`) + `</xdr:grpSp></xdr:grpSp></xdr:absoluteAnchor>` +
			`<xdr:oneCellAnchor>` + from + shape(`textlink="$A$1"`, "", line("a cell")) + shape("", `<a14:compatExt spid="s1"/>`, line("a button")) + shape("", "", `<a:p/>`) + `</xdr:oneCellAnchor>` +
			`<mc:AlternateContent><mc:Choice Requires="a14"><xdr:oneCellAnchor>` + shape("", "", line("new")) + `</xdr:oneCellAnchor></mc:Choice><mc:Fallback><xdr:oneCellAnchor>` + shape("", "", line("old")) + `</xdr:oneCellAnchor></mc:Fallback></mc:AlternateContent></xdr:wsDr>`,
		"xl/drawings/vmlDrawing1.vml": `<xml xmlns:v="v" xmlns:x="x"><v:shape id="a"><v:textbox><div style='text-align:left'>a note</div></v:textbox><x:ClientData ObjectType="Note"><x:Row>1</x:Row></x:ClientData></v:shape>` +
			`<v:shape id="b"><v:textbox style='x'><div><font size="1">18 ga<br>instead &amp; so on</font></div></v:textbox><x:ClientData ObjectType="Rect"><x:Anchor>
 3, 4, 5, 6, 7, 8, 9, 10</x:Anchor></x:ClientData></v:shape>` +
			`<v:shape id="c"><v:textbox><div>press me</div></v:textbox><x:ClientData ObjectType="Button"/></v:shape><v:shape id="d"><v:imagedata/></v:shape>` +
			`<v:shape id="e"><v:textbox>mirror</v:textbox><x:ClientData ObjectType="Checkbox"><x:Checked>1</x:Checked></x:ClientData></v:shape>` +
			`<v:shape id="f"><v:textbox>rush</v:textbox><x:ClientData ObjectType="Checkbox"></x:ClientData></v:shape></xml>`,
	}
	got, err := workbook.Boxes(parts, "xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	assert.Equal(t, []workbook.Box{
		{Row: 8, Col: 3, Text: "add 2 hangers\non B"}, {Row: 1, Col: 1, Text: "one"}, {Row: 1, Col: 1, Text: "two\ntoo"}, {Row: 1, Col: 1, Text: "new"},
		{Row: 6, Col: 4, Text: "18 ga\ninstead & so on"}, {Row: 1, Col: 1, Text: "mirror"},
	}, got)

	parts["xl/drawings/drawing1.xml"] = "<xdr:wsDr"
	_, err = workbook.Boxes(parts, "xl/worksheets/sheet1.xml")
	assert.ErrorContains(t, err, "xl/drawings/drawing1.xml")
	none, err := workbook.Boxes(texts{}, "xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	assert.Empty(t, none)
}

// Whatever a drawing of before has in it is read without an end to the run.
func FuzzOldBoxes(f *testing.F) {
	for _, text := range []string{"", "<v:shape><v:textbox>x</v:textbox></v:shape>", "<v:shape ><x:Anchor>,,,,,,,</x:Anchor><v:textbox><br></v:textbox></v:shape>", "<v:rect>\xff"} {
		f.Add(text)
	}
	rels := `<Relationships xmlns="` + markup.PkgRelNS + `"><Relationship Id="rId1" Type="` + markup.RelNS + `/vmlDrawing" Target="../d.vml"/></Relationships>`
	f.Fuzz(func(t *testing.T, text string) {
		boxes, err := workbook.Boxes(texts{"xl/worksheets/_rels/sheet1.xml.rels": rels, "xl/d.vml": text}, "xl/worksheets/sheet1.xml")
		require.NoError(t, err)
		for _, b := range boxes {
			assert.NotEmpty(t, b.Text)
			assert.Positive(t, min(b.Row, b.Col))
		}
	})
}
