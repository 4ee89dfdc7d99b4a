package tell

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/compare"
)

// An invented comparison. The figures show every width; they are not worked out.
func moved() *compare.Report {
	return &compare.Report{
		Old: "in/old.xlsx", New: "in/new.xlsx", Currency: "$", Money: true,
		Total: compare.Total{Key: "order_price", Heading: "Price of the order", Unit: "$", Old: 1000, New: 1233.3}, Gap: 233.3,
		Others: []compare.Total{
			{Key: "order_price", Heading: "Price of the order", Unit: "$", Old: 1000, New: 1233.3},
			{Key: "order_argon", Heading: "Argon", Unit: "ft³", Old: 80, New: 75.25},
		},
		Changes: []compare.Change{
			{Kind: compare.ChangedAssumption, Name: "Shop rate", Items: []compare.Item{{Old: "95 $/h", New: "120 $/h"}}, Share: 300, Running: 1300},
			{Kind: compare.ChangedJoint, Name: "Demo\ncar J-4", Items: []compare.Item{
				{Name: "wall", Old: "0.049 in", New: "0.065 in"},
				{Name: "shielding set-up", Old: "cup, stop and start", New: "trailing shield, by hand"},
			}, Share: -66.7, Running: 1233.3},
		},
		NoEffect: []compare.Change{{Kind: compare.ChangedJoint, Name: "Demo car J-9", Items: []compare.Item{{New: "added"}}}},
	}
}

func TestBridge(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Bridge(&b, moved()))
	assert.Equal(t, strings.TrimLeft(`
The order                   Old       New   Change
Price of the order, $  1,000.00  1,233.30  +233.30
Argon, ft³                 80.0      75.2     -4.8

What moved it: price of the order                                     Share, $  Comes to, $
old.xlsx                                                                           1,000.00
Shop rate: 95 $/h -> 120 $/h                                           +300.00     1,300.00
Demo car J-4: wall 0.049 in -> 0.065 in,                                -66.70     1,233.30
    shielding set-up cup, stop and start -> trailing shield, by hand
new.xlsx                                                               +233.30     1,233.30
no effect: Demo car J-9: added
`, "\n"), b.String())
	for line := range strings.SplitSeq(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 100)
	}
}

// Two that say the same are told in a line; to programs, with an empty list.
func TestBridgeOfTheSame(t *testing.T) {
	r := moved()
	r.Changes, r.NoEffect, r.Total.New, r.Gap = nil, nil, 1000, 0
	var b bytes.Buffer
	require.NoError(t, Bridge(&b, r))
	assert.Equal(t, "nothing has changed from old.xlsx to new.xlsx: price of the order, $ 1,000.00\n", b.String())
	b.Reset()
	require.NoError(t, Voice{Out: &b, Err: &bytes.Buffer{}, JSON: true}.Compared(r))
	assert.Contains(t, b.String(), `"changes": []`)
	assert.Contains(t, b.String(), `"no_effect": []`)
	assert.Contains(t, b.String(), `"gap": 0,`)
}

// What cannot be trusted to the full is said, each in a line.
func TestComparedSaysWhatIsLacking(t *testing.T) {
	r := moved()
	r.Orders, r.Fell, r.Output = 800, 2, "bridge.xlsx"
	r.Changes[0].Error = 1.234
	r.LeftOut, r.Incomplete = [2]int{3, 0}, [2]bool{true, true}
	r.Models = [2]string{"aa", "bb"}
	var out, talk bytes.Buffer
	require.NoError(t, Voice{Out: &out, Err: &talk}.Compared(r))
	assert.Equal(t, `old.xlsx: 3 rows left out, and not compared; see: seamtally check old.xlsx
new.xlsx: warning: its price is not complete (as where a price is missing); see: seamtally check new.xlsx
old.xlsx and new.xlsx: note: they were worked out by different versions of the program (formulas aa and bb); here both are by this one
note: 2 joints cannot be worked out with some of the changes made and others not; there it counts as left out
note: the shares are means over 800 orders of making the changes, drawn by chance; the standard error of a share is at most 1.23 $
wrote bridge.xlsx
`, talk.String())

	r.Changes[0].Error = 0.004
	talk.Reset()
	require.NoError(t, Voice{Out: &out, Err: &talk}.Compared(r))
	assert.Contains(t, talk.String(), "the standard error of a share is under 0.01 $\n", "and not 0.00")
}

// A share of a whole is shown in per cent, and told as it is to programs.
func TestComparedMargin(t *testing.T) {
	r := moved()
	r.Money, r.Total = false, compare.Total{Key: "order_margin", Heading: "Margin made", Unit: "%", Old: 0.3, New: 0.325}
	r.Changes = []compare.Change{{Name: "Margin", Share: 0.025, Running: 0.325}}
	var b bytes.Buffer
	require.NoError(t, Bridge(&b, r))
	assert.Contains(t, b.String(), "Share, %")
	assert.Contains(t, b.String(), "+2.500")
	b.Reset()
	require.NoError(t, compareJSON(&b, r))
	assert.Contains(t, b.String(), `"share": 0.025`)
	assert.Contains(t, b.String(), `"unit": "1"`)
}

// The comparison that guide.md shows is what the two demo orders come to.
func TestReadmeShowsTheComparison(t *testing.T) {
	root := filepath.Join("..", "..")
	text, err := os.ReadFile(filepath.Join(root, "templates", "guide.md"))
	require.NoError(t, err)
	r, err := compare.Orders(t.Context(), compare.Options{
		Old: filepath.Join(root, "testdata", "order.xlsx"), New: filepath.Join(root, "testdata", "order-2.xlsx"),
	})
	require.NoError(t, err)
	var table bytes.Buffer
	require.NoError(t, Bridge(&table, r))
	if !strings.Contains(string(text), "<!-- compare -->\n```\n"+table.String()+"```\n") {
		t.Errorf("guide.md shows another comparison; put there what this prints: go run . compare testdata/order.xlsx testdata/order-2.xlsx\n%s", &table)
	}
}
