package joints_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest/shop"
)

// On a screen of 1920 pixels, without the rows' numbers and the bar beside them, a list is
// seen from its marks to its verdict, at the zoom that it has. A digit of the demo orders'
// usual letters is 7 pixels wide.
func TestListsAreSeenWhole(t *testing.T) {
	for path, titles := range map[string][]string{
		shop.Demo("order.xlsx"):        {"Joints", "Track Demo-C"},
		shop.Demo("order-2.xlsx"):      {"Joints", "Track Demo-C"},
		shop.Demo("order-metric.xlsx"): {"Joint list", "Hatch Demo-F"},
		shop.Starter(t, false):         {"Joints"},
		shop.Starter(t, true):          {"Joints"},
	} {
		out, _ := shop.Price(t, path)
		f, err := excelize.OpenFile(out)
		require.NoError(t, err)
		for _, title := range titles {
			view, err := f.GetSheetView(title, 0)
			require.NoError(t, err)
			rows, err := f.Rows(title)
			require.NoError(t, err)
			last, all := 0, 0.0
			for rows.Next() && last == 0 {
				cells, err := rows.Columns()
				require.NoError(t, err)
				for i, c := range cells {
					if c == "Check" {
						last = i + 1
					}
				}
			}
			require.NoError(t, rows.Close())
			require.NotZero(t, last)
			for col := 1; col <= last; col++ {
				name, err := excelize.ColumnNumberToName(col)
				require.NoError(t, err)
				wide, err := f.GetColWidth(title, name)
				require.NoError(t, err)
				all += float64(int(wide*7 + 0.5))
			}
			assert.LessOrEqual(t, all**view.ZoomScale/100, 1870.0, "%s: %s", path, title)
		}
		require.NoError(t, f.Close())
	}
}
