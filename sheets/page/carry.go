package page

import (
	"maps"
	"slices"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Carried is a cell of the shop's that has no place where it was.
type Carried struct{ From, To string }

// Carry takes what the shop has typed on a sheet along, where the sheet is laid out
// anew, and takes out all that is not planned. was is what stands there, by row and
// column; isOurs says which of it is the program's. What would come to lie on a cell
// of the program's goes to the right of the sheet, from the column spare on, and is
// handed back.
func (p *Plan) Carry(was map[int]map[int]worksheet.Cell, moved grid.Moved, isOurs func(row, col int) bool, spare int) (gone []Carried) {
	last := spare - 2
	for _, cells := range was {
		for col := range cells {
			last = max(last, col)
		}
	}
	for n := range p.Rows {
		for _, c := range p.cellsOf(n) {
			last = max(last, c.Col)
		}
	}
	p.Whole = last
	for _, row := range slices.Sorted(maps.Keys(was)) {
		for _, col := range slices.Sorted(maps.Keys(was[row])) {
			cell := was[row][col]
			if cell.Kind == worksheet.Empty && !cell.HasFormula || isOurs(row, col) {
				continue
			}
			r, c, ok := moved.At(row, col)
			planned := p.Cell(r, c)
			if !ok || planned.Col > 0 && planned.Owner != Shop {
				for c = spare; p.Cell(r, c).Col > 0; {
					c++
				}
				gone = append(gone, Carried{grid.Ref(row, col), grid.Ref(r, c)})
			}
			if cell.HasFormula {
				cell.Formula, _ = moved.MoveRefs(cell.Formula, p.Title)
			}
			line := p.Row(r)
			line.Replace(Cell{Col: c, Kind: cell.Kind, Num: cell.Num, Text: cell.Text, Formula: cell.Formula, Raw: &cell})
		}
	}
	return gone
}
