package account

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/headings"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
)

// twin is a column of the shop's that is headed as a figure of ours: it stays
// the shop's, and the two are compared.
type twin struct {
	q       *model.Quantity
	head    string
	rows    int
	differ  int
	worst   float64 // largest difference, relative
	worstAt int     // its row
}

// twinTolerance is how far two figures may lie apart, relatively, and count as
// equal: a shop shows few places.
const twinTolerance = 0.005

// twinsOf looks among the shop's headings for those of our figures.
func (b *Ledger) twinsOf(l *joints.List) map[int]*twin {
	out, known := map[int]*twin{}, map[int]bool{}
	for _, c := range l.Ours {
		known[c] = true
	}
	for _, c := range l.Shop {
		known[c.Col] = true
	}
	for col, text := range l.Heads {
		if known[col] {
			continue
		}
		for _, q := range b.Model.Line.Quantities {
			if q.Role == model.Figure && !q.IsText() && (entry.SameWords(text, b.Heading(q)) || entry.SameWords(text, q.Heading)) {
				out[col] = &twin{q: q, head: text}
				break
			}
		}
	}
	return out
}

// compareTwins compares the shop's own figures of a row with ours.
func (ac *account) compareTwins(r *worksheet.Row) {
	for i := range r.Cells {
		t, x := ac.twins[r.Cells[i].Col], r.Cells[i].Num
		if t == nil || r.Cells[i].Kind != worksheet.Number {
			continue
		}
		y := t.q.Num(&ac.Line.Frame)
		t.rows++
		off := math.Abs(x-y) / math.Max(math.Abs(y), math.SmallestNonzeroFloat64)
		if x == y || off <= twinTolerance {
			continue
		}
		t.differ++
		if off > t.worst {
			t.worst, t.worstAt = off, r.Num
		}
	}
}

// tellTwins says how the shop's own figures compare.
func (ac *account) tellTwins() {
	b, l := ac.b, ac.L
	for _, col := range headings.Ordered(l.Heads) {
		t := ac.twins[col]
		if t == nil {
			continue
		}
		cell, same := l.Ref(l.HeadRow, col), fmt.Sprintf("the column %q is the shop's own and stays as it is; ours of that name stands beside it", strings.Join(strings.Fields(t.head), " "))
		if t.differ == 0 {
			b.Note(book.LevelNote, "own figure", cell, fmt.Sprintf("%s, and agrees on all %d rows where both are numbers", same, t.rows), "")
			continue
		}
		b.Note(book.LevelNote, "own figure", cell, fmt.Sprintf("%s; they differ on %d of the %d rows where both are numbers, most on row %d", same, t.differ, t.rows, t.worstAt), "")
	}
}

// isTwin reports whether a column is headed as a figure of ours and agrees with it, so
// that it is that. One that differs, or holds words, may be an input.
func (s *stray) isTwin() bool {
	return s.twin != nil && s.counts() && s.twin.differ == 0 && s.twin.rows > 0
}
