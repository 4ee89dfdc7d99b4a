package entry

import "strings"

// Otherwise reads a heading that is no spelling of its own, and says by one of its words
// that what stands below is otherwise than somewhere else, or was: "New qty", "Was", "+/-".
// of is what is left without these words, none where nothing is.
func (h *Headings) Otherwise(raw string) (of Match, is bool) {
	if len(raw) > longestHeading {
		return Match{}, false
	}
	list := tokens(cleanWords(raw))
	if len(list) == 0 {
		return Match{}, strings.ContainsAny(raw, "+-±Δ") // signs alone
	}
	if h.numbersChanges(list[len(list)-1]) {
		return Match{}, false // "Latest rev" is the shop's own
	}
	var rest []string
	for i, t := range list {
		if h.otherwise[t.text] {
			is = true
		} else if i == 0 || !h.numbersChanges(list[i-1]) || len(t.text) > longestRevision {
			rest = append(rest, t.text)
		}
	}
	if !is || len(rest) == 0 {
		return Match{}, is
	}
	of = h.Recognise(strings.Join(rest, " "))
	return of, of.Key != ""
}

// longestRevision is how long the letter or number of a revision is at most.
const longestRevision = 2

// numbersChanges reports whether a word has the letter or number of a revision behind it.
func (h *Headings) numbersChanges(t token) bool {
	return h.otherwise[t.text] && h.meanings[t.text].ownAs != ""
}
