package modelling_test

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// noMerges: no cell is merged where there is data of ours.
func noMerges(b *ruleBook) (out []breach, n int) {
	for _, s := range b.spots() {
		n++
		for _, m := range s.sheet.merged {
			if m.Holds(s.col, s.row) {
				out = append(out, s.breaks("is merged"))
			}
		}
	}
	return out, n
}

// hiddenByButton: what is hidden is folded, and its button is in sight.
func hiddenByButton(b *ruleBook) (out []breach, n int) {
	fold := func(s *ruleSheet, what string, folds map[int]ruleFold, mine func(int) bool) {
		for _, i := range slices.Sorted(maps.Keys(folds)) {
			if !folds[i].hidden || !mine(i) {
				continue
			}
			n++
			next := i
			for { // a button may itself be folded away, in a group with a button of its own
				level := folds[next].level
				for folds[next].level >= level && level > 0 && next <= len(folds) {
					next++
				}
				if !folds[next].hidden || level == 0 {
					break
				}
			}
			if folds[i].level == 0 || folds[next].hidden {
				out = append(out, breach{what, s.title, "hidden without a button"})
			}
		}
	}
	for _, title := range []string{sheetSummary, sheetAssumptions} {
		s := b.sheets[title]
		if s.hidden {
			out = append(out, breach{"sheet", title, "hidden"})
		}
		all := func(int) bool { return true }
		fold(s, "column", s.cols, all)
		fold(s, "row", s.rows, all)
	}
	for _, l := range b.lists {
		fold(b.sheets[l.sheet], "column", b.sheets[l.sheet].cols, func(col int) bool { return l.keys[col] != "" })
	}
	return out, n
}

// checksFeedMaster: the master check rests on every check, by whatever way. In the first
// column of Workings is no check but where one leads.
func checksFeedMaster(b *ruleBook) (out []breach, n int) {
	reached := b.restsOn(sheetSummary, 2, 3)
	checks := map[string]bool{"line.finding": true, "line.check": true, "assume.In range": true, "assume.In place": true}
	for _, q := range b.model.Checks() {
		checks["line."+q.Key] = true
	}
	for _, s := range b.formulas() {
		key, _ := b.block(s.row)
		verdict := s.sheet.title == sheetSummary && key == "checks" && s.col > 1 && s.sheet.cell(4, s.row).tree != nil
		below := s.sheet.title == sheetAssumptions && strings.HasPrefix(s.sheet.cell(1, s.row).Text, "room ends")
		if !verdict && !below && !checks[s.place] {
			continue
		}
		n++
		if !reached[s.ruleCell] {
			out = append(out, s.breaks("the master check does not rest on =%s", s.Formula))
		}
	}
	return out, n
}

// reads are the addresses and names whose values a formula goes by. One that
// only asks what kind of thing is in a cell does not go by its value.
func reads(tree *shop.Expr) []*shop.Expr {
	var out []*shop.Expr
	tree.Walk(func(e *shop.Expr, over []*shop.Expr) {
		kind := slices.ContainsFunc(over, func(o *shop.Expr) bool {
			return slices.Contains([]string{"ISERROR", "ISNUMBER", "ISTEXT", "ISFORMULA"}, o.Text)
		})
		if !kind && (e.Kind == shop.ExprRef || e.Kind == shop.ExprName) {
			out = append(out, e)
		}
	})
	return out
}

// restsOn are the cells that a cell rests on, however far.
func (b *ruleBook) restsOn(title string, col, row int) map[*ruleCell]bool {
	reached := map[*ruleCell]bool{}
	done := map[shop.Block]bool{}
	var follow func(on string, c *ruleCell)
	follow = func(on string, c *ruleCell) {
		if reached[c] {
			return
		}
		reached[c] = true
		if c.tree == nil {
			return
		}
		for _, e := range reads(c.tree) {
			at := e.At
			if e.Kind == shop.ExprName {
				at = b.names[e.Text]
			}
			if at.Sheet == "" {
				at.Sheet = on
			}
			s := b.sheets[at.Sheet]
			if s == nil || done[at] {
				continue
			}
			done[at] = true
			if at.Single() {
				follow(at.Sheet, s.cell(at.Col1, at.Row1))
				continue
			}
			for place, c := range s.cells {
				if at.Holds(place[0], place[1]) {
					follow(at.Sheet, c)
				}
			}
		}
	}
	follow(title, b.sheets[title].cell(col, row))
	return reached
}

// basisBeside: what each assumption, and each line of a table, comes from.
func basisBeside(b *ruleBook) (out []breach, n int) {
	a := b.sheets[sheetAssumptions]
	for _, q := range b.model.Singles.Quantities {
		row := b.names[q.Key].Row1
		n++
		if strings.TrimSpace(a.cell(12, row).Text) == "" {
			out = append(out, breach{"assume." + q.Key, sheetAssumptions, "has no basis"})
		}
	}
	for _, t := range b.model.Tables {
		var typed []shop.Block
		for _, q := range t.Quantities {
			if q.Role == model.Column && q.Key != "basis" {
				typed = append(typed, b.names[t.Prefix+"_"+q.Key])
			}
		}
		basis, has := b.names[t.Prefix+"_basis"]
		for row := typed[0].Row1; row <= typed[0].Row2; row++ {
			used := slices.ContainsFunc(typed, func(at shop.Block) bool { return a.cell(at.Col1, row).Kind != sheetstest.Empty })
			if !used {
				continue
			}
			n++
			if !has || strings.TrimSpace(a.cell(basis.Col1, row).Text) == "" {
				out = append(out, breach{"table." + t.Prefix, sheetAssumptions, "a line has no basis"})
			}
		}
	}
	return out, n
}

var wholeSum = regexp.MustCompile(`^[0-9a-f]{64}$`)

// versionLog: which file, program and formulas each price came of, and when.
func versionLog(b *ruleBook) (out []breach, n int) {
	a, at := b.sheets[sheetAssumptions], b.names["seamtally.log"]
	for row := at.Row1; row <= at.Row2 && at.Row1 > 0; row++ {
		if a.cell(1, row).Kind == sheetstest.Empty {
			continue
		}
		n++
		for col := at.Col1; col <= at.Col2; col++ {
			head := a.cell(col, at.Row1-1).Text
			c := a.cell(col, row)
			if c.Kind == sheetstest.Empty && head != "Who" && head != "Why" || head == "Check number of file" && !wholeSum.MatchString(c.Text) {
				out = append(out, breach{"assume.log", sheetAssumptions, "a line without its " + head})
			}
		}
	}
	for _, name := range []string{"seamtally.model", "head_revision"} {
		n++
		if a.at(b.names[name]).Text == "" {
			out = append(out, breach{"assume." + name, sheetAssumptions, "is blank"})
		}
	}
	if at.Row1 == 0 || a.cell(1, at.Row1).Kind == sheetstest.Empty {
		out = append(out, breach{"assume.log", sheetAssumptions, "the log has no line"})
	}
	return out, n
}

// signStated: a text says what the signs mean, and the numbers keep to it.
func signStated(b *ruleBook) (out []breach, n int) {
	stated := false
	loss := regexp.MustCompile(`(?i)(margin|earned|exponent|cosine)`)
	for _, s := range b.spots() {
		if s.Kind == sheetstest.Text && strings.Contains(s.Text, "positive") && strings.Contains(s.Text, "below zero") {
			stated = true
		}
		if s.Kind != sheetstest.Number {
			continue
		}
		n++
		if s.Num < 0 && !loss.MatchString(b.labelOf(s)) {
			out = append(out, s.breaks("%v under %q", s.Num, b.labelOf(s)))
		}
	}
	if !stated {
		out = append(out, breach{"workbook", "Summary, Assumptions", "no text says what the signs mean"})
	}
	return out, n
}

// looks are the looks of cells as the legend on Assumptions shows them.
func (b *ruleBook) looks() map[string]string {
	a := b.sheets[sheetAssumptions]
	out := map[string]string{}
	for at, c := range a.cells {
		if at[0] == 2 && c.Text == "What the cells look like" {
			for col := 3; col <= 9; col += 2 {
				out[a.cell(col, at[1]).Text] = a.cell(col, at[1]).look
			}
		}
	}
	return out
}

// inputsValidated: what may be typed is limited where words or numbers are
// known.
func inputsValidated(b *ruleBook) (out []breach, n int) {
	choices := map[string]bool{}
	for _, t := range b.model.Tables {
		for _, q := range t.Quantities {
			choices["table."+t.Prefix+"_"+q.Key] = len(q.Choices) > 0
		}
	}
	yours := b.looks()["yours"]
	for _, s := range b.spots() {
		if s.sheet.title != sheetAssumptions || s.look != yours || strings.HasPrefix(s.place, "assume.columns") {
			continue
		}
		q := b.model.Singles.Quantity(b.key(s.row))
		word := s.Kind == sheetstest.Text && (choices[s.place] || q != nil && (s.place == "assume.Value" || s.place == "assume.Unit" || s.place == "assume.reliability"))
		if s.Kind != sheetstest.Number && !word {
			continue
		}
		n++
		if !slices.ContainsFunc(s.sheet.valid, func(v shop.Block) bool { return v.Holds(s.col, s.row) }) {
			out = append(out, s.breaks("anything may be typed over %v", s.Value))
		}
	}
	return out, n
}

// printSet: both of our sheets are set up to be printed.
func printSet(b *ruleBook) (out []breach, n int) {
	for _, title := range []string{sheetSummary, sheetAssumptions} {
		for _, what := range []string{"Area", "Titles", "orientation", "pages wide", "footer"} {
			n++
			if b.sheets[title].print[what] == "" {
				out = append(out, breach{"sheet", title, "no " + what + " for the printer"})
			}
		}
	}
	return out, n
}

// partsApart: what is typed, what is worked out and what comes of it stand
// apart, and look it.
func partsApart(b *ruleBook) (out []breach, n int) {
	looks := b.looks()
	seen := map[string]string{}
	for _, word := range []string{"yours", "worked out", "typed over", "left out"} {
		n++
		look, ok := looks[word]
		if same, twice := seen[look]; twice || !ok {
			out = append(out, breach{"assume", "the legend", word + " looks like " + same})
		}
		seen[look] = word
	}
	for _, s := range b.spots() {
		n++
		switch {
		case s.tree != nil && s.look == looks["yours"]:
			out = append(out, s.breaks("a formula looks like what may be typed: =%s", s.Formula))
		case s.list != nil && s.tree == nil:
			out = append(out, s.breaks("%v is typed into a calculated column", s.Value))
		case s.tree == nil && s.Kind == sheetstest.Number && s.look != looks["yours"]:
			out = append(out, s.breaks("%v is neither typed nor worked out", s.Value))
		case s.tree == nil && s.Kind == sheetstest.Number && s.sheet.title != sheetAssumptions:
			out = append(out, s.breaks("%v is typed outside Assumptions", s.Value))
		}
	}
	for _, l := range b.lists {
		for col, key := range l.keys {
			if col <= l.shopEnd {
				out = append(out, breach{"line." + key, l.sheet, "stands among the shop's columns"})
			}
		}
	}
	return out, n
}
