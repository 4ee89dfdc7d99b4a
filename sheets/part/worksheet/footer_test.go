package worksheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/markup"
)

func TestSetFooter(t *testing.T) {
	const before = `<worksheet xmlns="` + markup.SheetNS + `"><sheetData/><headerFooter><oddFooter>&amp;L old</oddFooter></headerFooter></worksheet>`
	out, err := SetFooter("sheet", []byte(before), "&L new & more")
	require.NoError(t, err)
	assert.Equal(t, `<worksheet xmlns="`+markup.SheetNS+`"><sheetData/><headerFooter><oddFooter>&amp;L new &amp; more</oddFooter></headerFooter></worksheet>`, string(out))
	again, err := SetFooter("sheet", out, "&L new & more")
	require.NoError(t, err)
	assert.Equal(t, string(out), string(again))

	const emptied = `<x:worksheet xmlns:x="` + markup.SheetNS + `"><x:sheetData/><x:headerFooter><x:oddHeader>a</x:oddHeader><x:oddFooter/></x:headerFooter></x:worksheet>`
	out, err = SetFooter("sheet", []byte(emptied), "&L new")
	require.NoError(t, err)
	assert.Equal(t, emptied, string(out), "one that the shop has emptied stays so")
	_, err = SetFooter("sheet", []byte(before[:len(before)-35]), "&L new")
	require.ErrorContains(t, err, "sheet: ")

	// Of a sheet with very many cells, a tree would be too much.
	many := `<worksheet xmlns="` + markup.SheetNS + `"><sheetData>` + strings.Repeat("<row><c/></row>", 300_000) + `</sheetData><headerFooter><oddFooter>old</oddFooter></headerFooter></worksheet>`
	out, err = SetFooter("sheet", []byte(many), "new")
	require.NoError(t, err)
	assert.True(t, strings.HasSuffix(string(out), "<oddFooter>new</oddFooter></headerFooter></worksheet>"))

	const without = `<worksheet xmlns="` + markup.SheetNS + `"><sheetData/></worksheet>`
	out, err = SetFooter("sheet", []byte(without), "&L new")
	require.NoError(t, err)
	assert.Equal(t, without, string(out), "a sheet without a footer stays without")
}
