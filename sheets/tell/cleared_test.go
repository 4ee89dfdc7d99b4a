package tell

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
)

func TestCleared(t *testing.T) {
	for want, c := range map[string]struct {
		voice Voice
		r     sheets.ClearReport
	}{
		"b.xlsx: 2 sheets (Assumptions, Summary) and 84 columns taken out\nwrote c.xlsx\n": {
			Voice{}, sheets.ClearReport{Input: "in/b.xlsx", Output: "c.xlsx", Sheets: []string{"Summary", "Assumptions"}, Columns: 84},
		},
		"b.xlsx: 0 sheets and 1 column taken out\ndry run: nothing written; it would be c.xlsx\n": {
			Voice{DryRun: true}, sheets.ClearReport{Input: "b.xlsx", Output: "c.xlsx", Columns: 1},
		},
	} {
		var e bytes.Buffer
		c.voice.Err = &e
		require.NoError(t, c.voice.Cleared(&c.r))
		assert.Equal(t, want, e.String())
	}
}
