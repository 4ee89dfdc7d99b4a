package joints

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/book"
)

// twin is a column of the shop's that is headed as a figure of ours: it stays
// the shop's, and the two are compared.
type twin struct {
	q       *compute.Quantity
	head    string
	rows    int
	differ  int
	worst   float64 // largest difference, relative
	worstAt int     // its row
}

// twinTolerance is how far two figures may lie apart, relatively, and count as
// equal: a shop shows few places.
const twinTolerance = 0.005

// findTwins looks among the shop's headings for those of our figures.
func (b *Lists) findTwins(l *List) {
	mine, taken := map[int]bool{}, map[int]bool{}
	for _, c := range l.Ours {
		mine[c] = true
	}
	for _, c := range l.Shop {
		taken[c.Col] = true
	}
	for col, text := range l.Heads {
		if mine[col] || taken[col] {
			continue
		}
		for _, q := range b.Model.Line.Quantities {
			if q.Role == compute.Figure && !q.IsText() && (sameWords(text, b.Heading(q)) || sameWords(text, q.Heading)) {
				l.twins[col] = &twin{q: q, head: text}
				break
			}
		}
	}
}

// compareTwins compares the shop's own figures of a row with ours.
func (ed *Editor) compareTwins(row int) {
	for col, x := range ed.twinCells {
		t := ed.L.twins[col]
		y := t.q.Num(&ed.Line.Frame)
		t.rows++
		off := math.Abs(x-y) / math.Max(math.Abs(y), math.SmallestNonzeroFloat64)
		if x == y || off <= twinTolerance {
			continue
		}
		t.differ++
		if off > t.worst {
			t.worst, t.worstAt = off, row
		}
	}
}

// tellTwins says how the shop's own figures compare.
func (b *Lists) tellTwins(l *List) {
	for _, col := range Ordered(l.Heads) {
		t := l.twins[col]
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
