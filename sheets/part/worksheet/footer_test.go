package worksheet

import (
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

	const without = `<worksheet xmlns="` + markup.SheetNS + `"><sheetData/></worksheet>`
	out, err = SetFooter("sheet", []byte(without), "&L new")
	require.NoError(t, err)
	assert.Equal(t, without, string(out), "a sheet without a footer stays without")
}
