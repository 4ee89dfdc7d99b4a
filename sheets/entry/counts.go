package entry

import (
	"strconv"
	"strings"
	"unicode"
)

// countWord reads a word of a number: "two", "zwölf". One that is questioned is none.
func (m *Measures) countWord(word string) (digits string, ok bool) {
	if m.counts == nil || word == "" {
		return "", false
	}
	digits, ok = m.counts.canonical[spelling(word)]
	return digits, ok
}

// inDigits is text with digits for the word of a number that it begins with: "two off" is
// "2 off".
func (m *Measures) inDigits(text string) string {
	end := strings.IndexFunc(text, func(r rune) bool { return !unicode.IsLetter(r) })
	if end < 0 {
		end = len(text)
	}
	if digits, ok := m.countWord(text[:end]); ok {
		return digits + text[end:]
	}
	return text
}

// mayCount reports whether a text has a number in it, in digits or as a word.
func (m *Measures) mayCount(raw string) bool {
	if strings.ContainsAny(raw, "0123456789") {
		return true
	}
	for word := range strings.FieldsFuncSeq(raw, func(r rune) bool { return !unicode.IsLetter(r) }) {
		if _, ok := m.countWord(word); ok {
			return true
		}
	}
	return false
}

// WholeNumber reads a text that is nothing but a whole number, in digits or as a word.
func (m *Measures) WholeNumber(text string) (n int, ok bool) {
	n, err := strconv.Atoi(m.inDigits(strings.TrimSpace(text)))
	return n, err == nil && n >= 0
}
