package markup

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"
)

// checkText says whether text or an attribute's value holds only characters
// that XML allows (fault is "" then), and whether it can be used as it is:
// without entities and carriage returns.
func checkText(b []byte) (simple bool, fault string) {
	simple = true
	ascii := true
	for _, ch := range b {
		switch {
		case ch >= utf8.RuneSelf:
			ascii = false
		case ch == '&' || ch == '\r':
			simple = false
		case ch < ' ' && ch != '\n' && ch != '\t':
			return false, "a control character"
		}
	}
	if ascii {
		return simple, ""
	}
	if !utf8.Valid(b) {
		return false, "the text is not valid UTF-8"
	}
	if bytes.Contains(b, []byte("\uFFFE")) || bytes.Contains(b, []byte("\uFFFF")) {
		return false, "a character that XML does not have"
	}
	return simple, ""
}

// decodeEntities appends text with line ends made line feeds (XML 1.0, 2.11)
// and, where wanted, entities and character references replaced.
func decodeEntities(dst, b []byte, entities bool) ([]byte, string) {
	for i := 0; i < len(b); i++ {
		switch {
		case b[i] == '\r':
			dst = append(dst, '\n')
			if i+1 < len(b) && b[i+1] == '\n' {
				i++
			}
		case b[i] == '&' && entities:
			n := bytes.IndexByte(b[i:], ';')
			if n < 0 {
				return dst, "& without an entity's name and semicolon"
			}
			r, ok := entity(string(b[i+1 : i+n]))
			if !ok {
				return dst, "there is no entity " + string(b[i:i+n+1])
			}
			dst = utf8.AppendRune(dst, r)
			i += n
		default:
			dst = append(dst, b[i])
		}
	}
	return dst, ""
}

// entity gives the character of one of the five entities that XML has of
// itself, or of a reference by number.
func entity(name string) (rune, bool) {
	switch name {
	case "amp":
		return '&', true
	case "lt":
		return '<', true
	case "gt":
		return '>', true
	case "quot":
		return '"', true
	case "apos":
		return '\'', true
	}
	digits, isNumber := strings.CutPrefix(name, "#")
	base := 10
	if hex, ok := strings.CutPrefix(digits, "x"); ok {
		digits, base = hex, 16
	}
	if !isNumber || digits == "" || digits[0] == '+' || digits[0] == '-' {
		return 0, false
	}
	n, err := strconv.ParseUint(digits, base, 32)
	r := rune(n)
	if err != nil || n > utf8.MaxRune || !utf8.ValidRune(r) || notInXML(r) {
		return 0, false
	}
	return r, true
}

// AttrText decodes an attribute's value: blanks of any sort are spaces
// (XML 1.0, 3.3.3), references are replaced.
func AttrText(value []byte) string {
	if bytes.IndexByte(value, '&') < 0 && bytes.IndexByte(value, '\n') < 0 && bytes.IndexByte(value, '\t') < 0 && bytes.IndexByte(value, '\r') < 0 {
		return string(value)
	}
	spaced := bytes.Map(func(r rune) rune {
		if r == '\n' || r == '\t' {
			return ' '
		}
		return r
	}, bytes.ReplaceAll(value, []byte("\r\n"), []byte{' '}))
	text, _ := decodeEntities(nil, bytes.ReplaceAll(spaced, []byte{'\r'}, []byte{' '}), true)
	return string(text)
}
