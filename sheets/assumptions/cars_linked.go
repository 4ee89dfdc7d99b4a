package assumptions

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// LinkCars takes the cars ordered from the shop's own list of cars.
func (b *Sheet) LinkCars() error {
	if b.Cars == nil {
		return nil
	}
	t := b.Model.Table("cars")
	name, ordered, bid := t.Quantity("name"), t.Quantity("ordered"), t.Quantity("bid")
	for _, e := range b.Cars.Entries {
		if of, what := carFault(e); of != nil && b.Lenient {
			b.passOverCar(e, of, what)
			continue
		} else if of != nil {
			return fmt.Errorf("%s: %s", b.cellOf(of), what)
		}
		var row *formula.Frame
		at := 0
		for i, f := range b.Values.Rows(t).Frames {
			if strings.EqualFold(name.Text(f), e.Name) {
				row, at = f, i
			}
		}
		if row == nil {
			row, at = b.Values.AddRow(t), len(b.Values.Rows(t).Frames)-1
			row.Text[name.TextSlot] = e.Name
			row.Text[t.Quantity("basis").TextSlot] = "from the sheet " + b.Cars.Title
		}
		if at >= b.Loaded[t] || b.IsLinked(t, at, ordered) {
			row.Num[ordered.Slot] = e.Ordered.Num
		}
		if e.Bid != nil && (at >= b.Loaded[t] || b.IsLinked(t, at, bid) || b.isBlank(t, at, bid)) {
			row.Num[bid.Slot] = e.Bid.Num
		}
		b.tellOther(t, at, ordered, row, e.Ordered)
		b.tellOther(t, at, bid, row, e.Bid)
	}
	return nil
}

// carFault says what is wrong with a number on the shop's own list of cars.
func carFault(e joints.CarEntry) (of *joints.CarCell, what string) {
	switch {
	case !book.IsCount(e.Ordered.Num):
		return e.Ordered, fmt.Sprintf("the cars ordered of %q are %s; type a whole number, 1 or more", e.Name, formula.GeneralText(e.Ordered.Num))
	case e.Bid != nil && e.Bid.Num < 0:
		return e.Bid, fmt.Sprintf("the bid for %q is below 0; type 0 or more", e.Name)
	}
	return nil, ""
}

// cellOf is where a cell of the shop's own list of cars stands.
func (b *Sheet) cellOf(c *joints.CarCell) string {
	return b.Cars.Title + "!" + strings.ReplaceAll(c.Ref, "$", "")
}

// passOverCar notes a number of the shop's own list of cars that no order can be worked
// out with, of a run that comes to its end all the same: the car's line stays as it was.
func (b *Sheet) passOverCar(e joints.CarEntry, of *joints.CarCell, what string) {
	t, cell := b.Model.Table("cars"), b.cellOf(of)
	b.Note(book.LevelError, book.FindUnreadable, cell, what, "")
	if slices.ContainsFunc(b.Unusable, func(u Unusable) bool { return u.Cell == cell }) {
		return // it was read from the cell of Assumptions that follows it
	}
	q := t.Quantity("ordered")
	if of == e.Bid {
		q = t.Quantity("bid")
	}
	for i, f := range b.Values.Rows(t).Frames {
		if _, r, ok := page.SplitRef(b.Names.Find(t.Prefix + "_" + q.Key)); ok && strings.EqualFold(t.Quantity("name").Text(f), e.Name) && (i >= b.Loaded[t] || b.IsLinked(t, i, q)) {
			b.Unusable = append(b.Unusable, Unusable{Cell: cell, Num: of.Num, Quantity: q, Line: i, Row: r.Row1 + i})
		}
	}
}

// IsLinked reports whether a cell of a table's line is a formula.
func (b *Sheet) IsLinked(t *model.Scope, i int, q *model.Quantity) bool {
	_, r, ok := page.SplitRef(b.Names.Find(t.Prefix + "_" + q.Key))
	return ok && b.Own.Cell(r.Row1+i, r.Col1).HasFormula
}

// carsCell is the cell of the shop's own list of cars that a formula is a plain
// reference to, nil if it is none.
func (b *Sheet) carsCell(c *worksheet.Cell) *joints.CarCell {
	title, at, ok := page.SplitRef(c.Formula)
	if !ok || b.Cars == nil || !strings.EqualFold(title, b.Cars.Title) {
		return nil
	}
	for i := range b.Cars.Entries {
		for _, of := range []*joints.CarCell{b.Cars.Entries[i].Ordered, b.Cars.Entries[i].Bid} {
			if of != nil && strings.EqualFold(strings.ReplaceAll(of.Ref, "$", ""), grid.Ref(at.Row1, at.Col1)) && at.Row1 == at.Row2 && at.Col1 == at.Col2 {
				return of
			}
		}
	}
	return nil
}

// typedAt is where what is doubtful is to be corrected: on the shop's own list of cars,
// where the line follows that; else in the cell itself.
func (b *Sheet) typedAt(d compute.Doubt, cell string) string {
	if b.Cars == nil || d.Table.Name != "cars" {
		return cell
	}
	at := d.Row - 1
	e := b.Cars.Entry(d.Table.Quantity("name").Text(b.Values.Rows(d.Table).Frames[at]))
	if e == nil || at < b.Loaded[d.Table] && !b.IsLinked(d.Table, at, d.Column) && !b.isBlank(d.Table, at, d.Column) {
		return cell
	}
	of := map[string]*joints.CarCell{"ordered": e.Ordered, "bid": e.Bid}[d.Column.Key]
	if of == nil {
		return cell
	}
	return b.cellOf(of)
}

// isBlank reports whether nothing stands in a cell of a table's line.
func (b *Sheet) isBlank(t *model.Scope, i int, q *model.Quantity) bool {
	_, r, ok := page.SplitRef(b.Names.Find(t.Prefix + "_" + q.Key))
	return ok && b.Own.Cell(r.Row1+i, r.Col1).Kind == worksheet.Empty
}

// tellOther tells of a number of a car that was typed on Assumptions, and that the shop's
// own list of cars says otherwise.
func (b *Sheet) tellOther(t *model.Scope, i int, q *model.Quantity, row *formula.Frame, e *joints.CarCell) {
	if e == nil || i >= b.Loaded[t] || b.IsLinked(t, i, q) || row.Num[q.Slot] == e.Num {
		return
	}
	_, r, _ := page.SplitRef(b.Names.Find(t.Prefix + "_" + q.Key))
	b.Note(book.LevelWarning, "car otherwise "+q.Key, b.Own.Assumptions+"!"+grid.Ref(r.Row1+i, r.Col1),
		fmt.Sprintf("%s of %q is %s here and %s at %s!%s; what stands here is taken", model.Uncapped(q.Heading), t.Quantity("name").Text(row),
			formula.GeneralText(row.Num[q.Slot]), formula.GeneralText(e.Num), b.Cars.Title, strings.ReplaceAll(e.Ref, "$", "")),
		"clear the cell here and price again, which takes the list's; or correct the list")
}
