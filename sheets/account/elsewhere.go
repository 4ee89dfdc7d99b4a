package account

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// What is said of joints may stand on a sheet of its own: their marks beside numbers of
// pieces, or sizes in words. A column beside marks that were read is taken as one beside
// the joints themselves would be.

// elsewhere is what a sheet that is not read says of joints, or of others.
type elsewhere struct {
	b     *Ledger
	title string
	marks map[string]*account // of the joints that were read, in small letters
	likes map[string]*account // the same without their numbers: "j" for J1 and J2
	col   int                 // the column that has such marks, 0 as long as none was found
	named bool                // its heading says that they are marks
	of    *account            // the list of the first of them
	found map[string]bool
	first int // its first row
	heads map[int]string
	cols  map[int]*beside
	tubes int // cells with a size in words
	tube  string
	loud  bool // one of them beside a number, or among words that say more
	extra string
	at    string

	times, timesAt string // a place of the list's joints, and beside it so many
}

// beside is a column beside marks.
type beside struct {
	stray
	head   string
	differ bool // of pieces: from those that were read
	said   string
}

// marksRead are the marks of all joints, with the list of each, and what they begin with.
// A bare number is no mark that tells anything.
func (b *Ledger) marksRead() (marks, likes map[string]*account) {
	marks, likes = map[string]*account{}, map[string]*account{}
	for _, ac := range b.accounts {
		for key := range ac.seen {
			mark, _, _ := strings.Cut(strings.ToLower(key), "\x00")
			if !strings.ContainsFunc(mark, unicode.IsLetter) {
				continue
			}
			if marks[mark] = ac; withoutNumber(mark) != "" {
				likes[withoutNumber(mark)] = ac
			}
		}
	}
	return marks, likes
}

// row takes a row of the sheet in.
func (e *elsewhere) row(r *worksheet.Row) {
	e.words(r)
	e.placed(r)
	mark := ""
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind != worksheet.Text || e.col > 0 && c.Col != e.col || len(c.Text) > sayings.Longest {
			continue
		}
		named := e.col > 0 && e.named || e.b.texts.InputOf(e.heads[c.Col]) == "mark"
		if found := e.marksIn(c.Text, named); len(found) > 0 {
			if mark = found[0]; e.col == 0 {
				e.col, e.of, e.first, e.named = c.Col, e.listOf(mark, named), r.Num, named
			}
			for _, each := range found {
				e.found[each] = true
			}
			break
		}
	}
	if mark == "" {
		if e.col == 0 && !slices.ContainsFunc(r.Cells, func(c worksheet.Cell) bool { return c.Kind == worksheet.Number }) {
			e.heads = map[int]string{}
			for i := range r.Cells {
				if c := &r.Cells[i]; c.Kind == worksheet.Text {
					e.heads[c.Col] = strings.Clone(c.Text)
				}
			}
		}
		return
	}
	for i := range r.Cells {
		if c := &r.Cells[i]; c.Col != e.col && joints.Filled(c) && c.Kind != worksheet.Error {
			e.beside(mark, r, c)
		}
	}
}

// listOf is the list of a joint with such a mark, nil for none; under a heading of marks,
// also of one that begins so.
func (e *elsewhere) listOf(mark string, named bool) *account {
	if of := e.marks[mark]; of != nil || !named {
		return of
	}
	return e.likes[withoutNumber(mark)]
}

// marksIn are the marks that a cell gives, in small letters: its whole text, or each of
// "J1, J2".
func (e *elsewhere) marksIn(text string, named bool) (found []string) {
	text = strings.ToLower(strings.TrimSpace(text))
	if e.listOf(text, named) != nil {
		return []string{text}
	}
	for _, each := range sayings.SeveralNames(text) {
		if e.listOf(each, named) != nil {
			found = append(found, each)
		}
	}
	return found
}

// withoutNumber is what a mark begins with, as those of its list do; "" for a text that has
// no number at its end, and is no mark.
func withoutNumber(mark string) string {
	begins := strings.TrimRight(mark, "0123456789")
	if begins == mark {
		return ""
	}
	return begins
}

// placed looks for a place of joints beside a whole number, which may be how often a car has
// what is there: "Front pipe" and 2 under "Per car".
func (e *elsewhere) placed(r *worksheet.Row) {
	is := ""
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case e.times != "":
			return
		case c.Kind == worksheet.Text && e.b.hasPlace(c.Text):
			is = strings.TrimSpace(c.Text)
		case is != "" && c.Kind == worksheet.Number && sayings.MayBeCars(c.Num) && !e.b.IsDate(c.Style) && !e.b.Quick.Recognise(e.heads[c.Col]).Own:
			e.times, e.timesAt = fmt.Sprintf("it has %q beside %v, as may say how often a car has the joints there", is, c.Num), grid.Ref(r.Num, c.Col)
		}
	}
}

// hasPlace reports whether joints of a list have a text as their place.
func (b *Ledger) hasPlace(text string) bool {
	return slices.ContainsFunc(b.accounts, func(ac *account) bool { return ac.places[strings.ToLower(strings.TrimSpace(text))] })
}

// beside takes a cell beside a mark into the account of its column.
func (e *elsewhere) beside(mark string, r *worksheet.Row, c *worksheet.Cell) {
	col := e.cols[c.Col]
	if col == nil {
		col = &beside{head: e.heads[c.Col]}
		col.stray = stray{whole: true, sequence: true, texts: map[string]int{}, names: map[string]int{}}
		col.heading = e.b.Quick.Recognise(col.head)
		e.cols[c.Col] = col
	}
	e.of.lookAt(&col.stray, r, c)
	if c.Kind == worksheet.Number {
		pieces, has := e.of.pieces[mark]
		col.differ = col.differ || !has || pieces != c.Num
	} else if n, ok := e.b.Measures.Pieces(c.Text, false); col.said == "" && c.Kind == worksheet.Text && (ok && n > 1 || sayings.Turns(c.Text) || e.of.said.Otherwise(c.Text) != "") {
		col.said = grid.Ref(r.Num, c.Col)
	}
}

// words looks for joints in words: sizes, or so many of a kind.
func (e *elsewhere) words(r *worksheet.Row) {
	number, at := false, ""
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case c.Kind == worksheet.Number && !e.b.IsDate(c.Style):
			number = number || sayings.MayBeCars(c.Num) || c.Num == 1
		case c.Kind != worksheet.Text || len(c.Text) > sayings.Longest:
		case sayings.Tube(c.Text):
			if e.tubes++; e.tube == "" {
				e.tube = grid.Ref(r.Num, c.Col)
			}
			at = c.Text
			e.loud = e.loud || e.b.texts.Kind(sayings.Words(c.Text)) != ""
		case e.extra == "" && (e.b.texts.CountsKind(c.Text) || e.sizesKind(r, c)):
			e.extra, e.at = strings.TrimSpace(strings.Clone(c.Text)), grid.Ref(r.Num, c.Col)
		}
	}
	e.loud = e.loud || number && at != ""
}

// sizesKind reports whether a text has a kind and a size, and a number of pieces beside
// it: "fillet 3 in", and 2.
func (e *elsewhere) sizesKind(r *worksheet.Row, c *worksheet.Cell) bool {
	words := sayings.Words(c.Text)
	return slices.ContainsFunc(words, sayings.StartsNumber) && e.b.texts.Kind(words) != "" && slices.ContainsFunc(r.Cells, func(n worksheet.Cell) bool {
		return n.Col > c.Col && n.Kind == worksheet.Number && (sayings.MayBeCars(n.Num) || n.Num == 1) && !e.b.IsDate(n.Style)
	})
}

// may says why the sheet may be part of the order, "" if nothing speaks for it.
func (e *elsewhere) may() (what, cell string) {
	if says := e.b.texts.Has("dropped", sayings.Words(e.title+" "+e.heads[e.col])); says != "" && len(e.found) > 0 {
		return fmt.Sprintf("it has marks of the list on %s, and says %q of them", e.of.L.Title, says), grid.Ref(e.first, e.col)
	}
	if len(e.found) >= leastMarks || e.named && len(e.found) > 0 {
		for _, at := range slices.Sorted(maps.Keys(e.cols)) {
			col := e.cols[at]
			input := e.input(col)
			if input == "" && col.said == "" {
				continue
			}
			if col.said != "" && input == "" {
				return "words stand beside marks of the list on " + e.of.L.Title, col.said
			}
			return fmt.Sprintf("it has %d marks of the list on %s, and beside them %s that may be %s", len(e.found), e.of.L.Title, col.kind(), input), grid.Ref(e.first, at)
		}
	}
	if e.times != "" {
		return e.times, e.timesAt
	}
	if e.tubes >= leastMarks || e.loud {
		return "sizes of tube stand in its words", e.tube
	}
	if e.extra != "" {
		return fmt.Sprintf("%q tells of joints", e.extra), e.at
	}
	return "", ""
}

// input is the heading of the input that a column beside marks may hold, "" for none. One
// that the list has too is meant where its pieces are others.
func (e *elsewhere) input(col *beside) string {
	desc, known := e.b.Headings.Column(col.heading.Key)
	switch {
	case col.heading.Own:
		return ""
	case known && desc.Table == "lines" && e.of.L.Shop[desc.Key].Col > 0:
		if desc.Key == "qty" && col.numbers > 0 && col.differ {
			return desc.Head
		}
		return ""
	case known && desc.Table == "lines" && desc.Key != "car" && !harmless(desc.Key):
		return desc.Head
	}
	if may := e.of.mayBe(&col.stray); len(may) > 0 {
		return may[0]
	}
	return ""
}

// leastMarks is how many marks, or sizes in words, make a sheet one that tells of joints.
const leastMarks = 2
