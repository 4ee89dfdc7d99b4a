package account

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
	"seamtally/sheets/settling"
)

// Words above the joints, among them and below them may change what they are: "double
// all", "wall 0.065 throughout", "mirror", "rows below are deleted". Such words are read
// by nobody, so they are asked about. What says the same as the rows do is not.

// besideSaid is what words in a column beside the joints say that their rows do not.
type besideSaid struct {
	sayings.Beside
	cell, text string
	more       int
}

// besideJoint looks for words beside a joint that say its kind or its pieces, where the
// row says none, or another wall: "pie cut" under Remarks, "pair" under Hand.
func (ac *account) besideJoint(r *worksheet.Row) {
	for i := range r.Cells {
		ac.besideCell(r, &r.Cells[i])
	}
	for col, m := range ac.over {
		if r.Num > m.row && r.Num <= m.last {
			ac.besideCell(r, &worksheet.Cell{Col: col, Kind: worksheet.Text, Text: m.text})
		}
	}
}

// mergedWords are words in cells that are merged over several rows: they stand in the first
// of them, and are said of all.
type mergedWords struct {
	row, last int
	text      string
}

// mergedDown are the cells of a sheet that are merged over several rows: the last of these, by
// the first and its column.
func mergedDown(l *joints.List) map[[2]int]int {
	out := map[[2]int]int{}
	for _, ref := range l.Info.MergedCells {
		if r, err := grid.ParseRange(ref); err == nil && r.Row2 > r.Row1 {
			out[[2]int{r.Row1, r.Col1}] = r.Row2
		}
	}
	return out
}

// besideCell looks at one such cell.
func (ac *account) besideCell(r *worksheet.Row, c *worksheet.Cell) {
	key := ac.Keys[c.Col]
	if c.Kind != worksheet.Text || ac.OurCell(c.Col) || key != "" && key != "mark" && key != "section" || len(c.Text) > sayings.Longest {
		return
	}
	text := strings.TrimSpace(c.Text)
	if last := ac.merged[[2]int{r.Num, c.Col}]; last > 0 {
		ac.over[c.Col] = mergedWords{r.Num, last, strings.Clone(text)}
	}
	if key == "" && !ac.meantSo(c.Col, key) {
		ac.keepReferring(r.Num, c.Col, text)
	}
	s := besideSaid{Beside: ac.said.Beside(ac.Editor, text, key)}
	if s.What == "" || key != "" && ac.meantSo(c.Col, key) || key == "" && ac.settledWith(c.Col, text) || key == "" && s.Rule != sayings.RulePair && ac.b.settledOwn(ac.L, book.OfAll) {
		return
	}
	if was, has := ac.besides[c.Col]; has {
		was.more++
		return
	}
	if ac.besides == nil {
		ac.besides = map[int]*besideSaid{}
	}
	s.cell, s.text = ac.L.Ref(r.Num, c.Col), strings.Clone(text)
	ac.besides[c.Col] = &s
}

// settledWith reports whether the shop has settled a column of its own, and with it these
// words.
func (ac *account) settledWith(col int, text string) bool {
	of := joints.Settled(&ac.b.Own, ac.L, col)
	return book.IsOwn(of.SettledAs) && ac.b.InColumn(ac.L.Title, ac.L.HeadRow, col, of, text)
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
		what := fmt.Sprintf("%q beside the joint %s", s.text, s.What)
		if s.more > 0 {
			what += fmt.Sprintf(" (so do other words of the column, on %d more rows)", s.more)
		}
		ac.b.unsettled(book.CheckInputs, s.Rule, s.cell, what, s.Fix+"; if none is meant, say what the column is: "+book.SettleAs(ac.L.ColumnName(col), as))
	}
}

// tellSayings tells of words around the joints that say something of them.
func (ac *account) tellSayings() {
	for i := range ac.titles {
		t := &ac.titles[i]
		t.told = t.Text != "" && ac.tellSaying(t, "among")
	}
	for _, a := range ac.asides {
		if slices.ContainsFunc(ac.titles, func(t titleRow) bool { return t.Row == a.Row && t.Text != "" }) {
			continue
		}
		for i, c := range a.Cells {
			if c.Text == "" {
				continue
			}
			t, where := &titleRow{Words: settling.Words{Row: a.Row, Col: c.Col, Text: c.Text}}, map[bool]string{true: "below", false: "above"}[a.Below]
			switch {
			case i+1 == len(a.Cells):
			case a.Cells[i+1].Text == "": // "No. of cars", and 8 beside it
				t.Text = fmt.Sprintf("%s %g", c.Text, a.Cells[i+1].Num)
			default: // "Shielding", and "on rolls" beside it
				if says := ac.said.Labelled(c.Text, a.Cells[i+1].Text); says != "" {
					t.Text += ": " + a.Cells[i+1].Text
					ac.tellSaid(t, where, says)
					continue
				}
			}
			ac.tellSaying(t, where)
		}
	}
}

// tellSaying tells of one such text, also read in other ways, and says whether there is
// something to tell.
func (ac *account) tellSaying(t *titleRow, where string, ways ...string) bool {
	what := ac.said.Otherwise(t.Text)
	for _, text := range ways {
		if what == "" {
			what = ac.said.Otherwise(text)
		}
	}
	if what == "" && (where == "among" || where == "below") && !t.leads && t.Row > ac.firstJoint && ac.L.Shop["car"].Col == 0 && ac.namesOtherCar(t.Text) {
		what = "be the name of a car"
	}
	if what == "" && where == "among" && t.leads && ac.b.texts.EndsList(t.Text) {
		what = "say that the list ends there"
	}
	return ac.tellSaid(t, where, what)
}

// tellSaid tells of such a text what it may say, if anything.
func (ac *account) tellSaid(t *titleRow, where, what string) bool {
	if what == "" {
		return false
	}
	if where == "among" && t.Row > ac.lastJoint {
		where = "below"
	}
	if !ac.b.WordsAreOwn(ac.L.Title, t.Words) {
		ac.b.unsettled(book.CheckInputs, "words "+where, ac.L.Ref(t.Row, t.Col),
			fmt.Sprintf("%q stands %s the joints, and may %s; it is not read", t.Text, where, what),
			"write what it says in the rows that it is about, or on Assumptions; if it says nothing of them: "+settling.WordsAsOwn(ac.L.Title, t.Words))
	}
	return true
}

// namesOtherCar reports whether words are those of a car, and not of the list's own.
func (ac *account) namesOtherCar(words string) bool {
	_, own := ac.cars[strings.ToLower(words)]
	return !own && (ac.b.Cars.Entry(words) != nil || ac.b.listedCar(words))
}
