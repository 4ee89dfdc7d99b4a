package entry

import (
	"slices"
	"sort"
	"strings"
)

// beginnings are spellings in order, so that it is soon seen whether any begins with a text.
type beginnings []string

// beginningsOf are those of what a map has by its spelling.
func beginningsOf[V any](by map[string]V) beginnings {
	out := make(beginnings, 0, len(by))
	for spelled := range by {
		out = append(out, spelled)
	}
	slices.Sort(out)
	return out
}

// with reports whether a spelling begins with a text.
func (b beginnings) with(text []byte) bool {
	at := sort.Search(len(b), func(i int) bool { return b[i] >= string(text) })
	return at < len(b) && len(b[at]) >= len(text) && b[at][:len(text)] == string(text)
}

// plainToken reads the token at i of a text, or the first one behind it, as tokens does of
// the cleaned text, but without a copy of it. It is none at the end. slash reports that one
// stands before it. ok is false where the text has more than plain letters there, which are
// not read so.
func plainToken(raw string, i int, room []byte) (token []byte, next int, slash, ok bool) {
	for ; i < len(raw); i++ {
		c := plainByte(raw[i])
		switch {
		case c >= 0x80:
			return nil, i, slash, false
		case isPlainWord(c) || c == '.' && digitAt(raw, i+1):
			return plainWord(raw, i, slash, room)
		case c == '/':
			slash = true
		case c == '\'' && i+1 < len(raw) && plainByte(raw[i+1]) == '\'':
			return append(room[:0], '"'), i + 2, slash, true
		case strings.IndexByte(`"'#%$&`, c) >= 0:
			return append(room[:0], c), i + 1, slash, true
		}
	}
	return nil, i, slash, true
}

// plainWord reads the word at i.
func plainWord(raw string, i int, slash bool, room []byte) (token []byte, next int, _, ok bool) {
	token = room[:0]
	for at := i; i < len(raw); i++ {
		c := plainByte(raw[i])
		if c >= 0x80 || len(token) == cap(room) {
			return nil, i, slash, false
		}
		switch {
		case isPlainWord(c) || c == '.' && digitAt(raw, i+1):
			token = append(token, c)
		case c != '\'' || i == at || i+1 == len(raw) || !isPlainLetter(plainByte(raw[i-1])):
			return token, i, slash, true
		case raw[i+1] >= 0x80:
			return nil, i, slash, false
		case !isPlainLetter(plainByte(raw[i+1])):
			return token, i, slash, true
		}
	}
	return token, i, slash, true
}

// plainByte is a byte as plainASCII has its letter.
func plainByte(c byte) byte {
	if c < 0x80 {
		return byte(plainASCII(rune(c)))
	}
	return c
}

func isPlainLetter(c byte) bool { return 'a' <= c && c <= 'z' }
func isDigit(c byte) bool       { return '0' <= c && c <= '9' }
func isPlainWord(c byte) bool   { return isPlainLetter(c) || isDigit(c) }
