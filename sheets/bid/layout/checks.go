package layout

import (
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// Checks leaves room for the checks of the sheet, on the next free rows, and prints to
// there.
func (f *Laid) Checks(here, there string) {
	f.Section("Checks")
	f.Heads(ColName, "Check", here, there, "Difference", "Verdict")
	f.checksAt = page.Rows{First: f.Row, Count: len(f.Bid.Checks())}
	f.Row += f.checksAt.Count + 1
	f.P.Shell.Flags = append(f.P.Shell.Flags, f.verdicts().String())
	f.PrintToHere()
}

// PrintToHere has printed what stands down to the next free row: what is below is working.
func (f *Laid) PrintToHere() {
	f.P.Shell.Print.Area = "A1:" + grid.Ref(f.Row, max(f.right, checkVerdict))
}

// Columns of the checks.
const (
	checkHere = ColData + iota
	checkThere
	checkGap
	checkVerdict
)

// verdicts is where the words of the checks stand.
func (f *Laid) verdicts() grid.Range {
	return grid.Range{Row1: f.checksAt.First, Col1: checkVerdict, Row2: max(f.checksAt.Last(), f.checksAt.First), Col2: checkVerdict}
}

// writeChecks writes the checks: the two amounts, what they are apart, and the
// verdict.
func (f *Laid) writeChecks() error {
	row := f.checksAt.First
	for _, s := range f.Bid.Scopes() {
		if s.Once() {
			f.OnceRow(s)
		}
		for i, r := range f.lines[s] {
			for _, q := range s.Quantities {
				if q.Role != model.Check {
					continue
				}
				f.P.Put(row, page.Text(ColName, look.Label, q.HeadingOn(r.Frame), page.Ours))
				for k, side := range []*model.Quantity{q.Here, q.There} {
					c, err := f.bidCell(r, side, i, checkHere+k)
					if err != nil {
						return err
					}
					f.P.Put(row, c)
				}
				gap, err := q.Formula().Print(func(_, key string) (string, error) {
					if key == q.Here.Key {
						return grid.Ref(row, checkHere), nil
					}
					return grid.Ref(row, checkThere), nil
				})
				if err != nil {
					return err
				}
				x := q.Num(r.Frame)
				f.P.Put(row, book.FigureCell(q, r.Frame, checkGap, look.Calc).Live(gap))
				f.P.Put(row, page.Text(checkVerdict, look.CalcText, q.Verdict(x), page.Ours).Live(q.VerdictFormula(grid.Ref(row, checkGap))))
				row++
			}
		}
	}
	return nil
}

// Failing is how many checks do not hold.
func (f *Laid) Failing() (n int) {
	for _, c := range f.Bid.Checks() {
		if !c.Holds() {
			n++
		}
	}
	return n
}

// Amount is an amount in a cell: a formula and its value, or a value alone.
type Amount struct {
	Formula string
	Value   float64
}

// OrderAmount is a figure of the order on Workings.
func (f *Laid) OrderAmount(key string) Amount {
	q := f.Model.OrderOf.Quantity(key)
	return Amount{f.Workings.OrderCell(key), q.Num(f.Values.Order)}
}

// Single is the value of a single assumption.
func (f *Laid) Single(key string) float64 {
	return f.Model.Singles.Quantity(key).Num(f.Values.Singles)
}
