package book

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"seamtally/compute/formula"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Stale says what is the matter with a formula over numbers that are typed, in it
// or in cells beside it, that does not come to the number stored with it; "" where
// it does, or where that cannot be told. Beside are the cells of its row.
func Stale(c *worksheet.Cell, beside []worksheet.Cell) string {
	if c.Kind != worksheet.Number || !c.HasFormula || strings.ContainsAny(c.Formula, "!:[") { // other sheets, ranges
		return ""
	}
	n, err := formula.Parse(formula.Source{Text: asNames(c.Formula)})
	if err != nil {
		return ""
	}
	x, ok := typed(n, c.Row, beside)
	if !ok || math.Abs(x-c.Num) <= staleDust*max(1, math.Abs(x), math.Abs(c.Num)) {
		return ""
	}
	return fmt.Sprintf("=%s, which comes to %s, and the file says %s", c.Formula, formula.GeneralText(x), formula.GeneralText(c.Num))
}

// cellPrefix begins what a cell is called in a formula of names.
const cellPrefix = "cell_"

var cellName = regexp.MustCompile(`\b[A-Za-z]{1,3}[1-9][0-9]*\b`)

// asNames writes cells as names, which must not look like cells: A$5 as cell_a5.
func asNames(text string) string {
	return cellName.ReplaceAllStringFunc(strings.ReplaceAll(text, "$", ""), func(cell string) string {
		return cellPrefix + strings.ToLower(cell)
	})
}

// staleDust is how far a stored number may be from what its formula comes to, over
// that or over 1: programs keep fifteen digits of it, and take dust for 0.
const staleDust = 1e-9

// typed works out a tree over numbers that are typed.
func typed(n formula.Node, row int, beside []worksheet.Cell) (float64, bool) {
	switch n := n.(type) {
	case *formula.Number:
		return n.Value, true
	case *formula.Paren:
		return typed(n.X, row, beside)
	case *formula.Percent:
		x, ok := typed(n.X, row, beside)
		return x / 100, ok
	case *formula.Unary:
		x, ok := typed(n.X, row, beside)
		if n.Op == formula.Sub {
			x = -x
		}
		return x, ok
	case *formula.Binary:
		l, okL := typed(n.L, row, beside)
		r, okR := typed(n.R, row, beside)
		x, known := operated(n.Op, l, r)
		return x, known && okL && okR && !math.IsNaN(x) && !math.IsInf(x, 0)
	case *formula.Call:
		sum := 0.0
		for _, a := range n.Args {
			x, ok := typed(a, row, beside)
			if !ok {
				return 0, false
			}
			sum += x
		}
		return sum, strings.EqualFold(n.Name, "SUM")
	case *formula.Name:
		ref, is := strings.CutPrefix(n.Key, cellPrefix)
		at, err := grid.ParseRange(strings.ToUpper(ref))
		if !is || err != nil || n.Table != "" || at.Row1 != row || at.Row2 != row || at.Col1 != at.Col2 {
			return 0, false
		}
		for _, c := range beside {
			if c.Col == at.Col1 {
				return c.Num, c.Kind == worksheet.Number && !c.HasFormula
			}
		}
	}
	return 0, false
}

func operated(op formula.Op, l, r float64) (x float64, known bool) {
	switch op {
	case formula.Add:
		return l + r, true
	case formula.Sub:
		return l - r, true
	case formula.Mul:
		return l * r, true
	case formula.Div:
		return l / r, true
	case formula.Pow:
		return math.Pow(l, r), true
	}
	return 0, false
}
