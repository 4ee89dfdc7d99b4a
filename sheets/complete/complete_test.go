package complete

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/sheetstest/shop"
)

// What could come next is of the workbook that is named, begins as what is typed, and
// is nothing where a file or any text may come.
func TestNext(t *testing.T) {
	demo := shop.Demo("order.xlsx")
	for name, c := range map[string]struct {
		asked Asked
		has   []string
		not   []string
	}{
		"marks":               {Asked{Command: "explain", Words: []string{demo}}, []string{"order", "Coupe Demo-A", "Track Demo-C", "A-07", "Joints!", "Holidays!"}, []string{"Assumptions!", "arc_time"}},
		"marks begun":         {Asked{Command: "explain", Words: []string{demo}, Word: "a-0"}, []string{"A-07"}, []string{"order"}},
		"figures of a joint":  {Asked{Command: "explain", Words: []string{demo, "A-07"}, Word: "arc"}, []string{"arc_time"}, []string{"order_price"}},
		"figures of a car":    {Asked{Command: "explain", Words: []string{demo, "coupe demo-a"}}, []string{"price_car", "shop_rate"}, []string{"arc_time"}},
		"figures of an order": {Asked{Command: "explain", Words: []string{demo, "order"}}, []string{"order_price"}, []string{"arc_time", "price_car"}},
		"places":              {Asked{Command: "price", Flag: "set", Words: []string{demo}}, []string{"shop_rate=", "A-07."}, []string{"A-07.setup="}},
		"inputs of a mark":    {Asked{Command: "price", Flag: "set", Words: []string{demo}, Word: "A-07."}, []string{"A-07.setup=", "A-07.od="}, []string{"shop_rate=", "A-07.arc_time="}},
		"places of no file":   {Asked{Command: "price", Flag: "set", Word: "shop"}, []string{"shop_rate="}, nil},
		"sheets":              {Asked{Command: "price", Flag: "settle", Words: []string{demo}}, []string{"Holidays=own", "Joints!"}, []string{"Assumptions=own"}},
		"sheets for the bid":  {Asked{Command: "price", Flag: "with", Word: "rates,b"}, []string{"rates,breaks", "rates,buying"}, []string{"rates,range"}},
		"cars":                {Asked{Command: "traveller", Flag: "car", Words: []string{demo}}, []string{"Coupe Demo-A", "Track Demo-C"}, []string{"A-07"}},
		"figures to compare":  {Asked{Command: "compare", Flag: "of"}, []string{"order_cost"}, []string{"arc_time"}},
	} {
		next := Next(t.Context(), c.asked)
		for _, want := range c.has {
			assert.Contains(t, next, want, name)
		}
		for _, no := range c.not {
			assert.NotContains(t, next, no, name)
		}
	}
	for name, asked := range map[string]Asked{
		"a file":         {Command: "explain"},
		"all is there":   {Command: "explain", Words: []string{demo, "A-07", "arc_time"}},
		"another flag":   {Command: "price", Flag: "output", Words: []string{demo}},
		"another word":   {Command: "price", Words: []string{demo}},
		"what is typed":  {Command: "price", Flag: "set", Words: []string{demo}, Word: "shop_rate=1"},
		"not begun so":   {Command: "explain", Words: []string{demo}, Word: "zz"},
		"no such joint":  {Command: "explain", Words: []string{filepath.Join(t.TempDir(), "none.xlsx")}, Word: "A-07"},
		"a file, locked": {Command: "explain", Words: []string{shop.Put(t, []byte("\xD0\xCF\x11\xE0"))}, Word: "A-07"},
	} {
		assert.Empty(t, Next(t.Context(), asked), name)
	}
}
