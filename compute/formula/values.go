package formula

import (
	"math"
	"strconv"
	"strings"
)

// blankBits is a quiet NaN whose payload no arithmetic yields, so that a
// blank is told from an error.
const blankBits = 0x7FF8_0000_B1A2_0001

// ErrorText is the value of a text formula that has none, as a spreadsheet
// shows it. The error of a number is any NaN but Blank.
const ErrorText = "#VALUE!"

// Blank is the value of a number that was left empty: IF(x=0,"",x).
func Blank() float64 { return math.Float64frombits(blankBits) }

// IsBlank tells whether x is Blank. An error is not.
func IsBlank(x float64) bool { return math.Float64bits(x) == blankBits }

// isFinite tells a number from infinities and NaN. Not by x-x==0: where x is a
// product, arm64 takes x from the product before it is rounded, and the
// difference is not 0.
func isFinite(x float64) bool { return math.Abs(x) <= math.MaxFloat64 }

// finite passes a number on and turns all else into an error: a spreadsheet
// has no infinity.
func finite(x float64) float64 {
	if isFinite(x) {
		return x
	}
	return math.NaN()
}

// close is how near two numbers must be, relative to either, for a
// spreadsheet to call them equal: 2^-48, about 15 digits.
const closeness = 1.0 / (1 << 48)

func alike(a, b float64) bool {
	if a == b {
		return true
	}
	d := math.Abs(a - b)
	return d < math.Abs(a)*closeness && d < math.Abs(b)*closeness
}

// sum is a+b. As in a spreadsheet, what is left of two numbers that cancel to
// all their digits is nothing: 0.3-0.2-0.1 is 0.
func sum(a, b float64) float64 {
	s := a + b
	if s != 0 && math.Abs(s) < math.Abs(a)*closeness {
		return 0
	}
	return finite(s)
}

func quotient(a, b float64) float64 {
	if b == 0 {
		return math.NaN()
	}
	return finite(a / b)
}

func power(a, b float64) float64 {
	switch {
	case b == 2:
		return finite(a * a)
	case a == 0 && b == 0:
		return math.NaN()
	}
	return finite(math.Pow(a, b))
}

// truth is a truth value as a number.
func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// compare gives 1, 0, or NaN where an operand is an error.
func compare(op Op, a, b float64) float64 {
	if a != a || b != b {
		return math.NaN()
	}
	same := alike(a, b)
	switch op {
	case Equal:
		return truth(same)
	case NotEqual:
		return truth(!same)
	case Less:
		return truth(!same && a < b)
	case LessEqual:
		return truth(same || a < b)
	case Greater:
		return truth(!same && a > b)
	}
	return truth(same || a > b)
}

// equalText compares texts as a spreadsheet does, capitals or not.
func equalText(a, b string) float64 {
	if a == ErrorText || b == ErrorText {
		return math.NaN()
	}
	return truth(strings.EqualFold(a, b))
}

func joinText(a, b string) string {
	if a == ErrorText || b == ErrorText {
		return ErrorText
	}
	return a + b
}

// GeneralText is a number as a spreadsheet joins it to a text: up to 15
// significant digits, no more than it needs, a power of ten only for the very
// large and very small. An error gives ErrorText.
func GeneralText(x float64) string {
	if !isFinite(x) {
		return ErrorText
	}
	if x == 0 {
		return "0"
	}
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(x, 'e', 14, 64), "e")
	power, _ := strconv.Atoi(exponent)
	mantissa = strings.TrimRight(strings.TrimRight(mantissa, "0"), ".")
	if power >= -5 && power < 15 {
		rounded, _ := strconv.ParseFloat(mantissa+"e"+exponent, 64)
		return strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	sign := "+"
	if power < 0 {
		sign, power = "-", -power
	}
	digits := strconv.Itoa(power)
	if len(digits) < 2 {
		digits = "0" + digits
	}
	return mantissa + "E" + sign + digits
}
