package formula

import (
	"math"

	"seamtally/compute/terms"
)

// Drawn finds the terms of a value for a row.
type Drawn func(*Frame) terms.Value

// Moving says of names what is drawn of them.
type Moving interface {
	// Moves gives the terms of a name that is drawn, nil of one that stays. Of one
	// that stays, alike says whether every row has it alike.
	Moves(n *Name) (of Drawn, alike bool, err error)
	// Smooth reports whether rounding is left off of what has a type.
	Smooth(t Type) bool
}

// Split gives the terms of a formula, whose scope has values: products and sums of
// what is drawn are taken apart, and what stays is worked out for the row. It fails
// where what is drawn goes into a text, or into a function from outside.
func (f *Formula) Split(to *terms.Split, m Moving) (Drawn, error) {
	s := &splitter{f: f, to: to, m: m}
	return s.node(f.node)
}

type splitter struct {
	f  *Formula
	to *terms.Split
	m  Moving
}

// moves reports whether something below a node is drawn, and else whether every row
// has it alike.
func (s *splitter) moves(n Node) (moves, alike bool, err error) {
	alike = true
	walk(n, func(n Node) {
		if name, ok := n.(*Name); ok && err == nil {
			var of Drawn
			var same bool
			of, same, err = s.m.Moves(name)
			moves, alike = moves || of != nil, alike && same
		}
	})
	return moves, alike, err
}

// node gives the terms of a node, converted to what its surroundings need.
func (s *splitter) node(n Node) (Drawn, error) {
	moves, alike, err := s.moves(n)
	if err != nil {
		return nil, err
	}
	if !moves {
		code, err := (&Compiler{f: s.f}).Compile(n)
		if err != nil {
			return nil, err
		}
		if code.Num == nil {
			return nil, s.cannot(n)
		}
		return func(fr *Frame) terms.Value { return terms.Known(code.Num(fr), alike) }, nil
	}
	of, err := s.bare(n)
	if err != nil {
		return nil, err
	}
	if factor, ok := s.f.factors[n]; ok {
		by := convertBy(factor)
		return func(fr *Frame) terms.Value { return of(fr).Scale(by) }, nil
	}
	return of, nil
}

func (s *splitter) cannot(n Node) error {
	return &Error{Source: s.f.src, Offset: n.Pos(), What: "what is drawn goes in here, and cannot be taken apart", Fix: "work it out row by row"}
}

func (s *splitter) bare(n Node) (Drawn, error) {
	switch n := n.(type) {
	case *Name:
		of, _, err := s.m.Moves(n)
		return of, err
	case *Paren:
		return s.node(n.X)
	case *Unary:
		return s.scaled(n.X, func(x float64) float64 {
			if n.Op == Sub {
				return -x
			}
			return x
		})
	case *Percent:
		return s.scaled(n.X, func(x float64) float64 { return x / 100 })
	case *Binary:
		return s.binary(n)
	case *Call:
		return s.call(n)
	}
	return nil, s.cannot(n)
}

func (s *splitter) scaled(n Node, by func(float64) float64) (Drawn, error) {
	of, err := s.node(n)
	return func(fr *Frame) terms.Value { return of(fr).Scale(by) }, err
}

func (s *splitter) binary(n *Binary) (Drawn, error) {
	var do func(a, b terms.Value) terms.Value
	switch n.Op {
	case Add:
		do = s.to.Add
	case Sub:
		do = func(a, b terms.Value) terms.Value {
			return s.to.Add(a, b.Scale(func(x float64) float64 { return -x }))
		}
	case Mul:
		do = s.to.Times
	case Div:
		do = s.to.Over
	default:
		return s.whole(n, n.L, n.R)
	}
	l, err := s.node(n.L)
	if err != nil {
		return nil, err
	}
	r, err := s.node(n.R)
	return func(fr *Frame) terms.Value { return do(l(fr), r(fr)) }, err
}

func (s *splitter) call(n *Call) (Drawn, error) {
	switch {
	case !s.f.funcs[n].own:
		return nil, s.cannot(n)
	case n.Name == "amount" || n.Name == "ROUND" && s.m.Smooth(s.f.types[n]):
		return s.node(n.Args[0])
	case n.Name == "IF":
		return s.choice(n)
	}
	return s.whole(n, n.Args...)
}

// choice takes the branch of an IF whose condition stays, for a row.
func (s *splitter) choice(n *Call) (Drawn, error) {
	if moves, _, err := s.moves(n.Args[0]); moves || err != nil {
		return s.whole(n, n.Args...)
	}
	cond, err := s.node(n.Args[0])
	if err != nil {
		return nil, err
	}
	var branches [2]Drawn
	for i, arg := range n.Args[1:] {
		if isNothing(arg) {
			branches[i] = func(*Frame) terms.Value { return terms.Known(Blank(), true) }
		} else if branches[i], err = s.node(arg); err != nil {
			return nil, err
		}
	}
	return func(fr *Frame) terms.Value {
		switch x, _ := cond(fr).Known(); x {
		case 1:
			return branches[0](fr)
		case 0:
			return branches[1](fr)
		}
		return terms.Known(math.NaN(), true)
	}, nil
}

// whole makes a drawn amount of a node that is no sum of products, a function of its
// operands.
func (s *splitter) whole(n Node, operands ...Node) (Drawn, error) {
	c := &Compiler{f: s.f, given: map[Node]Code{}}
	var of []Drawn
	for _, x := range operands {
		if _, literal := x.(*Text); literal {
			continue
		}
		drawn, err := s.node(x)
		if err != nil {
			return nil, err
		}
		at := len(of)
		c.given[x] = Code{Num: func(fr *Frame) float64 { return fr.Num[at] }}
		of = append(of, drawn)
	}
	code, err := c.bare(n)
	if err != nil {
		return nil, err
	}
	if code.Num == nil {
		return nil, s.cannot(n)
	}
	no := s.to.Func(func() func([]float64) float64 {
		fr := &Frame{}
		return func(args []float64) float64 {
			fr.Num = args
			return code.Num(fr)
		}
	})
	return func(fr *Frame) terms.Value {
		args := make([]terms.Value, len(of))
		for i := range of {
			args[i] = of[i](fr)
		}
		return s.to.Call(no, args)
	}, nil
}
