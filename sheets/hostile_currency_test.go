package sheets_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets"
	"seamtally/sheets/offer"
	"seamtally/sheets/sheetstest"
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
	heavy(t)
	in := small(t, butt("J-1"), listRow{"J-2", "Demo car two", "pie cut", 1, 3, 0.049, nil, 90, 10, nil})
	clean, _ := priceWith(t, in, sheets.BidSheets()...)
	with := func(t *testing.T, sign string) (string, *sheets.Report) {
		row := assumption(t, sheetstest.Read(t, clean), "head_currency")
		return price(t, typeIn(t, clean, typed{"Assumptions", fmt.Sprint("C", row), sign}))
	}
	meek, want := with(t, "kr")
	var scenes []scene
	for i, sign := range hostileSigns() {
		scenes = append(scenes, scene{
			name:  sign[:min(len(sign), 20)],
			heavy: i > 1,
			make: func(t *testing.T) []string {
				out, rep := with(t, sign)
				assert.Equal(t, want.Order["order_price"], rep.Order["order_price"])
				again, _ := price(t, out)
				assert.True(t, content(t, out) == content(t, again), "priced again, the bytes differ")
				samePackage(t, meek, out)
				return []string{out, offered(t, offer.Options{In: out, Draft: true}).Output}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				equal(t, paths[0], live[0])
				for _, g := range live {
					noErrors(t, g)
				}
			},
		})
	}
	play(t, scenes...)
}
