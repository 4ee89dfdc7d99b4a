package account

import (
	"fmt"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
)

// blanks are what a column of yes and no says: a shop that types only the one may mean
// the other by a blank.
type blanks struct {
	input int
	r     *joints.Reader
	list  *joints.List
	typed map[string]bool // words that stand there
	blank string          // what a blank was taken for
	first int             // the first row that has one
	rows  int
}

// yesOrNos are the columns of yes and no of which it is not settled what a blank is.
func (ac *account) yesOrNos() (out []*blanks) {
	for i := range ac.Cols {
		if r := ac.Cols[i].Reader; r != nil && r.Shop.Col > 0 && !r.Shop.Settled && model.Among(ac.b.Words.List(r.Words), "yes") {
			out = append(out, &blanks{input: i, r: r, list: ac.L, typed: map[string]bool{}})
		}
	}
	return out
}

// yesAndNo reports whether a column holds nothing but yes and no, and not the same
// everywhere.
func (ac *account) yesAndNo(s *stray) bool {
	for word := range s.texts {
		if ac.b.texts.OneOf("yes", word) == "" {
			return false
		}
	}
	return len(s.texts) > 1
}

// lookAtBlanks takes a row of a joint into the account: one that is left out says as
// well what the shop types there.
func (ac *account) lookAtBlanks(row int) {
	for _, s := range ac.blanks {
		word := s.r.Q.Text(&ac.Line.Frame)
		switch {
		case joints.Filled(ac.Inputs[s.input]):
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

// tellBlanks tells of columns that say only what a blank is taken for, where no list of
// the workbook says anything else.
func (b *Ledger) tellBlanks() {
	var all []*blanks
	for _, ac := range b.accounts {
		all = append(all, ac.blanks...)
	}
	for _, s := range all {
		other := false
		for _, o := range all {
			for word := range o.typed {
				other = other || o.r.Q == s.r.Q && word != s.blank
			}
		}
		if other || s.rows == 0 || len(s.typed) == 0 {
			continue
		}
		b.unsettled(book.CheckInputs, "blank "+s.r.Q.Key, s.list.Ref(s.first, s.r.Shop.Col),
			fmt.Sprintf("%s is blank on some rows, and %q on all others; a blank is taken for %q too", s.r.Name(), s.blank, s.blank),
			"write what is meant, or settle that a blank means the same: "+book.SettleAs(s.list.ColumnName(s.r.Shop.Col), s.r.Q.Key))
	}
}
