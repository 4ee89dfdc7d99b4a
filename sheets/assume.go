package sheets

import (
	"fmt"
	"math"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/look"
	"seamtally/sheets/part"
)

// Columns of a single assumption on the Assumptions sheet.
const (
	assumeKey = iota + 1
	assumeWhat
	assumeValue
	assumeUnit
	assumeUsed
	assumeUsedUnit
	assumeLow
	assumeHigh
	assumeInside
	assumeShipped
	assumeChanged
	assumeBasis
	assumeNote
	assumePlace
)

// Columns of the Columns table at the foot of Assumptions.
const (
	columnsSheet = iota + 1
	columnsFigure
	columnsWhose
	columnsUnit
	columnsHeading
	columnsSettled
	columnsSettledUnit
)

const (
	whoseOurs = "calculated"
	whoseShop = "yours"
)

// tableCol is the column where tables begin.
const tableCol = 2

// planAssumptions lays out the Assumptions sheet.
func (b *book) planAssumptions(title string, at *assumeAt) (*plan, error) {
	p := newPlan(title, b.own.assumptions == "")
	p.shell.Widths = assumeWidths()
	p.shell.FreezeRow = 2
	a := &assumePlan{book: b, p: p, at: at, ink: look.New(b.styles.DefaultFont())}
	a.head()
	a.points()
	if err := a.singles(); err != nil {
		return nil, err
	}
	for _, t := range b.model.Tables {
		if err := a.table(t); err != nil {
			return nil, err
		}
	}
	a.reliability()
	a.units()
	if err := a.log(); err != nil {
		return nil, err
	}
	a.stateTable()
	a.columns()
	a.footMoved()
	b.names.set(nameAssumptions, rangeRef(title, part.Range{Row1: 1, Col1: 1, Row2: 1, Col2: 1}))
	p.shell.Print = look.Print{TitleRows: "1:2", Foot: b.foot(), Area: "A1:" + part.Ref(at.log.last()+1, widest(at)), PagesWide: 2}
	return p, nil
}

// assumeWidths are the widths of the columns of Assumptions.
func assumeWidths() []float64 {
	return []float64{20, 54, 13, 9, 12, 9, 10, 10, 12, 13, 14, 44, 24, 11, 11, 12, 11, 11, 12, 24, 12, 10, 10, 10}
}

// widest is the last column that a table takes.
func widest(at *assumeAt) int {
	col := max(assumePlace, at.reliability, at.since)
	for _, t := range at.table {
		for _, c := range t.cols {
			col = max(col, c)
		}
	}
	return col
}

type assumePlan struct {
	*book
	p   *plan
	at  *assumeAt
	ink *look.Book // for the heights of rows
}

func (a *assumePlan) cellRef(row, col int) string {
	return rangeRef(a.p.title, oneCell(row, col))
}

// head is the quote's header, the system of units and the legend.
func (a *assumePlan) head() {
	p := a.p
	p.put(1, text(1, look.Title, assumeUsual, static))
	p.put(2, text(1, look.Note, assumeLegend+"; the rest is worked out. Names in the first column are those that formulas use. Costs, prices and times are positive, all of them: below zero stands a loss, or what learning saves.", static))
	for _, h := range a.model.Heads {
		row := a.at.key[headPrefix+h.Key]
		if row == 0 {
			continue
		}
		p.put(row, text(assumeKey, look.Key, headPrefix+h.Key, static))
		p.put(row, text(assumeWhat, look.Label, h.What, static))
		p.put(row, text(assumeValue, look.InputText, h.Value, shop))
		a.names.set(headPrefix+h.Key, a.cellRef(row, assumeValue))
	}
	if row := a.at.system; row > 0 {
		p.put(row, text(assumeWhat, look.Label, "Units of this book", static))
		p.put(row, text(assumeValue, look.CalcText, a.model.System.String(), static))
		a.names.set(nameUnits, a.cellRef(row, assumeValue))
		p.put(row+2, text(assumeWhat, look.Label, "Formulas, as of", static))
		p.put(row+2, text(assumeValue, look.CalcText, a.fingerprint, ours))
		a.names.set(nameModel, a.cellRef(row+2, assumeValue))
		p.put(row+1, text(assumeWhat, look.Label, "What the cells look like", static))
		p.put(row+1, text(assumeValue, look.InputText, "yours", static))
		p.put(row+1, text(assumeUsed, look.CalcText, "worked out", static))
		p.put(row+1, text(assumeLow, look.OverrideText, "typed over", static))
		p.put(row+1, text(assumeInside, look.Refused, "left out", static))
	}
	if !p.build {
		return
	}
	for i, h := range []string{"Name", "Assumption", "Value", "Unit", "Value used", "Unit used", "Usual low", "Usual high", "In range", "As shipped", "Changed", "Basis", "Note", "In place"} {
		p.put(a.at.heads, text(i+1, look.Heading, h, static))
	}
}

// singles are the rows of the single assumptions.
func (a *assumePlan) singles() error {
	section := ""
	for _, q := range a.model.Singles.Quantities {
		row := a.at.key[q.Key]
		if row == 0 {
			return fmt.Errorf("%s!A: the row of %q is gone from the sheet; put its name back in the first column of a row, or run clear and price anew", a.p.title, q.Key)
		}
		if q.Section != section || a.at.arrived(row) && !a.at.isKey(row-1) {
			section = q.Section
			a.p.put(row-1, text(assumeWhat, look.Section, section, static))
		}
		a.p.put(row, text(assumeKey, look.Key, q.Key, static))
		a.p.put(row, text(assumeWhat, look.Label, q.Heading, static))
		a.names.set(q.Key, a.cellRef(row, assumeUsed))
		var err error
		switch {
		case q.Role == compute.Figure:
			err = a.derived(q, row)
		case q.IsText():
			a.word(q, row)
		default:
			a.amount(q, row)
		}
		if err != nil {
			return err
		}
		moved := planCell{col: assumePlace, style: look.Style{Role: look.CalcText}, kind: part.Text}
		a.p.put(row, moved.as(fmt.Sprintf(`IF(ROW(%s)=ROW(),"","moved")`, a.names.use(q.Key))))
	}
	a.p.shell.Flags = append(a.p.shell.Flags, fmt.Sprintf("I%d:N%d", a.at.firstKey, a.at.lastKey))
	a.limits()
	return nil
}

// limits has the spreadsheet program ask back where a number cannot be right.
func (a *assumePlan) limits() {
	zero := 0.0
	ask := func(r part.Range, low, high *float64, what string) {
		a.p.shell.Validations = append(a.p.shell.Validations, look.Validation{
			Range: r.String(), Decimal: true, Low: low, High: high, ErrorTitle: "A number", Error: what,
		})
	}
	const amount = "A number, 0 or more, in the unit beside it."
	ask(part.Range{Row1: a.at.firstKey, Col1: assumeLow, Row2: a.at.lastKey, Col2: assumeHigh}, &zero, nil, amount)
	var run part.Range // of values, one below the other, that 0 alone bounds
	end := func() {
		if run.Row1 > 0 {
			ask(run, &zero, nil, amount)
		}
		run = part.Range{}
	}
	for _, q := range a.model.Singles.Quantities {
		if q.Role != compute.Assumption || q.IsText() {
			continue
		}
		row := a.at.key[q.Key]
		value := part.Range{Row1: row, Col1: assumeValue, Row2: row, Col2: assumeValue}
		switch bounded := q.MoreThan > 0 || !math.IsInf(q.LessThan, 1); {
		case bounded: // in the one unit that it may have
			end()
			low, high := max(q.MoreThan, 0), &q.LessThan
			words := "A number from " + formula.GeneralText(low)
			if math.IsInf(q.LessThan, 1) {
				high, words = nil, words+" up"
			} else {
				words += " to " + formula.GeneralText(q.LessThan)
			}
			ask(value, &low, high, words+", in the unit beside it.")
		case run.Row2 == row-1:
			run.Row2 = row
		default:
			end()
			run = value
		}
	}
	end()
}

func (a *assumePlan) derived(q *compute.Quantity, row int) error {
	none := func(string, string) (string, error) {
		return "", fmt.Errorf("a value worked out once uses only assumptions")
	}
	cells := func(table, key string) (string, error) {
		if table == "" && a.model.Singles.Quantity(key) != nil {
			return a.names.use(key), nil
		}
		return none(table, key)
	}
	f, err := q.Formula().Print(cells)
	if err != nil {
		return err
	}
	a.p.put(row, number(assumeUsed, look.Calc, q.Shown, q.Num(a.values.Singles), ours).as(f).of(q, 0))
	a.p.put(row, text(assumeBasis, look.CalcText, q.Source, static))
	return nil
}

func (a *assumePlan) word(q *compute.Quantity, row int) {
	p, v := a.p, q.Text(a.values.Singles)
	value := text(assumeValue, look.InputText, v, shop)
	if !p.build && !equalFold(cellText(*a.own.cell(row, assumeValue)), v) {
		value.owner = ours // set by the run, as it was asked to
	}
	p.put(row, value)
	p.put(row, text(assumeUsed, look.CalcText, v, ours).as(part.Ref(row, assumeValue)+`&""`))
	inside, test := contains(a.choicesOf(q), v), ""
	if col := a.choiceColumn(q); col != "" {
		test = fmt.Sprintf(`IF(ISNUMBER(MATCH(%s,%s,0)),"inside","OUTSIDE")`, part.Ref(row, assumeUsed), col)
		p.shell.Validations = append(p.shell.Validations, look.Validation{Range: part.Ref(row, assumeValue), Source: col})
	} else {
		test = fmt.Sprintf(`IF(%s,"inside","OUTSIDE")`, orEqual(part.Ref(row, assumeUsed), q.Choices))
		p.shell.Validations = append(p.shell.Validations, look.Validation{Range: part.Ref(row, assumeValue), Words: q.Choices, Strict: true})
	}
	p.put(row, text(assumeInside, look.CalcText, map[bool]string{true: "inside", false: "OUTSIDE"}[inside], ours).as(test))
	p.put(row, text(assumeShipped, look.CalcText, q.TextValue, static))
	a.changed(row, v == q.TextValue)
	a.basis(q, row)
}

// choiceColumn is the column whose words a text assumption may be, "" where the
// words are fixed.
func (a *assumePlan) choiceColumn(q *compute.Quantity) string {
	for _, t := range a.model.Tables {
		if t.Name+".name" == q.ChoicesOf {
			return a.names.column(t, "name")
		}
	}
	return ""
}

func orEqual(cell string, words []string) string {
	s := "OR("
	for i, w := range words {
		if i > 0 {
			s += ","
		}
		s += cell + "=" + quoted(w)
	}
	return s + ")"
}

func (a *assumePlan) changed(row int, same bool) {
	c := text(assumeChanged, look.CalcText, map[bool]string{true: "shipped", false: "changed"}[same], ours)
	a.p.put(row, c.as(fmt.Sprintf(`IF(%s=%s,"shipped","changed")`, part.Ref(row, assumeUsed), part.Ref(row, assumeShipped))))
}

func (a *assumePlan) basis(q *compute.Quantity, row int) {
	a.p.put(row, text(assumeBasis, look.InputText, q.Source, shop))
	a.p.put(row, text(assumeNote, look.InputText, "", shop))
}

func (a *assumePlan) amount(q *compute.Quantity, row int) {
	p, x, unit := a.p, q.Num(a.values.Singles), q.Unit.String()
	p.put(row, number(assumeValue, look.Input, q.Shown, q.Value, shop))
	used := part.Ref(row, assumeValue)
	if choices := unitChoices(unit); len(choices) > 1 {
		p.put(row, text(assumeUnit, look.InputText, unit, shop))
		p.shell.Validations = append(p.shell.Validations, look.Validation{Range: part.Ref(row, assumeUnit), Words: choices, Strict: true})
		d, u := part.Ref(row, assumeUnit), part.Ref(row, assumeUsedUnit)
		used = fmt.Sprintf(`%s*IF(%s=%s,1,INDEX(%s,MATCH(%s&">"&%s,%s,0)))`, used, d, u, a.names.use("unit_factor"), d, u, a.names.use("unit_pair"))
	} else {
		p.put(row, text(assumeUnit, look.Label, unit, static))
	}
	value := number(assumeUsed, look.Calc, q.Shown, x, ours).as(used)
	value.holds = func(v *compute.Values, x float64) { v.Singles.Num[q.Slot] = x }
	p.put(row, value)
	p.put(row, text(assumeUsedUnit, look.Label, unit, static))
	low, high := a.rangeOf(q, a.at)
	if q.HasRange {
		p.put(row, number(assumeLow, look.Input, q.Shown, q.Low, shop))
		p.put(row, number(assumeHigh, look.Input, q.Shown, q.High, shop))
	}
	inside := x >= low && x <= high
	if !inside {
		a.note(LevelWarning, findOutside, a.p.title+"!"+part.Ref(row, assumeValue),
			fmt.Sprintf("%s is outside its usual range", q.Key), "check the value and its unit, or widen the range and say why")
	}
	p.put(row, text(assumeInside, look.CalcText, map[bool]string{true: "inside", false: "OUTSIDE"}[inside], ours).
		as(fmt.Sprintf(`IF(AND(%[1]s>=%[2]s,%[1]s<=%[3]s),"inside","OUTSIDE")`, part.Ref(row, assumeUsed), part.Ref(row, assumeLow), part.Ref(row, assumeHigh))))
	p.put(row, number(assumeShipped, look.Calc, q.Shown, q.Value, static))
	a.changed(row, x == q.Value)
	a.basis(q, row)
}

func contains(list []string, s string) bool {
	for _, w := range list {
		if equalFold(w, s) {
			return true
		}
	}
	return false
}
