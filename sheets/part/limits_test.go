package part

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// repeated reads as a text, another one n times, and a last text.
func repeated(before, unit string, n int, after string) io.Reader {
	many := strings.Repeat(unit, 1000)
	list := []io.Reader{strings.NewReader(before)}
	for range n / 1000 {
		list = append(list, strings.NewReader(many))
	}
	return io.MultiReader(append(list, strings.NewReader(strings.Repeat(unit, n%1000)+after))...)
}

// What would fill the memory is given up long before, and the reason says what
// to do.
func TestHugeCountsAreGivenUp(t *testing.T) {
	const main = `xmlns="` + sheetNS + `">`
	sheet := func(r io.Reader) error {
		_, err := ReadSheet(r, Strings{}, nil)
		return err
	}
	shared := func(r io.Reader) error {
		_, err := ReadSharedStrings(r)
		return err
	}
	small := func(r io.Reader) error {
		src, err := io.ReadAll(r)
		require.NoError(t, err)
		_, err = scanTree("a.xml", src)
		return err
	}
	for name, c := range map[string]struct {
		read                func(io.Reader) error
		before, unit, after string
		most                int
		says                string
	}{
		"column definitions": {sheet, `<worksheet ` + main + `<cols>`, `<col min="1" max="1"/>`, `</cols><sheetData/></worksheet>`,
			MaxCol, "column definitions; save"},
		"rows": {sheet, `<worksheet ` + main + `<sheetData>`, `<row/>`, `</sheetData></worksheet>`,
			MaxRow, "rows"},
		"cells": {sheet, `<worksheet ` + main + `<sheetData><row>`, `<c/>`, `</row></sheetData></worksheet>`,
			MaxCol, "columns"},
		"merged cells": {sheet, `<worksheet ` + main + `<sheetData/><mergeCells>`, `<mergeCell ref="A1:B1"/>`, `</mergeCells></worksheet>`,
			maxMerged, "merged cells; save"},
		"shared strings": {shared, `<sst ` + main, `<si/>`, `</sst>`,
			maxShared, "strings; split"},
		"shared text": {shared, `<sst ` + main, `<si><t>` + strings.Repeat("a", 1<<15) + `</t></si>`, `</sst>`,
			maxSharedText >> 15, "128 MB of text"},
		"elements": {small, `<a>`, `<b/>`, `</a>`,
			maxElements - 1, "elements, as in no real workbook; save"},
	} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, c.read(repeated(c.before, c.unit, c.most, c.after)), "the most that may be")
			assert.ErrorContains(t, c.read(repeated(c.before, c.unit, c.most+1, c.after)), c.says)
		})
	}
}

// A small part may have no more attributes in a tag than a sheet.
func TestManyAttributes(t *testing.T) {
	tag := func(n int) []byte {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, ` a%d=""`, i)
		}
		return []byte("<a" + b.String() + "/>")
	}
	_, err := scanTree("a.xml", tag(maxAttrs))
	require.NoError(t, err)
	_, err = scanTree("a.xml", tag(maxAttrs+1))
	assert.ErrorContains(t, err, "a tag with more than 256 attributes; the file is damaged")
}

// Many parts, each under the limit of one, are looked at together.
func TestRatioOfAllParts(t *testing.T) {
	blank := strings.Repeat(" ", 40_000)
	data := zipped(t, contentTypes, "<Types/>", "a.xml", blank, "b.xml", blank, "c.xml", blank)
	assert.NoError(t, openErr(data, Limits{Ratio: 100, RatioFrom: 200_000}))
	assert.Equal(t, NotWithinLimits, reasonOf(t, openErr(data, Limits{Ratio: 100, RatioFrom: 100_000})))
}

// A part that is held as a whole is looked at before it is unpacked.
func TestWholePartsAreSmall(t *testing.T) {
	data := zipped(t, contentTypes, "<Types/>", "a.xml", strings.Repeat(" ", 40_000))
	p, err := Open(bytes.NewReader(data), int64(len(data)), Limits{Whole: 10_000})
	require.NoError(t, err)
	_, err = p.Read("a.xml")
	assert.Equal(t, NotWithinLimits, reasonOf(t, err))
	_, err = p.Read(contentTypes)
	assert.NoError(t, err)
}

// A message quotes only the beginning of what a part holds.
func TestMessagesAreShort(t *testing.T) {
	_, err := ReadSheet(strings.NewReader(`<worksheet xmlns="`+sheetNS+`" `+strings.Repeat("é", 5000)+`/>`), Strings{}, nil)
	require.Error(t, err)
	assert.Less(t, len(err.Error()), 1000)
	_, err = scanTree("a.xml", []byte("<a>&#"+strings.Repeat("9", 5000)+";</a>"))
	require.Error(t, err)
	assert.Less(t, len(err.Error()), 1000)
	_, err = scanTree("a.xml", []byte(`<a b="1" b="2"/>`))
	assert.ErrorContains(t, err, "attribute b twice; the file is damaged")
}

// A part that cannot be unpacked is named, with what to do: one that is packed
// in a way of which nothing is known (method 99 here; .ZIP file format
// specification, 4.4.5), and one whose place in the file is wrong.
func TestPartsThatCannotBeUnpacked(t *testing.T) {
	whole := zipped(t, contentTypes, "<Types/>", "a.xml", "text")
	record := bytes.LastIndex(whole, []byte("PK\x01\x02"))
	for says, change := range map[string]func(data []byte){
		"part a.xml is packed in an unusual way, which is not read; save": func(data []byte) { data[record+10] = 99 },
		"part a.xml is damaged; restore":                                  func(data []byte) { data[record+42]++ },
	} {
		data := bytes.Clone(whole)
		change(data)
		_, err := openBytes(t, data).Open("a.xml")
		assert.ErrorContains(t, err, says)
	}
}
