// Package parttest makes packages, and reads and compares them, for the tests of
// the packages beside it, none of which it knows: so all their tests can use it.
package parttest

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

const (
	sheetNS  = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	strictNS = "http://purl.oclc.org/ooxml/spreadsheetml/main"
)

// Zipped makes an archive of names and texts in turn.
func Zipped(t testing.TB, nameAndText ...string) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for i := 0; i < len(nameAndText); i += 2 {
		w, err := z.Create(nameAndText[i])
		require.NoError(t, err)
		_, err = io.WriteString(w, nameAndText[i+1])
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return buf.Bytes()
}

// Open opens a file in memory.
func Open[P any](t testing.TB, data []byte, open func([]byte) (P, error)) P {
	t.Helper()
	p, err := open(data)
	require.NoError(t, err)
	return p
}

// Written gives what is written of an edit.
func Written(t testing.TB, e io.WriterTo) []byte {
	t.Helper()
	var buf bytes.Buffer
	_, err := e.WriteTo(&buf)
	require.NoError(t, err)
	return buf.Bytes()
}

// Saved gives the file of a workbook made with excelize.
func Saved(t testing.TB, f *excelize.File) []byte {
	t.Helper()
	var buf bytes.Buffer
	_, err := f.WriteTo(&buf)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return buf.Bytes()
}

// Read reads one part as text.
func Read(t testing.TB, p interface{ Read(string) ([]byte, error) }, name string) string {
	t.Helper()
	b, err := p.Read(name)
	require.NoError(t, err)
	return string(b)
}

// OnlyInserted says whether every byte of was stands in now, in order, once
// counts and ranges, which do change, are taken out of both.
func OnlyInserted(was, now []byte) bool {
	figures := regexp.MustCompile(` (count|ref|localSheetId|activeTab|firstSheet)="[^"]*"`)
	was, now = figures.ReplaceAll(was, nil), figures.ReplaceAll(now, nil)
	for _, b := range now {
		if len(was) > 0 && was[0] == b {
			was = was[1:]
		}
	}
	return len(was) == 0
}

// LibraryBooks gives the sample workbooks that come with the spreadsheet
// library, by name, those that open can open.
func LibraryBooks[P any](t testing.TB, open func([]byte) (P, error)) map[string]P {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/xuri/excelize/v2").Output()
	if err != nil {
		t.Skip("the library's sources are not at hand")
	}
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(out)), "test", "*.xlsx"))
	require.NoError(t, err)
	books := map[string]P{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		require.NoError(t, err)
		p, err := open(b)
		if err != nil {
			continue // encrypted samples, or such as are broken on purpose
		}
		books[filepath.Base(f)] = p
	}
	require.NotEmpty(t, books)
	return books
}

// Convert has LibreOffice load files and save them as kind; it returns
// the folder of the results.
func Convert(t testing.TB, kind string, files map[string][]byte) string {
	t.Helper()
	soffice, err := exec.LookPath("soffice")
	if err != nil || testing.Short() {
		t.Skip("LibreOffice is not asked")
	}
	in, out := t.TempDir(), t.TempDir()
	args := []string{"-env:UserInstallation=file://" + t.TempDir(), "--headless", "--convert-to", kind, "--outdir", out}
	for name, b := range files {
		require.NoError(t, os.WriteFile(filepath.Join(in, name), b, 0o600))
		args = append(args, filepath.Join(in, name))
	}
	said, err := exec.Command(soffice, args...).CombinedOutput()
	require.NoError(t, err, string(said))
	return out
}

// ReadFile reads a file as text.
func ReadFile(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(b)
}

// Sheet puts rows into a worksheet in the usual form.
func Sheet(rows string) string {
	return `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n" +
		`<worksheet xmlns="` + sheetNS + `"><sheetData>` + rows + `</sheetData></worksheet>`
}

// Sheets gives worksheets of many sorts, whole and damaged, for tests to begin from.
func Sheets() []string {
	return []string{
		Sheet(`<row r="1" spans="1:2"><c r="A1" s="1"><v>1</v></c><c r="B1" t="s"><v>0</v></c></row><row r="3"/>`),
		Sheet(`<row><c><v>1</v></c><c t="str"><f>A1&amp;"x"</f><v>1x</v></c></row>`),
		Sheet(`<row r="2"><c r="B2"><f t="shared" ref="B2:B3" si="0">A2</f></c></row><row r="3"><c r="B3"><f t="shared" si="0"/></c></row>`),
		Sheet(`<row r="2"><c r="B2"><f t="array" ref="B2:C3">A2:B3</f></c></row>`),
		`<x:worksheet xmlns:x="` + strictNS + `"><x:sheetPr/><x:cols><x:col min="1" max="9"/></x:cols><x:sheetData/></x:worksheet>`,
		`<worksheet xmlns="` + sheetNS + `"/>`,
		"\xEF\xBB\xBF<?xml version=\"1.0\"?>" + Sheet("")[55:],
		"\xFF\xFE<\x00",
		Sheet(`<row r="1"><c r="A1" t="inlineStr"><is><t>_x0041_<![CDATA[x]]></t></is></c></row><!-- c --><?p i?>`),
	}
}

// OnePixel is a picture of one dot.
const OnePixel = "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNk+A8AAQUBAScY42YAAAAASUVORK5CYII="

// Down says where rows go: all from a row on by n.
func Down(from, n int) func(row int) int {
	return func(row int) int {
		if row >= from {
			return row + n
		}
		return row
	}
}
