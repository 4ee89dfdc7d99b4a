package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A sum comes apart at its signs, also within brackets; a product is one thing.
func TestTerms(t *testing.T) {
	for text, want := range map[string][]string{
		"1+2*3-4":         {"1", "2*3", "-4"},
		"1-(2-3)":         {"1", "-2", "3"},
		"2*(3+4)":         {"2*(3+4)"},
		"(5)":             {"5"},
		"MAX(1,2)-(3)":    {"MAX(1,2)", "-3"},
		"1-(2+3*(4-5))+6": {"1", "-2", "-3*(4-5)", "6"},
	} {
		src := Source{Text: text}
		n, err := Parse(src)
		require.NoError(t, err)
		f, err := Check(n, src, Type{Kind: KindNumber}, nil)
		require.NoError(t, err, text)
		var got []string
		for _, term := range f.Terms() {
			s := Format(term.Node)
			if term.Minus {
				s = "-" + s
			}
			got = append(got, s)
		}
		assert.Equal(t, want, got, text)
	}
}
