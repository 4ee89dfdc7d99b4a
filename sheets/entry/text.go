package entry

import (
	"strings"
	"unicode"
)

// SameWords reports whether two texts say the same, but for case and blanks.
func SameWords(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// WordsIn are the words and numbers of a text, in small letters.
func WordsIn(text string) []string {
	return strings.FieldsFunc(strings.ToLower(strings.ReplaceAll(text, "×", "x")), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '.'
	})
}
