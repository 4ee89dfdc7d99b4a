package sheets_test

import (
	"archive/zip"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest/shop"
)

// signed adds to a workbook the parts that a digital signature has.
func signed(t *testing.T, path string) string {
	z, err := zip.OpenReader(path)
	require.NoError(t, err)
	defer z.Close()
	out := filepath.Join(t.TempDir(), "signed.xlsx")
	file, err := os.Create(out)
	require.NoError(t, err)
	defer file.Close()
	w := zip.NewWriter(file)
	add := func(name, text string) {
		to, err := w.Create(name)
		require.NoError(t, err)
		_, err = io.WriteString(to, text)
		require.NoError(t, err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		text := string(data)
		switch f.Name {
		case "_rels/.rels":
			text = strings.Replace(text, "</Relationships>", `<Relationship Id="rIdSig" Type="http://schemas.openxmlformats.org/package/2006/relationships/digital-signature/origin" Target="_xmlsignatures/origin.sigs"/></Relationships>`, 1)
		case "[Content_Types].xml":
			text = strings.Replace(text, "</Types>", `<Default Extension="sigs" ContentType="application/vnd.openxmlformats-package.digital-signature-origin"/><Override PartName="/_xmlsignatures/sig1.xml" ContentType="application/vnd.openxmlformats-package.digital-signature-xmlsignature+xml"/></Types>`, 1)
		}
		add(f.Name, text)
	}
	add("_xmlsignatures/origin.sigs", "")
	add("_xmlsignatures/sig1.xml", "<Signature/>")
	add("_xmlsignatures/_rels/origin.sigs.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"/>`)
	require.NoError(t, w.Close())
	return out
}

// A signature cannot hold for a workbook that was changed: it goes, and is told.
func TestSignatureIsLeftOut(t *testing.T) {
	out, rep := shop.Price(t, signed(t, shop.Small(t, shop.Butt("J-1"))))
	assert.True(t, shop.HasFinding(rep, "digital signature"), "%v", rep.Findings)
	for name, text := range shop.Parts(t, out) {
		assert.NotContains(t, name, "_xmlsignatures")
		if strings.HasSuffix(name, ".rels") || name == "[Content_Types].xml" {
			assert.NotContains(t, text, "_xmlsignatures", name)
		}
	}
	again, rep := shop.Price(t, out)
	assert.False(t, shop.HasFinding(rep, "digital signature"))
	assert.Equal(t, shop.Content(t, out), shop.Content(t, again))
}
