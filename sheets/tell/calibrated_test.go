package tell

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/logged"
	"seamtally/sheets/book"
	"seamtally/sheets/calibrate"
)

// calibrated is an invented report.
func calibrated() *calibrate.Report {
	ratio := func(value float64, n int) logged.Ratio {
		return logged.Ratio{Value: value, Low: value - 0.05, High: value + 0.05, Count: n, Estimate: 600, Logged: 600 * value, OneCar: 0.1}
	}
	return &calibrate.Report{
		Sheets: []string{"floor.xlsx"}, Cars: 8, Expected: 0.04, OneCar: 0.09, Date: "2026-01-15",
		Factors: []calibrate.Factor{
			{Name: "weld_factor", Stands: 1, Ratio: ratio(1.2, 8), Verdict: logged.Write},
			{Name: "gas_factor", Stands: 1, Ratio: ratio(1.02, 8), Verdict: logged.Keep},
			{Name: "filler_yield", Stands: 0.85, Ratio: ratio(0.7, 3), Verdict: logged.TooFew},
		},
		Lines:    []calibrate.Line{{Cell: "floor.xlsx:Time!A5", File: "floor.xlsx", Sheet: "Time", Car: "Demo", Stage: "weld", Number: 1, Estimate: 100, Logged: 120, Weight: 1}},
		Far:      []calibrate.Far{{Cell: "floor.xlsx:Time!A6", Car: "Demo\x1b[2J", Weight: 0.1, Why: "bench took 3 times as long as the other cars and the usual range say"}},
		Kinds:    []calibrate.Kind{{Kind: "butt", Rows: 4, Estimate: 60, Logged: 90}},
		Findings: []book.Finding{{Cell: "floor.xlsx:Time!A7", Level: book.LevelWarning, What: "it is not counted", Fix: "log it"}, {Cell: "x", Level: book.LevelNote, What: "y"}},
	}
}

// What calibrate prints is held against its schema by another's validator, which
// refuses what it does not say.
func TestCalibrateJSONIsAsItsSchemaSays(t *testing.T) {
	asWritten, closed := schemasOf(t, "calibrate.schema.json")
	read := func(r *calibrate.Report) map[string]any {
		var b bytes.Buffer
		require.NoError(t, calibrateJSON(&b, r))
		out, err := jsonschema.UnmarshalJSON(&b)
		require.NoError(t, err)
		return out.(map[string]any)
	}
	for _, r := range []*calibrate.Report{calibrated(), {}} {
		require.NoError(t, asWritten.Validate(read(r)))
		require.NoError(t, closed.Validate(read(r)))
	}
	o := read(calibrated())
	first := o["factors"].([]any)[0].(map[string]any)
	assert.Equal(t, json.Number("1.2"), first["value"])
	assert.Equal(t, json.Number("8"), first["n"])
	assert.Equal(t, "write", first["verdict"])
	assert.Equal(t, json.Number("0.04"), o["expected_error"])
	assert.Equal(t, "floor.xlsx", o["lines"].([]any)[0].(map[string]any)["file"])
	for what, change := range map[string]func(o, factor map[string]any){
		"another version":  func(o, _ map[string]any) { o["version"] = json.Number("2") },
		"no verdict":       func(_, f map[string]any) { delete(f, "verdict") },
		"another verdict":  func(_, f map[string]any) { f["verdict"] = "perhaps" },
		"no range":         func(_, f map[string]any) { delete(f, "low") },
		"a value in words": func(_, f map[string]any) { f["value"] = "1.2" },
	} {
		o := read(calibrated())
		change(o, o["factors"].([]any)[0].(map[string]any))
		assert.Error(t, asWritten.Validate(o), what)
	}
}

// The table has a line for each factor, what is still expected to be off, and the
// cars that counted less; talk goes to standard error, and nothing that a terminal
// would obey to either.
func TestCalibratedIsTold(t *testing.T) {
	var out, err bytes.Buffer
	require.NoError(t, Voice{Out: &out, Err: &err}.Calibrated(calibrated()))
	for _, want := range []string{
		"weld_factor      8         10.0 h         12.0 h      100.0           120.0      115.0  125.0          10    write", "too few", "keep",
		"still expected to be off by 4 % in the mean of many cars, and by 9 % for one car",
		"floor.xlsx:Time!A6: Demo", "counts 10 %: bench took 3 times", "butt: 4 rows, 1.5 h logged over 1.0 h: 150 %",
	} {
		assert.Contains(t, out.String(), want)
	}
	assert.Equal(t, "floor.xlsx:Time!A7: warning: it is not counted; log it\nx: note: y\n", err.String())
	assert.NotContains(t, out.String(), "\x1b")
	err.Reset()
	require.NoError(t, Voice{Out: &out, Err: &err}.NotCalibrated(calibrated()))
	assert.Equal(t, "floor.xlsx:Time!A7: warning: it is not counted; log it\nx: note: y\n", err.String())
}
