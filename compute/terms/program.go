package terms

import (
	"encoding/binary"
	"math"
)

// Sum adds up amounts of many rows.
type Sum struct {
	at    map[int32]int
	terms []Term
}

// Add adds an amount so many times.
func (s *Sum) Add(v Value, times float64) {
	if s.at == nil {
		s.at = map[int32]int{}
	}
	for _, t := range v.Terms {
		i, known := s.at[t.Of]
		if !known {
			i = len(s.terms)
			s.at[t.Of], s.terms = i, append(s.terms, Term{Of: t.Of})
		}
		s.terms[i].By += t.By * times
	}
}

// Program works some sums out for a draw. It does not change.
type Program struct {
	steps []step
	args  []Term // of the steps; Of is a place
	sums  [][]piece
	last  int // how many places there are
	funcs []func() func([]float64) float64
}

// step puts an amount into a place.
type step struct {
	do       doing
	to, a, b int32   // places; of a call the function, and how many arguments
	args     []int32 // where the terms of each argument end
	first    int32   // where they begin
}

type doing uint8

const (
	doInput doing = iota
	doTimes
	doOver
	doSum
	doCall
)

// piece is a known number times two places.
type piece struct {
	a, b int32
	by   float64
}

// compiler makes a program.
type compiler struct {
	s      *Split
	p      *Program
	places map[int32]int32 // of products
	forms  map[string]form
}

// form is a sum over parts that belong to rows, and its size against an equal one.
type form struct {
	place int32
	size  float64
}

// Compile gives the program for sums.
func (s *Split) Compile(sums []*Sum) *Program {
	c := &compiler{s: s, p: &Program{funcs: s.funcs, last: 1}, places: map[int32]int32{0: 0}, forms: map[string]form{}}
	for _, sum := range sums {
		c.p.sums = append(c.p.sums, c.sum(sum.terms))
	}
	return c.p
}

// sum puts terms of one sum together that have a part of a row and are alike
// otherwise: the rows are then added up before they are multiplied, and once for all
// sums that have them in the same proportions.
func (c *compiler) sum(of []Term) []piece {
	var out []piece
	groups := map[int32]int{}
	var rests []int32
	var rows [][]Term
	for _, t := range of {
		part, rest := c.rows(t.Of)
		if part == 0 {
			out = append(out, piece{c.product(t.Of), 0, t.By})
			continue
		}
		g, known := groups[rest]
		if !known {
			g = len(rests)
			groups[rest], rests, rows = g, append(rests, rest), append(rows, nil)
		}
		rows[g] = append(rows[g], Term{part, t.By})
	}
	for g, rest := range rests {
		f := c.form(rows[g])
		out = append(out, piece{c.product(rest), f.place, f.size})
	}
	return out
}

// rows splits a product into the function of it that came last, and the rest; 0
// where it has none.
func (c *compiler) rows(product int32) (part, rest int32) {
	of := c.s.products[product]
	for i := len(of) - 1; i >= 0; i-- {
		if of[i].power == 1 && c.s.parts[of[i].part].kind == isCall {
			others := append(append([]factor{}, of[:i]...), of[i+1:]...)
			return c.s.product([]factor{of[i]}), c.s.product(others)
		}
	}
	return 0, product
}

// form is a place for a sum over products, alike to one that is there or new.
func (c *compiler) form(rows []Term) form {
	size := rows[0].By
	if len(rows) == 1 || size == 0 || math.IsNaN(size) || math.IsInf(size, 0) {
		size = 1
	}
	if len(rows) == 1 {
		return form{c.product(rows[0].Of), rows[0].By}
	}
	var key []byte
	for _, t := range rows {
		key = binary.AppendVarint(key, int64(t.Of))
		key = binary.LittleEndian.AppendUint64(key, alike(t.By/size))
	}
	if f, known := c.forms[string(key)]; known {
		return form{f.place, size / f.size}
	}
	place := c.put(step{do: doSum}, [][]Term{rows})
	c.forms[string(key)] = form{place, size}
	return form{place, 1}
}

// alike are the bits of a number without the last, which rounding moves: a thousand
// of them are two in ten to the thirteenth.
func alike(x float64) uint64 { return (math.Float64bits(x) + 1<<9) >> 10 }

// put adds a step after all that its arguments need.
func (c *compiler) put(s step, args [][]Term) int32 {
	for i, a := range args {
		args[i] = append([]Term{}, a...)
		for k, t := range a {
			args[i][k].Of = c.product(t.Of)
		}
	}
	s.first = int32(len(c.p.args))
	for _, a := range args {
		c.p.args = append(c.p.args, a...)
		s.args = append(s.args, int32(len(c.p.args)))
	}
	s.to = int32(c.p.last)
	c.p.last++
	c.p.steps = append(c.p.steps, s)
	return s.to
}

// product is the place of a product.
func (c *compiler) product(no int32) int32 {
	if place, known := c.places[no]; known {
		return place
	}
	of := c.s.products[no]
	last := of[len(of)-1]
	if len(of) == 1 && last.power == 1 {
		place := c.part(c.s.parts[last.part])
		c.places[no] = place
		return place
	}
	rest, do, turned := append([]factor{}, of...), doTimes, int32(1)
	if last.power < 0 {
		do, turned = doOver, -1
	}
	rest[len(rest)-1].power -= turned
	if rest[len(rest)-1].power == 0 {
		rest = rest[:len(rest)-1]
	}
	a, b := c.product(c.s.product(rest)), c.product(c.s.product([]factor{{last.part, 1}}))
	place := c.put(step{do: do, a: a, b: b}, nil)
	c.places[no] = place
	return place
}

func (c *compiler) part(p part) int32 {
	var args [][]Term
	for _, a := range p.args {
		args = append(args, a.Terms)
	}
	do := map[partKind]doing{isInput: doInput, isSum: doSum, isCall: doCall}[p.kind]
	return c.put(step{do: do, a: p.no, b: int32(len(args))}, args)
}

// Steps is how many amounts are worked out for a draw, sums apart.
func (p *Program) Steps() int { return len(p.steps) }

// Runner works a program out; it is for one goroutine.
type Runner struct {
	p      *Program
	places []float64
	args   []float64
	funcs  []func([]float64) float64
}

// Runner makes ready to work the program out.
func (p *Program) Runner() *Runner {
	r := &Runner{p: p, places: make([]float64, p.last)}
	r.places[0] = 1
	for _, f := range p.funcs {
		r.funcs = append(r.funcs, f())
	}
	most := 0
	for _, s := range p.steps {
		most = max(most, len(s.args))
	}
	r.args = make([]float64, most)
	return r
}

// Run puts into out what the sums come to with these inputs; no number is NaN.
func (r *Runner) Run(inputs, out []float64) {
	at := r.places
	for i := range r.p.steps {
		s := &r.p.steps[i]
		switch s.do {
		case doInput:
			at[s.to] = inputs[s.a]
		case doTimes:
			at[s.to] = at[s.a] * at[s.b]
		case doOver:
			at[s.to] = number(at[s.a] / at[s.b])
		case doSum:
			at[s.to] = r.add(s.first, s.args[0])
		case doCall:
			first := s.first
			for k, end := range s.args {
				r.args[k] = number(r.add(first, end))
				first = end
			}
			at[s.to] = r.funcs[s.a](r.args[:len(s.args)])
		}
	}
	for i, sum := range r.p.sums {
		x := 0.0
		for _, p := range sum {
			x += p.by * at[p.a] * at[p.b]
		}
		out[i] = number(x)
	}
}

func (r *Runner) add(first, end int32) float64 {
	x := 0.0
	for _, t := range r.p.args[first:end] {
		x += t.By * r.places[t.Of]
	}
	return x
}

// number turns what is none into NaN.
func number(x float64) float64 {
	if math.Abs(x) <= math.MaxFloat64 {
		return x
	}
	return math.NaN()
}
