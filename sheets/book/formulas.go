package book

import (
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
