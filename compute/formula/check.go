package formula

import (
	"fmt"

	"seamtally/compute/units"
	"strings"
)

// Kind tells what sort of value an expression has.
type Kind uint8

// The kinds. The zero Kind is a number.
const (
	KindNumber Kind = iota
	KindText
	KindBool
)

// String names the kind for a message.
func (k Kind) String() string {
	return [...]string{"number", "text", "yes or no"}[k]
}

// Type is what is known of an expression before any value is. Unit applies to
// numbers only. Blank marks a number that may be left empty,
// IF(count=0,"",count).
type Type struct {
	Kind  Kind
	Unit  units.Unit
	Blank bool
}

// Frame holds the values of one row, by place.
type Frame struct {
	Num  []float64
	Text []string
}

// Ref is what a name stands for. Num gives numbers (in Type.Unit) and truth
// values (1 or 0), with any NaN but Blank as an error; Text gives texts. The
// one that fits Type.Kind must be set.
type Ref struct {
	Type Type
	Num  func(*Frame) float64
	Text func(*Frame) string
}

// Scope says what names and functions mean. An error of Name is shown with a
// caret under the name, so it should only say what is wrong and what to do.
type Scope interface {
	// Name looks up a quantity; table is "" for a bare name.
	Name(table, key string) (Ref, error)
	// Func looks up a function that is not built in.
	Func(name string) (Func, bool)
}

// Func is a named function. Its arguments reach it as they were parsed, so
// that it may take one as a reference: sum(lines.labour,car_no). An argument
// that Check passed to Checker.Type or Checker.Want is an ordinary one; only
// such may be given to Compiler.Compile and Printer.Node.
type Func struct {
	Name string
	Doc  string // one line: arguments, meaning, units
	// Least and Most are how many arguments a call has; Most below 0 sets no upper limit.
	Least, Most int
	// Check types the call, or refuses it with Checker.Errorf.
	Check func(c *Checker, call *Call) (Type, error)
	// Compile gives the code for the call.
	Compile func(c *Compiler, call *Call) (Code, error)
	// Print writes the call for a cell. What it gives must stand by itself: a
	// function call, a cell, or an expression in brackets. nil prints the name
	// and the arguments.
	Print func(p *Printer, call *Call) (string, error)
	// Spell writes the call for a person; nil as for Print.
	Spell func(s *Speller, call *Call) string

	inline bool // stands for its first argument, in a cell and for a person
	own    bool // every formula may use it
	loose  bool // is spelled in words that need brackets inside an expression
}

// Formula is a formula whose units fit, ready to be compiled and printed.
// It does not change and may be used by several goroutines at once.
type Formula struct {
	src     Source
	node    Node
	typ     Type
	types   map[Node]Type         // of each node as it stands, before its factor
	factors map[Node]units.Factor // what a node's value is multiplied by where it is used
	refs    map[*Name]Ref
	funcs   map[*Call]Func
}

// Check finds the units of n, refuses what does not fit, and inserts the
// factors, the last of which turns the whole into want.Unit. A fault is an
// *Error. A nil scope has no names and no functions of its own. Products and quotients take units as they come; a factor appears
// only where two scales meet (a sum, a comparison, the arguments of MIN, the
// branches of IF) or at the end. What units cannot tell apart, such as two
// lengths swapped, goes unseen.
func Check(n Node, src Source, want Type, scope Scope) (*Formula, error) {
	f := &Formula{
		src:     src,
		node:    n,
		types:   map[Node]Type{},
		factors: map[Node]units.Factor{},
		refs:    map[*Name]Ref{},
		funcs:   map[*Call]Func{},
	}
	if scope == nil {
		scope = noScope{}
	}
	c := &Checker{f: f, scope: scope}
	t, err := c.check(n, &want.Unit)
	if err != nil {
		return nil, err
	}
	if t.Kind != want.Kind {
		return nil, c.Errorf(n, fmt.Sprintf("the formula gives a %s, its figure is a %s", t.Kind, want.Kind), "change the one or the other")
	}
	if t.Kind == KindNumber {
		if !isZero(n) && !t.Unit.SameDim(want.Unit) {
			return nil, c.Errorf(n, fmt.Sprintf("the formula gives %s, its figure is %s", t.Unit.Describe(), want.Unit.Describe()),
				"correct the formula, or the unit of the figure")
		}
		if err := c.convert(n, t, want.Unit); err != nil {
			return nil, err
		}
		t.Unit = want.Unit
	}
	f.typ = t
	return f, nil
}

// Type is the type of the result, in the unit that was wanted.
func (f *Formula) Type() Type { return f.typ }

// noScope is the scope of formulas without names.
type noScope struct{}

func (noScope) Name(_, key string) (Ref, error) {
	return Ref{}, fmt.Errorf("%s is not known; there are no names here", key)
}

func (noScope) Func(string) (Func, bool) { return Func{}, false }

// Checker finds types. Functions from outside use it to type their
// arguments.
type Checker struct {
	f     *Formula
	scope Scope
	hint  *units.Unit // what the surroundings would like, of the call at hand
	known []string    // names that may be blank, but not where we are
}

// Errorf makes an error with a caret under the node. Neither text is a
// format.
func (c *Checker) Errorf(n Node, what, fix string) error {
	return &Error{Source: c.f.src, Offset: n.Pos(), What: what, Fix: fix}
}

// Scope is what names and functions are looked up in.
func (c *Checker) Scope() Scope { return c.scope }

// Type types an ordinary argument as it stands.
func (c *Checker) Type(n Node) (Type, error) { return c.check(n, nil) }

// Want types an argument that must be a number, and converts it to unit u.
func (c *Checker) Want(n Node, u units.Unit) error {
	t, err := c.number(n, &u)
	if err != nil {
		return err
	}
	return c.convert(n, t, u)
}

// WantKind types an argument that must be a text or a truth value.
func (c *Checker) WantKind(n Node, k Kind) error {
	t, err := c.check(n, nil)
	if err == nil && t.Kind != k {
		err = c.Errorf(n, fmt.Sprintf("a %s stands where a %s is needed", t.Kind, k), fixForKind(t.Kind, k))
	}
	return err
}

func fixForKind(is, needed Kind) string {
	switch {
	case needed == KindBool:
		return "compare it with something, as in closes=1"
	case needed == KindNumber && is == KindBool:
		return "turn it into a number, as in IF(a>b,1,0)"
	case needed == KindNumber:
		return "use the name of a number"
	}
	return "use a text, in double quotes if it is meant as it stands"
}

// args refuses a call with too few or too many arguments.
func (c *Checker) args(call *Call, least, most int) error {
	n := len(call.Args)
	if n >= least && (most < 0 || n <= most) {
		return nil
	}
	wanted := fmt.Sprintf("%d to %d", least, most)
	switch {
	case most < 0:
		wanted = fmt.Sprintf("%d or more", least)
	case least == most:
		wanted = fmt.Sprint(least)
	}
	return c.Errorf(call, fmt.Sprintf("%s has %d arguments", call.Name, n), fmt.Sprintf("give it %s", wanted))
}

// number types a node that must be a number and never blank.
func (c *Checker) number(n Node, hint *units.Unit) (Type, error) {
	t, err := c.check(n, hint)
	switch {
	case err != nil:
		return t, err
	case t.Kind != KindNumber:
		return t, c.Errorf(n, fmt.Sprintf("a %s stands where a number is needed", t.Kind), fixForKind(t.Kind, KindNumber))
	case t.Blank:
		return t, c.Errorf(n, "this number may be blank", `deal with the blank first, as in IF(bid="","",bid-cost)`)
	}
	return t, nil
}

// convert has the value of n, of type t, turned into unit to.
func (c *Checker) convert(n Node, t Type, to units.Unit) error {
	if isZero(n) {
		return nil
	}
	factor, err := units.Conversion(t.Unit, to)
	if err != nil {
		what, fix, _ := strings.Cut(err.Error(), "; ")
		return c.Errorf(n, what, fix)
	}
	if factor.IsOne() {
		return nil
	}
	if t.Blank {
		return c.Errorf(n, "a number that may be blank cannot be converted", `deal with the blank first, as in IF(bid="","",bid)`)
	}
	c.f.factors[n] = factor
	return nil
}

// isZero tells whether n is 0 whatever its unit, so that it fits any.
func isZero(n Node) bool {
	switch n := n.(type) {
	case *Number:
		return n.Value == 0
	case *Paren:
		return isZero(n.X)
	case *Unary:
		return isZero(n.X)
	case *Call:
		return n.Name == "IF" && len(n.Args) == 3 && isZero(n.Args[1]) && isZero(n.Args[2])
	}
	return false
}

// isNothing tells whether n is the empty text "".
func isNothing(n Node) bool {
	switch n := n.(type) {
	case *Text:
		return n.Value == ""
	case *Paren:
		return isNothing(n.X)
	}
	return false
}

// whole reads n as a whole number that was typed in: 2, -3, (2).
func whole(n Node) (int, bool) {
	switch n := n.(type) {
	case *Number:
		i := int(n.Value)
		return i, n.Value < 1e6 && float64(i) == n.Value
	case *Paren:
		return whole(n.X)
	case *Unary:
		i, ok := whole(n.X)
		if n.Op == Sub {
			i = -i
		}
		return i, ok
	}
	return 0, false
}
