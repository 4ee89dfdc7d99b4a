package tell

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/backlog"
	"seamtally/sheets"
	"seamtally/sheets/load"
)

// What a load found goes to standard output, what to see to goes to standard error,
// and no text of a workbook reaches the terminal with its control characters.
func TestLoadedSaysWhatToSeeTo(t *testing.T) {
	week := backlog.Week{ISO: "2026-W49", Monday: "2026-11-30", Stages: []float64{1, 20, 30.25, 0}, Weighted: 51.25, Firm: 40, If: 62.5, P50: 60, P80: 70, Capacity: 50, Days: 5}
	r := &load.Report{
		Output: "load.xlsx", Load: backlog.Load{DayHours: 10, Trials: 1000, Weeks: []backlog.Week{week}, Total: week},
		Files: []*load.File{
			{Path: "a.xlsx", Digest: strings.Repeat("ab", 32), Revision: "B\u009b", Order: backlog.Order{Name: "a\x1b[2J.xlsx", Placed: true, Chance: 1, Hours: 40, DayHours: 10}, Start: "2026-11-30", Last: "2026-12-04", Formulas: "x", Verdict: sheets.Verdict{Complete: true}},
			{Path: "b.xlsx", Digest: strings.Repeat("cd", 32), Order: backlog.Order{Name: "b.xlsx", Chance: 0.5, Hours: 22.5, DayHours: 8}, Formulas: "x", LeftRows: 2, Unplaced: "no day; type one"},
		},
		LeftOut: []load.Left{{Path: "c.xlsx", Why: "it is encrypted; give its password"}},
		Differ:  []load.Differ{{Key: "clean_fit", What: "Clean and fit up", Each: []load.Said{{Value: "5 min", Files: []string{"a.xlsx"}}, {Value: "7 min\x1b", Files: []string{"b.xlsx"}}}}},
		Twins:   []string{"a.xlsx and b.xlsx may be one order"},
	}
	var out, talk bytes.Buffer
	require.NoError(t, Voice{Out: &out, Err: &talk}.Loaded(r))
	for _, line := range []string{
		"More hours are to be expected than the floor has in 2026-W49.",
		"2026-W49  2026-11-30  1.0   20.0  30.2    0.0  51.2    62.5  60.0  70.0   50.0  over",
	} {
		assert.Contains(t, out.String(), line+"\n")
	}
	assert.Regexp(t, `(?m)^b\.xlsx +INCOMPLETE +50 % +22\.5 +(cd){8}$`, out.String())
	for _, line := range []string{
		"c.xlsx: left out: it is encrypted; give its password",
		"b.xlsx: its hours are in no week: no day; type one",
		"b.xlsx: it is INCOMPLETE, and lacks the hours of 2 rows; see: seamtally check b.xlsx",
		"note: the floor is taken to have 10 h in a working day, the most that a quote counts on; --day-hours sets another",
		"a.xlsx and b.xlsx may be one order", "wrote load.xlsx",
	} {
		assert.Contains(t, talk.String(), line+"\n")
	}
	assert.NotContains(t, out.String()+talk.String(), "\x1b")
	assert.NotContains(t, out.String(), "\u009b")

	out.Reset()
	require.NoError(t, Voice{Out: &out, Err: &talk, JSON: true}.Loaded(r))
	var o struct {
		Version int
		Whole   bool
		Weeks   []map[string]any
		Files   []map[string]any
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &o))
	assert.Equal(t, 1, o.Version)
	assert.False(t, o.Whole)
	assert.Equal(t, 30.25, o.Weeks[0]["weld"])
	assert.Equal(t, true, o.Weeks[0]["over"])
	assert.Equal(t, strings.Repeat("cd", 32), o.Files[1]["sha256"])
	assert.Equal(t, "no day; type one", o.Files[1]["why_not"])
}
