package part

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxCellText is the longest text a cell may hold, in UTF-16 units; the same
// for every current spreadsheet program.
const maxCellText = 32767

// appendCell writes a cell element. Style 0 needs no attribute.
func appendCell(dst []byte, prefix string, row int, c *NewCell, style int) ([]byte, error) {
	if err := c.check(); err != nil {
		return dst, &SheetError{Row: row, Cell: Ref(row, c.Col), What: err.Error()}
	}
	dst = appendName(append(dst, '<'), prefix, "c")
	dst = append(dst, ` r="`...)
	dst = append(appendRef(dst, row, c.Col), '"')
	if style > 0 {
		dst = append(dst, ` s="`...)
		dst = append(appendInt(dst, style), '"')
	}
	if c.Op == Clear || c.Kind == Empty && c.Formula == "" {
		return append(dst, "/>"...), nil
	}
	dst = append(dst, typeAttr(c)...)
	dst = append(dst, '>')
	if c.Formula != "" {
		dst = appendFormula(dst, prefix, c.Formula)
	}
	dst = appendValue(dst, prefix, c)
	return appendEnd(dst, prefix, "c"), nil
}

// check refuses what a cell cannot hold.
func (c *NewCell) check() error {
	switch {
	case c.Op != Set:
		return nil
	case c.Kind == Number && (math.IsNaN(c.Num) || math.IsInf(c.Num, 0)):
		return fmt.Errorf("%v is no number that a cell can hold", c.Num)
	case c.Kind > Error:
		return fmt.Errorf("there is no %v cell", c.Kind)
	case c.Kind == Text && len(c.Text) > maxCellText && utf16Len(c.Text) > maxCellText:
		return fmt.Errorf("the text has more than %d characters", maxCellText)
	case c.Kind == Error && c.Text == "":
		return errors.New("an error value without its text, as in #N/A")
	case !writable(c.Formula):
		return errors.New("the formula has a character that a file cannot hold")
	}
	return nil
}

// writable says whether XML can hold a text as it is.
func writable(s string) bool {
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

func utf16Len(s string) int {
	n := 0
	for _, r := range s {
		if n++; r > 0xFFFF {
			n++
		}
	}
	return n
}

func typeAttr(c *NewCell) string {
	switch c.Kind {
	case Text:
		if c.Formula != "" {
			return ` t="str"`
		}
		return ` t="inlineStr"`
	case Bool:
		return ` t="b"`
	case Error:
		return ` t="e"`
	}
	return ""
}

func appendValue(dst []byte, prefix string, c *NewCell) []byte {
	switch {
	case c.Kind == Empty:
		return dst
	case c.Kind == Text && c.Formula == "":
		dst = appendStart(dst, prefix, "is", false)
		dst = appendStart(dst, prefix, "t", keepsBlanks(c.Text))
		dst = appendText(dst, c.Text)
		dst = appendEnd(dst, prefix, "t")
		return appendEnd(dst, prefix, "is")
	}
	dst = appendStart(dst, prefix, "v", c.Kind == Text && keepsBlanks(c.Text))
	switch c.Kind {
	case Number:
		dst = appendNumber(dst, c.Num)
	case Bool:
		if c.Num != 0 {
			dst = append(dst, '1')
		} else {
			dst = append(dst, '0')
		}
	default:
		dst = appendText(dst, c.Text)
	}
	return appendEnd(dst, prefix, "v")
}

// appendFormula writes a plain f element. Formulas carry no _xHHHH_ escapes:
// programs differ in whether they decode them there.
func appendFormula(dst []byte, prefix, formula string) []byte {
	dst = appendStart(dst, prefix, "f", keepsBlanks(formula))
	from := 0
	for i := range len(formula) {
		if as := escaped(formula[i]); as != "" {
			dst = append(append(dst, formula[from:i]...), as...)
			from = i + 1
		}
	}
	return appendEnd(append(dst, formula[from:]...), prefix, "f")
}

// appendNumber writes the shortest text that reads back as the same float64,
// as an xsd:double: 0.1, 76.2, 1E-07. Negative zero, which a spreadsheet does
// not know, is 0.
func appendNumber(dst []byte, v float64) []byte {
	if v == 0 {
		return append(dst, '0')
	}
	if a := math.Abs(v); a >= 1e-5 && a < 1e15 {
		return strconv.AppendFloat(dst, v, 'f', -1, 64)
	}
	return strconv.AppendFloat(dst, v, 'E', -1, 64)
}

// appendText writes character data. What XML cannot hold is written as
// _xHHHH_, and text that looks like such an escape has its underscore escaped
// (ST_Xstring, ISO/IEC 29500-1, 22.9.2.19). Carriage returns are escaped too,
// since XML readers turn them into line feeds.
func appendText(dst []byte, s string) []byte {
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
	if as := escaped(ch); as != "" {
		return append(dst, as...)
	}
	return append(dst, ch)
}

// escaped is how character data has to write a byte, "" for as it is.
func escaped(ch byte) string {
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

// keepsBlanks says whether a reader would trim the text unless told not to.
func keepsBlanks(s string) bool {
	return s != "" && (isBlank(s[0]) || isBlank(s[len(s)-1]) || strings.IndexByte(s, '\n') >= 0 || strings.IndexByte(s, '\t') >= 0)
}

func appendStart(dst []byte, prefix, local string, preserve bool) []byte {
	dst = appendName(append(dst, '<'), prefix, local)
	if preserve {
		dst = append(dst, ` xml:space="preserve"`...)
	}
	return append(dst, '>')
}

func appendEnd(dst []byte, prefix, local string) []byte {
	return append(appendName(append(dst, "</"...), prefix, local), '>')
}

func appendName(dst []byte, prefix, local string) []byte {
	if prefix != "" {
		dst = append(append(dst, prefix...), ':')
	}
	return append(dst, local...)
}

func appendInt(dst []byte, v int) []byte { return strconv.AppendInt(dst, int64(v), 10) }
