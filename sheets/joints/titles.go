package joints

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/book"
	"seamtally/sheets/part/worksheet"
)

// titleRow is a row of words, or the headings again, among the joints.
type titleRow struct {
	row    int
	words  string // "" for headings
	counts bool   // a number is in it, as of assemblies or of cars
	apart  bool   // a blank row stands before it, or the headings behind it
	leads  bool   // joints come right below it
}

// leadsTo has the words right above a joint lead to it: a blank row or the headings
// again may stand between.
func (l *List) leadsTo(joint int) {
	row, heads := joint, false
	for i := len(l.titles) - 1; i >= 0 && l.titles[i].row > l.lastJoint && row-l.titles[i].row <= 2; i-- {
		t := &l.titles[i]
		if t.words != "" {
			t.leads, t.apart = true, l.lastJoint > 0 && (t.apart || heads)
			break
		}
		row, heads = t.row, true
	}
	l.lastJoint = joint
}

// endsAt has the words right above the headings of the next list on the sheet lead to
// its joints.
func (l *List) endsAt(next *List) {
	if n := len(l.titles); n > 0 && next.Shop["car"].Col == 0 {
		t := &l.titles[n-1]
		if t.words != "" && t.row > l.lastJoint && next.topRow-t.row <= 2 {
			t.leads, t.apart = true, true
		}
	}
}

// titleOf reads a row that is no joint as words that may say what the joints below it
// are: nil if it is none.
func (ed *Editor) titleOf(r *worksheet.Row, why string) *titleRow {
	t := titleRow{row: r.Num, apart: r.Num-ed.lastFilled > 1}
	if why == isHeading {
		return &t
	}
	var words []string
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case !Filled(c) || ed.OurCell(c.Col):
		case c.Kind == worksheet.Text && strings.ContainsFunc(c.Text, unicode.IsLetter):
			words = append(words, strings.TrimSpace(c.Text))
			t.counts = t.counts || slices.ContainsFunc(wordsIn(strings.ReplaceAll(c.Text, "x", " ")), isCount)
		case c.Kind != worksheet.Number || ed.b.IsDate(c.Style):
			return nil
		case mayBeCars(c.Num) && !(ed.keys[c.Col] == "qty" && ed.sums.are(c.Num, sizeOf{})):
			t.counts = true
		}
	}
	t.words = strings.Join(words, " ")
	if t.words == "" || why == isTotal {
		return nil
	}
	return &t
}

// sawRow notes that a row that is no joint has something of the shop's in it.
func (ed *Editor) sawRow(r *worksheet.Row) {
	if slices.ContainsFunc(r.Cells, func(c worksheet.Cell) bool { return Filled(&c) && !ed.OurCell(c.Col) }) {
		ed.lastFilled = r.Num
	}
}

// tellTitles tells of rows of words among the joints: each may name the car of the
// joints below it, say how many there are of them, or that they are not meant.
func (b *Lists) tellTitles(l *List) {
	if b.settledOwn(l, book.OfAll) {
		return
	}
	b.tellKinds(l)
	var titles []titleRow
	var first *titleRow
	for i := range l.titles {
		t := &l.titles[i]
		if !t.leads || b.isPlace(t) || slices.ContainsFunc(titles, func(o titleRow) bool { return sameWords(o.words, t.words) }) || l.saidAbove(t.words) {
			continue
		}
		titles = append(titles, *t)
		if first == nil && (t.counts || t.apart || b.isRevision(t.words) || l.Shop["car"].Col == 0 && b.namesCar(t.words)) {
			first = t
		}
	}
	if first == nil && len(titles) >= leastTitles && l.Shop["car"].Col == 0 {
		first = &titles[0]
	}
	if first == nil {
		return
	}
	what := "say that they are not part of the order, or how many there are of them"
	if l.Shop["car"].Col == 0 {
		what = "be the name of a car, " + what
	}
	b.unsettled(book.CheckCars, "titles", l.Ref(first.row, 1),
		fmt.Sprintf("%q stands among the joints, and may %s; all are priced alike", first.words, what),
		`if the rows below it are another car's, head a column "Car" and write it there; if they are not meant, take them out; if there are more of them, write it in each row; else: `+settling(l.Title+"!*", ownWord))
}

// tellKinds tells of a row of words over joints that says their kind, where the list has
// no column for it and another kind is taken.
func (b *Lists) tellKinds(l *List) {
	taken := b.Values.Singles.Text[b.Model.Singles.Quantity("default_kind").Slot]
	if l.Shop["kind"].Col > 0 {
		return
	}
	for _, t := range l.titles {
		for _, w := range wordsIn(t.words) {
			kind := b.kindOf(w)
			if !t.leads || kind == "" || kind == taken {
				continue
			}
			b.unsettled(book.CheckColumns, "kind in a title", l.Ref(t.row, 1),
				fmt.Sprintf("%q stands over joints, and may say their kind; the list has no column for it, and %s is taken", t.words, taken),
				`head a column "Kind" and write it in each row; if it says no kind: `+settling(l.Title+"!*", ownWord))
			return
		}
	}
}

// isPlace reports whether a title only says where on the car its joints are, or of
// which kind. Joining words and units may stand beside it: "on the rear axle, mm".
func (b *Lists) isPlace(t *titleRow) bool {
	some := false
	for _, w := range wordsIn(t.words) {
		_, _, joins := b.Words.Read("joining", w, nil)
		_, _, _, unit := b.looseQuantity("2 " + w)
		switch {
		case b.placeWord(w):
			some = true
		case joins != nil && !unit:
			return false
		}
	}
	return some && !t.counts
}

// placeWord reports whether a word says where joints are, or of which kind.
func (b *Lists) placeWord(w string) bool {
	for _, w := range [...]string{w, strings.TrimSuffix(w, "s")} {
		for _, list := range [...]string{"place", "kind"} {
			if _, _, err := b.Words.Read(list, w, nil); err == nil {
				return true
			}
		}
		if desc, known := b.Headings.Column(b.Quick.Recognise(w).Key); known && len(w) > 2 && desc.Table == "lines" && desc.Key != "car" {
			return true
		}
	}
	return false
}

// saidAbove reports whether words stand above the headings of a list too, as on every
// page of it.
func (l *List) saidAbove(words string) bool {
	return slices.ContainsFunc(l.asides, func(a aside) bool {
		return !a.below && slices.ContainsFunc(a.cells, func(c asideCell) bool { return c.text != "" && sameWords(c.text, words) })
	})
}

// leastTitles is how many rows of words among joints may be those of cars, where
// nothing else speaks for it.
const leastTitles = 2
