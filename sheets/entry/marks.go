package entry

import (
	"regexp"
	"strconv"
	"strings"
)

// A mark may name several joints: the first and the last of them, "W1-W4", "W1a-d",
// "1 to 4", or each, "W1/2/3", "A1, A2". A mark that does not go upwards, as "1-1", names
// its ends.

var (
	markFirst = regexp.MustCompile(`(?i)^\s*(\pL[\pL _.-]*?)??[ _.-]*(\d{1,6})`)
	markSign  = regexp.MustCompile(`(?i)^\s*(?:([-–—]|\.{2,}|\bto\b|\bbis\b|\btill\b|\bthru\b|\bthrough\b)|[/&+,;]|\band\b|\bund\b)\s*|^\s+`)
	markNext  = regexp.MustCompile(`(?i)^(?:([\pL _.-]*?)[ _.-]*(\d{1,6})|(?:[\pL])(?:$|\PL))`)
)

// Marks are the joints that a text names, where it names several: "w1" and "w2" of "W1/2".
// None for one, and for what is no mark. upwards is false where a first one is none before
// the last.
func Marks(raw string) (names []string, upwards bool) {
	if len(raw) > longestHeading {
		return nil, false
	}
	text := strings.TrimSpace(plainSigns(raw))
	at := markFirst.FindStringSubmatch(text)
	if at == nil {
		return nil, false
	}
	letters, upwards := at[1], true
	last := markPart{number: at[2]}
	text = last.takeLetter(text[len(at[0]):])
	names = []string{last.name()}
	for text != "" {
		sign := markSign.FindStringSubmatch(text)
		if sign == nil {
			return nil, false
		}
		rest := text[len(sign[0]):]
		to := markNext.FindStringSubmatch(rest)
		if to == nil || to[1] != "" && !sameLetters(to[1], letters) || strings.TrimSpace(sign[0]) == "" && (letters == "" || to[1] == "") {
			return nil, false
		}
		next := markPart{number: to[2]}
		if next.number != "" {
			rest = rest[len(to[0]):]
		} else if next.number = last.number; last.letter == 0 {
			return nil, false
		}
		text = next.takeLetter(rest)
		more := []string{next.name()}
		if sign[1] != "" {
			if more = last.upTo(next); more == nil {
				more, upwards = []string{next.name()}, false
			}
		}
		if names = append(names, more...); len(names) > mostPieces {
			return nil, false
		}
		last = next
	}
	if len(names) < 2 {
		return nil, false
	}
	for i, name := range names {
		names[i] = strings.ToLower(strings.TrimRight(letters, " _.-")) + name
	}
	return names, upwards
}

// markPart is a mark without the letters that it begins with.
type markPart struct {
	number string
	letter byte // behind the number, small, 0 for none
}

func (p markPart) name() string {
	n, _ := strconv.Atoi(p.number)
	return strconv.Itoa(n) + strings.TrimRight(string(p.letter), "\x00")
}

// takeLetter takes a letter off that stands alone, right behind the number.
func (p *markPart) takeLetter(text string) string {
	isLetter := func(i int) bool {
		return i < len(text) && (text[i]|0x20 >= 'a' && text[i]|0x20 <= 'z' || text[i] >= 0x80)
	}
	if isLetter(0) && text[0] < 0x80 && !isLetter(1) {
		p.letter, text = text[0]|0x20, text[1:]
	}
	return text
}

// upTo are the marks behind one up to another, none if that is not behind it.
func (p markPart) upTo(last markPart) (out []string) {
	from, _ := strconv.Atoi(p.number)
	to, _ := strconv.Atoi(last.number)
	switch {
	case p.letter == last.letter && to > from && to-from < mostPieces:
		for n := from + 1; n <= to; n++ {
			out = append(out, markPart{strconv.Itoa(n), p.letter}.name())
		}
	case from == to && p.letter != 0 && last.letter > p.letter:
		for c := p.letter + 1; c <= last.letter; c++ {
			out = append(out, markPart{p.number, c}.name())
		}
	}
	return out
}

// sameLetters reports whether two marks begin alike, whatever sign stands behind.
func sameLetters(one, other string) bool {
	trim := func(s string) string { return strings.TrimRight(s, " _.-") }
	return strings.EqualFold(trim(one), trim(other))
}
