package markup

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// AppendNumber writes the shortest text that reads back as the same float64,
// as an xsd:double: 0.1, 76.2, 1E-07. Negative zero, which a spreadsheet does
// not know, is 0.
func AppendNumber(dst []byte, v float64) []byte {
	if v == 0 {
		return append(dst, '0')
	}
	if a := math.Abs(v); a >= 1e-5 && a < 1e15 {
		return strconv.AppendFloat(dst, v, 'f', -1, 64)
	}
	return strconv.AppendFloat(dst, v, 'E', -1, 64)
}

// AppendText writes character data. What XML cannot hold is written as
// _xHHHH_, and text that looks like such an escape has its underscore escaped
// (ST_Xstring, ISO/IEC 29500-1, 22.9.2.19). Carriage returns are escaped too,
// since XML readers turn them into line feeds.
func AppendText(dst []byte, s string) []byte {
	for i, r := range s {
		switch {
		case r == '_' && isEscape(s[i:]):
			dst = append(dst, "_x005F_"...)
		case r == '\r' || notInXML(r):
			dst = fmt.Appendf(dst, "_x%04X_", r)
		case r < utf8.RuneSelf:
			dst = appendByte(dst, byte(r))
		default:
			dst = utf8.AppendRune(dst, r) // U+FFFD for invalid bytes
		}
	}
	return dst
}

func appendByte(dst []byte, ch byte) []byte {
	if as := EscapeByte(ch); as != "" {
		return append(dst, as...)
	}
	return append(dst, ch)
}

// EscapeByte is how character data has to write a byte, "" for as it is.
func EscapeByte(ch byte) string {
	switch ch {
	case '&':
		return "&amp;"
	case '<':
		return "&lt;"
	case '>':
		return "&gt;"
	case '\r':
		return "&#13;"
	}
	return ""
}

// KeepsBlanks says whether a reader would trim the text unless told not to.
func KeepsBlanks(s string) bool {
	return s != "" && (isBlank(s[0]) || isBlank(s[len(s)-1]) || strings.IndexByte(s, '\n') >= 0 || strings.IndexByte(s, '\t') >= 0)
}

// AppendStart writes a start tag; preserve has readers leave blanks at the ends.
func AppendStart(dst []byte, prefix, local string, preserve bool) []byte {
	dst = AppendName(append(dst, '<'), prefix, local)
	if preserve {
		dst = append(dst, ` xml:space="preserve"`...)
	}
	return append(dst, '>')
}

// AppendEnd writes an end tag.
func AppendEnd(dst []byte, prefix, local string) []byte {
	return append(AppendName(append(dst, "</"...), prefix, local), '>')
}

// AppendName writes the name of a tag.
func AppendName(dst []byte, prefix, local string) []byte {
	if prefix != "" {
		dst = append(append(dst, prefix...), ':')
	}
	return append(dst, local...)
}

// Writable says whether XML can hold a text as it is.
func Writable(s string) bool {
	for i := range len(s) {
		switch c := s[i]; {
		case c >= utf8.RuneSelf:
			return utf8.ValidString(s[i:]) && !strings.ContainsFunc(s[i:], notInXML)
		case c < ' ' && notInXML(rune(c)):
			return false
		}
	}
	return true
}

func notInXML(r rune) bool {
	return r < ' ' && r != '\n' && r != '\t' && r != '\r' || r == 0xFFFE || r == 0xFFFF
}

// EncodeEscapes writes what a heading may hold and an ST_Xstring attribute may
// not as is (ECMA-376 part 1, 22.9.2.19): control characters as _x000a_, and
// text that already looks like that with its underscore escaped.
func EncodeEscapes(s string) string {
	var b strings.Builder
	for i, r := range s {
		switch {
		case r < ' ':
			fmt.Fprintf(&b, "_x%04x_", r)
		case r == '_' && isEscape(s[i:]):
			b.WriteString("_x005f_")
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// DecodeEscapes reads what EncodeEscapes writes.
func DecodeEscapes(s string) string {
	var units []uint16
	for len(s) > 0 {
		if isEscape(s) {
			n, _ := strconv.ParseUint(s[2:6], 16, 16) // isEscape has seen four hex digits
			units = append(units, uint16(n))
			s = s[7:]
			continue
		}
		next := strings.IndexByte(s[1:], '_') + 1
		if next == 0 {
			next = len(s)
		}
		units = append(units, utf16.Encode([]rune(s[:next]))...)
		s = s[next:]
	}
	return string(utf16.Decode(units))
}

func isEscape(s string) bool {
	if len(s) < 7 || s[0] != '_' || s[1] != 'x' || s[6] != '_' {
		return false
	}
	for _, c := range []byte(s[2:6]) {
		if !strings.ContainsRune("0123456789abcdefABCDEF", rune(c)) {
			return false
		}
	}
	return true
}

// UnescapeText decodes the _xHHHH_ escapes of a stored text (ST_Xstring,
// ISO/IEC 29500-1, 22.9.2.19).
func UnescapeText(b []byte) string {
	s := string(b)
	if strings.Contains(s, "_x") {
		return DecodeEscapes(s)
	}
	return s
}
