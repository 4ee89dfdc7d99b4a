package formula

import (
	"seamtally/compute/units"
	"strings"
)

// SpellOptions says how names are written for a person.
type SpellOptions struct {
	// Name gives the words for a quantity; nil takes its key with spaces for
	// underscores.
	Name func(table, key string) string
	// Value gives its number and unit, to be written in place of the words;
	// where it is nil or gives false, the words are written.
	Value func(table, key string) (string, bool)
	// Call writes a function in place of its own words, by itself or in
	// brackets; where it is nil or gives false, the words are written.
	Call func(s *Speller, c *Call) (string, bool)
}

// Spell writes the formula for a person:
// "(passes × (seam + closing overlap) + starts × tie-in) ÷ travel".
func (f *Formula) Spell(o SpellOptions) string {
	s := &Speller{f: f, o: o}
	return s.Node(f.node)
}

// Speller writes formulas for people. Functions from outside use it to write
// their arguments.
type Speller struct {
	f *Formula
	o SpellOptions
}

// Node writes a node with its factors.
func (s *Speller) Node(n Node) string {
	text, _ := s.node(n)
	return text
}

// Name writes a quantity.
func (s *Speller) Name(table, key string) string {
	if s.o.Value != nil {
		if text, ok := s.o.Value(table, key); ok {
			return text
		}
	}
	if s.o.Name != nil {
		return s.o.Name(table, key)
	}
	return strings.ReplaceAll(key, "_", " ")
}

func (s *Speller) node(n Node) (string, int) {
	text, level := s.bare(n)
	if factor := s.f.factors[n]; !factor.IsOne() {
		return bracket(text, level, levelMul) + factor.Write(" × ", " ÷ "), levelMul
	}
	return text, level
}

func (s *Speller) operand(n Node, least int) string {
	text, level := s.node(n)
	return bracket(text, level, least)
}

func (s *Speller) bare(n Node) (string, int) {
	switch n := n.(type) {
	case *Number:
		return n.Spelling, levelAtom
	case *Text:
		return quote(n.Value), levelAtom
	case *Name:
		return s.Name(n.Table, n.Key), levelAtom
	case *Paren:
		return s.paren(n)
	case *Unary:
		return sign(n.Op) + s.operand(n.X, levelUnary), levelUnary
	case *Percent:
		return s.operand(n.X, levelPercent) + " %", levelPercent
	case *Binary:
		return s.binary(n)
	case *Call:
		return s.call(n)
	}
	return "", levelAtom
}

// paren keeps the author's brackets, but not round a word.
func (s *Speller) paren(n *Paren) (string, int) {
	text, level := s.node(n.X)
	if level == levelAtom {
		return text, level
	}
	return "(" + text + ")", levelAtom
}

func sign(o Op) string {
	switch o {
	case Sub:
		return "−"
	case Mul:
		return "×"
	case Div:
		return "÷"
	case NotEqual:
		return "≠"
	case LessEqual:
		return "≤"
	case GreaterEqual:
		return "≥"
	}
	return o.String()
}

func (s *Speller) binary(n *Binary) (string, int) {
	level := n.Op.level()
	left := s.operand(n.L, level)
	if power, ok := n.R.(*Number); ok && n.Op == Pow && (power.Spelling == "2" || power.Spelling == "3") {
		if strings.Contains(left, " ") && !strings.HasPrefix(left, "(") {
			left = "(" + left + ")" // 9 in² is no square of 9 in
		}
		return left + units.Superscript(int(power.Value)), levelPow
	}
	return left + " " + sign(n.Op) + " " + s.operand(n.R, level+1), level
}

func (s *Speller) call(n *Call) (string, int) {
	if s.o.Call != nil {
		if text, ok := s.o.Call(s, n); ok {
			return text, levelAtom
		}
	}
	fn := s.f.funcs[n]
	switch {
	case fn.inline:
		return s.node(n.Args[0])
	case fn.Spell != nil:
		text := fn.Spell(s, n)
		if fn.loose {
			return text, levelCompare - 1
		}
		return text, levelAtom
	}
	args := make([]string, len(n.Args))
	for i, arg := range n.Args {
		args[i] = s.Node(arg)
	}
	name := strings.ReplaceAll(strings.ToLower(n.Name), "_", " ")
	return name + "(" + strings.Join(args, ", ") + ")", levelAtom
}

// spellIf puts brackets round an IF inside the first branch; a chain of else
// reads well without.
func spellIf(s *Speller, call *Call) string {
	yes := s.operand(call.Args[1], levelCompare)
	no := s.Node(call.Args[2])
	return "if " + s.Node(call.Args[0]) + " then " + orNothing(yes) + " else " + orNothing(no)
}

func orNothing(text string) string {
	if text == `""` {
		return "nothing"
	}
	return text
}

func spellBetween(word string) func(*Speller, *Call) string {
	return func(s *Speller, call *Call) string {
		parts := make([]string, len(call.Args))
		for i, arg := range call.Args {
			parts[i] = s.operand(arg, levelCompare)
		}
		return strings.Join(parts, " "+word+" ")
	}
}
