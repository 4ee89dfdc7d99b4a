package page

import "math"

// What is against a way to break the pages of a sheet, in pages: one page more is taken
// rather than a table cut that has room on a page, and a table cut rather than a page left
// nearly empty. The weights are this project's own choice.
const (
	asked     = -1   // a page begins here whatever it costs
	cutBlank  = 0.02 // a blank row stays at the foot
	cutEnd    = 0.5  // the last two rows of a long table alone
	cutRemark = 0.5  // a remark without what it is about
	cutWhole  = 1.1  // a table that has room on a page
	cutHead   = 10   // a title or heading without its rows, a chart
	sparse    = 2    // a page that is empty
)

// What share of a page is filled at least without being too sparse: before a page that
// the plan asks for, or the last, and before any other.
const (
	endFilled  = 0.3
	pageFilled = 0.6
)

// fold is how a sheet is broken into pages.
type fold struct {
	high   float64   // of a page
	top    []float64 // of each row, from 1 on
	cut    []float64 // what it costs to begin a page with it
	bare   []int     // the last row down to it in which anything stands
	titles float64   // what is repeated, on pages that begin
	below  int       // below this row
}

// rows are those that begin a page, so that all pages together cost least. From the last
// row up each row is told what the best pages from it on cost; of equals the fullest first
// page is taken, so that long tables run on as they would.
func (f *fold) rows(last int) (rows []int) {
	cost, next := make([]float64, last+2), make([]int, last+2)
	for row := last; row >= 1; row-- {
		cost[row] = math.Inf(1)
		for to := row + 1; to <= last+1; to++ {
			high := f.height(row, to)
			if high > f.high && to > row+1 {
				break
			}
			all := 1 + cost[to] + f.empty(high, to, last)
			if to <= last {
				all += max(f.cut[to], 0)
			}
			if all <= cost[row]+1e-9 {
				cost[row], next[row] = all, to
			}
			if to <= last && f.cut[to] == asked {
				break
			}
		}
	}
	for row := next[1]; row > 0 && row <= last; row = next[row] {
		rows = append(rows, row)
	}
	return rows
}

// height is that of the rows from one up to another without it, with what is repeated above
// them, and without blank ones at the foot.
func (f *fold) height(from, to int) float64 {
	end := max(f.bare[to-1], from-1)
	all := f.top[end+1] - f.top[from]
	if from > f.below {
		all += f.titles
	}
	return all
}

// empty is what it costs that a page is no fuller.
func (f *fold) empty(high float64, to, last int) float64 {
	least := pageFilled
	if to > last || f.cut[to] == asked {
		least = endFilled
	}
	return sparse * max(0, least-high/f.high) / least
}
