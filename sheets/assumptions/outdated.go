package assumptions

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// remarked reports whether the shop has said something beside a single assumption,
// and so made it its own.
func (b *Sheet) remarked(at *Places, row int) bool {
	for _, col := range []int{book.AssumeNote, at.reliability, at.since} {
		if col > 0 && book.CellText(*b.Own.Cell(row, col)) != "" {
			return true
		}
	}
	return false
}

// shippedOtherwise are the single assumptions that the shop has left as the
// sheet's version shipped them, and that a model ships otherwise.
func (b *Sheet) shippedOtherwise(at *Places, m *model.Model) (out []*model.Quantity) {
	for _, q := range m.Singles.Quantities {
		row := at.Key[q.Key]
		if q.Role != model.Assumption || row == 0 || b.remarked(at, row) {
			continue
		}
		shipped := b.Own.Cell(row, book.AssumeShipped)
		other := shipped.Kind == worksheet.Number && shipped.Num == q.Num(b.Values.Singles) && shipped.Num != q.Value
		if q.IsText() {
			old := book.CellText(*shipped)
			other = old != "" && strings.EqualFold(old, q.Text(b.Values.Singles)) && !strings.EqualFold(old, q.TextValue)
		}
		if other {
			out = append(out, q)
		}
	}
	return out
}

// TellOutdated says which assumptions of the workbook stand as an earlier version
// shipped them, and how this one does. The run writes beside each what is shipped
// now, so it is said once.
func (b *Sheet) TellOutdated() error {
	at, err := b.locate()
	if err != nil {
		return err
	}
	shipped := compute.Defaults(b.Model)
	var all []string
	first := 0
	for _, q := range b.shippedOtherwise(at, b.Model) {
		all = append(all, b.FromTo(q.Key, logbook.ValueOf(q, b.Values.Singles), logbook.ValueOf(q, shipped.Singles)))
		if first == 0 {
			first = at.Key[q.Key]
		}
	}
	if len(all) > 0 {
		b.Note(book.LevelWarning, "outdated", b.Own.Assumptions+"!"+grid.Ref(first, book.AssumeValue),
			"these stand as an earlier version shipped them, which this one ships otherwise: "+strings.Join(all, ", "),
			"type the new ones, unless the old ones are the shop's own")
	}
	b.tellForgotten(at, shipped)
	return nil
}

// tellForgotten says which other work this version lists and a workbook of another
// one does not have: what is forgotten is not in the price.
func (b *Sheet) tellForgotten(at *Places, shipped *compute.Values) {
	if !b.older() {
		return
	}
	t := b.Model.Table("parts")
	item := t.Quantity("item")
	var all []string
	for _, f := range shipped.Rows(t).Frames {
		if !slices.ContainsFunc(b.Values.Rows(t).Frames, func(g *formula.Frame) bool { return item.Same(f, g) }) {
			all = append(all, item.Text(f))
		}
	}
	if len(all) > 0 {
		b.Note(book.LevelWarning, "forgotten", b.Own.Assumptions+"!"+grid.Ref(at.Table[t].First, at.Table[t].Cols[item]),
			fmt.Sprintf("the table %s lists nothing of these, which this version ships with it: %s", t.Title, strings.Join(all, ", ")),
			"type those that the order has into free lines of it")
	}
}
