package entry

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// token is one word or sign of a cleaned text.
type token struct {
	text    string
	start   int // byte offsets in the cleaned text
	end     int
	bracket int  // number of the brackets that it stands in, 0 for none
	slash   bool // a slash stands before it
}

// plainSign gives the signs that people use for inches, feet, degrees and
// diameters one form each, before compatibility decomposition can take them
// apart. Signs that print nothing become nothing.
func plainSign(r rune) string {
	switch r {
	case '″', '”', '“', '„', '＂', '‶', '˝':
		return `"`
	case '′', '’', '‘', '‛', '＇', '´', '`', 'ʹ':
		return "'"
	case 'º', '˚', 'ᵒ', '∘':
		return "°"
	case '−', '‐', '‑', '﹣', '－':
		return "-"
	case '⌀', 'Ø', '∅':
		return "ø"
	case '№':
		return "no"
	case '\u00ad', '\u200b', '\u200c', '\u200d', '\ufeff':
		return ""
	}
	return string(r)
}

// plainSigns is raw with every sign in its plain form.
func plainSigns(raw string) string {
	var b strings.Builder
	for _, r := range raw {
		b.WriteString(plainSign(r))
	}
	return b.String()
}

// cleanWords is raw in one form whatever its case, accents, widths and kinds
// of space.
func cleanWords(raw string) string {
	if plain := strings.IndexFunc(raw, func(r rune) bool { return r >= utf8.RuneSelf }) < 0; plain {
		return strings.ReplaceAll(strings.Map(plainASCII, raw), "''", `"`)
	}
	decomposed := norm.NFKD.String(plainSigns(raw))
	var b strings.Builder
	for _, r := range decomposed {
		switch {
		case unicode.Is(unicode.Mn, r):
		case unicode.IsSpace(r) || unicode.IsControl(r):
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	folded := cases.Fold().String(b.String())
	return strings.ReplaceAll(folded, "''", `"`)
}

// plainASCII is what such a letter or sign becomes.
func plainASCII(r rune) rune {
	switch {
	case r <= ' ' || r == 0x7f:
		return ' '
	case r == '`':
		return '\''
	case 'A' <= r && r <= 'Z':
		return r + 'a' - 'A'
	}
	return r
}

// tokens takes a cleaned text apart into words and the signs that carry
// meaning; all else separates.
func tokens(text string) []token {
	var list []token
	brackets, open, slash := 0, 0, false
	add := func(start, end int) {
		word := text[start:end]
		if end-start > 1 {
			word = strings.ReplaceAll(word, "'", "")
		}
		list = append(list, token{word, start, end, open, slash})
		slash = false
	}
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case isWord(r) || r == '.' && digitAt(text, i+1):
			end := wordEnd(text, i)
			add(i, end)
			i = end
			continue
		case strings.ContainsRune("([{", r):
			brackets++
			open = brackets
		case strings.ContainsRune(")]}", r):
			open = 0
		case r == '/' || r == '⁄':
			slash = true
		case strings.ContainsRune(`"'°#%$ø&✓✔✗✘`, r):
			add(i, i+size)
		}
		i += size
	}
	return list
}

// isWord tells whether r is a letter or a digit; the diameter sign is neither.
func isWord(r rune) bool {
	return r != 'ø' && r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r))
}

func digitAt(text string, i int) bool {
	return i >= 0 && i < len(text) && '0' <= text[i] && text[i] <= '9'
}

// wordEnd is where the word that begins at i ends. A point between digits
// belongs to it ("2.5v"), and so does an apostrophe between letters ("mat'l"),
// which the token then leaves out.
func wordEnd(text string, i int) int {
	for i < len(text) {
		r, size := utf8.DecodeRuneInString(text[i:])
		next, _ := utf8.DecodeRuneInString(text[min(i+size, len(text)):])
		before, _ := utf8.DecodeLastRuneInString(text[:i])
		inside := r == '.' && digitAt(text, i+1) ||
			r == '\'' && unicode.IsLetter(before) && unicode.IsLetter(next)
		if !isWord(r) && !inside {
			return i
		}
		i += size
	}
	return i
}

// compact joins tokens into the form in which spellings are compared. Numbers
// that meet are kept apart by a hyphen, so that "6-4" is not "64". With per,
// a slash reads as the word.
func compact(list []token, per bool) string {
	var b strings.Builder
	for i, t := range list {
		if per && t.slash && i > 0 {
			b.WriteString("per")
		}
		if s := b.String(); digitAt(s, len(s)-1) && digitAt(t.text, 0) {
			b.WriteByte('-')
		}
		b.WriteString(t.text)
	}
	return b.String()
}

// spelling is the compared form of a text of a template or a cell in which
// slashes mean nothing. A text of separators alone ("-") stands for itself.
func spelling(raw string) string {
	clean := cleanWords(raw)
	if s := compact(tokens(clean), false); s != "" {
		return s
	}
	return strings.TrimSpace(clean)
}
