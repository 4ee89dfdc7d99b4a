package compute

import (
	"seamtally/compute/formula"
	"seamtally/compute/functions"
)

// Shown is a row of a joint list as its sheet shows it after the run, for what
// is counted there. Frame has its calculated cells; of a row without figures,
// the words of the check cell alone.
type Shown struct {
	Frame      *formula.Frame
	Typed      int  // cells that hold what somebody typed over them, or words
	Errors     int  // cells that show an error
	Unread     bool // the OD as read is something, and no number
	Unanswered bool // the shop's OD is a number over 0 or a text, and the check cell says nothing
}

// countOf are the functions that count cells of any column.
func countsOfCells() map[string]func(Shown) int {
	one := func(b bool) int {
		if b {
			return 1
		}
		return 0
	}
	return map[string]func(Shown) int{
		"typed_over":      func(s Shown) int { return s.Typed },
		"errors_shown":    func(s Shown) int { return s.Errors },
		"sizes_unread":    func(s Shown) int { return one(s.Unread) },
		"rows_unanswered": func(s Shown) int { return one(s.Unanswered) },
	}
}

// counter counts one thing on the rows of joint lists.
type counter func(Shown) int

// Show counts a row of the list of that number. Every row is shown that has
// anything in a calculated cell, or an OD.
func (e *Engine) Show(s Shown, list int) {
	of := e.Values.countsOf(list)
	for i, c := range e.counters {
		of[i] += float64(c(s))
	}
}

func (v *Values) countsOf(list int) []float64 {
	for len(v.counts) <= list {
		v.counts = append(v.counts, make([]float64, len(v.Model.Counts)))
	}
	return v.counts[list]
}

// compileCounts makes ready to count. What cells are to answer to is the same
// for every row.
func (e *Engine) compileCounts() error {
	cells := countsOfCells()
	for _, k := range e.Model.Counts {
		if k.Column == nil {
			e.counters = append(e.counters, cells[k.What])
			continue
		}
		code, err := e.compile(e.Model.Lists, k.Criterion)
		if err != nil {
			return err
		}
		answers, q := functions.NewCriterion(code.Text(e.Model.Lists.NewFrame())), k.Column
		e.counters = append(e.counters, func(s Shown) int {
			if answers.Met(q, s.Frame) {
				return 1
			}
			return 0
		})
	}
	return nil
}

// Counted is what was counted on a list, at that place of the model's counts.
func (v *Values) Counted(list, place int) float64 {
	if list < len(v.counts) {
		return v.counts[list][place]
	}
	return 0
}
