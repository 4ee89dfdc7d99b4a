package page

import (
	"slices"

	"seamtally/sheets/look"
	"seamtally/sheets/part/worksheet"
)

// Words has eachWord, down the sheet, of the program's own words on it: no formula,
// and nothing for the shop to fill.
func (p *Plan) Words(eachWord func(row int, c Cell)) {
	var cells []Cell
	for _, n := range p.order() {
		cells = append(cells[:0], p.cellsOf(n)...) // eachWord may ask for others
		slices.SortStableFunc(cells, func(a, b Cell) int { return a.Col - b.Col })
		for _, c := range cells {
			if c.Kind == worksheet.Text && c.Formula == "" && c.Raw == nil && !c.Gone && c.Owner != Shop && c.Style.Role != look.InputText {
				eachWord(n, c)
			}
		}
	}
}

// Writes reports whether a cell of the plan is written over what is there.
func (p *Plan) Writes(c Cell) bool {
	return p.Build || p.Whole > 0 || c.Fresh || c.Anew || c.Owner == Ours
}
