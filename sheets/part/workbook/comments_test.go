package workbook_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/workbook"
)

// texts are parts by their names.
type texts map[string]string

func (p texts) Names() []string                  { return slices.Sorted(maps.Keys(p)) }
func (p texts) Read(name string) ([]byte, error) { return []byte(p[name]), nil }

// commented is a sheet with those parts of comments.
func commented(comments, threads string) texts {
	rel := func(id, kind, target string) string {
		return `<Relationship Id="` + id + `" Type="` + kind + `" Target="` + target + `"/>`
	}
	return texts{
		"xl/worksheets/_rels/sheet1.xml.rels": `<Relationships xmlns="` + markup.PkgRelNS + `">` + rel("rId1", markup.RelNS+"/comments", "../comments1.xml") +
			rel("rId2", "http://schemas.microsoft.com/office/2017/10/relationships/threadedComment", "../threadedComments/threadedComment1.xml") +
			rel("rId3", markup.RelNS+"/comments", "../not_there.xml") + `</Relationships>`,
		"xl/comments1.xml": `<comments xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><authors><author>A. Fitter</author><author>tc={1}</author></authors><commentList>` +
			comments + `</commentList></comments>`,
		"xl/threadedComments/threadedComment1.xml": `<ThreadedComments xmlns="http://schemas.microsoft.com/office/spreadsheetml/2018/threadedcomments">` + threads + `</ThreadedComments>`,
	}
}

// Comments come in one piece or in several (ECMA-376 part 1, 18.7); a thread is not told
// twice.
func TestComments(t *testing.T) {
	got, err := workbook.Comments(commented(
		`<comment ref="B4" authorId="0"><text><r><rPr><b/></rPr><t>A. Fitter:</t></r><r><t xml:space="preserve">
x2 &amp; more_x000D_</t></r><rPh sb="0" eb="1"><t>not this</t></rPh></text></comment>`+
			`<comment ref="C5" authorId="1"><text><t>[a thread] x4</t></text></comment>`+
			`<comment ref="D6" authorId="1"><text><t>a thread that is lost</t></text></comment><comment ref="D7"/>`,
		`<threadedComment ref="C5" personId="{2}" id="{1}"><text>x4</text></threadedComment><threadedComment ref="C5" parentId="{1}"><text>x6 rather</text></threadedComment>`,
	), "xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	assert.Equal(t, []workbook.Comment{
		{Row: 5, Col: 3, Text: "x4"}, {Row: 5, Col: 3, Text: "x6 rather"},
		{Row: 4, Col: 2, Author: "A. Fitter", Text: "A. Fitter:\nx2 & more\r"},
		{Row: 6, Col: 4, Author: "tc={1}", Text: "a thread that is lost"}, {Row: 7, Col: 4},
	}, got)

	got, err = workbook.Comments(commented(
		`<comment ref="C5" authorId="1"><text><t>[a thread] x4</t></text></comment><comment ref="C6" authorId="1"><text><t>[a thread] x2</t></text></comment>`,
		`<threadedComment ref="C5" id="{1}" done="1"><text>x4</text></threadedComment><threadedComment ref="C5" id="{2}" parentId="{1}"><text>typed so</text></threadedComment>`+
			`<threadedComment ref="C6" id="{3}" done="0"><text>x2</text></threadedComment>`,
	), "xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	assert.Equal(t, []workbook.Comment{{Row: 6, Col: 3, Text: "x2"}}, got, "what is done is settled")

	none, err := workbook.Comments(texts{}, "xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	assert.Empty(t, none)
	for _, broken := range []string{`<comment ref="nowhere"/>`, `<comment`} {
		_, err = workbook.Comments(commented(broken, ""), "xl/worksheets/sheet1.xml")
		assert.ErrorContains(t, err, "xl/comments1.xml", broken)
	}
}
