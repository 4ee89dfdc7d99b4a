package sayings_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/sayings"
	"seamtally/templates"
)

func reader(t testing.TB) *sayings.Reader {
	t.Helper()
	b, err := book.Open("../../testdata/order.xlsx", "")
	require.NoError(t, err)
	t.Cleanup(func() { b.Close() })
	b.Model, err = compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	b.Values = compute.Defaults(b.Model)
	return &sayings.Reader{Book: b}
}

// How many pieces words beside a joint speak of; in its mark only opposite places count.
func TestPieces(t *testing.T) {
	r := reader(t)
	for text, want := range map[string][]float64{
		"L/R": {2}, "both banks": {2}, "4 primaries": {4}, "cylinders 1-4": {4}, "2 sets": {2}, "left & right": {2}, "all six primaries": {6}, "tail pipes (2)": {2},
		"": nil, "both sides clean": nil, "check fit & gap": nil, "see D-101": nil, "3 in x 0.047": nil, "weld inside and out": nil, "drawing (2)": nil,
	} {
		assert.ElementsMatch(t, want, r.Pieces(text, false), text)
	}
	assert.Equal(t, []float64{2}, r.Pieces("A-01 L/R", true))
	assert.Empty(t, r.Pieces("A-01 4 primaries", true))
}

// What words around joints, and at the cars ordered, say against them.
func TestWordsAround(t *testing.T) {
	r := reader(t)
	for text, want := range map[string]bool{"RH as LH": true, "right bank identical": true, "": false, "invented demo": false} {
		assert.Equal(t, want, r.OneSide(text), text)
	}
	for text, want := range map[string]bool{"sizes are ID": true, "sizes in inches": false, "": false} {
		assert.Equal(t, want, r.Inside(text), text)
	}
	for text, want := range map[string]bool{"now 10": true, "on hold": true, "8 cars": false, "red": false, "": false,
		"in dozens": true, "per month": true, "sets of 2": true, "wöchentlich": true, "2 without muffler": true, "3 LHD, 5 RHD": true, "2 in red": false, "first 2 in March": false, "pcs": false, "sets": false, "kit car": false} {
		assert.Equal(t, want, r.OtherCars(text, 8), text)
	}
}

// Numbers that words around joints give of what a car has, and of nothing else.
func TestNumbers(t *testing.T) {
	r := reader(t)
	for text, want := range map[string][]float64{
		"2 sets": {2}, "build four for the shelf": {4}, "2-off cars": {2}, "add 2 test coupons": {2}, "make 3": {3},
		"needs 2 people": nil, "measured 2 times": nil, "": nil,
	} {
		assert.ElementsMatch(t, want, r.Numbers(text), text)
	}
}

// Words around the cars say so of their numbers, and a sentence of all of them.
func TestNotByOnes(t *testing.T) {
	r := reader(t)
	for text, want := range map[string]bool{
		"Order, cars per month": true, "all figures on this page are in dozens": true, "": false, "Bid per car": false,
		"we will send you a report of the work each week until it is done": false,
	} {
		assert.Equal(t, want, r.NotByOnes(sayings.Words(text)), text)
	}
}

// Whatever is typed around joints is read without an end to the run.
func FuzzSayings(f *testing.F) {
	r := reader(f)
	for _, text := range []string{"", " ", "L/R", "+", "x", "1-", "W1/2/3", "both", "2x left, 2x right", "(;)", "now 10", "plus 4 more", "½ of 3\"", "\x00\xff"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		words := sayings.Words(text)
		for _, mark := range []bool{false, true} {
			for _, n := range r.Pieces(text, mark) {
				assert.GreaterOrEqual(t, n, 2.0)
			}
		}
		r.Numbers(text)
		r.OneSide(text)
		r.Inside(text)
		r.NotOurs(text)
		r.Refers(words)
		r.OtherCars(text, 8)
		s := r.Of(nil)
		s.Otherwise(text)
		s.MarksIn(text)
	})
}
