package formula

import (
	"fmt"
	"math"

	"seamtally/compute/units"
)

// Functions lists the functions that every formula may use, for help and
// documentation.
func Functions() []Func {
	return []Func{
		{Name: "IF", Doc: `IF(condition,a,b): a where the condition holds, else b; both in one unit; one may be "" (blank)`, Least: 3, Most: 3, Check: checkIf, Compile: compileIf, Spell: spellIf, loose: true},
		{Name: "AND", Doc: "AND(a,b,..): whether all hold", Least: 1, Most: -1, Check: checkTruths, Compile: compileAnd, Spell: spellBetween("and"), loose: true},
		{Name: "OR", Doc: "OR(a,b,..): whether any holds", Least: 1, Most: -1, Check: checkTruths, Compile: compileOr, Spell: spellBetween("or"), loose: true},
		{Name: "NOT", Doc: "NOT(a): whether a does not hold", Least: 1, Most: 1, Check: checkTruths, Compile: compileOne(func(x float64) float64 { return 1 - x })},
		{Name: "MIN", Doc: "MIN(a,b,..): the least, in one unit", Least: 1, Most: -1, Check: checkAlike, Compile: compileChain(least)},
		{Name: "MAX", Doc: "MAX(a,b,..): the greatest, in one unit", Least: 1, Most: -1, Check: checkAlike, Compile: compileChain(greatest)},
		{Name: "ROUND", Doc: "ROUND(x,n): x to n places, a tie away from zero; keeps the unit", Least: 2, Most: 2, Check: checkRound, Compile: compileRound(Round)},
		{Name: "ROUNDUP", Doc: "ROUNDUP(x,n): x to n places, away from zero; keeps the unit", Least: 2, Most: 2, Check: checkRound, Compile: compileRound(RoundUp)},
		{Name: "ROUNDDOWN", Doc: "ROUNDDOWN(x,n): x to n places, toward zero; keeps the unit", Least: 2, Most: 2, Check: checkRound, Compile: compileRound(RoundDown)},
		{Name: "whole_up", Doc: "whole_up(x): the plain number x up to a whole one; dust beyond 6 places does not count", Least: 1, Most: 1, Check: checkPlain, Compile: compileOne(wholeUp), Print: printAround("ROUNDUP(ROUND(", ",6),0)")},
		{Name: "whole_down", Doc: "whole_down(x): the plain number x down to a whole one; dust beyond 6 places does not count", Least: 1, Most: 1, Check: checkPlain, Compile: compileOne(wholeDown), Print: printAround("ROUNDDOWN(ROUND(", ",6),0)")},
		{Name: "amount", Doc: `amount(x,"in"): the plain number that x is in that unit`, Least: 2, Most: 2, Check: checkAmount, Compile: compileFirst, inline: true},
		{Name: "ABS", Doc: "ABS(x): x without its sign; keeps the unit", Least: 1, Most: 1, Check: checkKeep, Compile: compileOne(math.Abs)},
		{Name: "PI", Doc: "PI(): 3.14159265358979", Check: checkPi, Compile: compilePi, Spell: func(*Speller, *Call) string { return "π" }},
		{Name: "SQRT", Doc: "SQRT(x): square root; halves the powers of the unit", Least: 1, Most: 1, Check: checkSqrt, Compile: compileOne(func(x float64) float64 { return finite(math.Sqrt(x)) })},
		{Name: "POWER", Doc: "POWER(a,b): a^b; a dimension needs a whole power", Least: 2, Most: 2, Check: checkPower, Compile: compilePower},
		{Name: "SIN", Doc: "SIN(x): sine of an angle, or of a plain number of radians", Least: 1, Most: 1, Check: checkAngle, Compile: compileAngle(math.Sin), Print: printAngle},
		{Name: "COS", Doc: "COS(x): cosine of an angle, or of a plain number of radians", Least: 1, Most: 1, Check: checkAngle, Compile: compileAngle(math.Cos), Print: printAngle},
		{Name: "TAN", Doc: "TAN(x): tangent of an angle, or of a plain number of radians", Least: 1, Most: 1, Check: checkAngle, Compile: compileAngle(math.Tan), Print: printAngle},
		{Name: "LN", Doc: "LN(x): natural logarithm of a plain number", Least: 1, Most: 1, Check: checkPlain, Compile: compileOne(func(x float64) float64 { return finite(math.Log(x)) })},
		{Name: "EXP", Doc: "EXP(x): e to the power of a plain number", Least: 1, Most: 1, Check: checkPlain, Compile: compileOne(func(x float64) float64 { return finite(math.Exp(x)) })},
	}
}

func builtin(name string) (Func, bool) {
	for _, f := range Functions() {
		if f.Name == name {
			f.own = true
			return f, true
		}
	}
	return Func{}, false
}

func builtinNames() []string {
	var names []string
	for _, f := range Functions() {
		names = append(names, f.Name)
	}
	return names
}

func wholeUp(x float64) float64   { return RoundUp(Round(x, 6), 0) }
func wholeDown(x float64) float64 { return RoundDown(Round(x, 6), 0) }

// checkIf types IF. Its branches are turned toward the wanted unit one by one
// where they differ, where only one of them has a unit, and where one is
// blank, since a blank cannot be converted afterwards.
func checkIf(c *Checker, call *Call) (Type, error) {
	hint := c.hint
	cond := call.Args[0]
	if err := c.WantKind(cond, KindBool); err != nil {
		return Type{}, err
	}
	branches := call.Args[1:]
	types := make([]Type, 2)
	outer := c.known
	for i, n := range branches {
		c.known = append(outer[:len(outer):len(outer)], c.given(cond, i == 0)...)
		t, err := c.check(n, hint)
		c.known = outer
		if err != nil {
			return t, err
		}
		types[i] = t
		if hint == nil && t.Kind == KindNumber && !isZero(n) {
			hint = &types[i].Unit
		}
	}
	a, b := types[0], types[1]
	switch {
	case a.Kind == KindNumber && b.Kind == KindText && isNothing(branches[1]):
		return c.blankable(branches[0], a, hint)
	case b.Kind == KindNumber && a.Kind == KindText && isNothing(branches[0]):
		return c.blankable(branches[1], b, hint)
	case a.Kind != b.Kind:
		return Type{}, c.Errorf(call, fmt.Sprintf("IF gives a %s or a %s", a.Kind, b.Kind), "give both branches one kind of value")
	case a.Kind != KindNumber:
		return Type{Kind: a.Kind}, nil
	}
	blank := a.Blank || b.Blank
	if hint != nil && (blank || isZero(branches[0]) != isZero(branches[1])) && fits(branches, types, *hint) {
		return Type{Unit: *hint, Blank: blank}, c.convertAll(branches, types, *hint)
	}
	u, err := c.unify(call, "the branches of IF are %s and %s", branches, types, hint)
	return Type{Unit: u, Blank: blank}, err
}

// fits tells whether all numbers but a literal 0 have the dimension of u.
func fits(nodes []Node, types []Type, u units.Unit) bool {
	for i, n := range nodes {
		if !isZero(n) && !types[i].Unit.SameDim(u) {
			return false
		}
	}
	return true
}

func (c *Checker) blankable(n Node, t Type, hint *units.Unit) (Type, error) {
	if hint != nil && hint.SameDim(t.Unit) {
		if err := c.convert(n, t, *hint); err != nil {
			return t, err
		}
		t.Unit = *hint
	}
	t.Blank = true
	return t, nil
}

func checkTruths(c *Checker, call *Call) (Type, error) {
	for _, arg := range call.Args {
		if err := c.WantKind(arg, KindBool); err != nil {
			return Type{}, err
		}
	}
	return Type{Kind: KindBool}, nil
}

func checkAlike(c *Checker, call *Call) (Type, error) {
	hint := c.hint
	types := make([]Type, len(call.Args))
	for i, arg := range call.Args {
		t, err := c.number(arg, hint)
		if err != nil {
			return t, err
		}
		types[i] = t
		if hint == nil && !isZero(arg) {
			hint = &types[i].Unit
		}
	}
	u, err := c.unify(call, call.Name+" is given %s and %s", call.Args, types, hint)
	return Type{Unit: u}, err
}

func checkRound(c *Checker, call *Call) (Type, error) {
	x := call.Args[0]
	t, err := c.number(x, c.hint)
	if err != nil {
		return t, err
	}
	// Minutes times dollars an hour are money only once the factor is in, and
	// cents must be rounded as cents: here the factor cannot wait.
	if t.Unit.Mixed() {
		to := t.Unit.Collapse()
		if c.hint != nil && c.hint.SameDim(to) {
			to = *c.hint
		}
		if err := c.convert(x, t, to); err != nil {
			return t, err
		}
		t.Unit = to
	}
	return t, c.Want(call.Args[1], units.Unit{})
}

func checkPlain(c *Checker, call *Call) (Type, error) {
	t, err := c.number(call.Args[0], nil)
	if err != nil {
		return t, err
	}
	if !t.Unit.IsPlain() {
		return t, c.Errorf(call.Args[0], fmt.Sprintf("%s needs a plain number, and this is %s", call.Name, t.Unit.Describe()),
			"divide it by a quantity of the same kind")
	}
	return Type{}, c.convert(call.Args[0], t, units.Unit{})
}

func checkKeep(c *Checker, call *Call) (Type, error) {
	return c.number(call.Args[0], c.hint)
}

func checkPi(c *Checker, call *Call) (Type, error) { return Type{}, nil }

func checkAmount(c *Checker, call *Call) (Type, error) {
	text, ok := call.Args[1].(*Text)
	if !ok {
		return Type{}, c.Errorf(call.Args[1], "the unit is not written out", `write amount(x,"in")`)
	}
	u, err := units.Parse(text.Value)
	if err != nil {
		return Type{}, c.Errorf(text, err.Error(), "")
	}
	return Type{}, c.Want(call.Args[0], u)
}

func checkSqrt(c *Checker, call *Call) (Type, error) {
	t, err := c.number(call.Args[0], nil)
	if err != nil {
		return t, err
	}
	if t.Unit.IsPlain() {
		return Type{}, c.convert(call.Args[0], t, units.Unit{})
	}
	from, to, ok := t.Unit.Root()
	if !ok {
		return t, c.Errorf(call.Args[0], fmt.Sprintf("there is no square root of %s", t.Unit.Describe()),
			"take the root of an area, or of another even power")
	}
	return Type{Unit: to}, c.convert(call.Args[0], t, from)
}

func checkPower(c *Checker, call *Call) (Type, error) {
	return c.power(call, call.Args[0], call.Args[1])
}

func checkAngle(c *Checker, call *Call) (Type, error) {
	t, err := c.number(call.Args[0], nil)
	if err != nil {
		return t, err
	}
	if !t.Unit.IsPlain() && !t.Unit.SameDim(units.Degrees()) {
		return t, c.Errorf(call.Args[0], fmt.Sprintf("%s needs an angle, and this is %s", call.Name, t.Unit.Describe()),
			"use a quantity in °, or a plain number of radians")
	}
	if t.Unit.IsPlain() {
		return Type{}, c.convert(call.Args[0], t, units.Unit{})
	}
	return Type{}, c.convert(call.Args[0], t, units.Degrees())
}
