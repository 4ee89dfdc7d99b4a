package functions

import (
	"seamtally/compute/formula"
	"seamtally/compute/model"
)

// BesideChecks are the calculated cells of a joint row that its checks do not work
// out, as arguments of a sum.
const BesideChecks = "beside"

// RefusingFlags are the flags of the checks that refuse a row, in checks[] on it.
const RefusingFlags = "flags refusing"

// WordPriceAgain is what the check cell of a row says that shows an error.
const WordPriceAgain = "price again"

// Parts of a joint list that the place of its first error is told by, in checks[].
const (
	FineFlags = "flags fine" // the flags of the check that says ok
	FineAbove = "above fine" // the cell above the first of them
	WordsHead = "words head" // the heading of the words of the checks
)

// showsError reports whether a calculated cell of the row shows an error. A run
// leaves such a row out; a cell may show one once the row was changed.
func (w view) showsError() formula.Func {
	return formula.Func{
		Name: "shows_error",
		Doc:  "whether a calculated cell of the row shows an error",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			return formula.Type{Kind: formula.KindBool}, nil
		},
		Compile: func(*formula.Compiler, *formula.Call) (formula.Code, error) {
			return formula.Code{Num: func(*formula.Frame) float64 { return 0 }}, nil
		},
		Print: func(p *formula.Printer, _ *formula.Call) (string, error) {
			cells, err := p.Name("checks"+model.ColumnMark, BesideChecks)
			return "ISERROR(SUM(" + cells + "))", err
		},
	}
}

// firstError is the check cell of the first row of a joint list that shows an error.
func (w view) firstError() formula.Func {
	return formula.Func{
		Name: "first_error",
		Doc:  "the check cell of the first row of the joint list in which a calculated cell shows an error",
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			if !w.Scope.PerList {
				return formula.Type{}, c.Errorf(call, "cells are looked for list by list", "look in a row of lists")
			}
			return formula.Type{Kind: formula.KindText}, nil
		},
		Compile: func(*formula.Compiler, *formula.Call) (formula.Code, error) {
			return formula.Code{Text: func(*formula.Frame) string { return "" }}, nil
		},
		Print: func(p *formula.Printer, _ *formula.Call) (string, error) {
			cells, err := printChecks(p, FineFlags, FineAbove, WordsHead)
			if err != nil {
				return "", err
			}
			return "IFERROR(ADDRESS(MATCH(0," + cells[0] + ",0)+ROW(" + cells[1] + "),COLUMN(" + cells[2] + `)),"")`, nil
		},
	}
}
