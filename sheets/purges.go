package sheets

import (
	"fmt"
	"strings"

	"seamtally/compute/formula"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
)

// mostKept is how many rows are kept for telling of purges alone.
const mostKept = 5000

// tellPurges says once how many joints leave it open how often they are purged, and
// what one purge more on each would do to the price. A basis of the shop's own
// settles it.
func (r *Run) tellPurges(at *assumptions.Places, title string) error {
	q := r.Model.Singles.Quantity("default_purges")
	row := at.Key[q.Key]
	if q.Num(r.Values.Singles) != q.Value || r.Own.Assumptions != "" && !at.Arrived(row) && book.CellText(*r.Own.Cell(row, book.AssumeBasis)) != q.Source {
		return nil
	}
	p, err := r.PurgesOpen()
	if err != nil || p == nil {
		return err
	}
	num := formula.GeneralText
	r.Note(book.LevelNote, "purges open", title+"!"+grid.Ref(row, book.AssumeValue),
		fmt.Sprintf("%d of %d joints do not say how many purge set-ups they take; each takes %s (%s), %s fills for the whole order; with %s its price would be %s instead of %s, %s %% more",
			p.Joints, len(r.Joints), num(p.Now), q.Key, num(formula.Round(p.Fills, 1)), num(p.Would), num(p.Then), num(p.Is), strings.TrimSuffix(fmt.Sprintf("%.1f", 100*p.More()), ".0")),
		fmt.Sprintf(`if %s is meant, write why as its basis; else give the list a column "Purges"`, num(p.Now)))
	return nil
}
