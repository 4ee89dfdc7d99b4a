package formula

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// longestText is the longest text literal that a spreadsheet takes inside a
// formula, in characters.
const longestText = 255

type tokenKind uint8

const (
	tokenEnd tokenKind = iota
	tokenNumber
	tokenText
	tokenName
	tokenOp
	tokenPercent
	tokenOpen
	tokenClose
	tokenComma
)

type token struct {
	kind  tokenKind
	at    int
	text  string // spelling of a number or name, value of a text, else the sign itself
	value float64
	op    Op
}

// scanner cuts formula text into tokens.
type scanner struct {
	src Source
	at  int
}

func (s *scanner) errorf(at int, what, fix string) error {
	return &Error{Source: s.src, Offset: at, What: what, Fix: fix}
}

// next reads one token; at the end of the text it gives tokenEnd for ever.
func (s *scanner) next() (token, error) {
	text := s.src.Text
	for s.at < len(text) && strings.IndexByte(" \t\r\n", text[s.at]) >= 0 {
		s.at++
	}
	if s.at >= len(text) {
		return token{kind: tokenEnd, at: len(text), text: "the end"}, nil
	}
	c := text[s.at]
	switch {
	case isDigit(c) || c == '.':
		return s.number()
	case isLetter(c):
		return s.name(), nil
	case c == '"':
		return s.quoted()
	}
	return s.sign()
}

func (s *scanner) number() (token, error) {
	text, start := s.src.Text, s.at
	digits := s.digits()
	if s.at < len(text) && text[s.at] == '.' {
		s.at++
		digits += s.digits()
	}
	if digits == 0 {
		return token{}, s.errorf(start, "a point stands alone", "write a number such as 0.5, or table.key without spaces")
	}
	if s.at < len(text) && (text[s.at] == 'E' || text[s.at] == 'e') {
		s.at++
		if s.at < len(text) && (text[s.at] == '+' || text[s.at] == '-') {
			s.at++
		}
		if s.digits() == 0 {
			return token{}, s.errorf(start, "the number has an E but no power of ten", "write it as 0.5E-3, or leave an operator between number and name")
		}
	}
	spelling := text[start:s.at]
	if s.at < len(text) && (isLetter(text[s.at]) || text[s.at] == '.') {
		return token{}, s.errorf(s.at, "a number runs into what follows", "put an operator such as * between them")
	}
	value, err := strconv.ParseFloat(spelling, 64)
	if err != nil || math.IsInf(value, 0) {
		return token{}, s.errorf(start, "the number is too large", "write one below 1E308")
	}
	return token{kind: tokenNumber, at: start, text: spelling, value: value}, nil
}

func (s *scanner) digits() int {
	start := s.at
	for s.at < len(s.src.Text) && isDigit(s.src.Text[s.at]) {
		s.at++
	}
	return s.at - start
}

// name reads letters, digits, underscores and points; the parser decides what
// the points mean.
func (s *scanner) name() token {
	text, start := s.src.Text, s.at
	for s.at < len(text) && (isLetter(text[s.at]) || isDigit(text[s.at]) || text[s.at] == '.') {
		s.at++
	}
	return token{kind: tokenName, at: start, text: text[start:s.at]}
}

func (s *scanner) quoted() (token, error) {
	text, start := s.src.Text, s.at
	var b strings.Builder
	for i := start + 1; i < len(text); i++ {
		switch {
		case text[i] != '"':
			b.WriteByte(text[i])
		case i+1 < len(text) && text[i+1] == '"':
			b.WriteByte('"')
			i++
		default:
			s.at = i + 1
			if utf8.RuneCountInString(b.String()) > longestText {
				return token{}, s.errorf(start, "the text is longer than 255 characters", "split it in two and join them with &")
			}
			return token{kind: tokenText, at: start, text: b.String()}, nil
		}
	}
	return token{}, s.errorf(start, "the text has no closing quote", `close it with "; a quote inside is written ""`)
}

func (s *scanner) sign() (token, error) {
	start, rest := s.at, s.src.Text[s.at:]
	for _, op := range []Op{NotEqual, LessEqual, GreaterEqual, Less, Greater, Equal, Add, Sub, Mul, Div, Pow, Join} {
		if strings.HasPrefix(rest, op.String()) {
			s.at += len(op.String())
			return token{kind: tokenOp, at: start, text: op.String(), op: op}, nil
		}
	}
	kinds := map[byte]tokenKind{'%': tokenPercent, '(': tokenOpen, ')': tokenClose, ',': tokenComma}
	if kind, ok := kinds[rest[0]]; ok {
		s.at++
		return token{kind: kind, at: start, text: rest[:1]}, nil
	}
	r, size := utf8.DecodeRuneInString(rest)
	fix := "a formula has names, numbers, texts in double quotes, brackets, commas and + - * / ^ & % = <> < <= > >="
	switch {
	case r == ';':
		fix = "separate arguments with a comma"
	case r == '×' || r == '·':
		fix = "write * for times"
	case r == '÷' || r == ':':
		fix = "write / for divided by"
	case r == '−' || r == '–':
		fix = "write - for minus"
	case r == utf8.RuneError && size == 1:
		return token{}, s.errorf(start, "the text is no valid UTF-8 here", "type the character again")
	}
	return token{}, s.errorf(start, strconv.QuoteRune(r)+" has no meaning in a formula", fix)
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isLetter(c byte) bool { return c == '_' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }
