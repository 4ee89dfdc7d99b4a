package bid_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/bid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func TestSheetsForTheBidRecalculate(t *testing.T) {
	var all []shop.Scene
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		all = append(all, shop.Scene{
			Name:  name,
			Heavy: true,
			Make: func(t *testing.T) []string {
				out, rep := shop.PriceWith(t, shop.Demo(name), bid.Sheets()...)
				require.True(t, rep.Complete, "%v", rep.Findings)
				return []string{out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				shop.Equal(t, paths[0], live[0])
				for _, key := range bid.Sheets() {
					assert.Equal(t, "ok", live[0][shop.BidTitle(key)]["B3"].Text, key)
				}
				assert.Zero(t, shop.OnWorkings(t, live[0], "Sheets for the bid: checks that do not hold"))
			},
		})
	}
	for i, metric := range []bool{false, true} { // with sizes that are not in stock, and spellings of all sorts
		all = append(all, shop.Scene{
			Name:  fmt.Sprint("generated ", i),
			Heavy: i > 0,
			Make: func(t *testing.T) []string {
				out, _ := shop.PriceWith(t, shop.Generated(t, 40, int64(70+i), metric), bid.Sheets()...)
				return []string{out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) { shop.Equal(t, paths[0], live[0]) },
		})
	}
	shop.Play(t, all...)
}

// A second run of a workbook in which nothing has changed gives the same bytes,
// on another day too.
func TestSheetsForTheBidAgain(t *testing.T) {
	once, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), bid.Sheets()...)
	out := filepath.Join(t.TempDir(), "again.xlsx")
	rep, err := sheets.Price(context.Background(), sheets.PriceOptions{In: once, Out: out, Date: "2027-01-11", Version: "test"})
	require.NoError(t, err)
	assert.True(t, rep.Unchanged)
	assert.Equal(t, shop.Content(t, once), shop.Content(t, out))
}

func TestSheetsForTheBidAreTakenOut(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"))
	with, _ := shop.PriceWith(t, in, bid.Sheets()...)
	without, _ := shop.Price(t, in)
	want, got := shop.Parts(t, shop.Cleared(t, without)), shop.Parts(t, shop.Cleared(t, with))
	for _, p := range []map[string]string{want, got} {
		delete(p, "xl/styles.xml") // formats that nothing uses any more stay
	}
	for name := range got {
		assert.True(t, want[name] == got[name], name)
	}
	assert.Len(t, got, len(want))
}

// What a sheet for the bid says of a shorter order has nothing left of the
// longer one; what the shop wrote to the right of it stays.
func TestSheetsForTheBidFollowTheOrder(t *testing.T) {
	other := shop.Butt("J-2")
	other[1], other[4], other[5] = "Demo car two", 2.5, 0.035
	long, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1"), other, shop.Butt("J-3")), bid.Sheets()...)
	shorter := shop.Edited(t, long, func(f *excelize.File) {
		require.NoError(t, f.RemoveRow("Joints", 3))
		a := sheetstest.Read(t, long)["Assumptions"]
		for ref, v := range a {
			if _, row, _ := excelize.SplitCellName(ref); v.Text == "Demo car two" && strings.HasPrefix(ref, "B") {
				require.NoError(t, f.SetCellValue("Assumptions", ref, nil))
				for _, col := range []string{"C", "D", "E", "L"} {
					cell, err := excelize.JoinCellName(col, row)
					require.NoError(t, err)
					require.NoError(t, f.SetCellValue("Assumptions", cell, nil))
				}
			}
		}
		for _, key := range bid.Sheets() {
			require.NoError(t, f.SetCellValue(shop.BidTitle(key), "BZ7", "ours: "+key))
		}
	})
	got, _ := shop.PriceWith(t, shorter)
	again, _ := shop.PriceWith(t, shop.Cleared(t, shorter), bid.Sheets()...)
	g, want := sheetstest.Read(t, got), sheetstest.Read(t, again)
	for _, key := range bid.Sheets() {
		title := shop.BidTitle(key)
		assert.Equal(t, "ours: "+key, g[title]["BZ7"].Text)
		assert.Equal(t, "ok", g[title]["B3"].Text)
		for ref, v := range g[title] {
			if strings.Contains(v.Text, "Demo car two") {
				t.Errorf("%s!%s still says %q", title, ref, v.Text)
			}
		}
		assert.NotEmpty(t, want[title])
	}
}

// A line on Assumptions does what --with does, and --with fills that line in.
func TestSheetsForTheBidAreChosen(t *testing.T) {
	plain, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	for _, key := range bid.Sheets() {
		assert.NotContains(t, sheetstest.Read(t, plain), shop.BidTitle(key))
	}
	key := bid.Sheets()[0]
	typed, _ := shop.Price(t, shop.Assume(t, plain, shop.Setting{Key: "with_" + key, Value: "yes"}))
	assert.Contains(t, sheetstest.Read(t, typed), shop.BidTitle(key))
	asked, _ := shop.PriceWith(t, plain, strings.ToUpper(key))
	g := sheetstest.Read(t, asked)
	assert.Contains(t, g, shop.BidTitle(key))
	assert.Equal(t, "yes", g["Assumptions"][fmt.Sprint("C", shop.Assumption(t, g, "with_"+key))].Text)
	_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: plain, Out: filepath.Join(t.TempDir(), "none.xlsx"), With: []string{"ratez"}})
	require.ErrorContains(t, err, `there is no sheet "ratez" to write; choose from `+strings.Join(bid.Sheets(), ", "))
}

// The shop has a sheet of that name already: it is not touched.
func TestSheetForTheBidWithATitleThatIsTaken(t *testing.T) {
	key := bid.Sheets()[0]
	in := shop.Edited(t, shop.Small(t, shop.Butt("J-1")), func(f *excelize.File) {
		_, err := f.NewSheet(shop.BidTitle(key))
		require.NoError(t, err)
		require.NoError(t, f.SetCellValue(shop.BidTitle(key), "A1", "the shop's own"))
	})
	out, rep := shop.PriceWith(t, in, key)
	g := sheetstest.Read(t, out)
	assert.Equal(t, "the shop's own", g[shop.BidTitle(key)]["A1"].Text)
	assert.Equal(t, shop.BidTitle(key), g[shop.BidTitle(key)+" 2"]["A1"].Text)
	assert.True(t, shop.HasFinding(rep, "ours is called"))
}

// The days of the Schedule against the calendar of the standard library, which
// knows weekdays; which of them are worked is common practice, no source.
func TestScheduleKeepsTheCalendar(t *testing.T) {
	base, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), "schedule")
	for _, c := range []struct {
		start string
		week  int
	}{{"2026-11-25", 5}, {"2026-11-28", 5}, {"2026-12-31", 6}, {"2027-02-26", 4}, {"2028-02-28", 7}} {
		from, err := time.Parse(time.DateOnly, c.start)
		require.NoError(t, err)
		serial := float64(int(from.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24))
		out, rep := shop.Price(t, shop.Assume(t, base, shop.Setting{Key: "start_date", Value: serial}, shop.Setting{Key: "days_per_week", Value: c.week}, shop.Setting{Key: "utilisation", Value: 0.02}))
		left := rep.Order["days"]
		day := from.AddDate(0, 0, -1)
		for left > 0 {
			day = day.AddDate(0, 0, 1)
			if (int(day.Weekday())+6)%7 < c.week {
				left--
			}
		}
		g := sheetstest.Read(t, out)["Schedule"]
		var got float64
		for ref, v := range g {
			if v.Text == "The last car is done on" {
				_, row, _ := excelize.SplitCellName(ref)
				got = g[fmt.Sprint("C", row)].Num
			}
		}
		assert.Equal(t, day.Format(time.DateOnly), time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(got)).Format(time.DateOnly), "%v", c)
	}
}
