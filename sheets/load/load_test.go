package load_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute/backlog"
	"seamtally/sheets/load"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func TestMain(m *testing.M) { shop.Main(m) }

// serial is a day as spreadsheets count them.
func serial(t testing.TB, day string) float64 {
	at, err := time.Parse(time.DateOnly, day)
	require.NoError(t, err)
	return at.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
}

// quote is a priced order of two joints that begins on a day. A day has few hours,
// so that it takes weeks.
func quote(t *testing.T, start string, sets ...shop.Setting) string {
	t.Helper()
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	sets = append([]shop.Setting{shop.Set("utilisation", 0.02, ""), shop.Set("trials", 1000, "")}, sets...)
	if start != "" {
		sets = append(sets, shop.Set("start_date", serial(t, start), ""))
	}
	out, _ := shop.PriceWith(t, shop.Assume(t, base, sets...), "schedule")
	return out
}

// as copies a file under a name of its own.
func as(t *testing.T, path, name string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	out := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(out, data, 0o600))
	return out
}

func loaded(t *testing.T, files ...string) *load.Report {
	t.Helper()
	r, err := load.Weeks(t.Context(), load.Options{Files: files})
	require.NoError(t, err)
	return r
}

// Of one quote the weeks are those of its Schedule, as an independent reader finds
// them there, stage by stage, and as LibreOffice works them out; so are the days.
func TestOneQuoteIsItsSchedule(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	base := shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Row{"J-2", "Demo car two", "pie cut", 1, 3, 0.049, nil, 90, 10, nil}), func(f *excelize.File) {
		_, err := f.NewSheet("Shut")
		require.NoError(t, err)
		date, err := f.NewStyle(&excelize.Style{NumFmt: 14})
		require.NoError(t, err)
		for i, row := range []shop.Row{{"From", "To", "Why"}, {serial(t, "2026-12-24"), serial(t, "2027-01-04"), "year end"}} {
			require.NoError(t, f.SetSheetRow("Shut", fmt.Sprint("A", i+1), &row))
		}
		require.NoError(t, f.SetCellStyle("Shut", "A2", "B2", date))
	})
	priced, _ := shop.PriceWith(t, base, "schedule")
	out, rep := shop.Price(t, shop.Assume(t, priced, shop.Set("start_date", serial(t, "2026-12-05"), ""), shop.Set("utilisation", 0.03, ""), shop.Set("days_per_week", 4.0, "")))
	r := loaded(t, out)
	require.Greater(t, len(r.Weeks), 4)
	assert.InDelta(t, rep.Order["order_hours"], r.Total.Weighted, 1e-9)
	for _, g := range []sheetstest.Grid{sheetstest.Read(t, out), sheetstest.Recalculate(t, out)} {
		s, of := g["Schedule"], map[string][]float64{}
		day := func(label string) string {
			for row := 1; row < 100; row++ {
				if s[fmt.Sprint("B", row)].Text == label {
					return time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(s[fmt.Sprint("C", row)].Num)).Format(time.DateOnly)
				}
			}
			return ""
		}
		assert.Equal(t, day("The first car is done on"), r.Files[0].First)
		assert.Equal(t, day("The last car is done on"), r.Files[0].Last)
		head := 0
		for row := 1; row < 100; row++ {
			if s[fmt.Sprint("B", row)].Text == "Week from Monday" {
				head = row
			}
		}
		require.NotZero(t, head)
		for row := head + 1; s[fmt.Sprint("A", row)].Kind == sheetstest.Number; row++ {
			monday := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(s[fmt.Sprint("B", row)].Num))
			require.Equal(t, time.Monday, monday.Weekday())
			for _, col := range []string{"D", "E", "F", "G", "H"} {
				of[monday.Format(time.DateOnly)] = append(of[monday.Format(time.DateOnly)], s[fmt.Sprint(col, row)].Num)
			}
		}
		for _, w := range r.Weeks {
			want := of[w.Monday]
			delete(of, w.Monday)
			require.Len(t, want, 5, w.Monday)
			for i := range w.Stages {
				assert.InDelta(t, want[i], w.Stages[i], 1e-9, "%s %d", w.Monday, i)
			}
			assert.InDelta(t, want[4], w.Weighted, 1e-9)
			assert.InDelta(t, want[4], w.Firm, 1e-9)
			at, err := time.Parse(time.DateOnly, w.Monday)
			require.NoError(t, err)
			year, no := at.ISOWeek()
			assert.Equal(t, fmt.Sprintf("%d-W%02d", year, no), w.ISO)
			if w.Monday != r.Weeks[0].Monday && w.Monday != r.Weeks[len(r.Weeks)-1].Monday {
				assert.InDelta(t, w.Capacity, w.Weighted, 1e-9, "a week within it is all its own")
			}
		}
		for monday, left := range of {
			assert.InDelta(t, 0, left[4], 1e-9, monday)
		}
	}
	assert.Equal(t, "2026-12-07", r.Weeks[0].Monday, "it begins on a Saturday that is not worked")
	shut := slices.IndexFunc(r.Weeks, func(w backlog.Week) bool { return w.Monday == "2026-12-28" })
	assert.Zero(t, r.Weeks[shut].Weighted+r.Weeks[shut].Capacity)
	assert.Zero(t, r.Weeks[shut].Days)
}

// A quote counts by the chance that it is won; what is sure, and what there would be
// if all were won, stand beside that.
func TestChancesWeighHours(t *testing.T) {
	sure, maybe, lost := quote(t, "2026-11-30"), quote(t, "2026-11-30", shop.Set("win_chance", 0.4, ""), shop.Set("clean_fit", 9, "")), quote(t, "2026-11-30", shop.Set("win_chance", 0, ""), shop.Set("clean_fit", 3, ""))
	alone, likely, gone := loaded(t, sure), loaded(t, maybe), loaded(t, lost)
	r := loaded(t, maybe, sure, lost)
	require.NotEmpty(t, r.Weeks)
	week := func(of *load.Report, i int) backlog.Week {
		if i < len(of.Weeks) {
			return of.Weeks[i]
		}
		return backlog.Week{Stages: make([]float64, 4)}
	}
	for i, w := range r.Weeks {
		for k := range w.Stages {
			assert.InDelta(t, week(alone, i).Stages[k]+week(likely, i).Stages[k], w.Stages[k], 1e-9)
		}
		assert.InDelta(t, week(alone, i).If+0.4*week(likely, i).If, w.Weighted, 1e-9)
		assert.InDelta(t, week(alone, i).If, w.Firm, 1e-9)
		assert.InDelta(t, week(alone, i).If+week(likely, i).If+week(gone, i).If, w.If, 1e-9)
	}
	assert.Zero(t, gone.Total.P80, "it never comes")
	assert.Zero(t, likely.Total.P50, "with one chance in two it does not come")
	assert.Greater(t, likely.Total.P80, likely.Total.If, "with four in five all of it does, and more")
	assert.Greater(t, r.Total.P80, r.Total.P50)
}

// Which file comes first is nothing, and one that is given again, by its path or byte
// for byte, is told and counted once.
func TestOrderOfFilesIsNothing(t *testing.T) {
	a, b, c := as(t, quote(t, "2026-11-30"), "a.xlsx"), as(t, quote(t, "2026-12-14", shop.Set("win_chance", 0.5, ""), shop.Set("hours_per_day", 9, "")), "b.xlsx"), as(t, quote(t, "2026-12-09", shop.Set("inspect", 2, "")), "c.xlsx")
	again := as(t, a, "z.xlsx")
	var first *load.Report
	var written []byte
	for _, files := range [][]string{{a, b, c, again, a}, {again, c, a, b, a}, {a, c, b, a, again}} {
		out := filepath.Join(t.TempDir(), "load.xlsx")
		r, err := load.Weeks(t.Context(), load.Options{Files: files, Out: out})
		require.NoError(t, err)
		data, err := os.ReadFile(out)
		require.NoError(t, err)
		if first == nil {
			first, written = r, data
			continue
		}
		assert.Equal(t, first.Weeks, r.Weeks)
		assert.Equal(t, first.Total, r.Total)
		assert.Equal(t, first.Remarks(), r.Remarks())
		assert.Equal(t, first.Differ, r.Differ)
		assert.True(t, bytes.Equal(written, data), "equal loads are equal files")
	}
	assert.Len(t, first.Files, 3)
	assert.InDelta(t, loaded(t, a).Total.If+loaded(t, b).Total.If+loaded(t, c).Total.If, first.Total.If, 1e-9)
	require.Len(t, first.LeftOut, 2)
	for _, l := range first.LeftOut {
		assert.True(t, l.Same)
	}
	told := strings.Join(first.Remarks(), "\n")
	assert.Contains(t, told, "it is given twice, and counted once")
	assert.Contains(t, told, "byte for byte, and counted once")
	assert.True(t, first.Whole(), "nothing is lost by it")
}

// All quotes rest on the same minutes. Of two alike, each 80 % sure to take no more
// than so much, both together take no more than twice that with 80 %, which is more
// than if each had its own errors. Of one, P50 and P80 of the hours are those that
// Range finds by other draws.
func TestErrorsGoTogether(t *testing.T) {
	a := as(t, quote(t, "2026-11-30"), "a.xlsx")
	b, _ := shop.Price(t, shop.Assume(t, a, shop.Set("head_revision", "B", "")))
	one, two := loaded(t, a), loaded(t, a, b)
	assert.InDelta(t, 2*one.Total.P50, two.Total.P50, 1e-6)
	assert.InDelta(t, 2*one.Total.P80, two.Total.P80, 1e-6)
	for i, w := range two.Weeks {
		assert.InDelta(t, 2*one.Weeks[i].P80, w.P80, 1e-6)
	}
	assert.Less(t, two.Apart, 0.99*two.Total.P80)
	assert.Greater(t, two.Apart, two.Total.P50)
	assert.InDelta(t, one.Apart, one.Total.P80, 1e-9, "of one there is nothing to draw apart")
	require.Len(t, two.Twins, 1)
	assert.Contains(t, two.Twins[0], "may be one order")

	whole := shop.Assume(t, a, shop.Set("trials", 10000, ""))
	one = loaded(t, whole)
	out, _ := shop.PriceWith(t, whole, "range")
	s := sheetstest.Read(t, out)["Range"]
	found := 0
	for row := 1; row < 40; row++ {
		at := func(col string) sheetstest.Value { return s[fmt.Sprint(col, row)] }
		for label, x := range map[string]float64{"P50": one.Total.P50, "P80": one.Total.P80} {
			if strings.HasPrefix(at("B").Text, label+":") {
				assert.InDelta(t, at("E").Num, x, 5*at("F").Num, label)
				found++
			}
		}
	}
	assert.Equal(t, 2, found)
}

// What is wrong with a quote is said with its name and what to do, and the others are
// counted.
func TestOthersAreCounted(t *testing.T) {
	good := as(t, quote(t, "2026-11-30"), "good.xlsx")
	undated := as(t, quote(t, ""), "undated.xlsx")
	raw, err := os.ReadFile(good)
	require.NoError(t, err)
	shut, err := excelize.Encrypt(raw, &excelize.Options{Password: "tungsten"})
	require.NoError(t, err)
	locked := filepath.Join(t.TempDir(), "locked.xlsx")
	require.NoError(t, os.WriteFile(locked, shut, 0o600))
	lacking := shop.Butt("J-3")
	lacking[5] = "thin"
	lost, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), lacking))
	lacks := as(t, shop.Assume(t, lost, shop.Set("start_date", serial(t, "2026-12-01"), "")), "lacks.xlsx")
	metric := as(t, shop.Generated(t, 6, 3, true), "metric.xlsx")
	none := filepath.Join(t.TempDir(), "none.xlsx")

	r := loaded(t, good, undated, locked, lacks, metric, none)
	told := strings.Join(r.Remarks(), "\n")
	for _, want := range []string{
		"undated.xlsx: its hours are in no week: no day is typed on which work starts; type one at start_date",
		"locked.xlsx: left out: it is encrypted; give its password with --password-file",
		"lacks.xlsx: it is INCOMPLETE, and lacks the hours of 1 row; see: seamtally check lacks.xlsx",
		"metric.xlsx: it is not priced, so that rates and times are as shipped; price it",
		"none.xlsx: left out: there is no such file; check the name and the folder",
		"some quotes are metric and some are in US units",
	} {
		assert.Contains(t, told, want)
	}
	assert.False(t, r.Whole())
	assert.Len(t, r.Files, 4)
	assert.InDelta(t, loaded(t, good).Total.If+loaded(t, lacks).Total.If, r.Total.If, 1e-9)

	_, err = load.Weeks(t.Context(), load.Options{Files: []string{locked, none}})
	require.ErrorContains(t, err, "locked.xlsx: it is encrypted")
	_, err = load.Weeks(t.Context(), load.Options{Files: []string{locked}, Password: "argon"})
	require.ErrorContains(t, err, "the password does not open it")

	out := filepath.Join(t.TempDir(), "load.xlsx")
	both, err := load.Weeks(t.Context(), load.Options{Files: []string{locked, undated}, Password: "tungsten", Out: out})
	require.NoError(t, err)
	assert.True(t, both.Encrypted)
	assert.InDelta(t, loaded(t, good).Total.If, both.Total.If, 1e-9)
	assert.NotEmpty(t, sheetstest.Read(t, shop.Decrypted(t, out, "tungsten"))["Load"])
}

// The floor has the most hours that a quote counts on, unless it is told; where the
// quotes rest on something else is said.
func TestFloorAndDifferences(t *testing.T) {
	a := as(t, quote(t, "2026-11-30"), "a.xlsx")
	b := as(t, quote(t, "2026-12-07", shop.Set("welders", 3, ""), shop.Set("clean_fit", 7, ""), shop.Set("shop_rate", 120, "")), "b.xlsx")
	r := loaded(t, a, b)
	assert.InDelta(t, 8*3*0.02, r.DayHours, 1e-12)
	assert.True(t, r.DayHoursDiffer())
	assert.InDelta(t, 5*8*3*0.02, r.Weeks[0].Capacity, 1e-12)
	var differ []string
	for _, d := range r.Differ {
		differ = append(differ, d.String())
	}
	assert.Equal(t, []string{"Clean and fit up, one weld: 5 min in a.xlsx; 7 min in b.xlsx", "Welders at work on the order: 1 in a.xlsx; 3 in b.xlsx"}, differ, "the rate moves no hours")

	given, err := load.Weeks(t.Context(), load.Options{Files: []string{b, a}, DayHours: 2.5})
	require.NoError(t, err)
	assert.InDelta(t, 12.5, given.Weeks[0].Capacity, 1e-12)
	assert.False(t, given.DayHoursDiffer())
	assert.Equal(t, []string{"The floor has hours enough in every week, also at P80."}, given.Answer())
	over := 0
	for i, w := range r.Weeks {
		assert.Equal(t, given.Weeks[i].Weighted, w.Weighted)
		assert.Equal(t, w.Weighted > w.Capacity+1e-6, w.Verdict() == "over")
		if w.Verdict() == "over" {
			over++
		}
	}
	assert.Positive(t, over, "together they are too much for one of the weeks")
}

// The workbook of it has the same numbers, as values, and is not written over what is
// there or over a quote.
func TestWorkbookOfALoad(t *testing.T) {
	a := as(t, quote(t, "2026-11-30"), "a.xlsx")
	out := filepath.Join(t.TempDir(), "load.xlsx")
	o := load.Options{Files: []string{a}, Out: out, Date: "2026-11-25"}
	r, err := load.Weeks(t.Context(), o)
	require.NoError(t, err)
	assert.Equal(t, out, r.Output)
	s := sheetstest.Read(t, out)["Load"]
	at := map[string]int{}
	for ref, v := range s {
		if strings.HasPrefix(ref, "A") && v.Text != "" {
			row := 0
			_, err := fmt.Sscanf(ref, "A%d", &row)
			require.NoError(t, err)
			at[v.Text] = row
		}
		assert.Empty(t, v.Formula, ref)
	}
	for _, w := range r.Weeks {
		row := at[w.ISO]
		require.NotZero(t, row, w.ISO)
		assert.Equal(t, w.Monday, s[fmt.Sprint("B", row)].Text)
		for i, x := range append(slices.Clone(w.Stages), w.Weighted, w.Firm, w.If, w.P50, w.P80, w.Capacity) {
			assert.InDelta(t, x, s[fmt.Sprintf("%c%d", 'C'+i, row)].Num, 1e-12)
		}
	}
	row := at["a.xlsx"]
	require.NotZero(t, row)
	assert.Equal(t, "COMPLETE", s[fmt.Sprint("C", row)].Text)
	assert.Equal(t, r.Files[0].Digest[:16], s[fmt.Sprint("K", row)].Text)
	chart := strings.Join(shop.PartNames(shop.Parts(t, out)), " ")
	assert.Contains(t, chart, "xl/charts/chart1.xml")

	_, err = load.Weeks(t.Context(), o)
	require.ErrorContains(t, err, "--force")
	o.Out = a
	_, err = load.Weeks(t.Context(), o)
	require.ErrorContains(t, err, "would replace one of the quotes")
	o.Out = filepath.Join(t.TempDir(), "load.csv")
	_, err = load.Weeks(t.Context(), o)
	require.ErrorContains(t, err, "is an .xlsx")
}
