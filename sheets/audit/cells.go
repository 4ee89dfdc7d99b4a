package audit

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/weigh"
	"seamtally/sheets"
	"seamtally/sheets/audit/formulas"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/logbook"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// seeRow compares the calculated cells of a row of a list.
func (a *auditor) seeRow(ed *joints.Editor, r *worksheet.Row, cells []worksheet.NewCell) {
	if r.Num < ed.L.DataRow {
		return
	}
	a.shopSums(ed, r)
	// What an earlier version had in a column that goes is no figure any more.
	cells = slices.DeleteFunc(slices.Clone(cells), func(n worksheet.NewCell) bool { return n.Col >= len(ed.At) || ed.At[n.Col] == 0 })
	at := weigh.Row{List: ed.L.No, Row: r.Num}
	have, any := ed.Present, false
	for _, c := range have {
		any = any || !hollow(c)
	}
	counted := false
	for _, n := range cells {
		counted = counted || n.Formula != ""
	}
	if !counted {
		for _, n := range cells {
			switch i := ed.At[n.Col] - 1; {
			case strings.HasPrefix(n.Text, joints.LeftOutText): // the reading says why
				a.leftOut = append(a.leftOut, a.leftOutRow(ed, r))
				a.standIn(ed, at)
			case n.Text != "" && hollow(have[i]): // a total or a note that no run has seen: nothing counts it yet
				a.unread[at] = true
			}
		}
		return
	}
	if any && a.broughtLines() {
		a.standIn(ed, at)
	}
	if !any {
		f := a.add(fmt.Sprintf("row without figures %d %d", at.List, at.Row), Fault{
			Grade: Doubtful, Rule: RuleNoFigures, Cell: ed.L.Ref(r.Num, ed.L.Shop["od"].Col),
			What: "a joint was added since the last run, and is not in the price", Fix: "price again",
		})
		f.gone[at] = true
		return
	}
	old := a.oldReadings(ed, r, cells)
	for _, n := range cells {
		i := ed.At[n.Col] - 1
		c := ed.Cols[i]
		a.cells++
		cell := seenCell{
			at: cellAt{ed.L.Title, r.Num, n.Col}, have: have[i], want: n,
			what: ed.Labels[i], line: at, q: c.Q, format: c.Q.Shown,
		}
		a.looksAt(cell)
		switch {
		case n.Formula == "" && n.Op == worksheet.Set && c.Q.Key != "check":
			a.typedOver(ed, &c, cell)
		case c.Q.Key == "car" && cell.have != nil && (ed.L.Called != "" || formulas.SameButTexts(cell.have.Formula, n.Formula)):
			if !joints.Filled(ed.Inputs[i]) {
				a.add("renamed "+ed.L.Title, Fault{
					Grade: Doubtful, Rule: RuleSheetRenamed, Cell: cell.at.String(), What: "the joints without a car are of the car that their sheet is called after, and it is called otherwise now",
					Found: shownText(cell.have), Expected: shownText(&worksheet.Cell{Kind: worksheet.Text, Text: ed.L.Title}),
					Fix: "write the car on the rows, or call the sheet as before; priced again as it is, they are of another car",
				})
			}
			if ed.L.Called != "" {
				a.compare(cell)
			}
		case old != nil && book.SameFormula(formulaOf(cell.have), n.Formula) && c.Reader == nil:
			if cell.have.Kind == worksheet.Error {
				a.rowErrors = true
			} else if !asStored(cell.have, n) {
				cell.hold(old) // it follows from what was read
			}
		case c.Reader != nil && isOldReading(&c, r.Num, cell.have, n):
		default:
			a.compare(cell)
		}
	}
}

// leftOutRow is a row that cannot be priced, as far as it was read.
func (a *auditor) leftOutRow(ed *joints.Editor, r *worksheet.Row) compute.Joint {
	row := compute.Joint{List: ed.L.No, Sheet: ed.L.Title, Row: r.Num, Mark: compute.Unmarked(ed.L.Title, r.Num), Line: ed.Line.Clone()}
	for i := range r.Cells {
		if c := &r.Cells[i]; c.Col == ed.MarkCol && joints.Filled(c) {
			row.Mark = book.CellText(*c)
		}
	}
	if row.Car = a.Model.Line.Quantity("car").Text(&row.Line.Frame); row.Car == "" {
		row.Car = ed.L.Title
	}
	return row
}

// oldReadings tells of the inputs of a row whose cells were changed in a way
// that their "as read" formulas cannot follow; what rests on them is no fault
// of its own. nil if there are none.
func (a *auditor) oldReadings(ed *joints.Editor, r *worksheet.Row, cells []worksheet.NewCell) (last *auditFault) {
	for _, n := range cells {
		i := ed.At[n.Col] - 1
		if c := ed.Cols[i]; c.Reader != nil && c.Q.Key != "car" && isOldReading(&c, r.Num, ed.Present[i], n) {
			last = a.oldReading(ed.L, &c, ed.Inputs[i], seenCell{
				at: cellAt{ed.L.Title, r.Num, n.Col}, have: ed.Present[i], want: n, line: weigh.Row{List: ed.L.No, Row: r.Num}, q: c.Q,
			})
		}
	}
	return last
}

// isOldReading reports whether an "as read" cell reads another content of its
// input than is there.
func isOldReading(c *joints.Column, row int, have *worksheet.Cell, want worksheet.NewCell) bool {
	return have != nil && have.HasFormula && want.Formula != "" && !book.SameFormula(have.Formula, want.Formula) && isReading(c, row, have.Formula)
}

func formulaOf(c *worksheet.Cell) string {
	if c == nil {
		return ""
	}
	return c.Formula
}

// isReading reports whether a formula is one that reads the same input, of
// another content.
func isReading(c *joints.Column, row int, f string) bool {
	return f == c.Reader.Plain.At(row) || strings.HasPrefix(f, strings.ReplaceAll("IF(EXACT("+c.Reader.Cell+",", page.RowMark, fmt.Sprint(row)))
}

// seenCell is a calculated cell: what is there, and what should be.
type seenCell struct {
	at    cellAt
	have  *worksheet.Cell
	want  worksheet.NewCell
	what  string // the figure, for people
	line  weigh.Row
	q     *model.Quantity // of a line; nil elsewhere
	holds func(*compute.Values, float64)
	still bool // no figure rests on it

	format string // of the number, as a run writes it
}

// key is equal for cells that are one fault if they have the same.
func (c *seenCell) key() string {
	if c.q == nil {
		return c.at.String()
	}
	return fmt.Sprintf("%d %s", c.line.List, c.q.Key)
}

// hold gives the number that the cell shows to what a fault does.
func (c *seenCell) hold(f *auditFault) {
	f.still = f.still || c.still
	if c.have == nil || c.have.Kind != worksheet.Number {
		return
	}
	x := c.have.Num
	switch {
	case c.q != nil && !c.q.IsText():
		f.show(c.line, c.q, x)
	case c.holds != nil:
		f.held = append(f.held, func(v *compute.Values) { c.holds(v, x) })
	}
}

// seePlan compares a calculated cell of a sheet of ours. Where rows are not what
// they were at the last run, that is done once these stand in for them.
func (a *auditor) seePlan(title string, r *worksheet.Row, have *worksheet.Cell, c page.Cell, n worksheet.NewCell) {
	a.place(title, r.Num, c)
	if c.Owner == page.Shop && have != nil && have.Kind == worksheet.Number && !a.stoodIn { // a value that figures come from
		a.looksAt(seenCell{at: cellAt{title, r.Num, c.Col}, have: have, want: worksheet.NewCell{Kind: have.Kind, Num: have.Num}, what: a.labelled(r, c.Col), format: c.Style.Format})
	}
	number := c.Kind == worksheet.Number && !strings.EqualFold(title, a.Own.Assumptions)
	if c.Owner != page.Ours || c.Formula == "" && !number || c.Record || a.unjudged || !a.Own.IsOurs(title) || len(a.standIns) > 0 && !a.stoodIn {
		return
	}
	a.valued = a.valued || have != nil && have.HasFormula && have.Kind != worksheet.Empty
	at := cellAt{title, r.Num, n.Col}
	holds, _ := c.Means.(book.Holder)
	cell := seenCell{at: at, have: have, want: n, what: a.labelled(r, n.Col), holds: holds, format: c.Style.Format}
	cell.still = c.Kind == worksheet.Text && strings.EqualFold(title, a.Own.Workings) // words and verdicts
	if c.Formula == "" {
		a.looksAt(cell)
		a.seeKept(cell)
		return
	}
	if a.earlier() && c.Anew || a.ofReplaced(cell) {
		return // what the earlier version did not have stands on a row that it had for something else
	}
	a.cells++
	a.looksAt(cell)
	a.compare(cell)
}

// labelled says what a cell of a sheet of ours is. Cells beside each other are mostly
// called alike.
func (a *auditor) labelled(r *worksheet.Row, col int) string {
	if words := sheets.LabelWords(r, col); words != a.label.words || a.label.says == "" {
		a.label = label{words, sheets.Label(words)}
	}
	return a.label.says
}

// hollow reports whether a cell has neither a value nor a formula.
func hollow(c *worksheet.Cell) bool { return c == nil || c.Kind == worksheet.Empty && !c.HasFormula }

// compare looks for what is wrong with a calculated cell.
func (a *auditor) compare(c seenCell) {
	if c.want.Formula == "" {
		a.keptChanged(c)
		return
	}
	if c.have == nil || !c.have.HasFormula || !book.SameFormula(c.have.Formula, c.want.Formula) {
		if f := a.columnGone(c); f != nil {
			c.hold(f)
			return
		}
	}
	switch {
	case a.setAside(c):
	case a.keepForLater(c):
	case hollow(c.have):
		a.formulaGone(c)
	case !c.have.HasFormula:
		f := a.add("typed over "+c.key(), Fault{
			Grade: Wrong, Rule: RuleTypedOver, Cell: c.at.String(), What: c.what + " is typed over its formula",
			Found: shownText(c.have), Expected: "=" + c.want.Formula, Fix: "price again, which puts the formula back",
		})
		c.hold(f)
	case !book.SameFormula(c.have.Formula, c.want.Formula) && !(c.q == nil && asStored(c.have, c.want) && a.sameButForEnd(c.have.Formula, c.want.Formula)):
		a.otherFormula(c)
	case c.have.Kind == worksheet.Error:
		a.errorValue(c)
	case c.have.Kind == worksheet.Empty && (c.want.Kind == worksheet.Number || c.want.Text != ""):
		a.add("no value", Fault{
			Grade: Doubtful, Rule: RuleNotStored, Cell: c.at.String(),
			What: "a program that works nothing out has saved the workbook; its calculated cells hold formulas and no values",
			Fix:  "open it in the spreadsheet program and save it there",
		})
	case !asStored(c.have, c.want):
		a.differ[c.at] = &differing{have: *c.have, want: worksheet.Cell{Kind: c.want.Kind, Num: c.want.Num, Text: c.want.Text}, what: c.what, formula: c.want.Formula, line: c.line, q: c.q, holds: c.holds}
		a.order = append(a.order, c.at)
	}
}

// formulaGone tells of a calculated cell in which nothing stands.
func (a *auditor) formulaGone(c seenCell) {
	f := a.add("formula gone "+c.key(), Fault{
		Grade: Wrong, Rule: RuleFormulaGone, Cell: c.at.String(), What: c.what + " has lost its formula",
		Found: "nothing", Expected: "=" + c.want.Formula, Fix: "price again, which puts it back",
	})
	c.have = &worksheet.Cell{Kind: worksheet.Number} // as which formulas read it
	c.hold(f)
}

// otherFormula tells how a formula is not the one that belongs there.
func (a *auditor) otherFormula(c seenCell) {
	rule, what := formulas.Change(c.have.Formula, c.want.Formula)
	f := Fault{
		Grade: Wrong, Rule: rule, Cell: c.at.String(), What: fmt.Sprintf("the formula of %s %s", c.what, what),
		Found: "=" + c.have.Formula, Expected: "=" + c.want.Formula, Fix: "price again, which puts it back; to keep a value of your own, type the number",
	}
	if asStored(c.have, c.want) {
		f.Grade, f.What = Doubtful, f.What+", and comes to the same"
	}
	fault := a.add(rule+" "+c.key(), f)
	if f.Grade == Wrong {
		fault.Grade = Wrong
	}
	c.hold(fault)
	if len(fault.shown)+len(fault.held) == 0 && f.Grade == Doubtful {
		fault.effect(0, 0)
	}
}

// asStored compares a stored value with one worked out: numbers to nine
// places, as programs differ in the last ones.
func asStored(have *worksheet.Cell, want worksheet.NewCell) bool {
	switch {
	case want.Kind == worksheet.Number && have.Kind == worksheet.Number:
		return book.Near(have.Num, want.Num)
	case want.Kind == worksheet.Number, have.Kind == worksheet.Number:
		return false
	case want.Kind == worksheet.Error || have.Kind == worksheet.Error:
		return want.Kind == have.Kind
	}
	return have.Text == want.Text
}

// shownText is what a cell shows, for a message.
func shownText(c *worksheet.Cell) string {
	switch {
	case c == nil || c.Kind == worksheet.Empty:
		return "nothing"
	case c.Kind == worksheet.Number:
		return formula.GeneralText(c.Num)
	case c.Kind == worksheet.Bool:
		return map[bool]string{true: "TRUE", false: "FALSE"}[c.Num != 0]
	case c.Kind == worksheet.Error:
		return c.Text
	}
	return fmt.Sprintf("%.60q", c.Text)
}

// errorValue tells of a cell that shows an error. What rests on it shows one
// too, so of a row, and of a sheet of ours, the first is told.
func (a *auditor) errorValue(c seenCell) {
	key := "error value " + c.at.sheet
	switch {
	case c.q != nil:
		key += fmt.Sprint(c.at.row)
		a.rowErrors = true
	case a.rowErrors:
		return
	}
	a.add(key, Fault{
		Grade: Wrong, Rule: RuleErrorValue, Cell: c.at.String(), What: c.what + " shows an error",
		Found: c.have.Text, Expected: shownWant(c.want), Fix: "open it in the spreadsheet program and let it work out anew; if the error stays, mend the row's inputs",
	})
}

func shownWant(n worksheet.NewCell) string {
	return shownText(&worksheet.Cell{Kind: n.Kind, Num: n.Num, Text: n.Text})
}

// typedOver tells of a number that stands in the place of a formula. One that a
// run has seen carries that run's mark.
func (a *auditor) typedOver(ed *joints.Editor, c *joints.Column, cell seenCell) {
	f := Fault{
		Grade: Doubtful, Rule: RuleOverride, Cell: cell.at.String(), What: cell.what + " is typed over its formula, which no run has seen yet",
		Found: shownText(cell.have), Fix: "price with --refill to bring the formula back; or price again, which marks it as typed over",
	}
	if cell.have.Style == c.Override {
		f.seenTyped()
	}
	fault := a.add(f.Rule+" "+cell.at.String(), f)
	if f.Grade != WorthKnowing {
		a.unseen = append(a.unseen, unseenTyped{fault, ed.L.No})
	}
	if c.Reader != nil {
		return // what the shop typed as the input is not known here
	}
	fault.freed[cell.line] = append(fault.freed[cell.line], c.Q)
}

// seenTyped makes the fault one of a cell that a run has seen typed over.
func (f *Fault) seenTyped() {
	f.Grade, f.Rule = WorthKnowing, RuleOverrideSeen
	f.What, _, _ = strings.Cut(f.What, ", which no run")
	f.What += ", as the last run has recorded"
	f.Fix = "price with --refill to bring the formula back"
}

// unseenTyped is a cell that was typed over, without the mark of a run.
type unseenTyped struct {
	fault *auditFault
	list  int
}

// judgeTyped looks in the record for what has lost its mark: a program that saves a
// workbook numbers its styles anew. Where the rows of a list are what they were,
// with what is typed over on them, the last run has seen it all.
func (a *auditor) judgeTyped() {
	if len(a.unseen) == 0 {
		return
	}
	var same []bool // by the number of the list
	for _, p := range a.PairStates(a.ReadState(), a.Now) {
		if p.Now != nil && p.Now.What == logbook.StateList {
			same = append(same, p.Was != nil && p.Was.Value == p.Now.Value)
		}
	}
	for _, u := range a.unseen {
		if same[u.list] {
			u.fault.seenTyped()
		}
	}
}

// oldReading tells of an input whose cell was changed in a way that its "as
// read" formula cannot follow.
func (a *auditor) oldReading(l *joints.List, c *joints.Column, input *worksheet.Cell, cell seenCell) *auditFault {
	at := l.Ref(cell.at.row, c.Reader.Shop.Col)
	fault := Fault{
		Grade: Doubtful, Rule: RuleOldReading, Cell: at, What: c.Reader.Name() + " was changed, and no run has read it since",
		Found: shownText(cell.have), Expected: shownWant(cell.want), Fix: "price again",
	}
	if input != nil && input.Kind == worksheet.Text && !c.Q.IsText() {
		fault.Rule, fault.What = RuleKeptAsText, c.Reader.Name()+" was made a text, and no run has read it since"
	}
	f := a.add(fault.Rule+" "+at, fault)
	cell.hold(f)
	return f
}
