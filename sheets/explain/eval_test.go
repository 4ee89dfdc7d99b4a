package explain

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A small evaluator of what is printed: it reads a formula with its numbers as
// a person does who has a pocket calculator, and knows nothing of the model.

// errNoArithmetic marks a formula that looks something up.
var errNoArithmetic = errors.New("no arithmetic")

// amount is a value as read: a number, perhaps of degrees, or a text.
type amount struct {
	x       float64
	degrees bool
	text    string
	isText  bool
}

type reckoner struct {
	toks []string
	at   int
}

var reckonToken = regexp.MustCompile(`"(?:[^"]|"")*"|\d+(?:\.\d+)?(?:E[+-]\d+)?|[A-Za-z$°%][^\s,()×÷"]*|[²³π()×÷+\-−&,]|[<>=≠≤≥^]`)

// reckon works a printed formula out.
func reckon(s string) (out amount, err error) {
	r := &reckoner{toks: reckonToken.FindAllString(s, -1)}
	defer func() {
		if e, is := recover().(error); is {
			err = e
		}
	}()
	out = r.choice(true)
	if r.at < len(r.toks) {
		return out, fmt.Errorf("%q is left over in %q", r.toks[r.at:], s)
	}
	return out, nil
}

func (r *reckoner) peek() string {
	if r.at < len(r.toks) {
		return r.toks[r.at]
	}
	return ""
}

func (r *reckoner) take(want string) bool {
	if r.peek() == want {
		r.at++
		return true
	}
	return false
}

func (r *reckoner) need(want string) {
	if !r.take(want) {
		panic(fmt.Errorf("%q where %q is needed in %v", r.peek(), want, r.toks))
	}
}

// choice is "if a then b else c", or less. A branch that does not hold may
// divide by nothing; its value is not looked at.
func (r *reckoner) choice(wanted bool) amount {
	if !r.take("if") {
		return r.any(wanted)
	}
	cond := r.any(wanted)
	r.need("then")
	yes := r.choice(wanted && cond.x != 0)
	r.need("else")
	no := r.choice(wanted && cond.x == 0)
	if cond.x != 0 {
		return yes
	}
	return no
}

func yesNo(b bool) amount {
	if b {
		return amount{x: 1}
	}
	return amount{}
}

func (r *reckoner) any(w bool) amount {
	a := r.compare(w)
	for {
		switch {
		case r.take("or"):
			b := r.compare(w)
			a = yesNo(a.x != 0 || b.x != 0)
		case r.take("and"):
			b := r.compare(w)
			a = yesNo(a.x != 0 && b.x != 0)
		default:
			return a
		}
	}
}

func (r *reckoner) compare(w bool) amount {
	a := r.join(w)
	op := r.peek()
	if op == "" || !strings.Contains("= ≠ < > ≤ ≥", op) || op == " " {
		return a
	}
	r.at++
	b := r.join(w)
	order := 0
	switch {
	case a.isText:
		order = strings.Compare(strings.ToLower(a.text), strings.ToLower(b.text))
	case math.Abs(a.x-b.x) <= 1e-14*math.Abs(a.x):
	case a.x < b.x:
		order = -1
	case a.x > b.x:
		order = 1
	}
	return yesNo(map[string]bool{"=": order == 0, "≠": order != 0, "<": order < 0, ">": order > 0, "≤": order <= 0, "≥": order >= 0}[op])
}

func (a amount) words() string {
	if a.isText {
		return a.text
	}
	return strconv.FormatFloat(a.x, 'f', -1, 64)
}

func (r *reckoner) join(w bool) amount {
	a := r.plus(w)
	for r.take("&") {
		a = amount{text: a.words() + r.plus(w).words(), isText: true}
	}
	return a
}

func (r *reckoner) plus(w bool) amount {
	a := r.times(w)
	for {
		switch {
		case r.take("+"):
			a.x += r.times(w).x
		case r.take("−"):
			a.x -= r.times(w).x
		default:
			return a
		}
	}
}

func (r *reckoner) times(w bool) amount {
	a := r.power(w)
	for {
		switch {
		case r.take("×"):
			b := r.power(w)
			a = amount{x: a.x * b.x}
		case r.take("÷"):
			b := r.power(w)
			if w && b.x == 0 {
				panic(fmt.Errorf("nothing can be divided by 0 in %v", r.toks))
			}
			a = amount{x: a.x / b.x, degrees: a.degrees}
		default:
			return a
		}
	}
}

func (r *reckoner) power(w bool) amount {
	a := r.one(w)
	switch {
	case r.take("²"):
		a.x *= a.x
	case r.take("³"):
		a.x *= a.x * a.x
	}
	return a
}

func (r *reckoner) one(w bool) amount {
	t := r.peek()
	r.at++
	switch {
	case t == "π":
		return amount{x: math.Pi}
	case t == "(":
		a := r.choice(w)
		r.need(")")
		return a
	case t == "-" || t == "−":
		a := r.one(w)
		a.x = -a.x
		return a
	case t == "nothing":
		return amount{isText: true}
	case strings.HasPrefix(t, `"`):
		return amount{text: strings.ReplaceAll(t[1:len(t)-1], `""`, `"`), isText: true}
	case t != "" && t[0] >= '0' && t[0] <= '9':
		x, err := strconv.ParseFloat(t, 64)
		if err != nil {
			panic(err)
		}
		return r.unit(amount{x: x})
	}
	for r.peek() != "" && r.peek() != "(" {
		t += " " + r.peek()
		r.at++
	}
	return r.function(t, w)
}

// unit reads the unit after a number; only two of them change what it is.
func (r *reckoner) unit(a amount) amount {
	switch u := r.peek(); u {
	case "%":
		a.x /= 100
	case "°":
		a.degrees = true
	case "and", "or", "then", "else":
		return a
	default:
		if u == "" || !strings.ContainsAny(u[:1], "abcdefghijklmnopqrstuvwxyzLI$") {
			return a
		}
	}
	r.at++
	return a
}

func (r *reckoner) function(name string, w bool) amount {
	r.need("(")
	var args []amount
	for !r.take(")") {
		if name == "match" || name == "band" || name == "first check" || name == "check words" || name == "cup" || name == "branch edge" {
			if w {
				panic(errNoArithmetic)
			}
		}
		args = append(args, r.choice(w))
		r.take(",")
	}
	angle := func() float64 {
		if args[0].degrees {
			return args[0].x * math.Pi / 180
		}
		return args[0].x
	}
	places := func(x float64, n int32) decimal.Decimal {
		return decimal.RequireFromString(strconv.FormatFloat(x, 'g', 15, 64)).Round(n)
	}
	switch name {
	case "round":
		return amount{x: places(args[0].x, int32(args[1].x)).InexactFloat64()}
	case "whole up":
		return amount{x: places(args[0].x, 6).Ceil().InexactFloat64()}
	case "whole down":
		return amount{x: places(args[0].x, 6).Floor().InexactFloat64()}
	case "min", "max":
		a := args[0]
		for _, b := range args[1:] {
			if (b.x < a.x) == (name == "min") {
				a = b
			}
		}
		return a
	case "sqrt":
		return amount{x: math.Sqrt(args[0].x)}
	case "ln":
		return amount{x: math.Log(args[0].x)}
	case "power":
		return amount{x: math.Pow(args[0].x, args[1].x)}
	case "sin":
		return amount{x: math.Sin(angle())}
	case "cos":
		return amount{x: math.Cos(angle())}
	case "tan":
		return amount{x: math.Tan(angle())}
	case "abs":
		return amount{x: math.Abs(args[0].x)}
	case "not":
		return yesNo(args[0].x == 0)
	case "blank":
		return yesNo(false) // a number stands there
	case "mentions":
		return yesNo(strings.Contains(strings.ToLower(args[0].text), strings.ToLower(args[1].text)))
	case "match", "band", "first check", "check words", "shows error", "cup", "branch edge":
		if !w {
			return amount{}
		}
		panic(errNoArithmetic)
	}
	panic(fmt.Errorf("%s is no function in %v", name, r.toks))
}

// The evaluator itself, against arithmetic done by hand.
func TestReckon(t *testing.T) {
	for formula, want := range map[string]float64{
		"(1 × (9.5 in + 1 × 0.25 in) + 19 × 0.06 in) ÷ 3 in/min":      3.63,
		"if \"Pie cut\" = \"pie cut\" and 1 in > 0 then 2 else 1 ÷ 0": 2,
		"π ÷ 4 × (2 in)² × 3 in":                                      π3,
		"round(2.345 $ × 15 % × 100, 2)":                              35.18,
		"1 ÷ cos(60 °)":                                               2,
		"whole up(45 ° ÷ 14.9999999999 °)":                            3,
		"max(3, whole down(9.9 in ÷ 2.5 in)) − (-2)":                  5,
	} {
		got, err := reckon(formula)
		require.NoError(t, err, formula)
		assert.InDelta(t, want, got.x, 1e-9, formula)
	}
	_, err := reckon("match(cars.name, \"x\")")
	assert.ErrorIs(t, err, errNoArithmetic)
}

const π3 = 3 * math.Pi
