package sheets_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest/shop"
)

// Whoever stands behind a context is told how far a run under it is, by its rows.
func TestRunsTellHowFarTheyAre(t *testing.T) {
	in := shop.Generated(t, 1200, 3, false)
	var done, total []int
	ctx := sheets.Telling(t.Context(), func(d, of int) { done, total = append(done, d), append(total, of) })
	run, err := sheets.Read(ctx, in, "")
	require.NoError(t, err)
	defer run.Close()
	require.GreaterOrEqual(t, len(done), 2)
	assert.Equal(t, []int{500, 1000}, done[:2])
	assert.GreaterOrEqual(t, total[0], 1200)
	assert.Equal(t, t.Context(), sheets.Telling(t.Context(), nil))
}
