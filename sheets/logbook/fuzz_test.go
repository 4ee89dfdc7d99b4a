package logbook

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzStateCells: whatever the log's record holds, people may have typed in it,
// it is taken apart without end or panic, and what the program has written is
// read as it was.
func FuzzStateCells(f *testing.F) {
	f.Add(`name "a; b"; travel 3 in/min`, "x")
	f.Add(`name "`, `"; y 2`)
	f.Add("3 rows; 0 left out; 1 typed over; digest 00", "\\")
	f.Add(" ; ; ", "\x00")
	f.Fuzz(func(t *testing.T, record, text string) {
		keys, cells := StateCells(record)
		require.LessOrEqual(t, len(cells), len(keys))
		_, _ = readListState(record)
		keys, cells = StateCells("name " + strconv.Quote(text) + "; travel 3 in/min; basis " + strconv.Quote(text))
		require.Equal(t, []string{"name", "travel", "basis"}, keys)
		require.Equal(t, map[string]string{"name": text, "travel": "3 in/min", "basis": text}, cells)
	})
}
