package account

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
	"seamtally/sheets/settling"
)

// titleRow is a row of words, or the headings again, among the joints.
type titleRow struct {
	settling.Words      // Text is "" for headings, Col of the first word
	counts         bool // a number is in it, as of assemblies or of cars
	apart          bool // a blank row stands before it, or the headings behind it
	leads          bool // joints come right below it
	inside         bool // joints stand above it too
	sums           bool // it gives the pieces of the rows above
	told           bool // what it says is asked about already
	pieces         int  // the column of pieces, where it gives some that are no sum of all; 0 for none
	gives          bool // they are a sum of some joints, as of a size
}

// wordsOfTitles are those of some such rows.
func wordsOfTitles(titles []*titleRow) (out []settling.Words) {
	for _, t := range titles {
		out = append(out, t.Words)
	}
	return out
}

// leadsTo has the words right above a joint lead to it: a blank row or the headings
// again may stand between.
func (ac *account) leadsTo(joint int) {
	row, heads := joint, false
	for i := len(ac.titles) - 1; i >= 0 && ac.titles[i].Row > ac.lastJoint && row-ac.titles[i].Row <= 2; i-- {
		t := &ac.titles[i]
		if t.Text != "" {
			t.leads, t.apart = true, ac.lastJoint > 0 && (t.apart || heads)
			break
		}
		row, heads = t.Row, true
	}
	if ac.lastJoint = joint; ac.firstJoint == 0 {
		ac.firstJoint = joint
	}
}

// endsAt has the words right above the headings of the next list on the sheet lead to
// its joints.
func (ac *account) endsAt(next *joints.List) {
	if n := len(ac.titles); n > 0 && next.Shop["car"].Col == 0 {
		t := &ac.titles[n-1]
		if t.Text != "" && t.Row > ac.lastJoint && next.TopRow-t.Row <= 2 {
			t.leads, t.apart = true, true
		}
	}
}

// titleOf reads a row that is no joint as words that may say what the joints below it
// are: nil if it is none.
func (ac *account) titleOf(r *worksheet.Row, why string) *titleRow {
	t := titleRow{Words: settling.Words{Row: r.Num}, apart: r.Num-ac.lastFilled > 1, inside: ac.lastJoint > 0}
	if why == joints.IsHeading {
		return &t
	}
	var words []string
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case !joints.Filled(c) || ac.OurCell(c.Col):
		case c.Kind == worksheet.Text && strings.ContainsFunc(c.Text, unicode.IsLetter):
			if words = append(words, strings.TrimSpace(strings.Clone(c.Text))); len(words) == 1 {
				t.Col = c.Col
			}
			t.counts = t.counts || slices.ContainsFunc(entry.WordsIn(strings.ReplaceAll(c.Text, "x", " ")), sayings.IsCount)
		case c.Kind != worksheet.Number || ac.b.IsDate(c.Style):
			return nil
		case ac.Keys[c.Col] == "qty" && ac.SumsUp(c.Num):
			t.sums = true
		case sayings.MayBeCars(c.Num):
			t.counts = true
			if ac.Keys[c.Col] == "qty" {
				t.pieces, t.gives = c.Col, ac.totals.GivesSome(c.Num, ac.b.orderedOfEach()...)
			}
		}
	}
	t.Text = strings.Join(words, " ")
	if words := sayings.Words(t.Text); len(words) <= sayings.MostShort {
		t.sums = t.sums || ac.b.texts.Has("sum", words) != ""
	}
	if t.Text == "" || why == joints.IsTotal {
		return nil
	}
	return &t
}

// tellTitles tells of rows of words among the joints: each may name the car of the
// joints below it, say how many there are of them, or that they are not meant.
func (ac *account) tellTitles() {
	b, l := ac.b, ac.L
	ac.tellKinds()
	var all, open []*titleRow
	var first *titleRow
	for i := range ac.titles {
		t := &ac.titles[i]
		if t.pieces > 0 && t.inside && !t.leads && !t.told && !t.sums && !(t.gives && strings.ContainsAny(t.Text, "0123456789")) {
			ac.sizeless(t.Row, t.pieces, t.Text)
		}
		if !t.leads || t.told || ac.places[strings.ToLower(t.Text)] && !b.namesCar(t.Text) || b.isPlace(t) || ac.saidAbove(t.Text) {
			continue
		}
		if !slices.ContainsFunc(all, func(o *titleRow) bool { return entry.SameWords(o.Text, t.Text) }) {
			all = append(all, t)
		}
		if b.WordsAreOwn(l.Title, t.Words) {
			continue
		}
		open = append(open, t)
		if first == nil && (t.counts || t.apart || b.isRevision(t.Text) || l.Shop["car"].Col == 0 && b.namesCar(t.Text)) {
			first = t
		}
	}
	if first == nil && len(all) >= leastTitles && len(open) > 0 && l.Shop["car"].Col == 0 {
		first = open[0]
	}
	if i := slices.IndexFunc(open, func(t *titleRow) bool { return t.inside && !t.sums && len(sayings.Words(t.Text)) <= sayings.MostShort }); first == nil && i >= 0 {
		first = open[i]
	}
	if first == nil {
		return
	}
	what := "say that they are not part of the order, or how many there are of them"
	if l.Shop["car"].Col == 0 {
		what = "be the name of a car, " + what
	}
	b.unsettled(book.CheckCars, "titles", l.Ref(first.Row, first.Col),
		fmt.Sprintf("%q stands among the joints, and may %s; all are priced alike", first.Text, what),
		`if the rows below it are another car's, head a column "Car" and write it there; if they are not meant, take them out; if there are more of them, write it in each row; else: `+settling.WordsAsOwn(l.Title, wordsOfTitles(open)...))
}

// tellKinds tells of a row of words over joints that says their kind, where the list has
// no column for it and another kind is taken.
func (ac *account) tellKinds() {
	b, l := ac.b, ac.L
	taken := b.Model.Singles.Quantity("default_kind").Text(b.Values.Singles)
	if l.Shop["kind"].Col > 0 {
		return
	}
	for _, t := range ac.titles {
		for _, w := range entry.WordsIn(t.Text) {
			kind := b.texts.KindOf(w)
			if !t.leads || kind == "" || kind == taken || b.WordsAreOwn(l.Title, t.Words) {
				continue
			}
			b.unsettled(book.CheckColumns, "kind in a title", l.Ref(t.Row, t.Col),
				fmt.Sprintf("%q stands over joints, and may say their kind; the list has no column for it, and %s is taken", t.Text, taken),
				`head a column "Kind" and write it in each row; if it says no kind: `+settling.WordsAsOwn(l.Title, t.Words))
			return
		}
	}
}

// isPlace reports whether a title only says where on the car its joints are, or of
// which kind. Joining words and units may stand beside it: "on the rear axle, mm".
func (b *Ledger) isPlace(t *titleRow) bool {
	some := false
	for _, w := range entry.WordsIn(t.Text) {
		_, _, joins := b.Words.Read("joining", w, nil)
		switch {
		case b.placeWord(w):
			some = true
		case joins != nil && !b.texts.Counted(w):
			return false
		}
	}
	return some && !t.counts
}

// placeWord reports whether a word says where joints are, or of which kind.
func (b *Ledger) placeWord(w string) bool {
	if b.texts.OneOf("place", w) != "" || b.texts.KindOf(w) != "" {
		return true
	}
	for _, w := range [...]string{w, strings.TrimSuffix(w, "s")} {
		if desc, known := b.Headings.Column(b.Quick.Recognise(w).Key); known && len(w) > 2 && desc.Table == "lines" && desc.Key != "car" {
			return true
		}
	}
	return false
}

// saidAbove reports whether words stand above the headings of a list too, as on every
// page of it.
func (ac *account) saidAbove(words string) bool {
	return slices.ContainsFunc(ac.asides, func(a sayings.Aside) bool {
		return !a.Below && slices.ContainsFunc(a.Cells, func(c sayings.AsideCell) bool { return c.Text != "" && entry.SameWords(c.Text, words) })
	})
}

// leastTitles is how many rows of words among joints may be those of cars, where
// nothing else speaks for it.
const leastTitles = 2
