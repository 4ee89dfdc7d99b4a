package account

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/sayings"
)

// referring is a text beside a joint that points at another one.
type referring struct {
	cell, text, mark string
	col              int
}

// keepReferring keeps a text that may point at another joint until all marks are known.
func (ac *account) keepReferring(row, col int, text string) {
	if len(ac.refer) < mostAsides && ac.b.texts.Refers(sayings.Words(text)) {
		ac.refer = append(ac.refer, referring{ac.L.Ref(row, col), strings.Clone(text), strings.ToLower(ac.Came.Mark), col})
	}
}

// tellReferring tells of the first such text in each column.
func (ac *account) tellReferring() {
	for _, r := range ac.refer {
		if other := ac.said.MarksIn(r.text); ac.open[r.col] || !slices.ContainsFunc(other, func(m string) bool { return m != r.mark }) {
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
		says := w.Car != nil && b.texts.OtherCars(w.Text, w.Car.Ordered.Num) ||
			w.Car == nil && (b.texts.NotByOnes(sayings.Words(w.Text)) || slices.ContainsFunc(b.accounts, func(ac *account) bool { return ac.said.Otherwise(w.Text) != "" }))
		if says && !b.settledWords(b.Cars.Title, w.Row, w.Col, w.Text) {
			cell := b.Cars.Title + "!" + grid.Ref(w.Row, w.Col)
			b.unsettled(book.CheckCars, "words at cars", cell, fmt.Sprintf("%q stands beside the cars ordered, and may say that there are more or fewer; it is not read", w.Text),
				"type how many are ordered, and take the words out; if they say nothing of it: "+book.SettleAs(cell, book.OwnWord))
		}
	}
}
