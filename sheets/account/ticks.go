package account

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamtally/sheets/book"
	"seamtally/sheets/headings"
	"seamtally/sheets/sayings"
)

// A list may say on which cars a joint is, or that it is not in the price, by marks and
// letters in columns that nobody reads: dots under the names of cars, D for deleted under
// Chg, yes and no under Quoted.

// tellTicks tells of columns with nothing but such marks on some of the joints. One may be
// of anything that a shop ticks; several side by side part the joints among cars.
func (ac *account) tellTicks() {
	var cols []int
	for _, col := range headings.Ordered(ac.L.Heads) {
		s := ac.strays[col]
		if s == nil || s.all || ac.open[col] || s.counts() || s.own || s.heading.Key != "" || s.heading.Question != "" || !s.ticks() || ac.isStep(ac.L.Heads[col]) {
			continue
		}
		cols = append(cols, col)
	}
	parts := func(col int) bool { return ac.strays[col].words < ac.L.Rows.Read }
	if len(cols) < leastTicked || !slices.ContainsFunc(cols, parts) {
		return
	}
	ac.open[cols[0]] = true
	ac.b.unsettled(book.CheckColumns, "ticks", ac.L.Ref(ac.L.HeadRow, cols[0]),
		fmt.Sprintf("%s and %s have marks on some of the joints, and may say on which cars these are; they are not read", ac.named(cols[0]), ac.named(cols[1])),
		`write under "Car" which one each row is of; if they say nothing of it: `+book.SettleAs(ac.L.Title+"!*", book.OwnWord))
}

// leastTicked is how many columns of marks part joints among cars.
const leastTicked = 2

// ticks reports whether a column has nothing but marks: a dot, a cross, a tick.
func (s *stray) ticks() bool {
	for word := range s.texts {
		r, size := utf8.DecodeRuneInString(word)
		if size != len(word) || unicode.IsDigit(r) || unicode.IsLetter(r) && !strings.ContainsRune("xXoO", r) || sayings.Nothing(word) {
			return false
		}
	}
	return s.words > 0
}

// isStep reports whether a heading is a step of the work, which is ticked once it is done.
func (ac *account) isStep(head string) bool {
	return slices.ContainsFunc(sayings.Words(head), func(w string) bool {
		return ac.b.texts.OneOf("done to sides", w) != "" || ac.b.texts.OneOf("step", w) != ""
	})
}

// dropsRows reports whether a column that is headed as what is otherwise has letters for
// rows that are new, changed and gone, or a word among them that says so.
func (ac *account) dropsRows(s *stray) bool {
	gone, letters := false, len(s.texts) > 1
	for word := range s.texts {
		low := strings.ToLower(word)
		gone = gone || low == "d" || low == "-"
		letters = letters && utf8.RuneCountInString(word) == 1
	}
	return gone && letters
}

// partsPrices reports whether a column of the shop's own money says yes and no: what is
// quoted, and what is not.
func (ac *account) partsPrices(s *stray) bool {
	return s != nil && s.own && s.heading.OwnAs == ofMoney && !s.counts() && ac.yesAndNo(s)
}

// ofMoney stands for the shop's own columns of costs and prices.
const ofMoney = "cost"
