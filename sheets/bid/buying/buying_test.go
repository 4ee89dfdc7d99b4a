package buying_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// buyingOrder has straight tubes and bends of one size: two straights of 30 in
// and one bend of 90 degrees, on three cars.
func buyingOrder(t *testing.T) string {
	t.Helper()
	one, bend := shop.Butt("J-1"), shop.Butt("J-2")
	one[3], one[8] = 2, 30
	bend[2], bend[3], bend[7], bend[8] = "pie cut", 1, 90, nil
	out, rep := shop.Price(t, shop.Small(t, one, bend))
	require.True(t, rep.Complete, "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	return shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", shop.TableRow(t, g, "Demo car one")), 3))
}

// buyingRow is the row of Buying that has a text in a column, from a row on.
func buyingRow(t *testing.T, g map[string]sheetstest.Value, col, text string, from int) int {
	t.Helper()
	for row := from; row < 500; row++ {
		if g[fmt.Sprint(col, row)].Text == text {
			return row
		}
	}
	require.FailNow(t, "no row", text)
	return 0
}

// part is a row of the cut list: n pieces of a stick, one after the other.
type part struct {
	what, mark                        string
	begins, takes, pieces, parts      float64
	middle, long, short, first, other float64
	turn                              float64
	times                             float64 // sticks cut so
}

// sawRows are the rows of the cut list, and what is left of each stick.
func sawRows(t *testing.T, g map[string]sheetstest.Value) (out []part) {
	t.Helper()
	head := buyingRow(t, g, "C", "Sticks cut so", 1)
	times, cut := 0.0, 0.0
	for r := head + 1; g[fmt.Sprint("B", r)].Text != ""; r++ {
		at := func(col string) float64 { return g[fmt.Sprint(col, r)].Num }
		switch {
		case at("C") > 0: // a stick begins
			times, cut = at("C"), 0
			continue
		case at("F") == 0: // what is left
			assert.InDelta(t, cut, at("D"), 1e-3)
			assert.InDelta(t, 120, at("D")+at("E"), 1e-3)
			continue
		}
		assert.InDelta(t, cut, at("D"), 1e-3, "each piece begins where the saw has left off")
		cut = at("D") + at("F")*(at("E")+0.08)
		out = append(out, part{g[fmt.Sprint("B", r)].Text, g[fmt.Sprint("N", r)].Text, at("D"), at("E"), at("F"), at("G"), at("H"), at("I"), at("J"), at("K"), at("L"), at("M"), times})
	}
	return out
}

// By hand: a bend of 90 degrees in pies of 15 has 6 about 4.5 in, each 2*4.5*tan(7.5°)
// = 1.18487 in on its axis. With half ends 5 come of the blank, and the halves of the
// sixth, 0.59244 in each, lie on the two straights of 30 in. A tube of 3 in reaches
// 1.5*tan(7.5°) = 0.19748 in beyond its middle where it is slanted, and a slanted cut
// takes 0.06/cos(7.5°)+0.02 in. Three cars: six straights of 30.79 in and three blanks.
// With 0.08 in a cut three straights and three blanks fit on one stick of 120 in (92.6
// + 20.4), and three straights are left: two sticks.
func TestBuyingByHand(t *testing.T) {
	out, _ := shop.PriceWith(t, buyingOrder(t), "buying")
	g := sheetstest.Read(t, out)["Buying"]
	row := buyingRow(t, g, "B", "grade 2, 3 x 0.049", 1)
	const half, reach = 0.592437, 0.197479
	const blank = 5*2*half + 6*(0.06*1.00863+0.02) - 0.08 + 2*reach
	assert.InDelta(t, 9, g[fmt.Sprint("C", row)].Num, 0)
	assert.InDelta(t, (6*(30+half+reach)+3*blank)/12, g[fmt.Sprint("D", row)].Num, 1e-4)
	assert.InDelta(t, 3*(2*30+6*2*half)/12, g[fmt.Sprint("E", row)].Num, 1e-4, "tube and bends of the list, and nothing else")
	assert.InDelta(t, 2, g[fmt.Sprint("G", row)].Num, 0)
	assert.Equal(t, "ok", g["B3"].Text)

	straights, pies := 0.0, 0.0
	for _, p := range sawRows(t, g) {
		switch p.mark {
		case "J-1":
			assert.Equal(t, "straight, half of J-2 on other end", p.what)
			assert.InDeltaSlice(t, []float64{30 + half + reach, 30 + half, 30 + half + reach, 30 + half - reach, 0, 7.5, 0}, []float64{p.takes, p.middle, p.long, p.short, p.first, p.other, p.turn}, 1e-3)
			straights += p.times * p.parts
		case "J-2":
			assert.Equal(t, "blank of 5 pies", p.what)
			assert.InDeltaSlice(t, []float64{blank, 2 * half, 2 * (half + reach), 2 * (half - reach), 7.5, 7.5, 180}, []float64{p.takes, p.middle, p.long, p.short, p.first, p.other, p.turn}, 1e-3)
			pies += p.times * p.parts
		}
	}
	assert.InDelta(t, 6, straights, 0)
	assert.InDelta(t, 15, pies, 0)
	assert.InDelta(t, 3*(6-1), pies, 0, "5 pies and two straights meet in 6 welds, which are what is priced")
}

// The same bend with full ends: the straights are square and as long as they are, six
// pies come of the blank, and seven welds are priced.
func TestFullEndsStaySquare(t *testing.T) {
	order := shop.Assume(t, buyingOrder(t), shop.Setting{Key: "default_ends", Value: "full"})
	out, rep := shop.PriceWith(t, order, "buying")
	g := sheetstest.Read(t, out)["Buying"]
	const pie, reach = 2 * 0.592437, 0.197479
	straights, pies := 0.0, 0.0
	for _, p := range sawRows(t, g) {
		switch p.mark {
		case "J-1":
			assert.Equal(t, "straight", p.what)
			assert.InDeltaSlice(t, []float64{30, 30, 30, 30, 0, 0}, []float64{p.takes, p.middle, p.long, p.short, p.first, p.other}, 1e-9)
			straights += p.times * p.parts
		case "J-2":
			assert.Equal(t, "blank of 6 pies", p.what)
			assert.InDelta(t, 6*pie+7*(0.06*1.00863+0.02)-0.08+2*reach, p.takes, 1e-3)
			pies += p.times * p.parts
		}
	}
	assert.InDelta(t, 6, straights, 0)
	assert.InDelta(t, 18, pies, 0)
	assert.InDelta(t, 3*(2+7), rep.Order["order_welds"], 0)
	assert.InDelta(t, 3*(2*30+6*pie)/12, g[fmt.Sprint("E", buyingRow(t, g, "B", "grade 2, 3 x 0.049", 1))].Num, 1e-4)
}

// Bottles weld by weld: never fewer than the whole order divided, and each is
// changed when the next weld does not fit. Nine welds that take 0.6 of a bottle
// each need a bottle each, though 5.4 would do by the whole.
func TestBottlesAreChangedBetweenWelds(t *testing.T) {
	first, _ := shop.PriceWith(t, buyingOrder(t), "buying")
	g := sheetstest.Read(t, first)["Buying"]
	row := buyingRow(t, g, "B", "torch", 1)
	most := g[fmt.Sprint("G", row)].Num
	require.Positive(t, most)
	small := shop.Assume(t, first, shop.Setting{Key: "bottle_usable", Value: 0.9}, shop.Setting{Key: "bottle_size", Value: most / 0.6 / 0.9})
	out, rep := shop.PriceWith(t, small)
	g = sheetstest.Read(t, out)["Buying"]
	row = buyingRow(t, g, "B", "torch", 1)
	whole, more := g[fmt.Sprint("D", row)].Num, g[fmt.Sprint("E", row)].Num
	seq := whole + more
	assert.InDelta(t, rep.Order["torch_bottles"], whole, 0)
	assert.Positive(t, more)
	assert.Contains(t, g[fmt.Sprint("I", row)].Text, "too little for the next weld")
	assert.InDelta(t, rep.Order["bottles"], g[fmt.Sprint("D", buyingRow(t, g, "B", "All lines", 1))].Num, 0, "one number for the order")
	assert.LessOrEqual(t, seq, rep.Order["order_welds"])
	said := func(g map[string]sheetstest.Value) (n int) { // why the one number is not raised
		for _, v := range g {
			if strings.Contains(v.Text, "which is not raised by those that it takes more") {
				n++
			}
		}
		return n
	}
	assert.Equal(t, 1, said(g))
	assert.Zero(t, said(sheetstest.Read(t, first)["Buying"]), "nothing more is needed")
	used := g[fmt.Sprint("C", row)].Num
	assert.InDelta(t, used, seq*g[fmt.Sprint("H", row)].Num-g[fmt.Sprint("F", row)].Num, g[fmt.Sprint("H", row)].Num, "what is bought less what is left, but for the last bottle")
}

// A weld that takes two and a half bottles takes the rest of it from the third:
// every bottle is used up, so that there are as many as by the whole.
func TestWeldsThatTakeBottles(t *testing.T) {
	first, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1")), "buying") // two welds alike
	g := sheetstest.Read(t, first)["Buying"]
	most := g[fmt.Sprint("G", buyingRow(t, g, "B", "torch", 1))].Num
	out, rep := shop.PriceWith(t, shop.Assume(t, first, shop.Setting{Key: "bottle_usable", Value: 0.9}, shop.Setting{Key: "bottle_size", Value: most / 2.5 / 0.9}))
	g = sheetstest.Read(t, out)["Buying"]
	row := buyingRow(t, g, "B", "torch", 1)
	assert.InDelta(t, 5, rep.Order["torch_bottles"], 0)
	assert.InDelta(t, 1, g[fmt.Sprint("E", row)].Num, 0, "the second weld is not begun on the half bottle that the first leaves")
}

// Once a length, a stick or a bottle is other, the sheet says so, in a program
// that is not ours.
func TestBuyingTellsWhenItIsOld(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	out, _ := shop.PriceWith(t, buyingOrder(t), "buying")
	g := sheetstest.Read(t, out)
	stock := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	changed := []string{
		shop.TypeIn(t, out, shop.At("Joints", shop.ColTube+"2", 31)),
		shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("F", stock), 8)),
		shop.Assume(t, out, shop.Setting{Key: "bottle_size", Value: 200}),
		shop.Assume(t, out, shop.Setting{Key: "kerf", Value: 0.1}),
		shop.TypeIn(t, out, shop.At("Joints", shop.ColQty+"3", 2)),
	}
	for i, live := range sheetstest.RecalculateAll(t, append(changed, out)...) {
		want := "LOOK"
		if i == len(changed) {
			want = "ok"
		}
		assert.Equal(t, want, live["Buying"]["B3"].Text, "%d", i)
		if want != "ok" {
			assert.Positive(t, shop.OnWorkings(t, live, "Sheets for the bid: checks that do not hold"))
		}
	}
}

// A size whose stick has no length, or none of whose tubes has one, has no plan: the
// sheet is not ok until it has.
func TestBuyingAsksForWhatHasNoPlan(t *testing.T) {
	order := buyingOrder(t)
	g := sheetstest.Read(t, order)
	stick := fmt.Sprint("F", shop.TableRow(t, g, "grade 2", 3.0, 0.049))
	bare := shop.Butt("J-1")
	bare[8] = nil
	for why, path := range map[string]string{
		"its stick has no length":   shop.TypeIn(t, order, shop.At("Assumptions", stick, nil)),
		"its tubes have no lengths": shop.Small(t, bare),
	} {
		out, _ := shop.PriceWith(t, path, "buying")
		g := sheetstest.Read(t, out)["Buying"]
		row := buyingRow(t, g, "B", "grade 2, 3 x 0.049", 1)
		assert.Equal(t, why, g[fmt.Sprint("O", row)].Text)
		assert.InDelta(t, 1, g[fmt.Sprint("N", row)].Num, 0)
		assert.Equal(t, "LOOK", g["B3"].Text, why)
	}
}

// Where each half lies. Bends of 90° in pies of 15° throughout.
func TestHalvesLieOnTheNextStraights(t *testing.T) {
	row := func(mark, kind string, qty int, tube any) shop.Row {
		r := shop.Butt(mark)
		r[2], r[3], r[8] = kind, qty, tube
		if kind == "pie cut" {
			r[7] = 90
		}
		return r
	}
	wide := func(r shop.Row) shop.Row {
		r[4] = 3.5
		return r
	}
	for _, c := range []struct {
		why  string
		rows []shop.Row
		want map[string]float64 // pieces, by joint and words
	}{
		{"between two bends a straight carries a half of each, and the last straight one",
			[]shop.Row{row("A", "butt", 1, 20), row("B", "pie cut", 1, 6), row("C", "pie cut", 1, 4)},
			map[string]float64{"A: straight, half of B on other end": 1, "B: straight, half of B on first end, of C on other": 1, "C: straight, half of C on first end": 1, "B: blank of 5 pies": 5, "C: blank of 5 pies": 5}},
		{"two bends with a tube between close no ring: what no straight takes is told",
			[]shop.Row{row("B", "pie cut", 1, 6), row("C", "pie cut", 1, 4)},
			map[string]float64{"B: straight, half of B on first end": 1, "C: straight, half of C on first end, of B on other": 1, "C: half pie, square at one end: on no straight": 1, "B: blank of 5 pies": 5, "C: blank of 5 pies": 5}},
		{"bends of one row follow each other, but for the first",
			[]shop.Row{row("A", "butt", 1, 20), row("B", "pie cut", 3, 6)},
			map[string]float64{"A: straight, half of B on other end": 1, "B: straight, half of B on first end, of B on other": 2, "B: straight, half of B on first end": 1, "B: blank of 5 pies": 15}},
		{"the end of a tube that is in a fillet meets no bend",
			[]shop.Row{row("A", "fillet", 1, 20), row("B", "pie cut", 1, 6), row("C", "pie cut", 1, nil)},
			map[string]float64{"A: straight, half of B on other end": 1, "B: straight, half of B on first end, of C on other": 1, "C: half pie, square at one end: on no straight": 1, "B: blank of 5 pies": 5, "C: blank of 5 pies": 5}},
		{"two bends in a row meet each other: neither goes round the other to a straight",
			[]shop.Row{row("A", "butt", 1, 20), row("B", "pie cut", 1, nil), row("C", "pie cut", 1, nil), row("D", "butt", 1, 20)},
			map[string]float64{"A: straight, half of B on other end": 1, "D: straight, half of C on first end": 1, "B: half pie, square at one end: on no straight": 1, "C: half pie, square at one end: on no straight": 1, "B: blank of 5 pies": 5, "C: blank of 5 pies": 5}},
		{"three bends in a row: that in the middle touches no straight",
			[]shop.Row{row("A", "butt", 1, 20), row("B", "pie cut", 1, nil), row("C", "pie cut", 1, nil), row("D", "pie cut", 1, nil), row("E", "butt", 1, 20)},
			map[string]float64{"A: straight, half of B on other end": 1, "E: straight, half of D on first end": 1, "B: half pie, square at one end: on no straight": 1, "C: half pie, square at one end: on no straight": 2, "D: half pie, square at one end: on no straight": 1, "B: blank of 5 pies": 5, "C: blank of 5 pies": 5, "D: blank of 5 pies": 5}},
		{"a straight that meets another straight and not the bend stays square",
			[]shop.Row{row("A", "butt", 1, 21), row("B", "butt", 1, 22), row("C", "pie cut", 1, nil), row("F", "fillet", 1, nil)},
			map[string]float64{"A: straight": 1, "B: straight, half of C on other end": 1, "C: half pie, square at one end: on no straight": 1, "C: blank of 5 pies": 5}},
		{"a run that ends in a flange takes no straight of the run that begins with one",
			[]shop.Row{row("A", "butt", 1, 20), row("B", "pie cut", 1, nil), row("F", "fillet", 1, nil), row("G", "fillet", 1, nil), row("H", "butt", 1, 25)},
			map[string]float64{"A: straight, half of B on other end": 1, "H: straight": 1, "B: half pie, square at one end: on no straight": 1, "B: blank of 5 pies": 5}},
		{"a straight of another size stands between",
			[]shop.Row{row("A", "butt", 2, 20), wide(row("X", "butt", 1, 10)), row("B", "pie cut", 1, nil)},
			map[string]float64{"A: straight": 2, "X: straight": 1, "B: half pie, square at one end: on no straight": 2, "B: blank of 5 pies": 5}},
		{"a bend between two straights has a half on each, also where one has tubes for both",
			[]shop.Row{row("A", "butt", 2, 20), row("B", "pie cut", 1, nil), row("C", "butt", 1, 25)},
			map[string]float64{"A: straight": 1, "A: straight, half of B on other end": 1, "C: straight, half of B on first end": 1, "B: blank of 5 pies": 5}},
		{"a bend of one pie is two straights and one weld",
			[]shop.Row{row("A", "butt", 2, 20), func() shop.Row { r := row("B", "pie cut", 1, nil); r[7] = 15; return r }()},
			map[string]float64{"A: straight, half of B on other end": 2}},
	} {
		out, _ := shop.PriceWith(t, shop.Small(t, c.rows...), "buying")
		g := sheetstest.Read(t, out)["Buying"]
		got, loose := map[string]float64{}, 0.0
		for _, p := range sawRows(t, g) {
			got[p.mark+": "+p.what] += p.times * p.parts
			if strings.HasPrefix(p.what, "half pie") {
				loose += p.times * p.parts
			}
		}
		assert.Equal(t, c.want, got, c.why)
		assert.InDelta(t, loose, g[fmt.Sprint("M", buyingRow(t, g, "B", "grade 2, 3 x 0.049", 1))].Num, 0, c.why)
		assert.Equal(t, "ok", g["B3"].Text, "a bend may begin at a flange: %s", c.why)
		check := buyingRow(t, g, "B", "Tube left in the joints, cut list and joint list", 1)
		assert.Equal(t, "ok", g[fmt.Sprint("F", check)].Text, c.why)
	}
}

// What is said at the saw is printed at ten points or more: the page is as wide as
// the columns, a digit of the book's letters some 7 of 96 pixels an inch, and a page
// that lies 11 in wide less its edges of 0.4 in (common practice, no source).
func TestTheSawCanBeRead(t *testing.T) {
	out, _ := shop.PriceWith(t, buyingOrder(t), "buying")
	g := sheetstest.Read(t, out)["Buying"]
	from := buyingRow(t, g, "A", "For the saw: cut list, stick by stick", 1)
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	wide := 0.0
	for col := 'A'; col <= 'O'; col++ {
		w, err := f.GetColWidth("Buying", string(col))
		require.NoError(t, err)
		wide += (7*w + 5) / 96
	}
	n := 0
	for row := from + 1; g[fmt.Sprint("A", row)].Text+g[fmt.Sprint("B", row)].Text != ""; row++ {
		for col := 'A'; col <= 'O'; col++ {
			ref := fmt.Sprint(string(col), row)
			if g[ref] == (sheetstest.Value{}) {
				continue
			}
			id, err := f.GetCellStyle("Buying", ref)
			require.NoError(t, err)
			style, err := f.GetStyle(id)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, style.Font.Size*(11-2*0.4)/wide, 10.0, "%s: %v", ref, g[ref])
			n++
		}
	}
	assert.Greater(t, n, 40)
}

// A straight at the head of a second list is no neighbour of the bend that the first
// ends with, though both are of one car.
func TestHalvesStayInTheirList(t *testing.T) {
	bend := shop.Butt("B")
	bend[2], bend[3], bend[7], bend[8] = "pie cut", 1, 90, nil
	order := shop.Edited(t, shop.Small(t, bend), func(f *excelize.File) {
		_, err := f.NewSheet("More joints")
		require.NoError(t, err)
		for i, row := range []shop.Row{shop.SmallHead, shop.Butt("A")} {
			require.NoError(t, f.SetSheetRow("More joints", fmt.Sprint("A", i+1), &row))
		}
	})
	out, _ := shop.PriceWith(t, order, "buying")
	got := map[string]float64{}
	for _, p := range sawRows(t, sheetstest.Read(t, out)["Buying"]) {
		got[p.mark+": "+p.what] += p.times * p.parts
	}
	assert.Equal(t, map[string]float64{"A: straight": 2, "B: half pie, square at one end: on no straight": 2, "B: blank of 5 pies": 5}, got)
}

// A half on no straight may be a weld that is not in the price: the run says so at
// the bend, until the bend's end pieces are full.
func TestLooseHalvesAreTold(t *testing.T) {
	straight, first, second := shop.Butt("A"), shop.Butt("B"), shop.Butt("C")
	straight[3] = 1
	for _, r := range []shop.Row{first, second} {
		r[2], r[3], r[7], r[8] = "pie cut", 1, 90, nil
	}
	order := shop.Small(t, straight, first, second, append(shop.Row{"D"}, straight[1:]...))
	told := func(rep *sheets.Report) (cells []string) {
		for _, f := range rep.Findings {
			if f.Rule == "half on no straight" {
				assert.Equal(t, book.LevelNote, f.Level)
				assert.Contains(t, f.What, "half ends of this bend on no straight, all cars: 1 of 2;")
				assert.Contains(t, f.Fix, "write full as the bend's end pieces")
				cells = append(cells, f.Cell)
			}
		}
		return cells
	}
	out, rep := shop.PriceWith(t, order, "buying")
	assert.Equal(t, []string{"Joints!H3", "Joints!H4"}, told(rep))

	_, rep = shop.PriceWith(t, shop.Assume(t, out, shop.Setting{Key: "default_ends", Value: "full"}), "buying")
	assert.Empty(t, told(rep))
}
