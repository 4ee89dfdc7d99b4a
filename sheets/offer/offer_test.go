package offer_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/offer"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/templates"
)

func TestMain(m *testing.M) { shop.Main(m) }

// onOffer is the value of the cell that stands in a column of the row with a
// label.
func onOffer(t *testing.T, path, label, col string) sheetstest.Value {
	t.Helper()
	g := sheetstest.Read(t, path)["Offer"]
	for row := 1; row < 300; row++ {
		if g[fmt.Sprint("A", row)].Text == label {
			return g[fmt.Sprint(col, row)]
		}
	}
	t.Fatalf("no row %q on the offer", label)
	return sheetstest.Value{}
}

// filled is a priced workbook with some of the head and the basis typed in.
func filled(t *testing.T, in string, typing map[string]any) string {
	t.Helper()
	priced, _ := shop.Price(t, in)
	g := sheetstest.Read(t, priced)
	var cells []shop.Cell
	for key, v := range typing {
		cells = append(cells, shop.At("Assumptions", fmt.Sprint("C", shop.Assumption(t, g, key)), v))
	}
	return shop.TypeIn(t, priced, cells...)
}

// given are the prices on the offer, read off its cells.
func given(t *testing.T, path string) map[float64]bool {
	t.Helper()
	out := map[float64]bool{}
	for ref, v := range sheetstest.Read(t, path)["Offer"] {
		if v.Kind == sheetstest.Number && (ref[0] == 'D' || ref[0] == 'E') {
			out[v.Num] = true
		}
	}
	return out
}

// Nothing of how a price was made is in any part of the file: no figure of money
// or hours of four digits or more, however it is spelled, and no assumption's
// name. A figure that equals a price which is shown is passed over, and counted.
func TestOfferTellsNothing(t *testing.T) {
	shop.Heavy(t)
	books := map[string]func(t *testing.T) string{
		"demo":        func(t *testing.T) string { return shop.Unpriced(t, "order.xlsx") },
		"demo metric": func(t *testing.T) string { return shop.Unpriced(t, "order-metric.xlsx") },
	}
	for seed := range int64(4) {
		books[fmt.Sprint("generated ", seed)] = func(t *testing.T) string { return shop.Generated(t, 60, seed, seed%2 == 1) }
	}
	for name, make := range books {
		t.Run(name, func(t *testing.T) {
			in := make(t)
			out := filepath.Join(t.TempDir(), "priced.xlsx")
			rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Lines: true})
			require.NoError(t, err)
			r := shop.Offered(t, offer.Options{In: out, Draft: true})
			shown := given(t, r.Output)

			all, numbers := shop.Everything(t, r.Output)
			_, there := shop.Everything(t, out)
			passed, searched, known := 0, 0, 0
			look := func(of string, f model.Figures) {
				for key, x := range f {
					if unit := rep.Units[key]; unit != "$" && unit != "h" && unit != "min" && unit != "$/h" {
						continue
					}
					if shown[x] {
						passed++
						continue
					}
					for _, s := range shop.Spelled(x) {
						searched++
						if there[s] {
							known++
						}
						assert.False(t, numbers[s], "%s of %s, %v, stands in the offer as %s", key, of, x, s)
					}
				}
			}
			for _, l := range rep.Lines {
				look(l.Mark, l.Figures)
			}
			for _, c := range rep.Cars {
				look(c.Car, c.Figures)
			}
			look("the order", rep.Order)
			t.Logf("%d spellings searched for, %d figures equal a price that is shown", searched, passed)
			require.Greater(t, searched, 500)
			require.Less(t, passed, 6*len(rep.Cars)+2)
			require.Greater(t, known, 200, "the same search in the priced workbook finds them")

			m, err := compute.Load(templates.FS, rep.System)
			require.NoError(t, err)
			for _, q := range m.Singles.Quantities {
				for _, word := range []string{q.Key, q.Heading} {
					at := regexp.MustCompile(`(?i)(?:^|[^\pL\d_])` + regexp.QuoteMeta(word) + `(?:[^\pL\d_]|$)`).FindString(all)
					assert.Empty(t, at, "the assumption %s", q.Key)
				}
			}
		})
	}
}

// The file has one sheet that is seen, and no formula, name, comment or property.
func TestOfferIsBare(t *testing.T) {
	r := shop.Offered(t, offer.Options{In: filled(t, shop.Unpriced(t, "order.xlsx"), map[string]any{"head_shop": "Demo Tube Shop", "head_order": "Demo order 7"})})
	all := shop.Parts(t, r.Output)
	names := make([]string, 0, len(all))
	for name := range all {
		names = append(names, name)
	}
	assert.ElementsMatch(t, []string{"[Content_Types].xml", "_rels/.rels", "docProps/app.xml", "docProps/core.xml", "xl/_rels/workbook.xml.rels",
		"xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/styles.xml", "xl/theme/theme1.xml"}, names)
	sheet := all["xl/worksheets/sheet1.xml"]
	assert.NotContains(t, sheet, "<f>")
	assert.NotContains(t, sheet, "<f ")
	assert.NotContains(t, sheet, "hidden")
	assert.NotContains(t, all["xl/workbook.xml"], "definedName")
	assert.NotContains(t, all["xl/workbook.xml"], "hidden")
	for _, name := range []string{"docProps/app.xml", "docProps/core.xml"} {
		assert.Empty(t, strings.TrimSpace(shop.CharactersOf(t, all[name])), name)
	}
	faults, err := sheetstest.OutOfOrder(r.Output)
	require.NoError(t, err)
	assert.Empty(t, faults)

	again := shop.Offered(t, offer.Options{In: r.Input})
	assert.True(t, shop.Content(t, r.Output) == shop.Content(t, again.Output), "two offers of the same order differ")
}

// What is shown adds up to the cent: cars at their price, or the bid where there
// is one, and the total is the order's price.
func TestOfferAddsUp(t *testing.T) {
	in := shop.Unpriced(t, "order.xlsx")
	_, rep := shop.Price(t, in)
	r := shop.Offered(t, offer.Options{In: in})
	require.Len(t, r.Cars, len(rep.Cars))
	sum := 0.0
	for i, c := range rep.Cars {
		each := c.Figures["price_car"]
		if bid := c.Figures["bid"]; bid > 0 {
			each = bid
			assert.True(t, r.Cars[i].Bid)
		}
		assert.Equal(t, each, onOffer(t, r.Output, c.Car, "D").Num)
		assert.Equal(t, c.Ordered, onOffer(t, r.Output, c.Car, "C").Num)
		assert.Equal(t, each*c.Ordered, onOffer(t, r.Output, c.Car, "E").Num)
		sum += each * c.Ordered
	}
	assert.Equal(t, sum, onOffer(t, r.Output, "Total", "E").Num)

	// One car, no bid, on which all else follows.
	plain := shop.Small(t, shop.Butt("J-1"))
	_, rep = shop.Price(t, plain)
	worked := rep.Order["order_price"]
	r = shop.Offered(t, offer.Options{In: plain})
	assert.Equal(t, worked, r.Total)
	assert.Zero(t, r.Extra)

	least := shop.Offered(t, offer.Options{In: filled(t, plain, map[string]any{"minimum_order": worked + 123.45})})
	assert.InDelta(t, 123.45, onOffer(t, least.Output, "Up to our minimum charge", "E").Num, 1e-9)
	assert.InDelta(t, worked+123.45, onOffer(t, least.Output, "Total", "E").Num, 1e-9)

	// A step that is no whole number of cents.
	odd := filled(t, plain, map[string]any{"price_step": 0.333})
	priced, _ := shop.Price(t, odd)
	g := sheetstest.Read(t, priced)
	cars := shop.TypeIn(t, priced, shop.At("Assumptions", fmt.Sprint("C", shop.TableRow(t, g, "Demo car one")), 7))
	_, rep = shop.Price(t, cars)
	r = shop.Offered(t, offer.Options{In: cars})
	assert.InDelta(t, rep.Order["order_price"], r.Total, 0.005)
	assert.InDelta(t, r.Total, r.Cars[0].All+r.Extra, 1e-9)
	assert.Equal(t, r.Extra != 0, r.ExtraWhat != "")

	// Offered before, every car of it: no least price comes on top.
	bid := filled(t, plain, map[string]any{"minimum_order": worked * 3})
	g = sheetstest.Read(t, bid)
	bid = shop.TypeIn(t, bid, shop.At("Assumptions", fmt.Sprint("D", shop.TableRow(t, g, "Demo car one")), 1234.5))
	r = shop.Offered(t, offer.Options{In: bid})
	assert.Equal(t, 1234.5, r.Total)
	assert.Zero(t, r.Extra)
}

// The shop's own words stand on the offer, those for the shop alone do not, and
// what is blank is left out.
func TestOfferWords(t *testing.T) {
	in := filled(t, shop.Small(t, shop.Butt("J-1")), map[string]any{
		"head_shop": "Demo Tube Shop", "head_customer": "Invented Motors & Sons", "head_quote_date": "25 November", "head_currency": "€",
		"basis_scope": "the joint <1> of \"Demo car one\"\nand its tube", "basis_validity": "30 days", "basis_terms": strings.Repeat("No word too many. ", 400),
		"basis_risks": "a dear secret", "basis_made_by": "nobody", "basis_allowances": "padding",
	})
	r := shop.Offered(t, offer.Options{In: in})
	assert.Equal(t, "Invented Motors & Sons", onOffer(t, r.Output, "For", "B").Text)
	assert.Equal(t, "25 November", onOffer(t, r.Output, "Date", "B").Text)
	assert.Equal(t, "the joint <1> of \"Demo car one\"", onOffer(t, r.Output, "Included", "B").Text)
	assert.Equal(t, "30 days", onOffer(t, r.Output, "Validity", "B").Text)
	g := sheetstest.Read(t, r.Output)["Offer"]
	assert.Equal(t, "Demo Tube Shop", g["A1"].Text)
	assert.Equal(t, "OFFER", g["D1"].Text)
	words, labels := 0, map[string]bool{}
	for ref, v := range g {
		words += strings.Count(v.Text, "many.")
		for _, hidden := range []string{"dear secret", "nobody", "padding", "DRAFT"} {
			assert.NotContains(t, v.Text, hidden, ref)
		}
		labels[v.Text] = true
	}
	assert.Equal(t, 400, words, "a long text is all there")
	assert.True(t, labels["Price each, €"])
	for _, blank := range []string{"Not included", "Payment", "Order"} {
		assert.False(t, labels[blank], blank)
	}
	assert.Len(t, r.Blank, 8)

	chosen := shop.Offered(t, offer.Options{In: in, Chosen: true})
	assert.Equal(t, "2026-11-25", onOffer(t, chosen.Output, "Date", "B").Text)
	day := shop.Offered(t, offer.Options{In: filled(t, shop.Small(t, shop.Butt("J-1")), map[string]any{"head_customer": "x"})})
	assert.Equal(t, "2026-11-25", onOffer(t, day.Output, "Date", "B").Text)
}

// A day that the shop typed as a day stands there as one. 46351 is 2026-11-25:
// days since 1899-12-30, as spreadsheets count from March 1900 on.
func TestOfferDay(t *testing.T) {
	priced, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	row := shop.Assumption(t, sheetstest.Read(t, priced), "head_quote_date")
	in := shop.Edited(t, priced, func(f *excelize.File) {
		date, err := f.NewStyle(&excelize.Style{NumFmt: 14})
		require.NoError(t, err)
		cell := fmt.Sprint("C", row)
		require.NoError(t, f.SetCellValue("Assumptions", cell, 46352))
		require.NoError(t, f.SetCellStyle("Assumptions", cell, cell, date))
	})
	r := shop.Offered(t, offer.Options{In: in})
	assert.Equal(t, "2026-11-26", r.Date)
}

// An order that lacks something is no offer; a draft says that it is one.
func TestOfferOfWhatIsNotComplete(t *testing.T) {
	for name, c := range map[string]struct {
		row   shop.Row
		check string
	}{
		"left out": {shop.Row{"J-2", "Demo car one", "butt", 1, 3, "thin"}, "rows_left_out"},
		"no price": {shop.Row{"J-2", "Demo car one", "butt", 1, 3.33, 0.049, nil, nil, 10}, "rows_unpriced"},
	} {
		t.Run(name, func(t *testing.T) {
			in := shop.Small(t, shop.Butt("J-1"), c.row)
			out := filepath.Join(t.TempDir(), "offer.xlsx")
			_, err := offer.Make(t.Context(), offer.Options{In: in, Out: out})
			require.ErrorContains(t, err, "the order is INCOMPLETE")
			assert.ErrorContains(t, err, "--draft")
			var refused *sheets.RefusedError
			require.ErrorAs(t, err, &refused)
			require.Len(t, refused.Reasons, 1)
			assert.Equal(t, c.check, refused.Reasons[0].Check)
			assert.NoFileExists(t, out)

			r := shop.Offered(t, offer.Options{In: in, Out: out, Draft: true})
			g := sheetstest.Read(t, r.Output)["Offer"]
			assert.Equal(t, "DRAFT", g["D1"].Text)
			assert.Contains(t, g["A2"].Text, "no offer")
		})
	}
}

func TestOfferRefuses(t *testing.T) {
	in := shop.Unpriced(t, "order.xlsx")
	there := filepath.Join(t.TempDir(), "offer.xlsx")
	require.NoError(t, os.WriteFile(there, nil, 0o600))
	for _, c := range []struct{ out, says string }{
		{filepath.Join(t.TempDir(), "offer.pdf"), "is an .xlsx"},
		{in, "would replace the workbook that it is made of"},
		{there, "--force"},
	} {
		_, err := offer.Make(t.Context(), offer.Options{In: in, Out: c.out})
		assert.ErrorContains(t, err, c.says)
	}
	shop.Offered(t, offer.Options{In: in, Out: there, Force: true})
}

// Words that give a cost away are told before they are sent.
func TestOfferWarnsOfTellingWords(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"))
	_, rep := shop.Price(t, in)
	cost := strconv.FormatFloat(rep.Cars[0].Figures["cost_car"], 'f', 2, 64)
	require.GreaterOrEqual(t, len(cost), 5)
	r := shop.Offered(t, offer.Options{In: filled(t, in, map[string]any{
		"basis_terms": "it costs us " + cost + ", and we ask " + strconv.FormatFloat(r2(rep.Order["order_price"]), 'f', 2, 64), "basis_risks": cost,
	})})
	require.Len(t, r.Told, 1)
	assert.Equal(t, cost, r.Told[0].Number)
	assert.Equal(t, "Cost of Demo car one", r.Told[0].Figure)
	assert.True(t, strings.HasPrefix(r.Told[0].Cell, "Assumptions!C"))
}

// r2 is money to the cent, as far as a test needs it.
func r2(x float64) float64 {
	s, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'f', 2, 64), 64)
	return s
}

// On A4 and on Letter it is one page, with many cars and much text too; what
// could not be read any more at that size takes more.
func TestOfferIsOnePage(t *testing.T) {
	shop.Heavy(t)
	sheetstest.NeedLibreOffice(t)
	busy := map[string]any{"head_shop": "Demo Tube Shop"}
	for _, key := range []string{"scope", "exclusions", "assumed", "documents", "validity", "delivery", "payment", "terms"} {
		busy["basis_"+key] = strings.Repeat("Some words of an invented shop. ", 8)
	}
	var rows, crowd []shop.Row
	for i := range 80 {
		row := shop.Butt(fmt.Sprint("J-", i))
		row[1] = fmt.Sprint("Demo car ", i)
		if crowd = append(crowd, row); i < 12 {
			rows = append(rows, row)
		}
	}
	for name, c := range map[string]struct {
		in    string
		pages func(int) bool
	}{
		"busy":  {filled(t, shop.Small(t, rows...), busy), func(n int) bool { return n == 1 }},
		"crowd": {filled(t, shop.Small(t, crowd...), busy), func(n int) bool { return n > 1 }},
	} {
		r := shop.Offered(t, offer.Options{In: c.in})
		for paper, size := range map[string]string{"Letter": "1", "A4": "9"} { // ECMA-376 part 1, 18.3.1.63
			path := shop.Repacked(t, r.Output, "xl/worksheets/sheet1.xml", func(s string) string {
				return onPaper.ReplaceAllString(s, ` paperSize="`+size+`"`)
			})
			n := len(sheetstest.ToPNG(t, path, t.TempDir()))
			assert.True(t, c.pages(n), "%s on %s: %d pages", name, paper, n)
		}
	}
}

var onPaper = regexp.MustCompile(` paperSize="[0-9]+"`)
