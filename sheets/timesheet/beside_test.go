package timesheet_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/entry"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/timesheet"
	"seamtally/templates"
)

// logging is a small order whose list has columns of the shop's own minutes.
func logging(t *testing.T, heads []any, rows ...[]any) string {
	t.Helper()
	return shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")), func(f *excelize.File) {
		require.NoError(t, f.SetSheetRow("Joints", "K1", &heads))
		for i, row := range rows {
			require.NoError(t, f.SetSheetRow("Joints", []string{"K2", "K3", "K4"}[i], &row))
		}
	})
}

// Every heading under which a shop logs is the shop's own: no price comes of it, and
// nobody is asked.
func TestLoggedHeadingsAreTheShopsOwn(t *testing.T) {
	h, err := entry.LoadHeadings(templates.FS)
	require.NoError(t, err)
	all, err := timesheet.BesideSpellings()
	require.NoError(t, err)
	require.Greater(t, len(all), 20)
	for _, spelled := range all {
		for _, text := range []string{spelled, spelled + " min", spelled + " (hrs)", spelled + ", h", spelled + " hours", spelled + " minutes"} {
			m := h.Recognise(text)
			assert.True(t, m.Own, text)
			assert.Empty(t, m.Key, text)
		}
	}
}

// Minutes beside joints, in the shop's words, priced or not: each row is one of its
// kind, in minutes, beside what the model makes of it. They move no price.
func TestMinutesBesideJoints(t *testing.T) {
	plain, rep := shop.Price(t, shop.TwoButts(t))
	require.NotEmpty(t, plain)
	for _, heads := range [][]any{{"Actual min"}, {"Act min."}, {"Logged (min)"}, {"Minutes booked"}} {
		in := logging(t, heads, []any{41.5}, []any{nil}, []any{"slow"})
		priced, with := shop.Price(t, in)
		without, err := sheets.Price(t.Context(), sheets.PriceOptions{In: shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")), DryRun: true})
		require.NoError(t, err)
		assert.Equal(t, without.Order, with.Order, "%v", heads)
		assert.Equal(t, without.Complete, with.Complete)
		for _, path := range []string{in, priced} {
			lines, found := read(t, path)
			require.Len(t, lines, 1, "%v %v", heads, found)
			l := lines[0]
			assert.Equal(t, 41.5, l.Clocked)
			assert.True(t, math.IsNaN(l.Minutes[0]))
			assert.Equal(t, "butt", l.Kind)
			assert.Equal(t, "K2", l.Cell)
			assert.Equal(t, "Joints", l.Sheet)
			assert.InEpsilon(t, 60*rep.Cars[0].Figures["car_floor"]/2, l.EstimateClocked, 1e-9, "one of two equal joints")
			assert.InDelta(t, l.EstimateClocked, l.Estimate[0]+l.Estimate[1]+l.Estimate[2], 1e-9)
			require.Len(t, found, 1)
			assert.Equal(t, `clocked of Demo car one J-3 is text "slow", and is not counted; write minutes, as a number`, found[0].What+"; "+found[0].Fix)
		}
	}
}

// Stages may be logged beside joints, and hours; two columns of one thing, and one
// without a unit, are told and not read.
func TestStagesBesideJoints(t *testing.T) {
	lines, found := read(t, logging(t, []any{"Saw actual, min", "Actual weld hrs", "Act bench (min)"}, []any{4, 0.25, -1}, []any{nil, nil, 20}))
	require.Len(t, lines, 2)
	assert.Equal(t, []float64{4, 15}, []float64{lines[0].Minutes[0], lines[0].Minutes[2]})
	assert.True(t, math.IsNaN(lines[0].Minutes[1]))
	assert.Equal(t, 20.0, lines[1].Minutes[1])
	require.Len(t, found, 1)
	assert.Equal(t, "below 0", found[0].Rule)

	lines, found = read(t, logging(t, []any{"Actual"}, []any{40}))
	assert.Empty(t, lines, "it may be a length")
	require.Len(t, found, 1)
	assert.Equal(t, "shop.xlsx:Joints!K1: no unit", found[0].Cell+": "+found[0].Rule)

	lines, found = read(t, logging(t, []any{"Logged"}, []any{40}))
	require.Len(t, lines, 1)
	assert.Equal(t, 40.0, lines[0].Clocked)
	require.Len(t, found, 1)
	assert.Equal(t, "shop.xlsx:Joints!K1: the column does not say in what the logged time is, and is read as minutes", found[0].Cell+": "+found[0].What)

	lines, found = read(t, logging(t, []any{"Act min", "Booked hrs"}, []any{40, 1}))
	assert.Empty(t, lines)
	require.Len(t, found, 1)
	assert.Equal(t, "two columns", found[0].Rule)

	_, _, err := timesheet.Read(t.Context(), shop.TwoButts(t), "")
	assert.ErrorContains(t, err, "nothing is logged in it: it is no time sheet, and no column beside its joints or cars is headed as logged")
}

// A shop that logs beside its cars logs one car of each; of several cars it is not
// known of how many the minutes are.
func TestMinutesBesideCars(t *testing.T) {
	in := shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")), func(f *excelize.File) {
		for cell, car := range map[string]string{"B2": "One", "B3": "Two", "B4": "One"} {
			require.NoError(t, f.SetCellValue("Joints", cell, car))
		}
		_, err := f.NewSheet("Cars")
		require.NoError(t, err)
		for i, row := range [][]any{{"Car", "Cars ordered", "Act hrs"}, {"One", 1, 1.5}, {"Two", 4, 9}} {
			require.NoError(t, f.SetSheetRow("Cars", []string{"A1", "A2", "A3"}[i], &row))
		}
	})
	lines, found := read(t, in)
	require.Len(t, lines, 1, "%v", found)
	l := lines[0]
	assert.Equal(t, "One", l.Car)
	assert.Equal(t, 90.0, l.Clocked)
	assert.Empty(t, l.Kind)
	assert.True(t, l.Whole)
	_, rep := shop.Price(t, in)
	assert.True(t, rep.Complete || len(rep.Reasons) > 0)
	assert.InEpsilon(t, 60*rep.Cars[0].Figures["car_hours"], l.EstimateClocked, 1e-9)
	require.Len(t, found, 1)
	assert.Equal(t, "several cars", found[0].Rule)
	assert.Contains(t, found[0].Cell, "Cars!A3")
}
