package modelling_test

import (
	"cmp"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest/shop"
)

// spot is a cell of ours: where it is, and what place of the workbook that is,
// whatever rows and columns the workbook has.
type spot struct {
	*ruleCell
	sheet    *ruleSheet
	col, row int
	list     *ruleList // nil on our own sheets
	place    string
}

func (s spot) ref() string {
	ref, _ := excelize.CoordinatesToCellName(s.col, s.row)
	return s.sheet.title + "!" + ref
}

// spots lists the cells of ours, sheet by sheet, row by row.
func (b *ruleBook) spots() []spot {
	if b.found != nil {
		return b.found
	}
	var out []spot
	add := func(s *ruleSheet, l *ruleList, mine func(col, row int) bool, place func(col, row int) string) {
		for _, at := range slices.SortedFunc(maps.Keys(s.cells), func(x, y [2]int) int { return cmp.Or(x[1]-y[1], x[0]-y[0]) }) {
			if mine(at[0], at[1]) {
				out = append(out, spot{s.cells[at], s, at[0], at[1], l, place(at[0], at[1])})
			}
		}
	}
	all := func(int, int) bool { return true }
	for _, l := range b.lists {
		add(b.sheets[l.sheet], l, func(col, row int) bool { return l.keys[col] != "" && row > l.head },
			func(col, _ int) string { return "line." + l.keys[col] })
	}
	add(b.sheets[sheetSummary], nil, all, b.onWorkings)
	add(b.sheets[sheetAssumptions], nil, all, b.onAssumptions)
	b.found = out
	return out
}

// formulas lists the formula cells of ours.
func (b *ruleBook) formulas() []spot {
	return slices.DeleteFunc(slices.Clone(b.spots()), func(s spot) bool { return s.tree == nil })
}

var unitInHeading = regexp.MustCompile(` \(([^()]*)\)$`)

func unitless(heading string) string { return unitInHeading.ReplaceAllString(heading, "") }

// sameShape are the blocks of Workings whose rows are alike: a heading says
// what stands in a column. In the others a label says what stands in a row.
func sameShape(block string) bool {
	return strings.HasPrefix(block, "cars.") || strings.HasPrefix(block, "sums.") || slices.Contains([]string{"tube", "rods", "lists"}, block)
}

// block is the block of Workings that a row lies in.
func (b *ruleBook) block(row int) (string, shop.Block) {
	for name, at := range b.names {
		if key, ok := strings.CutPrefix(name, "seamtally.block."); ok && row >= at.Row1 && row <= at.Row2 {
			return key, at
		}
	}
	return "", shop.Block{}
}

func (b *ruleBook) onWorkings(col, row int) string {
	s := b.sheets[sheetSummary]
	key, at := b.block(row)
	switch {
	case key == "" && s.cell(2, row).Text == "All cars":
		return "summary.all cars"
	case key == "":
		return "summary"
	case sameShape(key):
		return "summary." + key + "." + unitless(b.headingOver(s, col, at.Row1))
	}
	return "summary." + key + "." + s.cell(2, row).Text
}

// headingOver is the heading over a block of Workings: over its first table
// there is a row for all cars between.
func (b *ruleBook) headingOver(s *ruleSheet, col, first int) string {
	if s.cell(2, first-1).Text == "All cars" {
		first--
	}
	return s.cell(col, first-1).Text
}

func (b *ruleBook) onAssumptions(col, row int) string {
	for _, name := range b.regions {
		at := b.names[name]
		if !at.Holds(col, row) {
			continue
		}
		if region, ok := strings.CutPrefix(name, "seamtally."); ok {
			if region == "log" {
				region += "." + b.sheets[sheetAssumptions].cell(col, at.Row1-1).Text
			}
			return "assume." + region
		}
		return "table." + name
	}
	if key := b.key(row); key != "" {
		return "assume." + unitless(b.sheets[sheetAssumptions].cell(col, b.headRow).Text)
	}
	return "assume"
}

// key is the name of the single assumption on a row, "" if there is none.
func (b *ruleBook) key(row int) string {
	key := b.sheets[sheetAssumptions].cell(1, row).Text
	if at, ok := b.names[key]; ok && at.Sheet == sheetAssumptions && at.Row1 == row && at.Single() && b.model.Singles.Quantity(key) != nil {
		return key
	}
	return ""
}
