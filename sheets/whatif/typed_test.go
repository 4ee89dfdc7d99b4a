package whatif

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// An amount may be given as it is typed into a cell that shows money or a share; what
// could be meant in two ways is refused with what to write.
func TestAmountsAsTyped(t *testing.T) {
	in, _ := shop.Price(t, shop.Demo("order.xlsx"))
	for text, want := range map[string]string{
		"shop_rate=110": "110 $/h", "shop_rate=$110": "110 $/h", "shop_rate=110 $": "110 $/h", "shop_rate=110/h": "110 $/h", "shop_rate=$110 / h": "110 $/h",
		"shop_rate=110 per h": "110 $/h", "shop_rate=110 per hour": "110 $/h", "shop_rate=$110/hr": "110 $/h", "shop_rate=110 an hour": "110 $/h",
		"shop_rate=2 per minute": "120 $/h", "shop_rate=1,200": "1200 $/h", "shop_rate=$1,200.50": "1200.5 $/h", "minimum_order=1,234,567": "1234567 $",
		"minimum_order=$ 1,500": "1500 $", "margin=15%": "15 %", "margin=15 %": "15 %", "cars.Coupe Demo-A.bid=$8,400": "8400 $", "tack_arc=2.5": "2.5 s",
	} {
		cells, err := cellsOf(t, in, text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, cells[0].New, text)
		}
	}
	for text, says := range map[string]string{
		"shop_rate=€110":          `"€110" is in other money than the workbook, which is in $; write the amount in that`,
		"shop_rate=1.200,5":       `"1.200,5" has a decimal comma; write 1200.5`,
		"minimum_order=1 500":     `"1 500" has its thousands set apart; write 1500`,
		"minimum_order=1'500.25":  `"1'500.25" has its thousands set apart; write 1500.25`,
		"tack_arc=1,200":          "thousands or a decimal; write 1.200 or 1200",
		"shop_rate=1,2":           "write 1.2",
		"shop_rate=110 per lunch": `"110 per lunch" is not understood; write 110, or 110 $/h`,
		"shop_rate=110 per inch":  "$/in where money/time is wanted; write 110, or 110 $/h",
		"shop_rate=USD 110":       `"USD 110" is not understood; write 110, or 110 $/h`,
		"shop_rate=about 110 now": `"about 110 now" is not understood; write 110, or 110 $/h`,
		"shop_rate=110 or 120":    `shop_rate is text "110 or 120"`,
		"overhead=$5":             `"$5" is not understood; write 5, or 5 %`,
		"shop_rate=$":             "shop_rate is blank; write a number",
		"shop_rate=-$5":           "must not be below 0",
		"margin=0.15":             "margin is a share; write 15 %, or 0.15 %",
	} {
		_, err := cellsOf(t, in, text)
		assert.ErrorContains(t, err, says, text)
	}
}

func cellsOf(t *testing.T, in, text string) ([]Cell, error) {
	t.Helper()
	asked, err := parsed([]string{text})
	require.NoError(t, err)
	cells, _, err := located(t.Context(), sheets.PriceOptions{In: in}, asked)
	return cells, err
}
