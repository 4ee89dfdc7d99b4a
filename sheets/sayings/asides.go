package sayings

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"seamtally/sheets/entry"
)

// Aside is a row beside the joints of a sheet, with words in it.
type Aside struct {
	Row   int
	Below bool // above the joints else
	Cells []AsideCell
}

// AsideCell is a cell of such a row.
type AsideCell struct {
	Col  int
	Text string // "" for a number
	Num  float64
}

// AsideCars are the words of a row that may say how many cars are ordered, "" if
// nothing in it does.
func (b *Reader) AsideCars(a *Aside, doubtful map[string]bool) (words string, col int) {
	label, known := "", false
	for i, c := range a.Cells {
		if c.Text == "" {
			if label != "" && !known && MayBeCars(c.Num) && !a.Below {
				return fmt.Sprintf("%s %g", label, c.Num), c.Col
			}
			continue
		}
		if utf8.RuneCountInString(c.Text) > mostConnecting || label == "" {
			label, known = c.Text, b.ownLabel(c.Text) || b.Has("things", Words(c.Text)) != ""
		}
		beside := slices.ContainsFunc(a.Cells[i+1:], func(n AsideCell) bool {
			return n.Text == "" && n.Num == math.Trunc(n.Num) && n.Num >= 0 && n.Num <= MostCars
		})
		switch {
		case doubtful[strings.ToLower(c.Text)] && beside, b.SaysOrdered(strings.TrimSuffix(c.Text, ":")), b.CountsThings(c.Text, a.Below):
			return c.Text, c.Col
		}
	}
	return "", 0
}

// mostConnecting is the length of words that only lead from one number to the next, as
// in "page 1 of 2".
const mostConnecting = 3

// ownLabel reports whether words before a number name something that lists have, and no
// price comes of: a page, a drawing.
func (b *Reader) ownLabel(text string) bool {
	return slices.ContainsFunc(entry.WordsIn(text), func(w string) bool { return b.Quick.Recognise(w).Own })
}
