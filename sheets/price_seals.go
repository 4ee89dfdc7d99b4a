package sheets

import (
	"slices"

	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// SealedSheet is a sheet of ours with the words that a run has for it, for an audit.
type SealedSheet struct {
	Key, Title string
	Words      []page.Words
	Open       []int // rows of groups that are not folded
}

// seal records the words that a run leaves on a sheet of ours, but for some rows.
func (r *Run) seal(key string, p *page.Plan, but page.Rows) error {
	texts := map[[2]int]string{}
	if !p.Build && p.Whole == 0 {
		var err error
		if texts, err = r.TextsOn(p.Title); err != nil {
			return err
		}
	}
	r.SealWords(key, r.SealedWords(key, p, but), func(row int, c page.Cell) string {
		if p.Writes(c) {
			return c.Text
		}
		return texts[[2]int{row, c.Col}]
	})
	r.keepWords(key, p, but)
	return nil
}

// keepWords keeps the words for an audit; no other run asks for them.
func (r *Run) keepWords(key string, p *page.Plan, but page.Rows) {
	if r.ReadOnly && r.watch.Looks() {
		var open []int
		for n, row := range p.Rows {
			if row.Fold && !row.Hidden && len(row.Cells) > 0 {
				open = append(open, n)
			}
		}
		slices.Sort(open)
		r.Sealing = append(r.Sealing, SealedSheet{key, p.Title, r.SealedWords(key, p, but), open})
	}
}

// TextsOn are the words that stand on a sheet, by row and column, without those that
// a formula gives.
func (r *Run) TextsOn(title string) (map[[2]int]string, error) {
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
