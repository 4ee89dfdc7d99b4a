package outcome_test

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute/floor"
	"seamtally/sheets/outcome"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/timesheet"
)

func TestMain(m *testing.M) { shop.Main(m) }

// filled is a time sheet of a quote, with cells by heading and line.
func filled(t *testing.T, quote string, cells map[string]map[int]any) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "floor.xlsx")
	_, err := timesheet.Make(t.Context(), timesheet.Options{In: quote, Out: out, Draft: true})
	require.NoError(t, err)
	g := sheetstest.Read(t, out)["Time sheet"]
	head := 1
	for g[fmt.Sprint("A", head)].Text != "Car" {
		head++
	}
	return shop.Edited(t, out, func(f *excelize.File) {
		for heading, lines := range cells {
			col := ""
			for c := 'A'; c <= 'Z'; c++ {
				if g[fmt.Sprint(string(c), head)].Text == heading {
					col = string(c)
				}
			}
			require.NotEmpty(t, col, heading)
			for n, value := range lines {
				require.NoError(t, f.SetCellValue("Time sheet", fmt.Sprint(col, head+n), value))
			}
		}
	})
}

// Parts add up to the difference, for each car and in all; an hour is worth what the
// price leaves for it. Worked out by hand from the figures of the priced order.
func TestPartsAddUp(t *testing.T) {
	quote, rep := shop.Price(t, shop.Demo("order.xlsx"))
	logs := filled(t, quote, map[string]map[int]any{
		"Saw, min":            {1: 260, 2: 240},
		"Bench, min":          {1: 700, 3: 710},
		"Weld, min":           {1: 690, 2: 640, 3: 600},
		"Clocked in all, min": {1: 2000, 2: 1850, 9: 2400},
		"Bottles, torch":      {1: 1, 2: 1},
		"Rods used":           {1: 20},
		"Whole job logged?":   {1: "yes", 2: "yes", 3: "yes", 4: "no", 9: "yes"},
	})
	r, err := outcome.Of(t.Context(), outcome.Options{Quote: quote, Sheets: []string{logs}})
	require.NoError(t, err)
	require.Len(t, r.Cars, 4)
	assert.Equal(t, 3, r.Counted)

	f := rep.Cars[0].Figures
	first := r.Cars[0]
	assert.Equal(t, f["car_hours"], first.Quoted)
	assert.InDelta(t, 260.0/60-f["car_saw"], first.Stages[0], 1e-9, "nothing is learned, and the factors are 100 %")
	assert.InDelta(t, 700.0/60-f["car_fit"]-f["car_tacks"]-f["car_rigging"], first.Stages[1], 1e-9)
	total := 0.0
	for _, c := range r.Cars {
		parts := c.Else
		for _, x := range c.Stages {
			if !math.IsNaN(x) {
				parts += x
			}
		}
		if math.IsNaN(c.Logged) {
			assert.True(t, math.IsNaN(parts) && math.IsNaN(c.Earned))
			continue
		}
		assert.InDelta(t, c.Logged-c.Quoted, parts, 1e-9, c.Name)
		total += parts
	}
	assert.InDelta(t, r.Sum.Logged-r.Sum.Quoted, total, 1e-9)
	assert.InDelta(t, 6250.0/60, r.Sum.Logged, 1e-9)
	assert.InDelta(t, total, r.Sum.Else+r.Sum.Stages[0]+r.Sum.Stages[1]+r.Sum.Stages[2], 1e-9)

	price, earned := f["price_car"], f["earned"]
	if f["bid"] > 0 {
		price, earned = f["bid"], f["bid_earned"]
	}
	assert.Equal(t, price, first.Price)
	assert.InDelta(t, earned, first.EarnedQuoted, 1e-9)
	assert.InDelta(t, (price-f["other_cost"])/(2000.0/60), first.Earned, 1e-9)

	assert.Equal(t, 2, r.Gas.Cars)
	assert.Equal(t, 540.0, r.Gas.Logged)
	assert.InEpsilon(t, 2*1.1*f["torch_car"], r.Gas.Quoted, 1e-9)
	assert.Equal(t, floor.Amount{Quoted: r.Rods.Quoted, Logged: 20, Cars: 1}, r.Rods)
}

// With learning, factors and floor time typed over, the quoted parts still add up to
// the quoted hours.
func TestQuotedPartsFollowTheQuote(t *testing.T) {
	quote, _ := shop.Price(t, shop.Demo("order.xlsx"))
	changed, rep := shop.Price(t, shop.Assume(t, quote, shop.Set("learning_slope", 0.85, ""), shop.Set("weld_factor", 1.3, "")))
	logs := filled(t, quote, map[string]map[int]any{
		"Saw, min": {1: 0}, "Bench, min": {1: 0}, "Weld, min": {1: 0}, "Clocked in all, min": {1: 600}, "Whole job logged?": {1: "yes"},
	})
	r, err := outcome.Of(t.Context(), outcome.Options{Quote: changed, Sheets: []string{logs, logs}})
	require.NoError(t, err)
	f := rep.Cars[0].Figures
	stages := -(r.Cars[0].Stages[0] + r.Cars[0].Stages[1] + r.Cars[0].Stages[2])
	assert.InDelta(t, (f["car_floor"]-f["car_paced"])*f["learning"]+f["car_paced"], stages, 1e-9)
	assert.Greater(t, f["car_hours"], stages)
	var rules []string
	for _, x := range r.Findings {
		rules = append(rules, x.Rule)
	}
	assert.ElementsMatch(t, []string{"twice", "another quote"}, rules)
}

// Nothing is made of a quote of which nothing was logged.
func TestNothingLogged(t *testing.T) {
	quote, _ := shop.Price(t, shop.Demo("order.xlsx"))
	_, err := outcome.Of(t.Context(), outcome.Options{Quote: quote, Sheets: []string{filled(t, quote, nil)}})
	assert.ErrorContains(t, err, "nothing was logged of a whole car that stands in it")

	rows := shop.Edited(t, shop.TwoButts(t), func(f *excelize.File) {
		require.NoError(t, f.SetSheetRow("Joints", "K1", &[]any{"Actual min"}))
		require.NoError(t, f.SetSheetRow("Joints", "K2", &[]any{40}))
	})
	_, err = outcome.Of(t.Context(), outcome.Options{Quote: quote, Sheets: []string{rows}})
	assert.ErrorContains(t, err, "minutes are logged beside joints alone")
}

// A car of another order is told, and what is logged of the others counts. Bids count
// before prices.
func TestCarsOfAnotherOrder(t *testing.T) {
	quote, _ := shop.Price(t, shop.Demo("order.xlsx"))
	small, _ := shop.Price(t, shop.TwoButts(t))
	line := map[string]map[int]any{"Clocked in all, min": {1: 3000}, "Whole job logged?": {1: "yes"}}
	r, err := outcome.Of(t.Context(), outcome.Options{Quote: quote, Sheets: []string{filled(t, quote, line), filled(t, small, line)}})
	require.NoError(t, err)
	require.Len(t, r.Cars, 1)
	assert.InDelta(t, 50-r.Cars[0].Quoted, r.Cars[0].Else, 1e-9, "what was not timed is within all else")
	var told []string
	for _, f := range r.Findings {
		told = append(told, f.Rule)
	}
	assert.ElementsMatch(t, []string{"another quote", "not in the quote"}, told)
}
