package formula

import (
	"fmt"
	"strings"
)

// Print writes the formula for a cell, without the leading "=": function
// names in English, arguments between commas, factors where units meet, and
// for each name what cell gives (an address, a defined name, or a function
// call; it must stand by itself). Brackets are the author's, and those that a
// factor needs.
func (f *Formula) Print(cell func(table, key string) (string, error)) (string, error) {
	p := &Printer{f: f, cell: cell}
	text, _, err := p.node(f.node)
	return text, err
}

// Printer writes formulas for cells. Functions from outside use it to write
// their arguments.
type Printer struct {
	f    *Formula
	cell func(table, key string) (string, error)
}

// Node writes an ordinary argument with its factors.
func (p *Printer) Node(n Node) (string, error) {
	text, _, err := p.node(n)
	return text, err
}

// Name writes what a name stands for.
func (p *Printer) Name(table, key string) (string, error) { return p.cell(table, key) }

// Errorf makes an error with a caret under the node. Neither text is a
// format.
func (p *Printer) Errorf(n Node, what, fix string) error {
	return &Error{Source: p.f.src, Offset: n.Pos(), What: what, Fix: fix}
}

// node writes n with its factor, and gives the level of precedence of what it
// wrote.
func (p *Printer) node(n Node) (string, int, error) {
	text, level, err := p.bare(n)
	if err != nil {
		return "", 0, err
	}
	if factor := p.f.factors[n]; !factor.IsOne() {
		return bracket(text, level, levelMul) + factor.Text(), levelMul, nil
	}
	return text, level, nil
}

// bracket puts brackets round text where it binds looser than it must.
func bracket(text string, level, least int) string {
	if level < least {
		return "(" + text + ")"
	}
	return text
}

func (p *Printer) bare(n Node) (string, int, error) {
	switch n := n.(type) {
	case *Number:
		return n.Spelling, levelAtom, nil
	case *Text:
		return quote(n.Value), levelAtom, nil
	case *Name:
		text, err := p.cell(n.Table, n.Key)
		if err != nil {
			err = p.Errorf(n, err.Error(), "")
		}
		return text, levelAtom, err
	case *Paren:
		text, _, err := p.node(n.X)
		return "(" + text + ")", levelAtom, err
	case *Unary:
		text, err := p.operand(n.X, levelUnary)
		return n.Op.String() + unsigned(text), levelUnary, err
	case *Percent:
		text, err := p.operand(n.X, levelPercent)
		return text + "%", levelPercent, err
	case *Binary:
		return p.binary(n)
	case *Call:
		return p.call(n)
	}
	return "", 0, fmt.Errorf("formula: unknown node %T", n)
}

func (p *Printer) operand(n Node, least int) (string, error) {
	text, level, err := p.node(n)
	return bracket(text, level, least), err
}

// unsigned puts brackets round what begins with a sign, so that no two signs
// meet.
func unsigned(text string) string {
	if strings.HasPrefix(text, "-") || strings.HasPrefix(text, "+") {
		return "(" + text + ")"
	}
	return text
}

func (p *Printer) binary(n *Binary) (string, int, error) {
	level := n.Op.level()
	left, err := p.operand(n.L, level)
	if err != nil {
		return "", 0, err
	}
	right, err := p.operand(n.R, level+1)
	if err != nil {
		return "", 0, err
	}
	if n.Op == Add || n.Op == Sub {
		right = unsigned(right)
	}
	return left + n.Op.String() + right, level, nil
}

func (p *Printer) call(n *Call) (string, int, error) {
	fn := p.f.funcs[n]
	switch {
	case fn.inline:
		return p.node(n.Args[0])
	case fn.Print != nil:
		text, err := fn.Print(p, n)
		return text, levelAtom, err
	}
	args := make([]string, len(n.Args))
	for i, arg := range n.Args {
		text, err := p.Node(arg)
		if err != nil {
			return "", 0, err
		}
		args[i] = text
	}
	return n.Name + "(" + strings.Join(args, ",") + ")", levelAtom, nil
}

// printAround writes the argument between two pieces of text.
func printAround(before, after string) func(*Printer, *Call) (string, error) {
	return func(p *Printer, call *Call) (string, error) {
		text, err := p.Node(call.Args[0])
		return before + text + after, err
	}
}

func printAngle(p *Printer, call *Call) (string, error) {
	text, err := p.Node(call.Args[0])
	if !p.f.types[call.Args[0]].Unit.IsPlain() {
		text = "RADIANS(" + text + ")"
	}
	return call.Name + "(" + text + ")", err
}
