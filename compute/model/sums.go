package model

import (
	"slices"

	"seamtally/compute/formula"
)

// LineSum is a line figure that some table of the summary adds up, by the
// number that says which of its rows a line belongs to; by nil over the whole
// list.
type LineSum struct{ Figure, By *Quantity }

// NoteSum takes in a sum that a formula asks for.
func (m *Model) NoteSum(figure, by *Quantity) {
	if m.SumPlace(figure, by) < 0 {
		m.LineSums = append(m.LineSums, LineSum{figure, by})
	}
}

// SumPlace is the place of a sum among the model's LineSums, -1 if it has none.
func (m *Model) SumPlace(figure, by *Quantity) int {
	return slices.Index(m.LineSums, LineSum{figure, by})
}

// Sums lists the line figures that a table of the summary adds up.
func (m *Model) Sums(of *Scope) []*Quantity {
	var out []*Quantity
	for _, k := range m.LineSums {
		if k.By != nil && k.By.Key == of.By {
			out = append(out, k.Figure)
		}
	}
	return out
}

// Count is something that is counted on the joint lists: a column and what
// its cells are to answer to, or one of the counts that have a function.
type Count struct {
	Column    *Quantity
	Node      formula.Node     // what the cells are to answer to
	Criterion *formula.Formula // the same, checked
	What      string           // the name of the function
	src       formula.Source
}

// NoteCount takes in a count that the formula asks for, of the cells of a column
// or as a function does.
func (w *View) NoteCount(column *Quantity, criterion formula.Node, what string) {
	if w.q == nil {
		return
	}
	k := Count{Column: column, Node: criterion, What: what}
	if column != nil {
		k.src = w.q.src
	}
	if !slices.Contains(w.Model.Counts, k) {
		w.Model.Counts = append(w.Model.Counts, k)
	}
}

// checkCounts checks what cells are to answer to, which is the same for every list.
func (m *Model) checkCounts() error {
	for i := range m.Counts {
		c := &m.Counts[i]
		if c.Column == nil {
			continue
		}
		var err error
		if c.Criterion, err = formula.Check(c.Node, c.src, formula.Type{Kind: formula.KindText}, &View{Model: m, Scope: m.Lists}); err != nil {
			return err
		}
	}
	return nil
}
