package formula

import (
	"fmt"

	"seamtally/compute/units"
)

// Code works out an expression for one row. Num gives numbers and truth
// values (1 or 0; any NaN but Blank is an error), Text gives texts
// (ErrorText is an error). The one that fits the kind is set. Code may be
// called by several goroutines at once, each with a Frame of its own.
type Code struct {
	Num  func(*Frame) float64
	Text func(*Frame) string

	constant bool // the same for every row, and then one of:
	num      float64
	text     string
}

// Compile turns the formula into code. Parts that are the same for every row
// are worked out here.
func (f *Formula) Compile() (Code, error) {
	c := &Compiler{f: f}
	return c.Compile(f.node)
}

// Compiler makes code. Functions from outside use it to compile their
// arguments.
type Compiler struct {
	f     *Formula
	given map[Node]Code // of nodes that are not worked out here
}

// Compile gives the code of one node, converted to what its surroundings
// need.
func (c *Compiler) Compile(n Node) (Code, error) {
	if code, ok := c.given[n]; ok {
		return code, nil
	}
	if _, ok := c.f.types[n]; !ok {
		return Code{}, c.Errorf(n, "this was not checked", "pass it to Checker.Type or Checker.Want first")
	}
	code, err := c.bare(n)
	if err != nil {
		return code, err
	}
	factor, ok := c.f.factors[n]
	if !ok {
		return code, nil
	}
	return mapNum(code, convertBy(factor)), nil
}

// convertBy gives Factor.Apply for one factor; most have a single step.
func convertBy(f units.Factor) func(float64) float64 {
	switch k, over, one := f.Single(); {
	case one && over:
		return func(x float64) float64 { return finite(x / k) }
	case one:
		return func(x float64) float64 { return finite(x * k) }
	}
	return func(x float64) float64 { return finite(f.Apply(x)) }
}

// Errorf makes an error with a caret under the node. Neither text is a
// format.
func (c *Compiler) Errorf(n Node, what, fix string) error {
	return &Error{Source: c.f.src, Offset: n.Pos(), What: what, Fix: fix}
}

func (c *Compiler) bare(n Node) (Code, error) {
	switch n := n.(type) {
	case *Number:
		return constNum(n.Value), nil
	case *Text:
		return constText(n.Value), nil
	case *Name:
		return c.name(n)
	case *Paren:
		return c.Compile(n.X)
	case *Unary:
		x, err := c.Compile(n.X)
		if err != nil || n.Op == Add {
			return x, err
		}
		return mapNum(x, func(v float64) float64 { return -v }), nil
	case *Percent:
		x, err := c.Compile(n.X)
		return mapNum(x, func(v float64) float64 { return v / 100 }), err
	case *Binary:
		return c.binary(n)
	case *Call:
		return c.f.funcs[n].Compile(c, n)
	}
	return Code{}, fmt.Errorf("formula: unknown node %T", n)
}

func (c *Compiler) name(n *Name) (Code, error) {
	ref := c.f.refs[n]
	if ref.Type.Kind == KindText {
		if ref.Text == nil {
			return Code{}, c.Errorf(n, n.ID()+" has no values", "give its Ref a Text")
		}
		return Code{Text: ref.Text}, nil
	}
	if ref.Num == nil {
		return Code{}, c.Errorf(n, n.ID()+" has no values", "give its Ref a Num")
	}
	return Code{Num: ref.Num}, nil
}

func (c *Compiler) binary(n *Binary) (Code, error) {
	l, err := c.Compile(n.L)
	if err != nil {
		return l, err
	}
	r, err := c.Compile(n.R)
	if err != nil {
		return r, err
	}
	switch n.Op {
	case Add:
		return combine(l, r, sum), nil
	case Sub:
		return combine(l, r, func(a, b float64) float64 { return sum(a, -b) }), nil
	case Mul:
		return combine(l, r, func(a, b float64) float64 { return finite(a * b) }), nil
	case Div:
		return combine(l, r, quotient), nil
	case Pow:
		return combine(l, r, power), nil
	case Join:
		return join(asText(l), asText(r)), nil
	}
	return c.comparison(n, l, r), nil
}

func (c *Compiler) comparison(n *Binary, l, r Code) Code {
	op := n.Op
	switch {
	case l.Text != nil && r.Text != nil:
		same := sameText(l, r)
		if op == NotEqual {
			return mapNum(same, func(x float64) float64 { return 1 - x })
		}
		return same
	case l.Text != nil:
		return isBlank(r, op)
	case r.Text != nil:
		return isBlank(l, op)
	}
	return combine(l, r, func(a, b float64) float64 { return compare(op, a, b) })
}

// isBlank compares a number with "".
func isBlank(x Code, op Op) Code {
	yes := truth(op == Equal)
	return mapNum(x, func(v float64) float64 {
		switch {
		case IsBlank(v):
			return yes
		case v != v:
			return v
		}
		return 1 - yes
	})
}

func constNum(v float64) Code {
	return Code{Num: func(*Frame) float64 { return v }, constant: true, num: v}
}

func constText(s string) Code {
	return Code{Text: func(*Frame) string { return s }, constant: true, text: s}
}

// mapNum applies f to a number.
func mapNum(x Code, f func(float64) float64) Code {
	if x.constant {
		return constNum(f(x.num))
	}
	num := x.Num
	return Code{Num: func(fr *Frame) float64 { return f(num(fr)) }}
}

// combine applies f to two numbers.
func combine(l, r Code, f func(a, b float64) float64) Code {
	a, b := l.Num, r.Num
	switch {
	case l.constant && r.constant:
		return constNum(f(l.num, r.num))
	case l.constant:
		k := l.num
		return Code{Num: func(fr *Frame) float64 { return f(k, b(fr)) }}
	case r.constant:
		k := r.num
		return Code{Num: func(fr *Frame) float64 { return f(a(fr), k) }}
	}
	return Code{Num: func(fr *Frame) float64 { return f(a(fr), b(fr)) }}
}

// sameText compares two texts.
func sameText(l, r Code) Code {
	a, b := l.Text, r.Text
	switch {
	case l.constant && r.constant:
		return constNum(equalText(l.text, r.text))
	case r.constant:
		k := r.text
		return Code{Num: func(fr *Frame) float64 { return equalText(a(fr), k) }}
	}
	return Code{Num: func(fr *Frame) float64 { return equalText(a(fr), b(fr)) }}
}

func join(l, r Code) Code {
	if l.constant && r.constant {
		return constText(joinText(l.text, r.text))
	}
	a, b := l.Text, r.Text
	return Code{Text: func(fr *Frame) string { return joinText(a(fr), b(fr)) }}
}

// asText turns a number into text, as & does.
func asText(x Code) Code {
	switch {
	case x.Text != nil:
		return x
	case x.constant:
		return constText(GeneralText(x.num))
	}
	num := x.Num
	return Code{Text: func(fr *Frame) string { return GeneralText(num(fr)) }}
}
