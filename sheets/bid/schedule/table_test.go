package schedule_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// shutLines are the first line of the table of days shut, and its columns.
func shutLines(t testing.TB, path string) (first int, cols map[string]string) {
	t.Helper()
	cols = map[string]string{}
	for _, key := range []string{"why", "from", "to"} {
		for _, d := range shop.WorkbookOf(t, path).Names {
			if d.Name == "shut_"+key {
				var last int
				first, last = shop.NamedRows(t, path, d.Name)
				assert.Equal(t, 16, last-first+1, "its room")
				_, at, _ := strings.Cut(d.Ref, "$")
				cols[key], _, _ = strings.Cut(at, "$")
			}
		}
	}
	require.Len(t, cols, 3, path)
	return first, cols
}

// shutDown types times for which the shop is shut into the table, from a line on.
func shutDown(t testing.TB, path string, from int, times ...[3]string) string {
	first, cols := shutLines(t, path)
	var cells []shop.Cell
	for i, s := range times {
		for k, key := range []string{"why", "from", "to"} {
			ref := fmt.Sprint(cols[key], first+from+i)
			switch {
			case s[k] == "":
			case key == "why":
				cells = append(cells, shop.At("Assumptions", ref, s[k]))
			default:
				cells = append(cells, shop.At("Assumptions", ref, serial(t, s[k])))
			}
		}
	}
	return shop.TypeIn(t, path, cells...)
}

// The table of days shut on Assumptions is read beside a sheet of the shop's, by
// whatever version the workbook was priced first; the days follow its cells without
// another run, as a spreadsheet works it out. Which weekdays are worked is common
// practice, no source.
func TestScheduleKnowsTheTableOfDaysShut(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	const start, week = "2026-12-01", 5
	shut := [][2]string{{"2026-12-24", "2027-01-04"}, {"2026-12-07", "2026-12-07"}, {"2027-01-02", "2027-01-06"}}
	for name, in := range map[string]string{
		"new": shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), func(f *excelize.File) {
			closing(t, f, "Shut", []string{"From", "Until", "Reason"}, []string{"2027-01-02", "2027-01-06", "and on"})
		}),
		"of an earlier version": shop.Edited(t, shop.Demo("earlier/us.xlsx"), func(f *excelize.File) {
			closing(t, f, "Shut", []string{"From", "Until", "Reason"}, []string{"2027-01-02", "2027-01-06", "and on"})
		}),
	} {
		base, _ := shop.PriceWith(t, in, "schedule")
		base = shutDown(t, base, 0, [3]string{"year end", "2026-12-24", "2027-01-04"}, [3]string{"stock-taking", "2026-12-07", ""})
		out, rep := shop.Price(t, shop.Assume(t, base, shop.Set("start_date", serial(t, start), ""), shop.Set("utilisation", 0.004, "")))
		days := rep.Order["days"]
		require.Greater(t, days, 30.0, "past all of them")
		again, same := shop.Price(t, out)
		assert.True(t, same.Unchanged, "%s: a second run has nothing to do", name)

		moved := shutDown(t, again, 1, [3]string{"stock-taking", "2026-12-07", "2026-12-11"}) // the whole week, no new run
		more := shutDown(t, again, 2, [3]string{"moving house", "2027-03-01", ""})
		read, _ := shop.Price(t, more)
		grids := sheetstest.RecalculateAll(t, out, moved, more, read)
		for i, shut := range [][][2]string{shut, {shut[0], {"2026-12-07", "2026-12-11"}, shut[2]}} {
			live := grids[i]["Schedule"]
			assert.Equal(t, doneOn(t, start, week, days, shut...), dayOf(shop.Beside(t, live, "The last car is done on", "C").Num), name)
			assert.Equal(t, "ok", live["B3"].Text, name)
		}
		assert.Equal(t, "LOOK", grids[2]["Schedule"]["B3"].Text, "%s: a line that no run has read", name)
		live := grids[3]["Schedule"]
		assert.Equal(t, "ok", live["B3"].Text, name)
		assert.Equal(t, doneOn(t, start, week, days, append(shut, [2]string{"2027-03-01", "2027-03-01"})...), dayOf(shop.Beside(t, live, "The last car is done on", "C").Num), name)
	}
}

// What is no time in the table is told with its cell, and no price suffers.
func TestDaysShutThatAreOdd(t *testing.T) {
	base, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1")), "schedule")
	first, cols := shutLines(t, base)
	_, rep := shop.Price(t, shutDown(t, base, 0, [3]string{"backwards", "2027-02-09", "2027-02-08"}, [3]string{"when", "", "2027-02-08"}, [3]string{"long ago", "1927-02-09", ""}))
	var cells []string
	for _, f := range rep.Findings {
		if f.Rule == "days shut" || strings.HasPrefix(f.Rule, "table shut") {
			assert.Equal(t, book.LevelWarning, f.Level)
			cells = append(cells, f.Cell+" "+f.What)
		}
	}
	slices.Sort(cells)
	require.Len(t, cells, 3)
	assert.Equal(t, fmt.Sprintf("Assumptions!%s%d Days shut: from is blank, and the line is passed over", cols["from"], first+1), cells[0])
	assert.Equal(t, fmt.Sprintf("Assumptions!%s%d Days shut: from is 1927-02-09, and is usually 2000-01-01 to 2099-12-31", cols["from"], first+2), cells[1])
	assert.Equal(t, fmt.Sprintf("Assumptions!%s%d the last day on which the shop is shut is no date from the first on; Schedule takes the first day alone", cols["to"], first), cells[2])
	assert.True(t, rep.Complete)

	said := shop.Refused(t, shop.TypeIn(t, base, shop.At("Assumptions", fmt.Sprint(cols["from"], first), "24.12.2026")))
	assert.Contains(t, said, fmt.Sprintf(`Assumptions!%s%d: "24.12.2026" is a text; type it as a date`, cols["from"], first))
}
