package whatif

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"seamtally/compute/units"
	"seamtally/sheets/entry"
)

// Numbers with their thousands set apart, as a person types or copies them.
var (
	byCommas = regexp.MustCompile(`^[-+]?\d{1,3}(?:,\d{3})+(?:\.\d+)?$`)
	byPoints = regexp.MustCompile(`^[-+]?\d{1,3}(?:\.\d{3})+,\d+$`)
	byBlanks = regexp.MustCompile(`^[-+]?\d{1,3}(?:[ \x{a0}\x{202f}']\d{3})+(?:\.\d+)?$`)
	leading  = regexp.MustCompile(`^[-+]?[\d.,]*\d`)
)

// asTyped is a value in the words that a quantity is read in, as a spreadsheet's cell
// takes it that shows amounts so: with a sign for money before or behind, with what it
// is for left to the cell's unit, and with commas between thousands. It is refused with
// what to write where it could be meant in two ways.
func (l *locator) asTyped(text string, unit units.Unit) (string, error) {
	money := strings.Contains(unit.String(), "$")
	if bare := strings.Trim(text, "$ "); byBlanks.MatchString(bare) {
		return "", fmt.Errorf("%q has its thousands set apart; write %s", text, strings.Map(digits, bare))
	}
	if money {
		var err error
		if text, err = l.withoutSign(text, unit); err != nil {
			return "", err
		}
	}
	n := leading.FindString(text)
	rest := text[len(n):]
	switch commas := strings.Count(n, ","); {
	case byPoints.MatchString(n):
		return "", fmt.Errorf("%q has a decimal comma; write %s", text, strings.ReplaceAll(strings.ReplaceAll(n, ".", ""), ",", ".")+rest)
	case byCommas.MatchString(n) && (money || commas > 1 || strings.Contains(n, ".")):
		return strings.ReplaceAll(n, ",", "") + rest, nil
	}
	return text, nil
}

// withoutSign takes the sign for money off an amount, which may have what it is for
// behind it; one for other money is refused.
func (l *locator) withoutSign(text string, unit units.Unit) (string, error) {
	isSign := func(r rune) bool { return unicode.Is(unicode.Sc, r) }
	other := func(r rune) bool { return isSign(r) && string(r) != "$" && string(r) != l.Currency() }
	if i := strings.IndexFunc(text, other); i >= 0 {
		return "", fmt.Errorf("%q is in other money than the workbook, which is in %s; write the amount in that", text, l.Currency())
	}
	if r := l.Currency(); r != "$" {
		text = strings.ReplaceAll(text, r, "$")
	}
	sign := ""
	if strings.HasPrefix(text, "-") || strings.HasPrefix(text, "+") {
		sign, text = text[:1], strings.TrimSpace(text[1:])
	}
	text = sign + strings.TrimSpace(strings.TrimPrefix(text, "$"))
	n := leading.FindString(text)
	rest := strings.TrimSpace(text[len(n):])
	per := strings.TrimPrefix(unit.String(), "$")
	switch rest = strings.TrimSpace(strings.TrimPrefix(rest, "$")); {
	case n == "" || rest == "":
		return n + rest, nil
	case per == "":
		return n + " " + rest, nil
	}
	for _, begins := range []string{"/", "per ", "an ", "a "} {
		if of, ok := strings.CutPrefix(rest, begins); ok {
			return n + " $/" + l.unitWord(strings.TrimSpace(of)), nil
		}
	}
	return n + " " + rest, nil
}

// unitWord is a unit as formulas have it, of one in words or in signs.
func (l *locator) unitWord(text string) string {
	if u, ok := l.Measures.Unit(text); ok {
		return u.String()
	}
	return text
}

// unclear says of a value that is not taken what to type: the number in it, with the
// unit of the cell. What the reading itself has to say of the number goes before.
func (l *locator) unclear(text string, unit units.Unit, err error) error {
	var why *entry.Unreadable
	from := strings.TrimLeftFunc(text, func(r rune) bool { return r != '-' && !unicode.IsDigit(r) })
	n := leading.FindString(from)
	if n == "" || strings.ContainsAny(from[len(n):], "0123456789") || strings.Contains(n, ",") || !errors.As(err, &why) || !strings.HasPrefix(why.Fix, "write a number") {
		return err
	}
	with := ""
	if name := unit.String(); name != "" && name != "1" {
		with = fmt.Sprintf(", or %s %s", n, strings.ReplaceAll(name, "$", l.Currency()))
	}
	what := why.What
	if strings.HasSuffix(what, `"`) { // that it is such a text, and no more
		what = fmt.Sprintf("%q is not understood", text)
	}
	return fmt.Errorf("%s; write %s%s", what, n, with)
}

func digits(r rune) rune {
	if unicode.IsDigit(r) || r == '.' || r == '-' || r == '+' {
		return r
	}
	return -1
}
