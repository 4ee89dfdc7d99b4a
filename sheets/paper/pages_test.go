package paper_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// As LibreOffice prints them, Summary is one page, and no page of our other sheets that
// run on is nearly empty: words reach down over a quarter of it.
func TestNoPageNearlyEmpty(t *testing.T) {
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		out, _ := shop.PriceWith(t, shop.Demo(name), "rates", "breaks", "buying", "range", "schedule")
		pages := map[string]int{}
		for i, p := range sheetstest.Print(t, out) {
			const edge, foot = 0.4 * 72, 0.6 * 72
			sheet, low := "", 0.0
			for _, x := range p.Texts {
				if x.Top < p.High-foot {
					low = max(low, x.Top+x.Points)
				} else if _, of, ok := strings.Cut(x.Text, " — "); ok {
					sheet = of
				}
			}
			switch sheet {
			case "Summary", "Workings", "Set-ups", "Breaks", "Buying", "Range", "Schedule":
				pages[sheet]++
				assert.Greater(t, (low-edge)/(p.High-edge-foot), 0.25, "%s: page %d, of %s", name, i+1, sheet)
			}
		}
		assert.Len(t, pages, 7, name)
		assert.Equal(t, 1, pages["Summary"], name)
	}
}
