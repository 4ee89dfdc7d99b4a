package whatif

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// What stands on the shop's own list of cars is typed there: typed into the cell that is
// named, it comes to what was asked.
func TestAskedOfAListedCar(t *testing.T) {
	priced, _ := shop.Price(t, shop.Demo("order.xlsx"))
	spyder := shop.TableRow(t, sheetstest.Read(t, priced), "Spyder Demo-B")
	for set, cell := range map[string]string{
		"cars.Track Demo-C.ordered=5": "Order!B9", "cars.Track Demo-C.bid=12000": "Order!C9", "cars.Spyder Demo-B.bid=12000": "Assumptions!D" + strconv.Itoa(spyder),
	} {
		got, err := ask(t, priced, set)
		require.NoError(t, err, set)
		assert.Equal(t, cell, got.Cells[0].At, set)
		sheet, ref, _ := strings.Cut(cell, "!")
		_, value, _ := strings.Cut(set, "=")
		x, err := strconv.ParseFloat(value, 64)
		require.NoError(t, err)
		_, would := shop.Price(t, shop.TypeIn(t, priced, shop.At(sheet, ref, x)))
		assert.Equal(t, would.Order, got.Would.Order, set)
		assert.NotEqual(t, got.Was.Order["order_brings"], got.Would.Order["order_brings"], set)
	}
}
