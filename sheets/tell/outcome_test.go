package tell

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/floor"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/outcome"
)

// Parts stand side by side and add up; what is not known is a dash, and no key.
func TestOutcomeIsTold(t *testing.T) {
	none := math.NaN()
	r := &outcome.Report{
		Quote: "order.xlsx", Currency: "$", GasUnit: "ft³", Counted: 1, Verdict: sheets.Verdict{Complete: true},
		Cars: []floor.Done{
			{Name: "One", Number: 3, Quoted: 30, Stages: [3]float64{0.5, -1, 2}, Else: 1.5, Logged: 33, Price: 6000, EarnedQuoted: 150, Earned: 136.3636},
			{Name: "Two", Quoted: 20, Stages: [3]float64{1, none, none}, Else: none, Logged: none, Price: 4000, EarnedQuoted: 140, Earned: none},
		},
		Sum:      floor.Done{Quoted: 30, Stages: [3]float64{0.5, -1, 2}, Else: 1.5, Logged: 33, Price: 6000, EarnedQuoted: 150, Earned: 136.3636},
		Gas:      floor.Amount{Quoted: 500, Logged: 540, Cars: 2},
		Findings: []book.Finding{{Cell: "floor.xlsx:Time sheet!E9", Level: book.LevelWarning, What: "saw is text", Fix: "write minutes"}},
	}
	var out, talk bytes.Buffer
	require.NoError(t, Voice{Out: &out, Err: &talk}.Outcome(r))
	for _, line := range []string{
		`(?m)^Hours +Quoted +Saw +Bench +Weld +All else +Logged$`,
		`(?m)^One 3 +30\.0 +\+0\.5 +-1\.0 +\+2\.0 +\+1\.5 +33\.0$`,
		`(?m)^Two +20\.0 +\+1\.0 +- +- +- +-$`,
		`(?m)^In all, 1 car +30\.0 `,
		`(?m)^Argon, ft³ +2 +500 +540$`,
		`(?m)^One 3 +6,000\.00 +150\.00 +136\.36$`,
	} {
		assert.Regexp(t, line, out.String())
	}
	assert.NotContains(t, out.String(), "Rods")
	assert.Equal(t, "floor.xlsx:Time sheet!E9: warning: saw is text; write minutes\n", talk.String())

	out.Reset()
	require.NoError(t, Voice{Out: &out, Err: &talk, JSON: true}.Outcome(r))
	var said map[string]any
	require.NoError(t, json.Unmarshal(out.Bytes(), &said))
	cars := said["cars"].([]any)
	assert.Equal(t, map[string]any{"car": "Two", "number": 0.0, "quoted_h": 20.0, "over_saw_h": 1.0, "price": 4000.0, "earned_quoted": 140.0}, cars[1])
	assert.Equal(t, 540.0, said["argon"].(map[string]any)["logged"])
}
