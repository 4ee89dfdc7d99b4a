package explain

import (
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
)

// position is where the cell of a place stands; ok is false where it has none.
func (w *explainer) position(p place) (sheet string, row, col int, ok bool) {
	switch s := p.q.Scope; {
	case s == w.Model.Line:
		return w.to.row.Sheet, w.to.row.Row, w.All[w.to.row.List].Ours[p.q], true
	case s == w.Model.Singles:
		row := w.at.Key[p.q.Key]
		return w.Made.Assumptions, row, book.AssumeUsed, row > 0
	case s == w.Model.OrderOf:
		row := w.summary.OrderRows[p.q.Key]
		return w.Made.Workings, row, book.SumFirst, row > 0
	case s.Of != nil:
		ref, ok := w.summary.RowCell(p.q, p.no)
		if !ok {
			return "", 0, 0, false
		}
		r, err := grid.ParseRange(ref)
		return w.Made.Workings, r.Row1, r.Col1, err == nil
	default:
		at := w.at.Table[s]
		return w.Made.Assumptions, at.First + p.no - 1, at.Cols[p.q], at.Cols[p.q] > 0
	}
}

func (w *explainer) cellOf(p place) string {
	sheet, row, col, ok := w.position(p)
	if !ok {
		return ""
	}
	return sheet + "!" + grid.Ref(row, col)
}

// carGroups are the groups of a car's figures in the order of their working.
func carGroups() []string { return []string{"work", "gas", "hours", "money", "price", "results"} }

// orderGroups are those of the order.
func orderGroups() []string { return []string{"once", "hours_go", "money_goes", "buying", "results"} }

// groupTitles are the groups, what is explained first and what the estimator
// has set last.
func (w *explainer) groupTitles() []*Group {
	var out []*Group
	add := func(title string) { out = append(out, &Group{Title: title}) }
	for _, g := range w.Model.Line.Groups {
		add(g.Title)
	}
	for _, g := range carGroups() {
		add(w.blockTitle("cars." + g))
	}
	for _, g := range orderGroups() {
		add(w.blockTitle(g))
	}
	add(w.Model.Singles.Title)
	for _, t := range w.Model.Tables {
		add(t.Title)
	}
	return out
}

func (w *explainer) blockTitle(key string) string {
	for _, b := range w.summary.Blocks {
		if b.Key == key {
			return b.Title
		}
	}
	for _, b := range w.summary.Singles {
		if b.Key == key {
			return b.Title
		}
	}
	return key
}

func (w *explainer) groupOf(p place) *Group {
	title := p.q.Scope.Title
	switch s := p.q.Scope; {
	case s == w.Model.Line:
		for _, g := range s.Groups {
			if g.Key == p.q.Group {
				title = g.Title
			}
		}
	case s == w.Model.OrderOf:
		title = w.blockTitle(p.q.Group)
	case s.Name == "cars" && s.Of != nil:
		title = w.blockTitle("cars." + p.q.Group)
	}
	for _, g := range w.groups {
		if g.Title == title {
			return g
		}
	}
	g := &Group{Title: title}
	w.groups = append(w.groups, g)
	return g
}

// grouped are the groups that have something in them.
func (w *explainer) grouped() []Group {
	out := []Group{}
	for _, g := range w.groups {
		if len(g.Figures) > 0 {
			out = append(out, *g)
		}
	}
	return out
}
