package joints

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// Unread is a sheet that is neither a joint list nor the list of cars.
type Unread struct {
	Sheet workbook.Sheet
	Near  NearHeadings
}

// NearHeadings is the row of a sheet that comes nearest to the headings of a joint
// list.
type NearHeadings struct {
	Row   int
	Cols  []int
	Keys  map[string]int // inputs, by their column
	Asked map[int]string // headings that are questioned, with the question
	texts map[int]string
}

// listed is how much a row says of joints.
func (n *NearHeadings) listed() int { return 2*len(n.Keys) + len(n.Asked) }

// MostNear is in how many rows, from the top, headings are looked for on a sheet
// that is no list.
const MostNear = 60

// nearest finds the row of a sheet that comes nearest to a joint list's headings.
func (b *Lists) nearest(rows []worksheet.Row) (best NearHeadings) {
	for _, r := range rows[:min(MostNear, len(rows))] {
		n := NearHeadings{Row: r.Num, Keys: map[string]int{}, Asked: map[int]string{}, texts: textsOf(r.Cells)}
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
		if n.listed() > best.listed() {
			best = n
		}
	}
	return best
}

// Words says what a near heading row has, and what it lacks.
func (n *NearHeadings) Words() string {
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

// NearestList says which sheet comes nearest to a joint list, and what it lacks, as
// the end of a sentence.
func (b *Lists) NearestList() string {
	var best *Unread
	for i := range b.Unread {
		if u := &b.Unread[i]; u.Near.listed() > 0 && (best == nil || u.Near.listed() > best.Near.listed()) {
			best = u
		}
	}
	if best == nil {
		return ""
	}
	return fmt.Sprintf(" (nearest comes the sheet %s: %s)", best.Sheet.Name, best.Near.Words())
}
