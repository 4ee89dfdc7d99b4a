package entry

import (
	"maps"
	"slices"
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

// Endings are the words and signs that end spellings of some keys, with a bit for each key.
// The last word of a heading, but for its unit, is one.
type Endings map[string]uint8

// Endings are those of keys.
func (h *Headings) Endings(keys ...string) Endings {
	out := Endings{}
	for form, m := range h.meanings {
		at := slices.Index(keys, m.key)
		for i := range form {
			if at >= 0 {
				out[form[i:]] |= 1 << at
			}
		}
	}
	by := maps.Clone(out)
	for word, one := range h.same {
		out[word] = by[one]
	}
	return out
}

// In are the bits of all words of a text together.
func (e Endings) In(text string) (of uint8) {
	var room [128]byte
	for i := 0; ; {
		token, next, _, ok := plainToken(text, i, room[:0])
		switch {
		case !ok:
			for _, t := range tokens(cleanWords(text)) {
				of |= e[t.text]
			}
			return of
		case token == nil:
			return of
		}
		of |= e[string(token)]
		i = next
	}
}
