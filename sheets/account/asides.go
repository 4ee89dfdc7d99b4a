package account

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// How many cars are ordered may stand where no reading looks: in a line above the
// joints or below them, in the title of a sheet. As long as nobody has said it where
// it is read, such a number is asked about.

// aside is a row beside the joints of a sheet, with words in it.
type aside struct {
	row   int
	below bool // above the joints else
	cells []asideCell
}

type asideCell struct {
	col  int
	text string // "" for a number
	num  float64
}

// mostAsides bounds how many such rows are kept of a list.
const mostAsides = 200

// keepAside keeps a row that is none of the joints', if it has words.
func (ac *account) keepAside(r *worksheet.Row, below bool) {
	if len(ac.asides) >= mostAsides {
		return
	}
	a, words := aside{row: r.Num, below: below}, false
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case !joints.Filled(c) || below && ac.OurCell(c.Col):
		case c.Kind == worksheet.Text:
			a.cells = append(a.cells, asideCell{col: c.Col, text: strings.TrimSpace(strings.Clone(c.Text))})
			words = true
		case c.Kind == worksheet.Number && !ac.b.IsDate(c.Style):
			a.cells = append(a.cells, asideCell{col: c.Col, num: c.Num})
		}
	}
	if words {
		ac.asides = append(ac.asides, a)
	}
}

// tellAsides tells of numbers around the joints that may be those of the cars ordered.
func (b *Ledger) tellAsides() {
	if b.Cars != nil || len(b.doubtful) == 0 {
		return
	}
	for _, ac := range b.accounts {
		l := ac.L
		doubt := slices.ContainsFunc(slices.Collect(maps.Keys(ac.cars)), func(car string) bool { return b.doubtful[car] })
		if !doubt {
			continue
		}
		what, cell := "", l.Ref(l.HeadRow, 1)
		if b.texts.CountsThings(l.Title, false) {
			what = fmt.Sprintf("the sheet's title %q has a number in it", l.Title)
		}
		for _, a := range ac.asides {
			if words, col := b.asideCars(&a); words != "" && what == "" {
				what, cell = fmt.Sprintf("%q stands %s the joints", words, map[bool]string{true: "below", false: "above"}[a.below]), l.Ref(a.row, col)
			}
		}
		if what != "" {
			b.unsettled(book.CheckCars, "number said", cell, what+", as may say how many cars are ordered, and is not read; 1 of each is taken", sayOrdered)
		}
	}
}

// sayOrdered is what to do where the number of cars is not settled.
const sayOrdered = `type how many of each car are ordered on Assumptions, under Cars, with your basis beside it, or list them on a sheet headed "Car" and "Cars ordered"`

// asideCars are the words of a row that may say how many cars are ordered, "" if
// nothing in it does.
func (b *Ledger) asideCars(a *aside) (words string, col int) {
	label, known := "", false
	for i, c := range a.cells {
		if c.text == "" {
			if label != "" && !known && sayings.MayBeCars(c.num) && !a.below {
				return fmt.Sprintf("%s %g", label, c.num), c.col
			}
			continue
		}
		if utf8.RuneCountInString(c.text) > mostConnecting || label == "" {
			label, known = c.text, b.ownLabel(c.text)
		}
		beside := slices.ContainsFunc(a.cells[i+1:], func(n asideCell) bool {
			return n.text == "" && n.num == math.Trunc(n.num) && n.num >= 0 && n.num <= sayings.MostCars
		})
		switch {
		case b.doubtful[strings.ToLower(c.text)] && beside, b.texts.SaysOrdered(strings.TrimSuffix(c.text, ":")), b.texts.CountsThings(c.text, a.below):
			return c.text, c.col
		}
	}
	return "", 0
}

// mostConnecting is the length of words that only lead from one number to the next, as
// in "page 1 of 2".
const mostConnecting = 3

// ownLabel reports whether words before a number name something that lists have, and no
// price comes of: a page, a drawing.
func (b *Ledger) ownLabel(text string) bool {
	return slices.ContainsFunc(entry.WordsIn(text), func(w string) bool { return b.Quick.Recognise(w).Own })
}
