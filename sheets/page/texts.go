package page

import (
	"slices"

	"seamtally/sheets/look"
	"seamtally/sheets/part/worksheet"
)

// Words is a row of a plan with the cells of it that hold words of the program's:
// no formula, and nothing for the shop to fill.
type Words struct {
	Row   int
	Cells []Cell
}

// Words lists the words of the plan, down the sheet.
func (p *Plan) Words() []Words {
	var out []Words
	for _, n := range p.order() {
		w := Words{Row: n}
		for _, c := range p.Rows[n].Cells {
			if c.Kind == worksheet.Text && c.Formula == "" && c.Raw == nil && !c.Gone && c.Owner != Shop && c.Style.Role != look.InputText {
				w.Cells = append(w.Cells, c)
			}
		}
		slices.SortStableFunc(w.Cells, func(a, b Cell) int { return a.Col - b.Col })
		if len(w.Cells) > 0 {
			out = append(out, w)
		}
	}
	return out
}

// Writes reports whether a cell of the plan is written over what is there.
func (p *Plan) Writes(c Cell) bool {
	return p.Build || p.Whole > 0 || c.Fresh || c.Anew || c.Owner == Ours
}
