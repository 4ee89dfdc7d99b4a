package part

import (
	"archive/zip"
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// bookOf makes a package of hand-written parts, name and text in turn.
func bookOf(t testing.TB, nameAndText ...string) *Package {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for i := 0; i < len(nameAndText); i += 2 {
		w, err := z.Create(nameAndText[i])
		require.NoError(t, err)
		_, err = w.Write([]byte(nameAndText[i+1]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return openBytes(t, buf.Bytes())
}

func openBytes(t testing.TB, b []byte) *Package {
	t.Helper()
	p, err := Open(bytes.NewReader(b), int64(len(b)), DefaultLimits())
	require.NoError(t, err)
	return p
}

func writeEdit(t testing.TB, e *Edit) []byte {
	t.Helper()
	var buf bytes.Buffer
	_, err := e.WriteTo(&buf)
	require.NoError(t, err)
	return buf.Bytes()
}

// bookBytes saves a workbook made with excelize and opens it as a package.
func bookBytes(t testing.TB, f *excelize.File) *Package {
	t.Helper()
	var buf bytes.Buffer
	_, err := f.WriteTo(&buf)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return openBytes(t, buf.Bytes())
}

// mustRead reads one part as text.
func mustRead(t testing.TB, p Parts, name string) string {
	t.Helper()
	b, err := p.Read(name)
	require.NoError(t, err)
	return string(b)
}

// onlyInserted says whether every byte of was stands in now, in order, once
// counts and ranges, which do change, are taken out of both.
func onlyInserted(was, now []byte) bool {
	figures := regexp.MustCompile(` (count|ref|localSheetId|activeTab|firstSheet)="[^"]*"`)
	was, now = figures.ReplaceAll(was, nil), figures.ReplaceAll(now, nil)
	for _, b := range now {
		if len(was) > 0 && was[0] == b {
			was = was[1:]
		}
	}
	return len(was) == 0
}

// libraryBooks gives the sample workbooks that come with the spreadsheet
// library, those that are packages with a workbook part in them.
func libraryBooks(t testing.TB) map[string]*Package {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/xuri/excelize/v2").Output()
	if err != nil {
		t.Skip("the library's sources are not at hand")
	}
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(out)), "test", "*.xlsx"))
	require.NoError(t, err)
	books := map[string]*Package{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		require.NoError(t, err)
		p, err := Open(bytes.NewReader(b), int64(len(b)), DefaultLimits())
		if err != nil {
			continue // encrypted samples
		}
		if _, err := ReadWorkbook(p); err != nil {
			continue // samples that are broken on purpose
		}
		books[filepath.Base(f)] = p
	}
	require.NotEmpty(t, books)
	return books
}

// officeConvert has LibreOffice load files and save them as kind; it returns
// the folder of the results.
func officeConvert(t testing.TB, kind string, files map[string][]byte) string {
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

func readFile(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(b)
}
