package units

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Unit is the unit of a quantity: a dimension and an exact scale. The zero
// Unit is that of a plain number. Units are comparable with ==, which also
// tells labels apart ("starts" from "each"); Equal does not.
type Unit struct {
	exp   [atomCount]int8
	label string
}

// Parse reads a unit such as "in", "ft³/h", "$/ft", "lb/in^3", "L/min",
// "°" or "%". Products are joined by · or *, quotients by /, powers written
// ² ³ or ^2. The empty text and the words for counted things ("each",
// "starts", "welds" ...) are plain numbers of scale 1, and so are % (a cell
// of 85 % holds 0.85) and rad; ppm is a plain number of scale 1e-6. The text
// is kept for String.
func Parse(s string) (Unit, error) {
	text := strings.TrimSpace(s)
	var u Unit
	if text == "" {
		return u, nil
	}
	if isCountWord(text) {
		return Unit{label: text}, nil
	}
	sign := 1
	rest := text
	for {
		end := strings.IndexAny(rest, "/*·")
		part := rest
		if end >= 0 {
			part = rest[:end]
		}
		one, err := parsePower(strings.TrimSpace(part))
		if err != nil {
			return Unit{}, &unknown{s, err}
		}
		u = u.Mul(one.Pow(sign))
		if !u.InRange() {
			return Unit{}, fmt.Errorf("unit %q: exponent over %d; write a smaller power", s, LargestExponent)
		}
		if end < 0 {
			break
		}
		sign = 1
		if rest[end] == '/' {
			sign = -1
		}
		_, size := utf8.DecodeRuneInString(rest[end:])
		rest = rest[end+size:]
	}
	u.label = text
	return u, nil
}

// Degrees is the unit of an angle in degrees.
func Degrees() Unit {
	var u Unit
	u.exp[atomDegree] = 1
	return u
}

func isCountWord(s string) bool {
	return !strings.Contains(s, " ") && strings.Contains(countWords, " "+s+" ")
}

// parsePower reads one unit symbol with its power, "in", "in²", "ft^3".
func parsePower(s string) (Unit, error) {
	power := 1
	switch {
	case strings.HasSuffix(s, "²"):
		s, power = strings.TrimSuffix(s, "²"), 2
	case strings.HasSuffix(s, "³"):
		s, power = strings.TrimSuffix(s, "³"), 3
	default:
		if base, exp, found := strings.Cut(s, "^"); found {
			n, err := strconv.Atoi(exp)
			if err != nil || n < -LargestExponent || n > LargestExponent {
				return Unit{}, fmt.Errorf("%q is no power; write a whole number such as ^2", exp)
			}
			s, power = base, n
		}
	}
	if isCountWord(s) {
		return Unit{}, nil
	}
	if s == "deg" {
		s = "°"
	}
	for i := range atomCount {
		if atomAt(i).symbol == s {
			var u Unit
			u.exp[i] = int8(power)
			return u, nil
		}
	}
	return Unit{}, noSymbol(s)
}

// unknown is the error for a text that is no unit. Many texts are only tried for one, so that
// its words are made when they are asked for.
type unknown struct {
	text string
	why  error
}

func (e *unknown) Error() string { return fmt.Sprintf("unit %q: %v", e.text, e.why) }
func (e *unknown) Unwrap() error { return e.why }

// noSymbol is the error for a symbol of no unit.
type noSymbol string

func (s noSymbol) Error() string {
	return fmt.Sprintf("%q is not known; write one of %s, or a counted thing such as each", string(s), symbols())
}

// Begins reports whether the text of a unit may begin with a word.
func Begins(word string) bool {
	for i := range atomCount {
		if strings.HasPrefix(atomAt(i).symbol, word) {
			return true
		}
	}
	return strings.Contains(countWords, " "+word) || strings.HasPrefix("deg", word)
}

func symbols() string {
	var list []string
	for i := range atomCount {
		list = append(list, atomAt(i).symbol)
	}
	return strings.Join(list, " ")
}

// String is the text that the unit was read from, or one made of its parts:
// "in³·h/ft³". A plain number without a label is the empty text.
func (u Unit) String() string {
	if u.label != "" {
		return u.label
	}
	var over, under []string
	for i, e := range u.exp {
		switch {
		case e > 0:
			over = append(over, atomAt(i).symbol+Superscript(int(e)))
		case e < 0:
			under = append(under, atomAt(i).symbol+Superscript(int(-e)))
		}
	}
	text := strings.Join(over, "·")
	if len(under) == 0 {
		return text
	}
	if text == "" {
		text = "1"
	}
	return text + "/" + strings.Join(under, "/")
}

// Superscript writes a power behind what it is of: nothing for 1.
func Superscript(power int) string {
	switch power {
	case 1:
		return ""
	case 2:
		return "²"
	case 3:
		return "³"
	}
	return "^" + strconv.Itoa(power)
}

// dims returns the exponents of the base dimensions. The entry of plain
// numbers is always 0: a scale is no dimension.
func (u Unit) dims() [dimensions]int {
	var d [dimensions]int
	for i, e := range u.exp {
		if a := atomAt(i); a.dim != number {
			d[a.dim] += int(e) * a.power
		}
	}
	return d
}

// Dimension names the dimension for a message: "length", "length³/time",
// "plain number".
func (u Unit) Dimension() string {
	names := [dimensions]string{"length", "time", "mass", "money", "angle", ""}
	var over, under []string
	for i, e := range u.dims() {
		switch {
		case e > 0:
			over = append(over, names[i]+Superscript(e))
		case e < 0:
			under = append(under, names[i]+Superscript(-e))
		}
	}
	text := strings.Join(over, "·")
	if len(under) > 0 {
		if text == "" {
			text = "1"
		}
		return text + "/" + strings.Join(under, "/")
	}
	if text == "" {
		return "plain number"
	}
	return text
}

// IsPlain tells whether the unit has no dimension; its scale need not be 1
// (in/ft, ppm).
func (u Unit) IsPlain() bool { return u.dims() == [dimensions]int{} }

// SameDim tells whether u and v measure the same kind of thing, in whatever
// scale.
func (u Unit) SameDim(v Unit) bool { return u.dims() == v.dims() }

// OtherDays reports whether one of two units counts in days and the other does not.
// The day is one of 24 hours, which no shop works: 760 $/day is no 31.67 $/h.
func (u Unit) OtherDays(v Unit) bool { return u.exp[atomDay] != v.exp[atomDay] }

// Equal tells whether u and v are the same unit, whatever they are called:
// the same dimension and the same scale.
func (u Unit) Equal(v Unit) bool {
	f, err := Conversion(u, v)
	return err == nil && f.IsOne()
}

// Mul is the unit of a product.
func (u Unit) Mul(v Unit) Unit {
	if v.exp == [atomCount]int8{} {
		if u.exp == v.exp {
			return Unit{}
		}
		return u
	}
	if u.exp == [atomCount]int8{} {
		return v
	}
	var w Unit
	for i := range w.exp {
		w.exp[i] = u.exp[i] + v.exp[i]
	}
	return w
}

// Div is the unit of a quotient.
func (u Unit) Div(v Unit) Unit { return u.Mul(v.Pow(-1)) }

// Pow is the unit of a whole power.
func (u Unit) Pow(n int) Unit {
	if n == 1 {
		return u
	}
	var w Unit
	for i := range w.exp {
		w.exp[i] = int8(int(u.exp[i]) * n)
	}
	return w
}

// InRange tells whether all exponents are small enough for another product
// to be formed without overflow.
func (u Unit) InRange() bool {
	for _, e := range u.exp {
		if e > LargestExponent || e < -LargestExponent {
			return false
		}
	}
	return true
}

// Mixed tells whether one dimension is measured in two units at once, as in
// $·min/h or in·ft: such a unit has a scale that nobody reads.
func (u Unit) Mixed() bool {
	var seen [dimensions]bool
	for i, e := range u.exp {
		if e == 0 {
			continue
		}
		dim := atomAt(i).dim
		if seen[dim] {
			return true
		}
		seen[dim] = true
	}
	return false
}

// Collapse gives a unit of u's dimension with at most one length, one time
// and so on, the first that u has: in·ft becomes in². A litre and a scale of
// plain numbers go into the base.
func (u Unit) Collapse() Unit {
	var w Unit
	for dim, e := range u.dims() {
		if e == 0 {
			continue
		}
		w.exp[u.atomFor(dim)] = int8(e)
	}
	return w
}

func (u Unit) atomFor(dim int) int {
	found := -1
	for i, e := range u.exp {
		if a := atomAt(i); a.dim == dim && a.power == 1 && (found < 0 || e != 0 && u.exp[found] == 0) {
			found = i
		}
	}
	return found
}

// Root is the unit of a square root; ok is false where an exponent of u's
// dimension is odd. The operand must first be brought to from.
func (u Unit) Root() (from, to Unit, ok bool) {
	from = u
	for pass := 0; pass < 2; pass++ {
		ok = true
		for i, e := range from.exp {
			if e%2 != 0 {
				ok = false
			}
			to.exp[i] = e / 2
		}
		if ok {
			return from, to, true
		}
		from = u.Collapse()
	}
	return Unit{}, Unit{}, false
}

// scale is the exact size of the unit along one base dimension.
func (u Unit) scale(dim int) *big.Rat {
	r := big.NewRat(1, 1)
	for i, e := range u.exp {
		a := atomAt(i)
		if a.dim != dim || e == 0 {
			continue
		}
		one := big.NewRat(a.num, a.den)
		if e < 0 {
			one.Inv(one)
			e = -e
		}
		for range e {
			r.Mul(r, one)
		}
	}
	return r
}
