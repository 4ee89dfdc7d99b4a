package sheets

import (
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/look"
	"seamtally/sheets/part"
)

// orderCheck is one live check of the Summary: an amount that a formula works
// out, and whether anything but 0 makes the order incomplete.
type orderCheck struct {
	what    string
	formula string
	value   float64
	weight  checkWeight
}

type checkWeight uint8

const (
	tells checkWeight = iota // a count, neither good nor bad
	looks                    // anything but 0 wants a look
	stops                    // anything but 0 leaves the order incomplete
)

// Words of the checks' last column.
const (
	wordOK         = "ok"
	wordLook       = "LOOK"
	wordComplete   = "COMPLETE"
	wordIncomplete = "INCOMPLETE"
)

// listFigure is a figure about one joint list as a whole.
type listFigure struct {
	key, heading, format string
	formula              func(*list) string
	value                func(*list) float64
}

// listFigures are the columns of the block that has a row for each joint list.
func (s *summaryPlan) listFigures() []listFigure {
	line := s.model.Line
	all := s.model.Checks()
	first, refuse, last := all[0], all[0], all[len(all)-1]
	for _, q := range all {
		if q.Level == compute.LevelRefuse {
			refuse = q
		}
	}
	upTo := func(l *list, q *compute.Quantity) string {
		return "COLUMNS(" + rangeRef(l.title, part.Range{Row1: l.headRow, Col1: l.ours[first], Row2: l.headRow, Col2: l.ours[q]}) + ")"
	}
	below := func(l *list, key string) string { return l.below(l.ours[line.Quantity(key)]) }
	at := func(l *list, col int) string { return part.Ref(s.listRow(l), sumFirst+col) }
	zero := func(*list) float64 { return 0 }
	return []listFigure{
		{"read", "Joint rows", "0", func(l *list) string {
			return "COUNTIF(" + below(l, "check") + `,"?*")-` + at(l, passedCol)
		}, func(l *list) float64 { return float64(l.read) }},
		{"left", "Rows left out", "0", func(l *list) string { return "COUNTIF(" + below(l, "check") + "," + quoted(leftOutText+"*") + ")" }, func(l *list) float64 { return float64(l.leftOut) }},
		{"nonsense", "Rows not to be priced now", "0", func(l *list) string { return "COUNTIF(" + below(l, "finding") + `,"<="&` + upTo(l, refuse) + ")" }, zero},
		{"passed", "Rows of no joint", "0", func(l *list) string { return "COUNTIF(" + below(l, "check") + "," + quoted(noJointText+"*") + ")" }, func(l *list) float64 { return float64(len(l.passedOver)) }},
		{"grown", "Rows without figures", "0", func(l *list) string {
			return "COUNTIFS(" + l.below(l.shop["od"].col) + `,"<>",` + below(l, "check") + `,"")`
		}, zero},
		{"errors", "Errors shown", "0", func(l *list) string { return "SUMPRODUCT(ISERROR(" + l.area() + ")*1)" }, zero},
		{"words", "Rows whose OD is no number", "0", func(l *list) string { return "COUNTA(" + below(l, "od") + ")-COUNT(" + below(l, "od") + ")" }, zero},
		{"odd", "Rows to look at", "0", func(l *list) string {
			return "COUNTIF(" + below(l, "finding") + `,"<"&` + upTo(l, last) + ")-" + at(l, nonsenseCol)
		}, func(l *list) float64 { return float64(l.warned) }},
		{"typed", "Cells typed over", "0", func(l *list) string {
			return fmt.Sprintf("SUMPRODUCT((ISNUMBER(%[1]s)+ISTEXT(%[1]s))*(1-_xlfn.ISFORMULA(%[1]s)))-%[2]s-%[3]s", l.area(), at(l, leftCol), at(l, passedCol))
		}, func(l *list) float64 { return float64(l.overrides) }},
		{"unpriced", "Rows without a price", "0", func(l *list) string { return "SUM(" + below(l, "price_missing") + ")" }, func(l *list) float64 { return float64(l.priceMissing) }},
		{"cost", "Cost of the lines (" + s.currency() + ")", "#,##0.00", func(l *list) string { return "SUM(" + l.column(line.Quantity("line_cost")) + ")" }, func(l *list) float64 { return s.listCost(l) }},
	}
}

// The places of some of the list figures among them.
const (
	leftCol     = 1
	nonsenseCol = 2
	passedCol   = 3
)

func (s *summaryPlan) listRow(l *list) int { return s.listsAt.first + l.no }

// listCost is what the lines of a list cost, over all its cars.
func (s *summaryPlan) listCost(l *list) float64 {
	line, total := s.model.Line, 0.0
	for no := range s.values.Rows(s.model.Table("cars")).Frames {
		x, _ := s.values.ListSum(l.no, line.Quantity("line_cost"), line.Quantity("car_no"), no+1)
		total += x
	}
	return total
}

// listBlock writes the row of each joint list.
func (s *summaryPlan) listBlock() {
	p, at := s.p, s.listsAt
	p.put(at.first-2, text(sumNo, look.Section, "Joint lists", static))
	p.put(at.first-1, text(sumName, look.Heading, "Sheet", static))
	p.row(at.first - 1).height = headingHigh
	figures := s.listFigures()
	for k, f := range figures {
		p.put(at.first-1, text(sumFirst+k, look.Heading, f.heading, ours))
	}
	for i := range at.count {
		row := at.first + i
		p.foldSpare(row, i, len(s.lists))
		if i >= len(s.lists) {
			for k, f := range figures {
				p.put(row, empty(sumFirst+k, look.Style{Role: look.Calc, Format: f.format}, ours))
			}
			p.put(row, empty(sumName, look.Style{Role: look.CalcText}, ours))
			continue
		}
		l := s.lists[i]
		p.put(row, text(sumName, look.CalcText, l.title, ours))
		for k, f := range figures {
			p.put(row, number(sumFirst+k, look.Calc, f.format, f.value(l), ours).as(f.formula(l)))
		}
	}
}

// listSum adds up a figure of the joint lists.
func (s *summaryPlan) listSum(key string) (formula string, value float64) {
	for k, f := range s.listFigures() {
		if f.key == key {
			for _, l := range s.lists {
				value += f.value(l)
			}
			return fmt.Sprintf("SUM(%s:%s)", absolute(s.listsAt.first, sumFirst+k), absolute(s.listsAt.last(), sumFirst+k)), value
		}
	}
	return "0", 0
}

// orderChecks lists the checks. What a run has counted stands beside formulas
// that go on counting.
func (s *summaryPlan) orderChecks() []orderCheck {
	tally, line := s.tallyOf("cars"), s.model.Line
	sum := func(key string) string {
		c, _ := tally.column(line.Quantity(key))
		return "SUM(" + c + ")"
	}
	a := func(col int) string {
		return rangeRef(s.assumeOn, part.Range{Row1: s.assume.firstKey, Col1: col, Row2: s.assume.lastKey, Col2: col})
	}
	of := func(what, key string, w checkWeight) orderCheck {
		f, v := s.listSum(key)
		return orderCheck{what, f, v, w}
	}
	cost, _ := s.listSum("cost")
	n := s.count
	place := rangeRef(s.assumeOn, part.Range{Row1: s.assume.firstKey, Col1: assumePlace, Row2: max(s.assume.unitFirst, s.assume.lastKey), Col2: assumePlace})
	checks := []orderCheck{
		of("Joint rows read", "read", tells),
		{"Rows priced", sum("fine"), float64(n.priced), tells},
		of("Rows left out: their check cells say why", "left", stops),
		{"Joint lists beside another, not read by the last run", "", float64(s.beside), stops},
		of("Rows that cannot be priced as they stand now", "nonsense", stops),
		of("Rows on a list without figures: price again", "grown", stops),
		of("Calculated cells that show an error", "errors", stops),
		of("Rows whose OD, as read, is not a number", "words", stops),
		of("Rows without a price of tube or rod", "unpriced", stops),
		{"Cost of the lines, less that summed by car", "ROUND(" + cost + "-" + sum("line_cost") + ",2)", 0, stops},
		{"Cars on Assumptions without a row above", fmt.Sprintf("COUNTA(%s)-COUNT(%s)", s.names.column(s.model.Table("cars"), "name"), s.numbers()), 0, stops},
		{"Cars whose price cannot be worked out", s.unpricedCars(), 0, stops},
		{"Lines of other work for a car that is not there", fmt.Sprintf("SUMPRODUCT(ISNA(%s)*1)", s.names.column(s.model.Table("parts"), "car_no")), float64(n.strayParts), stops},
		{"Tables with a line typed below their room", "COUNTIF(" + place + "," + quoted(wordBelow) + ")", float64(n.below), stops},
		{"Assumptions whose name points elsewhere", "COUNTIF(" + place + `,"moved")`, 0, stops},
		of("Rows with something to look at", "odd", looks),
		of("Cells typed over calculated ones", "typed", looks),
		{"Assumptions outside their usual range", "COUNTIF(" + a(assumeInside) + `,"OUTSIDE")`, float64(n.outside), looks},
		{"Assumptions changed from those shipped", "COUNTIF(" + a(assumeChanged) + `,"changed")`, float64(n.changed), tells},
		{"Basis of the estimate: points not filled in", basisBlanks(s.assumeOn), float64(s.countBasisBlanks(s.assume)), tells},
	}
	if f, n := s.disagree(); f != "" {
		checks = append(checks, orderCheck{"Sheets for the bid: checks that do not hold", f, float64(n), looks})
	}
	return checks
}

// unpricedCars counts the prices that are errors or below zero: whatever goes
// wrong behind a price shows in it.
func (s *summaryPlan) unpricedCars() string {
	prices, _ := s.columnOf(s.summaryScope("cars").Quantity("price_car"))
	return fmt.Sprintf(`SUMPRODUCT(ISERROR(%[1]s)*1)+COUNTIF(%[1]s,"<0")`, prices)
}

// wordBelow stands beside the line below a table's room if something is there.
const wordBelow = "below room"

// counts is what a run has counted for the checks.
type counts struct {
	priced, outside, changed, strayParts, below int
}

func (s *summaryPlan) tallyOf(scope string) *tallyBlock {
	for _, t := range s.tallies {
		if t.scope.Name == scope {
			return t
		}
	}
	return nil
}

// numbers is the column of the cars' numbers.
func (s *summaryPlan) numbers() string {
	return s.blocks[0].at.column(sumNo)
}

// area is the block of a list's calculated cells, from below the headings.
func (l *list) area() string {
	r := part.Range{Row1: l.dataRow, Row2: max(l.lastRow, l.dataRow)}
	for _, c := range l.ours {
		if r.Col1 == 0 || c < r.Col1 {
			r.Col1 = c
		}
		r.Col2 = max(r.Col2, c)
	}
	return rangeRef(l.title, r)
}

// checks writes the checks, and the master check over them.
func (s *summaryPlan) check() {
	p, row := s.p, s.checks.first
	p.put(row-2, text(sumNo, look.Section, "Checks", static))
	p.put(row-1, text(sumName, look.Heading, "Check", static))
	p.put(row-1, text(sumFirst, look.Heading, "Now", static))
	p.put(row-1, text(sumFirst+1, look.Heading, "Verdict", static))
	complete := true
	list := s.orderChecks()
	list = list[:min(len(list), s.checks.count)] // a sheet made by an earlier version has less room
	for i, c := range list {
		at := part.Ref(row+i, sumFirst)
		label := text(sumName, look.Label, c.what, static)
		_, there := s.notes.cells[row+i][sumName]
		label.fresh = !there // a check that the sheet was made without
		p.put(row+i, label)
		p.put(row+i, number(sumFirst, look.Calc, "0.##", c.value, ours).as(c.formula)) // "" leaves a count of the run
		if c.weight == tells {
			continue
		}
		bad := wordLook
		if c.weight == stops {
			bad = wordIncomplete
			complete = complete && c.value == 0
			if c.value != 0 {
				s.failing = append(s.failing, fmt.Sprintf("%s (%g)", c.what, c.value))
			}
		}
		word := wordOK
		if c.value != 0 {
			word = bad
		}
		p.put(row+i, text(sumFirst+1, look.CalcText, word, ours).as(fmt.Sprintf(`IF(COUNTIF(%s,0)=1,"ok","%s")`, at, bad)))
	}
	verdicts := fmt.Sprintf("D%d:D%d", row, row+len(list)-1)
	word := wordComplete
	if !complete {
		word = wordIncomplete
	}
	s.complete = complete
	p.put(3, text(sumName, look.Master, word, ours).as(fmt.Sprintf(`IF(COUNTIF(%s,"%s")=0,"%s","%s")`, verdicts, wordIncomplete, wordComplete, wordIncomplete)))
	p.shell.Flags = append(p.shell.Flags, "B3", verdicts)
}

// head is the title and the header of the quote.
func (s *summaryPlan) head() {
	p := s.p
	p.put(1, text(sumNo, look.Title, "Summary", static))
	p.put(3, text(sumFirst, look.Note, "COMPLETE: every joint row is priced and every check below holds. An estimate is not a welding procedure.", static))
	col := sumFirst
	for _, h := range s.model.Heads {
		v := cellText(*s.headValue(h))
		p.put(1, text(col, look.Note, h.What, static)) // the values below are live
		p.put(2, text(col, look.CalcText, v, ours).as(s.names.use(headPrefix+h.Key)+`&""`))
		col++
	}
	p.put(2, text(sumName, look.CalcText, s.model.System.String()+" units", ours).as(s.names.use(nameUnits)+`&" units"`))
}

// foot is the left of the footers: what the header says of the quote.
func (b *book) foot() string {
	var parts []string
	for _, h := range b.model.Heads {
		v := cellText(*b.headValue(h))
		switch {
		case v == "" || h.Key == "currency":
		case h.Key == "shop" || h.Key == "order" || h.Key == "customer":
			parts = append(parts, v)
		default:
			parts = append(parts, h.What+" "+v)
		}
	}
	return strings.Join(parts, ", ")
}

// headValue is a field of the header as it stands on Assumptions.
func (b *book) headValue(h compute.Head) *part.Cell {
	if row := b.own.keys[headPrefix+h.Key]; row > 0 {
		return b.own.cell(row, assumeValue)
	}
	if h.Value == "" {
		return &part.Cell{}
	}
	return &part.Cell{Kind: part.Text, Text: h.Value}
}

// lineWidth is how many letters fit across the Summary in print.
const lineWidth = 150

// cautionLines are the cautions, broken so that they fit across the sheet.
func (s *summaryPlan) cautionLines() []string {
	var out []string
	for _, c := range s.model.Cautions {
		out = append(out, broken(c, lineWidth)...)
	}
	return out
}

// broken breaks a text into lines; all but the first are set in.
func broken(s string, width int) []string {
	var out []string
	line := ""
	for _, w := range strings.Fields(s) {
		if line != "" && len(line)+1+len(w) > width {
			out, line = append(out, line), "   "
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	return append(out, line)
}

// modelLine is a line of how the figures are worked out.
type modelLine struct {
	heading, unit, text string
	role                look.Role
}

// modelLines says how each figure is worked out: the formula, and below it why
// and where from.
func (s *summaryPlan) modelLines() []modelLine {
	var out []modelLine
	scopes := append(append([]*compute.Scope{s.model.Singles}, s.model.Tables...), s.model.Line)
	for _, sc := range append(append(scopes, s.model.Summary...), s.model.OrderOf) {
		for _, q := range sc.Order() {
			if q.Role != compute.Figure {
				continue
			}
			for i, t := range broken(q.Spelled(), lineWidth-20) {
				l := modelLine{text: t, role: look.Label}
				if i == 0 {
					l.heading, l.unit = q.Heading, compute.UnitLabel(q)
				}
				out = append(out, l)
			}
			why := q.Why
			if q.Source != "" {
				why = strings.TrimSpace(why + " Source: " + q.Source + ".")
			}
			if why != "" {
				for _, t := range broken(why, lineWidth-20) {
					out = append(out, modelLine{text: t, role: look.Note})
				}
			}
		}
	}
	return out
}

// words are the cautions and how each figure is worked out.
func (s *summaryPlan) words() {
	if !s.p.build {
		return
	}
	p, row := s.p, s.wordsAt
	p.put(row, text(sumNo, look.Section, "Cautions", static))
	for _, c := range s.cautionLines() {
		row++
		p.put(row, text(sumName, look.Label, c, static))
	}
	row += 2
	p.put(row, text(sumNo, look.Section, "How each figure is worked out", static))
	row++
	for i, h := range []string{"Figure", "Unit", "Worked out as"} {
		p.put(row, text(sumName+i, look.Heading, h, static))
	}
	for _, l := range s.modelLines() {
		row++
		if l.heading != "" {
			p.put(row, text(sumName, look.Label, l.heading, static))
			p.put(row, text(sumFirst, look.Label, l.unit, static))
		}
		p.put(row, text(sumFirst+1, l.role, l.text, static))
	}
}
