package traveller_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/traveller"
)

// noted is a list whose joints have a drawing and a note, under headings that shops write.
func noted(t *testing.T, rows ...shop.Row) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	head := shop.Row{"Joint no", "Car", "Where", "Kind", "Qty", "OD (in)", "Wall (in)", "Tube length (in)", "Dwg. No.", "REMARKS", "Weld colour"}
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	for i, row := range append([]shop.Row{head}, rows...) {
		require.NoError(t, f.SetSheetRow("Joints", fmt.Sprint("A", i+1), &row))
	}
	return shop.Saved(t, f)
}

func noting(mark string, drawing, note any) shop.Row {
	return shop.Row{mark, "Demo car one", "rear", "butt", 1, 3, 0.049, 10, drawing, note}
}

// The drawing's number stands below where the joint is; notes stand below the joint where
// they are asked for, once, and never where they tell of a setting.
func TestDrawingsAndNotes(t *testing.T) {
	in := noted(t,
		noting("J-1", "D-12", "flush inside"),
		noting("J-2", 1042, "blue: nobody sees it"),
		noting("J-3", "20 cfh", "purge 12"),
		noting("J-4", nil, nil),
	)
	in = shop.TypeIn(t, in, shop.At("Joints", "K3", "blue"))
	r := made(t, traveller.Options{In: in, Notes: true})
	g := sheetstest.Read(t, r.Output)["Demo car one 1"]
	where := func(mark string) string { return g[fmt.Sprint("B", rowOf(t, g, mark))].Text }
	below := func(mark string) string { return g[fmt.Sprint("B", rowOf(t, g, mark)+1)].Text }
	assert.Equal(t, "rear\ndrawing D-12", where("J-1"))
	assert.Equal(t, "rear\ndrawing 1042", where("J-2"))
	assert.Equal(t, "rear\ndrawing see the joint list", where("J-3"))
	assert.Equal(t, "rear", where("J-4"))
	assert.Equal(t, "Note: flush inside", below("J-1"))
	said := 0
	for _, v := range g {
		said += strings.Count(v.Text, "nobody sees it")
	}
	assert.Equal(t, 1, said, "as the reason of the limit, and not again")
	assert.Equal(t, []traveller.Place{{"Demo car one J-3", "Joints!I4", "20 cfh"}}, r.Hidden)
	assert.Equal(t, []traveller.Place{{"Demo car one J-3", "Joints!J4", "purge 12"}}, r.Unsaid)
	assert.Zero(t, r.Unasked)

	r = made(t, traveller.Options{In: in})
	assert.NotContains(t, allOf(t, r.Output), "flush inside")
	assert.Equal(t, 2, r.Unasked)
	assert.Empty(t, r.Unsaid)
}

// However a shop writes a figure of the estimate into its notes, none of them is printed.
func TestNotesTellNoFigure(t *testing.T) {
	plain := noted(t, noting("J-1", nil, nil))
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: plain, Out: t.TempDir() + "/priced.xlsx", Lines: true})
	require.NoError(t, err)
	ways := []string{"%s", "set %s", "%s or so", "x%%%s", "no more than %s, mind", "(%s)", "=%s", "%s in here"}
	var rows []shop.Row
	for key, x := range rep.Lines[0].Figures {
		if x == 0 || math.IsNaN(x) {
			continue
		}
		for _, way := range ways {
			rows = append(rows, noting(fmt.Sprint("N", len(rows)), nil, fmt.Sprintf("zz "+way, strconv.FormatFloat(x, 'g', 6, 64))))
		}
		require.NotEmpty(t, key)
	}
	require.Greater(t, len(rows), 500)
	r := made(t, traveller.Options{In: noted(t, rows...), Notes: true, Draft: true, From: 1, To: 1})
	assert.Len(t, r.Unsaid, len(rows))
	assert.NotContains(t, allOf(t, r.Output), "zz ")
}
