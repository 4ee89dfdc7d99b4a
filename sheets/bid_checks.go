package sheets

import (
	"fmt"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
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

// checkRows is how many rows n checks take, with the title, the headings and
// blank rows below: for what has to stand below checks that are still to come.
func checkRows(n int) int { return 2 + n + 2 }

// writeAgreements writes the checks that have been added.
func (f *bidPlan) writeAgreements(row int) {
	p := f.p
	for _, a := range f.holds {
		amount := func(col int, x amountAt) {
			p.Put(row, page.Number(col, look.Calc, a.format, x.value, page.Ours).Live(x.formula))
		}
		p.Put(row, page.Text(bidName, look.Label, a.what, page.Ours))
		amount(checkHere, a.here)
		amount(checkThere, a.there)
		gap := fmt.Sprintf("ROUND(%s-%s,%d)", part.Ref(row, checkHere), part.Ref(row, checkThere), a.places)
		amount(checkGap, amountAt{gap, a.gap()})
		word := compute.WordOK
		if !a.ok() {
			word = compute.WordLook
		}
		p.Put(row, page.Text(checkVerdict, look.CalcText, word, page.Ours).
			Live(fmt.Sprintf(`IF(COUNTIF(%s,0)=1,"%s","%s")`, part.Ref(row, checkGap), compute.WordOK, compute.WordLook)))
		row++
	}
}

// orderAmount is a figure of the order on the Summary.
func (f *bidPlan) orderAmount(key string) amountAt {
	q := f.model.OrderOf.Quantity(key)
	return amountAt{f.s.orderCell(key), q.Num(f.values.Order)}
}

// single is the value of a single assumption.
func (f *bidPlan) single(key string) float64 {
	return f.model.Singles.Quantity(key).Num(f.values.Singles)
}

// orderCell is the cell of a figure of the order, for formulas on other sheets.
func (s *summaryPlan) orderCell(key string) string {
	return page.RangeRef(s.p.Title, oneCell(s.order[key], sumFirst))
}

// ordered is how many cars are ordered of the spec that a joint is on.
func (f *bidPlan) ordered(line *compute.Line) float64 {
	cars, no := f.model.Table("cars"), f.model.Line.Quantity("car_no")
	if car := f.values.Rows(cars).At(no.Num(&line.Frame)); car != nil {
		return cars.Quantity("ordered").Num(car)
	}
	return 0 // its number was typed over, and leads nowhere
}

// orderedCell is the same as a formula.
func (f *bidPlan) orderedCell(r *takenRow) string {
	return "INDEX(" + columnName(f.names, f.model.Table("cars"), "ordered") + "," + r.cell(f.model.Line.Quantity("car_no")) + ")"
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
	return page.RangeRef(s.p.Title, at)
}

func oneCell(row, col int) part.Range { return part.Range{Row1: row, Col1: col, Row2: row, Col2: col} }

// wholeUp is the model's whole_up, for what only a sheet works out: as a formula
// and as a number.
func wholeUp(ref string) string { return "ROUNDUP(ROUND(" + ref + ",6),0)" }

func wholeUpOf(x float64) float64 { return formula.RoundUp(formula.Round(x, 6), 0) }

// ratio is a quotient that is 0 over 0.
func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}
