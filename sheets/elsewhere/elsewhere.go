// Package elsewhere looks at a sheet that is no joint list for what it says of joints that
// were read, or of others: their marks beside numbers of pieces, a place of theirs and how
// often a car has it, sizes in words. A column beside marks that were read is taken as one
// beside the joints themselves would be.
package elsewhere

import (
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"
	"unicode"

	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// List is a joint list that was read.
type List interface {
	Title() string
	Marks() iter.Seq[string]                  // of its joints
	Pieces(mark string) (n float64, has bool) // of a joint, by its mark in small letters
	Reads(key string) bool                    // a column gives that input
	HasPlace(text string) bool                // of some of its joints
	Otherwise(text string) bool               // words may say of its joints what their rows do not
	Column(heading entry.Match) Column
}

// Column is one beside marks, taken as one of the list's own that is not read.
type Column interface {
	Look(r *worksheet.Row, c *worksheet.Cell)
	Numbers() bool           // some of its cells are
	Kind() string            // of what stands in it: numbers, words
	MayBe() (heads []string) // of the inputs that it may hold
}

// Workbook is that of the sheets.
type Workbook struct {
	*sayings.Reader
	lists []List
	marks map[string]List // of their joints, in small letters
	likes map[string]List // the same without their numbers: "j" for J1 and J2
}

// Of takes the lists of a workbook in. A bare number is no mark that tells anything.
func Of(texts *sayings.Reader, lists []List) *Workbook {
	w := &Workbook{Reader: texts, lists: lists, marks: map[string]List{}, likes: map[string]List{}}
	for _, l := range lists {
		for mark := range l.Marks() {
			mark = strings.ToLower(mark)
			if !strings.ContainsFunc(mark, unicode.IsLetter) {
				continue
			}
			if w.marks[mark] = l; withoutNumber(mark) != "" {
				w.likes[withoutNumber(mark)] = l
			}
		}
	}
	return w
}

// Sheet is what one that is not read says of joints.
type Sheet struct {
	*Workbook
	title string
	col   int  // the column that has such marks, 0 as long as none was found
	named bool // its heading says that they are marks
	of    List // the list of the first of them
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

// Sheet begins with one.
func (w *Workbook) Sheet(title string) *Sheet {
	return &Sheet{Workbook: w, title: title, heads: map[int]string{}, found: map[string]bool{}, cols: map[int]*beside{}}
}

// beside is a column beside marks.
type beside struct {
	Column
	heading entry.Match
	differ  bool // of pieces: from those that were read
	said    string
}

// Row takes a row of the sheet in.
func (e *Sheet) Row(r *worksheet.Row) {
	e.words(r)
	e.placed(r)
	mark, several := "", false
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind != worksheet.Text || e.col > 0 && c.Col != e.col || len(c.Text) > sayings.Longest {
			continue
		}
		if len(e.marksIn(c.Text, true)) == 0 {
			continue // under whatever heading
		}
		named := e.col > 0 && e.named || e.InputOf(e.heads[c.Col]) == "mark"
		if found := e.marksIn(c.Text, named); len(found) > 0 {
			if mark, several = found[0], len(found) > 1; e.col == 0 {
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
			clear(e.heads)
			for i := range r.Cells {
				if c := &r.Cells[i]; c.Kind == worksheet.Text {
					e.heads[c.Col] = c.Text
				}
			}
		}
		return
	}
	for i := range r.Cells {
		if c := &r.Cells[i]; c.Col != e.col && joints.Filled(c) && c.Kind != worksheet.Error {
			e.beside(mark, several, r, c)
		}
	}
}

// listOf is the list of a joint with such a mark, nil for none; under a heading of marks,
// also of one that begins so.
func (e *Sheet) listOf(mark string, named bool) List {
	if of := e.marks[mark]; of != nil || !named {
		return of
	}
	return e.likes[withoutNumber(mark)]
}

// marksIn are the marks that a cell gives, in small letters: its whole text, or each of
// "J1, J2".
func (e *Sheet) marksIn(text string, named bool) (found []string) {
	text = strings.ToLower(strings.TrimSpace(text))
	if e.listOf(text, named) != nil {
		return []string{text}
	}
	if !sayings.MayBeSeveral(text) {
		return nil
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
func (e *Sheet) placed(r *worksheet.Row) {
	is := ""
	last := len(r.Cells) - 1
	for last >= 0 && !(r.Cells[last].Kind == worksheet.Number && sayings.MayBeCars(r.Cells[last].Num)) {
		last--
	}
	for i := range r.Cells[:last+1] {
		c := &r.Cells[i]
		switch {
		case e.times != "":
			return
		case c.Kind == worksheet.Text && e.hasPlace(c.Text):
			is = strings.TrimSpace(c.Text)
		case is != "" && c.Kind == worksheet.Number && sayings.MayBeCars(c.Num) && !e.IsDate(c.Style) && !e.Quick.Recognise(e.heads[c.Col]).Own:
			e.times, e.timesAt = fmt.Sprintf("it has %q beside %v, as may say how often a car has the joints there", is, c.Num), grid.Ref(r.Num, c.Col)
		}
	}
}

// hasPlace reports whether joints of a list have a text as their place.
func (e *Sheet) hasPlace(text string) bool {
	return slices.ContainsFunc(e.lists, func(l List) bool { return l.HasPlace(text) })
}

// beside takes a cell beside a mark into the account of its column.
func (e *Sheet) beside(mark string, several bool, r *worksheet.Row, c *worksheet.Cell) {
	col := e.cols[c.Col]
	if col == nil {
		heading := e.Quick.Recognise(e.heads[c.Col])
		col = &beside{heading: heading, Column: e.of.Column(heading)}
		e.cols[c.Col] = col
	}
	col.Look(r, c)
	if c.Kind == worksheet.Number {
		pieces, has := e.of.Pieces(mark)
		col.differ = col.differ || several || !has || pieces != c.Num
	} else if n, ok := e.Measures.Pieces(c.Text, false); col.said == "" && c.Kind == worksheet.Text && (ok && n > 1 || sayings.Turns(c.Text) || e.of.Otherwise(c.Text)) {
		col.said = grid.Ref(r.Num, c.Col)
	}
}

// words looks for joints in words: sizes, or so many of a kind.
func (e *Sheet) words(r *worksheet.Row) {
	number, at := false, ""
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case c.Kind == worksheet.Number && !e.IsDate(c.Style):
			number = number || sayings.MayBeCars(c.Num) || c.Num == 1
		case c.Kind != worksheet.Text || len(c.Text) > sayings.Longest:
		case sayings.Tube(c.Text):
			if e.tubes++; e.tube == "" {
				e.tube = grid.Ref(r.Num, c.Col)
			}
			at = c.Text
			e.loud = e.loud || e.Kind(sayings.Words(c.Text)) != ""
		case e.extra == "" && (e.CountsKind(c.Text) || e.sizesKind(r, c)):
			e.extra, e.at = strings.TrimSpace(strings.Clone(c.Text)), grid.Ref(r.Num, c.Col)
		}
	}
	e.loud = e.loud || number && at != ""
}

// sizesKind reports whether a text has a kind and a size, and a number of pieces beside
// it: "fillet 3 in", and 2.
func (e *Sheet) sizesKind(r *worksheet.Row, c *worksheet.Cell) bool {
	if !slices.ContainsFunc(r.Cells, func(n worksheet.Cell) bool {
		return n.Col > c.Col && n.Kind == worksheet.Number && (sayings.MayBeCars(n.Num) || n.Num == 1) && !e.IsDate(n.Style)
	}) {
		return false
	}
	words := sayings.Words(c.Text)
	return slices.ContainsFunc(words, sayings.StartsNumber) && e.Kind(words) != ""
}

// May says why the sheet may be part of the order, "" if nothing speaks for it.
func (e *Sheet) May() (what, cell string) {
	if says := e.Has("dropped", sayings.Words(e.title+" "+e.heads[e.col])); says != "" && len(e.found) > 0 {
		return fmt.Sprintf("it has marks of the list on %s, and says %q of them", e.of.Title(), says), grid.Ref(e.first, e.col)
	}
	if len(e.found) >= leastMarks || e.named && len(e.found) > 0 {
		for _, at := range slices.Sorted(maps.Keys(e.cols)) {
			col := e.cols[at]
			input := e.input(col)
			if input == "" && col.said == "" {
				continue
			}
			if col.said != "" && input == "" {
				return "words stand beside marks of the list on " + e.of.Title(), col.said
			}
			return fmt.Sprintf("it has %d marks of the list on %s, and beside them %s that may be %s", len(e.found), e.of.Title(), col.Kind(), input), grid.Ref(e.first, at)
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
func (e *Sheet) input(col *beside) string {
	desc, known := e.Headings.Column(col.heading.Key)
	switch {
	case col.heading.Own:
		return ""
	case known && desc.Table == "lines" && e.of.Reads(desc.Key):
		if desc.Key == "qty" && col.Numbers() && col.differ {
			return desc.Head
		}
		return ""
	case known && desc.Table == "lines" && desc.Key != "car" && !joints.OnlyNames(desc.Key):
		return desc.Head
	}
	if col.Numbers() && !col.differ {
		return "" // the pieces again
	}
	if may := col.MayBe(); len(may) > 0 {
		return may[0]
	}
	return ""
}

// leastMarks is how many marks, or sizes in words, make a sheet one that tells of joints.
const leastMarks = 2
