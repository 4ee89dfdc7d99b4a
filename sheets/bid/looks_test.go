package bid_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/bid"
	"seamtally/sheets/look"
	"seamtally/sheets/sheetstest/shop"
)

// Rows of headings are as high as their words, and the line under the title of a block
// is as long as its headings.
func TestHeadingsOfSheetsForTheBid(t *testing.T) {
	out, _ := shop.PriceWith(t, shop.Demo("order.xlsx"), bid.Sheets()...)
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	ink, seen := look.New("", 0), 0
	for _, key := range bid.Sheets() {
		title := shop.BidTitle(key)
		rows, err := f.GetRows(title)
		require.NoError(t, err)
		for i, cells := range rows {
			if len(cells) < 5 || cells[0] != "No." || cells[1] == "" || i == 0 || len(rows[i-1]) != 1 || strings.HasPrefix(rows[i-1][0], "Working") {
				continue
			}
			height, err := f.GetRowHeight(title, i+1)
			require.NoError(t, err)
			for col, words := range cells {
				name, _ := excelize.ColumnNumberToName(col + 1)
				width, err := f.GetColWidth(title, name)
				require.NoError(t, err)
				assert.GreaterOrEqual(t, height+0.01, ink.RowHeight(look.Heading, words, width), "%s!%s%d: %s", title, name, i+1, words)
				style, err := f.GetCellStyle(title, fmt.Sprint(name, i))
				require.NoError(t, err)
				line, err := f.GetStyle(style)
				require.NoError(t, err)
				assert.NotEmpty(t, line.Border, "%s!%s%d: the line under %q ends before", title, name, i, rows[i-1][0])
				seen++
			}
		}
	}
	assert.Greater(t, seen, 40)
}
