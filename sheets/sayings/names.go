package sayings

import (
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamtally/sheets/entry"
)

// SeveralNames are the names in a text that are set apart as those of several cars are,
// one if they are not.
func SeveralNames(text string) (parts []string) {
	for _, p := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(betweenNames, r) }) {
		for _, p := range strings.Split(p, andNames) {
			if p = strings.TrimSpace(p); p != "" {
				parts = append(parts, p)
			}
		}
	}
	return parts
}

const betweenNames, andNames = ",;&+/\n", " and "

// MayBeSeveral reports whether a text has anything in it that sets names apart.
func MayBeSeveral(text string) bool {
	return strings.ContainsAny(text, betweenNames) || strings.Contains(text, andNames)
}

// SameName reports whether two names may be spellings of one: they differ in case,
// spaces and signs only, or in a letter of one longer word.
func SameName(a, b string) bool {
	bare := func(s string) string {
		return strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) || unicode.IsDigit(r) {
				return unicode.ToLower(r)
			}
			return -1
		}, s)
	}
	if bare(a) == bare(b) {
		return true
	}
	x, y := entry.WordsIn(a), entry.WordsIn(b)
	if len(x) != len(y) {
		return false
	}
	slips := 0
	for i := range x {
		if x[i] == y[i] {
			continue
		}
		if slips++; !oneSlip(x[i], y[i]) {
			return false
		}
	}
	return slips == 1
}

// leastSpelled is how long a word is in which a letter may be wrong: of shorter ones
// the letter may be all that tells two cars apart.
const leastSpelled = 4

// oneSlip reports whether two words without digits differ in one letter: another, one
// more, or two that have changed places.
func oneSlip(a, b string) bool {
	x, y := []rune(a), []rune(b)
	if len(x) > len(y) {
		x, y = y, x
	}
	if len(x) < leastSpelled || len(y) > len(x)+1 || slices.ContainsFunc(append(slices.Clone(x), y...), unicode.IsDigit) {
		return false
	}
	i := 0
	for i < len(x) && x[i] == y[i] {
		i++
	}
	rest, other := x[i:], y[i:]
	if len(x) < len(y) {
		return slices.Equal(rest, other[1:])
	}
	return slices.Equal(rest[1:], other[1:]) || len(rest) > 1 && rest[0] == other[1] && rest[1] == other[0] && slices.Equal(rest[2:], other[2:])
}

// NameIn finds one of some names, in small letters, in a text that has more than the name.
func NameIn(text string, names map[string]bool) (found, rest string) {
	low := strings.ToLower(text)
	for _, name := range slices.Sorted(maps.Keys(names)) {
		if before, after, has := strings.Cut(low, name); has && name != "" && !endsInName(before) && !beginsInName(after) {
			return name, before + " " + after
		}
	}
	return "", ""
}

func endsInName(s string) bool {
	r, _ := utf8.DecodeLastRuneInString(s)
	return unicode.IsLetter(r) || unicode.IsDigit(r)
}

func beginsInName(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r) || unicode.IsDigit(r)
}
