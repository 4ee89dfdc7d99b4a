package account

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/compute/units"
	"seamtally/sheets/book"
)

// While a list has no column of pieces, one joint is taken of each row, and pieces may
// stand under any heading: the shop's own, as Rev or Page, or one of marks, as Item. What
// counts up in equal steps is a position; other small whole numbers are asked about.

// mostOwnPieces bounds whole numbers under a heading of the shop's own that may be pieces.
const mostOwnPieces = 50

// counting says whether numbers below each other count up in equal steps, anew for each
// car and below each title.
type counting struct {
	block      string
	step, last float64
	some       bool // a step was taken
	broken     bool
}

// take takes the next number in.
func (c *counting) take(block string, x float64, first bool) {
	if !first && block == c.block {
		d := x - c.last
		if c.broken = c.broken || d <= 0 || c.some && d != c.step; !c.some {
			c.step, c.some = d, true
		}
	}
	c.block, c.last = block, x
}

// block names what the rows from here on belong to: a car, and the title above.
func (ac *account) block() string {
	return strings.ToLower(ac.carOfRow()) + "\x00" + strconv.Itoa(len(ac.titles))
}

// lacksPieces reports whether the list has no column of pieces.
func (ac *account) lacksPieces() bool { return ac.L.Shop["qty"].Col == 0 }

// countIn reads a text that is nothing but the word of a number, or, while no column gives
// pieces, one that begins with a number of them.
func (ac *account) countIn(text string) (x float64, ok bool) {
	if n, ok := ac.b.Measures.WholeNumber(text); ok {
		return float64(n), true
	}
	if ac.lacksPieces() {
		return ac.b.texts.PiecesAtFirst(text)
	}
	return 0, false
}

// mayCount reports whether a column under a heading of the shop's own may be pieces.
func (ac *account) mayCount(s *stray) bool {
	q := ac.b.Model.Line.Quantity("qty")
	desc, _ := ac.b.Headings.Column(q.Key)
	up := s.counting.some && !s.counting.broken
	return s.words == 0 && s.least >= 0 && s.most <= mostOwnPieces && !up && ac.fits(s, q, desc, []units.Unit{q.Unit})
}

// markCounts is what speaks for a column of marks holding pieces.
type markCounts struct {
	cell string // of the first number that stood above already, in the same car
	what string
	name bool // some mark is no small number
}

// lookAtMark takes the mark of a row into account, and whether it stood above already.
func (ac *account) lookAtMark(row int, mark string, again bool) {
	n, ok := ac.b.Measures.WholeNumber(mark)
	if ac.markCounts.name = ac.markCounts.name || !ok || n > mostOwnPieces; again && ac.markCounts.cell == "" {
		ac.markCounts.cell, ac.markCounts.what = ac.L.Ref(row, ac.MarkCol), mark
	}
}

// tellMarkCounts tells of a column of marks that may be one of pieces.
func (ac *account) tellMarkCounts() {
	m := &ac.markCounts
	if !ac.lacksPieces() || m.cell == "" || m.name || ac.L.Shop["mark"].Settled {
		return
	}
	ac.open[ac.MarkCol] = true
	place := ac.L.ColumnName(ac.MarkCol)
	ac.b.unsettled(book.CheckColumns, "numbers as marks", m.cell,
		fmt.Sprintf("%s holds small whole numbers, and %s more than once; they are taken for the joints' own, and may be their pieces, which no column gives", ac.named(ac.MarkCol), m.what),
		fmt.Sprintf("say what it is: %s, or %s", book.SettleAs(place, "qty"), book.SettleAs(place, "mark")))
}
