package ranges_test

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/logbook"
	"seamtally/sheets/progress"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// direct is the cost of an order without what is held for contingency.
func direct(r *sheets.Report) float64 {
	return r.Order["order_cost"] - r.Order["money_contingency"]
}

// lineCents are those that the lines of these tests' orders may be off by: of ten
// amounts, half a cent each.
const lineCents = 0.05

// What Range says of an end of an assumption's range is what pricing the order
// with that number typed comes to; every figure of the table is tried.
func TestRangeIsThePriceAtItsEnds(t *testing.T) {
	bend := shop.Butt("J-2")
	bend[2], bend[7] = "pie cut", 90
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), bend))
	out, was := shop.PriceWith(t, base, "range")
	g := sheetstest.Read(t, out)
	table, tried, shares := g["Range"], 0, map[string]bool{}
	for row := 1; row < 200; row++ {
		at := func(col string) sheetstest.Value { return table[fmt.Sprint(col, row)] }
		if at("L").Text != "ok" || at("G").Kind != sheetstest.Number {
			continue
		}
		key := ""
		for r := 1; r < 300; r++ {
			if g["Assumptions"][fmt.Sprint("B", r)].Text == at("B").Text {
				key = g["Assumptions"][fmt.Sprint("A", r)].Text
			}
		}
		if tried++; tried%4 != 1 && !shop.Thorough() && shareOf()[key] == nil {
			continue
		}
		for _, c := range []struct{ end, cost, hours string }{{"D", "G", "J"}, {"F", "H", "K"}} {
			other := shop.Assume(t, base, shop.Setting{Key: key, Value: at(c.end).Num})
			if names := shareOf()[key]; names != nil {
				assert.InDelta(t, was.Order["order_cost"], shop.ReportOf(t, other).Order["order_cost"], 0, "no price goes by %s", key)
				other = scaled(t, base, at(c.end).Num, names...)
				shares[key] = true
			}
			want := shop.ReportOf(t, other)
			assert.InDelta(t, direct(want)-direct(was), at(c.cost).Num, lineCents, "%s %s", key, c.end)
			assert.InDelta(t, want.Order["order_hours"]-was.Order["order_hours"], at(c.hours).Num, 1e-9, key)
		}
	}
	assert.Greater(t, tried, 15)
	assert.Len(t, shares, 5, "prices as shipped are nobody's")
}

// shareOf are the columns of Assumptions, by their names, that go with an assumption
// which is a share of them.
func shareOf() map[string][]string {
	return map[string][]string{
		"travel_off":       {"setup_travel"},
		"flows_off":        {"setup_torch_flow", "setup_trail_flow", "setup_purge_flow", "setup_purge_hold"},
		"waits_off":        {"setup_pre_flow", "setup_post_flow"},
		"reposition_off":   {"setup_reposition"},
		"mount_off":        {"setup_mount"},
		"tube_price_off":   {"stock_price"},
		"filler_price_off": {"rod_price"},
	}
}

// scaled has the numbers in columns of Assumptions be a share of what they were.
func scaled(t *testing.T, path string, share float64, names ...string) string {
	t.Helper()
	g := sheetstest.Read(t, path)["Assumptions"]
	var cells []shop.Cell
	for _, d := range shop.WorkbookOf(t, path).Names {
		if !slices.Contains(names, d.Name) {
			continue
		}
		first, last := shop.NamedRows(t, path, d.Name)
		_, col, _ := strings.Cut(d.Ref, "$")
		col, _, _ = strings.Cut(col, "$")
		for row := first; row <= last; row++ {
			if v := g[fmt.Sprint(col, row)]; v.Kind == sheetstest.Number {
				cells = append(cells, shop.At("Assumptions", fmt.Sprint(col, row), v.Num*share))
			}
		}
	}
	require.NotEmpty(t, cells)
	return shop.TypeIn(t, path, cells...)
}

// Prices that the shop has set are drawn, a whole column at a time; what logged work
// stands behind is not drawn as the minutes and flows that it was logged with.
func TestRangeDrawsTheTables(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	g := sheetstest.Read(t, base)
	own := shop.TypeIn(t, base, shop.At("Assumptions", basisCell(t, base, "stock"), "quoted"), shop.At("Assumptions", basisCell(t, base, "rod"), "quoted"),
		shop.At("Assumptions", fmt.Sprint("L", shop.Assumption(t, g, "weld_factor")), "own jobs, n = 6"))
	for in, c := range map[string]struct{ drawn, left []string }{
		base: {[]string{"travel_off", "flows_off", "waits_off", "reposition_off", "mount_off"}, []string{"tube_price_off", "filler_price_off"}},
		own:  {[]string{"flows_off", "tube_price_off", "filler_price_off", "weld_factor"}, []string{"travel_off", "waits_off", "reposition_off", "mount_off"}},
	} {
		out, was := shop.PriceWith(t, in, "range")
		sheet := sheetstest.Read(t, out)["Range"]
		words := func(key string) string { return g["Assumptions"][fmt.Sprint("B", shop.Assumption(t, g, key))].Text }
		for _, key := range c.drawn {
			high := shop.Beside(t, sheet, words(key), "H").Num
			assert.NotZero(t, high, key)
			if names := shareOf()[key]; names != nil {
				want := shop.ReportOf(t, scaled(t, in, shop.Beside(t, sheet, words(key), "F").Num, names...))
				assert.InDelta(t, direct(want)-direct(was), high, lineCents, key)
			}
		}
		for _, key := range c.left {
			why := ""
			for row := 1; row < 400; row++ {
				if sheet[fmt.Sprint("B", row)].Text == words(key) {
					why = sheet[fmt.Sprint("C", row)].Text
				}
			}
			if strings.HasSuffix(key, "price_off") {
				assert.Equal(t, "prices that are used stand there as shipped, invented", why, key)
			} else {
				assert.Equal(t, "logged work stands behind weld_factor, which is drawn for it", why, key)
			}
		}
	}
}

// basisCell is the basis of the line of stock, or of rods, that the joints use.
func basisCell(t *testing.T, path, prefix string) string {
	t.Helper()
	g := sheetstest.Read(t, path)["Assumptions"]
	is := map[string]map[string]float64{"stock": {"C": 3, "D": 0.049}, "rod": {"C": 0.045}}[prefix]
	first, last := shop.NamedRows(t, path, prefix+"_alloy")
	for row := first; row <= last; row++ {
		same := g[fmt.Sprint("B", row)].Text == "grade 2"
		for col, x := range is {
			same = same && g[fmt.Sprint(col, row)].Num == x
		}
		if same {
			return fmt.Sprint("L", row)
		}
	}
	require.FailNow(t, "no such line")
	return ""
}

// onlyCleanFit is a priced order of one joint in which nothing but the cleaning and
// fitting of a weld has a basis, and so a range.
func onlyCleanFit(t *testing.T) string {
	t.Helper()
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	g := sheetstest.Read(t, base)
	var cells []shop.Cell
	for row := 1; row < 200; row++ { // no basis but the one
		if k := g["Assumptions"][fmt.Sprint("A", row)].Text; k != "" && k != "clean_fit" && g["Assumptions"][fmt.Sprint("G", row)].Kind == sheetstest.Number {
			cells = append(cells, shop.At("Assumptions", fmt.Sprint("L", row), nil))
		}
	}
	return shop.TypeIn(t, base, cells...)
}

// Of one assumption that the cost rests on in a straight line, without
// contingency or steps of the cent that matter, the percentiles are those of
// the triangle: cleaning and fitting a weld, 2 to 10 min, likely 5, as shipped.
func TestRangeOfAStraightLine(t *testing.T) {
	base := onlyCleanFit(t)
	out, _ := shop.PriceWith(t, base, "range")
	r := sheetstest.Read(t, out)["Range"]
	at := func(minutes float64) float64 {
		return direct(shop.ReportOf(t, shop.Assume(t, base, shop.Setting{Key: "clean_fit", Value: minutes})))
	}
	for share, label := range map[float64]string{0.1: "P10: 10 % chance that it is no more", 0.5: "P50: 50 % chance that it is no more", 0.8: "P80: 80 % chance that it is no more", 0.9: "P90: 90 % chance that it is no more"} {
		minutes := triangle(share, 2, 5, 10)
		assert.InDelta(t, at(minutes), shop.Beside(t, r, label, "C").Num, 4*shop.Beside(t, r, label, "D").Num+0.02, label)
		assert.Positive(t, shop.Beside(t, r, label, "D").Num)
	}
	for _, v := range r {
		assert.NotEqual(t, "LOOK", v.Text)
	}
}

// Range says where the priced cost lies among its trials, what contingency P50 and P80
// would need, and what the chance of a loss is: the direct cost against the one
// amount that the order brings, whatever contingency is carried. How often a
// triangle is exceeded is worked out for itself.
func TestRangeSaysWhereThePricedCostLies(t *testing.T) {
	base := onlyCleanFit(t)
	g := sheetstest.Read(t, base)
	low := shop.ReportOf(t, shop.Assume(t, base, shop.Set("clean_fit", 2, "")))
	high := shop.ReportOf(t, shop.Assume(t, base, shop.Set("clean_fit", 10, "")))
	likely := shop.ReportOf(t, base)
	share := func(x float64) float64 { // of a triangle that is under x
		a, m, b := direct(low), direct(likely), direct(high)
		switch {
		case x <= a:
			return 0
		case x < m:
			return (x - a) * (x - a) / (b - a) / (m - a)
		case x < b:
			return 1 - (b-x)*(b-x)/(b-a)/(b-m)
		}
		return 1
	}
	for _, contingency := range []float64{0, 0.01, 0.1} {
		bid := direct(likely) + (direct(high)-direct(likely))/4
		in := shop.Assume(t, base, shop.Set("contingency", contingency, ""))
		in = shop.TypeIn(t, in, shop.At("Assumptions", fmt.Sprint("D", shop.TableRow(t, g, "Demo car one")), bid))
		out, rep := shop.PriceWith(t, in, "range")
		assert.InDelta(t, bid, rep.Order["order_brings"], 0.01)
		r := sheetstest.Read(t, out)["Range"]
		at := func(label string) float64 { return shop.Beside(t, r, label, "C").Num }
		const stray = 0.02 // four times what 10,000 trials stray
		assert.InDelta(t, share(direct(likely)), at("Chance that it is no more than the direct cost priced"), stray)
		assert.InDelta(t, share(rep.Order["order_cost"]), at("Chance that it is no more than that and the contingency carried"), stray)
		assert.InDelta(t, 1-share(bid), at("Chance that it costs more than it brings"), stray, "at any contingency")
		assert.InDelta(t, at("P50: 50 % chance that it is no more")-direct(likely), at("Contingency that P50 would need"), 0.005)
		assert.InDelta(t, at("P80: 80 % chance that it is no more")-direct(likely), at("Contingency that P80 would need"), 0.005)
		assert.InDelta(t, rep.Order["money_contingency"], at("Contingency that is carried"), 0.005)
		said := ""
		for row := 1; row < 60; row++ {
			said += r[fmt.Sprint("B", row)].Text + "\n"
		}
		assert.Contains(t, said, fmt.Sprintf("is at P%.0f; the direct cost alone is at P%.0f.", 100*at("Chance that it is no more than that and the contingency carried"), 100*at("Chance that it is no more than the direct cost priced")))
		assert.Contains(t, said, "P50 lies above the direct cost as priced because 1 of the 1 values")
	}
}

// A factor on a stage's hours of which nothing is logged stands for the minutes
// below it, and is not drawn beside them; one with a basis of the shop's own is.
func TestRangeDrawsNothingTwice(t *testing.T) {
	out, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1")), "range")
	g := sheetstest.Read(t, out)
	row := shop.Assumption(t, g, "bench_factor")
	heading := g["Assumptions"][fmt.Sprint("B", row)].Text
	assert.Equal(t, "nothing is logged: what it stands for is drawn instead", shop.Beside(t, g["Range"], heading, "C").Text)
	own, _ := shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("L", row), "own jobs, invented")))
	r := sheetstest.Read(t, own)["Range"]
	assert.Equal(t, "own jobs, invented", shop.Beside(t, r, heading, "M").Text)
	const stood = "what is logged stands for it, and is drawn instead"
	what := func(key string) string { return g["Assumptions"][fmt.Sprint("B", shop.Assumption(t, g, key))].Text }
	for _, key := range []string{"clean_fit", "purge_rig", "tack_handling"} { // what makes up the bench's hours
		assert.Equal(t, stood, shop.Beside(t, r, what(key), "C").Text, key)
	}
	for _, key := range []string{"cut_deburr", "inspect", "allowance", "argon_loss"} { // of other stages, of all hours, of gas
		assert.NotEqual(t, stood, shop.Beside(t, r, what(key), "C").Text, key)
		assert.Positive(t, shop.Beside(t, r, what(key), "G").Num+shop.Beside(t, r, what(key), "H").Num, key)
	}
	gas, _ := shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("L", shop.Assumption(t, g, "gas_factor")), "own jobs, invented")))
	r = sheetstest.Read(t, gas)["Range"]
	assert.Equal(t, stood, shop.Beside(t, r, what("argon_loss"), "C").Text)
	assert.NotEqual(t, stood, shop.Beside(t, r, what("purge_rig"), "C").Text, "it is hours, of which nothing is logged")
}

// The same seed gives the same file, another one other figures; and a range that
// is changed afterwards is told, in a program that is not ours.
func TestRangeTellsWhenItIsOld(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	out, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1")), "range")
	other, _ := shop.Price(t, shop.Assume(t, out, shop.Setting{Key: "seed", Value: 2}))
	a, b := sheetstest.Read(t, out)["Range"], sheetstest.Read(t, other)["Range"]
	const p80 = "P80: 80 % chance that it is no more"
	assert.NotEqual(t, shop.Beside(t, a, p80, "C").Num, shop.Beside(t, b, p80, "C").Num)
	assert.InDelta(t, shop.Beside(t, a, p80, "C").Num, shop.Beside(t, b, p80, "C").Num, 6*shop.Beside(t, a, p80, "D").Num)
	g := sheetstest.Read(t, out)
	changed := []string{
		shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("G", shop.Assumption(t, g, "clean_fit")), 3)),
		shop.Assume(t, out, shop.Setting{Key: "clean_fit", Value: 4}),
		shop.Assume(t, out, shop.Setting{Key: "shop_rate", Value: 96}),
		shop.Assume(t, out, shop.Setting{Key: "seed", Value: 5}),
	}
	for i, live := range sheetstest.RecalculateAll(t, append(changed, out)...) {
		want := "LOOK"
		if i == len(changed) {
			want = "ok"
		}
		assert.Equal(t, want, live["Range"]["B3"].Text, "%d", i)
	}
}

// A run that is stopped while it draws writes nothing.
func TestRangeCanBeStopped(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	in := shop.Assume(t, base, shop.Setting{Key: "with_range", Value: "yes"}, shop.Setting{Key: "trials", Value: 900_000})
	ctx, cancel := context.WithCancel(context.Background())
	out := filepath.Join(t.TempDir(), "none.xlsx")
	told := progress.With(ctx, func(what string, _, total int) {
		if what == "trials of Range" && total == 900_000 {
			cancel()
		}
	})
	_, err := sheets.Price(told, sheets.PriceOptions{In: in, Out: out})
	require.ErrorIs(t, err, context.Canceled)
	require.NoFileExists(t, out)
}

// The trials of an order are drawn once: the next run takes what they came to from the
// record, and comes to the same. Whatever else they rest on has them drawn anew, and so
// has a record that was typed over.
func TestTrialsAreDrawnOnce(t *testing.T) {
	priced := func(in string) (drawn bool, g sheetstest.Grid) {
		out := filepath.Join(t.TempDir(), "out.xlsx")
		told := progress.With(context.Background(), func(what string, _, _ int) { drawn = drawn || what == "trials of Range" })
		_, err := sheets.Price(told, sheets.PriceOptions{In: in, Out: out, Date: "2027-01-11"})
		require.NoError(t, err)
		return drawn, sheetstest.Read(t, out)
	}
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	in, _ := shop.PriceWith(t, base, "range")
	first, last := shop.NamedRows(t, in, "seamtally.last")
	g, record := sheetstest.Read(t, in), ""
	for row := first; row <= last; row++ {
		if g["Assumptions"][fmt.Sprint("B", row)].Text == logbook.KeptTrials {
			record = fmt.Sprint("C", row)
		}
	}
	kept := g["Assumptions"][record].Text
	require.Contains(t, kept, `"Lost":`)
	drawn, want := priced(in)
	assert.False(t, drawn, "nothing has changed")
	for why, c := range map[string]struct {
		in   string
		same bool
	}{
		"another seed":               {shop.Assume(t, in, shop.Set("seed", 2, "")), false},
		"fewer trials":               {shop.Assume(t, in, shop.Set("trials", 500, "")), false},
		"other times":                {shop.Assume(t, in, shop.Set("time_correlation", 0.9, "")), false},
		"a wider range":              {shop.TypeIn(t, in, shop.At("Assumptions", fmt.Sprint("H", shop.Assumption(t, g, "clean_fit")), 99)), false},
		"a joint more":               {shop.TypeIn(t, in, shop.At("Joints", shop.ColQty+"2", 3)), false},
		"the record is typed over":   {shop.TypeIn(t, in, shop.At("Assumptions", record, strings.Replace(kept, `"Lost":`, `"Lost":0.5,"Was":`, 1))), true},
		"the record is gone":         {shop.TypeIn(t, in, shop.At("Assumptions", record, nil)), true},
		"a percentile is typed over": {shop.TypeIn(t, in, shop.At("Range", "C10", 1)), true},
	} {
		drawn, got := priced(c.in)
		assert.Equal(t, why != "a percentile is typed over", drawn, why)
		if c.same {
			assert.Equal(t, want["Range"], got["Range"], why)
		} else {
			assert.NotEqual(t, want["Range"], got["Range"], why)
		}
	}
}

// triangle is the amount under which a share lies, written out for itself.
func triangle(share, low, mode, high float64) float64 {
	step := (high - low) / 1e6
	area, x := 0.0, low
	for ; area < share; x += step {
		height := 2 / (high - low)
		if x < mode {
			height *= (x - low) / (mode - low)
		} else {
			height *= (high - x) / (high - mode)
		}
		area += height * step
	}
	return x
}

// BenchmarkRange prices 2,000 joints, 200 of them different, without Range and
// with its 10,000 trials.
func BenchmarkRange(b *testing.B) {
	var rows []shop.Row
	for i := range 2000 {
		k := i % 200
		row := shop.Butt(fmt.Sprint("J-", i+1))
		row[3], row[4], row[8] = 1+k%4, 3, 4+float64(k)/8
		if k%3 == 2 {
			row[2], row[7] = "pie cut", 30+k%90
		}
		rows = append(rows, row)
	}
	in := shop.Small(b, rows...)
	for _, with := range [][]string{nil, {"range"}} {
		b.Run(fmt.Sprint("with=", with), func(b *testing.B) {
			for range b.N {
				_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: filepath.Join(b.TempDir(), "out.xlsx"), With: with})
				require.NoError(b, err)
			}
		})
	}
}

// Ranges in which the order cannot be worked out everywhere do not keep it from
// being priced: they are told, and nothing is drawn.
func TestRangeThatCannotBeDrawn(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	g := sheetstest.Read(t, base)
	low := fmt.Sprint("G", shop.Assumption(t, g, "target_oxygen"))
	out, rep := shop.PriceWith(t, shop.TypeIn(t, base, shop.At("Assumptions", low, 0)), "range")
	assert.Positive(t, rep.Order["order_cost"])
	said := false
	for _, v := range sheetstest.Read(t, out)["Range"] {
		said = said || v.Text == "its low end must be more than 0"
	}
	assert.True(t, said)
}

// The sentence of Range says what its table does.
func TestRangeInASentence(t *testing.T) {
	out, _ := shop.PriceWith(t, shop.Demo("order.xlsx"), "range")
	g := sheetstest.Read(t, out)["Range"]
	var lost, trials int
	_, err := fmt.Sscanf(strings.ReplaceAll(g["B4"].Text, ",", ""), "In %d of %d orders drawn by chance", &lost, &trials)
	require.NoError(t, err, g["B4"].Text)
	assert.InDelta(t, shop.Beside(t, g, "Chance that it costs more than it brings", "C").Num, float64(lost)/float64(trials), 1e-9)
	said := strings.ReplaceAll(g["B4"].Text, ",", "")
	assert.Contains(t, said, fmt.Sprintf("the $ %.0f that the order brings", shop.Beside(t, g, "What the order brings, bid or price", "C").Num))
	assert.Contains(t, said, fmt.Sprintf("in 8 of 10 it is $ %.0f or less", shop.Beside(t, g, "P80: 80 % chance that it is no more", "C").Num))
	assert.Contains(t, said, fmt.Sprintf("in 1 of 10 over $ %.0f", shop.Beside(t, g, "P90: 90 % chance that it is no more", "C").Num))
}
