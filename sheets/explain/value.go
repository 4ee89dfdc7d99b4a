package explain

import (
	"math"
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/page"
)

// amounts writes values with their units: to full precision for a program, or
// rounded for a person.
type amounts struct {
	currency string // "" leaves the unit of money as it is
	rounded  bool
}

// Words for what is no number.
const (
	Raised      = "raised" // a check that says something
	nothingText = "nothing"
	noValueText = "no value"
)

// digits is how many a person is shown of a quantity that is no money.
const digits = 6

// number writes x, which is in unit u.
func (a amounts) number(u units.Unit, x float64) string {
	text, unit := a.split(u, x)
	if unit == "" {
		return text
	}
	return text + " " + unit
}

// split is a number and its unit apart.
func (a amounts) split(u units.Unit, x float64) (text, unit string) {
	name := u.String()
	switch {
	case formula.IsBlank(x):
		return nothingText, ""
	case math.IsNaN(x):
		return noValueText, ""
	case name == "%":
		x *= 100
	case u.IsPlain() && name != "ppm":
		name = ""
	}
	if a.currency != "" {
		name = strings.ReplaceAll(name, "$", a.currency)
	}
	if !a.rounded {
		return formula.GeneralText(x), name
	}
	return rounded(x, u.String() == "$"), name
}

// rounded is a number for a person: money to the cent, all else to some digits,
// with commas between thousands.
func rounded(x float64, money bool) string {
	var text string
	if money {
		text = strconv.FormatFloat(formula.Round(x, 2), 'f', 2, 64)
	} else {
		places := digits - 1
		if x != 0 {
			places -= int(math.Floor(math.Log10(math.Abs(x))))
		}
		if places > 15 {
			return strconv.FormatFloat(x, 'g', digits, 64)
		}
		text = strconv.FormatFloat(x, 'f', max(places, 0), 64)
		if strings.Contains(text, ".") {
			text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
		}
	}
	whole, rest, _ := strings.Cut(text, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if text = sign + whole; rest != "" {
		text += "." + rest
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// inFormula writes a value of a quantity in place of its name.
func (a amounts) inFormula(q *model.Quantity, f *formula.Frame) string {
	if q.IsText() {
		return page.Quoted(q.Text(f))
	}
	x := countedAs(q, q.Num(f))
	text := a.number(q.Unit, x)
	if x < 0 {
		return "(" + text + ")"
	}
	return text
}

// countedAs is how a formula reckons with an empty cell of a table.
func countedAs(q *model.Quantity, x float64) float64 {
	if q.Role == model.Column && formula.IsBlank(x) {
		return 0
	}
	return x
}

// result writes a value by itself: a count has its word.
func (a amounts) result(q *model.Quantity, f *formula.Frame) string {
	if q.IsText() {
		if s := q.Text(f); s != "" {
			return s
		}
		return nothingText
	}
	x := q.Num(f)
	if q.Role == model.Check {
		switch {
		case q.Level == model.LevelOK:
			return "always"
		case x == 1:
			return Raised
		}
		return "not raised"
	}
	text := a.number(q.Unit, x)
	if word := countWord(q); word != "" && !math.IsNaN(x) {
		if x == 1 {
			word = strings.TrimSuffix(strings.Replace(word, "passes", "passs", 1), "s")
		}
		text += " " + word
	}
	return text
}

// countWord is what a count counts, "" where that is no word: welds.
func countWord(q *model.Quantity) string {
	switch name := model.UnitName(q); {
	case model.UnitLabel(q) != "", name == "1", name == "%", name == "each", name == "text":
		return ""
	default:
		return name
	}
}

// valueOf is a value as it stands in a report: a number, a text, or nil.
func valueOf(q *model.Quantity, f *formula.Frame) any {
	if q.IsText() {
		return q.Text(f)
	}
	x := q.Num(f)
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return nil
	case q.UnitOf == "$":
		return formula.Round(x, model.MoneyPlaces)
	}
	return x
}
