package formula

import (
	"slices"
	"strings"
)

// Node is one piece of a parsed formula: *Number, *Text, *Name, *Unary,
// *Binary, *Percent, *Call or *Paren. Pos is the place in the source text
// that a message about the node points at, in bytes.
type Node interface {
	Pos() int
	node()
}

// Number is a number as it was written: 2, .5, 0.5E-3.
type Number struct {
	At       int
	Spelling string
	Value    float64
}

// Text is a text between double quotes: "pie cut". A quote inside is written
// twice.
type Text struct {
	At    int
	Value string
}

// Name stands for a quantity: od, or setup.travel with Table "setup" and Key
// "travel".
type Name struct {
	At    int
	Table string // "" for a bare name
	Key   string
}

// Unary is a sign: -x, +x. As in a spreadsheet it binds tighter than ^, so
// that -2^2 is 4.
type Unary struct {
	At int
	Op Op // Add or Sub
	X  Node
}

// Binary is two operands with an operator between them: a+b, a&b, a<>b.
// At is the place of the operator.
type Binary struct {
	At   int
	Op   Op
	L, R Node
}

// Percent is a value followed by a percent sign: 50%.
type Percent struct {
	At int
	X  Node
}

// Call is a function with its arguments: MIN(a,b), PI().
type Call struct {
	At   int
	Name string
	Args []Node
}

// Paren is an expression in brackets: (a+b). The author's brackets are kept
// so that a cell shows what was written.
type Paren struct {
	At int
	X  Node
}

func (n *Number) Pos() int  { return n.At }
func (n *Text) Pos() int    { return n.At }
func (n *Name) Pos() int    { return n.At }
func (n *Unary) Pos() int   { return n.At }
func (n *Binary) Pos() int  { return n.At }
func (n *Percent) Pos() int { return n.At }
func (n *Call) Pos() int    { return n.At }
func (n *Paren) Pos() int   { return n.At }

func (*Number) node()  {}
func (*Text) node()    {}
func (*Name) node()    {}
func (*Unary) node()   {}
func (*Binary) node()  {}
func (*Percent) node() {}
func (*Call) node()    {}
func (*Paren) node()   {}

// Op is an operator of a Unary or a Binary.
type Op uint8

// The operators, spelled + - * / ^ & = <> < <= > >=.
const (
	Add Op = iota + 1
	Sub
	Mul
	Div
	Pow
	Join
	Equal
	NotEqual
	Less
	LessEqual
	Greater
	GreaterEqual
)

// String is the operator as it is written in a formula.
func (o Op) String() string {
	names := [...]string{"", "+", "-", "*", "/", "^", "&", "=", "<>", "<", "<=", ">", ">="}
	if int(o) < len(names) {
		return names[o]
	}
	return "?"
}

// The levels of precedence, loosest first, as in a spreadsheet.
const (
	levelCompare = iota + 1
	levelJoin
	levelAdd
	levelMul
	levelPow
	levelPercent
	levelUnary
	levelAtom
)

func (o Op) level() int {
	switch o {
	case Add, Sub:
		return levelAdd
	case Mul, Div:
		return levelMul
	case Pow:
		return levelPow
	case Join:
		return levelJoin
	}
	return levelCompare
}

// ID is the name as it is written: "od", "setup.travel".
func (n *Name) ID() string {
	if n.Table == "" {
		return n.Key
	}
	return n.Table + "." + n.Key
}

// Format writes the tree back as formula text, without spaces. Parsing that
// text gives the same tree, provided the tree came from Parse or has a Paren
// wherever precedence asks for one.
func Format(n Node) string {
	var b strings.Builder
	format(&b, n)
	return b.String()
}

func format(b *strings.Builder, n Node) {
	switch n := n.(type) {
	case *Number:
		b.WriteString(n.Spelling)
	case *Text:
		b.WriteString(quote(n.Value))
	case *Name:
		b.WriteString(n.ID())
	case *Unary:
		b.WriteString(n.Op.String())
		format(b, n.X)
	case *Binary:
		format(b, n.L)
		b.WriteString(n.Op.String())
		format(b, n.R)
	case *Percent:
		format(b, n.X)
		b.WriteByte('%')
	case *Call:
		b.WriteString(n.Name)
		b.WriteByte('(')
		for i, arg := range n.Args {
			if i > 0 {
				b.WriteByte(',')
			}
			format(b, arg)
		}
		b.WriteByte(')')
	case *Paren:
		b.WriteByte('(')
		format(b, n.X)
		b.WriteByte(')')
	}
}

func quote(s string) string {
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

// Same tells whether two trees are the same but for their positions.
func Same(a, b Node) bool {
	switch a := a.(type) {
	case *Number:
		b, ok := b.(*Number)
		return ok && a.Spelling == b.Spelling && a.Value == b.Value
	case *Text:
		b, ok := b.(*Text)
		return ok && a.Value == b.Value
	case *Name:
		b, ok := b.(*Name)
		return ok && a.ID() == b.ID()
	case *Unary:
		b, ok := b.(*Unary)
		return ok && a.Op == b.Op && Same(a.X, b.X)
	case *Binary:
		b, ok := b.(*Binary)
		return ok && a.Op == b.Op && Same(a.L, b.L) && Same(a.R, b.R)
	case *Percent:
		b, ok := b.(*Percent)
		return ok && Same(a.X, b.X)
	case *Call:
		b, ok := b.(*Call)
		return ok && a.Name == b.Name && slices.EqualFunc(a.Args, b.Args, Same)
	case *Paren:
		b, ok := b.(*Paren)
		return ok && Same(a.X, b.X)
	}
	return false
}

// Names lists what the formula refers to, each once, in the order in which it
// is first seen: "key" or "table.key".
func Names(n Node) []string {
	var list []string
	walk(n, func(n Node) {
		if name, ok := n.(*Name); ok && !slices.Contains(list, name.ID()) {
			list = append(list, name.ID())
		}
	})
	return list
}

// walk calls visit for n and all below it, from left to right.
func walk(n Node, visit func(Node)) {
	visit(n)
	switch n := n.(type) {
	case *Unary:
		walk(n.X, visit)
	case *Binary:
		walk(n.L, visit)
		walk(n.R, visit)
	case *Percent:
		walk(n.X, visit)
	case *Call:
		for _, arg := range n.Args {
			walk(arg, visit)
		}
	case *Paren:
		walk(n.X, visit)
	}
}
