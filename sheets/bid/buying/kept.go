package buying

import (
	"seamtally/compute/nest"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// keptList is what is kept of a cut list that was found: what its plans come to, and
// where it stands. How each stick is cut the sheet itself has.
type keptList struct {
	Plans []nest.Plan // without their patterns
	Rows  page.Rows
	Cells string // digest of what these hold
}

// sawLast is the last column of the cut list.
const sawLast = layout.ColData + 12

// cutFrom is a digest of all that the cut list is laid out from.
func (b *buying) cutFrom(plans []stockPlan) string {
	of := []any{b.cut(), b.Single("least_drop"), b.sawNotes()}
	for _, pl := range plans {
		of = append(of, pl.no, pl.name, pl.stick, pl.why)
		for _, piece := range pl.pieces {
			r := &b.Joints[piece.row]
			of = append(of, piece, b.pieceWords(piece), b.sides(piece), r.Mark, r.Car)
		}
	}
	return logbook.DigestOf(of...)
}

// recall takes over what the plans came to at the last run, if they were found from the
// same and the cut list stands as that run has left it. Where the sheet is only looked
// at, its rows need not be laid out again then; else how each stick is cut is read there.
func (b *buying) recall(plans []stockPlan) bool {
	var kept keptList
	i := b.Workbook.Sheet(b.P.Title)
	if b.P.Build || i < 0 || !b.Recall(logbook.KeptCutList, b.from, &kept) || len(kept.Plans) != len(plans) {
		return false
	}
	cells := page.NewDigest()
	var list *standingList
	if !b.ReadOnly {
		list = b.standingList(plans, kept.Plans)
	}
	_, err := b.ReadPart(b.Workbook.Sheets[i].PartName, func(r *worksheet.Row) error {
		if r.Num > kept.Rows.Last() {
			return book.ErrEnough
		}
		if r.Num >= kept.Rows.First {
			cells.Standing(r, sawLast)
			if list != nil {
				list.read(r)
			}
		}
		return nil
	})
	if err != nil || cells.String() != kept.Cells || list != nil && list.lost {
		return false // what cannot be read is told where all of it is read
	}
	for i := range plans {
		plans[i].plan = kept.Plans[i]
		if list != nil {
			plans[i].sticks = list.sticks[i]
		}
	}
	if list == nil {
		b.stands = kept.Rows
	}
	return true
}

// keep keeps the plans and where the cut list stands, for the next run.
func (b *buying) keep(plans []stockPlan, rows page.Rows) {
	list := keptList{Rows: rows}
	for _, pl := range plans {
		pl.plan.Patterns = nil
		list.Plans = append(list.Plans, pl.plan)
	}
	cells := page.NewDigest()
	cells.Planned(b.P, rows, sawLast)
	list.Cells = cells.String()
	b.Keep(logbook.KeptCutList, b.from, list)
}

// standing has the cells of a row of the cut list that stands as it would be laid out.
func (b *buying) standing(r *worksheet.Row) (out []page.Cell) {
	if r.Num < b.stands.First || r.Num > b.stands.Last() {
		return nil
	}
	for _, c := range r.Cells {
		switch {
		case c.Col > sawLast:
		case c.Kind == worksheet.Number:
			out = append(out, page.Number(c.Col, look.Calc, b.sawFormat(c.Col), c.Num, page.Ours))
		case c.Kind == worksheet.Text:
			out = append(out, page.Text(c.Col, look.CalcText, c.Text, page.Ours))
		}
	}
	return out
}
