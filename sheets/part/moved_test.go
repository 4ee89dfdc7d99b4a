package part

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// down moves all from a row on down by n, and takes what stood on row 5 away.
func down(from, n int) Moved {
	row := func(r int) int {
		if r >= from {
			return r + n
		}
		return r
	}
	return Moved{Sheet: "Our 'sums'", Row: row, At: func(r, c int) (int, int, bool) { return row(r), c, r != 5 }}
}

func TestMoveRefs(t *testing.T) {
	const sheet = "'Our ''sums'''!"
	for _, c := range []struct{ on, was, is, lost string }{
		{"Demo", sheet + "C10*2", sheet + "C13*2", ""},
		{"Demo", sheet + "$C$10+" + sheet + "C9", sheet + "$C$13+" + sheet + "C9", ""},
		{"Demo", "SUM(" + sheet + "B2:C12)", "SUM(" + sheet + "B2:C15)", ""},
		{"Demo", strings.ToUpper(sheet) + "c10", strings.ToUpper(sheet) + "C13", ""},
		{"Demo", sheet + "C5+1", sheet + "C5+1", "C5"},
		{"Demo", "C10+Other!C10", "C10+Other!C10", ""},
		{"Our 'sums'", "C10+Other!C10", "C13+Other!C10", ""},
		{"Our 'sums'", "LOG10(C10)+A_C10+C10_x", "LOG10(C13)+A_C10+C10_x", ""},
		{"Demo", sheet + "$C:$D", sheet + "$C:$D", ""},
		{"Demo", sheet + "10:12", sheet + "13:15", ""},
		{"Demo", sheet + "$C$2:$C$1048576", sheet + "$C$2:$C$1048576", ""},
		{"Demo", sheet + "$C$10:$C$1048576", sheet + "$C$13:$C$1048576", ""},
		{"Demo", sheet + "A10:XFD12", sheet + "A13:XFD15", ""},
		{"Demo", sheet + "C12:B2", sheet + "C15:B2", ""},
		{"Demo", sheet + "B10:" + sheet + "C12", sheet + "B13:" + sheet + "C15", ""},
		{"Demo", sheet + "C10 : C12", sheet + "C13 : C15", ""},
		{"Demo", sheet + "C10:INDEX(" + sheet + "C:C,12)", sheet + "C13:INDEX(" + sheet + "C:C,12)", ""},
		{"Demo", "SUM(Demo:" + sheet + "C10)", "SUM(Demo:" + sheet + "C10)", "Demo:" + sheet + "C10"},
		{"Demo", `SUM('Demo:Our ''sums'''!C10)`, `SUM('Demo:Our ''sums'''!C10)`, `'Demo:Our ''sums'''!C10`},
		{"Demo", "SUM(Demo:Aside!C9)", "SUM(Demo:Aside!C9)", ""},
		{"Demo", sheet + "B9:C10:D12", sheet + "B9:C10:D12", "B9:C10:D12"},
		{"Our 'sums'", `[1]Sums!C10:C12+'[1]Our ''sums'''!C10:C12+C10`, `[1]Sums!C10:C12+'[1]Our ''sums'''!C10:C12+C13`, ""},
		{"Our 'sums'", "T[[#This Row],[C10]]+#REF!C10+{1,2}*C10%", "T[[#This Row],[C10]]+#REF!C10+{1,2}*C13%", ""},
		{"Demo", `"` + sheet + `C10"&` + sheet + "C10", `"` + sheet + `C10"&` + sheet + "C13", ""},
		{"Demo", "[1]Sums!C10+Sums[C10]", "[1]Sums!C10+Sums[C10]", ""},
		{"Our 'sums'", "[1]Sums!C10+C10", "[1]Sums!C10+C13", ""},
		{"Demo", "#REF!+'other'!C10:C12", "#REF!+'other'!C10:C12", ""},
		{"Our 'sums'", "Demo!A10:A12+C10:C12", "Demo!A10:A12+C13:C15", ""},
	} {
		is, lost := down(10, 3).MoveRefs(c.was, c.on)
		assert.Equal(t, c.is, is, c.was)
		assert.Equal(t, c.lost, strings.Join(lost, ","), c.was)
	}
}

// Cells that stay leave a formula as it is; cells that go and come back bring it
// back.
func TestMoveRefsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		piece := rapid.OneOf(rapid.SampledFrom([]string{"'Our ''sums'''!", "Demo!", "[1]X!", "+", "*", "(", ")", ",", `"a""b"`, "SUM(", "A1", "$B$20", "C3:D40", "#N/A", "name", "1.5E3", "é", "'", `"`, "[", "]", ":", "!"}),
			rapid.StringN(0, 4, -1))
		f := strings.Join(rapid.SliceOfN(piece, 0, 8).Draw(t, "formula"), "")
		on := rapid.SampledFrom([]string{"Demo", "Our 'sums'"}).Draw(t, "on")
		stay := down(1<<20, 0)
		stay.At = func(r, c int) (int, int, bool) { return r, c, true }
		is, lost := stay.MoveRefs(f, on)
		require.Equal(t, f, is)
		require.Empty(t, lost)
		there, back := down(10, 3), down(13, -3)
		there.At = func(r, c int) (int, int, bool) { return there.Row(r), c, true }
		back.At = func(r, c int) (int, int, bool) { return back.Row(r), c, r < 10 || r >= 13 }
		moved, _ := there.MoveRefs(f, on)
		again, _ := back.MoveRefs(moved, on)
		require.Equal(t, strings.ToUpper(f), strings.ToUpper(again), "by way of %q", moved)
	})
}

func FuzzMoveRefs(f *testing.F) {
	for _, s := range []string{"'Our ''sums'''!C10", "[", "'", `"`, "#", "Our!", "A1:", "$", "[1]A!B2:C3", "'a'!'b'!C3"} {
		f.Add(s, "Our 'sums'")
	}
	f.Fuzz(func(t *testing.T, formula, on string) {
		out, _ := down(10, 3).MoveRefs(formula, on)
		if len(out) > 2*len(formula)+16 {
			t.Errorf("%q became %q", formula, out)
		}
	})
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
	pkg := bookOf(t,
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
	)
	w, err := ReadWorkbook(pkg)
	require.NoError(t, err)
	e := pkg.Edit()
	defer e.Close()
	names, lost, err := w.MoveCells(e, down(10, 3), func(part string) bool { return part == "xl/worksheets/sheet1.xml" })
	require.NoError(t, err)
	assert.Equal(t, []DefinedName{{Name: "demo", Sheet: -1, Ref: "'Our ''sums'''!$C$13"}}, names)
	assert.Equal(t, []LostRef{{"Demo!B1", "C5"}}, lost)
	for part, wants := range map[string][]string{
		"xl/worksheets/sheet1.xml": {`<f>C10</f>`, `mergeCell ref="A13:B14"`, `sqref="C2 C9:C15"`, `<formula>AND(C2&gt;1,$C$13&gt;1)</formula>`},
		"xl/worksheets/sheet2.xml": {`<f>'Our ''sums'''!C13&amp;"&lt;"</f>`, `<f>'Our ''sums'''!C5</f>`},
		"xl/drawings/drawing1.xml": {`<xdr:row>12</xdr:row></xdr:from>`, `<xdr:row>23</xdr:row></xdr:to>`, `<xdr:row>2</xdr:row>`},
		"xl/charts/chart1.xml":     {`'Our ''sums'''!$C$13:$C$15`},
		"xl/comments1.xml":         {`ref="C13"`},
		"xl/drawings/v.vml":        {`<x:Row>12</x:Row>`, `3, 1, 12, 2, 5, 1, 15, 3`},
	} {
		for _, want := range wants {
			assert.Contains(t, mustRead(t, e, part), want, part)
		}
	}
	assert.NotContains(t, e.Changed(), "xl/worksheets/sheet3.xml")
	still := pkg.Edit()
	defer still.Close()
	stay := down(1<<20, 0)
	names, _, err = w.MoveCells(still, stay, func(string) bool { return false })
	require.NoError(t, err)
	assert.Empty(t, names)
	assert.Empty(t, still.Changed())
}
