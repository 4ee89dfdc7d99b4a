package sheets

import (
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// seal records the words that a run leaves on a sheet of ours, but for some rows;
// place names a row.
func (r *Run) seal(of string, p *page.Plan, place func(row int) string, but page.Rows) error {
	if r.ReadOnly && !r.watch.Looks() {
		return nil // nobody asks
	}
	return r.SealWords(of, p, func(row int, _ page.Cell) string { return place(row) + " " }, func(row int, _ page.Cell) bool { return row >= but.First && row <= but.Last() },
		func(last int) (func(logbook.Sealed) string, error) {
			texts := map[[2]int]string{}
			if !p.Build && (p.Whole == 0 || r.ReadOnly) { // else every run writes them anew
				var err error
				if texts, err = r.textsOn(p.Title, last); err != nil {
					return nil, err
				}
			}
			return func(s logbook.Sealed) string { return texts[[2]int{s.Row, s.Col}] }, nil
		})
}

// textsOn are the words that stand on a sheet up to a row, by row and column, without
// those that a formula gives.
func (r *Run) textsOn(title string, last int) (map[[2]int]string, error) {
	out := map[[2]int]string{}
	i := r.Workbook.Sheet(title)
	if i < 0 {
		return out, nil
	}
	_, err := r.ReadPart(r.Workbook.Sheets[i].PartName, func(row *worksheet.Row) error {
		if row.Num > last {
			return book.ErrEnough // a cut list is long
		}
		for _, c := range row.Cells {
			if c.Kind == worksheet.Text && !c.HasFormula {
				out[[2]int{c.Row, c.Col}] = c.Text
			}
		}
		return nil
	})
	return out, err
}
