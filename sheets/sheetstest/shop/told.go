package shop

import (
	"encoding/xml"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// numberToken is a number as people, and files, write it.
var numberToken = regexp.MustCompile(`\d+(?:,\d{3})*(?:\.\d+)?(?:[eE][-+]?\d+)?`)

// Everything is all that is in a package, names of parts and characters without
// their entities too, and the numbers in it.
func Everything(t testing.TB, path string) (all string, numbers map[string]bool) {
	t.Helper()
	var b strings.Builder
	for part, text := range Parts(t, path) {
		b.WriteString(part + "\n" + text + "\n")
		b.WriteString(CharactersOf(t, text) + "\n")
	}
	return b.String(), NumbersIn(b.String())
}

// NumbersIn are the numbers in a text, as they are written.
func NumbersIn(text string) map[string]bool {
	numbers := map[string]bool{}
	for _, n := range numberToken.FindAllString(text, -1) {
		numbers[n] = true
	}
	return numbers
}

// Spelled are the ways in which a figure may be written, those of fewer than
// four digits left out.
func Spelled(x float64) []string {
	var out []string
	if x < 0 {
		x = -x
	}
	for _, places := range []int{0, 1, 2, -1} {
		s := strconv.FormatFloat(x, 'f', places, 64)
		if len(strings.ReplaceAll(s, ".", "")) < 4 || x == 0 {
			continue
		}
		whole, rest, _ := strings.Cut(s, ".")
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + "," + whole[i:]
		}
		if out = append(out, s); rest != "" {
			whole += "." + rest
		}
		out = append(out, whole)
	}
	return out
}

// CharactersOf are the characters of a part with its entities read.
func CharactersOf(t testing.TB, text string) string {
	t.Helper()
	var out strings.Builder
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out.String()
		}
		require.NoError(t, err)
		if s, ok := tok.(xml.CharData); ok {
			out.WriteString(string(s) + " ")
		}
	}
}
