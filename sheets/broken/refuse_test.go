package broken_test

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// refusal tries to price a file that cannot be priced, and
// holds what every refusal promises: a reason with what to do behind a
// semicolon, the file first, nothing written, the input as it was, no
// temporary files.
func refusal(t *testing.T, name string, data []byte) string {
	t.Helper()
	dir, temp := t.TempDir(), t.TempDir()
	t.Setenv("TMPDIR", temp)
	in := filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(in, data, 0o600))
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in})
	require.Error(t, err)
	_, checkErr := sheets.Check(t.Context(), in, "")
	assert.EqualError(t, checkErr, err.Error(), "check says the same")
	_, clearErr := sheets.Clear(t.Context(), sheets.ClearOptions{In: in})
	assert.Error(t, clearErr)
	after, readErr := os.ReadFile(in)
	require.NoError(t, readErr)
	assert.True(t, bytes.Equal(data, after), "the input was changed")
	assert.Equal(t, []string{name}, shop.FilesIn(t, dir))
	assert.Empty(t, shop.FilesIn(t, temp))
	why := err.Error()
	assert.True(t, strings.HasPrefix(why, in+": "), why)
	assert.Contains(t, why, "; ", "what to do")
	assert.NotContains(t, why, "\n")
	return strings.TrimPrefix(why, in+": ")
}

// mainPart is a package whose main part has a name and a text.
func mainPart(t *testing.T, name, text string) []byte {
	return shop.Packed(t, map[string]string{
		"[Content_Types].xml": `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`,
		"_rels/.rels": `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" ` +
			`Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="` + name + `"/></Relationships>`,
		name: text,
	})
}

// What is no workbook is named, with what to do. The first bytes of each kind
// are those of its specification: PDF (ISO 32000-1, 7.5.2), compound files
// ([MS-CFB] 2.2), OpenDocument (OASIS OpenDocument 1.3 part 2, 3.3); the names
// of the parts in the others from memory.
func TestOtherKindsOfFile(t *testing.T) {
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"joints.txt":     {[]byte("OD,Wall\n3,0.047\n"), "plain text, as in a .csv or .tsv file"},
		"tabs.xlsx":      {[]byte("\xEF\xBB\xBFOD\tWall\r\n3\t0.047\r\n"), "plain text, as in a .csv or .tsv file"},
		"utf16.txt":      {[]byte("\xFF\xFEO\x00D\x00"), "plain text"},
		"named.xlsx":     {[]byte("Ø;Wand\n76,2;1,2\n"), "plain text"},
		"printed.pdf":    {[]byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"), "a PDF"},
		"table.xls":      {[]byte("<html><body><table>"), "a web page"},
		"sheet.xml":      {[]byte(`<?xml version="1.0"?><Workbook/>`), "an XML file"},
		"letter.rtf":     {[]byte(`{\rtf1\ansi}`), "a text document (.rtf)"},
		"old.xls":        {append([]byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"), make([]byte, 3000)...), "an old binary workbook (.xls)"},
		"picture.xlsx":   {[]byte("\x89PNG\r\n\x1A\n\x00\x00\x00\rIHDR"), "not a workbook of the .xlsx or .xlsm kind"},
		"empty.xlsx":     {nil, "the file is empty"},
		"order.ods":      {shop.Packed(t, map[string]string{"mimetype": "application/vnd.oasis.opendocument.spreadsheet", "content.xml": "<a/>"}), "an OpenDocument spreadsheet (.ods)"},
		"letter.odt":     {shop.Packed(t, map[string]string{"mimetype": "application/vnd.oasis.opendocument.text"}), "a document of another kind"},
		"order.numbers":  {shop.Packed(t, map[string]string{"Index/Document.iwa": "x"}), "a .numbers document"},
		"mail.zip":       {shop.Packed(t, map[string]string{"for you/order.xlsx": "x"}), "a zip that holds order.xlsx; unpack it"},
		"other.zip":      {shop.Packed(t, map[string]string{"a.txt": "x"}), "so not a workbook"},
		"binary.xlsb":    {mainPart(t, "xl/workbook.bin", "\x83\x01\x00"), "a binary workbook (.xlsb)"},
		"letter.docx":    {mainPart(t, "word/document.xml", `<w:document xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"/>`), "a text document"},
		"slides.pptx":    {mainPart(t, "ppt/presentation.xml", `<p:presentation xmlns:p="http://schemas.openxmlformats.org/presentationml/2006/main"/>`), "a presentation"},
		"somewhere.xlsx": {shop.Packed(t, map[string]string{"[Content_Types].xml": `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`}), "leads to no workbook part"},
	} {
		t.Run(name, func(t *testing.T) { assert.Contains(t, refusal(t, name, c.data), c.says) })
	}
}

// A part that is damaged, in another encoding or missing is named, and what it
// is part of is not priced.
func TestDamagedParts(t *testing.T) {
	whole := shop.Parts(t, shop.Unpriced(t, "order.xlsx"))
	types := "[Content_Types].xml"
	read := []string{types, "_rels/.rels", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml",
		"xl/sharedStrings.xml", "xl/worksheets/sheet2.xml", "xl/worksheets/_rels/sheet2.xml.rels"}
	for how, c := range map[string]struct {
		damage func(string) string
		says   string
	}{
		"half":      {func(s string) string { return s[:len(s)/2] }, "from a copy"},
		"no end":    {func(s string) string { return s[:strings.LastIndex(s, "</")] }, "from a copy"},
		"odd tag":   {func(s string) string { return strings.Replace(s, "><", "></wrong><", 1) }, "from a copy"},
		"two roots": {func(s string) string { return s + "<a/>" }, "from a copy"},
		"UTF-16":    {inUTF16, "UTF-16"},
		"entities": {func(s string) string {
			at := strings.Index(s, "?>") + 2
			if at < 2 {
				at = 0
			}
			return s[:at] + `<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "&b;&b;&b;&b;">]>` + s[at:]
		}, "a document type declaration"},
		"deep": {func(s string) string {
			at := strings.LastIndex(s, "</")
			return s[:at] + strings.Repeat("<a>", 5000) + strings.Repeat("</a>", 5000) + s[at:]
		}, "nest deeper"},
	} {
		for _, name := range read {
			t.Run(how+" "+name, func(t *testing.T) {
				odd := maps.Clone(whole)
				odd[name] = c.damage(whole[name])
				why := refusal(t, "order.xlsx", shop.Packed(t, odd))
				assert.Contains(t, why, c.says)
				if name == "xl/worksheets/sheet2.xml" {
					name = `sheet "Joints"`
				}
				assert.Contains(t, why, name)
			})
		}
	}
	for name, says := range map[string]string{
		"xl/worksheets/sheet2.xml":   `sheet "Joints": its part is not in the file`,
		"xl/sharedStrings.xml":       "the part xl/sharedStrings.xml is not in the file",
		"xl/styles.xml":              "the part xl/styles.xml is not in the file",
		"xl/workbook.xml":            "leads to no workbook part",
		"xl/_rels/workbook.xml.rels": "its part is not in the file",
		types:                        "so not a workbook",
	} {
		t.Run("without "+name, func(t *testing.T) {
			odd := maps.Clone(whole)
			delete(odd, name)
			assert.Contains(t, refusal(t, "order.xlsx", shop.Packed(t, odd)), says)
		})
	}
}

// What stands in a cell, and cannot, is told with the cell.
func TestDamagedCells(t *testing.T) {
	whole := shop.Parts(t, shop.Small(t, shop.Butt("J-1")))
	const sheet = "xl/worksheets/sheet1.xml"
	for _, c := range []struct{ old, damaged, says string }{
		{`t="s"`, `t="zz"`, `cell A1 `},
		{`<v>0</v>`, `<v>4711</v>`, `cell A1 `},
		{`<v>0.049</v>`, `<v>thin</v>`, `cell F2 `},
		{`r="B2"`, `r="B7"`, `cell B7 `},
		{`r="B2"`, `r="ZZZZ2"`, `row 2 `},
		{`<worksheet `, `<worksheets `, "byte "},
	} {
		odd := maps.Clone(whole)
		require.Contains(t, odd[sheet], c.old)
		odd[sheet] = strings.Replace(odd[sheet], c.old, c.damaged, 1)
		why := refusal(t, "order.xlsx", shop.Packed(t, odd))
		assert.Contains(t, why, `sheet "Joints": `+c.says, c.damaged)
	}
}

func inUTF16(s string) string {
	out := []byte("\xFF\xFE")
	for _, b := range []byte(s) {
		out = append(out, b, 0)
	}
	return string(out)
}

// A workbook that is cut short anywhere is refused.
func TestCutShort(t *testing.T) {
	data := []byte(shop.Content(t, shop.Small(t, shop.Butt("J-1"))))
	const cuts = 200
	for i := range cuts {
		refusal(t, "order.xlsx", data[:len(data)*i/cuts])
	}
}

func TestPipeIsNotWaitedFor(t *testing.T) {
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: os.DevNull, Out: filepath.Join(t.TempDir(), "null")})
	require.ErrorContains(t, err, "name a workbook")
}
