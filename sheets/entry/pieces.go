package entry

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// mostPieces bounds a number that is taken for one of pieces.
const mostPieces = 200

// Pieces reads how many pieces a text speaks of, where it names a joint as well or
// stands in a column of words: "2x", "flange (4 off)", "tip, 2 pcs", "3 off boss".
// A number with a unit of pieces counts at the beginning, at the end, or in brackets.
// mark is as for Counts.
func (m *Measures) Pieces(raw string, mark bool) (n float64, ok bool) {
	said, _ := m.Counts(raw, mark)
	for _, n := range said {
		if n > 1 {
			return n, true
		}
	}
	return 0, false
}

// Counts are the numbers of pieces that a text speaks of so, and all that it has, also in
// the midst of other words. A joint's mark may look like one and be no more: "X1", "2X".
func (m *Measures) Counts(raw string, mark bool) (said, all []float64) {
	if len(raw) > longestHeading || !m.mayCount(raw) || mark && m.isCount(raw) {
		return nil, nil
	}
	raw = numbered.ReplaceAllString(raw, "$1")
	if mark {
		raw = hundreds.ReplaceAllString(raw, "$1")
	}
	for _, part := range strings.FieldsFunc(strings.ReplaceAll(raw, ", ", ";"), func(r rune) bool { return r == ';' }) {
		text := cleanWords(part)
		one, more := m.countsIn(text, tokens(text))
		said, all = append(said, one...), append(all, more...)
	}
	return said, all
}

// isCount reports whether a text is a number of pieces and nothing else.
func (m *Measures) isCount(raw string) bool {
	list := tokens(cleanWords(raw))
	if len(list) == 0 {
		return false
	}
	_, used, found := m.count(list)
	return found && used == len(list)
}

// numbered is a code such as X-103, of a drawing or a joint.
var numbered = regexp.MustCompile(`(?i)(^|[^\pL])x-\d+`)

// hundreds is a code in a mark, as "A x103": no car has so many of one joint (common
// practice, no source).
var hundreds = regexp.MustCompile(`(?i)(^|[^\pL])x\d{3,}`)

// countsIn are those between two commas.
func (m *Measures) countsIn(text string, list []token) (said, all []float64) {
	for i, t := range list {
		begins := i == 0 || list[i-1].bracket != t.bracket
		count, unit, found := m.count(list[i:])
		last := i + unit - 1
		if !found || t.text[0] == 'x' && i > 0 && tied(text, list[i-1], t) || count <= 0 || count > mostPieces || sizeAround(text, list, i, last) {
			continue
		}
		all = append(all, float64(count))
		ends := last == len(list)-1 || list[last+1].bracket != t.bracket
		inside := t.bracket != 0 && begins && ends
		if i == 0 || last == len(list)-1 || inside {
			said = append(said, float64(count))
		}
	}
	return said, all
}

// count reads a whole number with a unit of pieces: "2x", "x2", "2 off". used is how
// many tokens it takes.
func (m *Measures) count(list []token) (n, used int, ok bool) {
	text := list[0].text
	if digits, ok := m.countWord(text); ok && digits != "1" { // "one piece" says how it is made
		text = digits
	}
	digits, unit := leadingDigits(text)
	if digits == "" {
		if rest, cut := strings.CutPrefix(text, "x"); cut && rest != "" {
			n, err := strconv.Atoi(rest)
			return n, 1, err == nil
		}
		if text == "x" && len(list) > 1 {
			n, err := strconv.Atoi(list[1].text)
			return n, 2, err == nil
		}
		return 0, 0, false
	}
	used = 1
	if unit == "" && len(list) > 1 {
		unit, used = list[1].text, 2
	}
	n, err := strconv.Atoi(digits)
	u, known := m.units[unit]
	return n, used, err == nil && known && u.String() == "each"
}

// sizeAround reports whether a number stands beside the one that was read, as in "2 x
// 0.035" or "3 x2". That of a mark is none: "A-01 x2".
func sizeAround(text string, list []token, first, last int) bool {
	return first > 0 && digitAt(list[first-1].text, 0) && !endsMark(text, list[:first]) && list[first-1].bracket == list[first].bracket ||
		last+1 < len(list) && digitAt(list[last+1].text, 0) && list[last+1].bracket == list[last].bracket
}

// endsMark reports whether a hyphen or the like ties the last word, a number, to letters
// before it.
func endsMark(text string, list []token) bool {
	n := len(list)
	return n > 1 && tied(text, list[n-2], list[n-1]) && strings.ContainsFunc(list[n-2].text, unicode.IsLetter)
}

// tied reports whether a hyphen or the like makes two words one: "A-X103".
func tied(text string, one, other token) bool {
	return one.end+1 == other.start && strings.ContainsRune("-_.", rune(text[one.end]))
}
