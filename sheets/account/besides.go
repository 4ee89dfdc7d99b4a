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

// Words above the joints, among them and below them may change what they are: "double
// all", "wall 0.065 throughout", "mirror", "rows below are deleted". Such words are read
// by nobody, so they are asked about. What says the same as the rows do is not.

// besideSaid is what words in a column beside the joints say that their rows do not.
type besideSaid struct {
	cell, text, what, rule, fix string
	more                        int
}

// besideJoint looks for words beside a joint that say its kind or its pieces, where the
// row says none, or another wall: "pie cut" under Remarks, "pair" under Hand.
func (ac *account) besideJoint(r *worksheet.Row) {
	for i := range r.Cells {
		c := &r.Cells[i]
		key := ac.Keys[c.Col]
		if c.Kind != worksheet.Text || ac.OurCell(c.Col) || key != "" && key != "mark" && key != "section" || len(c.Text) > sayings.Longest {
			continue
		}
		text := strings.TrimSpace(c.Text)
		if key == "" && !ac.meantSo(c.Col, key) {
			ac.keepReferring(r.Num, c.Col, text)
		}
		s := ac.beside(text, key)
		if s.what == "" || ac.meantSo(c.Col, key) || key == "" && s.rule != "pair" && ac.b.settledOwn(ac.L, book.OfAll) {
			continue
		}
		if was, has := ac.besides[c.Col]; has {
			was.more++
			continue
		}
		if ac.besides == nil {
			ac.besides = map[int]*besideSaid{}
		}
		s.cell, s.text = ac.L.Ref(r.Num, c.Col), strings.Clone(text)
		ac.besides[c.Col] = &s
	}
}

// beside is what a text beside a joint says.
func (ac *account) beside(text, key string) (s besideSaid) {
	b, words := ac.b, sayings.Words(text)
	kindAt := slices.IndexFunc(ac.Cols, func(c joints.Column) bool { return c.Q.Key == "kind" })
	taken, given := b.Model.Line.Quantity("kind").Text(&ac.Line.Frame), joints.Filled(ac.Inputs[kindAt])
	kind := b.texts.Kind(words)
	if key == "" && !joints.Filled(ac.Inputs[ac.QtyAt]) && b.texts.Has("pair", words) != "" {
		return besideSaid{what: "speaks of a pair, and the row gives no number of pieces", rule: "pair", fix: `give each row its number under "Qty per car"`}
	}
	if s := ac.contradicts(text, key); s.what != "" {
		return s
	}
	if key == "" {
		if what, fix := ac.saysOtherwise(text, words); what != "" {
			return besideSaid{what: what, rule: "number beside", fix: fix}
		}
	}
	switch {
	case kind == "" || kind == taken || !given && b.texts.KindAmong(words, taken):
	case !given:
		s = besideSaid{what: fmt.Sprintf("names the kind %s, and the row gives none: %s is taken", kind, taken), rule: "kind beside", fix: `write it under "Kind"`}
		if _, has := ac.L.Shop["kind"]; !has && key == "" {
			s.fix = `head a column "Kind" and write it there`
		}
	case key == "" && strings.EqualFold(strings.Join(slices.DeleteFunc(words, sayings.StartsNumber), " "), kind): // "pie cut 90"
		s = besideSaid{what: fmt.Sprintf("is another kind than the row gives: %s is taken", taken), rule: "kind beside", fix: fmt.Sprintf("write the one that is meant under %q", ac.L.Shop["kind"].Head)}
	}
	return s
}

// tellBesides tells of the columns with such words that are not asked about already.
func (ac *account) tellBesides() {
	for _, col := range slices.Sorted(maps.Keys(ac.besides)) {
		s, as := ac.besides[col], ac.Keys[col]
		if ac.open[col] {
			continue
		}
		if as == "" {
			as = book.OwnWord
		}
		what := fmt.Sprintf("%q beside the joint %s", s.text, s.what)
		if s.more > 0 {
			what += fmt.Sprintf(" (so do other words of the column, on %d more rows)", s.more)
		}
		ac.b.unsettled(book.CheckInputs, s.rule, s.cell, what, s.fix+"; if none is meant, say what the column is: "+book.SettleAs(ac.L.ColumnName(col), as))
	}
}

// tellSayings tells of words around the joints that say something of them.
func (ac *account) tellSayings() {
	for i := range ac.titles {
		t := &ac.titles[i]
		t.told = t.words != "" && ac.tellSaying(t, "among")
	}
	for _, a := range ac.asides {
		if slices.ContainsFunc(ac.titles, func(t titleRow) bool { return t.row == a.row && t.words != "" }) {
			continue
		}
		for i, c := range a.cells {
			if c.text != "" {
				if i+1 < len(a.cells) && a.cells[i+1].text == "" { // "No. of cars", and 8 beside it
					c.text = fmt.Sprintf("%s %g", c.text, a.cells[i+1].num)
				}
				ac.tellSaying(&titleRow{row: a.row, col: c.col, words: c.text}, map[bool]string{true: "below", false: "above"}[a.below])
			}
		}
	}
}

// tellSaying tells of one such text, and says whether there is something to tell.
func (ac *account) tellSaying(t *titleRow, where string) bool {
	what := ac.said.Otherwise(t.words)
	if what == "" && where != "above" && !t.leads && t.row > ac.firstJoint && ac.L.Shop["car"].Col == 0 && ac.namesOtherCar(t.words) {
		what = "be the name of a car"
	}
	if what == "" {
		return false
	}
	if where == "among" && t.row > ac.lastJoint {
		where = "below"
	}
	if !ac.b.settledTitle(ac.L, t) {
		ac.b.unsettled(book.CheckInputs, "words "+where, ac.L.Ref(t.row, t.col),
			fmt.Sprintf("%q stands %s the joints, and may %s; it is not read", t.words, where, what),
			"write what it says in the rows that it is about; if it says nothing of them: "+settleTitles(ac.L, []*titleRow{t}))
	}
	return true
}

// namesOtherCar reports whether words are those of a car, and not of the list's own.
func (ac *account) namesOtherCar(words string) bool {
	_, own := ac.cars[strings.ToLower(words)]
	return !own && (ac.b.Cars.Entry(words) != nil || ac.b.listedCar(words))
}
