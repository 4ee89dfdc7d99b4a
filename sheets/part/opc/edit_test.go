package opc

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/sheets/part/parttest"
)

// entries reads an archive with the standard reader: header and packed bytes
// of each entry.
type entry struct {
	zip.FileHeader
	packed []byte
}

func entriesOf(t testing.TB, data []byte) []entry {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	return entriesIn(t, z)
}

func entriesIn(t testing.TB, z *zip.Reader) []entry {
	t.Helper()
	var list []entry
	for _, f := range z.File {
		r, err := f.OpenRaw()
		require.NoError(t, err)
		packed, err := io.ReadAll(r)
		require.NoError(t, err)
		list = append(list, entry{f.FileHeader, packed})
	}
	return list
}

func nameList(list []entry) []string {
	var names []string
	for _, e := range list {
		names = append(names, e.Name)
	}
	return names
}

// Every untouched entry keeps its compressed bytes and its header; order and
// comment stay.
func TestUntouchedEntriesAreCopiedRaw(t *testing.T) {
	for name, p := range parttest.LibraryBooks(t, OpenBytes) {
		e := p.Edit()
		e.Replace("XL/workbook.xml", []byte("<changed/>"))
		e.Add("xl/new.xml", []byte("<new/>"))
		out := parttest.Written(t, e)
		before, after := entriesIn(t, p.zip), entriesOf(t, out)
		require.Len(t, after, len(before)+1, name)
		for i, b := range before {
			a := after[i]
			require.Equal(t, b.Name, a.Name, name)
			if b.Name == "xl/workbook.xml" {
				assert.Equal(t, b.ModifiedDate, a.ModifiedDate)
				assert.Equal(t, b.ModifiedTime, a.ModifiedTime)
				continue
			}
			require.Equal(t, b.FileHeader, a.FileHeader, "%s: %s", name, b.Name)
			require.Equal(t, b.packed, a.packed, "%s: %s", name, b.Name)
		}
		assert.Equal(t, "xl/new.xml", after[len(before)].Name)
		q := parttest.Open(t, out, OpenBytes)
		assert.Equal(t, "<changed/>", parttest.Read(t, q, "xl/workbook.xml"))
		assert.Equal(t, "<new/>", parttest.Read(t, q, "xl/new.xml"))
	}
}

func TestEditsInOrder(t *testing.T) {
	was := parttest.Zipped(t, ContentTypes, "t", "a.xml", "a", "b.xml", "b", "c.xml", "c")
	p := parttest.Open(t, was, OpenBytes)
	e := p.Edit()
	defer e.Close()
	e.Add("z.xml", []byte("z"))
	e.Remove("b.xml")
	e.Remove("none.xml")
	e.Replace("c.xml", []byte("new c"))
	e.Add("y.xml", []byte("y"))
	e.Add("gone.xml", []byte("gone"))
	e.Remove("gone.xml")
	e.Replace("a.xml", []byte("a")) // the same content

	assert.Equal(t, []string{"b.xml", "c.xml", "z.xml", "y.xml"}, e.Changed())
	assert.Equal(t, []string{ContentTypes, "a.xml", "c.xml", "z.xml", "y.xml"}, e.Names())
	assert.False(t, e.Has("b.xml"))
	assert.True(t, e.Has("Y.XML"))
	_, err := e.Read("b.xml")
	assert.Error(t, err)
	assert.Equal(t, "new c", parttest.Read(t, e, "c.xml"))
	assert.Equal(t, "t", parttest.Read(t, e, ContentTypes))

	out := parttest.Written(t, e)
	assert.Equal(t, out, parttest.Written(t, e), "the same edits give the same bytes")
	list := entriesOf(t, out)
	assert.Equal(t, []string{ContentTypes, "a.xml", "c.xml", "z.xml", "y.xml"}, nameList(list))
	assert.Equal(t, entriesOf(t, was)[1], list[1], "equal content keeps its entry")
	assert.NotZero(t, list[1].Flags&8, "sizes behind the data, as it was")
	assert.Zero(t, list[2].Flags&8, "sizes before the data, so that it can be read as a stream")
	assert.Equal(t, "c", parttest.Read(t, p, "c.xml"), "the old package is as it was")
}

func TestRemovedPartCanComeBack(t *testing.T) {
	e := parttest.Open(t, parttest.Zipped(t, ContentTypes, "t", "a.xml", "a", "b.xml", "b"), OpenBytes).Edit()
	e.Remove("a.xml")
	e.Add("a.xml", []byte("again"))
	list := entriesOf(t, parttest.Written(t, e))
	assert.Equal(t, []string{ContentTypes, "a.xml", "b.xml"}, nameList(list))
}

func TestSpool(t *testing.T) {
	tmp := t.TempDir()
	t.Setenv("TMPDIR", tmp)
	left := func() []string {
		names, err := filepath.Glob(filepath.Join(tmp, "*"))
		require.NoError(t, err)
		return names
	}
	text := strings.Repeat("<row/>", 50_000)
	was := parttest.Zipped(t, ContentTypes, "t", "s.xml", "old", "same.xml", text)
	p := parttest.Open(t, was, OpenBytes)
	e := p.Edit()
	w, err := e.Spool("s.xml")
	require.NoError(t, err)
	if os.Getenv("TMPDIR") != tmp || len(left()) == 0 {
		t.Skip("temporary files are kept elsewhere on this system")
	}
	_, err = io.WriteString(w, text)
	require.NoError(t, err)
	_, err = e.Open("s.xml")
	assert.ErrorContains(t, err, "still being written")
	_, err = e.WriteTo(io.Discard)
	assert.ErrorContains(t, err, "s.xml")
	require.NoError(t, w.Close())
	require.NoError(t, w.Close())
	_, err = w.Write([]byte("more"))
	assert.Error(t, err)

	same, err := e.Spool("same.xml")
	require.NoError(t, err)
	_, err = io.WriteString(same, text)
	require.NoError(t, err)
	require.NoError(t, same.Close())

	assert.Equal(t, []string{"s.xml"}, e.Changed())
	assert.Equal(t, text, parttest.Read(t, e, "s.xml"))
	out := parttest.Written(t, e)
	assert.Equal(t, out, parttest.Written(t, e))
	assert.Equal(t, text, parttest.Read(t, parttest.Open(t, out, OpenBytes), "s.xml"))
	assert.Equal(t, entriesOf(t, was)[2], entriesOf(t, out)[2])

	again, err := e.Spool("s.xml")
	require.NoError(t, err)
	require.NoError(t, again.Close())
	assert.Len(t, left(), 2, "the first spool of s.xml is gone")
	require.NoError(t, e.Close())
	assert.Empty(t, left())
}

// Whatever is replaced, added and removed, the new package reads as a map of
// the same operations does, and its file is accepted by the standard reader.
func TestEditIsAMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := []string{"a.xml", "b.xml", "xl/c.xml", "d.bin"}
		text := rapid.StringN(0, 40, -1)
		var buf bytes.Buffer
		z := zip.NewWriter(&buf)
		want := map[string]string{ContentTypes: "t"}
		put := func(name, s string) {
			w, err := z.Create(name)
			require.NoError(t, err)
			_, err = io.WriteString(w, s)
			require.NoError(t, err)
		}
		put(ContentTypes, "t")
		for _, n := range rapid.SliceOfDistinct(rapid.SampledFrom(names), rapid.ID).Draw(t, "old") {
			want[n] = text.Draw(t, "content")
			put(n, want[n])
		}
		require.NoError(t, z.Close())
		p, err := Open(bytes.NewReader(buf.Bytes()), int64(buf.Len()), DefaultLimits())
		require.NoError(t, err)
		e := p.Edit()
		defer e.Close()
		for range rapid.IntRange(0, 8).Draw(t, "steps") {
			n := rapid.SampledFrom(names).Draw(t, "name")
			switch rapid.IntRange(0, 2).Draw(t, "op") {
			case 0:
				delete(want, n)
				e.Remove(n)
			case 1:
				want[n] = text.Draw(t, "new")
				e.Replace(n, []byte(want[n]))
			case 2:
				want[n] = text.Draw(t, "spooled")
				w, err := e.Spool(n)
				require.NoError(t, err)
				_, err = io.WriteString(w, want[n])
				require.NoError(t, err)
				require.NoError(t, w.Close())
			}
		}
		var out bytes.Buffer
		n, err := e.WriteTo(&out)
		require.NoError(t, err)
		require.Equal(t, int64(out.Len()), n)
		q, err := Open(bytes.NewReader(out.Bytes()), n, DefaultLimits())
		require.NoError(t, err)
		require.Equal(t, e.Names(), q.Names())
		require.Len(t, q.Names(), len(want))
		for name, s := range want {
			got, err := q.Read(name)
			require.NoError(t, err)
			require.Equal(t, s, string(got))
			old, err := p.Read(name)
			require.Equal(t, err != nil || string(old) != s, slices.Contains(e.Changed(), name))
		}
	})
}

// A part that grows over what a zip entry can say of itself is refused as soon
// as it does, not when hours of rows have been worked out. Failing to pack is
// told by a later Write, and again by Close; nobody waits for ever.
func TestSpoolFails(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	s, err := newSpool("xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	s.size = maxEntry - 1
	_, err = s.Write([]byte("a"))
	require.NoError(t, err)
	_, err = s.Write([]byte("b"))
	require.ErrorContains(t, err, "xl/worksheets/sheet1.xml is longer than 4 GiB")
	require.ErrorContains(t, err, "; split the list")
	require.NoError(t, s.discard())

	s, err = newSpool("xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	require.NoError(t, s.file.Close())
	block := make([]byte, spoolBlock)
	for range 10 * spoolBlocks {
		if _, err = s.Write(block); err != nil {
			break
		}
	}
	require.ErrorContains(t, err, "no temporary file in ")
	require.ErrorIs(t, s.Close(), os.ErrClosed)
	require.ErrorIs(t, s.discard(), os.ErrClosed)
	left, err := os.ReadDir(os.TempDir())
	require.NoError(t, err)
	require.Empty(t, left)
}
