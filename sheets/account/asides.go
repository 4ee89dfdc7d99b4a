package account

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// How many cars are ordered may stand where no reading looks: in a line above the
// joints or below them, in the title of a sheet. As long as nobody has said it where
// it is read, such a number is asked about.

// mostAsides bounds how many such rows are kept of a list.
const mostAsides = 200

// keepAside keeps a row that is none of the joints', if it has words.
func (ac *account) keepAside(r *worksheet.Row, below bool) {
	if len(ac.asides) >= mostAsides {
		return
	}
	a, words := sayings.Aside{Row: r.Num, Below: below}, false
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case !joints.Filled(c) || below && ac.OurCell(c.Col):
		case c.Kind == worksheet.Text:
			a.Cells = append(a.Cells, sayings.AsideCell{Col: c.Col, Text: strings.TrimSpace(strings.Clone(c.Text))})
			words = true
		case c.Kind == worksheet.Number && !ac.b.IsDate(c.Style):
			a.Cells = append(a.Cells, sayings.AsideCell{Col: c.Col, Num: c.Num})
		}
	}
	if words {
		ac.asides = append(ac.asides, a)
	}
}

// keepTotal keeps the words of a total that say more than that it is one: "Total per side".
// One of both sides has both of them above.
func (ac *account) keepTotal(r *worksheet.Row) {
	words := *r
	words.Cells = slices.DeleteFunc(slices.Clone(r.Cells), func(c worksheet.Cell) bool {
		if c.Kind != worksheet.Text {
			return true
		}
		said, t := sayings.Words(c.Text), ac.b.texts
		return t.Has("repeat", said) == "" && len(t.Numbers(c.Text)) == 0 || slices.ContainsFunc(said, func(w string) bool { return t.OneOf("pair", w) == "both" })
	})
	ac.keepAside(&words, true)
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
			if words, col := b.texts.AsideCars(&a, b.doubtful); words != "" && what == "" {
				what, cell = fmt.Sprintf("%q stands %s the joints", words, map[bool]string{true: "below", false: "above"}[a.Below]), l.Ref(a.Row, col)
			}
		}
		if what != "" {
			b.unsettled(book.CheckCars, "number said", cell, what+", as may say how many cars are ordered, and is not read; 1 of each is taken", sayOrdered)
		}
	}
}

// sayOrdered is what to do where the number of cars is not settled.
const sayOrdered = `type how many of each car are ordered on Assumptions, under Cars, with your basis beside it, or list them on a sheet headed "Car" and "Cars ordered"`
