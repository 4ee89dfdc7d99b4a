package tell

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/audit"
)

func auditReport() *audit.Report {
	return &audit.Report{
		Input: "dir/quote.xlsx", Currency: "$", Cells: 12345, Rows: 65, Cost: 64689.79, Price: 92650, Verdict: sheets.Verdict{Complete: true},
		Faults: []audit.Fault{
			{
				Grade: audit.Wrong, Rule: "formula changed", Cell: "Joints!F7", More: 2, What: "the formula of Floor time is not the column's",
				Found: "=A7&\"\u009b31m\"", Expected: "=A7", Fix: "price again", Cost: 1234.5, Price: -10, With: 92640, Without: 92650,
			},
			{Grade: audit.WorthKnowing, Rule: "hidden row priced", Cell: "Joints!F9", What: "the row is hidden", Fix: "show it", Cost: math.NaN(), Price: math.NaN()},
		},
	}
}

func TestAudited(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, Voice{Out: &out}.Audited(auditReport()))
	assert.Equal(t, `quote.xlsx: 12,345 calculated cells of 65 joints worked out afresh
as it should be: cost 64,689.79, price 92,650.00 ($)
wrong: Joints!F7 and 2 more: formula changed: the formula of Floor time is not the column's
   there    =A7&" 31m"
   should   =A7
   effect   price 92,640.00, without it 92,650.00; cost +1,234.50 ($)
   to do    price again
worth knowing: Joints!F9: hidden row priced: the row is hidden
   to do    show it
COMPLETE
found: 1 wrong, 0 doubtful, 1 worth knowing
`, out.String())
}

// An order that is not complete is not shown as if its price could be quoted.
func TestAuditedIncomplete(t *testing.T) {
	r := auditReport()
	r.Faults, r.Verdict = nil, oddOrder().Verdict
	var out bytes.Buffer
	require.NoError(t, Voice{Out: &out}.Audited(r))
	assert.Contains(t, out.String(), "\nINCOMPLETE: 1 reason\n  Coupe!F14 and 1 more: ")
	assert.True(t, strings.HasSuffix(out.String(), "\nnothing found\n"))
}

// An effect that cannot be told is null.
func TestAuditedJSON(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, Voice{Out: &out, JSON: true}.Audited(auditReport()))
	var got struct {
		Faults []struct {
			Effect map[string]*float64
		}
		Clean, Complete bool
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &got))
	require.Len(t, got.Faults, 2)
	assert.Equal(t, 1234.5, *got.Faults[0].Effect["order_cost"])
	assert.Nil(t, got.Faults[1].Effect["order_cost"])
	assert.False(t, got.Clean)
	assert.True(t, got.Complete)
}
