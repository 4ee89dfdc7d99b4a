package calibrate

import (
	"context"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute/model"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/timesheet"
)

// floorOf is the time sheet of a workbook with some lines filled in: 120 % of what a
// butt is thought to take, about.
func floorOf(t *testing.T, in string, cars int) string {
	t.Helper()
	made := filepath.Join(t.TempDir(), "floor.xlsx")
	_, err := timesheet.Make(t.Context(), timesheet.Options{In: in, Out: made, Draft: true})
	require.NoError(t, err)
	head := 0
	for row, g := 1, sheetstest.Read(t, made); head == 0; row++ {
		if g["Time sheet"]["A"+strconv.Itoa(row)].Text == "Car" {
			head = row
		}
		require.Less(t, row, 50)
	}
	return shop.Edited(t, made, func(f *excelize.File) {
		columns := map[string]string{}
		for col := 'A'; col <= 'Z'; col++ {
			text, err := f.GetCellValue("Time sheet", string(col)+strconv.Itoa(head))
			require.NoError(t, err)
			columns[text] = string(col)
		}
		name, err := f.GetCellValue("Time sheet", "A"+strconv.Itoa(head+1))
		require.NoError(t, err)
		for n := range cars {
			for heading, x := range map[string]any{"Car": name, "No. in the run": n + 1, "Saw, min": 20 + n%3, "Bench, min": 40 + n%2, "Weld, min": 25 + n%4, "Whole job logged?": "yes"} {
				require.NoError(t, f.SetCellValue("Time sheet", columns[heading]+strconv.Itoa(head+1+n), x))
			}
		}
	})
}

// Factors of one set of minutes are not written over another; factors, the allowance
// that no stage has, and what each order settles for itself may differ.
func TestOtherMinutesAreRefused(t *testing.T) {
	priced, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	sheet := floorOf(t, priced, 7)
	run := func(into string) error {
		_, err := Run(context.Background(), Options{Sheets: []string{sheet}, Into: into, Out: filepath.Join(t.TempDir(), "out.xlsx"), Date: "2026-01-15"})
		return err
	}
	assert.NoError(t, run(priced))
	assert.NoError(t, run(shop.Assume(t, priced, shop.Set("weld_factor", 1.4, ""), shop.Set("allowance", 0.3, ""))))
	err := run(shop.Assume(t, priced, shop.Set("clean_fit", 10, "")))
	require.ErrorContains(t, err, "nothing is written: the cars were estimated with other values than stand there: clean_fit is 5 min in shop.xlsx and 10 min in ")
	assert.ErrorContains(t, err, "make its time sheet anew")
}

// A metric quote has other units, and is not refused for these.
func TestUnitsAreNoOtherMinutes(t *testing.T) {
	run := func(in string) []timesheet.Line {
		lines, found, err := timesheet.Read(t.Context(), floorOf(t, in, 2), "")
		require.NoError(t, err)
		require.Empty(t, found)
		return lines
	}
	lines := run(shop.Demo("order.xlsx"))
	require.Greater(t, len(lines[0].Rests), 50)
	priced, _ := shop.Price(t, shop.Demo("order-metric.xlsx"))
	q, err := standing(t.Context(), Options{Into: priced})
	require.NoError(t, err)
	assert.NoError(t, q.same(&Report{}, lines, "metric.xlsx"))
	r := &Report{}
	lines[0].Rests = nil
	assert.NoError(t, q.same(r, lines[:1], "metric.xlsx"))
	require.Len(t, r.Findings, 1)
	assert.Contains(t, r.Findings[0].What, "does not say what its estimate rests on")
}

// Where cars are clocked in all, other work and coupons are taken off first: hours of a
// floor that takes half as long again come out so, and nothing is off.
func TestOtherWorkDoesNotScale(t *testing.T) {
	var lines []timesheet.Line
	for i, l := range built(12, [3]float64{1.5, 1.5, 1.5}) {
		floor := l.Minutes[0] + l.Minutes[1] + l.Minutes[2]
		l.Fixed = 600 + 40*float64(i%3)
		l.EstimateClocked = l.Fixed + l.Estimate[0] + l.Estimate[1] + l.Estimate[2]
		l.Clocked = l.Fixed + floor
		l.Minutes = [3]float64{math.NaN(), math.NaN(), math.NaN()}
		lines = append(lines, l)
	}
	r := report(t, lines, Options{})
	share, sum := [3]float64{60, 300, 340}, 0.0
	for s, name := range model.StageFactors() {
		sum += share[s] / 700 * r.Factor(name).Value
	}
	assert.InDelta(t, 1.5, sum, 0.05)
}

// What no factor moves is what is left of the hours when floor times are nothing.
func TestFixedIsTheOtherWork(t *testing.T) {
	lines, _, err := timesheet.Read(t.Context(), floorOf(t, shop.Demo("order.xlsx"), 1), "")
	require.NoError(t, err)
	l := lines[0]
	car := shop.ReportOf(t, shop.Demo("order.xlsx")).Cars[0].Figures
	at := slices.IndexFunc(l.Rests, func(r timesheet.Rest) bool { return r.What == timesheet.KeyAllowance })
	require.GreaterOrEqual(t, at, 0)
	assert.InEpsilon(t, 60*(car["car_hours"]-car["car_floor"]*(1+l.Rests[at].Num/100)), l.Fixed, 1e-9)
}
