package modelling_test

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest/shop"
)

// breach is a cell, or a thing, that breaks a rule. Its place is what an
// exception names.
type breach struct{ place, where, what string }

func (s spot) breaks(format string, args ...any) breach {
	return breach{s.place, s.ref(), fmt.Sprintf(format, args...)}
}

// isReading tells a cell whose text had to be read: its formula holds for that
// text alone.
func (s spot) isReading() bool {
	e := s.tree
	return e != nil && e.Kind == shop.ExprCall && e.Text == "IF" && len(e.Args) == 3 &&
		e.Args[0].Kind == shop.ExprCall && e.Args[0].Text == "EXACT" && e.Args[2].Kind == shop.ExprCall && e.Args[2].Text == "NA"
}

// figureOf is the figure that a block of a joint list holds, for a formula on
// Workings, whose rows read one list each: "" if it is no such block.
func (b *ruleBook) figureOf(at shop.Block) string {
	for _, l := range b.lists {
		if l.sheet == at.Sheet {
			return "list's " + l.keys[at.Col1] + " to " + l.keys[at.Col2]
		}
	}
	return ""
}

// oneFormulaAColumn: every row of a calculated column has the formula of the
// column, as seen from its own row.
func oneFormulaAColumn(b *ruleBook) (out []breach, n int) {
	first := map[string]string{}
	for _, s := range b.formulas() {
		column := ""
		switch key, _ := b.block(s.row); {
		case s.list != nil && !s.isReading():
			column = fmt.Sprint(s.sheet.title, " ", s.col)
		case s.sheet.title == sheetSummary && sameShape(key) || strings.HasPrefix(s.place, "table."):
			column = fmt.Sprint(s.place, " ", s.col)
		case b.key(s.row) != "" && s.sheet.title == sheetAssumptions:
			column = s.place
		default:
			continue
		}
		n++
		shape := s.tree.Relative(s.col, s.row, b.figureOf)
		if was, ok := first[column]; ok && was != shape {
			out = append(out, s.breaks("=%s is not the formula of its column, %s", s.Formula, was))
		} else {
			first[column] = shape
		}
	}
	return out, n
}

// unitFactors are the exact factors between the units of the two books.
func unitFactors() map[float64]string {
	return map[float64]string{
		60: "min/h, s/min", 3600: "s/h", 12: "in/ft", 1728: "in³/ft³", 25.4: "mm/in", 304.8: "mm/ft",
		2.54: "cm/in", 0.0254: "m/in", 10: "mm/cm", 1000: "mm/m, L/m³, g/kg", 1e6: "mm³/L, mm to µm", 28.316846592: "L/ft³", 0.028316846592: "m³/ft³",
	}
}

var criterion = regexp.MustCompile(`^(?:=|<>|<=|>=|<|>)(-?[0-9.]+)$`)

// fewConstants: 0, 1, 2, factors of units and places of rounding, no more.
func fewConstants(b *ruleBook) (out []breach, n int) {
	units := unitFactors()
	for _, s := range b.formulas() {
		if s.isReading() {
			continue // the number is what the shop's own text says
		}
		n++
		s.tree.Walk(func(e *shop.Expr, over []*shop.Expr) {
			written := e.Text
			if m := criterion.FindStringSubmatch(e.Text); e.Kind == shop.ExprWords && m != nil {
				written = m[1]
			} else if e.Kind != shop.ExprNumber {
				return
			}
			x, err := strconv.ParseFloat(written, 64)
			switch {
			case err == nil && (x == 0 || x == 1 || x == 2 || units[x] != ""):
			case len(over) > 0 && strings.HasPrefix(over[len(over)-1].Text, "ROUND") && over[len(over)-1].Args[1] == e:
			default:
				out = append(out, s.breaks("%s in =%s", written, s.Formula))
			}
		})
	}
	return out, n
}

const (
	mostLetters = 80
	mostReads   = 8
)

// sheetInFormula is the name of a sheet before an address.
var sheetInFormula = regexp.MustCompile(`'(?:[^']|'')+'!`)

// formulaLength is the length of a formula without the names of sheets, which
// are the shop's.
func formulaLength(formula string) int {
	return len([]rune(sheetInFormula.ReplaceAllString(formula, "")))
}

// shortFormulas: what does not fit is better two figures.
func shortFormulas(b *ruleBook) (out []breach, n int) {
	for _, s := range b.formulas() {
		n++
		if letters := formulaLength(s.Formula); letters > mostLetters && !s.isReading() {
			out = append(out, s.breaks("%d letters: =%s", letters, s.Formula))
		}
		if reads := len(s.tree.All(shop.ExprRef)) + len(s.tree.All(shop.ExprName)); reads > mostReads {
			out = append(out, s.breaks("%d cells and names: =%s", reads, s.Formula))
		}
	}
	return out, n
}

// oneIfDeep: no IF within an IF.
func oneIfDeep(b *ruleBook) (out []breach, n int) {
	for _, s := range b.formulas() {
		if !s.tree.Calls("IF") {
			continue
		}
		n++
		s.tree.Walk(func(e *shop.Expr, over []*shop.Expr) {
			if e.Kind == shop.ExprCall && e.Text == "IF" && slices.ContainsFunc(over, func(o *shop.Expr) bool { return o.Kind == shop.ExprCall && o.Text == "IF" }) {
				out = append(out, s.breaks("an IF within an IF: =%s", s.Formula))
			}
		})
	}
	return out, n
}

// leastShared is how many operators an expression has before it is better a
// figure of its own.
const leastShared = 3

// nothingTwice: what one cell works out, no other cell of its row works out
// again. On our own sheets, whose rows are not alike, no other cell of the
// sheet does.
func nothingTwice(b *ruleBook) (out []breach, n int) {
	type done struct{ scope, what string }
	first := map[done]spot{}
	for _, s := range b.formulas() {
		n++
		scope := s.sheet.title
		if s.list != nil {
			scope = fmt.Sprint(scope, " ", s.row)
		}
		s.tree.Walk(func(e *shop.Expr, _ []*shop.Expr) {
			if e.Operators() < leastShared || len(e.All(shop.ExprRef))+len(e.All(shop.ExprName)) == 0 {
				return
			}
			key := done{scope, e.Absolute(s.sheet.title)}
			if was, ok := first[key]; ok {
				out = append(out, s.breaks("%s is worked out by %s (%s) too: =%s", key.what, was.place, was.ref(), s.Formula))
				return
			}
			first[key] = s
		})
	}
	return out, n
}

// singlesByName: no formula of another row reads a single assumption by its
// address.
func singlesByName(b *ruleBook) (out []breach, n int) {
	used := map[int]bool{}
	a := b.sheets[sheetAssumptions]
	for at := range a.cells {
		if b.key(at[1]) != "" {
			used[at[1]] = true
		}
	}
	rows := slices.Sorted(maps.Keys(used))
	for _, s := range b.formulas() {
		for _, name := range s.tree.All(shop.ExprName) {
			if at := b.names[name.Text]; at.Sheet == sheetAssumptions && used[at.Row1] && at.Single() {
				n++
			}
		}
		for _, e := range s.tree.All(shop.ExprRef) {
			title := e.At.Sheet
			if title == "" {
				title = s.sheet.title
			}
			if title != sheetAssumptions || e.At.Col2 < 3 || e.At.Col1 > 6 { // value, unit, value used, unit used
				continue
			}
			for _, row := range rows {
				if e.At.Row1 <= row && row <= e.At.Row2 && !(s.sheet == a && s.row == row) {
					out = append(out, s.breaks("reads %s of Assumptions, row %d, by its address: =%s", e.Text, row, s.Formula))
					break
				}
			}
		}
	}
	return out, n
}

// noLinksOut: nothing is read from another file.
func noLinksOut(b *ruleBook) (out []breach, n int) {
	for _, l := range b.links {
		out = append(out, breach{"workbook", "package", l})
	}
	for _, s := range b.formulas() {
		n++
		if strings.Contains(s.Formula, "[") || strings.Contains(s.Formula, "://") || strings.Contains(s.Formula, `\\`) {
			out = append(out, s.breaks("=%s", s.Formula))
		}
	}
	return out, n
}

// isMoney tells a cell whose heading, or the cell right of it, names the sign
// for money.
func (b *ruleBook) isMoney(s spot) bool {
	unit := b.unitOf(s)
	return unit == b.currency()
}

// currency is the book's sign for money.
func (b *ruleBook) currency() string {
	return b.sheets[sheetAssumptions].at(b.names["head_currency"]).Text
}

// roundMoneyOnly: money is rounded to the cent, counts of things to whole ones,
// and nothing else.
func roundMoneyOnly(b *ruleBook) (out []breach, n int) {
	for _, s := range b.formulas() {
		s.tree.Walk(func(e *shop.Expr, over []*shop.Expr) {
			if e.Kind != shop.ExprCall || !strings.HasPrefix(e.Text, "ROUND") {
				return
			}
			n++
			places := e.Args[1].Text
			within := ""
			if len(over) > 0 {
				within = over[len(over)-1].Text
			}
			switch {
			case e.Text == "ROUND" && places == "2" && b.isMoney(s):
			case e.Text != "ROUND" && places == "0" && e.Args[0].Kind == shop.ExprCall && e.Args[0].Text == "ROUND": // a whole thing
			case e.Text == "ROUND" && places == "6" && strings.HasPrefix(within, "ROUND"): // less the dust of the division
			case e.Text == "ROUND" && places == "0" && within == "<>": // whether it is whole
			default:
				out = append(out, s.breaks("%s to %s places: =%s", e.Text, places, s.Formula))
			}
		})
	}
	return out, n
}

// nothingVolatile: no cell that changes by itself, or that reads where no
// reader can follow.
func nothingVolatile(b *ruleBook) (out []breach, n int) {
	for _, s := range b.formulas() {
		n++
		for _, c := range s.tree.All(shop.ExprCall) {
			if slices.Contains([]string{"OFFSET", "INDIRECT", "NOW", "TODAY", "RAND", "RANDBETWEEN", "RANDARRAY", "CELL", "INFO"}, c.Text) {
				out = append(out, s.breaks("=%s", s.Formula))
			}
		}
	}
	return out, n
}

// noArrays: a formula is entered as any other is.
func noArrays(b *ruleBook) (out []breach, n int) {
	for _, s := range b.formulas() {
		n++
		ref, _ := excelize.CoordinatesToCellName(s.col, s.row)
		if slices.Contains(s.sheet.arrays, ref) {
			out = append(out, s.breaks("is array-entered: =%s", s.Formula))
		}
	}
	return out, n
}
