package units

import (
	"fmt"
	"math/big"
	"strings"
)

// Factor turns a number in one unit into the number in another. It is exact
// and remembers one rational a dimension, so that what a person reads is
// *60/1728 (minutes to the hour, cubic inches to the cubic foot) and not
// *5/144.
type Factor struct {
	exact *big.Rat // nil stands for 1
	times []step
	over  []step
}

// step is one number of a factor, as it is written and as it is reckoned
// with.
type step struct {
	text  string
	value float64
}

// Conversion gives the factor by which a number in unit from is multiplied
// to be in unit to. It fails where the two do not measure the same thing.
func Conversion(from, to Unit) (Factor, error) {
	if !from.SameDim(to) {
		return Factor{}, fmt.Errorf("%s is not %s; give both in units of one dimension", from.Describe(), to.Describe())
	}
	if from.exp == to.exp {
		return Factor{}, nil
	}
	f := Factor{exact: big.NewRat(1, 1)}
	for dim := range dimensions {
		r := from.scale(dim)
		r.Quo(r, to.scale(dim))
		f.exact.Mul(f.exact, r)
		f.add(r)
	}
	return f, nil
}

// Describe names a unit together with what it measures.
func (u Unit) Describe() string {
	if u.IsPlain() {
		if s := u.String(); s != "" {
			return fmt.Sprintf("a plain number (%s)", s)
		}
		return "a plain number"
	}
	return fmt.Sprintf("%s (%s)", u, u.Dimension())
}

// add appends the numbers that stand for r: a whole number where there is
// one, else a finite decimal, else numerator and denominator.
func (f *Factor) add(r *big.Rat) {
	inverse := new(big.Rat).Inv(r)
	switch {
	case r.Num().Cmp(r.Denom()) == 0:
	case r.IsInt():
		f.times = append(f.times, newStep(r))
	case inverse.IsInt():
		f.over = append(f.over, newStep(inverse))
	default:
		up, upOK := decimalText(r)
		down, downOK := decimalText(inverse)
		switch {
		case upOK && (!downOK || len(up) <= len(down)):
			f.times = append(f.times, newStep(r))
		case downOK:
			f.over = append(f.over, newStep(inverse))
		default:
			f.times = append(f.times, newStep(new(big.Rat).SetInt(r.Num())))
			f.over = append(f.over, newStep(new(big.Rat).SetInt(r.Denom())))
		}
	}
}

func newStep(r *big.Rat) step {
	text, _ := decimalText(r)
	value, _ := r.Float64()
	return step{text, value}
}

// decimalText writes r in full; ok is false where it has no end or more
// digits than a spreadsheet keeps of a number that is typed in (15).
func decimalText(r *big.Rat) (text string, ok bool) {
	digits, exact := r.FloatPrec()
	text = r.FloatString(digits)
	significant := strings.TrimLeft(strings.ReplaceAll(text, ".", ""), "0")
	return text, exact && len(significant) <= 15
}

// Float is the factor as the nearest float64.
func (f Factor) Float() float64 {
	if f.exact == nil {
		return 1
	}
	v, _ := f.exact.Float64()
	return v
}

// IsOne tells whether there is nothing to convert.
func (f Factor) IsOne() bool {
	return f.exact == nil || f.exact.Num().Cmp(f.exact.Denom()) == 0
}

// Text is what is written behind a value to convert it: "*60/1728",
// "/25.4", "*0.45359237"; the empty text for 1.
func (f Factor) Text() string { return f.Write("*", "/") }

// Apply converts x by the same operations in the same order as Text has them,
// so that the result is the one that a spreadsheet gets, bit for bit.
func (f Factor) Apply(x float64) float64 {
	if f.IsOne() {
		return x
	}
	for _, s := range f.times {
		x *= s.value
	}
	for _, s := range f.over {
		x /= s.value
	}
	return x
}

// Single is the number of a factor that has one, and whether it divides by it.
func (f Factor) Single() (k float64, over, one bool) {
	switch {
	case len(f.times) == 1 && len(f.over) == 0:
		return f.times[0].value, false, true
	case len(f.times) == 0 && len(f.over) == 1:
		return f.over[0].value, true, true
	}
	return 0, false, false
}

// Write writes the operations with other signs than Text.
func (f Factor) Write(times, over string) string {
	if f.IsOne() {
		return ""
	}
	var b strings.Builder
	for _, s := range f.times {
		b.WriteString(times + s.text)
	}
	for _, s := range f.over {
		b.WriteString(over + s.text)
	}
	return b.String()
}
