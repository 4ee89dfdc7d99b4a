package assumptions_test

import (
	"context"
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// onDay prices a workbook on a day, by an invented estimator.
func onDay(t testing.TB, in, day string) (string, *sheets.Report) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	rep, err := sheets.Price(context.Background(), sheets.PriceOptions{In: in, Out: out, Date: day, By: "Demo estimator", Version: "v0 demo"})
	require.NoError(t, err)
	return out, rep
}

// said is what the lines of one run say.
func said(log []shop.LogEntry, no float64) (out []string) {
	for _, e := range log {
		if e.No == no {
			out = append(out, e.Text("What changed"))
		}
	}
	return out
}

func TestLogBegins(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Row{"J-3", "Demo car one", "butt", 1, 3, 2})
	out, rep := onDay(t, in, "2026-11-25")
	log := shop.LogOf(t, out)
	require.Len(t, log, 1)
	l := log[0]
	assert.Equal(t, 1.0, l.No)
	assert.Equal(t, "first priced", l.Text("What changed"))
	assert.Equal(t, []string{"first priced"}, rep.Logged)
	assert.Equal(t, "2026-11-25", l.Text("Date"))
	assert.Equal(t, "Demo estimator", l.Text("Who"))
	assert.Equal(t, "v0 demo", l.Text("Program"))
	// SHA-256 as FIPS 180-4 has it, by the standard library, of the file given.
	assert.Equal(t, fmt.Sprintf("%x", sha256.Sum256([]byte(shop.Content(t, in)))), l.Text("Check number of file"))
	assert.Equal(t, [3]float64{3, 2, 1}, [3]float64{l.Cells["Rows read"].Num, l.Cells["Priced"].Num, l.Cells["Left out"].Num})
	assert.Equal(t, rep.Order["order_price"], l.Cells["Price"].Num)
	assert.InDelta(t, rep.Order["order_cost"], l.Cells["Cost"].Num, 1e-6)
}

// A run that changes no figure adds no line and no byte, whatever its day; what
// is no figure (a note, a reason, a unit in another measure) is no change.
func TestLogKeepsStillWhereNoFigureChanges(t *testing.T) {
	out, _ := onDay(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), "2026-11-25")
	again, rep := onDay(t, out, "2027-01-31")
	assert.True(t, shop.Content(t, out) == shop.Content(t, again))
	assert.Empty(t, rep.Logged)

	g := sheetstest.Read(t, out)
	row := func(key string) int { return shop.Assumption(t, g, key) }
	in := shop.TypeIn(t, out,
		shop.At("Assumptions", fmt.Sprint("M", row("margin")), "as last year"), shop.At("Assumptions", fmt.Sprint("L", row("margin")), "our books"),
		shop.At("Assumptions", fmt.Sprint("C", row("clean_fit")), 300.0), shop.At("Assumptions", fmt.Sprint("D", row("clean_fit")), "s"),
		shop.At("Assumptions", fmt.Sprint("C", row("basis_scope")), "joints and tube"), shop.At("Assumptions", fmt.Sprint("C", row("head_order")), "Demo order 7"),
		shop.At("Assumptions", fmt.Sprint("K", shop.LogOf(t, out)[0].Row), "Demo"))
	after, rep := onDay(t, in, "2027-01-31")
	assert.Empty(t, rep.Logged)
	assert.Len(t, shop.LogOf(t, after), 1)
}

func TestEqualInputOnOneDayGivesEqualBytes(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"))
	one, _ := onDay(t, in, "2026-11-25")
	two, _ := onDay(t, in, "2026-11-25")
	assert.True(t, shop.Content(t, one) == shop.Content(t, two))
	other, _ := onDay(t, in, "2026-11-26")
	assert.False(t, shop.Content(t, one) == shop.Content(t, other))
}

// The text of a change is worked out by hand, not by the program.
func TestLogSaysEachChange(t *testing.T) {
	out, _ := onDay(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), "2026-11-25")
	g := sheetstest.Read(t, out)
	cell := func(col string, row int) string { return fmt.Sprint(col, row) }
	cup, parts := shop.TableRow(t, g, "cup, stop and start"), shop.TableRow(t, g, "Flanges")
	tube := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	car := shop.TableRow(t, g, "Demo car one")
	wall := shop.TableRow(t, g, 0.04, 1.15)
	in := shop.TypeIn(t, out,
		shop.At("Assumptions", cell("C", shop.Assumption(t, g, "shop_rate")), 110.0),
		shop.At("Assumptions", cell("C", shop.Assumption(t, g, "margin")), 0.35),
		shop.At("Assumptions", cell("C", shop.Assumption(t, g, "gas_lines")), "together"),
		shop.At("Assumptions", cell("F", cup), 3.2),  // travel
		shop.At("Assumptions", cell("E", cup), 20.0), // longest run, blank before
		shop.At("Assumptions", cell("E", tube), nil), // price
		shop.At("Assumptions", cell("C", car), 4.0),  // ordered
		shop.At("Assumptions", cell("E", parts), 0.5),
		shop.At("Assumptions", cell("B", wall), 0.041),
		shop.At("Joints", "D2", 3), shop.At("Joints", "A2", "J-1"),
	)
	after, rep := onDay(t, in, "2026-12-01")
	log := shop.LogOf(t, after)
	got := said(log, 2)
	for _, want := range []string{
		"shop_rate 95 -> 110 $/h", "margin 30 -> 35 %", "gas_lines apart -> together",
		"setup_travel of cup, stop and start 3 -> 3.2 in/min", "setup_longest_run of cup, stop and start blank -> 20 in",
		"car_ordered of Demo car one 1 -> 4 each", "part_hours_each of Flanges, all 0 -> 0.5 h",
		"Travel by wall: line added: 0.041 in (factor 1.15)", "Travel by wall: line taken out: 0.04 in (factor 1.15)",
		"joint list Joints: rows changed",
	} {
		assert.Contains(t, got, want)
	}
	assert.True(t, slices.ContainsFunc(got, func(s string) bool {
		return strings.HasPrefix(s, "stock_price of grade 2, 3 in, 0.049 in ") && strings.HasSuffix(s, " -> blank")
	}), "%v", got)
	assert.Len(t, got, 11)
	assert.Equal(t, got, rep.Logged)
	for _, e := range log[1:] { // every line says all of its run, to be sorted and filtered
		assert.Equal(t, "2026-12-01", e.Text("Date"))
		assert.Equal(t, rep.Order["order_price"], e.Cells["Price"].Num)
	}
	assert.Equal(t, "first priced", log[0].Text("What changed"))
}

// Money signs are those of the book.
func TestLogHasTheBooksMoney(t *testing.T) {
	out, _ := onDay(t, shop.Small(t, shop.Butt("J-1")), "2026-11-25")
	out, rep := onDay(t, shop.Assume(t, out, shop.Setting{Key: "head_currency", Value: "€"}), "2026-11-26")
	assert.Empty(t, rep.Logged, "a sign is no figure")
	_, rep = onDay(t, shop.Assume(t, out, shop.Setting{Key: "coupon_cost", Value: 20.0}), "2026-11-27")
	assert.Equal(t, []string{"coupon_cost 18 -> 20 €"}, rep.Logged)
}

func TestLogOfJointRows(t *testing.T) {
	other := shop.Butt("J-2")
	other[4] = 2.5
	out, _ := onDay(t, shop.Small(t, shop.Butt("J-1"), other), "2026-11-25")
	change := func(f func(*excelize.File)) []string {
		_, rep := onDay(t, shop.Edited(t, out, f), "2026-11-26")
		return rep.Logged
	}
	more := shop.Butt("J-3")
	more[4] = 2.5
	assert.Equal(t, []string{"joint list Joints: rows 2 -> 3"}, change(func(f *excelize.File) {
		require.NoError(t, f.SetSheetRow("Joints", "A4", &more))
	}))
	assert.Equal(t, []string{"joint list Joints: rows 2 -> 1"}, change(func(f *excelize.File) { require.NoError(t, f.RemoveRow("Joints", 3)) }))
	assert.Equal(t, []string{"joint list Joints: left out 0 -> 1"}, change(func(f *excelize.File) { require.NoError(t, f.SetCellValue("Joints", "F2", nil)) }))
	assert.Equal(t, []string{"joint list Joints: rows changed"}, change(func(f *excelize.File) { require.NoError(t, f.SetCellValue("Joints", "I2", 11)) }))
	assert.Empty(t, change(func(f *excelize.File) { // sorted: the inputs change places, the formulas stay
		for _, c := range []string{"A", "E"} {
			a, err := f.GetCellValue("Joints", c+"2")
			require.NoError(t, err)
			b, err := f.GetCellValue("Joints", c+"3")
			require.NoError(t, err)
			for ref, v := range map[string]string{c + "2": b, c + "3": a} {
				if c == "A" {
					require.NoError(t, f.SetCellStr("Joints", ref, v))
				} else {
					require.NoError(t, f.SetCellDefault("Joints", ref, v))
				}
			}
		}
	}))
	g := sheetstest.Read(t, out)
	arc := shop.OurColumn(t, g, "Joints", "arc_time")
	over, rep := onDay(t, shop.TypeIn(t, out, shop.At("Joints", arc+"2", 9.5)), "2026-11-26")
	assert.Equal(t, []string{"joint list Joints: typed over 0 -> 1"}, rep.Logged)
	_, rep = onDay(t, shop.TypeIn(t, over, shop.At("Joints", arc+"2", 9.75)), "2026-11-27")
	assert.Equal(t, []string{"joint list Joints: rows changed"}, rep.Logged)
}

// Many runs in a row, each with edits drawn at random: every edit is said, in
// the run that found it; no line is ever lost or changed; the log grows past
// its room; what the shop wrote into it stays, wherever its rows go.
func TestLogOfManyRuns(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	shop.Heavy(t)
	keys := map[string]string{ // those whose unit the text ends with
		"shop_rate": "$/h", "argon_price": "$/ft³", "sundries_per_weld": "$", "clean_fit": "min", "inspect": "min",
		"cut_deburr": "min", "tie_in": "in", "kerf": "in", "coupon_cost": "$", "hours_per_day": "h", "tack_arc": "s",
	}
	names := []string{}
	for k := range keys {
		names = append(names, k)
	}
	slices.Sort(names)
	r := rand.New(rand.NewPCG(7, 11))
	path, _ := onDay(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), "2026-11-01")
	remarks := map[string]string{} // of a line, by what it says and its number
	of := func(e shop.LogEntry) string { return fmt.Sprint(e.No, " ", e.Text("What changed")) }
	want := []string{"1 first priced"}
	for run := 2; run <= 12; run++ {
		g := sheetstest.Read(t, path)
		var cells []shop.Cell
		for _, i := range r.Perm(len(names))[:1+r.IntN(6)] {
			row := shop.Assumption(t, g, names[i])
			old := g["Assumptions"][fmt.Sprint("E", row)].Num
			x := float64(1+r.IntN(4000)) / 1000
			if x == old {
				continue
			}
			cells = append(cells, shop.At("Assumptions", fmt.Sprint("C", row), x))
			want = append(want, fmt.Sprintf("%d %s %v -> %v %s", run, names[i], old, x, keys[names[i]]))
		}
		log := shop.LogOf(t, path)
		mine := log[r.IntN(len(log))]
		remarks[of(mine)] = fmt.Sprintf("because %d", run)
		cells = append(cells, shop.At("Assumptions", fmt.Sprint("L", mine.Row), remarks[of(mine)]))
		in := shop.TypeIn(t, path, cells...)
		in = shop.Edited(t, in, func(f *excelize.File) { // lines of the shop's, in the log and above it
			if run%4 == 0 {
				require.NoError(t, f.InsertRows("Assumptions", mine.Row, 1))
			}
			if run%5 == 0 {
				require.NoError(t, f.InsertRows("Assumptions", log[0].Row-3, 2))
			}
		})
		path, _ = onDay(t, in, fmt.Sprintf("2026-11-%02d", run))
		var got []string
		for _, e := range shop.LogOf(t, path) {
			got = append(got, of(e))
			if why, ok := remarks[of(e)]; ok {
				assert.Equal(t, why, e.Text("Why"))
			}
			assert.Equal(t, fmt.Sprintf("2026-11-%02d", int(e.No)), e.Text("Date"))
		}
		slices.Sort(got)
		sorted := slices.Sorted(slices.Values(want))
		require.Equal(t, sorted, got, "run %d", run)
	}
	require.Greater(t, len(want), 24, "more than the room that the log begins with")
	again, _ := onDay(t, path, "2027-01-01")
	assert.True(t, shop.Content(t, path) == shop.Content(t, again))

	// What stands at the foot was moved down as the log grew: it is all there, once.
	f, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer f.Close()
	titles := map[string]int{}
	rows, err := f.GetRows("Assumptions")
	require.NoError(t, err)
	for _, row := range rows {
		if len(row) > 0 {
			titles[row[0]]++
		}
	}
	for _, title := range []string{"Log", "As the log's last line has it", "Columns"} {
		assert.Equal(t, 1, titles[title], title)
	}
	t.Run("recalculated", func(t *testing.T) {
		sheetstest.NeedLibreOffice(t)
		shop.Equal(t, path, sheetstest.Recalculate(t, path))
	})
}

// The shop may sort its log and leave it filtered.
func TestLogSortedAndFiltered(t *testing.T) {
	shop.Heavy(t)
	out, _ := onDay(t, shop.Small(t, shop.Butt("J-1")), "2026-11-25")
	out, _ = onDay(t, shop.Assume(t, out, shop.Setting{Key: "shop_rate", Value: 100.0}, shop.Setting{Key: "inspect", Value: 2.0}), "2026-11-26")
	log := shop.LogOf(t, out)
	require.Len(t, log, 3)
	in := shop.Edited(t, out, func(f *excelize.File) {
		for i, e := range log { // the newest on top
			row := log[len(log)-1-i].Row
			for col := 'A'; col <= 'M'; col++ {
				from := fmt.Sprintf("%c%d", col, log[0].Row-1)
				heading, err := f.GetCellValue("Assumptions", from)
				require.NoError(t, err)
				v := e.Cells[heading]
				ref := fmt.Sprintf("%c%d", col, row)
				if v.Kind == sheetstest.Number {
					require.NoError(t, f.SetCellFloat("Assumptions", ref, v.Num, -1, 64))
				} else {
					require.NoError(t, f.SetCellStr("Assumptions", ref, v.Text))
				}
			}
		}
		first, last := shop.NamedRows(t, out, "seamtally.log")
		require.NoError(t, f.AutoFilter("Assumptions", fmt.Sprintf("A%d:M%d", first-1, last), []excelize.AutoFilterOptions{{Column: "A", Expression: "x == 2"}}))
		require.NoError(t, f.SetRowVisible("Assumptions", log[2].Row, false))
	})
	still, rep := onDay(t, in, "2026-11-27")
	assert.Empty(t, rep.Logged)
	after, _ := onDay(t, shop.Assume(t, still, shop.Setting{Key: "inspect", Value: 3.0}), "2026-11-28")
	log = shop.LogOf(t, after)
	require.Len(t, log, 4)
	assert.Equal(t, []string{"inspect 2 -> 3 min"}, said(log, 3))
	assert.Equal(t, "inspect 2 -> 3 min", log[3].Text("What changed"))
}

func TestLogGoesWithTheRest(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"))
	out, _ := onDay(t, in, "2026-11-25")
	for name, text := range shop.Parts(t, shop.Cleared(t, out)) {
		assert.NotContains(t, text, "seamtally.", name)
		assert.NotContains(t, text, "first priced", name)
	}
}

// A log whose record was deleted by hand goes on, and says what it cannot say.
func TestLogWithoutItsRecord(t *testing.T) {
	out, _ := onDay(t, shop.Small(t, shop.Butt("J-1")), "2026-11-25")
	in := shop.Edited(t, out, func(f *excelize.File) {
		require.NoError(t, f.DeleteDefinedName(&excelize.DefinedName{Name: "seamtally.last"}))
	})
	after, rep := onDay(t, in, "2026-11-26")
	assert.Len(t, rep.Logged, 1)
	assert.Contains(t, rep.Logged[0], "what has changed since is not known")
	again, _ := onDay(t, after, "2026-11-27")
	assert.True(t, shop.Content(t, after) == shop.Content(t, again))
}

// What the shop has typed right below the log is not written over: the run is
// refused and says what to do, and that helps.
func TestLogDoesNotRunOverWhatStandsBelow(t *testing.T) {
	out, _ := onDay(t, shop.Small(t, shop.Butt("J-1")), "2026-11-25")
	g := sheetstest.Read(t, out)
	_, last := shop.NamedRows(t, out, "seamtally.log")
	cells := []shop.Cell{shop.At("Assumptions", fmt.Sprint("C", last+1), "our remark")}
	parts := shop.TableRow(t, g, "Flanges")
	for row := parts; row < parts+13; row++ { // two lines of the log each
		cells = append(cells, shop.At("Assumptions", fmt.Sprint("D", row), 2.0), shop.At("Assumptions", fmt.Sprint("E", row), 0.5))
	}
	in := shop.TypeIn(t, out, cells...)
	why := shop.Refused(t, in)
	assert.Contains(t, why, fmt.Sprint("Assumptions!A", last))
	assert.Contains(t, why, "insert 24 rows above this one")
	after, rep := onDay(t, shop.Edited(t, in, func(f *excelize.File) { require.NoError(t, f.InsertRows("Assumptions", last, 24)) }), "2026-11-26")
	assert.Len(t, rep.Logged, 26)
	assert.Len(t, shop.LogOf(t, after), 27)
	assert.Equal(t, "our remark", sheetstest.Read(t, after)["Assumptions"][fmt.Sprint("C", last+25)].Text)
}
