package schedule_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// serial is a day as spreadsheets count them.
func serial(t testing.TB, day string) float64 {
	at, err := time.Parse(time.DateOnly, day)
	require.NoError(t, err)
	return at.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
}

// dayOf writes such a day out, and what is none as nothing.
func dayOf(x float64) string {
	return time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(x)).Format(time.DateOnly)
}

// closing adds a sheet with times for which the shop is shut; a text that is no
// day is written as it is.
func closing(t testing.TB, f *excelize.File, title string, rows ...[]string) {
	t.Helper()
	_, err := f.NewSheet(title)
	require.NoError(t, err)
	date, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	require.NoError(t, err)
	for i, row := range rows {
		for k, text := range row {
			at, err := excelize.CoordinatesToCellName(k+1, i+1)
			require.NoError(t, err)
			if _, err := time.Parse(time.DateOnly, text); err == nil {
				require.NoError(t, f.SetCellValue(title, at, serial(t, text)))
				require.NoError(t, f.SetCellStyle(title, at, at, date))
			} else if text != "" {
				require.NoError(t, f.SetCellValue(title, at, text))
			}
		}
	}
}

// doneOn goes through the calendar a day at a time: the day on which so many
// working days from the start on are over, past those on which the shop is shut.
func doneOn(t testing.TB, start string, week int, days float64, shut ...[2]string) string {
	at, err := time.Parse(time.DateOnly, start)
	require.NoError(t, err)
	at = at.AddDate(0, 0, -1)
	for days > 0 {
		at = at.AddDate(0, 0, 1)
		open := (int(at.Weekday())+6)%7 < week
		for _, s := range shut {
			if d := at.Format(time.DateOnly); d >= s[0] && d <= s[1] {
				open = false
			}
		}
		if open {
			days--
		}
	}
	return at.Format(time.DateOnly)
}

// Days on which the shop is shut are not worked, and the days follow the shop's
// own sheet without another run, as a spreadsheet works it out. The calendar is
// that of the standard library; which weekdays are worked is common practice, no
// source.
func TestScheduleKnowsWhenTheShopIsShut(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	in := shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), func(f *excelize.File) {
		closing(t, f, "Shut", []string{"Made up for a test"}, nil, []string{"From", "Until", "Reason"},
			[]string{"2026-12-24", "2027-01-04", "year end"}, []string{"2026-12-07", "", "stock-taking"}, []string{"2027-01-02", "2027-01-06", "and on"},
			[]string{"soon", "2027-02-01", "no day"}, []string{"2027-02-09", "2027-02-08", "backwards"})
		closing(t, f, "Away", []string{"Welder", "From", "To", "Why"}, []string{"one of two", "2026-12-01", "2026-12-02", "no closing"})
	})
	base, _ := shop.PriceWith(t, in, "schedule")
	const start, week = "2026-12-01", 5
	out, rep := shop.Price(t, shop.Assume(t, base, shop.Set("start_date", serial(t, start), ""), shop.Set("utilisation", 0.004, "")))
	shut := [][2]string{{"2026-12-24", "2027-01-04"}, {"2026-12-07", "2026-12-07"}, {"2027-01-02", "2027-01-06"}, {"2027-02-09", "2027-02-09"}}
	days := rep.Order["days"]
	require.Greater(t, days, 30.0, "past all of them")
	var odd []string
	for _, f := range rep.Findings {
		if f.Rule == "days shut" && f.Level == "warning" {
			odd = append(odd, f.Cell)
		}
	}
	assert.Equal(t, []string{"Shut!A7", "Shut!B8"}, odd)

	moved := shop.TypeIn(t, out, shop.At("Shut", "B5", serial(t, "2026-12-11"))) // the whole week, no new run
	grids := sheetstest.RecalculateAll(t, out, moved)
	for i, shut := range [][][2]string{shut, {shut[0], {"2026-12-07", "2026-12-11"}, shut[2], shut[3]}} {
		live := grids[i]["Schedule"]
		assert.Equal(t, doneOn(t, start, week, days, shut...), dayOf(shop.Beside(t, live, "The last car is done on", "C").Num))
		assert.Equal(t, doneOn(t, start, week, days, shut...), dayOf(shop.Beside(t, live, "The first car is done on", "C").Num), "one car is first and last")
		assert.Equal(t, "ok", live["B3"].Text)
		words := map[string]bool{}
		for ref, v := range live {
			words[v.Text] = true
			assert.False(t, strings.Contains(v.Text, "00000") || v.Kind == sheetstest.Error, "%s: %v", ref, v)
		}
		for _, w := range []string{"Friday", "year end", "stock-taking", "and on"} {
			assert.True(t, words[w], w)
		}
		assert.False(t, words["no closing"], "who is away shuts no shop")
	}
	assert.NotEqual(t, grids[0]["Schedule"], grids[1]["Schedule"])

	more := sheetstest.Recalculate(t, shop.TypeIn(t, out, shop.At("Shut", "A9", serial(t, "2027-03-01"))))["Schedule"]
	assert.Equal(t, "LOOK", more["B3"].Text, "a line that no run has read")
}

// Without such a sheet nothing is left out, and without a day to start on no date
// is said.
func TestScheduleOfAShopThatIsNeverShut(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	base, rep := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1")), "schedule")
	out, _ := shop.Price(t, shop.Assume(t, base, shop.Set("start_date", serial(t, "2026-11-25"), "")))
	grids := sheetstest.RecalculateAll(t, base, out)
	assert.Equal(t, doneOn(t, "2026-11-25", 5, rep.Order["days"]), dayOf(shop.Beside(t, grids[1]["Schedule"], "The last car is done on", "C").Num))
	for _, g := range grids {
		assert.Equal(t, "ok", g["Schedule"]["B3"].Text)
		for ref, v := range g["Schedule"] {
			assert.NotEqual(t, sheetstest.Error, v.Kind, fmt.Sprint(ref, v))
		}
	}
	says := false
	for _, v := range grids[0]["Schedule"] {
		says = says || strings.HasPrefix(v.Text, "for a date, type at start_date")
	}
	assert.True(t, says)
}
