package assumptions

import (
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
)

// assumed is a single assumption beside what is usual.
func (b *Sheet) assumed(q *model.Quantity, at *Places) model.Assumed {
	if q.IsText() {
		return model.Assumed{Quantity: q, Words: b.ChoicesOf(q)}
	}
	low, high := b.RangeOf(q, at)
	return model.Assumed{Quantity: q, Low: low, High: high}
}

// Found tells the order what its checks ask of this sheet, which has that title.
func (b *Sheet) Found(at *Places, title string) error {
	var outside, changed, below float64
	v, roles := b.Values, &b.Model.Roles
	for _, q := range b.Model.Singles.Quantities {
		if q.Role != model.Assumption {
			continue
		}
		a := b.assumed(q, at)
		if a.In(v.Singles) == model.WordOutside {
			outside++
		}
		if a.Since(v.Singles) == model.WordChanged {
			changed++
		}
	}
	for _, t := range b.Model.Tables {
		if !t.Closed && b.below(t, at) {
			below++
		}
	}
	v.Find(roles.Outside, outside)
	v.Find(roles.Changed, changed)
	v.Find(roles.Moved, 0) // every run sets the names right
	v.Find(roles.BelowRoom, below)
	v.Find(roles.BlankPoints, float64(b.countBasisBlanks(at)))
	return b.doubts(at, title)
}

// doubts tells of cells of the tables that the order uses.
func (b *Sheet) doubts(at *Places, title string) error {
	list, err := b.Doubts()
	if err != nil {
		return err
	}
	var unsettled, odd float64
	for _, d := range list {
		rule := book.FindTable + " " + d.Table.Name + " " + d.Column.Key
		cell := b.typedAt(d, title+"!"+grid.Ref(at.Table[d.Table].First+d.Row-1, at.Table[d.Table].Cols[d.Column]))
		what := d.Table.Title + ": " + d.What
		switch {
		case d.Look:
			odd++
			b.Note(book.LevelWarning, rule, cell, what, d.Fix)
		case d.Check != nil:
			b.Fails(d.Check.Key, rule, cell, what, d.Fix)
		default:
			unsettled++
			b.Fails(book.CheckTables, rule, cell, what, d.Fix)
		}
	}
	b.Values.Find(b.Model.Roles.UnsettledTables, unsettled)
	b.Values.Find(b.Model.Roles.OddTables, odd)
	return nil
}
