package sheets

import (
	"fmt"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/book"
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

// failing is how many checks do not hold.
func (f *bidPlan) failing() (n int) {
	for _, a := range f.holds {
		if !a.ok() {
			n++
		}
	}
	return n
}

// agree adds a check.
func (f *bidPlan) agree(a agreement) { f.holds = append(f.holds, a) }

// Columns of the checks.
const (
	checkHere = bidData + iota
	checkThere
	checkGap
	checkVerdict
)

// checkRows is how many rows n checks take, with the title, the headings and
// blank rows below: for what has to stand below checks that are still to come.
func checkRows(n int) int { return 2 + n + 2 }

// checks writes the checks that have been added, and says that none is still to
// come: their place is f.row.
func (f *bidPlan) checks(here, there string) {
	p := f.p
	f.section("Checks")
	f.headings(bidName, 2*page.StandardHeight, "Check", here, there, "Difference", "Verdict")
	f.checksAt = page.Rows{First: f.row, Count: len(f.holds)}
	for _, a := range f.holds {
		amount := func(col int, x amountAt) {
			p.Put(f.row, page.Number(col, look.Calc, a.format, x.value, page.Ours).Live(x.formula))
		}
		p.Put(f.row, page.Text(bidName, look.Label, a.what, page.Ours))
		amount(checkHere, a.here)
		amount(checkThere, a.there)
		gap := fmt.Sprintf("ROUND(%s-%s,%d)", part.Ref(f.row, checkHere), part.Ref(f.row, checkThere), a.places)
		amount(checkGap, amountAt{gap, a.gap()})
		word := compute.WordOK
		if !a.ok() {
			word = compute.WordLook
		}
		p.Put(f.row, page.Text(checkVerdict, look.CalcText, word, page.Ours).
			Live(fmt.Sprintf(`IF(COUNTIF(%s,0)=1,"%s","%s")`, part.Ref(f.row, checkGap), compute.WordOK, compute.WordLook)))
		f.row++
	}
	p.Shell.Flags = append(p.Shell.Flags, f.verdicts().String())
	f.row++
}

// verdicts is where the words of the checks stand.
func (f *bidPlan) verdicts() part.Range {
	return part.Range{Row1: f.checksAt.First, Col1: checkVerdict, Row2: max(f.checksAt.Last(), f.checksAt.First), Col2: checkVerdict}
}

// orderAmount is a figure of the order on the Summary.
func (f *bidPlan) orderAmount(key string) amountAt {
	q := f.Model.OrderOf.Quantity(key)
	return amountAt{f.s.OrderCell(key), q.Num(f.Values.Order)}
}

// single is the value of a single assumption.
func (f *bidPlan) single(key string) float64 {
	return f.Model.Singles.Quantity(key).Num(f.Values.Singles)
}

// ordered is how many cars are ordered of the spec that a joint is on.
func (f *bidPlan) ordered(line *compute.Line) float64 {
	cars, no := f.Model.Table("cars"), f.Model.Line.Quantity("car_no")
	if car := f.Values.Rows(cars).At(no.Num(&line.Frame)); car != nil {
		return cars.Quantity("ordered").Num(car)
	}
	return 0 // its number was typed over, and leads nowhere
}

// orderedCell is the same as a formula.
func (f *bidPlan) orderedCell(r *compute.Joint) string {
	return "INDEX(" + book.ColumnName(f.Names, f.Model.Table("cars"), "ordered") + "," + f.JointCell(r, f.Model.Line.Quantity("car_no")) + ")"
}

// wholeUp is the model's whole_up, for what only a sheet works out: as a formula
// and as a number.
func wholeUp(ref string) string { return "ROUNDUP(ROUND(" + ref + ",6),0)" }

func wholeUpOf(x float64) float64 { return formula.RoundUp(formula.Round(x, 6), 0) }
