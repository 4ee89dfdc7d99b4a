package page

// Rows is where a block of rows stands on Workings.
type Rows struct{ First, Count int }

func (r Rows) Last() int { return r.First + r.Count - 1 }

// Column is a column of these rows, one at the least, as formulas of the sheet
// have it.
func (r Rows) Column(col int) string {
	return Absolute(r.First, col) + ":" + Absolute(max(r.Last(), r.First), col)
}
