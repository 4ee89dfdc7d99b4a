package tell

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/offer"
)

// What the estimator has to look at before an offer goes out is said, each with
// its place, and none of it goes to standard output.
func TestOfferedSaysWhatToLookAt(t *testing.T) {
	r := &offer.Report{
		Input: "books/order.xlsx", Output: "offer.xlsx", Currency: "€", Draft: true, Priced: true, LeftOut: 2, Total: 1000,
		Verdict: sheets.Verdict{Reasons: []sheets.Reason{{What: "Rows without a price of tube or rod", Count: 1, Cell: "Joints!D8", Fix: "type it"}}},
		Cars: []offer.Car{
			{OfferedCar: compute.OfferedCar{Each: 500, All: 1000, Bid: true, Worked: 900}, Car: "One", Ordered: 2, Cost: 654.32, Rows: 3},
			{Car: "Two\x1b[2J", Ordered: 1, Rows: 1},
			{OfferedCar: compute.OfferedCar{Each: 80, All: 80, Worked: 80}, Car: "Three", Ordered: 1},
		},
		Told:     []offer.Told{{Number: "1,654.32", Figure: "Cost of One", Cell: "Assumptions!C20"}},
		Findings: []book.Finding{{Level: book.LevelWarning}, {Level: book.LevelNote}},
		Blank:    []offer.Field{{Label: "Validity"}, {Label: "Terms"}},
	}
	var out, talk bytes.Buffer
	require.NoError(t, Voice{Out: &out, Err: &talk}.Offered(r))
	for _, line := range []string{
		"INCOMPLETE: 1 reason",
		"  Joints!D8: rows without a price of tube or rod: 1; type it",
		"order.xlsx: note: One is offered at its bid, 500.00, and not at the price worked out, 900.00",
		"order.xlsx: warning: One is offered under its cost",
		"order.xlsx: warning: there is no price of Two [2J; the draft has none",
		"order.xlsx: warning: Three has no joint; its price is of other work only",
		"order.xlsx:Assumptions!C20: warning: the customer will read 1,654.32, which is: cost of One; reword the cell, price again, and offer again",
		"order.xlsx: note: pricing it gives 1 warning; see: seamtally check order.xlsx",
		"order.xlsx: note: blank on the assumptions sheet, and so not on the offer: validity, terms",
	} {
		assert.Contains(t, talk.String(), line+"\n")
	}
	assert.NotContains(t, out.String(), "654.32")
	assert.NotContains(t, out.String(), "\x1b")
	assert.Regexp(t, `(?m)^Two \[2J +1 +- +-$`, out.String())
	assert.Regexp(t, `(?m)^One +2 +500\.00 +1,000\.00$`, out.String())
}
