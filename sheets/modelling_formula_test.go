package sheets_test

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
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
	return e != nil && e.kind == exprCall && e.text == "IF" && len(e.args) == 3 &&
		e.args[0].kind == exprCall && e.args[0].text == "EXACT" && e.args[2].kind == exprCall && e.args[2].text == "NA"
}

// figureOf is the figure that a block of a joint list holds, for a formula on
// the Summary, whose rows read one list each: "" if it is no such block.
func (b *ruleBook) figureOf(at block) string {
	for _, l := range b.lists {
		if l.sheet == at.sheet {
			return "list's " + l.keys[at.col1] + " to " + l.keys[at.col2]
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
		shape := s.tree.relative(s.col, s.row, b.figureOf)
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
		s.tree.walk(func(e *expr, over []*expr) {
			written := e.text
			if m := criterion.FindStringSubmatch(e.text); e.kind == exprWords && m != nil {
				written = m[1]
			} else if e.kind != exprNumber {
				return
			}
			x, err := strconv.ParseFloat(written, 64)
			switch {
			case err == nil && (x == 0 || x == 1 || x == 2 || units[x] != ""):
			case len(over) > 0 && strings.HasPrefix(over[len(over)-1].text, "ROUND") && over[len(over)-1].args[1] == e:
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

// shortFormulas: what does not fit is better two figures.
func shortFormulas(b *ruleBook) (out []breach, n int) {
	for _, s := range b.formulas() {
		n++
		if letters := formulaLength(s.Formula); letters > mostLetters && !s.isReading() {
			out = append(out, s.breaks("%d letters: =%s", letters, s.Formula))
		}
		if reads := len(s.tree.all(exprRef)) + len(s.tree.all(exprName)); reads > mostReads {
			out = append(out, s.breaks("%d cells and names: =%s", reads, s.Formula))
		}
	}
	return out, n
}

// oneIfDeep: no IF within an IF.
func oneIfDeep(b *ruleBook) (out []breach, n int) {
	for _, s := range b.formulas() {
		if !s.tree.calls("IF") {
			continue
		}
		n++
		s.tree.walk(func(e *expr, over []*expr) {
			if e.kind == exprCall && e.text == "IF" && slices.ContainsFunc(over, func(o *expr) bool { return o.kind == exprCall && o.text == "IF" }) {
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
		s.tree.walk(func(e *expr, _ []*expr) {
			if e.operators() < leastShared || len(e.all(exprRef))+len(e.all(exprName)) == 0 {
				return
			}
			key := done{scope, e.absolute(s.sheet.title)}
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
		for _, name := range s.tree.all(exprName) {
			if at := b.names[name.text]; at.sheet == sheetAssumptions && used[at.row1] && at.single() {
				n++
			}
		}
		for _, e := range s.tree.all(exprRef) {
			title := e.at.sheet
			if title == "" {
				title = s.sheet.title
			}
			if title != sheetAssumptions || e.at.col2 < 3 || e.at.col1 > 6 { // value, unit, value used, unit used
				continue
			}
			for _, row := range rows {
				if e.at.row1 <= row && row <= e.at.row2 && !(s.sheet == a && s.row == row) {
					out = append(out, s.breaks("reads %s of Assumptions, row %d, by its address: =%s", e.text, row, s.Formula))
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
		s.tree.walk(func(e *expr, over []*expr) {
			if e.kind != exprCall || !strings.HasPrefix(e.text, "ROUND") {
				return
			}
			n++
			places := e.args[1].text
			within := ""
			if len(over) > 0 {
				within = over[len(over)-1].text
			}
			switch {
			case e.text == "ROUND" && places == "2" && b.isMoney(s):
			case e.text != "ROUND" && places == "0" && e.args[0].kind == exprCall && e.args[0].text == "ROUND": // a whole thing
			case e.text == "ROUND" && places == "6" && strings.HasPrefix(within, "ROUND"): // less the dust of the division
			case e.text == "ROUND" && places == "0" && within == "<>": // whether it is whole
			default:
				out = append(out, s.breaks("%s to %s places: =%s", e.text, places, s.Formula))
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
		for _, c := range s.tree.all(exprCall) {
			if slices.Contains([]string{"OFFSET", "INDIRECT", "NOW", "TODAY", "RAND", "RANDBETWEEN", "RANDARRAY", "CELL", "INFO"}, c.text) {
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
