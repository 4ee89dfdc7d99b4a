package audit

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/compute/weigh"
	"seamtally/sheets/account"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// lookAround looks for what is odd without a calculated cell being wrong.
func (a *auditor) lookAround() error {
	a.readingFaults()
	a.bookFaults()
	if err := a.hiddenFaults(); err != nil {
		return err
	}
	if at, err := a.Standing(); err == nil { // else told when it was read
		a.assumptionFaults(at)
		a.logFaults(at)
		a.sealFaults()
	}
	a.sumFaults()
	a.unitFaults()
	return nil
}

// audited says how what the reading of a workbook tells counts in an audit; a
// row that is left out is wrong.
func audited(f book.Finding) (rule string, grade Grade, is bool) {
	switch {
	case of(f, book.FindDate):
		return RuleDate, Wrong, true
	case of(f, book.FindNoSheet):
		return f.Rule, Wrong, true
	case of(f, book.FindTypedOver):
		return RuleTextOver, Wrong, true
	case strings.HasPrefix(f.Rule, account.FindUnsettled):
		return RuleUnsettled, Wrong, true
	case of(f, book.FindAsDisplayed):
		return f.Rule, Doubtful, true
	case f.Level == book.LevelError:
		return RuleLeftOut, Wrong, true
	case of(f, book.FindKeptAsText):
		return RuleKeptAsText, WorthKnowing, true
	case of(f, book.FindHiddenSheet):
		return RuleHiddenSheet, WorthKnowing, true
	case of(f, book.FindHidden):
		return RuleHiddenRow, WorthKnowing, true
	case of(f, book.FindAdded):
		return RuleNotInTable, Doubtful, true
	case of(f, book.FindMarkTwice):
		return RuleJointTwice, Doubtful, true
	case of(f, book.FindOutside):
		return RuleOutOfRange, Doubtful, true
	case of(f, book.FindOpenElsewhere), of(f, book.FindShortFilter), of(f, book.FindShortTable):
		return f.Rule, WorthKnowing, true
	}
	return "", "", false
}

// of reports whether a finding is of a rule, whatever it concerns.
func of(f book.Finding, rule string) bool {
	return f.Rule == rule || strings.HasPrefix(f.Rule, rule+" ")
}

// withoutValue reports whether a finding is of a cell of Assumptions that follows the
// shop's list of cars and has no stored value: the list itself was read.
func (a *auditor) withoutValue(f book.Finding) bool {
	sheet, at, ok := page.SplitRef(f.Cell)
	if !ok || !strings.EqualFold(sheet, a.Own.Assumptions) {
		return false
	}
	c := a.Own.Cell(at.Row1, at.Col1)
	of, _, ok := page.SplitRef(c.Formula)
	return ok && c.Kind == worksheet.Empty && a.Cars != nil && strings.EqualFold(of, a.Cars.Title)
}

func (a *auditor) readingFaults() {
	bare := a.byKey["no value"]
	if bare != nil && !a.valued {
		bare.Grade = WorthKnowing // all formulas are there, and are worked out when it is opened
	}
	for _, f := range a.Run.Report.Findings {
		rule, grade, is := audited(f)
		if !is || a.byKey[rule+" "+f.Cell] != nil || a.byKey[book.FindUnreadable+" "+f.Cell] != nil || bare != nil && a.withoutValue(f) {
			continue
		}
		key := rule + " " + f.Cell
		if grade == WorthKnowing { // told once for a sheet
			sheet, _, _ := strings.Cut(f.Cell, "!")
			key = f.Rule + " " + sheet
		}
		fault := a.add(key, Fault{Grade: grade, Rule: rule, Cell: f.Cell, What: f.What, Fix: f.Fix})
		if rule == RuleJointTwice {
			a.undo(fault, nil, func(o *compute.Joint, _ *compute.Line) bool { return !stands(a.All[o.List], f.Cell, o.Row) })
		}
	}
}

// bookFaults looks at the workbook's links and settings.
func (a *auditor) bookFaults() {
	if a.Workbook.CalcMode == "manual" {
		a.add("manual", Fault{
			Grade: Doubtful, Rule: RuleManual, Cell: "the workbook", What: "the spreadsheet program is told not to work out anew by itself; what it shows may be old",
			Found: "manual", Expected: "automatic", Fix: "set calculation to automatic, and save",
		})
	}
	if a.Workbook.Iterates {
		a.add("iterates", Fault{
			Grade: Doubtful, Rule: RuleIterates, Cell: "the workbook", What: "the spreadsheet program is told to go round in circles of formulas, and then says nothing of one",
			Found: "iterative calculation", Expected: "none", Fix: "switch it off, and see that no circle is told",
		})
	}
	for _, name := range a.Package.Names() {
		if strings.HasPrefix(name, "xl/externalLinks/externalLink") && strings.HasSuffix(name, ".xml") {
			a.add("external", Fault{Grade: WorthKnowing, Rule: RuleLink, Cell: "the workbook", What: "it takes values from other workbooks, which may be changed without a trace here", Found: name, Fix: "see that the links are meant"})
		}
	}
}

// nameFaults looks at the names that formulas use.
func (a *auditor) nameFaults() {
	ends := a.blockEnds()
	for _, want := range a.Names.Defined {
		a.shadowed(want.Name, want.Ref)
		have := a.nameNow(want.Name)
		leads := leadsTo(have, want.Ref) && strings.Count(have, "$") >= strings.Count(want.Ref, "$")
		if leads && !endsBefore(have, ends[blockOf(want.Ref)]) || have != "" && strings.HasPrefix(want.Name, "seamtally.") {
			continue // those with a dot only say where the program's blocks stand
		}
		if have == "" && a.earlier() {
			continue // the earlier version may have had no such name
		}
		f := Fault{Grade: Wrong, Rule: RuleBrokenName, Cell: want.Name, What: fmt.Sprintf("the name %s does not lead where it should", want.Name),
			Found: have, Expected: want.Ref, Fix: "price again, which sets it right"}
		switch {
		case leadsTo(have, want.Ref) && !leads:
			f.What = fmt.Sprintf("the name %s has lost a $, and leads elsewhere from every other cell", want.Name)
		case have == "":
			f.Found, f.What = "no such name", fmt.Sprintf("the name %s is gone", want.Name)
		case leads:
			f.What = fmt.Sprintf("the name %s ends above the other columns of its table, and passes over the lines below", want.Name)
		}
		a.holdName(a.add("name "+want.Name, f), want.Name, have)
	}
}

// shadowed tells of a name that a sheet with formulas of ours has for itself: there it
// stands before that of the workbook.
func (a *auditor) shadowed(name, ref string) {
	for _, d := range a.Workbook.Names {
		if d.Sheet < 0 || d.Sheet >= len(a.Workbook.Sheets) || !strings.EqualFold(d.Name, name) || leadsTo(d.Ref, ref) {
			continue
		}
		title := a.Workbook.Sheets[d.Sheet].Name
		if a.Own.IsOurs(title) || slices.ContainsFunc(a.All, func(l *joints.List) bool { return l.Title == title }) {
			a.add("shadow "+name+title, Fault{
				Grade: Wrong, Rule: RuleBrokenName, Cell: name, What: fmt.Sprintf("%s has a name %s of its own, which its formulas go by", title, name),
				Found: d.Ref, Expected: ref, Fix: "delete the name of that sheet, where the spreadsheet program lists names",
			})
		}
	}
}

// nameNow is what a name of the workbook leads to, "" if there is none.
func (a *auditor) nameNow(name string) (ref string) {
	for _, d := range a.Workbook.Names {
		if d.Sheet < 0 && strings.EqualFold(d.Name, name) {
			ref = d.Ref
		}
	}
	return ref
}

// blockEnds are the last rows that most names of a table's columns have now, by the
// block that they should lead to. They are one behind the other once lines were typed
// below; a single one is behind the others only if somebody has made it so.
func (a *auditor) blockEnds() map[string]int {
	counts, ends := map[string]map[int]int{}, map[string]int{}
	for _, want := range a.Names.Defined {
		of := blockOf(want.Ref)
		if _, at, ok := page.SplitRef(a.nameNow(want.Name)); ok && of != "" {
			if counts[of] == nil {
				counts[of] = map[int]int{}
			}
			if counts[of][at.Row2]++; counts[of][at.Row2] > counts[of][ends[of]] {
				ends[of] = at.Row2
			}
		}
	}
	return ends
}

// blockOf are the sheet and rows of a block, "" for a single cell.
func blockOf(ref string) string {
	sheet, at, ok := page.SplitRef(ref)
	if !ok || at.Row1 == at.Row2 {
		return ""
	}
	return fmt.Sprint(strings.ToLower(sheet), " ", at.Row1, " ", at.Row2)
}

// endsBefore reports whether a block ends before a row.
func endsBefore(ref string, row int) bool {
	_, at, ok := page.SplitRef(ref)
	return ok && at.Row2 < row
}

// holdName has the name of an assumption stand for the number of the cell that it
// leads to: that is what the workbook works with.
func (a *auditor) holdName(f *auditFault, name, ref string) {
	q := a.Model.Singles.Quantity(name)
	if x, err := strconv.ParseFloat(ref, 64); err == nil && q != nil && !q.IsText() {
		f.held = append(f.held, func(v *compute.Values) { v.Singles.Num[q.Slot] = x })
		return
	}
	sheet, at, ok := page.SplitRef(ref)
	if ok = ok && strings.Count(ref, "$") > 1; q == nil || q.IsText() || !ok || !strings.EqualFold(sheet, a.Own.Assumptions) {
		return
	}
	if c := a.Own.Cell(at.Row1, at.Col1); c.Kind == worksheet.Number {
		f.held = append(f.held, func(v *compute.Values) { v.Singles.Num[q.Slot] = c.Num })
	}
}

// leadsTo reports whether a name leads where it should. Of a block the first
// cell counts: its end moves with what is typed into it.
func leadsTo(have, want string) bool {
	sheet, a, ok := page.SplitRef(have)
	wanted, b, known := page.SplitRef(want)
	if !ok || !known {
		return have == want
	}
	return strings.EqualFold(sheet, wanted) && a.Row1 == b.Row1 && a.Col1 == b.Col1
}

// assumptionFaults looks at the basis of the assumptions, and at values that
// look like those shipped in another unit.
func (a *auditor) assumptionFaults(at *assumptions.Places) {
	for _, q := range a.Model.Singles.Quantities {
		row := at.Key[q.Key]
		if q.Role != model.Assumption || row == 0 {
			continue
		}
		cell := a.Own.Assumptions + "!" + grid.Ref(row, book.AssumeValue)
		value := a.Own.Cell(row, book.AssumeValue)
		if !joints.Filled(a.Own.Cell(row, book.AssumeBasis)) {
			a.add("basis "+q.Key, Fault{
				Grade: WorthKnowing, Rule: RuleNoBasis, Cell: a.Own.Assumptions + "!" + grid.Ref(row, book.AssumeBasis),
				What: q.Key + " has no basis", Found: "nothing", Fix: "say where the value comes from",
			})
		}
		if value.Kind != worksheet.Number || q.IsText() {
			continue
		}
		if a.IsDate(value.Style) && !q.IsDay() {
			a.add("date "+q.Key, Fault{Grade: Wrong, Rule: RuleDate, Cell: cell, What: q.Key + " is shown as a date", Found: shownText(value), Fix: "type the number, and set the cell's format to a number"})
		}
		x := q.Num(a.Set.Singles)
		if why, is := units.Slip(x, q.Value); is && (x < a.Own.Cell(row, book.AssumeLow).Num || x > a.Own.Cell(row, book.AssumeHigh).Num) {
			f := a.add("slip "+q.Key, Fault{
				Grade: Doubtful, Rule: RuleUnit, Cell: cell, What: fmt.Sprintf("%s is the shipped value %s", q.Key, why),
				Found: fmt.Sprint(q.Num(a.Set.Singles)), Expected: fmt.Sprint(q.Value), Fix: "check the value and its unit",
			})
			a.undo(f, func(v *compute.Values) { v.Singles.Num[q.Slot] = q.Value }, nil)
		}
	}
}

// shopSum is a total of the shop's own on the sheet of a list.
type shopSum struct {
	at       cellAt
	list     *joints.List
	from, to int // rows that it adds up
	col      int
	formula  string
}

// ownSum is a total of one range of one column.
var ownSum = regexp.MustCompile(`^(?i:SUM\(|SUBTOTAL\((?:9|109),)\$?([A-Z]{1,3})\$?([0-9]+):\$?([A-Z]{1,3})\$?([0-9]+)\)$`)

// shopSums collects the totals of a row that are the shop's.
func (a *auditor) shopSums(ed *joints.Editor, r *worksheet.Row) {
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Formula == "" || ed.OurCell(c.Col) {
			continue
		}
		m := ownSum.FindStringSubmatch(strings.ReplaceAll(c.Formula, " ", ""))
		if m == nil || m[1] != m[3] {
			continue
		}
		rng, err := grid.ParseRange(m[1] + m[2] + ":" + m[3] + m[4])
		if err == nil && rng.Row2 >= ed.L.DataRow {
			a.sums = append(a.sums, shopSum{at: cellAt{ed.L.Title, r.Num, c.Col}, list: ed.L, from: rng.Row1, to: rng.Row2, col: rng.Col1, formula: c.Formula})
		}
	}
}

// inOtherSum reports whether another total of the same column counts a row.
func (a *auditor) inOtherSum(s shopSum, row int) bool {
	for _, o := range a.sums {
		if o.at != s.at && o.list == s.list && o.col == s.col && o.from <= row && row <= o.to {
			return true
		}
	}
	return false
}

// mostSums is how many totals of the shop's are looked at.
const mostSums = 100

// sumFaults looks for totals of the shop's that miss joints of the block that
// they stand below, or that count a total again.
func (a *auditor) sumFaults() {
	if len(a.sums) > mostSums {
		return // they are a column of the list, and not totals
	}
	total := map[weigh.Row]bool{}
	for _, s := range a.sums {
		total[weigh.Row{List: s.list.No, Row: s.at.row}] = true
	}
	for _, s := range a.sums {
		missed := 0
		for _, r := range a.Joints {
			if r.List == s.list.No && r.Row > s.to && r.Row < s.at.row && !a.inOtherSum(s, r.Row) {
				missed = max(missed, r.Row)
			}
		}
		again := 0
		for t := range total {
			if t.List == s.list.No && t.Row >= s.from && t.Row <= s.to && t.Row != s.at.row {
				again = t.Row
			}
		}
		f := Fault{Grade: Doubtful, Rule: RuleShopTotal, Cell: s.at.String(), Found: "=" + s.formula}
		switch {
		case missed > 0:
			f.What = fmt.Sprintf("this total of yours ends at row %d, and misses joints down to row %d", s.to, missed)
			f.Fix = "widen it"
		case again > 0 && !strings.HasPrefix(strings.ToUpper(s.formula), "SUBTOTAL"):
			f.What = fmt.Sprintf("this total of yours counts the total on row %d again", again)
			f.Fix = "add up the joints alone"
		default:
			continue
		}
		a.add("sum "+s.at.String(), f).effect(0, 0)
	}
}
