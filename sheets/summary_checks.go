package sheets

import (
	"fmt"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
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

// overLists joins a term for each list with plus signs.
func (s *summaryPlan) overLists(term func(*list) string) string {
	var parts []string
	for _, l := range s.lists {
		parts = append(parts, term(l))
	}
	return strings.Join(parts, "+")
}

// area is the block of a list's calculated cells, from below the headings.
func (l *list) area() string {
	r := part.Range{Row1: l.headRow + 1, Row2: max(l.lastRow, l.headRow+1)}
	for _, c := range l.ours {
		if r.Col1 == 0 || c < r.Col1 {
			r.Col1 = c
		}
		r.Col2 = max(r.Col2, c)
	}
	return rangeRef(l.title, r)
}

// orderChecks lists the checks. What a run has counted stands beside formulas
// that go on counting.
func (s *summaryPlan) orderChecks() []orderCheck {
	line := s.model.Line
	check, fine, finding, cost, od := line.Quantity("check"), line.Quantity("fine"), line.Quantity("finding"), line.Quantity("line_cost"), line.Quantity("od")
	all := s.model.Checks()
	firstFlag, lastRefuse := all[0], all[0]
	for _, q := range all {
		if q.Level == compute.LevelRefuse {
			lastRefuse = q
		}
	}
	refuse := func(l *list) string {
		return rangeRef(l.title, part.Range{Row1: l.headRow, Col1: l.ours[firstFlag], Row2: l.headRow, Col2: l.ours[lastRefuse]})
	}
	flags := func(l *list) string {
		return rangeRef(l.title, part.Range{Row1: l.headRow, Col1: l.ours[firstFlag], Row2: l.headRow, Col2: l.ours[fine]})
	}
	below := func(l *list, q *compute.Quantity) string { return l.below(l.ours[q]) }
	tally := s.tallyOf("cars")
	sum := func(key string) string {
		c, _ := tally.column(line.Quantity(key))
		return "SUM(" + c + ")"
	}
	a := func(col int) string {
		return rangeRef(s.assumeOn, part.Range{Row1: s.assume.firstKey, Col1: col, Row2: s.assume.lastKey, Col2: col})
	}
	n := s.count
	return []orderCheck{
		{"Joint rows read", s.overLists(func(l *list) string { return `COUNTIF(` + below(l, check) + `,"?*")` }), float64(n.read), tells},
		{"Rows priced", sum("fine"), float64(n.priced), tells},
		{"Rows left out", s.overLists(func(l *list) string {
			return "COUNTIF(" + below(l, check) + "," + quoted(leftOutText+"*") + ")"
		}), float64(n.leftOut), stops},
		{"Rows that cannot be priced as they stand now", s.overLists(func(l *list) string {
			return "COUNTIF(" + below(l, finding) + `,"<="&COLUMNS(` + refuse(l) + "))"
		}), 0, stops},
		{"Rows on a list without figures: price again", s.overLists(func(l *list) string {
			return `COUNTIFS(` + l.below(l.shop["od"].col) + `,"<>",` + below(l, check) + `,"")`
		}), float64(n.grown), stops},
		{"Figures that show an error", s.overLists(func(l *list) string { return "SUMPRODUCT(ISERROR(" + l.area() + ")*1)" }), 0, stops},
		{"Rows without a price of tube or rod", sum("price_missing"), float64(n.priceMissing), stops},
		{"Cost of the lines, less that summed by car", "ROUND(" + s.overLists(func(l *list) string { return "SUM(" + l.column(cost) + ")" }) + "-" + sum("line_cost") + ",2)", 0, stops},
		{"Cars on Assumptions without a row above", fmt.Sprintf("COUNTA(%s)-COUNT(%s)", s.names.column(s.model.Table("cars"), "name"), s.numbers()), 0, stops},
		{"Other work for a car that is not there", fmt.Sprintf("SUMPRODUCT(ISNA(%s)*1)", s.names.column(s.model.Table("parts"), "car_no")), float64(n.strayParts), stops},
		{"Lines typed below the room of a table", s.belowRoom(), 0, stops},
		{"Rows with something to look at", s.overLists(func(l *list) string {
			return fmt.Sprintf(`COUNTIFS(%[1]s,">"&COLUMNS(%[2]s),%[1]s,"<"&COLUMNS(%[3]s))`, below(l, finding), refuse(l), flags(l))
		}), float64(n.warned), looks},
		{"Numbers typed over calculated cells", s.overLists(func(l *list) string {
			return fmt.Sprintf("SUMPRODUCT(ISNUMBER(%[1]s)*(1-_xlfn.ISFORMULA(%[1]s)))", l.area())
		}), float64(n.overrides), looks},
		{"Assumptions outside their usual range", "COUNTIF(" + a(assumeInside) + `,"OUTSIDE")`, float64(n.outside), looks},
		{"Assumptions changed from those shipped", "COUNTIF(" + a(assumeChanged) + `,"changed")`, float64(n.changed), tells},
		{"Assumptions whose name points elsewhere", "COUNTIF(" + a(assumePlace) + `,"moved")`, 0, stops},
		{"Rows whose OD is not a number", s.overLists(func(l *list) string {
			return "COUNTA(" + below(l, od) + ")-COUNT(" + below(l, od) + ")"
		}), 0, stops},
	}
}

// counts is what a run has counted for the checks.
type counts struct {
	read, priced, leftOut, grown, priceMissing, warned, overrides, outside, changed, strayParts int
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
	at := s.blocks[0].at
	return absolute(at.first, sumNo) + ":" + absolute(at.last(), sumNo)
}

// belowRoom counts what stands in the line below the room of each table.
func (s *summaryPlan) belowRoom() string {
	var parts []string
	for _, t := range s.model.Tables {
		if t.Closed {
			continue
		}
		at := s.assume.table[t]
		parts = append(parts, "COUNTA("+rangeRef(s.assumeOn, part.Range{Row1: at.last() + 1, Col1: tableCol, Row2: at.last() + 1, Col2: tableCol + 1})+")")
	}
	return strings.Join(parts, "+")
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
	for i, c := range list {
		at := part.Ref(row+i, sumFirst)
		p.put(row+i, text(sumName, look.Label, c.what, static))
		p.put(row+i, number(sumFirst, look.Calc, "0.##", c.value, ours).as(c.formula))
		if c.weight == tells {
			continue
		}
		bad := wordLook
		if c.weight == stops {
			bad = wordIncomplete
			complete = complete && c.value == 0
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
		p.put(1, text(col, look.Note, h.What, static))
		p.put(2, text(col, look.CalcText, v, ours).as(s.names.use(headPrefix+h.Key)+`&""`))
		col++
	}
	p.put(2, text(sumName, look.CalcText, s.model.System.String()+" units", ours).as(s.names.use(nameUnits)+`&" units"`))
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

// modelLine is how one figure is worked out, for the foot of the Summary.
type modelLine struct{ heading, unit, formula, why string }

func (s *summaryPlan) modelLines() []modelLine {
	var out []modelLine
	for _, sc := range append(append([]*compute.Scope{s.model.Singles}, s.model.Tables...), s.model.Line) {
		for _, q := range sc.Order() {
			if q.Role == compute.Figure {
				why := q.Why
				if q.Source != "" {
					why = strings.TrimSpace(why + " Source: " + q.Source + ".")
				}
				out = append(out, modelLine{q.Heading, compute.UnitLabel(q), q.Formula().Spell(formula.SpellOptions{Name: s.model.Caller(sc)}), why})
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
	p := s.p
	lines := s.modelLines()
	row := s.foot - len(s.model.Cautions) - len(lines) - 6
	p.put(row, text(sumNo, look.Section, "Cautions", static))
	row++
	for _, c := range s.model.Cautions {
		p.put(row, text(sumName, look.Caution, c, static))
		row++
	}
	row++
	p.put(row, text(sumNo, look.Section, "How each figure is worked out", static))
	row++
	for i, h := range map[int]string{sumName: "Figure", sumFirst: "Unit", sumFirst + 1: "Worked out as", sumFirst + 8: "Why, and where from"} {
		p.put(row, text(i, look.Heading, h, static))
	}
	row++
	for _, l := range lines {
		p.put(row, text(sumName, look.Label, l.heading, static))
		p.put(row, text(sumFirst, look.Label, l.unit, static))
		p.put(row, text(sumFirst+1, look.Label, l.formula, static))
		p.put(row, text(sumFirst+8, look.Label, l.why, static))
		row++
	}
}
