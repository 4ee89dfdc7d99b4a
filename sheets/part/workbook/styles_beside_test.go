package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// A cell that is to look like its neighbour has its font, fill, borders and height in
// the row, and keeps how its number is shown. The library reads it back.
func TestBesideLooksLikeItsNeighbour(t *testing.T) {
	shops := &excelize.Style{
		Font: &excelize.Font{Family: "Verdana", Size: 8, Bold: true, Color: "1F2937"}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFF4CC"}},
		Border: []excelize.Border{{Type: "bottom", Style: 1, Color: "808080"}}, Alignment: &excelize.Alignment{Horizontal: "left", Vertical: "top"}, NumFmt: 2,
	}
	money := "#,##0.00"
	ours := &excelize.Style{CustomNumFmt: &money, Alignment: &excelize.Alignment{Horizontal: "right", Vertical: "center", WrapText: true}}
	s := stylesOf(t, styledBook(t, shops, ours))
	at, err := s.Beside(1, 2)
	require.NoError(t, err)
	again, err := s.Beside(1, 2)
	require.NoError(t, err)
	assert.Equal(t, at, again, "an equal format is used again")
	added, err := s.Beside(at, 2)
	require.NoError(t, err)
	assert.Equal(t, at, added, "one that was added has neighbours too")

	n, err := s.format(at)
	require.NoError(t, err)
	near, err := s.format(1)
	require.NoError(t, err)
	for _, key := range []string{"fontId", "fillId", "borderId"} {
		assert.Equal(t, near.Get(key), n.Get(key), key)
	}
	_, code := s.NumFmt(2)
	assert.Equal(t, money, code)
	assert.Equal(t, "right", n.Child("alignment").Get("horizontal"))
	assert.Equal(t, "top", n.Child("alignment").Get("vertical"))
	_, err = s.Beside(-1, 2)
	assert.ErrorContains(t, err, "no cell format -1")
	_, err = s.Beside(1, 9999)
	assert.ErrorContains(t, err, "no cell format 9999")
}
