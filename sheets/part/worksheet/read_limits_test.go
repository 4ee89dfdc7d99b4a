package worksheet

import (
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
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
	const main = `xmlns="` + markup.SheetNS + `">`
	sheet := func(r io.Reader) error {
		_, err := Read(r, Strings{}, nil)
		return err
	}
	shared := func(r io.Reader) error {
		_, err := ReadStrings(r)
		return err
	}
	for name, c := range map[string]struct {
		read                func(io.Reader) error
		before, unit, after string
		most                int
		says                string
	}{
		"column definitions": {sheet, `<worksheet ` + main + `<cols>`, `<col min="1" max="1"/>`, `</cols><sheetData/></worksheet>`,
			grid.MaxCol, "column definitions; save"},
		"rows": {sheet, `<worksheet ` + main + `<sheetData>`, `<row/>`, `</sheetData></worksheet>`,
			grid.MaxRow, "rows"},
		"cells": {sheet, `<worksheet ` + main + `<sheetData><row>`, `<c/>`, `</row></sheetData></worksheet>`,
			grid.MaxCol, "columns"},
		"merged cells": {sheet, `<worksheet ` + main + `<sheetData/><mergeCells>`, `<mergeCell ref="A1:B1"/>`, `</mergeCells></worksheet>`,
			maxMerged, "merged cells; save"},
		"shared strings": {shared, `<sst ` + main, `<si/>`, `</sst>`,
			maxShared, "strings; split"},
		"shared text": {shared, `<sst ` + main, `<si><t>` + strings.Repeat("a", 1<<15) + `</t></si>`, `</sst>`,
			maxSharedText >> 15, "128 MB of text"},
	} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, c.read(repeated(c.before, c.unit, c.most, c.after)), "the most that may be")
			assert.ErrorContains(t, c.read(repeated(c.before, c.unit, c.most+1, c.after)), c.says)
		})
	}
}

// A message quotes only the beginning of what a part holds.
func TestMessagesAreShort(t *testing.T) {
	_, err := Read(strings.NewReader(`<worksheet xmlns="`+markup.SheetNS+`" `+strings.Repeat("é", 5000)+`/>`), Strings{}, nil)
	require.Error(t, err)
	assert.Less(t, len(err.Error()), 1000)
}
