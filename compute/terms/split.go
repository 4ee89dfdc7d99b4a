// Package terms splits amounts into what is known and what is drawn: each is a
// sum of products of drawn amounts, with known coefficients. Amounts of many rows
// add up to sums of a few terms, which are then worked out for one draw after
// another. What is no sum of products, such as a maximum, becomes a drawn amount of
// its own; equal ones are one. It knows nothing of formulas or joints.
package terms

import (
	"encoding/binary"
	"math"
	"slices"
)

// Term is a product of drawn amounts and its coefficient.
type Term struct {
	Of int32 // the product's number; 0 is one
	By float64
}

// Value is a sum of terms, rising by their products.
type Value struct {
	Terms []Term
	Plain bool // nothing of a row is in it: every row has it alike
}

// Known is an amount of which nothing is drawn.
func Known(x float64, plain bool) Value { return Value{[]Term{{0, x}}, plain} }

// Known is the amount, where nothing of it is drawn.
func (v Value) Known() (x float64, known bool) {
	if len(v.Terms) == 1 && v.Terms[0].Of == 0 {
		return v.Terms[0].By, true
	}
	return 0, false
}

// Scale applies a function that multiplies to every coefficient.
func (v Value) Scale(by func(float64) float64) Value {
	out := Value{slices.Clone(v.Terms), v.Plain}
	for i := range out.Terms {
		out.Terms[i].By = by(out.Terms[i].By)
	}
	return out
}

// Split keeps all products and drawn amounts that were met. It is for one goroutine.
type Split struct {
	parts    []part
	products [][]factor
	known    map[string]int32 // parts and products by what they are
	times    map[[2]int32]int32
	funcs    []func() func([]float64) float64
	key      []byte
}

// part is a drawn amount: an input, a sum, or a function of sums.
type part struct {
	kind partKind
	no   int32 // of the input or the function
	args []Value
}

type partKind uint8

const (
	isInput partKind = iota
	isSum
	isCall
)

// factor is a power of a part.
type factor struct{ part, power int32 }

// NewSplit knows nothing yet.
func NewSplit() *Split {
	return &Split{products: [][]factor{nil}, known: map[string]int32{}, times: map[[2]int32]int32{}}
}

// Input is the drawn amount of that number.
func (s *Split) Input(no int) Value {
	return s.single(s.part(part{kind: isInput, no: int32(no)}), true)
}

// Func takes in a function for [Split.Call]. It is made anew for each that works
// out draws, so that it may keep room of its own.
func (s *Split) Func(f func() func([]float64) float64) int {
	s.funcs = append(s.funcs, f)
	return len(s.funcs) - 1
}

// Call is a function of amounts.
func (s *Split) Call(f int, args []Value) Value {
	plain := true
	for _, a := range args {
		plain = plain && a.Plain
	}
	return s.single(s.part(part{isCall, int32(f), args}), plain)
}

// Sealed is the same amount as one term.
func (s *Split) Sealed(v Value) Value {
	if len(v.Terms) == 1 {
		return v
	}
	return s.single(s.part(part{kind: isSum, args: []Value{v}}), v.Plain)
}

func (s *Split) single(part int32, plain bool) Value {
	return Value{[]Term{{s.product([]factor{{part, 1}}), 1}}, plain}
}

// part is the number of a drawn amount, new or known.
func (s *Split) part(p part) int32 {
	key := append(s.key[:0], 'p', byte(p.kind))
	key = binary.AppendVarint(key, int64(p.no))
	for _, a := range p.args {
		key = append(key, '(')
		for _, t := range a.Terms {
			key = binary.AppendVarint(key, int64(t.Of))
			key = binary.LittleEndian.AppendUint64(key, math.Float64bits(t.By))
		}
	}
	no, known := s.numberOf(key, len(s.parts))
	if !known {
		s.parts = append(s.parts, p)
	}
	return no
}

// numberOf is the number that a key has, or now gets: the next.
func (s *Split) numberOf(key []byte, next int) (no int32, known bool) {
	s.key = key
	if no, known = s.known[string(key)]; !known {
		no = int32(next)
		s.known[string(key)] = no
	}
	return no, known
}

// product is the number of a product, new or known. The factors are kept.
func (s *Split) product(of []factor) int32 {
	if len(of) == 0 {
		return 0
	}
	key := append(s.key[:0], 'x')
	for _, f := range of {
		key = binary.AppendVarint(key, int64(f.part))
		key = binary.AppendVarint(key, int64(f.power))
	}
	no, known := s.numberOf(key, len(s.products))
	if !known {
		s.products = append(s.products, of)
	}
	return no
}

// Add is a+b.
func (s *Split) Add(a, b Value) Value { return Value{add(a.Terms, b.Terms), a.Plain && b.Plain} }

// add merges terms of two sums.
func add(a, b []Term) []Term {
	out := make([]Term, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0].Of < b[0].Of:
			out, a = append(out, a[0]), a[1:]
		case a[0].Of > b[0].Of:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, Term{a[0].Of, a[0].By + b[0].By}), a[1:], b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// mostTerms is how many terms a product may have before one side is sealed.
const mostTerms = 64

// Times is a*b. What every row has alike is kept together, so that it is worked out
// once a draw.
func (s *Split) Times(a, b Value) Value {
	if x, known := a.Known(); known {
		a, b = b, Known(x, a.Plain)
	}
	if x, known := b.Known(); known {
		return Value{a.Scale(func(y float64) float64 { return y * x }).Terms, a.Plain && b.Plain}
	}
	many := len(a.Terms)*len(b.Terms) > mostTerms
	if a.Plain && !b.Plain || many && a.Plain == b.Plain {
		a = s.Sealed(a)
	}
	if b.Plain && !a.Plain || many && !b.Plain {
		b = s.Sealed(b)
	}
	out := make([]Term, 0, len(a.Terms)*len(b.Terms))
	for _, x := range a.Terms {
		for _, y := range b.Terms {
			out = append(out, Term{s.multiplied(x.Of, y.Of), x.By * y.By})
		}
	}
	slices.SortStableFunc(out, func(x, y Term) int { return int(x.Of - y.Of) })
	n := 0
	for i, t := range out {
		if i > 0 && out[n-1].Of == t.Of {
			out[n-1].By += t.By
			continue
		}
		out[n], n = t, n+1
	}
	return Value{out[:n], a.Plain && b.Plain}
}

// Over is a/b.
func (s *Split) Over(a, b Value) Value {
	if x, known := b.Known(); known {
		if x == 0 {
			return Known(math.NaN(), a.Plain && b.Plain)
		}
		return Value{a.Scale(func(y float64) float64 { return y / x }).Terms, a.Plain && b.Plain}
	}
	below := s.Sealed(b)
	of := slices.Clone(s.products[below.Terms[0].Of])
	for i := range of {
		of[i].power = -of[i].power
	}
	return s.Times(a, Value{[]Term{{s.product(of), 1 / below.Terms[0].By}}, b.Plain})
}

// multiplied is the product of two products.
func (s *Split) multiplied(a, b int32) int32 {
	switch {
	case a == 0:
		return b
	case b == 0:
		return a
	case a > b:
		a, b = b, a
	}
	if no, known := s.times[[2]int32{a, b}]; known {
		return no
	}
	x, y := s.products[a], s.products[b]
	var of []factor
	for len(x) > 0 && len(y) > 0 {
		switch {
		case x[0].part < y[0].part:
			of, x = append(of, x[0]), x[1:]
		case x[0].part > y[0].part:
			of, y = append(of, y[0]), y[1:]
		default:
			if power := x[0].power + y[0].power; power != 0 {
				of = append(of, factor{x[0].part, power})
			}
			x, y = x[1:], y[1:]
		}
	}
	no := s.product(append(append(of, x...), y...))
	s.times[[2]int32{a, b}] = no
	return no
}
