package audit

import (
	"fmt"
	"regexp"
	"strings"

	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// leastMisplaced cells of a sheet for the bid whose formulas differ in rows alone
// make it one that belongs to other rows.
const leastMisplaced = 8

// bidCells are the cells of a sheet for the bid that are not what they should be,
// until it is known whether the whole sheet is another.
type bidCells struct {
	cells     []seenCell // none once enough are misplaced: there may be very many
	misplaced int        // whose formula names other rows
	all       int
}

// ofBid reports whether a sheet is one for the bid.
func (a *auditor) ofBid(title string) bool {
	for _, t := range a.Own.Bid {
		if strings.EqualFold(t, title) {
			return true
		}
	}
	return false
}

// setAside keeps a cell of a sheet for the bid for later, and reports whether it
// does.
func (a *auditor) setAside(c seenCell) bool {
	if a.judged || !a.ofBid(c.at.sheet) || c.have != nil && c.have.Kind != worksheet.Error && book.SameFormula(c.have.Formula, c.want.Formula) {
		return false
	}
	b := a.aside[c.at.sheet]
	if b == nil {
		b = &bidCells{}
		a.aside[c.at.sheet] = b
	}
	b.all++
	if !hollow(c.have) && c.have.HasFormula && otherRows(c.have.Formula, c.want.Formula) {
		b.misplaced++
	}
	switch {
	case b.misplaced > leastMisplaced:
	case b.misplaced == leastMisplaced:
		b.cells = b.cells[:1]
	default:
		if c.have != nil {
			have := *c.have
			c.have = &have
		}
		b.cells = append(b.cells, c)
	}
	return true
}

// cellRow is the number of a row in a formula.
var cellRow = regexp.MustCompile(`(\$?[A-Z]{1,3}\$?)[0-9]+`)

// otherRows reports whether two formulas differ in nothing but the rows that they
// name, or name rows that are gone.
func otherRows(have, want string) bool {
	have, want = book.TidyFormula(have), book.TidyFormula(want)
	if have == want {
		return false
	}
	return strings.Contains(have, "#REF!") || cellRow.ReplaceAllString(have, "$1") == cellRow.ReplaceAllString(want, "$1")
}

// judgeAside tells of the sheets for the bid: of one that belongs to other rows
// than there are, that; else of its cells.
func (a *auditor) judgeAside() {
	a.judged = true
	var kept []cellAt
	for _, title := range a.Own.Titles() {
		b := a.aside[title]
		if b == nil {
			continue
		}
		delete(a.aside, title)
		if b.misplaced < leastMisplaced {
			for _, c := range b.cells {
				a.compare(c)
			}
			continue
		}
		a.misplacedSheet(title, b)
	}
	for _, at := range a.order {
		if a.byKey[misplacedKey+at.sheet] == nil {
			kept = append(kept, at)
		} else {
			delete(a.differ, at)
		}
	}
	a.order = kept
}

const misplacedKey = "other rows "

// misplacedSheet tells of a sheet for the bid that belongs to other rows than there
// are. Where nobody has touched the joints, somebody has touched the sheet.
func (a *auditor) misplacedSheet(title string, b *bidCells) {
	f := Fault{
		Grade: Wrong, Rule: RuleOtherRows, Cell: b.cells[0].at.String(),
		What:  "the formulas of " + title + " name other rows than those of the joints and of its own",
		Found: fmt.Sprintf("%d of its cells are not what they should be", b.all), Expected: "the sheet as the program writes it", Fix: "price again, which writes the sheet anew",
	}
	switch changed, sorted := a.joinedOtherwise(); {
	case changed:
		f.Grade, f.What = Doubtful, title+" belongs to the joints as they were at the last run, and not to those that there are"
	case sorted:
		f.Grade, f.What = WorthKnowing, title+" has the joints in the order of the last run, and they were sorted since; the price does not rest on it"
	}
	a.add(misplacedKey+title, f)
}

// joinedOtherwise says whether the joints are others than at the last run, or in
// another order.
func (a *auditor) joinedOtherwise() (changed, sorted bool) {
	for _, p := range a.PairStates(a.ReadState(), a.Now) {
		differs := p.Was == nil || p.Now == nil || p.Was.Value != p.Now.Value
		switch {
		case p.Now != nil && p.Now.What == assumptions.StateList, p.Was != nil && p.Was.What == assumptions.StateList:
			changed = changed || differs
		case p.Now != nil && p.Now.What == assumptions.StateRows:
			sorted = sorted || differs
		}
	}
	return changed, sorted
}

// sameButForEnd reports whether a formula is the one wanted but for where a block of
// a joint list ends: below the joints, where something was typed since.
func (a *auditor) sameButForEnd(have, want string) bool {
	have, want = book.TidyFormula(have), book.TidyFormula(want)
	if a.last == nil {
		a.last = map[int]int{}
		for i := range a.Joints {
			r := &a.Joints[i]
			a.last[r.List] = max(a.last[r.List], r.Row)
		}
	}
	for _, l := range a.All {
		for _, area := range l.Areas() {
			sheet, r, ok := page.SplitRef(area)
			if !ok {
				continue
			}
			r.Row2 = 0
			from := strings.TrimSuffix(book.TidyFormula(page.RangeRef(sheet, r)), "0")
			ends := regexp.MustCompile(regexp.QuoteMeta(from) + `([0-9]+)`)
			have = ends.ReplaceAllStringFunc(have, func(s string) string {
				if _, at, ok := page.SplitRef(s); ok && at.Row2 >= a.last[l.No] {
					return from
				}
				return s
			})
			want = ends.ReplaceAllString(want, strings.ReplaceAll(from, "$", "$$"))
		}
	}
	return have == want
}

// leastFolded cells of one sheet with one kind of fault are told as one.
const leastFolded = 20

// fold tells faults of one kind on a sheet together where there are many: they have
// one cause, and one remedy.
func (a *auditor) fold() {
	key := func(f *auditFault) string {
		switch f.Rule {
		case RuleTypedOver, RuleFormulaGone, RuleReference, RuleAnchor, RuleMasked, RuleTotal, RuleConstant, RuleFormula, RuleLink, RuleStale, RuleErrorValue, RuleNoFigures, RuleOldReading, RuleKeptAsText:
			sheet, _, _ := strings.Cut(f.Cell, "!")
			return string(f.Grade) + f.Rule + " " + sheet
		}
		return ""
	}
	many := map[string]int{}
	for _, f := range a.found {
		many[key(f)]++
	}
	first := map[string]*auditFault{}
	var out []*auditFault
	for _, f := range a.found {
		k := key(f)
		into := first[k]
		switch {
		case k == "" || many[k] < leastFolded:
			out = append(out, f)
		case into == nil:
			first[k] = f
			out = append(out, f)
		default:
			into.takeIn(f)
		}
	}
	a.found = out
}

// takeIn makes another fault part of this one.
func (f *auditFault) takeIn(o *auditFault) {
	f.More += 1 + o.More
	for at, figures := range o.shown {
		for q, x := range figures {
			f.show(at, q, x)
		}
	}
	for at, qs := range o.freed {
		f.freed[at] = append(f.freed[at], qs...)
	}
	for at := range o.gone {
		f.gone[at] = true
	}
	f.held = append(f.held, o.held...)
}

// ref names a cell of Assumptions.
func (a *auditor) ref(row, col int) string { return a.Own.Assumptions + "!" + grid.Ref(row, col) }
