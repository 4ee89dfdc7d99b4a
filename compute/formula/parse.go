package formula

import (
	"fmt"
	"strings"
)

// deepest bounds the nesting of a formula, so that no text can exhaust the
// stack. A spreadsheet stops at 64 levels of functions.
const deepest = 64

// Parse reads formula text (without a leading "=") into a tree. Operators
// bind as in a spreadsheet: a sign tighter than %, then ^ from left to right,
// * and /, + and -, &, comparisons. A fault is an *Error.
func Parse(src Source) (Node, error) {
	p := parser{scan: scanner{src: src}}
	if err := p.advance(); err != nil {
		return nil, err
	}
	if p.tok.kind == tokenEnd {
		return nil, p.errorf("the formula is empty", "write an expression such as od-2*wall")
	}
	n, err := p.binary(levelCompare)
	if err != nil {
		return nil, err
	}
	if p.tok.kind != tokenEnd {
		return nil, p.unexpected("an operator or the end")
	}
	return n, nil
}

// parser holds one token of look-ahead.
type parser struct {
	scan  scanner
	tok   token
	depth int
}

func (p *parser) advance() (err error) {
	p.tok, err = p.scan.next()
	return err
}

func (p *parser) errorf(what, fix string) error {
	return p.scan.errorf(p.tok.at, what, fix)
}

func (p *parser) unexpected(wanted string) error {
	found := p.tok.text
	switch p.tok.kind {
	case tokenText:
		found = quote(found)
	case tokenOp:
		if p.tok.op == Equal && p.tok.at == 0 {
			return p.errorf("the formula begins with =", "leave it out: it is written when the cell is")
		}
	}
	return p.errorf(fmt.Sprintf("found %s where %s should be", found, wanted), "complete or correct the expression here")
}

// binary reads operators of the given level and all that bind tighter, from
// left to right.
func (p *parser) binary(level int) (Node, error) {
	if level == levelPercent {
		return p.percent()
	}
	left, err := p.binary(level + 1)
	if err != nil {
		return nil, err
	}
	for chain := 0; p.tok.kind == tokenOp && p.tok.op.level() == level; chain++ {
		n := &Binary{At: p.tok.at, Op: p.tok.op, L: left}
		if chain >= deepest {
			return nil, p.errorf("the chain of operators is too long", "split the formula into two figures")
		}
		if err := p.advance(); err != nil {
			return nil, err
		}
		if n.R, err = p.binary(level + 1); err != nil {
			return nil, err
		}
		left = n
	}
	return left, nil
}

func (p *parser) percent() (Node, error) {
	n, err := p.unary()
	if err != nil {
		return nil, err
	}
	for chain := 0; p.tok.kind == tokenPercent; chain++ {
		if chain >= deepest {
			return nil, p.errorf("too many percent signs", "write one")
		}
		n = &Percent{At: p.tok.at, X: n}
		if err := p.advance(); err != nil {
			return nil, err
		}
	}
	return n, nil
}

func (p *parser) unary() (Node, error) {
	if p.tok.kind != tokenOp || p.tok.op != Add && p.tok.op != Sub {
		return p.primary()
	}
	n := &Unary{At: p.tok.at, Op: p.tok.op}
	if err := p.enter(); err != nil {
		return nil, err
	}
	defer p.leave()
	if err := p.advance(); err != nil {
		return nil, err
	}
	var err error
	n.X, err = p.unary()
	return n, err
}

func (p *parser) enter() error {
	if p.depth++; p.depth > deepest {
		return p.errorf(fmt.Sprintf("the formula is nested more than %d deep", deepest), "split it into two figures")
	}
	return nil
}

func (p *parser) leave() { p.depth-- }

func (p *parser) primary() (Node, error) {
	tok := p.tok
	switch tok.kind {
	case tokenNumber:
		return &Number{At: tok.at, Spelling: tok.text, Value: tok.value}, p.advance()
	case tokenText:
		return &Text{At: tok.at, Value: tok.text}, p.advance()
	case tokenOpen:
		if err := p.advance(); err != nil {
			return nil, err
		}
		x, err := p.inside()
		if err != nil {
			return nil, err
		}
		return &Paren{At: tok.at, X: x}, p.close(tok.at)
	case tokenName:
		if err := p.advance(); err != nil {
			return nil, err
		}
		if p.tok.kind == tokenOpen {
			return p.call(tok)
		}
		return p.name(tok)
	}
	return nil, p.unexpected("a value")
}

// inside reads a whole expression, one level of nesting down.
func (p *parser) inside() (Node, error) {
	if err := p.enter(); err != nil {
		return nil, err
	}
	defer p.leave()
	return p.binary(levelCompare)
}

func (p *parser) close(open int) error {
	if p.tok.kind == tokenEnd {
		return p.scan.errorf(open, "the bracket is not closed", "add )")
	}
	if p.tok.kind != tokenClose {
		return p.unexpected("an operator or )")
	}
	return p.advance()
}

func (p *parser) call(name token) (Node, error) {
	if strings.Contains(name.text, ".") {
		return nil, p.scan.errorf(name.at, name.text+" is no name of a function", "leave out the point")
	}
	n := &Call{At: name.at, Name: name.text}
	open := p.tok.at
	if err := p.advance(); err != nil {
		return nil, err
	}
	if p.tok.kind == tokenClose {
		return n, p.advance()
	}
	for {
		arg, err := p.inside()
		if err != nil {
			return nil, err
		}
		n.Args = append(n.Args, arg)
		if p.tok.kind != tokenComma {
			return n, p.close(open)
		}
		if err := p.advance(); err != nil {
			return nil, err
		}
	}
}

func (p *parser) name(tok token) (Node, error) {
	n := &Name{At: tok.at, Key: tok.text}
	if table, key, two := strings.Cut(tok.text, "."); two {
		n.Table, n.Key = table, key
		if err := ValidKey(table); err != nil {
			return nil, p.scan.errorf(tok.at, err.Error(), "")
		}
	}
	if err := ValidKey(n.Key); err != nil {
		return nil, p.scan.errorf(tok.at, err.Error(), "")
	}
	return n, nil
}
