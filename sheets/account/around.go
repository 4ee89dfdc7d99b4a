package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/sayings"
	"seamtally/sheets/settling"
)

// referring is a text beside a joint that points at another one.
type referring struct {
	cell, text, mark string
	col              int
}

// keepReferring keeps a text that may point at another joint until all marks are known.
func (ac *account) keepReferring(row, col int, text string) {
	if len(ac.refer) < mostAsides && (ac.refers[col] || ac.b.texts.Refers(sayings.Words(text))) {
		ac.refer = append(ac.refer, referring{ac.L.Ref(row, col), strings.Clone(text), strings.ToLower(ac.Came.Mark), col})
	}
}

// refersTo reports whether a text beside a joint points at another one.
func (ac *account) refersTo(text, mark string) bool {
	return ac.b.texts.Refers(sayings.Words(text)) && ac.pointsFrom(mark, text)
}

// pointsFrom reports whether a text has the mark of another joint.
func (ac *account) pointsFrom(mark, text string) bool {
	return slices.ContainsFunc(ac.said.MarksIn(text), func(m string) bool { return m != mark })
}

// tellReferring tells of the first such text in each column.
func (ac *account) tellReferring() {
	for _, r := range ac.refer {
		if ac.open[r.col] || !ac.pointsFrom(r.mark, r.text) {
			continue
		}
		ac.open[r.col] = true
		ac.b.unsettled(book.CheckInputs, "joint beside", r.cell, fmt.Sprintf("%q beside the joint may say that it is there already, as another", r.text),
			"take the row out if it is; if not, say what the column is: "+book.SettleAs(ac.L.ColumnName(r.col), book.OwnWord))
	}
}

// tellCarWords tells of words on the sheet of the cars that may say how many are ordered
// otherwise: "now 10", "on hold", "in dozens".
func (b *Ledger) tellCarWords() {
	for _, w := range b.Cars.Words {
		says := slices.ContainsFunc(append([]string{w.Text}, w.Ways...), func(text string) bool {
			return w.Car != nil && b.texts.OtherCars(text, w.Car.Ordered.Num) || w.Car == nil && (b.texts.NotByOnes(sayings.Words(text)) || b.saidOfJoints(text) != "")
		})
		at := settling.Words{Row: w.Row, Col: w.Col, Text: w.Text}
		if says && !b.WordsAreOwn(b.Cars.Title, at) {
			b.unsettled(book.CheckCars, "words at cars", b.Cars.Title+"!"+grid.Ref(w.Row, w.Col), fmt.Sprintf("%q stands %sbeside the cars ordered, and may say that there are more or fewer; it is not read", w.Text, w.In),
				"type how many are ordered, and take the words out; if they say nothing of it: "+settling.WordsAsOwn(b.Cars.Title, at))
		}
	}
}
