package sheets_test

import (
	"flag"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/bid"
	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

var update = flag.Bool("update", false, "write what the shop of the demo orders has set anew, on an Assumptions sheet of this version")

// demoWork is a line of other work as the shop of the demo orders has it: who calls
// for it, how much, and whether its hours learn. Without a quantity there is none.
type demoWork struct {
	item, car             string
	quantity, hours, cost float64
	basis                 string
}

// demoOrder is what the shop of a demo order has set besides its joints and cars. All
// of it is invented; hours and prices are common practice, no source.
type demoOrder struct {
	file           string
	fields, ranges map[string]string
	rare           []any // the tube that is bought for this order alone, by the whole stick
	work           []demoWork
}

// inventedShop is the basis of what the shop has set and says no more of.
const inventedShop = "invented: this demo shop's own"

func demoOrders() []demoOrder {
	us := []demoWork{
		{"Flanges", "all", 1, 0.2, 42, "invented: cut plate; hours: deburr"},
		{"Clamps and bands", "all", 2, 0, 36, inventedShop},
		{"Flexes", "all", 0, 0, 0, "none: no car has one"},
		{"Hangers", "all", 1, 0.7, 26, "invented: rods of a car; hours: bend"},
		{"Bosses", "all", 1, 0, 12, inventedShop},
		{"Mufflers", "all", 1, 0.6, 85, "invented: core and packing"},
		{"Collectors", "Spyder Demo-B", 1, 0.75, 40, "invented: spike; seams are joints"},
		{"Bends bought in", "all", 0, 0, 0, "none: all bends are pie cut"},
		{"Scan and drawing", "all", 3, 4, 0, "invented: each car spec"},
		{"Jig and first article", "all", 3, 5, 60, "invented: each car spec"},
		{"Saw set-up, each angle", "all", 6, 0.25, 0, "invented: six pie angles"},
		{"Jig set-up", "all", 3, 0.75, 0, "invented: each car spec"},
		{"Changeover between set-ups", "all", 20, 0.25, 0, inventedShop},
		{"Straightening", "all", 1, 0.5, 0, inventedShop},
		{"Mock-up and final fit on the car", "all", 1, 2.5, 0, inventedShop},
		{"Leak test", "all", 1, 0.4, 0, inventedShop},
		{"Polish", "all", 0, 0, 0, "none: left as welded"},
		{"Heat tint", "all", 0, 0, 0, "none: left as welded"},
		{"Coating", "all", 0, 0, 0, "none"},
		{"Packing and freight", "all", 1, 0.5, 40, "invented: crate and carrier"},
	}
	metric := slices.Clone(us)
	us = append(us, demoWork{"Waste gate flange", "Track Demo-C", 1, 0.2, 24, inventedShop}, demoWork{"Second boss", "Track Demo-C", 1, 0, 12, inventedShop})
	metric = append(metric, demoWork{"Waste gate flange", "Hatch Demo-F", 1, 0.2, 24, inventedShop}, demoWork{"Second boss", "Saloon Demo-E", 1, 0, 12, inventedShop},
		demoWork{"Second boss", "Hatch Demo-F", 1, 0, 12, inventedShop}, demoWork{"Rear muffler", "Estate Demo-D", 1, 0.6, 85, "invented: core and packing"})
	metric[2] = demoWork{"Flexes", "Saloon Demo-E", 1, 0, 95, "invented; other cars have none"}
	metric[6].car = "Saloon Demo-E"
	metric[10].quantity, metric[10].basis = 7, "invented: seven pie angles"
	fields := func(order, reference, revision, documents string) map[string]string {
		return map[string]string{
			"head_order": order, "head_customer": "Demo team", "head_reference": reference, "head_revision": revision,
			"head_quote_date": "2026-01-12", "head_shop": "Demo tube shop (invented)", "head_address": "1 Example Road\nSampletown",
			"basis_purpose":    "a fixed price for each car; the owner of this demo shop decides",
			"basis_scope":      "exhaust systems of titanium tube as listed, welded, tested for leaks and packed",
			"basis_documents":  documents,
			"basis_price_date": "2026-01-05, all invented",
			"basis_allowances": "breaks, breakages and small errors; the contingency stands for what the list does not show",
			"basis_assumed":    "tube to size and clean; flanges flat; cars on the shop's floor for fitting",
			"basis_exclusions": "brackets on the car's side, coating, road approval",
			"basis_risks":      "later changes of the drawings; fit on cars that differ from the scanned one",
			"basis_validity":   "30 days from the date above",
			"basis_delivery":   "car by car, from the shop's gate",
			"basis_payment":    "half with the order, the rest at delivery; taxes on top",
			"basis_terms":      "the shop's terms, as agreed",
			"basis_made_by":    "the estimator of this demo shop, 2026-01-12",
			"basis_checked_by": "the owner of this demo shop, 2026-01-12",
		}
	}
	// What the shop's own rates may be during an order, in the units of the sheet.
	ranges := map[string]string{
		"shop_rate": "92 100", "sundries_per_weld": "0.9 1.8", "coupon_cost": "14 25", "overhead": "0 0.05", "learning_slope": "0.95 1",
	}
	with := func(key, value string) map[string]string {
		out := maps.Clone(ranges)
		out[key] = value
		return out
	}
	return []demoOrder{
		{"order.xlsx", fields("Demo order", "D-17", "A", "lists D-101 to D-306, revision A"), with("argon_price", "0.32 0.45"), []any{"grade 2", 4.0, 0.049}, us},
		{"order-2.xlsx", fields("Demo order", "D-17", "B", "lists D-101 to D-306, revision B"), with("argon_price", "0.32 0.45"), []any{"grade 2", 4.0, 0.049}, us},
		{"order-metric.xlsx", fields("Demo order", "Z-4", "A", "lists Z-11 to Z-36, revision A"), with("argon_price", "11 15"), []any{"grade 2", 50.8, 1.0}, metric},
	}
}

// The demo orders are what a shop would send: priced as they lie there they are
// complete, and nothing that goes into the price is left open or looks odd.
func TestDemoOrdersAreComplete(t *testing.T) {
	for _, d := range demoOrders() {
		t.Run(d.file, func(t *testing.T) {
			if *update {
				d.write(t)
			}
			out, rep := shop.PriceWith(t, shop.Demo(d.file), bid.Sheets()...)
			assert.True(t, rep.Verdict.Complete, "%v", rep.Verdict)
			assert.Equal(t, rep.Read, rep.Priced)
			for _, f := range rep.Findings {
				assert.Equal(t, book.LevelNote, f.Level, "%v", f)
			}
			g := sheetstest.Read(t, out)
			for _, label := range []string{"Lines of other work not settled", "Basis of the estimate: points not filled in", "Rows with something to look at"} {
				assert.Zero(t, shop.OnWorkings(t, g, label), label)
			}
			for ref, v := range g["Summary"] {
				assert.NotEqual(t, "LOOK", v.Text, "Summary!%s", ref)
			}
			at := 0
			for _, v := range g["Range"] {
				if _, rest, ok := strings.Cut(v.Text, "contingency that is carried, is at P"); ok {
					_, err := fmt.Sscan(strings.SplitN(rest, ";", 2)[0], &at)
					require.NoError(t, err)
				}
			}
			assert.True(t, 30 <= at && at <= 50, "the priced cost is at P%d", at)
			first, last := shop.NamedRows(t, out, "car_bid")
			cars, bids := 0, 0
			for row := first; row <= last; row++ {
				if g["Assumptions"][fmt.Sprint("B", row)].Text != "" {
					cars++
				}
				if g["Assumptions"][fmt.Sprint("D", row)].Num > 0 {
					bids++
				}
			}
			assert.True(t, 0 < bids && bids < cars, "%d of %d cars have a bid", bids, cars)
		})
	}
}

// On a screen 1920 pixels wide a demo list is seen from its marks to its costs, at a size
// that can be read. A width of 1 is 7 pixels, and 5 beside them, in the font of the books.
func TestDemoListsFitAScreen(t *testing.T) {
	const rowNumbers, bar, smallest = 26, 20, 85
	for _, d := range demoOrders() {
		out, _ := shop.PriceWith(t, shop.Demo(d.file))
		g := sheetstest.Read(t, out)
		f, err := excelize.OpenFile(out)
		require.NoError(t, err)
		lists := 0
		for _, list := range f.GetSheetList() {
			if !strings.HasPrefix(g[list]["A6"].Text, "Joint") { // the heading of the marks
				continue
			}
			lists++
			view, err := f.GetSheetView(list, 0)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, *view.ZoomScale, float64(smallest), list)
			last, err := excelize.ColumnNameToNumber(shop.OurColumn(t, g, list, "line_cost"))
			require.NoError(t, err)
			wide := 0.0
			for col := 1; col <= last; col++ {
				name, err := excelize.ColumnNumberToName(col)
				require.NoError(t, err)
				seen, err := f.GetColVisible(list, name)
				require.NoError(t, err)
				if w, err := f.GetColWidth(list, name); seen {
					require.NoError(t, err)
					wide += 7*w + 5
				}
			}
			assert.Less(t, rowNumbers+wide**view.ZoomScale/100, 1920.0-bar, "%s %s", d.file, list)
		}
		assert.Equal(t, 2, lists, d.file)
		require.NoError(t, f.Close())
	}
}

// write has the order begin as such a shop's does: with an Assumptions sheet that has
// all that the shop sets, and nothing of any run: neither a log nor columns.
func (d *demoOrder) write(t *testing.T) {
	path := shop.Demo(d.file)
	bare := path
	if sheetstest.Read(t, path)["Assumptions"] != nil {
		bare = shop.Unpriced(t, d.file)
	}
	priced, _ := shop.PriceWith(t, bare)
	begun := filepath.Join(t.TempDir(), "begun.xlsx")
	require.NoError(t, sheets.ClearButRates(t.Context(), d.typed(t, priced), begun))
	f, err := excelize.OpenFile(begun)
	require.NoError(t, err)
	defer f.Close()
	for _, name := range []string{book.NameModel, book.NameLog, book.NameState, book.NameColumns} {
		first, last := shop.NamedRows(t, begun, name)
		for row := first; row <= last; row++ {
			for col := 'A'; col <= 'M'; col++ {
				if name == book.NameModel && col != 'C' {
					continue
				}
				require.NoError(t, f.SetCellValue("Assumptions", fmt.Sprintf("%c%d", col, row), nil))
			}
		}
	}
	require.NoError(t, f.SaveAs(path))
}

// typed types in what the shop has set.
func (d *demoOrder) typed(t *testing.T, path string) string {
	g := sheetstest.Read(t, path)
	var cells []shop.Cell
	put := func(col rune, row int, v any) {
		cells = append(cells, shop.At("Assumptions", fmt.Sprintf("%c%d", col, row), v))
	}
	for key, text := range d.fields {
		put('C', shop.Assumption(t, g, key), text)
	}
	for key, both := range d.ranges {
		var low, high float64
		_, err := fmt.Sscan(both, &low, &high)
		require.NoError(t, err)
		put('G', shop.Assumption(t, g, key), low)
		put('H', shop.Assumption(t, g, key), high)
	}
	for ref, v := range g["Assumptions"] { // prices and rates that are shipped as the shop's to set
		if strings.HasSuffix(v.Text, ": set it") {
			cells = append(cells, shop.At("Assumptions", ref, inventedShop))
		}
	}
	first, _ := shop.NamedRows(t, path, "part_item")
	for i, w := range d.work {
		row := first + i
		if shipped := g["Assumptions"][fmt.Sprint("B", row)].Text; shipped == "" { // the shop's own line
			put('B', row, w.item)
			put('G', row, "car")
			put('H', row, "no")
		} else {
			require.Equal(t, w.item, shipped)
		}
		put('C', row, w.car)
		put('L', row, w.basis)
		if w.quantity > 0 {
			put('D', row, w.quantity)
			put('E', row, w.hours)
			put('F', row, w.cost)
		}
	}
	cells = append(cells, shop.At("Assumptions", fmt.Sprint("G", shop.TableRow(t, g, d.rare...)), "whole sticks"))
	return shop.TypeIn(t, path, cells...)
}
