package compare_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/compare"
	"seamtally/sheets/progress"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func compared(t *testing.T, o compare.Options) *compare.Report {
	t.Helper()
	r, err := compare.Orders(t.Context(), o)
	require.NoError(t, err)
	return r
}

// second is a revision of the priced demo order: another rate, a set-up that is
// slower, a wall, a figure typed over, and one more car.
func second(t *testing.T, priced string) string {
	t.Helper()
	g := sheetstest.Read(t, priced)
	arc := shop.OurColumn(t, g, "Joints", "arc_time")
	return shop.TypeIn(t, priced,
		shop.At("Assumptions", fmt.Sprint("C", shop.Assumption(t, g, "shop_rate")), 105),
		shop.At("Assumptions", fmt.Sprint("F", shop.TableRow(t, g, "trailing shield, on rolls")), 2.5),
		shop.At("Joints", "G9", 0.049),
		shop.At("Joints", fmt.Sprint(arc, 13), 9),
		shop.At("Order", "B8", 5),
	)
}

// The gap is that between the prices that the two workbooks are priced at, and
// the shares add up to it.
func TestCompareIsTheDifferenceOfTwoPrices(t *testing.T) {
	old, before := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	now := second(t, old)
	_, after := shop.Price(t, now)
	r := compared(t, compare.Options{Old: old, New: now})
	assert.Equal(t, before.Order["order_price"], r.Total.Old)
	assert.Equal(t, after.Order["order_price"], r.Total.New)
	kinds, sum := map[compare.ChangeKind]int{}, 0.0
	for _, c := range append(r.Changes, r.NoEffect...) {
		kinds[c.Kind]++
		sum += c.Share
	}
	assert.Equal(t, map[compare.ChangeKind]int{compare.ChangedAssumption: 1, compare.ChangedLine: 2, compare.ChangedJoint: 1, compare.ChangedTyped: 1}, kinds)
	assert.Equal(t, math.Round(100*(r.Total.New-r.Total.Old)), math.Round(100*sum))
	assert.Zero(t, r.Orders, "few changes are shared out exactly")

	back := compared(t, compare.Options{Old: now, New: old})
	require.Len(t, back.Changes, len(r.Changes))
	for i, c := range back.Changes {
		assert.Equal(t, r.Changes[i].Name, c.Name)
		assert.Equal(t, -r.Changes[i].Share, c.Share)
	}
}

// Sorted rows, a column more and our own columns are no change.
func TestCompareOfWorkbooksThatSayTheSame(t *testing.T) {
	in := shop.Unpriced(t, "order.xlsx")
	moved := shop.Edited(t, in, func(f *excelize.File) {
		require.NoError(t, f.DuplicateRowTo("Joints", 8, 20))
		require.NoError(t, f.RemoveRow("Joints", 8))
		require.NoError(t, f.InsertCols("Joints", "D", 1))
	})
	priced, _ := shop.Price(t, in)
	for _, path := range []string{in, moved, priced} {
		r := compared(t, compare.Options{Old: in, New: path, Of: "order_cost"})
		assert.Empty(t, r.Changes)
		assert.Empty(t, r.NoEffect)
		assert.Equal(t, r.Total.Old, r.Total.New)
	}
}

func TestCompareRefuses(t *testing.T) {
	in := shop.Unpriced(t, "order.xlsx")
	for _, c := range []struct {
		o    compare.Options
		says string
	}{
		{compare.Options{Old: in, New: shop.Unpriced(t, "order-metric.xlsx")}, "the same units"},
		{compare.Options{Old: in, New: in, Of: "price"}, "it is one of order_cars"},
		{compare.Options{Old: in, New: in, Out: in, Force: true}, "would replace one of the two"},
		{compare.Options{Old: in, New: in, Out: filepath.Join(t.TempDir(), "b.ods")}, "ending"},
		{compare.Options{Old: in, New: filepath.Join(t.TempDir(), "none.xlsx")}, "none.xlsx"},
	} {
		_, err := compare.Orders(t.Context(), c.o)
		assert.ErrorContains(t, err, c.says)
	}
}

// A program that works nothing out keeps formulas and no values: the first cell,
// how many more, and what to do, on one line.
func TestCompareWithoutStoredValues(t *testing.T) {
	in := shop.Unpriced(t, "order.xlsx")
	priced, _ := shop.Price(t, in)
	g := sheetstest.Read(t, priced)
	first := shop.TableRow(t, g, "Coupe Demo-A")
	bare := shop.Edited(t, priced, func(f *excelize.File) {
		for row := first; row < first+3; row++ {
			ref := fmt.Sprint("C", row)
			require.NoError(t, f.SetCellValue("Assumptions", ref, nil))
			require.NoError(t, f.SetCellFormula("Assumptions", ref, fmt.Sprint("1+", row)))
		}
	})
	const what = "a formula without a stored value; open the workbook in your spreadsheet program and save it once"
	_, err := compare.Orders(t.Context(), compare.Options{Old: in, New: bare})
	require.Error(t, err)
	assert.Equal(t, fmt.Sprintf("%s: Assumptions!C%d and 2 more: %s", bare, first, what), err.Error())

	also := shop.Edited(t, bare, func(f *excelize.File) {
		require.NoError(t, f.SetCellValue("Assumptions", fmt.Sprint("C", shop.Assumption(t, g, "shop_rate")), "dear"))
	})
	_, err = compare.Orders(t.Context(), compare.Options{Old: in, New: also})
	assert.ErrorContains(t, err, fmt.Sprintf("; type one; also Assumptions!C%d and 2 more: %s", first, what))
}

// While a long comparison runs, it says how far it is.
func TestCompareSaysHowFarItIs(t *testing.T) {
	many := shop.Edited(t, shop.Unpriced(t, "order.xlsx"), func(f *excelize.File) {
		for row := 7; row < 26; row++ {
			require.NoError(t, f.SetCellValue("Joints", fmt.Sprint("T", row), 20+row))
		}
	})
	last, calls := 0, 0
	ctx := progress.With(t.Context(), func(what string, done, total int) {
		if what != "sets of changes" {
			return
		}
		assert.Greater(t, done, last)
		assert.LessOrEqual(t, done, total)
		last = done
		calls++
	})
	r, err := compare.Orders(ctx, compare.Options{Old: shop.Unpriced(t, "order.xlsx"), New: many})
	require.NoError(t, err)
	assert.NotEmpty(t, r.Changes)
	assert.Greater(t, calls, 10)
}

// The workbook of a comparison works itself out as it was stored, is the same
// each time, and notices a share that was typed over. Of many changes the chart
// shows the largest.
func TestBridgeWorkbook(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	shop.Heavy(t)
	sheetstest.NeedLibreOffice(t)
	many := shop.Edited(t, shop.Unpriced(t, "order.xlsx"), func(f *excelize.File) {
		for row := 7; row < 25; row++ {
			require.NoError(t, f.SetCellValue("Joints", fmt.Sprint("T", row), 20+row))
		}
	})
	dir := t.TempDir()
	var paths []string
	var reports []*compare.Report
	for i, now := range []string{shop.Unpriced(t, "order-2.xlsx"), many, many} {
		paths = append(paths, filepath.Join(dir, fmt.Sprintf("b%d.xlsx", i)))
		reports = append(reports, compared(t, compare.Options{Old: shop.Unpriced(t, "order.xlsx"), New: now, Out: paths[i], Of: "order_cost"}))
		faults, err := sheetstest.OutOfOrder(paths[i])
		require.NoError(t, err)
		assert.Empty(t, faults)
	}
	_, err := compare.Orders(t.Context(), compare.Options{Old: shop.Unpriced(t, "order.xlsx"), New: many, Out: paths[0]})
	assert.ErrorContains(t, err, "--force")
	a, err := os.ReadFile(paths[1])
	require.NoError(t, err)
	b, err := os.ReadFile(paths[2])
	require.NoError(t, err)
	assert.True(t, string(a) == string(b), "two of the same comparison differ")

	stored := sheetstest.Read(t, paths[0])["Bridge"]
	share, check := "", ""
	for row := 1; row < 200; row++ {
		if stored[fmt.Sprint("A", row)].Text == reports[0].Changes[0].Name {
			share = fmt.Sprint("E", row)
		}
		if stored[fmt.Sprint("A", row)].Text == "Shares add up to the change" {
			check = fmt.Sprint("F", row)
		}
	}
	assert.Equal(t, reports[0].Changes[0].Share, stored[share].Num)
	spoilt := shop.TypeIn(t, paths[0], shop.At("Bridge", share, stored[share].Num+1))
	live := sheetstest.RecalculateAll(t, paths[0], paths[1], spoilt)
	for i := range 2 {
		n := sheetstest.Compare(t, sheetstest.Read(t, paths[i]), live[i], 1e-9)
		assert.Greater(t, n, 3*len(reports[i].Changes), "running totals, and what the chart shows")
	}
	assert.Equal(t, "ok", live[0]["Bridge"][check].Text)
	assert.Equal(t, "LOOK", live[2]["Bridge"][check].Text)

	names := map[string]bool{}
	for ref, v := range live[1]["Bridge"] {
		if ref[0] == 'H' {
			names[v.Text] = true
		}
	}
	require.Greater(t, len(reports[1].Changes), 13)
	assert.True(t, names[fmt.Sprintf("%d more", len(reports[1].Changes)-12)], "%v", names)
}
