package sheets

import (
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// seal records the words that a run leaves on a sheet of ours, but for some rows;
// place names a row.
func (r *Run) seal(of string, p *page.Plan, place func(row int) string, but page.Rows) error {
	if r.ReadOnly && !r.watch.Looks() {
		return nil // nobody asks
	}
	texts := map[[2]int]string{}
	if !p.Build && (p.Whole == 0 || r.ReadOnly) { // else every run writes them anew
		var err error
		if texts, err = r.textsOn(p.Title); err != nil {
			return err
		}
	}
	r.SealWords(of, p, func(row int, _ page.Cell) string { return place(row) + " " }, func(row int, _ page.Cell) bool { return row >= but.First && row <= but.Last() },
		func(row int, c page.Cell) string { return texts[[2]int{row, c.Col}] })
	return nil
}

// textsOn are the words that stand on a sheet, by row and column, without those that
// a formula gives.
func (r *Run) textsOn(title string) (map[[2]int]string, error) {
	out := map[[2]int]string{}
	i := r.Workbook.Sheet(title)
	if i < 0 {
		return out, nil
	}
	_, err := r.ReadPart(r.Workbook.Sheets[i].PartName, func(row *worksheet.Row) error {
		for _, c := range row.Cells {
			if c.Kind == worksheet.Text && !c.HasFormula {
				out[[2]int{c.Row, c.Col}] = c.Text
			}
		}
		return nil
	})
	return out, err
}
