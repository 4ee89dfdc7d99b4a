// Package formulas tells what was done to a formula of a workbook: it has the formula that
// stands there and the one that should, and knows nothing of cells.
package formulas

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"seamtally/sheets/book"
)

// What may have been done to a formula, in words that do not change.
const (
	Reference = "broken reference"
	Link      = "link to another workbook"
	Anchor    = "anchor lost"
	Masked    = "error masked"
	Total     = "total changed"
	Constant  = "constant in a formula"
	Formula   = "formula changed"
)

var (
	literal    = regexp.MustCompile(`(^|[^A-Za-z_$.0-9"])([0-9]+(?:\.[0-9]*)?)`)
	quotedText = regexp.MustCompile(`"[^"]*"`)
)

// Change names what was done to a formula.
func Change(have, want string) (rule, what string) {
	bare := func(s string) string { return strings.ReplaceAll(book.TidyFormula(s), "$", "") }
	upper, wanted := strings.ToUpper(quotedText.ReplaceAllString(have, `""`)), strings.ToUpper(want)
	numbers := func(s string) map[string]int {
		out := map[string]int{}
		for _, m := range literal.FindAllStringSubmatch(quotedText.ReplaceAllString(s, `""`), -1) {
			out[m[2]]++
		}
		return out
	}
	has := func(words ...string) bool {
		for _, w := range words {
			if strings.Contains(upper, w) && !strings.Contains(wanted, w) {
				return true
			}
		}
		return false
	}
	switch {
	case strings.Contains(upper, "#REF!"), strings.Contains(upper, "#NAME?"):
		return Reference, "points at cells or names that are gone"
	case strings.Contains(have, "[") && !strings.Contains(want, "["):
		return Link, "takes a value from another workbook"
	case bare(have) == bare(want):
		return Anchor, "has lost or gained a $, so that a copy of it points elsewhere"
	case has("IFERROR(", "IFNA(", "ISERROR(", "ISERR(", "AGGREGATE("):
		return Masked, "hides errors"
	case strings.HasPrefix(wanted, "SUM") && (strings.HasPrefix(upper, "SUM") || strings.Contains(upper, "SUBTOTAL(")):
		return Total, "adds up other cells than it should"
	}
	was, is := numbers(want), numbers(have)
	for _, n := range slices.Sorted(maps.Keys(is)) {
		if was[n] < is[n] {
			return Constant, "has the number " + n + " in it, which stands for nothing on Assumptions"
		}
	}
	return Formula, "is not the column's"
}

// SameButTexts reports whether two formulas differ in their texts alone.
func SameButTexts(have, want string) bool {
	return have != "" && !book.SameFormula(have, want) && book.SameFormula(quotedText.ReplaceAllString(have, `""`), quotedText.ReplaceAllString(want, `""`))
}

// Shape is a formula but for the rows that it names.
func Shape(f string) string { return cellRow.ReplaceAllString(book.TidyFormula(f), "$1") }

// cellRow is the number of a row in a formula.
var cellRow = regexp.MustCompile(`(\$?[A-Z]{1,3}\$?)[0-9]+`)

// OtherRows reports whether two formulas differ in nothing but the rows that they
// name, or name rows that are gone.
func OtherRows(have, want string) bool {
	have, want = book.TidyFormula(have), book.TidyFormula(want)
	if have == want {
		return false
	}
	return strings.Contains(have, "#REF!") || Shape(have) == Shape(want)
}
