package entry

import "strings"

// mostApart bounds the words of a heading that is told by one of them: a longer text is a
// note.
const mostApart = 6

// SaysNoInput reports whether a heading that is no spelling of its own says by one of its
// words that no input stands below: something that no input is measured in ("Flange
// price", "Torque, Nm"), or the number by which something is known that no input is
// called after ("Jig no", "Vendor #").
func (h *Headings) SaysNoInput(raw string) bool {
	if len(raw) > longestHeading {
		return false
	}
	list := tokens(cleanWords(raw))
	if len(list) == 0 || len(list) > mostApart {
		return false
	}
	last := len(list) - 1
	number := last > 0 && h.same[list[last].text] == "no"
	for i, t := range list {
		if h.apart[t.text] {
			return true
		}
		number = number && (i == last || !isNumber(t.text) && !h.called[h.stem(t.text)])
	}
	return number
}

// callAfter keeps the words of a spelling that means an input, or is questioned.
func (h *Headings) callAfter(list []token) {
	for _, t := range list {
		h.called[h.stem(t.text)] = true
	}
}

// stem is a word as the one that stands for it, without the s of several.
func (h *Headings) stem(word string) string {
	for range 2 {
		if one, ok := h.same[word]; ok {
			return one
		}
		if len(word) < 3 {
			break
		}
		word = strings.TrimSuffix(word, "s")
	}
	return word
}

// isNumber reports whether a word is digits.
func isNumber(word string) bool { return strings.Trim(word, "0123456789.") == "" }
