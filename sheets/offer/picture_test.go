package offer_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/offer"
	"seamtally/sheets/sheetstest/shop"
)

// drawn is a picture of so many pixels, all of one colour.
func drawn(t *testing.T, wide, high int, as string) []byte {
	im := image.NewRGBA(image.Rect(0, 0, wide, high))
	for i := range im.Pix {
		im.Pix[i] = 0x60
	}
	im.Set(0, 0, color.White)
	var out bytes.Buffer
	if as == ".png" {
		require.NoError(t, png.Encode(&out, im))
	} else {
		require.NoError(t, jpeg.Encode(&out, im, nil))
	}
	return out.Bytes()
}

// withPictures puts pictures at cells of a sheet.
func withPictures(t *testing.T, in, sheet string, at map[string]*excelize.Picture) string {
	f, err := excelize.OpenFile(in)
	require.NoError(t, err)
	for _, cell := range slices.Sorted(maps.Keys(at)) {
		p := at[cell]
		p.Format = &excelize.GraphicOptions{}
		require.NoError(t, f.AddPictureFromBytes(sheet, cell, p))
	}
	out := filepath.Join(t.TempDir(), "pictured.xlsx")
	require.NoError(t, f.SaveAs(out))
	require.NoError(t, f.Close())
	return out
}

// The shop's address stands below its name, a line a row, and its picture above, no
// larger than there is room for and in its own proportion.
func TestOfferHasAddressAndPicture(t *testing.T) {
	in := filled(t, shop.Unpriced(t, "order.xlsx"), map[string]any{"head_shop": "Demo tube shop", "head_address": "12 Example Road\nSampletown\n"})
	logo, plate := drawn(t, 900, 150, ".png"), drawn(t, 100, 400, ".jpg")
	in = withPictures(t, in, "Joints", map[string]*excelize.Picture{"B2": {Extension: ".png", File: logo}, "D40": {Extension: ".jpg", File: plate}})
	for at, want := range map[string]struct {
		data       []byte
		wide, high float64 // over each other
	}{"Joints!B2": {logo, 6, 1}, "'Joints'!$d$40": {plate, 1, 4}} {
		r := shop.Offered(t, offer.Options{In: in, Draft: true, Picture: at})
		f, err := excelize.OpenFile(r.Output)
		require.NoError(t, err)
		have, err := f.GetPictures("Offer", "A1")
		require.NoError(t, err)
		require.Len(t, have, 1)
		assert.Equal(t, want.data, have[0].File, "as it is")
		high, err := f.GetRowHeight("Offer", 1)
		require.NoError(t, err)
		assert.LessOrEqual(t, high, 63.0)
		size, _, err := image.DecodeConfig(bytes.NewReader(have[0].File))
		require.NoError(t, err)
		across, down := have[0].Format.ScaleX*float64(size.Width), have[0].Format.ScaleY*float64(size.Height)
		assert.InEpsilon(t, want.wide/want.high, across/down, 0.05, "in its proportion, to a pixel")
		assert.LessOrEqual(t, 0.75*down, high, "on its own row, in points")
		for cell, text := range map[string]string{"A2": "Demo tube shop", "A3": "12 Example Road", "A4": "Sampletown"} {
			v, err := f.GetCellValue("Offer", cell)
			require.NoError(t, err)
			assert.Equal(t, text, v)
		}
		require.NoError(t, f.Close())
	}

	plain := shop.Offered(t, offer.Options{In: in, Draft: true})
	f, err := excelize.OpenFile(plain.Output)
	require.NoError(t, err)
	have, err := f.GetPictureCells("Offer")
	require.NoError(t, err)
	assert.Empty(t, have, "none that was not asked for")
	require.NoError(t, f.Close())

	for at, why := range map[string]string{
		"Joints":    `sheet "Joints" has 2 pictures, at B2, D40; say which, such as Joints!B2`,
		"Joints!C3": "no picture begins at Joints!C3; there are some at B2, D40",
		"Summary":   `sheet "Summary" has no picture`,
		"Front":     `there is no sheet "Front"`,
	} {
		out := filepath.Join(t.TempDir(), "offer.xlsx")
		_, err := offer.Make(t.Context(), offer.Options{In: in, Out: out, Draft: true, Picture: at})
		require.ErrorContains(t, err, why)
		_, err = os.Stat(out)
		assert.ErrorIs(t, err, os.ErrNotExist)
	}
}
