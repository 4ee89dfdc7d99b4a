package audit

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/audit/formulas"
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/page"
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
	shapes    map[string]int // formulas of each column but for their rows: how many more there are than should be
}

// sorted reports whether every column has what it should have, on other rows.
func (b *bidCells) sorted() bool {
	for _, n := range b.shapes {
		if n != 0 {
			return false
		}
	}
	return true
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
	if a.judged || !a.ofBid(c.at.sheet) || c.want.Formula != "" && c.have != nil && c.have.Kind != worksheet.Error && book.SameFormula(c.have.Formula, c.want.Formula) {
		return false
	}
	b := a.aside[c.at.sheet]
	if b == nil {
		b = &bidCells{shapes: map[string]int{}}
		a.aside[c.at.sheet] = b
	}
	b.all++
	b.shapes[fmt.Sprint(c.at.col, formulas.Shape(formulaOf(c.have)))]++
	b.shapes[fmt.Sprint(c.at.col, formulas.Shape(c.want.Formula))]--
	if !hollow(c.have) && c.have.HasFormula && formulas.OtherRows(c.have.Formula, c.want.Formula) {
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

// judgeAside tells of the sheets for the bid: of one that belongs to other rows
// than there are, that; else of its cells.
func (a *auditor) judgeAside() {
	a.judged = true
	since := a.since()
	for _, title := range a.Own.Titles() {
		b := a.aside[title]
		if b == nil {
			continue
		}
		delete(a.aside, title)
		if b.misplaced < leastMisplaced && since.what == "" && !(since.sorted && b.sorted()) {
			for _, c := range b.cells {
				a.compare(c)
			}
			continue
		}
		if b.misplaced == 0 && b.all < leastMisplaced && since.what == whatAssumptions {
			b.cells = slices.DeleteFunc(b.cells, a.typedIn)
		}
		if len(b.cells) > 0 {
			a.misplacedSheet(title, b, since)
		}
	}
	a.judgeKept(since)
	a.passMisplaced()
}

// typedIn tells of a cell in which a number stands in place of its formula: no change of
// an assumption takes a formula out. It reports whether the cell is one.
func (a *auditor) typedIn(c seenCell) bool {
	is := c.want.Formula != "" && !hollow(c.have) && !c.have.HasFormula
	if is {
		a.compare(c)
	}
	return is
}

// seeKept compares a number of ours that no formula holds.
func (a *auditor) seeKept(c seenCell) {
	if c.have != nil && !c.have.HasFormula && asStored(c.have, c.want) || a.earlier() {
		return
	}
	if c.have != nil {
		have := *c.have
		c.have = &have
	}
	if !a.setAside(c) {
		a.kept = append(a.kept, c)
	}
}

// judgeKept tells of the numbers of Workings that no formula holds, and that are not
// what the program writes. What they are follows from the joints and the
// assumptions of the last run.
func (a *auditor) judgeKept(since otherwise) {
	for _, c := range a.kept {
		switch {
		case since.what == "" && c.holds != nil && c.have.Kind == worksheet.Number && c.have.Num < c.want.Num && !a.Run.Report.Complete:
			a.foundSince(c)
			continue
		case since.what == "":
			a.keptChanged(c)
			continue
		}
		a.add(misplacedKey+c.at.sheet, Fault{
			Grade: Doubtful, Rule: RuleOtherRows, Cell: c.at.String(), Found: shownText(c.have), Expected: shownWant(c.want),
			What: fmt.Sprintf("lists on %s belong to the %s as they were at the last run, and not to those that there are", c.at.sheet, since.what), Fix: "price again",
		})
		for at := range a.differ {
			if at.sheet == c.at.sheet && at.row == c.at.row {
				delete(a.differ, at)
			}
		}
	}
}

// foundSince tells of a count of what the last run found that is lower than what is
// found now, each at its cell: the verdict of the workbook goes by it.
func (a *auditor) foundSince(c seenCell) {
	f := a.add("kept "+c.key(), Fault{
		Grade: WorthKnowing, Rule: RuleKeptChanged, Cell: c.at.String(), What: c.what + " counts less than there is now, which is told at its cells",
		Found: shownText(c.have), Expected: shownWant(c.want), Fix: "price again, which counts anew",
	})
	c.hold(f)
}

// keptChanged tells of a number of ours that no formula holds.
func (a *auditor) keptChanged(c seenCell) {
	if a.earlier() {
		return // which may have come to another number
	}
	a.add("kept "+c.key(), Fault{
		Grade: Wrong, Rule: RuleKeptChanged, Cell: c.at.String(), What: c.what + " is not what the program wrote; no formula holds it",
		Found: shownText(c.have), Expected: shownWant(c.want), Fix: "price again, which writes it anew",
	})
}

// passMisplaced takes off the list what differs on sheets that belong to other rows,
// and the row of Workings that counts what does not hold there.
func (a *auditor) passMisplaced() {
	counts := map[string]int{}
	misplaced := slices.IndexFunc(a.found, func(f *auditFault) bool { return f.Rule == RuleOtherRows })
	for at, d := range a.differ {
		if a.ofBid(at.sheet) && a.byKey[misplacedKey+at.sheet] != nil {
			delete(a.differ, at)
		} else if strings.Contains(d.formula, book.NameAgrees) {
			counts[at.sheet] = at.row
			if misplaced >= 0 && d.holds != nil && d.have.Kind == worksheet.Number { // Summary tells what it counts
				x := d.have.Num
				a.found[misplaced].held = append(a.found[misplaced].held, func(v *compute.Values) { d.holds(v, x) })
			}
		}
	}
	// There a number may stand under the format of another column, yes or no, and words of
	// ours where now none do.
	a.found = slices.DeleteFunc(a.found, func(f *auditFault) bool {
		sheet := f.Cell[:max(strings.LastIndex(f.Cell, "!"), 0)]
		return (f.Rule == RuleDisguised || f.Rule == RuleLookAlike) && a.ofBid(sheet) && a.byKey[misplacedKey+sheet] != nil
	})
	for at := range a.differ {
		if misplaced >= 0 && counts[at.sheet] == at.row {
			delete(a.differ, at)
		}
	}
}

const misplacedKey = "other rows "

// misplacedSheet tells of a sheet for the bid that belongs to other rows than there
// are. Where nobody has touched the joints, somebody has touched the sheet.
func (a *auditor) misplacedSheet(title string, b *bidCells, since otherwise) {
	f := Fault{
		Grade: Wrong, Rule: RuleOtherRows, Cell: b.cells[0].at.String(),
		What:  "the formulas of " + title + " name other rows than those of the joints and of its own",
		Found: fmt.Sprintf("%d of its cells are not what they should be", b.all), Expected: "the sheet as the program writes it", Fix: "price again, which writes the sheet anew",
	}
	switch {
	case since.what != "":
		f.Grade, f.What = Doubtful, fmt.Sprintf("%s belongs to the %s as they were at the last run, and not to those that there are", title, since.what)
	case since.sorted && b.sorted():
		f.Grade, f.What = WorthKnowing, title+" has the joints in the order of the last run, and they were sorted since; the price does not rest on it"
	}
	a.add(misplacedKey+title, f)
}

// otherwise is what is not as it was at the last run.
type otherwise struct {
	what   string // joints, or assumptions; "" for neither
	sorted bool   // the joints stand in another order
}

const whatAssumptions = "assumptions"

// since holds what the figures come from against the record of the last run.
func (a *auditor) since() (o otherwise) {
	for _, p := range a.PairStates(a.ReadState(), a.Now) {
		if p.Was != nil && p.Now != nil && p.Was.Value == p.Now.Value {
			continue
		}
		if p.Was == nil && a.earlier() {
			continue // an assumption that came with this version
		}
		switch s := p.Line(); s.What {
		case logbook.StateList:
			o.what = "joints"
		case logbook.StateRows:
			o.sorted = o.sorted || p.Was != nil && p.Now != nil
		case logbook.StateOrder, logbook.StateFormulas, logbook.StateSeal, logbook.StateKept: // they follow from the rest
		default:
			o.what = cmp.Or(o.what, whatAssumptions)
		}
	}
	if slices.ContainsFunc(a.Touched(), logbook.Sealed.OfRange) {
		o.what = cmp.Or(o.what, whatAssumptions)
	}
	return o
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
		case RuleTypedOver, RuleFormulaGone, RuleReference, RuleAnchor, RuleMasked, RuleTotal, RuleConstant, RuleFormula, RuleLink, RuleStale, RuleErrorValue, RuleNoFigures, RuleOldReading, RuleKeptAsText, RuleKeptChanged:
			sheet, _, _ := strings.Cut(f.Cell, "!")
			return string(f.Grade) + f.Rule + " " + sheet
		case RuleLeftOut: // by one line of a table that they all go by
			if sheet, _, _ := strings.Cut(f.Cell, "!"); math.IsNaN(f.Price) {
				return f.What + " " + sheet
			}
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
