package follow

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
	"seamtally/sheets/part/workbook"
)

// lowered moves all from a row on down by n, and takes what stood on row 5 away.
func lowered(from, n int) grid.Moved {
	row := parttest.Down(from, n)
	return grid.Moved{Sheet: "Our 'sums'", Row: row, At: func(r, c int) (int, int, bool) { return row(r), c, r != 5 }}
}

// What hangs on the rows of a sheet goes with them, and the rest keeps its bytes.
func TestMoveCells(t *testing.T) {
	const (
		ns   = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
		head = `<?xml version="1.0" encoding="UTF-8"?>`
		rel  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	)
	list := func(entries ...string) string {
		return head + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` + strings.Join(entries, "") + `</Relationships>`
	}
	entry := func(id, kind, target string) string {
		return fmt.Sprintf(`<Relationship Id="%s" Type="%s/%s" Target="%s"/>`, id, rel, kind, target)
	}
	pkg := parttest.Open(t, parttest.Zipped(t,
		"[Content_Types].xml", head+`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>`,
		"_rels/.rels", list(entry("rId1", "officeDocument", "xl/workbook.xml")),
		"xl/workbook.xml", head+`<workbook `+ns+` xmlns:r="`+rel+`"><sheets><sheet name="Our 'sums'" sheetId="1" r:id="rId1"/><sheet name="Demo" sheetId="2" r:id="rId2"/><sheet name="Aside" sheetId="3" r:id="rId3"/></sheets><definedNames><definedName name="demo">'Our ''sums'''!$C$10</definedName></definedNames></workbook>`,
		"xl/_rels/workbook.xml.rels", list(entry("rId1", "worksheet", "worksheets/sheet1.xml"), entry("rId2", "worksheet", "worksheets/sheet2.xml"), entry("rId3", "worksheet", "worksheets/sheet3.xml")),
		"xl/worksheets/sheet1.xml", head+`<worksheet `+ns+`><sheetData><row r="1"><c r="A1"><f>C10</f></c></row></sheetData><mergeCells count="1"><mergeCell ref="A10:B11"/></mergeCells><conditionalFormatting sqref="C2 C9:C12"><cfRule type="expression" priority="1"><formula>AND(C2&gt;1,$C$10&gt;1)</formula></cfRule></conditionalFormatting></worksheet>`,
		"xl/worksheets/_rels/sheet1.xml.rels", list(entry("rId1", "drawing", "../drawings/drawing1.xml"), entry("rId2", "comments", "../comments1.xml"), entry("rId3", "vmlDrawing", "../drawings/v.vml")),
		"xl/worksheets/sheet2.xml", head+`<worksheet `+ns+`><sheetData><row r="1"><c r="A1"><f>'Our ''sums'''!C10&amp;"&lt;"</f></c><c r="B1"><f>'Our ''sums'''!C5</f></c></row></sheetData></worksheet>`,
		"xl/worksheets/sheet3.xml", head+`<worksheet `+ns+`><sheetData><row r="1"><c r="A1"><f>C10</f></c></row></sheetData></worksheet>`,
		"xl/drawings/drawing1.xml", `<xdr:wsDr xmlns:xdr="x"><xdr:twoCellAnchor><xdr:from><xdr:col>1</xdr:col><xdr:row>9</xdr:row></xdr:from><xdr:to><xdr:col>5</xdr:col><xdr:row>20</xdr:row></xdr:to></xdr:twoCellAnchor><xdr:oneCellAnchor><xdr:from><xdr:row>2</xdr:row></xdr:from></xdr:oneCellAnchor></xdr:wsDr>`,
		"xl/charts/chart1.xml", `<c:chartSpace xmlns:c="c"><c:f>'Our ''sums'''!$C$10:$C$12</c:f></c:chartSpace>`,
		"xl/comments1.xml", `<comments `+ns+`><commentList><comment ref="C10" authorId="0"/></commentList></comments>`,
		"xl/drawings/v.vml", `<xml><br><x:ClientData ObjectType="Note"><x:Anchor>3, 1, 9, 2, 5, 1, 12, 3</x:Anchor><x:Row>9</x:Row><x:Column>2</x:Column></x:ClientData></xml>`,
	), opc.OpenBytes)
	w, err := workbook.Read(pkg)
	require.NoError(t, err)
	e := pkg.Edit()
	defer e.Close()
	names, lost, err := Cells(w, e, lowered(10, 3), func(part string) bool { return part == "xl/worksheets/sheet1.xml" })
	require.NoError(t, err)
	assert.Equal(t, []workbook.DefinedName{{Name: "demo", Sheet: -1, Ref: "'Our ''sums'''!$C$13"}}, names)
	assert.Equal(t, []Lost{{"Demo!B1", "C5"}}, lost)
	for part, wants := range map[string][]string{
		"xl/worksheets/sheet1.xml": {`<f>C10</f>`, `mergeCell ref="A13:B14"`, `sqref="C2 C9:C15"`, `<formula>AND(C2&gt;1,$C$13&gt;1)</formula>`},
		"xl/worksheets/sheet2.xml": {`<f>'Our ''sums'''!C13&amp;"&lt;"</f>`, `<f>'Our ''sums'''!C5</f>`},
		"xl/drawings/drawing1.xml": {`<xdr:row>12</xdr:row></xdr:from>`, `<xdr:row>23</xdr:row></xdr:to>`, `<xdr:row>2</xdr:row>`},
		"xl/charts/chart1.xml":     {`'Our ''sums'''!$C$13:$C$15`},
		"xl/comments1.xml":         {`ref="C13"`},
		"xl/drawings/v.vml":        {`<x:Row>12</x:Row>`, `3, 1, 12, 2, 5, 1, 15, 3`},
	} {
		for _, want := range wants {
			assert.Contains(t, parttest.Read(t, e, part), want, part)
		}
	}
	assert.NotContains(t, e.Changed(), "xl/worksheets/sheet3.xml")
	still := pkg.Edit()
	defer still.Close()
	stay := lowered(1<<20, 0)
	names, _, err = Cells(w, still, stay, func(string) bool { return false })
	require.NoError(t, err)
	assert.Empty(t, names)
	assert.Empty(t, still.Changed())
}
