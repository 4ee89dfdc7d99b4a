package formula

import (
	"fmt"

	"seamtally/compute/units"
	"slices"
	"strings"
)

// check finds the type of n, once. hint is the unit that the surroundings
// will ask for; sums turn their terms toward it where the terms differ, so
// that no value is converted twice.
func (c *Checker) check(n Node, hint *units.Unit) (Type, error) {
	if t, done := c.f.types[n]; done {
		return t, nil
	}
	t, err := c.infer(n, hint)
	if err != nil {
		return t, err
	}
	if !t.Unit.InRange() {
		return t, c.Errorf(n, fmt.Sprintf("the power of %s is out of reach", t.Unit), fmt.Sprintf("keep powers of units to %d", units.LargestExponent))
	}
	c.f.types[n] = t
	return t, nil
}

func (c *Checker) infer(n Node, hint *units.Unit) (Type, error) {
	switch n := n.(type) {
	case *Number:
		return Type{}, nil
	case *Text:
		return Type{Kind: KindText}, nil
	case *Name:
		return c.name(n)
	case *Paren:
		return c.check(n.X, hint)
	case *Unary:
		return c.number(n.X, hint)
	case *Percent:
		return Type{}, c.Want(n.X, units.Unit{})
	case *Binary:
		return c.binary(n, hint)
	case *Call:
		return c.call(n, hint)
	}
	return Type{}, fmt.Errorf("formula: unknown node %T", n)
}

func (c *Checker) name(n *Name) (Type, error) {
	ref, err := c.scope.Name(n.Table, n.Key)
	if err != nil {
		return Type{}, c.Errorf(n, err.Error(), "")
	}
	if slices.Contains(c.known, n.ID()) {
		ref.Type.Blank = false
	}
	c.f.refs[n] = ref
	return ref.Type, nil
}

func (c *Checker) call(n *Call, hint *units.Unit) (Type, error) {
	fn, ok := builtin(n.Name)
	if !ok {
		fn, ok = c.scope.Func(n.Name)
	}
	if !ok {
		fix := "use one that is known: " + strings.Join(builtinNames(), " ")
		for _, other := range []string{strings.ToUpper(n.Name), strings.ToLower(n.Name)} {
			if _, found := builtin(other); found {
				fix = "write " + other
			}
		}
		return Type{}, c.Errorf(n, n.Name+" is no function here", fix)
	}
	c.f.funcs[n] = fn
	if err := c.args(n, fn.Least, fn.Most); err != nil {
		return Type{}, err
	}
	outer := c.hint
	c.hint = hint
	t, err := fn.Check(c, n)
	c.hint = outer
	return t, err
}

func (c *Checker) binary(n *Binary, hint *units.Unit) (Type, error) {
	switch n.Op {
	case Add, Sub:
		return c.addition(n, hint)
	case Mul, Div:
		return c.product(n)
	case Pow:
		return c.power(n, n.L, n.R)
	case Join:
		return Type{Kind: KindText}, c.joined(n.L, n.R)
	}
	return Type{Kind: KindBool}, c.comparison(n)
}

func (c *Checker) addition(n *Binary, hint *units.Unit) (Type, error) {
	l, err := c.number(n.L, hint)
	if err != nil {
		return l, err
	}
	if hint == nil || !hint.SameDim(l.Unit) {
		hint = &l.Unit
	}
	r, err := c.number(n.R, hint)
	if err != nil {
		return r, err
	}
	verb := "cannot add %s and %s"
	if n.Op == Sub {
		verb = "cannot subtract, from %s, %s"
	}
	u, err := c.unify(n, verb, []Node{n.L, n.R}, []Type{l, r}, hint)
	return Type{Unit: u}, err
}

// unify brings numbers to one unit: their own where they agree, else the
// hint's where that fits, else the first one's. Plain numbers of different
// scales meet at scale 1. A literal 0 takes any unit. at and verb are for the
// message.
func (c *Checker) unify(at Node, verb string, nodes []Node, types []Type, hint *units.Unit) (units.Unit, error) {
	first := -1
	agree := true
	for i, n := range nodes {
		switch {
		case isZero(n):
		case first < 0:
			first = i
		case !types[first].Unit.SameDim(types[i].Unit):
			return units.Unit{}, c.Errorf(at,
				fmt.Sprintf(verb, types[first].Unit.Describe(), types[i].Unit.Describe()), "give both in units of one dimension")
		case !types[first].Unit.Equal(types[i].Unit):
			agree = false
		}
	}
	if first < 0 {
		return units.Unit{}, nil
	}
	target := types[first].Unit
	if agree {
		return target, nil
	}
	switch {
	case hint != nil && hint.SameDim(target) && !target.IsPlain():
		target = *hint
	case target.IsPlain():
		target = units.Unit{}
	}
	return target, c.convertAll(nodes, types, target)
}

func (c *Checker) convertAll(nodes []Node, types []Type, to units.Unit) error {
	for i, n := range nodes {
		if err := c.convert(n, types[i], to); err != nil {
			return err
		}
	}
	return nil
}

func (c *Checker) product(n *Binary) (Type, error) {
	l, err := c.number(n.L, nil)
	if err != nil {
		return l, err
	}
	r, err := c.number(n.R, nil)
	if err != nil {
		return r, err
	}
	if n.Op == Div {
		return Type{Unit: l.Unit.Div(r.Unit)}, nil
	}
	return Type{Unit: l.Unit.Mul(r.Unit)}, nil
}

// power types base^exponent.
func (c *Checker) power(at, base, exponent Node) (Type, error) {
	b, err := c.number(base, nil)
	if err != nil {
		return b, err
	}
	if err := c.Want(exponent, units.Unit{}); err != nil {
		return b, err
	}
	e, literal := whole(exponent)
	switch {
	case b.Unit.IsPlain():
		return Type{}, c.convert(base, b, units.Unit{})
	case !literal:
		return b, c.Errorf(at, fmt.Sprintf("%s to a power that is no whole number", b.Unit.Describe()),
			"write the power as a whole number, or use SQRT")
	case e > units.LargestExponent || e < -units.LargestExponent:
		return b, c.Errorf(at, fmt.Sprintf("the power of %s is out of reach", b.Unit), fmt.Sprintf("keep powers of units to %d", units.LargestExponent))
	}
	return Type{Unit: b.Unit.Pow(e)}, nil
}

func (c *Checker) joined(nodes ...Node) error {
	for _, n := range nodes {
		t, err := c.check(n, nil)
		if err != nil {
			return err
		}
		switch {
		case t.Kind == KindText:
		case t.Kind == KindBool:
			return c.Errorf(n, "a yes or no cannot be joined to a text", `write IF(..,"yes","no")`)
		case !t.Unit.IsPlain():
			return c.Errorf(n, fmt.Sprintf("%s joined to a text loses its unit", t.Unit.Describe()),
				fmt.Sprintf(`name the unit that the number is to be in: amount(..,"%s")`, t.Unit))
		default:
			if err := c.Want(n, units.Unit{}); err != nil {
				return err
			}
		}
	}
	return nil
}

func (c *Checker) comparison(n *Binary) error {
	l, err := c.check(n.L, nil)
	if err != nil {
		return err
	}
	r, err := c.check(n.R, &l.Unit)
	if err != nil {
		return err
	}
	equality := n.Op == Equal || n.Op == NotEqual
	switch {
	case equality && (l.Blank && isNothing(n.R) || r.Blank && isNothing(n.L)):
		return nil
	case l.Kind != r.Kind:
		return c.Errorf(n, fmt.Sprintf("cannot compare a %s with a %s", l.Kind, r.Kind), "compare like with like")
	case l.Kind == KindBool:
		return c.Errorf(n, "truth values are not compared", "use AND, OR and NOT")
	case l.Kind == KindText && !equality:
		return c.Errorf(n, "texts have no order here", "compare them with = or <>")
	case l.Kind == KindText:
		return nil
	}
	for _, side := range []Node{n.L, n.R} {
		if _, err := c.number(side, nil); err != nil {
			return err
		}
	}
	_, err = c.unify(n, "cannot compare %s with %s", []Node{n.L, n.R}, []Type{l, r}, nil)
	return err
}

// given lists the names that cannot be blank where cond is known to be when:
// x where x<>"" holds.
func (c *Checker) given(cond Node, when bool) []string {
	switch n := cond.(type) {
	case *Paren:
		return c.given(n.X, when)
	case *Binary:
		if n.Op != Equal && n.Op != NotEqual || (n.Op == NotEqual) != when {
			return nil
		}
		for _, side := range [][2]Node{{n.L, n.R}, {n.R, n.L}} {
			if name, ok := side[0].(*Name); ok && isNothing(side[1]) {
				return []string{name.ID()}
			}
		}
	case *Call:
		switch {
		case n.Name == "NOT" && len(n.Args) == 1:
			return c.given(n.Args[0], !when)
		case n.Name == "AND" && when, n.Name == "OR" && !when:
			var list []string
			for _, arg := range n.Args {
				list = append(list, c.given(arg, when)...)
			}
			return list
		}
	}
	return nil
}
