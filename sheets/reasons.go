package sheets

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/front"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/workings"
)

// Reason is a check that keeps the order from being complete.
type Reason struct {
	Check string  // its key
	What  string  // its heading
	Count float64 // what it comes to; NaN where it shows an error
	Cell  string  // where it was first found, "Coupe!F14", or the check's own on Workings; "" before there is one
	More  int     // further cells where the same is to be done
	Found string  // what was found at Cell, "" where only the count is known
	Fix   string  // what to do
}

// Verdict is whether the order is complete, and why not.
type Verdict struct {
	Complete bool
	Reasons  []Reason
	Open     []Reason // what does not keep the order from being complete, and is to be settled before it is offered
}

// Lacks says why nothing may go out of the order as it stands, "" if it may.
func (v Verdict) Lacks() string {
	switch {
	case !v.Complete:
		return "the order is INCOMPLETE"
	case len(v.Open) > 0:
		return fmt.Sprintf("%s: %s", model.Uncapped(v.Open[0].What), formula.GeneralText(v.Open[0].Count))
	}
	return ""
}

// RefusedError is that of an order nothing goes out as it stands.
type RefusedError struct {
	In, Not, Why string   // Not is what was not done: offered
	Reasons      []Reason // why it is incomplete
}

func (e *RefusedError) Error() string {
	return fmt.Sprintf("%s: not %s: %s; mend that, or add --draft for a copy that says so", e.In, e.Not, e.Why)
}

// judged is the verdict on the order, with the cells that the run has found.
func (r *Run) judged(s *workings.Sheet) Verdict {
	v := Verdict{Complete: r.Values.Complete()}
	for _, q := range r.Values.Failing() {
		reason := Reason{Check: q.Key, What: q.Heading, Count: q.Num(r.Values.Once(q.Scope)), Fix: q.Fix}
		if row := s.CheckRow(q); row > 0 {
			reason.Cell = r.onWorkings(s, grid.Ref(row, book.SumFirst))
		}
		for i, f := range slices.Concat(r.foundBy(q), r.carsFailing(q, s)) {
			switch {
			case i == 0:
				reason.Cell, reason.Found, reason.Fix = f.Cell, f.What, f.Fix
			case f.Fix == reason.Fix:
				reason.More++
			}
		}
		v.Reasons = append(v.Reasons, reason)
	}
	for _, q := range r.Values.Named() {
		v.Open = append(v.Open, Reason{Check: q.Key, What: q.Heading, Count: q.Num(r.Values.Once(q.Scope)), Fix: q.Fix})
	}
	return v
}

// onWorkings is a cell of Workings, "" where the run makes that sheet and writes
// nothing.
func (r *Run) onWorkings(s *workings.Sheet, cell string) string {
	if r.Own.Workings == "" && (r.o.DryRun || r.ReadOnly) {
		return ""
	}
	return s.P.Title + "!" + cell
}

// foundBy are the findings that keep a check from holding: those that name it,
// and those of a check of joint rows that it counts.
func (r *Run) foundBy(q *model.Quantity) []book.Finding {
	counted := map[string]bool{}
	for _, t := range q.Reaches() {
		if t.Quantity.Scope == r.Model.Lists {
			for _, u := range t.Quantity.Reaches() {
				counted[u.Quantity.Key] = u.Quantity.Scope == r.Model.Line && u.Quantity.Role == model.Check
			}
		}
	}
	var out []book.Finding
	for _, f := range r.Findings {
		if f.Check == q.Key || counted[f.Rule] {
			out = append(out, f)
		}
	}
	return out
}

// carsFailing are the cars of Workings that a check counts.
func (r *Run) carsFailing(q *model.Quantity, s *workings.Sheet) []book.Finding {
	cars := r.Model.ClosingScope("cars")
	var what string
	var fails func(f *formula.Frame) bool
	switch q.Key {
	case book.CheckNoJoints:
		what = "has no joint"
		fails = func(f *formula.Frame) bool { return cars.Quantity("rows").Num(f) < 1 }
	case book.CheckUnpriced:
		what = "has no price that can be worked out"
		fails = func(f *formula.Frame) bool {
			x := cars.Quantity("price_car").Num(f)
			return !(x >= 0) && !formula.IsBlank(x)
		}
	default:
		return nil
	}
	var out []book.Finding
	for i, f := range r.Values.Rows(cars).Frames {
		if !fails(f) {
			continue
		}
		found := book.Finding{What: fmt.Sprintf("%s %s", s.RowName(s.Home(cars), i, f.Num[0]).Text, what), Fix: q.Fix}
		if cell, ok := s.RowCell(cars.Quantity("price_car"), i); ok {
			found.Cell = r.onWorkings(s, cell)
		}
		out = append(out, found)
	}
	return out
}

// foundAt is where the checks that do not hold, or want a look, were found so first.
func (r *Run) foundAt(s *workings.Sheet) map[string]string {
	out := map[string]string{}
	for _, q := range slices.Concat(r.Values.Failing(), r.Values.Looks()) {
		for _, f := range slices.Concat(r.foundBy(q), r.carsFailing(q, s), r.oddBy(q)) {
			if _, _, ok := page.SplitRef(f.Cell); ok {
				out[q.Key] = f.Cell
				break
			}
		}
	}
	return out
}

// oddBy are the findings that a count of what is odd, and priced, rests on.
func (r *Run) oddBy(q *model.Quantity) []book.Finding {
	var counts func(rule string) bool
	switch q.Key {
	case book.CheckOdd:
		counts = func(rule string) bool {
			row := r.Model.Line.Quantity(rule)
			return row != nil && row.Role == model.Check
		}
	case book.CheckOddTables:
		counts = func(rule string) bool { return strings.HasPrefix(rule, book.FindTable+" ") }
	default:
		return nil
	}
	var out []book.Finding
	for _, f := range r.Findings {
		if f.Level == book.LevelWarning && counts(f.Rule) {
			out = append(out, f)
		}
	}
	return out
}

// toSettle is what is to be settled, for the front page.
func (r *Run) toSettle(s *workings.Sheet) []front.Reason {
	var out []front.Reason
	add := func(list []Reason, open bool) {
		for _, x := range list {
			what, cell := x.What, x.Cell
			switch {
			case x.Found != "":
				what = x.Found
			case x.Count > 1:
				what += ": " + formula.GeneralText(x.Count)
			}
			if cell == "" {
				cell = s.P.Title + "!" + grid.Ref(s.CheckRow(r.Model.Ready.Quantity(x.Check)), book.SumFirst)
			}
			if x.More > 0 {
				what += fmt.Sprintf(", and %d more", x.More)
			}
			out = append(out, front.Reason{What: what, Cell: cell, Fix: x.Fix, Open: open})
		}
	}
	add(r.Report.Verdict.Reasons, false)
	add(r.Report.Verdict.Open, true)
	for _, q := range r.Values.Looks() {
		if !slices.ContainsFunc(r.Report.Verdict.Open, func(o Reason) bool { return o.Check == q.Key }) {
			add([]Reason{{Check: q.Key, What: q.Heading, Count: q.Num(r.Values.Once(q.Scope)), Cell: s.FoundAt[q.Key], Fix: cmp.Or(q.Fix, q.Why)}}, false)
		}
	}
	return out
}
