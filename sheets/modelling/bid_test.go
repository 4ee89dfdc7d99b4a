package modelling_test

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/bid"
	"seamtally/sheets/sheetstest/shop"
)

// bidExceptions let formulas of the sheets for the bid break a rule.
func bidExceptions() []struct {
	rule         int
	sheet, shape string
	reason       string
} {
	return []struct {
		rule         int
		sheet, shape string
		reason       string
	}{
		{2, "Schedule", `REPT\(1,7-`, "a week has 7 days"},
		{2, "Schedule", `^IF\(start_date=0,"",\$?[A-Z]+\d+-7\)$`, "a week has 7 days"},
		{4, "Schedule", `^SUMPRODUCT\(\$[A-Z]+\$\d+:\$[A-Z]+\$\d+,ABS\(`, "what of each spec lies before a day; in steps it would take a column for each week"},
		{4, "Schedule", `^CHOOSE\(`, "the names of the days, written out"},
		{4, "Breaks", `^IF\(AND\(INDEX\(stock_charge,`, "the model's own, as on Summary: in two steps it would take one more column there"},
	}
}

// The sheets for the bid keep to the rules that hold for any formula wherever
// it stands: 2, 4, 5, 7, 17, 19 and 20 of the list.
func TestModellingRulesOfSheetsForTheBid(t *testing.T) {
	shop.Heavy(t)
	out, _ := shop.PriceWith(t, shop.Unpriced(t, "order.xlsx"), bid.Sheets()...)
	b := readRuleBook(t, "demo", out)
	units, needed := unitFactors(), map[int]bool{}
	for _, key := range bid.Sheets() {
		s := b.sheets[shop.BidTitle(key)]
		require.NotNil(t, s, key)
		assert.Empty(t, s.merged, key)
		assert.Empty(t, s.arrays, key)
		assert.NotEmpty(t, s.print["Area"], key)
		n := 0
		for at, c := range s.cells {
			if c.tree == nil {
				continue
			}
			n++
			breaks := func(rule int, what string) {
				for i, e := range bidExceptions() {
					if e.rule == rule && e.sheet == s.title && regexp.MustCompile(e.shape).MatchString(c.Formula) {
						needed[i] = true
						return
					}
				}
				t.Errorf("%s!%d,%d rule %d: %s: =%s", s.title, at[0], at[1], rule, what, c.Formula)
			}
			if letters := formulaLength(c.Formula); letters > mostLetters {
				breaks(4, strconv.Itoa(letters)+" letters")
			}
			if reads := len(c.tree.All(shop.ExprRef)) + len(c.tree.All(shop.ExprName)); reads > mostReads {
				breaks(4, strconv.Itoa(reads)+" cells and names")
			}
			c.tree.Walk(func(e *shop.Expr, over []*shop.Expr) {
				switch e.Kind {
				case shop.ExprCall:
					if e.Text == "IF" && slices.ContainsFunc(over, func(o *shop.Expr) bool { return o.Kind == shop.ExprCall && o.Text == "IF" }) {
						breaks(5, "an IF within an IF")
					}
					if slices.Contains([]string{"NOW", "TODAY", "RAND", "RANDBETWEEN", "OFFSET", "INDIRECT"}, e.Text) {
						breaks(19, e.Text)
					}
				case shop.ExprNumber:
					x, err := strconv.ParseFloat(e.Text, 64)
					isPlaces := len(over) > 0 && strings.HasPrefix(over[len(over)-1].Text, "ROUND") && over[len(over)-1].Args[1] == e
					if err != nil || x != 0 && x != 1 && x != 2 && units[x] == "" && !isPlaces {
						breaks(2, e.Text)
					}
				}
			})
		}
		assert.Greater(t, n, 8, key)
	}
	assert.Len(t, needed, len(bidExceptions()), "an exception that nothing needs")
}
