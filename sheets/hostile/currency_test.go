package hostile_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets"
	"seamtally/sheets/bid"
	"seamtally/sheets/offer"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// hostileSigns are texts for the currency sign, which stands in headings, in
// charts and in what is told.
func hostileSigns() []string {
	return []string{
		`=1+1`, `"&A1&"`, `</t></is><f>1</f>`, "&amp;", "[Red]0;@", "%s", "$$", "'", ")", "€",
		strings.Repeat("x", 300), "a\nb", "\u202e",
	}
}

// Whatever the sign for money is, it is a text: in every sheet, its charts and
// the offer. The figures do not change.
func TestHostileCurrency(t *testing.T) {
	shop.Heavy(t)
	in := shop.Small(t, shop.Butt("J-1"), shop.Row{"J-2", "Demo car two", "pie cut", 1, 3, 0.049, nil, 90, 10, nil})
	clean, _ := shop.PriceWith(t, in, bid.Sheets()...)
	with := func(t *testing.T, sign string) (string, *sheets.Report) {
		row := shop.Assumption(t, sheetstest.Read(t, clean), "head_currency")
		return shop.Price(t, shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("C", row), sign)))
	}
	meek, want := with(t, "kr")
	var scenes []shop.Scene
	for i, sign := range hostileSigns() {
		scenes = append(scenes, shop.Scene{
			Name:  sign[:min(len(sign), 20)],
			Heavy: i > 1,
			Make: func(t *testing.T) []string {
				out, rep := with(t, sign)
				assert.Equal(t, want.Order["order_price"], rep.Order["order_price"])
				again, _ := shop.Price(t, out)
				assert.True(t, shop.Content(t, out) == shop.Content(t, again), "priced again, the bytes differ")
				samePackage(t, meek, out)
				return []string{out, shop.Offered(t, offer.Options{In: out, Draft: true}).Output}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				shop.Equal(t, paths[0], live[0])
				for _, g := range live {
					noErrors(t, g)
				}
			},
		})
	}
	shop.Play(t, scenes...)
}
