package sheets_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/xuri/efp"
	"github.com/xuri/excelize/v2"
)

// exprKind is what a node of a formula is.
type exprKind uint8

const (
	exprNumber exprKind = iota
	exprWords           // a text between quotes
	exprOther           // TRUE, FALSE, an error value
	exprRef             // an address
	exprName            // a defined name
	exprOp              // between, before or after its operands
	exprCall
)

// expr is a formula as another reader takes it apart: a spreadsheet library's
// scanner gives the tokens, and nothing of the program that printed it is used.
type expr struct {
	kind exprKind
	text string // as it stands; of a call, the name of the function
	args []*expr
	at   block // of an address
}

// block is a rectangle of cells with the dollar signs that it was written with.
type block struct {
	sheet                              string // "" = the formula's own
	col1, row1, col2, row2             int    // row2 0 = to the end of the sheet
	fixCol1, fixRow1, fixCol2, fixRow2 bool
}

func (b block) single() bool { return b.col1 == b.col2 && b.row1 == b.row2 }

func (b block) holds(col, row int) bool {
	return col >= b.col1 && col <= b.col2 && row >= b.row1 && row <= b.row2
}

const lastRow = excelize.TotalRows

var (
	cellRef = regexp.MustCompile(`^(\$?)([A-Z]{1,3})(\$?)(\d+)$`)
	colRef  = regexp.MustCompile(`^(\$?)([A-Z]{1,3})$`)
)

// parseBlock reads an address, with or without its sheet.
func parseBlock(s string) (b block, ok bool) {
	if i := strings.LastIndex(s, "!"); i >= 0 {
		b.sheet, s = strings.ReplaceAll(strings.Trim(s[:i], "'"), "''", "'"), s[i+1:]
	}
	from, to, two := strings.Cut(s, ":")
	if !two {
		to = from
	}
	if m, n := colRef.FindStringSubmatch(from), colRef.FindStringSubmatch(to); m != nil && n != nil && two {
		b.col1, _ = excelize.ColumnNameToNumber(m[2])
		b.col2, _ = excelize.ColumnNameToNumber(n[2])
		b.row1, b.row2, b.fixRow1, b.fixRow2 = 1, lastRow, true, true
		b.fixCol1, b.fixCol2 = m[1] != "", n[1] != ""
		return b, true
	}
	m, n := cellRef.FindStringSubmatch(from), cellRef.FindStringSubmatch(to)
	if m == nil || n == nil {
		return b, false
	}
	b.col1, _ = excelize.ColumnNameToNumber(m[2])
	b.col2, _ = excelize.ColumnNameToNumber(n[2])
	b.row1, _ = strconv.Atoi(m[4])
	b.row2, _ = strconv.Atoi(n[4])
	b.fixCol1, b.fixRow1, b.fixCol2, b.fixRow2 = m[1] != "", m[3] != "", n[1] != "", n[3] != ""
	return b, true
}

// exprParser builds the tree from the tokens, by precedence.
type exprParser struct {
	tokens []efp.Token
	next   int
}

func parseExpr(formula string) (_ *expr, err error) {
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

func (p *exprParser) infix(least int) (*expr, error) {
	left, err := p.operand()
	for err == nil && p.peek().TType == efp.TokenTypeOperatorInfix && binds(p.peek().TValue) > least {
		op := p.peek().TValue
		p.next++
		var right *expr
		if right, err = p.infix(binds(op)); err == nil {
			left = &expr{kind: exprOp, text: op, args: []*expr{left, right}}
		}
	}
	return left, err
}

func (p *exprParser) operand() (*expr, error) {
	t := p.peek()
	p.next++
	var e *expr
	switch {
	case t.TType == efp.TokenTypeOperatorPrefix:
		x, err := p.operand()
		if err != nil {
			return nil, err
		}
		e = &expr{kind: exprOp, text: t.TValue, args: []*expr{x}}
	case t.TType == efp.TokenTypeOperand:
		e = leaf(t)
	case t.TSubType == efp.TokenSubTypeStart:
		e = &expr{kind: exprCall, text: strings.TrimPrefix(strings.ToUpper(t.TValue), "_XLFN.")}
		for p.peek().TSubType != efp.TokenSubTypeStop || p.peek().TType != t.TType {
			x, err := p.infix(0)
			if err != nil {
				return nil, err
			}
			e.args = append(e.args, x)
			if p.peek().TType == efp.TokenTypeArgument {
				p.next++
			}
		}
		p.next++
		if t.TType == efp.TokenTypeSubexpression {
			e = e.args[0]
		}
	default:
		return nil, fmt.Errorf("%q (%s) is not expected", t.TValue, t.TType)
	}
	for p.peek().TType == efp.TokenTypeOperatorPostfix {
		p.next++
		e = &expr{kind: exprOp, text: "%", args: []*expr{e}}
	}
	return e, nil
}

func leaf(t efp.Token) *expr {
	switch t.TSubType {
	case efp.TokenSubTypeNumber:
		return &expr{kind: exprNumber, text: t.TValue}
	case efp.TokenSubTypeText:
		return &expr{kind: exprWords, text: t.TValue}
	case efp.TokenSubTypeRange:
		if b, ok := parseBlock(t.TValue); ok {
			return &expr{kind: exprRef, text: t.TValue, at: b}
		}
		return &expr{kind: exprName, text: t.TValue}
	}
	return &expr{kind: exprOther, text: t.TValue}
}

// walk visits a node and all below it; over is what it stands in, outermost
// first.
func (e *expr) walk(visit func(e *expr, over []*expr), over ...*expr) {
	visit(e, over)
	for _, x := range e.args {
		x.walk(visit, append(over[:len(over):len(over)], e)...)
	}
}

// all lists the nodes of a kind.
func (e *expr) all(kind exprKind) []*expr {
	var out []*expr
	e.walk(func(x *expr, _ []*expr) {
		if x.kind == kind {
			out = append(out, x)
		}
	})
	return out
}

// calls tells whether a function is used anywhere.
func (e *expr) calls(function string) bool {
	for _, c := range e.all(exprCall) {
		if c.text == function {
			return true
		}
	}
	return false
}

// write gives the tree as text again, addresses as show gives them.
func (e *expr) write(show func(*expr) string) string {
	args := make([]string, len(e.args))
	for i, x := range e.args {
		args[i] = x.write(show)
	}
	switch {
	case e.kind == exprRef:
		return show(e)
	case e.kind == exprWords:
		return strconv.Quote(e.text)
	case e.kind == exprCall:
		return e.text + "(" + strings.Join(args, ",") + ")"
	case len(args) == 2:
		return "(" + args[0] + e.text + args[1] + ")"
	case len(args) == 1:
		return "(" + e.text + args[0] + ")"
	}
	return e.text
}

// relative is the formula as seen from its cell: equal all the way down a
// column that was copied down. What has a name is written by it.
func (e *expr) relative(col, row int, named func(block) string) string {
	return e.write(func(x *expr) string {
		if name := named(x.at); name != "" {
			return name
		}
		part := func(fixed bool, at, from int) string {
			if fixed {
				return strconv.Itoa(at)
			}
			return fmt.Sprintf("[%d]", at-from)
		}
		b := x.at
		return fmt.Sprint(b.sheet, "!", part(b.fixCol1, b.col1, col), part(b.fixRow1, b.row1, row), ":", part(b.fixCol2, b.col2, col), part(b.fixRow2, b.row2, row))
	})
}

// absolute is the formula with the cells that it reads, wherever it stands.
func (e *expr) absolute(sheet string) string {
	return e.write(func(x *expr) string {
		b := x.at
		if b.sheet == "" {
			b.sheet = sheet
		}
		return fmt.Sprint(b.sheet, "!", b.col1, ",", b.row1, ":", b.col2, ",", b.row2)
	})
}

// operators counts the operators and functions. To read a line of a table and
// to turn degrees into radians is not counted: the first names a value, the
// second is a unit.
func (e *expr) operators() int {
	n := 0
	e.walk(func(x *expr, _ []*expr) {
		if x.kind == exprOp || x.kind == exprCall && x.text != "INDEX" && x.text != "RADIANS" {
			n++
		}
	})
	return n
}

// sheetInFormula is the name of a sheet before an address.
var sheetInFormula = regexp.MustCompile(`'(?:[^']|'')+'!`)

// formulaLength is the length of a formula without the names of sheets, which
// are the shop's.
func formulaLength(formula string) int {
	return len([]rune(sheetInFormula.ReplaceAllString(formula, "")))
}
