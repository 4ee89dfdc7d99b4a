package entry

import (
	"strings"
	"sync"
)

// seen keeps what texts were read as headings last.
type seen struct {
	mu      sync.Mutex
	matches map[string]Match
}

// mostSeen bounds how many are kept: the texts of some rows, and those that come again
// and again.
const mostSeen = 4096

func (s *seen) of(raw string) (Match, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	m, ok := s.matches[raw]
	return m, ok
}

func (s *seen) keep(raw string, m Match) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.matches) >= mostSeen {
		clear(s.matches)
	}
	s.matches[strings.Clone(raw)] = m
}

// Ends are all ends of the spellings of a key, as [Headings.Words] gives words.
func (h *Headings) Ends(key string) map[string]bool {
	out := map[string]bool{}
	for form, m := range h.meanings {
		for i := range form {
			if m.key == key {
				out[form[i:]] = true
			}
		}
	}
	return out
}

// Words are the words of a text, each by the one that stands for it. The last word of a
// heading, but for its unit, is the end of a spelling.
func (h *Headings) Words(text string) (out []string) {
	for _, t := range tokens(cleanWords(text)) {
		if one, ok := h.same[t.text]; ok {
			t.text = one
		}
		out = append(out, t.text)
	}
	return out
}
