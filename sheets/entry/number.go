package entry

import (
	"math/big"
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// mostDigits bounds a run of digits: a shop's quantities need a few, and a
// number of a thousand digits is no quantity.
const mostDigits = 30

// number is one number as it was written.
type number struct {
	value   *big.Rat
	decimal bool   // without a fraction bar
	under   string // of a fraction alone: what stands under its bar
}

// scanNumber reads the number that s begins with: "3", ".047", "3.", "1e-3",
// "1/2", "2 1/2", "2-1/2". The fraction behind a whole number is a proper
// one, so that "2-5/4" is not read. rest is what stands behind.
func scanNumber(s string) (n number, rest string, ok bool) {
	sign, body := "", s
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "+") {
		sign, body = s[:1], s[1:]
	}
	whole, rest := leadingDigits(body)
	if part, behind, found := decimals(rest); found && whole+part != "" {
		power, behind := exponent(behind)
		n, ok = newNumber(sign, "0"+whole+"."+part+"0"+power, true)
		return n, behind, ok
	}
	if whole == "" {
		return number{}, s, false
	}
	if fraction, behind, found := barFraction(whole, rest); found {
		n, ok = newNumber(sign, fraction, false)
		_, n.under, _ = strings.Cut(fraction, "/")
		return n, behind, ok
	}
	gap := strings.TrimLeft(rest, " ")
	if strings.HasPrefix(rest, "-") {
		gap = rest[1:]
	}
	if over, behind := leadingDigits(gap); over != "" && gap != rest {
		fraction, behind, found := barFraction(over, behind)
		part, valid := newNumber("", fraction, false)
		if found && valid && part.value.Cmp(big.NewRat(1, 1)) < 0 {
			n, ok = newNumber("", whole, false)
			if ok {
				n.value.Add(n.value, part.value)
				if sign == "-" {
					n.value.Neg(n.value)
				}
			}
			return n, behind, ok
		}
	}
	power, rest := exponent(rest)
	n, ok = newNumber(sign, whole+power, true)
	return n, rest, ok
}

// newNumber is the number that text spells for big.Rat.
func newNumber(sign, text string, decimal bool) (number, bool) {
	if len(text) > 2*mostDigits {
		return number{}, false
	}
	value, ok := new(big.Rat).SetString(sign + text)
	return number{value: value, decimal: decimal}, ok
}

func leadingDigits(s string) (digits, rest string) {
	end := strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' })
	if end < 0 {
		end = len(s)
	}
	return s[:end], s[end:]
}

// decimals reads a decimal point and the digits behind it, if any. Two points
// are a range.
func decimals(s string) (digits, rest string, found bool) {
	if !strings.HasPrefix(s, ".") || strings.HasPrefix(s, "..") {
		return "", s, false
	}
	digits, rest = leadingDigits(s[1:])
	return digits, rest, true
}

// exponent reads e and at most two digits, as a spreadsheet writes small
// numbers: "1E-05".
func exponent(s string) (power, rest string) {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return "", s
	}
	sign, body := "", s[1:]
	if strings.HasPrefix(body, "-") || strings.HasPrefix(body, "+") {
		sign, body = body[:1], body[1:]
	}
	digits, rest := leadingDigits(body)
	if digits == "" || len(digits) > 2 {
		return "", s
	}
	return "e" + sign + digits, rest
}

// barFraction reads the bar and the lower half of a fraction whose upper half
// is over. Neither may touch a further bar or point: "1/2/3" is a date.
func barFraction(over, rest string) (fraction, behind string, found bool) {
	if !strings.HasPrefix(rest, "/") {
		return "", rest, false
	}
	under, behind := leadingDigits(rest[1:])
	if strings.Trim(under, "0") == "" || strings.HasPrefix(behind, "/") || strings.HasPrefix(behind, ".") {
		return "", rest, false
	}
	return over + "/" + under, behind, true
}

// cleanQuantity is raw with plain digits, signs and single spaces. A digit
// that is no plain one (½, ², ₈) never joins a digit before it: 1½ is 1 1/2,
// not 11/2.
func cleanQuantity(raw string) string {
	var b strings.Builder
	last, fancy := ' ', false // what was written last, and whether it was such a digit
	for _, r := range raw {
		text := plainSign(r)
		isFancy := false
		switch {
		case r == '⁄' || r == '∕' || r == '／':
			text = "/"
		case text != string(r):
		case unicode.IsSpace(r) || unicode.IsControl(r):
			text = " "
		case (r == '²' || r == '³') && unicode.IsLetter(last):
		case r > unicode.MaxASCII:
			text = strings.ReplaceAll(norm.NFKC.String(text), "⁄", "/")
			isFancy = digitAt(text, 0) && (r < '０' || r > '９')
		}
		if text == "" {
			continue
		}
		if isFancy && last >= '0' && last <= '9' && (!fancy || len(text) > 1) {
			text = " " + text
		}
		if !isFancy && fancy && last != '/' && digitAt(text, 0) {
			text = " " + text
		}
		b.WriteString(text)
		for _, c := range text {
			last = c
		}
		fancy = isFancy
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(b.String(), "''", `"`)), " ")
}

// dotted is a number whose dot may set thousands apart: one to three digits, none of
// them a leading naught, a dot, and three more.
var dotted = regexp.MustCompile(`^\s*'?([1-9]\d{0,2})\.(\d{3})(?:\s*[^\d\s.,].*)?$`)

// Thousands gives the two numbers that a text with a dot may mean, in plain spelling;
// both are "" where it can mean only one.
func Thousands(raw string) (decimal, whole string) {
	at := dotted.FindStringSubmatch(cleanQuantity(raw))
	if at == nil {
		return "", ""
	}
	return strings.TrimRight(strings.TrimRight(at[1]+"."+at[2], "0"), "."), at[1] + at[2]
}
