package opc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/parttest"
)

func TestTargets(t *testing.T) {
	for _, c := range []struct{ base, target, want string }{
		{"", "xl/workbook.xml", "xl/workbook.xml"},
		{"", "/xl/workbook.xml", "xl/workbook.xml"},
		{"xl/workbook.xml", "worksheets/sheet1.xml", "xl/worksheets/sheet1.xml"},
		{"xl/worksheets/sheet1.xml", "../drawings/drawing1.xml", "xl/drawings/drawing1.xml"},
		{"xl/worksheets/sheet1.xml", "/xl/tables/table1.xml", "xl/tables/table1.xml"},
		{"xl/workbook.xml", `worksheets\sheet1.xml`, "xl/worksheets/sheet1.xml"},
		{"workbook.xml", "sheet1.xml", "sheet1.xml"},
	} {
		assert.Equal(t, c.want, ResolveTarget(c.base, c.target), c)
		assert.Equal(t, c.want, ResolveTarget(c.base, RelativeTarget(c.base, c.want)), c)
	}
	assert.Equal(t, "../drawings/drawing1.xml", RelativeTarget("xl/worksheets/sheet1.xml", "xl/drawings/drawing1.xml"))
	assert.Equal(t, "xl/_rels/workbook.xml.rels", RelsName("xl/workbook.xml"))
	assert.Equal(t, "_rels/.rels", RelsName(""))
}

func TestRels(t *testing.T) {
	src, err := AddRel("r", nil, Relationship{ID: "rId1", Type: "t", Target: "a&b.xml"})
	require.NoError(t, err)
	twice, err := AddRel("r", src, Relationship{ID: "rId1", Type: "t", Target: "a&b.xml"})
	require.NoError(t, err)
	assert.Equal(t, src, twice)
	_, err = AddRel("r", src, Relationship{ID: "rId1", Type: "t", Target: "c.xml"})
	assert.ErrorContains(t, err, "rId1")

	more, err := AddRel("r", src, Relationship{ID: "rId2", Type: "t", Target: "http://example.org/", External: true})
	require.NoError(t, err)
	assert.True(t, parttest.OnlyInserted(src, more))
	list, err := ReadRels("r", more)
	require.NoError(t, err)
	assert.Equal(t, []Relationship{{"rId1", "t", "a&b.xml", false}, {"rId2", "t", "http://example.org/", true}}, list)
	back, err := RemoveRel("r", more, "rId2")
	require.NoError(t, err)
	assert.Equal(t, string(src), string(back))

	const prefixed = `<p:Relationships xmlns:p="http://schemas.openxmlformats.org/package/2006/relationships"/>`
	got, err := AddRel("r", []byte(prefixed), Relationship{ID: "a", Type: "t", Target: "b"})
	require.NoError(t, err)
	assert.Equal(t, prefixed[:len(prefixed)-2]+`><p:Relationship Id="a" Type="t" Target="b"/></p:Relationships>`, string(got))
}

func TestFreeRelID(t *testing.T) {
	assert.Equal(t, "rId1", FreeRelID(nil))
	assert.Equal(t, "rId8", FreeRelID([]Relationship{{ID: "rId2"}, {ID: "RID7"}, {ID: "other9"}, {ID: "rIdx"}, {ID: "rId99999999999999999999"}}))
}

func TestFreePartName(t *testing.T) {
	p := parttest.Open(t, parttest.Zipped(t, ContentTypes, "<a/>", "xl/worksheets/Sheet1.xml", "", "xl/worksheets/_rels/sheet2.xml.rels", "", "xl/worksheets/sheet4.xml", ""), OpenBytes)
	assert.Equal(t, "xl/worksheets/sheet3.xml", FreePartName(p, "xl/worksheets/sheet%d.xml"),
		"1 is taken in another spelling, 2 by a .rels part left over")
}

func TestOverrides(t *testing.T) {
	const src = `<?xml version="1.0"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
  <Default Extension="XML" ContentType="application/xml"/>
  <Override PartName="/xl/Workbook.xml" ContentType="wb"/>
</Types>`
	kind, err := ContentType([]byte(src), "xl/workbook.xml")
	require.NoError(t, err)
	assert.Equal(t, "wb", kind)
	kind, err = ContentType([]byte(src), "xl/other.xml")
	require.NoError(t, err)
	assert.Equal(t, "application/xml", kind)

	same, err := AddOverride([]byte(src), "xl/a.xml", "application/xml")
	require.NoError(t, err)
	assert.Equal(t, src, string(same), "the default will do")
	out, err := AddOverride([]byte(src), "xl/a.xml", "sheet")
	require.NoError(t, err)
	assert.True(t, parttest.OnlyInserted([]byte(src), out))
	kind, err = ContentType(out, "xl/a.xml")
	require.NoError(t, err)
	assert.Equal(t, "sheet", kind)
	again, err := AddOverride(out, "xl/A.xml", "sheet")
	require.NoError(t, err)
	assert.Equal(t, out, again)
	back, err := RemoveOverride(out, "xl/a.xml")
	require.NoError(t, err)
	assert.Equal(t, src, string(back))
}
