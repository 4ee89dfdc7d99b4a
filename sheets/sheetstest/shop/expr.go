package shop

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/xuri/efp"
	"github.com/xuri/excelize/v2"
)

// ExprKind is what a node of a formula is.
type ExprKind uint8

// The kinds of a node.
const (
	ExprNumber ExprKind = iota
	ExprWords           // a text between quotes
	exprOther           // TRUE, FALSE, an error value
	ExprRef             // an address
	ExprName            // a defined name
	exprOp              // between, before or after its operands
	ExprCall
)

// Expr is a formula as another reader takes it apart: a spreadsheet library's
// scanner gives the tokens, and nothing of the program that printed it is used.
type Expr struct {
	Kind ExprKind
	Text string // as it stands; of a call, the name of the function
	Args []*Expr
	At   Block // of an address
}

// Block is a rectangle of cells with the dollar signs that it was written with.
type Block struct {
	Sheet                              string // "" = the formula's own
	Col1, Row1, Col2, Row2             int    // Row2 0 = to the end of the sheet
	fixCol1, fixRow1, fixCol2, fixRow2 bool
}

// Single tells whether it is one cell.
func (b Block) Single() bool { return b.Col1 == b.Col2 && b.Row1 == b.Row2 }

// Holds tells whether a cell lies in it.
func (b Block) Holds(col, row int) bool {
	return col >= b.Col1 && col <= b.Col2 && row >= b.Row1 && row <= b.Row2
}

const lastRow = excelize.TotalRows

var (
	cellRef = regexp.MustCompile(`^(\$?)([A-Z]{1,3})(\$?)(\d+)$`)
	colRef  = regexp.MustCompile(`^(\$?)([A-Z]{1,3})$`)
)

// ParseBlock reads an address, with or without its sheet.
func ParseBlock(s string) (b Block, ok bool) {
	if i := strings.LastIndex(s, "!"); i >= 0 {
		b.Sheet, s = strings.ReplaceAll(strings.Trim(s[:i], "'"), "''", "'"), s[i+1:]
	}
	from, to, two := strings.Cut(s, ":")
	if !two {
		to = from
	}
	if m, n := colRef.FindStringSubmatch(from), colRef.FindStringSubmatch(to); m != nil && n != nil && two {
		b.Col1, _ = excelize.ColumnNameToNumber(m[2])
		b.Col2, _ = excelize.ColumnNameToNumber(n[2])
		b.Row1, b.Row2, b.fixRow1, b.fixRow2 = 1, lastRow, true, true
		b.fixCol1, b.fixCol2 = m[1] != "", n[1] != ""
		return b, true
	}
	m, n := cellRef.FindStringSubmatch(from), cellRef.FindStringSubmatch(to)
	if m == nil || n == nil {
		return b, false
	}
	b.Col1, _ = excelize.ColumnNameToNumber(m[2])
	b.Col2, _ = excelize.ColumnNameToNumber(n[2])
	b.Row1, _ = strconv.Atoi(m[4])
	b.Row2, _ = strconv.Atoi(n[4])
	b.fixCol1, b.fixRow1, b.fixCol2, b.fixRow2 = m[1] != "", m[3] != "", n[1] != "", n[3] != ""
	return b, true
}

// exprParser builds the tree from the tokens, by precedence.
type exprParser struct {
	tokens []efp.Token
	next   int
}

// ParseExpr takes a formula apart.
func ParseExpr(formula string) (_ *Expr, err error) {
	ps := efp.ExcelParser()
	p := &exprParser{}
	for _, t := range ps.Parse(formula) {
		if t.TType != efp.TokenTypeWhitespace {
			p.tokens = append(p.tokens, t)
		}
	}
	e, err := p.infix(0)
	if err == nil && p.next < len(p.tokens) {
		err = fmt.Errorf("%q is left over", p.tokens[p.next].TValue)
	}
	if err != nil {
		return nil, fmt.Errorf("=%s: %w", formula, err)
	}
	return e, nil
}

func (p *exprParser) peek() efp.Token {
	if p.next < len(p.tokens) {
		return p.tokens[p.next]
	}
	return efp.Token{}
}

// binds is how tightly an operator binds: ECMA-376 part 1, 18.17.2.2.
func binds(op string) int {
	switch op {
	case "=", "<>", "<", ">", "<=", ">=":
		return 1
	case "&":
		return 2
	case "+", "-":
		return 3
	case "*", "/":
		return 4
	}
	return 5
}

func (p *exprParser) infix(least int) (*Expr, error) {
	left, err := p.operand()
	for err == nil && p.peek().TType == efp.TokenTypeOperatorInfix && binds(p.peek().TValue) > least {
		op := p.peek().TValue
		p.next++
		var right *Expr
		if right, err = p.infix(binds(op)); err == nil {
			left = &Expr{Kind: exprOp, Text: op, Args: []*Expr{left, right}}
		}
	}
	return left, err
}

func (p *exprParser) operand() (*Expr, error) {
	t := p.peek()
	p.next++
	var e *Expr
	switch {
	case t.TType == efp.TokenTypeOperatorPrefix:
		x, err := p.operand()
		if err != nil {
			return nil, err
		}
		e = &Expr{Kind: exprOp, Text: t.TValue, Args: []*Expr{x}}
	case t.TType == efp.TokenTypeOperand:
		e = leaf(t)
	case t.TSubType == efp.TokenSubTypeStart:
		e = &Expr{Kind: ExprCall, Text: strings.TrimPrefix(strings.ToUpper(t.TValue), "_XLFN.")}
		for p.peek().TSubType != efp.TokenSubTypeStop || p.peek().TType != t.TType {
			x, err := p.infix(0)
			if err != nil {
				return nil, err
			}
			e.Args = append(e.Args, x)
			if p.peek().TType == efp.TokenTypeArgument {
				p.next++
			}
		}
		p.next++
		if t.TType == efp.TokenTypeSubexpression {
			e = e.Args[0]
		}
	default:
		return nil, fmt.Errorf("%q (%s) is not expected", t.TValue, t.TType)
	}
	for p.peek().TType == efp.TokenTypeOperatorPostfix {
		p.next++
		e = &Expr{Kind: exprOp, Text: "%", Args: []*Expr{e}}
	}
	return e, nil
}

func leaf(t efp.Token) *Expr {
	switch t.TSubType {
	case efp.TokenSubTypeNumber:
		return &Expr{Kind: ExprNumber, Text: t.TValue}
	case efp.TokenSubTypeText:
		return &Expr{Kind: ExprWords, Text: t.TValue}
	case efp.TokenSubTypeRange:
		if b, ok := ParseBlock(t.TValue); ok {
			return &Expr{Kind: ExprRef, Text: t.TValue, At: b}
		}
		return &Expr{Kind: ExprName, Text: t.TValue}
	}
	return &Expr{Kind: exprOther, Text: t.TValue}
}

// Walk visits a node and all below it; over is what it stands in, outermost
// first.
func (e *Expr) Walk(visit func(e *Expr, over []*Expr), over ...*Expr) {
	visit(e, over)
	for _, x := range e.Args {
		x.Walk(visit, append(over[:len(over):len(over)], e)...)
	}
}

// All lists the nodes of a kind.
func (e *Expr) All(kind ExprKind) []*Expr {
	var out []*Expr
	e.Walk(func(x *Expr, _ []*Expr) {
		if x.Kind == kind {
			out = append(out, x)
		}
	})
	return out
}

// Calls tells whether a function is used anywhere.
func (e *Expr) Calls(function string) bool {
	for _, c := range e.All(ExprCall) {
		if c.Text == function {
			return true
		}
	}
	return false
}

// write gives the tree as text again, addresses as show gives them.
func (e *Expr) write(show func(*Expr) string) string {
	args := make([]string, len(e.Args))
	for i, x := range e.Args {
		args[i] = x.write(show)
	}
	switch {
	case e.Kind == ExprRef:
		return show(e)
	case e.Kind == ExprWords:
		return strconv.Quote(e.Text)
	case e.Kind == ExprCall:
		return e.Text + "(" + strings.Join(args, ",") + ")"
	case len(args) == 2:
		return "(" + args[0] + e.Text + args[1] + ")"
	case len(args) == 1:
		return "(" + e.Text + args[0] + ")"
	}
	return e.Text
}

// Relative is the formula as seen from its cell: equal all the way down a
// column that was copied down. What has a name is written by it.
func (e *Expr) Relative(col, row int, named func(Block) string) string {
	return e.write(func(x *Expr) string {
		if name := named(x.At); name != "" {
			return name
		}
		part := func(fixed bool, at, from int) string {
			if fixed {
				return strconv.Itoa(at)
			}
			return fmt.Sprintf("[%d]", at-from)
		}
		b := x.At
		return fmt.Sprint(b.Sheet, "!", part(b.fixCol1, b.Col1, col), part(b.fixRow1, b.Row1, row), ":", part(b.fixCol2, b.Col2, col), part(b.fixRow2, b.Row2, row))
	})
}

// Absolute is the formula with the cells that it reads, wherever it stands.
func (e *Expr) Absolute(sheet string) string {
	return e.write(func(x *Expr) string {
		b := x.At
		if b.Sheet == "" {
			b.Sheet = sheet
		}
		return fmt.Sprint(b.Sheet, "!", b.Col1, ",", b.Row1, ":", b.Col2, ",", b.Row2)
	})
}

// Operators counts the operators and functions. To read a line of a table and
// to turn degrees into radians is not counted: the first names a value, the
// second is a unit.
func (e *Expr) Operators() int {
	n := 0
	e.Walk(func(x *Expr, _ []*Expr) {
		if x.Kind == exprOp || x.Kind == ExprCall && x.Text != "INDEX" && x.Text != "RADIANS" {
			n++
		}
	})
	return n
}
