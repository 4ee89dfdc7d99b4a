package tell

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/traveller"
)

// What is to be looked at before travellers go to the bench is said, each with its
// place.
func TestTravelledSaysWhatToLookAt(t *testing.T) {
	r := &traveller.Report{
		Input: "books/order.xlsx", Output: "traveller.xlsx", Encrypted: true,
		Verdict:  sheets.Verdict{Reasons: []sheets.Reason{{What: "Rows without a price of tube or rod", Count: 1, Cell: "Joints!D8", Fix: "type it"}}},
		Cars:     []traveller.Car{{Name: "One", Ordered: 8, First: 3, Last: 5, Pieces: 1200, Welds: 4000}},
		Bare:     []string{"Two", "Three"},
		NoReason: []traveller.Place{{Joint: "One J-1", Cell: "Joints!J3"}},
		Hidden:   []traveller.Place{{Joint: "One J-2", Cell: "Joints!C4", What: "purge 12 min"}},
	}
	var out, talk bytes.Buffer
	require.NoError(t, Voice{Out: &out, Err: &talk}.Travelled(r))
	for _, line := range []string{
		"INCOMPLETE: 1 reason",
		"  Joints!D8: rows without a price of tube or rod: 1; type it",
		"order.xlsx: warning: it has no sheet of assumptions, so set-ups and colour limits are as shipped and not the shop's; price it, set them, and write the travellers of that workbook",
		"order.xlsx:Joints!J3: warning: One J-1 may be blue, and no reason is typed; type why in a note on its row, with the word blue, or on the page",
		`order.xlsx:Joints!C4: warning: "purge 12 min" of One J-2 is left out: a bench would read a setting in it; reword the cell, price again, and write the travellers again`,
		"order.xlsx: note: no traveller for Two, Three: no joint, or none ordered of those asked for",
		"order.xlsx: note: the travellers are not encrypted; the password of the workbook is not for the bench",
		"wrote traveller.xlsx",
	} {
		assert.Contains(t, talk.String(), line+"\n")
	}
	assert.Regexp(t, `(?m)^One +3 +1,200 +4,000$`, out.String())
	assert.Regexp(t, `(?m)^Sheets +3 *$`, out.String())
}

// Many of a kind are not told one by one.
func TestTravelledCounts(t *testing.T) {
	r := &traveller.Report{Input: "order.xlsx", NoReason: make([]traveller.Place, 13), Hidden: make([]traveller.Place, 11)}
	var out, talk bytes.Buffer
	require.NoError(t, Voice{Out: &out, Err: &talk}.Travelled(r))
	assert.Equal(t, 10, strings.Count(talk.String(), "no reason is typed; type why"))
	assert.Contains(t, talk.String(), "order.xlsx: warning: more joints that may be blue, and no reason is typed: 3\n")
	assert.Contains(t, talk.String(), "order.xlsx: warning: more places whose words are left out: 1\n")
}

func TestNumbers(t *testing.T) {
	for text, want := range map[string][2]int{"": {0, 0}, "3": {3, 3}, "3-5": {3, 5}, " 3 - 12 ": {3, 12}} {
		from, to, err := Numbers(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, [2]int{from, to}, text)
	}
	for _, text := range []string{"0", "5-3", "-3", "3-", "x", "1,2", "1-2-3"} {
		_, _, err := Numbers(text)
		assert.ErrorContains(t, err, "write which cars of the run, as 3 or 3-5", text)
	}
}
