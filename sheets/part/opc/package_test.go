package opc

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/parttest"
)

func openErr(b []byte, lim Limits) error {
	_, err := Open(bytes.NewReader(b), int64(len(b)), lim)
	return err
}

func reasonOf(t *testing.T, err error) string {
	t.Helper()
	var not *NotWorkbookError
	require.ErrorAs(t, err, &not)
	assert.NotEmpty(t, err.Error())
	return not.Reason
}

func TestOpenRefuses(t *testing.T) {
	whole := parttest.Zipped(t, ContentTypes, "<Types/>", "a.xml", strings.Repeat("<a/>", 500))
	compound := append([]byte(compoundMagic), make([]byte, 3000)...)
	encrypted := bytes.Clone(compound)
	for i, ch := range "EncryptedPackage" {
		binary.LittleEndian.PutUint16(encrypted[2000+2*i:], uint16(ch))
	}
	locked := bytes.Clone(whole)
	at := bytes.Index(locked, []byte("PK\x01\x02"))
	locked[at+8] |= 1
	for name, c := range map[string]struct {
		data   []byte
		reason string
	}{
		"empty":           {nil, NotEmpty},
		"one byte":        {[]byte("P"), NotZip},
		"text":            {[]byte("od,wall\n3,0.065\n"), NotZip},
		"cut short":       {whole[:len(whole)-60], NotTruncated},
		"first kilobyte":  {whole[:40], NotTruncated},
		"old":             {compound, NotOldFormat},
		"encrypted":       {encrypted, NotEncrypted},
		"zip password":    {locked, NotEncrypted},
		"no types":        {parttest.Zipped(t, "mimetype", "application/vnd.oasis.opendocument.spreadsheet"), NotContentTypes},
		"duplicate":       {parttest.Zipped(t, ContentTypes, "", "a.xml", "", "a.xml", ""), NotUnique},
		"duplicate, case": {parttest.Zipped(t, ContentTypes, "", "xl/A.xml", "", `\xl\a.XML`, ""), NotUnique},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, c.reason, reasonOf(t, openErr(c.data, DefaultLimits())))
		})
	}
}

// The sample files of the spreadsheet library are truly encrypted ones.
func TestOpenNamesEncryptedSamples(t *testing.T) {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/xuri/excelize/v2").Output()
	if err != nil {
		t.Skip("the library's sources are not at hand")
	}
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(out)), "test", "encrypt*.xlsx"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.Equal(t, NotEncrypted, reasonOf(t, openErr(data, DefaultLimits())), name)
	}
}

func TestOpenHoldsToLimits(t *testing.T) {
	data := parttest.Zipped(t, ContentTypes, "<Types/>", "a.xml", strings.Repeat(" ", 100_000))
	for name, lim := range map[string]Limits{
		"all":   {Unpacked: 50_000},
		"part":  {PartBytes: 50_000},
		"ratio": {Ratio: 100, RatioFrom: 1000},
		"parts": {Parts: 1},
	} {
		assert.Equal(t, NotWithinLimits, reasonOf(t, openErr(data, lim)), name)
	}
	assert.NoError(t, openErr(data, Limits{}))
	assert.NoError(t, openErr(data, DefaultLimits()))
}

func TestNamesAndParts(t *testing.T) {
	p := parttest.Open(t, parttest.Zipped(t, ContentTypes, "types", "xl/", "", "/xl/Book.xml", "book", `xl\b.xml`, "b"), OpenBytes)
	assert.Equal(t, []string{ContentTypes, "xl/Book.xml", "xl/b.xml"}, p.Names())
	assert.True(t, p.Has("/XL/book.XML"))
	assert.False(t, p.Has("xl"))
	assert.Equal(t, "book", parttest.Read(t, p, "xl/book.xml"))
	assert.Equal(t, "b", parttest.Read(t, p, "xl/b.xml"))
	_, err := p.Read("xl/none.xml")
	assert.ErrorContains(t, err, "xl/none.xml")
}

func TestDamagedPartIsReported(t *testing.T) {
	text := strings.Repeat("0123456789", 20)
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, name := range []string{ContentTypes, "a.xml"} {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		require.NoError(t, err)
		_, err = io.WriteString(w, text)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	data := buf.Bytes()
	at := bytes.LastIndex(data, []byte(text))
	data[at+50] ^= 1

	p := parttest.Open(t, data, OpenBytes)
	_, err := p.Read("a.xml")
	require.ErrorIs(t, err, zip.ErrChecksum)
	assert.ErrorContains(t, err, "a.xml")
}

type failingReader struct{}

func (r *failingReader) ReadAt(b []byte, off int64) (int, error) { return 0, errors.New("disk gone") }

func TestReadErrorIsNoVerdict(t *testing.T) {
	_, err := Open(&failingReader{}, 1000, DefaultLimits())
	assert.ErrorContains(t, err, "disk gone")
	var not *NotWorkbookError
	assert.False(t, errors.As(err, &not))
}

func FuzzOpen(f *testing.F) {
	f.Add(parttest.Zipped(f, ContentTypes, "<Types/>", "a.xml", "text"))
	f.Add([]byte(compoundMagic))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Open(bytes.NewReader(data), int64(len(data)), Limits{Unpacked: 1 << 20, PartBytes: 1 << 20})
		if err != nil {
			return
		}
		for _, name := range p.Names() {
			if b, err := p.Read(name); err == nil && len(b) > 1<<20 {
				t.Fatalf("%s is %d bytes long", name, len(b))
			}
		}
		e := p.Edit()
		e.Replace("new.xml", data)
		_, _ = e.WriteTo(io.Discard)
		require.NoError(t, e.Close())
	})
}
