package book

import (
	"math"
	"regexp"
	"strings"
)

// SameFormula compares formulas as a spreadsheet reads them.
func SameFormula(a, b string) bool { return a == b || TidyFormula(a) == TidyFormula(b) }

// quotedSheet is the name of a sheet in quotes that it could do without.
var quotedSheet = regexp.MustCompile(`'([A-Za-z_][A-Za-z0-9_.]*)'!`)

// TidyFormula is a formula without blanks, in upper case, but for its texts,
// and without needless quotes: programs differ in these.
func TidyFormula(s string) string {
	var b strings.Builder
	s = quotedSheet.ReplaceAllString(s, "$1!")
	inText := false
	for _, r := range s {
		if r == '"' {
			inText = !inText
		}
		switch {
		case inText:
			b.WriteRune(r)
		case r != ' ' && r != '\n' && r != '\t':
			b.WriteString(strings.ToUpper(string(r)))
		}
	}
	return strings.TrimPrefix(b.String(), "=")
}

// Near compares a stored number with one worked out, to nine places: programs
// differ in the last ones. Dust that amounts leave which cancel is none: some
// spreadsheets take it away, some do not, and each has dust of its own.
func Near(a, b float64) bool {
	return math.Abs(a-b) <= storedNear*max(1, math.Abs(a), math.Abs(b))
}

// storedNear is how far, of itself or of 1, a stored value may be from the
// worked-out one: another spreadsheet adds up in another order.
const storedNear = 1e-9
