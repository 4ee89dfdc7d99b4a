package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"seamtally/sheets/look"
)

// tables has tables of so many rows each, one below the other: a title, headings, rows,
// and a blank row.
func tables(sizes ...int) *Plan {
	p := &Plan{Rows: map[int]*Row{}}
	row := 1
	for _, n := range sizes {
		p.Put(row, Cell{Col: 1, Text: "t", Style: look.Style{Role: look.Section}})
		p.Put(row+1, Cell{Col: 1, Text: "h", Style: look.Style{Role: look.Heading}})
		for i := range n {
			p.Put(row+2+i, Cell{Col: 1, Num: 1, Style: look.Style{Role: look.Calc}})
		}
		row += n + 3
	}
	p.Shell.Print = look.Print{Area: "A1:B400"}
	return p
}

// A page of these plans holds 34 rows.
func TestBreaks(t *testing.T) {
	for name, c := range map[string]struct {
		p    *Plan
		want []int
	}{
		"all on one page":               {tables(10, 10), nil},
		"one that would be cut":         {tables(20, 20), []int{23}},
		"one longer than a page flows":  {tables(20, 60), []int{35, 69}},
		"its head is not left behind":   {tables(28, 60), []int{31, 65}},
		"no page nearly empty":          {tables(3, 30), []int{28}},
		"nor the last of a long table":  {tables(67), []int{35, 59}},
		"a third goes on the next page": {tables(20, 20, 20), []int{23, 46}},
	} {
		rows, ok := c.p.Breaks(11)
		assert.True(t, ok, name)
		assert.Equal(t, c.want, rows, name)
	}

	asked := tables(10, 10)
	asked.Shell.Print.Breaks = []int{14}
	rows, _ := asked.Breaks(0)
	assert.Equal(t, []int{14}, rows, "a break that the plan asks for, once")

	hidden := tables(20, 20)
	for row := 5; row < 20; row++ {
		hidden.Rows[row].Hidden = true
	}
	rows, _ = hidden.Breaks(11)
	assert.Empty(t, rows, "folded rows take no room")

	repeated := tables(20, 30)
	repeated.Shell.Print.TitleRows = "1:3"
	rows, _ = repeated.Breaks(11)
	assert.Equal(t, []int{35}, rows, "with the rows repeated it has no room on a page either")

	full := tables(60, 20, 20)
	rows, _ = full.Breaks(11)
	assert.Equal(t, []int{35, 63, 86}, rows, "a full page before one that is meant")

	sticks := tables(60)
	for _, row := range []int{22, 42} {
		sticks.Rows[row].Cells()[0].Style.Role = look.Heading
	}
	rows, _ = sticks.Breaks(11)
	assert.Equal(t, []int{22, 42}, rows, "a table with headings between its rows is cut before them")

	long := tables(10, 60)
	long.Repeat(11)
	assert.Equal(t, "15:15", long.Shell.Print.TitleRows, "the headings of the table that no page has room for")
	short := tables(10, 20)
	short.Repeat(11)
	assert.Equal(t, "1:1", short.Shell.Print.TitleRows, "what the sheet is")

	chart := tables(20)
	chart.Shell.Charts = []look.Chart{{At: "A25"}}
	rows, _ = chart.Breaks(11)
	assert.Equal(t, []int{24}, rows, "a chart is not cut")

	upright := tables(20, 20)
	upright.Shell.Print.Portrait = true
	rows, _ = upright.Breaks(11)
	assert.Empty(t, rows)
	upright.Shell.Print.OnePage = true
	_, ok := upright.Breaks(11)
	assert.False(t, ok)
}
