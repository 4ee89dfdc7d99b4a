package unread

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// carsSaid looks for the cars ordered on a sheet that is not read.
type carsSaid struct {
	of    *Workbook
	above map[int]string   // cells of the last row with anything in it that name a car, by column
	heads map[int]headCell // headings of the cars ordered, by column
	times map[string]int   // how often each is named in cells of its own
	what  string
	cell  string
}

// headCell is a heading and where it stands.
type headCell struct {
	text string
	row  int
}

// number tells of a heading of the cars ordered once a number stands below it, or beside it.
func (s *carsSaid) number(row int, c *worksheet.Cell) {
	if s.what != "" || s.heads[c.Col].row == 0 && s.heads[c.Col-1].row == 0 {
		return
	}
	many := c.Kind == worksheet.Number && c.Num == math.Trunc(c.Num) && c.Num >= 0 && c.Num <= sayings.MostCars && !s.of.IsDate(c.Style)
	if c.Kind == worksheet.Text {
		_, word := s.of.Measures.WholeNumber(c.Text)
		many = word || slices.ContainsFunc(entry.WordsIn(strings.ReplaceAll(c.Text, "x", " ")), sayings.IsCount)
	}
	for _, col := range [...]int{c.Col, c.Col - 1} {
		if h := s.heads[col]; many && s.what == "" && h.row > 0 && (h.row < row) == (col == c.Col) {
			s.what, s.cell = fmt.Sprintf("%q is a heading of the cars ordered", h.text), grid.Ref(h.row, col)
		}
	}
}

// ordersThings reports whether a text names a car among other words, or what is made for it
// as a whole.
func (s *carsSaid) ordersThings(text string) bool {
	if car, rest := sayings.NameIn(text, s.of.Doubtful); car != "" {
		return strings.TrimSpace(rest) != "" // the name alone is looked at beside any number
	}
	words := sayings.Words(text)
	return len(words) <= sayings.MostShort+2 && s.of.Has("made whole", words) != ""
}

// manyOf reports whether a cell is a number of things from two: 8, "8 ea".
func (s *carsSaid) manyOf(c *worksheet.Cell) bool {
	if c.Kind == worksheet.Text {
		n, ok := s.of.Measures.Pieces(c.Text, false)
		return ok && sayings.MayBeCars(n)
	}
	return c.Kind == worksheet.Number && sayings.MayBeCars(c.Num) && !s.of.IsDate(c.Style)
}

// row takes a row of the sheet in.
func (s *carsSaid) row(r *worksheet.Row) {
	say := func(col int, what string, args ...any) {
		if s.what == "" {
			s.what, s.cell = fmt.Sprintf(what, args...), grid.Ref(r.Num, col)
		}
	}
	here, blank := map[int]string{}, true
	things, at := "", 0 // words that speak of what is ordered: "Exhaust Coupe", "Exhaust systems"
	for i := range r.Cells {
		c := &r.Cells[i]
		s.number(r.Num, c)
		blank = blank && !joints.Filled(c)
		switch {
		case !joints.Filled(c):
		case c.Kind == worksheet.Number && s.above[c.Col] != "" && c.Num == math.Trunc(c.Num) && c.Num >= 0 && c.Num <= sayings.MostCars && !s.of.IsDate(c.Style):
			say(c.Col, "it names the car %q above a whole number", s.above[c.Col])
		case things != "" && s.manyOf(c):
			say(at, "%q stands beside a whole number", things)
		case c.Kind == worksheet.Text:
			text := strings.TrimSpace(c.Text)
			if things == "" && s.ordersThings(text) {
				things, at = text, c.Col
			}
			if s.of.Doubtful[strings.ToLower(text)] {
				here[c.Col] = strings.Clone(text)
				if s.times[strings.ToLower(text)]++; s.times[strings.ToLower(text)] > 1 {
					say(c.Col, "it names the car %q more than once, as does a list with a row for each car", text)
				}
			} else if car, rest := sayings.NameIn(text, s.of.Doubtful); car != "" && slices.ContainsFunc(entry.WordsIn(strings.ReplaceAll(rest, "x", " ")), sayings.IsCount) {
				say(c.Col, "%q names the car %q and a number", text, car)
			} else if s.of.SaysOrdered(strings.TrimSuffix(text, ":")) {
				s.heads[c.Col] = headCell{strings.Clone(text), r.Num}
			}
		}
	}
	if !blank { // a row in which nothing stands may be left out of the file as well
		s.above = here
	}
}
