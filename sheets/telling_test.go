package sheets_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/bid"
	"seamtally/sheets/progress"
	"seamtally/sheets/sheetstest/shop"
)

// Whoever stands behind a context is told what a run under it is at, and how many of
// its rows are done.
func TestRunsTellWhatTheyAreAt(t *testing.T) {
	var told []string
	sizes := 0
	ctx := progress.With(t.Context(), func(what string, done, total int) {
		if total > 0 {
			assert.LessOrEqual(t, done, total)
			what = fmt.Sprint(what, " ", done)
		}
		if strings.HasPrefix(what, "sizes of the cutting plan ") { // there are as many as chance has made
			sizes++
		} else {
			told = append(told, what)
		}
	})
	in, out := shop.Generated(t, 1200, 3, false), filepath.Join(t.TempDir(), "priced.xlsx")
	_, err := sheets.Price(ctx, sheets.PriceOptions{In: in, Out: out, With: bid.Sheets()})
	require.NoError(t, err)
	for i, want := range []string{"reading the workbook", "rows 500", "rows 1000", "adding up the order",
		"laying out Set-ups", "laying out Breaks", "laying out Buying", "laying out Range", "trials of Range 0"} {
		require.Greater(t, len(told), i, "%q", told)
		assert.Equal(t, want, told[i])
	}
	assert.Positive(t, sizes)
	assert.Equal(t, []string{"trials of Range 9000", "laying out Schedule", "our own sheets"}, told[len(told)-3:])

	told = nil
	_, err = sheets.Clear(ctx, sheets.ClearOptions{In: out, Out: filepath.Join(t.TempDir(), "cleared.xlsx")})
	require.NoError(t, err)
	assert.NotEmpty(t, told)
	assert.Contains(t, told[0], "sheets ")
	assert.Equal(t, t.Context(), progress.With(t.Context(), nil))
}
