package functions

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// As COUNTIF has it: ECMA-376 part 1, 18.17.7.57 (from memory).
func TestCriterion(t *testing.T) {
	number, text := &model.Quantity{}, &model.Quantity{Kind: formula.KindText}
	for criterion, c := range map[string]struct{ met, not []any }{
		"3":     {[]any{3.0}, []any{2.0, 3.1, math.NaN(), "3"}},
		"=3":    {[]any{3.0}, []any{4.0}},
		"<3":    {[]any{2.9, -1.0}, []any{3.0, math.NaN(), "2"}},
		"<=3":   {[]any{3.0, 2.0}, []any{3.1}},
		">3":    {[]any{3.1}, []any{3.0}},
		">=3":   {[]any{3.0, 4.0}, []any{2.9}},
		"<>3":   {[]any{2.0, 4.0}, []any{3.0, math.NaN()}},
		"car":   {[]any{"car", "CAR"}, []any{"cars", "", 1.0}},
		"?*":    {[]any{"x", "left out"}, []any{"", 1.0}},
		"le?t*": {[]any{"left out: no wall", "LEFT"}, []any{"let", "is left"}},
		"*out":  {[]any{"out", "left out"}, []any{"outside"}},
	} {
		met := func(x any) bool {
			q, f := number, &formula.Frame{Num: []float64{0}, Text: []string{""}}
			if s, is := x.(string); is {
				q, f.Text[0] = text, s
			} else {
				f.Num[0] = x.(float64)
			}
			return NewCriterion(criterion).Met(q, f)
		}
		for _, x := range c.met {
			assert.True(t, met(x), "%s: %v", criterion, x)
		}
		for _, x := range c.not {
			assert.False(t, met(x), "%s: %v", criterion, x)
		}
	}
}

// One, and a hundred times ten to the minus sixteen, is 1.00000000000001; added one after
// another as floats these stay 1.
func TestTallyKeepsSmallNumbers(t *testing.T) {
	for _, first := range []bool{true, false} {
		var sum Tally
		plain := 0.0
		add := func(x float64) { sum.Add(x); plain += x }
		if first {
			add(1)
		}
		for range 100 {
			add(1e-16)
		}
		if !first {
			add(1)
		}
		assert.Equal(t, 1.00000000000001, sum.Sum())
		if first {
			assert.Equal(t, 1.0, plain)
		}
	}
	var sum Tally
	for _, x := range []float64{1, 1e100, 1, -1e100} {
		sum.Add(x)
	}
	assert.Equal(t, 2.0, sum.Sum(), "the example that the sum was published with (Neumaier 1974, from memory)")
}
