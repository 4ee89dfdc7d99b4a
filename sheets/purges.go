package sheets

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
)

// An assumption that stands for what most joints leave open is a decision that
// nobody may have made. A run says what it does from so many joints on, if one more
// moves the price by so much. Common practice, no source.
const (
	leastOpen  = 10
	leastMoved = 0.01 // of the price
	mostKept   = 5000 // rows; a longer list is not kept for this alone
)

// tellPurges says once how many joints leave it open how often they are purged, and
// what one purge more on each would do to the price. A basis of the shop's own
// settles it.
func (r *Run) tellPurges(at *assumptions.Places, title string) error {
	m := r.Model
	purges, fills, carNo := m.Line.Quantity("purges"), m.Line.Quantity("fills"), m.Line.Quantity("car_no")
	q := m.Singles.Quantity("default_purges")
	now := q.Num(r.Values.Singles)
	row := at.Key[q.Key]
	if now != q.Value || r.Own.Assumptions != "" && !at.Arrived(row) && book.CellText(*r.Own.Cell(row, book.AssumeBasis)) != q.Source {
		return nil
	}
	cars := m.Table("cars")
	open, all := 0, 0.0
	for i := range r.Joints {
		line := r.Joints[i].Line
		if line.Given(purges) || line.Given(fills) || fills.Num(&line.Frame) == 0 {
			continue
		}
		open++
		all += fills.Num(&line.Frame) * cars.Quantity("ordered").Num(r.Values.Rows(cars).At(carNo.Num(&line.Frame)))
	}
	if open < leastOpen || 2*open <= len(r.Joints) {
		return nil
	}
	v := r.Set.Clone()
	v.Singles.Num[q.Slot] = now + 1
	if _, err := r.Again(v, nil); err != nil {
		return err
	}
	price := m.Roles.Price
	is, would := price.Num(r.Values.Order), price.Num(v.Order)
	if !(math.Abs(would-is) >= leastMoved*is) || is == 0 {
		return nil
	}
	num := formula.GeneralText
	r.Note(book.LevelNote, "purges open", title+"!"+grid.Ref(row, book.AssumeValue),
		fmt.Sprintf("%d of %d joints do not say how many purge set-ups they take; each takes %s (%s), %s fills for the whole order; with %s its price would be %s instead of %s, %s %% more",
			open, len(r.Joints), num(now), q.Key, num(formula.Round(all, 1)), num(now+1), num(would), num(is), strings.TrimSuffix(fmt.Sprintf("%.1f", 100*(would/is-1)), ".0")),
		fmt.Sprintf(`if %s is meant, write why as its basis; else give the list a column "Purges"`, num(now)))
	return nil
}
