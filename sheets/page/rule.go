package page

import "seamtally/sheets/look"

// unsetWide is a column without a width of its own, in characters.
const unsetWide = 8.43

// rule draws the line under each title as far as what stands below it goes, and no
// shorter than its words. What is planned beside a title ends its line. A row with a
// title is as high as its letters.
func (p *Plan) rule(ink *look.Book) {
	var titles []Cell
	for _, row := range p.order() {
		titles = titles[:0]
		for _, c := range p.cellsOf(row) {
			if c.Style.Role == look.Section && c.Text != "" && !c.Gone {
				titles = append(titles, c)
			}
		}
		r := p.Rows[row]
		for _, title := range titles {
			r.Height = max(r.Height, ink.RowHeight(look.Section, title.Text, 0))
			last, free := p.rightOf(row, title.Col), ink.Across(look.Section, title.Text)-p.Wide(title.Col)
			for col := title.Col + 1; col <= last || free > 0; col++ {
				if c := p.Cell(row, col); c.Col > 0 && !c.Gone {
					break
				}
				free -= p.Wide(col)
				line := Empty(col, look.Style{Role: look.Section}, title.Owner)
				line.Fresh, line.Anew = title.Fresh, title.Anew
				r.Replace(line)
			}
		}
	}
}

// rightOf is the last column of what of ours stands below a title, down to a blank row or the
// next title.
func (p *Plan) rightOf(row, col int) (last int) {
	for at := row + 1; p.Rows[at] != nil || last == 0 && p.Rows[at+1] != nil; at++ {
		if p.Rows[at] == nil {
			continue // a blank row between a title and its table
		}
		for _, c := range p.cellsOf(at) {
			if c.Text != "" && c.Style.Role == look.Section && c.Col <= col {
				return last
			}
			if c.Col >= col && !c.Gone && c.Raw == nil {
				last = max(last, c.Col)
			}
		}
	}
	return last
}

// Wide is the width of a column, in characters.
func (p *Plan) Wide(col int) float64 {
	if col <= len(p.Shell.Widths) && p.Shell.Widths[col-1] > 0 {
		return p.Shell.Widths[col-1]
	}
	return unsetWide
}
