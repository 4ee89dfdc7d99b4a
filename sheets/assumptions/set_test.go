package assumptions_test

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/audit"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func setting() *assumptions.Settings {
	return &assumptions.Settings{
		Of: []assumptions.Setting{{Key: "weld_factor", Value: 1.2, Low: 1.1, High: 1.3, Basis: "own jobs, invented",
			Reliability: "measured", Since: time.Date(2026, 1, 15, 0, 0, 0, 0, time.UTC)}},
		Why: "weld_factor written, for a test",
	}
}

// What a run is asked to write stands in the shop's cells as if it had been typed
// there: the order is worked out with it, a run after it changes nothing, an audit has
// nothing to say. Nothing else of the shop's cells is other than before.
func TestSettingsAreWrittenAsIfTyped(t *testing.T) {
	base, was := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	out := filepath.Join(t.TempDir(), "set.xlsx")
	rep, err := sheets.Price(context.Background(), sheets.PriceOptions{In: base, Out: out, Set: setting(), Date: "2026-01-15"})
	require.NoError(t, err)
	typed := shop.ReportOf(t, shop.Assume(t, base, shop.Setting{Key: "weld_factor", Value: 1.2}))
	assert.Equal(t, typed.Order["order_hours"], rep.Order["order_hours"])
	assert.Greater(t, rep.Order["order_hours"], was.Order["order_hours"])
	assert.Empty(t, was.Factors)
	assert.Equal(t, []string{"weld_factor 120 %"}, typed.Factors)
	assert.Equal(t, typed.Factors, rep.Factors)

	before, after := sheetstest.Read(t, base)["Assumptions"], sheetstest.Read(t, out)["Assumptions"]
	row := shop.Assumption(t, sheetstest.Read(t, base), "weld_factor")
	at := func(col string) sheetstest.Value { return after[fmt.Sprint(col, row)] }
	assert.Equal(t, 1.2, at("C").Num)
	assert.Equal(t, 1.2, at("E").Num)
	assert.Equal(t, 1.1, at("G").Num)
	assert.Equal(t, 1.3, at("H").Num)
	assert.Equal(t, "own jobs, invented", at("L").Text)
	assert.Equal(t, "measured", at("O").Text)
	assert.Equal(t, 46037.0, at("P").Num) // 15 January 2026, counted from the 30th of December 1899
	logged := false
	for _, l := range rep.Logged {
		logged = logged || l == "weld_factor written, for a test"
	}
	assert.True(t, logged, "%v", rep.Logged)
	for r := 1; r < shop.Assumption(t, sheetstest.Read(t, base), "with_rates"); r++ {
		for _, col := range []string{"A", "B", "C", "D", "G", "H", "L", "M", "O", "P"} {
			cell := fmt.Sprint(col, r)
			if r != row {
				assert.Equal(t, before[cell], after[cell], cell)
			}
		}
	}

	again, rep := shop.Price(t, out)
	assert.True(t, rep.Unchanged)
	found, err := audit.Workbook(context.Background(), audit.Options{In: again})
	require.NoError(t, err)
	assert.True(t, found.Clean(), "%+v", found)
}

// What cannot be written is refused, and nothing is.
func TestSettingsThatCannotBeWritten(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	for key, c := range map[string]struct {
		value float64
		says  string
	}{"default_kind": {1, "no number"}, "nonsense": {1, "no number"}, "weld_factor": {-1, "cannot be written"}} {
		s := setting()
		s.Of[0].Key, s.Of[0].Value = key, c.value
		out := filepath.Join(t.TempDir(), "none.xlsx")
		_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: base, Out: out, Set: s})
		assert.ErrorContains(t, err, c.says, key)
		assert.NoFileExists(t, out)
	}
	_, err := sheets.Price(context.Background(), sheets.PriceOptions{In: shop.Small(t, shop.Butt("J-1")), Out: filepath.Join(t.TempDir(), "x.xlsx"), Set: setting()})
	assert.ErrorContains(t, err, "never priced")
}
