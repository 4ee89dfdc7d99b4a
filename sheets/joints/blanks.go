package joints

import (
	"fmt"
	"strings"

	"seamtally/sheets/book"
)

// blanks are what a column of yes and no says: a shop that types only the one may mean
// the other by a blank.
type blanks struct {
	input int
	typed map[string]bool // words that stand there
	blank string          // what a blank was taken for
	first int             // the first row that has one
	rows  int
}

// yesOrNos are the columns of yes and no of which it is not settled what a blank is.
func (ed *Editor) yesOrNos() (out []*blanks) {
	for i := range ed.Cols {
		if r := ed.Cols[i].Reader; r != nil && r.Shop.Col > 0 && !r.Shop.Settled && yesOrNo(ed.b.Words.List(r.words)) {
			out = append(out, &blanks{input: i, typed: map[string]bool{}})
		}
	}
	return out
}

// lookAtBlanks takes a priced row into the account.
func (ed *Editor) lookAtBlanks(row int) {
	for _, s := range ed.blanks {
		word := ed.Cols[s.input].Q.Text(&ed.Line.Frame)
		switch {
		case Filled(ed.Inputs[s.input]):
			if !s.typed[word] {
				s.typed[strings.Clone(word)] = true
			}
			continue
		case s.rows == 0:
			s.blank, s.first = strings.Clone(word), row
		}
		s.rows++
	}
}

// tellBlanks tells of columns that say only what a blank is taken for.
func (ed *Editor) tellBlanks() {
	for _, s := range ed.blanks {
		if s.rows == 0 || len(s.typed) != 1 || !s.typed[s.blank] {
			continue
		}
		r := ed.Cols[s.input].Reader
		ed.b.unsettled(book.CheckInputs, "blank "+r.Q.Key, ed.L.Ref(s.first, r.Shop.Col),
			fmt.Sprintf("%s is blank on some rows, and %q on all others; a blank is taken for %q too", r.Name(), s.blank, s.blank),
			"write what is meant, or settle that a blank means the same: "+settling(ed.L.columnName(r.Shop.Col), r.Q.Key))
	}
}
