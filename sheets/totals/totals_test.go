package totals_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"seamtally/sheets/joints"
	"seamtally/sheets/totals"
)

// A typed total may give all joints above it, those since any break, those that share
// something, by rows, pieces or welds, and so many times that.
func TestGives(t *testing.T) {
	var l totals.Rows
	l.Add(totals.Count{Rows: 1, Pieces: 2, Welds: 20}, "coupe", "3 in")
	l.Break()
	l.Add(totals.Count{Rows: 1, Pieces: 3, Welds: 3}, "track", "2 in")
	l.Break()
	l.Break()
	l.Add(totals.Count{Rows: 1, Pieces: 9, Welds: 9}, "track", "3 in")
	for x, is := range map[float64]bool{
		14: true, 3: true, 32: true, // all: pieces, rows, welds
		12: true, 9: true, // since a break
		11: true, 29: true, // of 3 in: pieces, welds
		28: true, 27: true, // two and three times
		13: false, 15: false, 5: false, 0: false,
	} {
		assert.Equal(t, is, l.GivesSome(x, 2, 3), "%v", x)
	}
	assert.False(t, l.GivesSome(28), "not for two cars")
	assert.True(t, l.Gives(12), "of a car")
	assert.False(t, l.Gives(32), "welds, where no words say so")
	assert.False(t, l.Gives(11), "of a size, where no words say so")
}

// Whatever stands in a list, the sum of its pieces is never said to differ, nor is that
// of what stands below any break.
func TestSumsAreGiven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var l totals.Rows
		var below []float64
		for i, n := range rapid.SliceOfN(rapid.IntRange(1, 40), 1, 60).Draw(t, "pieces") {
			if i == 0 || rapid.IntRange(0, 4).Draw(t, "break") == 0 {
				l.Break()
				below = append(below, 0)
			}
			l.Add(totals.Count{Rows: 1, Pieces: float64(n), Welds: float64(n)}, "coupe")
			for k := range below {
				below[k] += float64(n)
			}
		}
		for _, sum := range below {
			assert.True(t, l.Gives(sum), "%v", sum)
		}
		assert.False(t, l.GivesSome(below[0]+0.5))
	})
}

// Bare rows that give the pieces of each size again are totals, and so is a row that is
// named unlike all others.
func TestOfSizesAndUnlike(t *testing.T) {
	three, two := joints.Size{OD: "3", Wall: "0.047"}, joints.Size{OD: "2", Wall: "0.035"}
	joint := func(n int, mark string, s joints.Size, pieces float64) totals.Row {
		return totals.Row{Num: n, Cell: fmt.Sprint("C", n), Mark: mark, Size: s, Pieces: pieces, HasPieces: true, Has: 7, More: true}
	}
	bare := func(n int, s joints.Size, pieces float64) totals.Row {
		return totals.Row{Num: n, Cell: fmt.Sprint("C", n), Size: s, Pieces: pieces, HasPieces: true, Has: 3}
	}
	list := func(rows ...totals.Row) *totals.Rows {
		var l totals.Rows
		for _, r := range rows {
			l.Take(r)
		}
		return &l
	}
	above := []totals.Row{joint(2, "A1", three, 2), joint(3, "A2", three, 1), joint(4, "A3", two, 4)}
	got := list(append(above, bare(6, three, 3), bare(7, two, 4))...).OfSizes()
	assert.Len(t, got, 1)
	assert.Equal(t, "C6", got[0].Cell)
	assert.Equal(t, 2, got[0].Rows)
	assert.Empty(t, list(append(above, bare(6, three, 2))...).OfSizes(), "as many as one row has, not all")
	assert.Empty(t, list(above...).OfSizes())

	named := totals.Row{Num: 6, Cell: "C6", Mark: "all of it", Size: three, Has: 3}
	assert.Len(t, list(append(above, named)...).Unlike(), 1)
	named.Mark = "A4"
	assert.Empty(t, list(append(above, named)...).Unlike())
}
