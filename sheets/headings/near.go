package headings

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/part/worksheet"
)

// Near is the row of a sheet that comes nearest to the headings of a joint
// list.
type Near struct {
	Row   int
	Cols  []int
	Keys  map[string]int // inputs, by their column
	Asked map[int]string // headings that are questioned, with the question
	texts map[int]string
}

// Listed is how much a row says of joints.
func (n *Near) Listed() int { return 2*len(n.Keys) + len(n.Asked) }

// MostNear is in how many rows, from the top, headings are looked for on a sheet
// that is no list.
const MostNear = 60

// Nearest finds the row of a sheet that comes nearest to a joint list's headings.
func (b Finder) Nearest(rows []worksheet.Row) (best Near) {
	for _, r := range rows[:min(MostNear, len(rows))] {
		n := Near{Row: r.Num, Keys: map[string]int{}, Asked: map[int]string{}, texts: Texts(r.Cells)}
		for col, text := range n.texts {
			m := b.Quick.Recognise(text)
			desc, known := b.Headings.Column(m.Key)
			switch {
			case m.Question != "":
				n.Asked[col] = m.Question
				n.Cols = append(n.Cols, col)
			case known && desc.Table == "lines" && n.Keys[m.Key] == 0:
				n.Keys[m.Key] = col
				n.Cols = append(n.Cols, col)
			}
		}
		slices.Sort(n.Cols)
		if n.Listed() > best.Listed() {
			best = n
		}
	}
	return best
}

// Words says what a near heading row has, and what it lacks.
func (n *Near) Words() string {
	var has []string
	for _, col := range n.Cols {
		has = append(has, fmt.Sprintf("%q", strings.Join(strings.Fields(n.texts[col]), " ")))
	}
	out := fmt.Sprintf("row %d has headings of a joint list (%s)", n.Row, strings.Join(has, ", "))
	var lacks []string
	for _, key := range [...]string{"od", "wall"} {
		if n.Keys[key] == 0 {
			lacks = append(lacks, map[string]string{"od": "OD", "wall": "Wall"}[key])
		}
	}
	if len(lacks) > 0 {
		out += ", and lacks " + strings.Join(lacks, " and ")
	}
	for _, col := range n.Cols {
		if q := n.Asked[col]; q != "" {
			out += fmt.Sprintf("; %q is questioned: %s", n.texts[col], q)
			break
		}
	}
	return out
}
