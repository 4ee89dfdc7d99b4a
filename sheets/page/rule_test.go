package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/look"
)

// ruled are the columns under whose cells of a row the line of a title is drawn.
func ruled(p *Plan, row int) (cols []int) {
	for col := 1; col < 20; col++ {
		if c := p.Cell(row, col); c.Col > 0 && c.Style.Role == look.Section {
			cols = append(cols, col)
		}
	}
	return cols
}

// The line under a title is as wide as the table below it, and no wider; as its own words,
// where they are wider; it ends before what else stands in its row.
func TestTitlesAreUnderlinedAsFarAsTheirTables(t *testing.T) {
	table := func(p *Plan, row, from, to int) {
		for col := from; col <= to; col++ {
			p.Put(row, Text(col, look.Heading, "head", Ours))
			p.Put(row+1, Number(col, look.Calc, "0", 1, Ours))
		}
	}
	p := New("Ours", true)
	p.Shell.Widths = []float64{5, 10, 10, 10, 10, 10}
	p.Put(1, Text(1, look.Section, "Short", Ours))
	table(p, 2, 2, 4)
	p.Put(5, Text(1, look.Section, "Words that are wider than the table", Ours))
	table(p, 6, 1, 2)
	p.Put(9, Text(1, look.Section, "Beside", Ours))
	p.Put(9, Text(3, look.Label, "a count", Ours))
	table(p, 10, 1, 6)
	p.Put(13, Text(1, look.Section, "With a blank row", Static))
	table(p, 15, 1, 3)
	p.Put(17, Text(1, look.Section, "Right below", Ours))
	p.Put(17, Text(5, look.Section, "On the right", Ours))
	table(p, 18, 1, 2)
	table(p, 20, 5, 6)
	p.Put(20, Text(1, look.Label, "another", Ours))
	p.rule(look.New("", 0))
	assert.Equal(t, []int{1, 2, 3, 4}, ruled(p, 1))
	assert.Equal(t, []int{1, 2, 3, 4, 5}, ruled(p, 5), "35 letters, bold and larger")
	assert.Equal(t, []int{1, 2}, ruled(p, 9))
	assert.Equal(t, []int{1, 2, 3}, ruled(p, 13))
	assert.Equal(t, Static, p.Cell(13, 2).Owner, "as its title")
	assert.Equal(t, []int{1, 2, 3, 4, 5, 6}, ruled(p, 17))
	for _, row := range []int{1, 5, 9, 13, 17} {
		assert.GreaterOrEqual(t, p.Row(row).Height, 17.0, "13 points are higher than a usual row")
	}
}
