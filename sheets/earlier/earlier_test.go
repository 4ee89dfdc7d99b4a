// Package earlier_test tries workbooks that an earlier version of the program has priced.
package earlier_test

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/bid"
	"seamtally/sheets/book"
	"seamtally/sheets/compare"
	"seamtally/sheets/explain"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/templates"
)

func TestMain(m *testing.M) { shop.Main(m) }

// earlierBook is a line of testdata/earlier/index.txt, and what is to be told of
// the workbook besides that it is in order.
type earlierBook struct {
	name     string
	password string
	cells    []string // of the shop's on our own sheets, where no row or name tells them
	notes    int      // beside rows of the Summary
	planted  []string // what an audit has to find: rule and cell
	// faults are what an audit finds and should not, with the reason. One that is
	// mended has to be taken out.
	faults map[string]string
	other  map[string]string // cells of it, priced again, that recalculate to something else, with the reason
	typed  map[string]string // cells of the Summary that do not show the figure, with the reason
	tells  string            // what pricing it again tells of what the method has no more
}

func earlierBooks() []earlierBook {
	return []earlierBook{
		{name: "assumptions.xlsx"},
		{name: "bid.xlsx", cells: []string{"Rates!AM4", "Breaks!R4", "Buying!Q4", "Range!O4", "Schedule!M4"}},
		{name: "cars.xlsx", planted: []string{"row left out Joints!G3", "row left out Joints!E10"}},
		{name: "columns.xlsx"},
		{name: "encrypted-agile.xlsx", password: "tungsten"},
		{name: "encrypted.xlsx", password: "tungsten"},
		{name: "metric.xlsx"},
		{name: "minimum.xlsx", planted: []string{"assumption out of range Assumptions!C100"}},
		{name: "notes.xlsx", notes: 6, other: map[string]string{"Shop!B5": "of the price as it was when the shop saved it", "Shop!B7": "of the cost then"}, cells: []string{"Summary!Q7", "Summary!P30", "Summary!Q31", "Summary!B36", "Summary!F24", "Summary!E78", "Assumptions!AE5"}},
		{name: "office.xlsx"},
		{name: "overrides.xlsx",
			planted: []string{"formula typed over Summary!C26"},
			typed:   map[string]string{"C26": "typed over", "C35": "follows from C26", "C45": "follows from C26"},
			tells:   "Joints!CD5: 9.25 was typed over"},
		{name: "us.xlsx"},
	}
}

// eachEarlier tries all of them, side by side.
func eachEarlier(t *testing.T, try func(t *testing.T, b earlierBook)) {
	for i, b := range earlierBooks() {
		if testing.Short() && i%4 > 0 {
			continue // some are enough to look for races
		}
		t.Run(b.name, func(t *testing.T) {
			t.Parallel()
			try(t, b)
		})
	}
}

func (b earlierBook) path() string { return shop.Demo(filepath.Join("earlier", b.name)) }

// told is what 7ffb790 says of the workbook.
func (b earlierBook) told(t *testing.T) toldFigures {
	return readTold[toldFigures](t, strings.TrimSuffix(b.name, ".xlsx")+".json")
}

// plain is a copy that is not encrypted.
func (b earlierBook) plain(t *testing.T, path string) string {
	if b.password == "" {
		return path
	}
	return shop.Decrypted(t, path, b.password)
}

// again prices the workbook as a shop does a year later.
func (b earlierBook) again(t *testing.T, in string) (string, *sheets.Report) {
	t.Helper()
	out := filepath.Join(t.TempDir(), b.name)
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Password: b.password, Lines: true, Date: "2027-11-02", By: "Demo estimator"})
	require.NoError(t, err)
	return out, rep
}

// The index lists the files that there are, and so does the table above.
func TestEarlierWorkbooksAreListed(t *testing.T) {
	var listed, tried, files []string
	for _, line := range strings.Split(shop.Content(t, shop.Demo("earlier/index.txt")), "\n") {
		if strings.HasSuffix(line, ".xlsx") && !strings.HasPrefix(line, "#") && !strings.HasPrefix(line, " ") {
			listed = append(listed, line)
		}
	}
	for _, b := range earlierBooks() {
		tried = append(tried, b.name)
		require.FileExists(t, strings.TrimSuffix(b.path(), ".xlsx")+".json")
	}
	entries, err := os.ReadDir(shop.Demo("earlier"))
	require.NoError(t, err)
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".xlsx") {
			files = append(files, e.Name())
		}
	}
	slices.Sort(listed)
	require.Equal(t, files, listed)
	require.Equal(t, files, tried)
}

// cameSince are the assumptions that came with the revised method: each is logged
// once, as shipped.
func cameSince() []string {
	return []string{
		"purge_least is new: 4 min", "saw_factor is new: 100 %", "bench_factor is new: 100 %",
		"weld_factor is new: 100 %", "gas_factor is new: 100 %", "win_chance is new: 100 %", "most_unpriced is new: 2 %",
		"travel_off is new: 100 %", "flows_off is new: 100 %", "waits_off is new: 100 %", "reposition_off is new: 100 %", "mount_off is new: 100 %",
		"tube_price_off is new: 100 %", "filler_price_off is new: 100 %",
	}
}

// revised are the figures that the revised method works out otherwise: those that
// rest on the least time of a purge, or on the allowance that once-only hours have
// now; and those that it has no more. Without the least time, fewer are.
func revised(t testing.TB, m *model.Model, shortPurges bool) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	for _, key := range strings.Fields("bench_each bench_line line_bench purge_wait car_bench car_cutting car_purging hours_bench hours_cutting hours_purging") {
		out[key] = true
	}
	hours := m.ClosingScope("cars").Quantity("car_hours")
	require.NotNil(t, hours)
	for _, s := range append([]*model.Scope{m.Line, m.OrderOf, m.Ready, m.Lists}, m.Summary...) {
		for _, q := range s.Quantities {
			behind := m.Behind(q)
			if behind[hours] || !shortPurges && behind[m.Line.Quantity("purge_fill")] {
				out[q.Key] = true
			}
		}
	}
	return out
}

// A workbook that an earlier version has priced is priced again: it gives the
// same figures, but for what the method has been revised in, and loses nothing of
// the shop's. Where purges may be as short as they were, all figures of the joints
// are the same.
func TestEarlierWorkbooksPriced(t *testing.T) {
	eachEarlier(t, func(t *testing.T, b earlierBook) {
		out, rep := b.again(t, b.path())
		was, is := see(t, b.plain(t, b.path())), see(t, b.plain(t, out))
		logged := append(cameSince(), fmt.Sprintf("formulas of the program %s -> %s", was.formulas, is.formulas))
		assert.ElementsMatch(t, logged, rep.Logged)

		m, err := compute.Load(templates.FS, rep.System)
		require.NoError(t, err)
		told := b.told(t)
		changed := revised(t, m, false)
		differ, n := told.otherThan(rep, changed)
		assert.Empty(t, differ)
		assert.Greater(t, n, 150)
		assert.Subset(t, askedSince(), newFindings(told, rep))
		var outdated, forgotten []string
		for _, f := range rep.Findings {
			switch f.Rule {
			case "outdated":
				outdated = append(outdated, f.What)
			case "forgotten":
				forgotten = append(forgotten, f.What)
			}
		}
		require.Len(t, forgotten, 1)
		assert.Contains(t, forgotten[0], "Saw set-up, each angle, Jig set-up, Changeover between set-ups, Straightening")
		require.Len(t, outdated, 1)
		for key, words := range map[string]string{"purge_rig": "purge_rig 3 -> 6 min", "clean_fit": "clean_fit 3 -> 5 min", "utilisation": "utilisation 75 -> 85 %"} {
			row := shop.Assumption(t, was.grid, key)
			left := was.grid["Assumptions"][fmt.Sprint("C", row)].Num == was.grid["Assumptions"][fmt.Sprint("J", row)].Num
			assert.Equal(t, left, strings.Contains(outdated[0], words), "%s: %s", key, outdated[0])
		}
		differ, n = b.otherThanStored(was, rep, changed)
		assert.Empty(t, differ, "the figures are not those in the cells")
		assert.Greater(t, n, 200)

		assert.Empty(t, lost(was, is))
		assert.Equal(t, b.notes, was.notes())
		assert.Empty(t, b.lostCells(was, is))
		assert.Empty(t, lostParts(t, was, is))
		assert.Len(t, is.log, len(was.log)+len(logged))
		if b.password != "" || b.tells != "" {
			return // salted, and never the same; or a figure typed over counts no more
		}
		_, two := b.again(t, out)
		assert.True(t, two.Unchanged, "priced once more, it is another")

		_, short := b.again(t, shop.Assume(t, out, shop.Set("purge_least", 0.0, "")))
		changed = revised(t, m, true)
		differ, more := told.otherThan(short, changed)
		assert.Empty(t, differ)
		assert.Greater(t, more, n)
		for i, c := range short.Cars {
			allowance := is.grid["Assumptions"][fmt.Sprint("C", shop.Assumption(t, is.grid, "allowance"))].Num
			assert.InEpsilon(t, told.Cars[i]["car_hours"], c.Figures["car_hours"]-c.Figures["once_hours"]*allowance, 1e-9, "%s: once-only hours have an allowance too", c.Car)
		}
	})
}

// newFindings are warnings and errors that the earlier version did not have. That
// the formulas are other ones may be said where they are.
func newFindings(was toldFigures, rep *sheets.Report) (out []string) {
	for _, f := range rep.Findings {
		known := slices.Contains(was.Findings, struct{ Cell, Level string }{f.Cell, string(f.Level)})
		if known || f.Level == book.LevelNote || f.Rule == "outdated" || f.Rule == "forgotten" || strings.Contains(f.What, "another version of the program") {
			continue
		}
		out = append(out, fmt.Sprintf("%s: %s: %s", f.Cell, f.Level, f.What))
	}
	return out
}

// lostCells are those of the shop's on our own sheets that are not as they were.
func (b earlierBook) lostCells(was, is *seenBook) (out []string) {
	for _, cell := range b.cells {
		title, ref := splitAt(cell)
		now := ref
		if slices.ContainsFunc(bid.Sheets(), func(key string) bool { return shop.BidTitle(key) == title || key == "rates" && title == "Rates" }) {
			now = rightOf(was, is, title, ref)
		}
		if v := is.grid[title][now]; v != was.grid[title][ref] || v.Kind == "" {
			out = append(out, fmt.Sprintf("%s: %v, was %v", cell, v, was.grid[title][ref]))
		}
	}
	return out
}

// rightOf is where a cell right of a sheet for the bid stands now: in its row, maybe
// further to the right, as the sheet may be wider.
func rightOf(was, is *seenBook, title, ref string) string {
	at, err := grid.ParseRange(ref)
	for col := at.Col1; err == nil && col < at.Col1+20; col++ {
		if now := grid.Ref(at.Row1, col); is.grid[title][now] == was.grid[title][ref] {
			return now
		}
	}
	return ref
}

// lostParts compares the two packages, but for the parts of our own sheets and
// for names, of which is told elsewhere.
func lostParts(t *testing.T, was, is *seenBook) (out []string) {
	ours := shop.OursIn(t, was.path)
	own := []string{"xl/charts/chart1.xml", "xl/drawings/drawing1.xml"} // of the Summary, whose rows have moved
	for _, s := range shop.WorkbookOf(t, was.path).Sheets {
		if was.own[s.Name] {
			own = append(own, s.PartName)
			ours[s.PartName] = [2]int{1, 16384}
		}
	}
	all, err := sheetstest.Kept(was.path, is.path, ours)
	require.NoError(t, err)
	return slices.DeleteFunc(all, func(s string) bool {
		return slices.ContainsFunc(own, func(part string) bool { return strings.HasPrefix(s, part+"/") || strings.HasPrefix(s, part+" ") }) || strings.Contains(s, "/definedNames: ") || strings.Contains(s, "/definedName: ")
	})
}

// An audit of the workbook as it came finds what was planted in it, and nothing
// else that is wrong or doubtful.
func TestEarlierWorkbooksAudited(t *testing.T) {
	eachEarlier(t, func(t *testing.T, b earlierBook) {
		rep, err := audit.Workbook(t.Context(), audit.Options{In: b.path(), Password: b.password})
		require.NoError(t, err)
		want := slices.Concat(b.planted, slices.Collect(maps.Keys(b.faults)))
		var found []string
		for _, f := range rep.Faults {
			if f.Grade != audit.WorthKnowing {
				found = append(found, f.Rule+" "+f.Cell)
			}
		}
		slices.Sort(want)
		slices.Sort(found)
		assert.Equal(t, want, found, "what is mended is to be taken out of earlierBooks")
		assert.Greater(t, rep.Cells, 1500)

		out, now := b.again(t, b.path())
		assert.InDelta(t, now.Order["order_price"], rep.Price, 0.005)
		assert.InDelta(t, now.Order["order_cost"], rep.Cost, 0.005)
		again, err := audit.Workbook(t.Context(), audit.Options{In: out, Password: b.password})
		require.NoError(t, err)
		for _, f := range again.Faults { // what pricing does not mend
			if f.Grade != audit.WorthKnowing && !slices.Contains(b.planted, f.Rule+" "+f.Cell) {
				t.Errorf("priced again: %s %s: %s", f.Rule, f.Cell, f.What)
			}
		}
	})
}

// The price of the order, the first joint and the first car are explained, and
// come to what the cells show.
func TestEarlierWorkbooksExplained(t *testing.T) {
	eachEarlier(t, func(t *testing.T, b earlierBook) {
		_, now := b.again(t, b.path())
		line := now.Lines[0]
		for _, of := range []struct {
			mark, figure string
			now          float64
		}{
			{"order", "order_price", now.Order["order_price"]},
			{now.Cars[0].Car, "price_car", now.Cars[0].Figures["price_car"]},
			{fmt.Sprintf("%s!%d", line.Sheet, line.Row), "line_cost", line.Figures["line_cost"]},
		} {
			x, err := explain.Figures(t.Context(), explain.Options{In: b.path(), Password: b.password, Mark: of.mark, Figure: of.figure})
			require.NoError(t, err)
			assert.True(t, x.Priced)
			n := 0
			for _, g := range x.Groups {
				for _, f := range g.Figures {
					if f.Key == of.figure {
						n++
						assert.True(t, near(of.now, f.Value.(float64)), "%s of %s: %v, and priced again %v", of.figure, of.mark, f.Value, of.now)
					}
				}
			}
			assert.Equal(t, 1, n, "%s of %s", of.figure, of.mark)
		}
	})
}

// Between the workbook as it came and as it is priced again, nothing moved the
// price.
func TestEarlierWorkbooksCompared(t *testing.T) {
	eachEarlier(t, func(t *testing.T, b earlierBook) {
		out, _ := b.again(t, b.path())
		rep, err := compare.Orders(t.Context(), compare.Options{Old: b.path(), New: out, Password: b.password})
		require.NoError(t, err)
		assert.True(t, rep.Same(), "%v %v", rep.Changes, rep.NoEffect)
		assert.Zero(t, rep.Gap)
		assert.Equal(t, rep.Total.New, rep.Total.Old)
	})
}

// Cleared, the shop's cells are what they were, and nothing of ours is left:
// whether the workbook was priced again before or not.
func TestEarlierWorkbooksCleared(t *testing.T) {
	eachEarlier(t, func(t *testing.T, b earlierBook) {
		was := see(t, b.plain(t, b.path()))
		priced, _ := b.again(t, b.path())
		for how, in := range map[string]string{"as it came": b.path(), "priced again": priced} {
			out := filepath.Join(t.TempDir(), b.name)
			_, err := sheets.Clear(t.Context(), sheets.ClearOptions{In: in, Out: out, Password: b.password})
			require.NoError(t, err, how)
			is := see(t, b.plain(t, out))
			assert.Empty(t, is.own, how)
			for title, cells := range was.shops() {
				shop.SameCells(t, cells, is.grid[title], how+", "+title)
			}
			assert.Len(t, is.titles, len(was.titles)-len(was.own), how)
			for name, text := range shop.Parts(t, is.path) {
				assert.NotContains(t, text, "seamtally", "%s: %s", how, name)
			}
		}
	})
}

// LibreOffice works every formula of the workbooks priced again out from nothing,
// the shop's own among them, and finds what is stored.
func TestEarlierWorkbooksRecalculate(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's
	sheetstest.NeedLibreOffice(t)
	var outs []string
	books := shop.Some(earlierBooks(), 3)
	for _, b := range books {
		out, _ := b.again(t, b.path())
		outs = append(outs, b.plain(t, out))
	}
	live := sheetstest.RecalculateAll(t, outs...)
	for i, b := range books {
		t.Run(b.name, func(t *testing.T) {
			differ, n := sheetstest.Differences(sheetstest.Read(t, outs[i]), live[i], 1e-9)
			assert.Greater(t, n, 1500)
			known := map[string]bool{}
			for _, d := range differ {
				cell, _, _ := strings.Cut(d, ": ")
				if known[cell] = b.other[cell] != ""; !known[cell] {
					t.Error(d)
				}
			}
			for cell, why := range b.other {
				assert.True(t, known[cell], "%s is as it should be (%s): take it out of earlierBooks", cell, why)
			}
		})
	}
}

// askedSince are warnings that this version has and the earlier one had not.
func askedSince() []string {
	return []string{"Joint list!Y9: warning: tube between the dams moves nothing on this row"}
}

// Every invented workbook that comes with the program has the figures that it
// had: the demo orders, and all of testdata/books.
func TestEarlierFigures(t *testing.T) {
	all := readTold[map[string]toldFigures](t, "figures.json.gz")
	assert.Len(t, all, 84)
	since := map[string]string{"books/without-references.xlsx": "the row gives pieces, and no size"} // is asked, and was not
	for name, told := range all {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: shop.Demo(name), Out: filepath.Join(t.TempDir(), "out"+filepath.Ext(name)), DryRun: true, Lines: true})
			require.NoError(t, err)
			if why := since[name]; why != "" {
				assert.True(t, told.Complete)
				assert.True(t, shop.HasFinding(rep, why), "%v", rep.Findings)
				told.Complete = false
			}
			differ, n := told.otherThan(rep, nil)
			assert.Empty(t, differ)
			assert.Greater(t, n, 80*len(told.Lines)+30*len(told.Cars))
		})
	}
}
