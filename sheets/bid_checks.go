package sheets

import (
	"fmt"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/look"
	"seamtally/sheets/part"
)

// amountAt is an amount in a cell: a formula and its value, or a value alone.
type amountAt struct {
	formula string
	value   float64
}

// agreement is a live check of a sheet for the bid: two amounts that have to be
// equal when rounded to so many places. Of values that only a run can find, one
// of them is as it was then and the other as it is now.
type agreement struct {
	what        string
	here, there amountAt
	places      int
	format      string
}

func (a agreement) gap() float64 { return formula.Round(a.here.value-a.there.value, a.places) }

func (a agreement) ok() bool { return a.gap() == 0 }

// agree adds a check.
func (f *bidPlan) agree(a agreement) { f.holds = append(f.holds, a) }

// Columns of the checks.
const (
	checkHere = bidData + iota
	checkThere
	checkGap
	checkVerdict
)

// checks writes the checks that have been added, and says that none is still to
// come: their place is f.row.
func (f *bidPlan) checks(here, there string) {
	p := f.p
	p.put(f.row, text(bidNo, look.Section, "Checks", ours))
	f.row++
	for i, h := range []string{"Check", here, there, "Difference", "Verdict"} {
		p.put(f.row, text(bidName+i, look.Heading, h, ours))
	}
	p.row(f.row).height = 2 * standardHeight
	f.row++
	f.checksAt = rowsOf{f.row, len(f.holds)}
	for _, a := range f.holds {
		amount := func(col int, x amountAt) {
			p.put(f.row, number(col, look.Calc, a.format, x.value, ours).as(x.formula))
		}
		p.put(f.row, text(bidName, look.Label, a.what, ours))
		amount(checkHere, a.here)
		amount(checkThere, a.there)
		gap := fmt.Sprintf("ROUND(%s-%s,%d)", part.Ref(f.row, checkHere), part.Ref(f.row, checkThere), a.places)
		amount(checkGap, amountAt{gap, a.gap()})
		word := wordOK
		if !a.ok() {
			word = wordLook
		}
		p.put(f.row, text(checkVerdict, look.CalcText, word, ours).
			as(fmt.Sprintf(`IF(COUNTIF(%s,0)=1,"%s","%s")`, part.Ref(f.row, checkGap), wordOK, wordLook)))
		f.row++
	}
	p.shell.Flags = append(p.shell.Flags, f.verdicts().String())
	f.row++
}

// verdicts is where the words of the checks stand.
func (f *bidPlan) verdicts() part.Range {
	return part.Range{Row1: f.checksAt.first, Col1: checkVerdict, Row2: max(f.checksAt.last(), f.checksAt.first), Col2: checkVerdict}
}

// orderAmount is a figure of the order on the Summary.
func (f *bidPlan) orderAmount(key string) amountAt {
	q := f.model.OrderOf.Quantity(key)
	return amountAt{rangeRef(f.s.p.title, oneCell(f.s.order[key], sumFirst)), q.Num(f.values.Order)}
}

// single is the value of a single assumption.
func (f *bidPlan) single(key string) float64 {
	return f.model.Singles.Quantity(key).Num(f.values.Singles)
}

// cellAt is a cell of the Summary for formulas on other sheets: the figure of
// row i of its scope, counted from 0.
func (s *summaryPlan) cellAt(q *compute.Quantity, i int) string {
	ref, ok := s.cellOf(q, i)
	if !ok {
		return ""
	}
	at, err := part.ParseRange(ref)
	if err != nil {
		return ""
	}
	return rangeRef(s.p.title, at)
}

func oneCell(row, col int) part.Range { return part.Range{Row1: row, Col1: col, Row2: row, Col2: col} }

// wholeUp is the model's whole_up, for what only a sheet works out: as a formula
// and as a number.
func wholeUp(ref string) string { return "ROUNDUP(ROUND(" + ref + ",6),0)" }

func wholeUpOf(x float64) float64 { return formula.RoundUp(formula.Round(x, 6), 0) }
