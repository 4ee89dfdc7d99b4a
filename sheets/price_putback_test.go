package sheets_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A price that was typed over on Summary is put back, and the run says so with its
// cell; a run that finds nothing typed says nothing of the kind.
func TestPriceTypedOverIsPutBackWithAWord(t *testing.T) {
	clean, before := shop.Price(t, shop.TwoButts(t))
	assert.False(t, shop.HasFinding(before, "put back"))
	cell, g := "", sheetstest.Read(t, clean)["Workings"]
	for ref, v := range g {
		if ref[0] == 'B' && v.Text == shop.LabelPrice && g["C"+ref[1:]].Num == before.Order["order_price"] {
			cell = "C" + ref[1:]
		}
	}
	require.NotEmpty(t, cell)
	out, rep := shop.Price(t, shop.TypeIn(t, clean, shop.At("Workings", cell, 9000.0)))
	assert.True(t, shop.HasFinding(rep, "Workings!"+cell+" ", "9000", shop.LabelPrice, "put back"), "%v", rep.Findings)
	assert.Equal(t, before.Order, rep.Order)
	_, again := shop.Price(t, out)
	assert.False(t, shop.HasFinding(again, "put back"), "%v", again.Findings)
}

// A workbook that works with rounded numbers is told by every run, once, and its order
// is not complete: the spreadsheet program comes to another price.
func TestPrecisionAsDisplayedIsTold(t *testing.T) {
	in := shop.Edited(t, shop.TwoButts(t), func(f *excelize.File) {
		no := false
		require.NoError(t, f.SetCalcProps(&excelize.CalcPropsOptions{FullPrecision: &no}))
	})
	count := func(rep *sheets.Report) (n int) {
		for _, f := range rep.Findings {
			if f.Rule == book.FindAsDisplayed {
				n++
			}
		}
		return n
	}
	out, rep := shop.Price(t, in)
	assert.Equal(t, 1, count(rep))
	rounded := func(rep *sheets.Report) bool {
		return slices.ContainsFunc(rep.Verdict.Reasons, func(r sheets.Reason) bool {
			return r.Check == "numbers_rounded" && r.Count == 1 && strings.HasPrefix(r.Cell, "Workings!C")
		})
	}
	assert.True(t, rounded(rep), "%v", rep.Verdict)
	_, again := shop.Price(t, out)
	assert.Equal(t, 1, count(again))
	checked, err := sheets.Check(t.Context(), in, "")
	require.NoError(t, err)
	assert.Equal(t, 1, count(&checked.Report))
	_, plain := shop.Price(t, shop.TwoButts(t))
	assert.Zero(t, count(plain))
	assert.False(t, rounded(plain), "%v", plain.Verdict)
}

// A workbook that is worked out by hand is told by every run, once; what is priced
// is right, and so the order may be complete.
func TestCalculationByHandIsTold(t *testing.T) {
	in := shop.Edited(t, shop.TwoButts(t), func(f *excelize.File) {
		manual := "manual"
		require.NoError(t, f.SetCalcProps(&excelize.CalcPropsOptions{CalcMode: &manual}))
	})
	count := func(rep *sheets.Report) (n int) {
		for _, f := range rep.Findings {
			if f.Rule == book.FindByHand {
				assert.Equal(t, book.LevelWarning, f.Level)
				n++
			}
		}
		return n
	}
	out, rep := shop.Price(t, in)
	assert.Equal(t, 1, count(rep))
	_, again := shop.Price(t, out)
	assert.Equal(t, 1, count(again))
	checked, err := sheets.Check(t.Context(), in, "")
	require.NoError(t, err)
	assert.Equal(t, 1, count(&checked.Report))
	_, plain := shop.Price(t, shop.TwoButts(t))
	assert.Zero(t, count(plain))
	assert.Equal(t, plain.Verdict, rep.Verdict)
}

// A cell is called as its row is, a count beside the rows as the words behind it; an arrow
// that leads somewhere is no name.
func TestWhatACellIsCalled(t *testing.T) {
	row := func(texts map[int]string) *worksheet.Row {
		r := &worksheet.Row{Num: 4}
		for col := 1; col <= 12; col++ {
			if text, ok := texts[col]; ok {
				r.Cells = append(r.Cells, worksheet.Cell{Col: col, Kind: worksheet.Text, Text: text})
			}
		}
		return r
	}
	for want, c := range map[string]struct {
		texts map[int]string
		col   int
	}{
		`the cell of "fields of the quote's head"`: {map[int]string{1: "head_customer", 2: "Customer", 3: "Demo", 11: "", 12: "fields of the quote's head"}, 11},
		`the cell of "shop_rate"`:                  {map[int]string{1: "shop_rate", 2: "Shop rate", 4: "$/h", 6: "$/h"}, 5},
		`the cell of "Rows"`:                       {map[int]string{1: "→", 2: "Rows"}, 3},
		"this cell":                                {map[int]string{1: "→"}, 3},
	} {
		assert.Equal(t, want, sheets.Labelled(row(c.texts), c.col))
	}
}
