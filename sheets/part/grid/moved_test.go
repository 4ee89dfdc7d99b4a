package grid

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/sheets/part/parttest"
)

// down moves all from a row on down by n, and takes what stood on row 5 away.
func down(from, n int) Moved {
	row := parttest.Down(from, n)
	return Moved{Sheet: "Our 'sums'", Row: row, At: func(r, c int) (int, int, bool) { return row(r), c, r != 5 }}
}

func TestMoveRefs(t *testing.T) {
	const sheet = "'Our ''sums'''!"
	for _, c := range []struct{ on, was, is, lost string }{
		{"Demo", sheet + "C10*2", sheet + "C13*2", ""},
		{"Demo", sheet + "$C$10+" + sheet + "C9", sheet + "$C$13+" + sheet + "C9", ""},
		{"Demo", "SUM(" + sheet + "B2:C12)", "SUM(" + sheet + "B2:C15)", ""},
		{"Demo", strings.ToUpper(sheet) + "c10", strings.ToUpper(sheet) + "C13", ""},
		{"Demo", sheet + "C5+1", sheet + "C5+1", "C5"},
		{"Demo", "C10+Other!C10", "C10+Other!C10", ""},
		{"Our 'sums'", "C10+Other!C10", "C13+Other!C10", ""},
		{"Our 'sums'", "LOG10(C10)+A_C10+C10_x", "LOG10(C13)+A_C10+C10_x", ""},
		{"Demo", sheet + "$C:$D", sheet + "$C:$D", ""},
		{"Demo", sheet + "10:12", sheet + "13:15", ""},
		{"Demo", sheet + "$C$2:$C$1048576", sheet + "$C$2:$C$1048576", ""},
		{"Demo", sheet + "$C$10:$C$1048576", sheet + "$C$13:$C$1048576", ""},
		{"Demo", sheet + "A10:XFD12", sheet + "A13:XFD15", ""},
		{"Demo", sheet + "C12:B2", sheet + "C15:B2", ""},
		{"Demo", sheet + "B10:" + sheet + "C12", sheet + "B13:" + sheet + "C15", ""},
		{"Demo", sheet + "C10 : C12", sheet + "C13 : C15", ""},
		{"Demo", sheet + "C10:INDEX(" + sheet + "C:C,12)", sheet + "C13:INDEX(" + sheet + "C:C,12)", ""},
		{"Demo", "SUM(Demo:" + sheet + "C10)", "SUM(Demo:" + sheet + "C10)", "Demo:" + sheet + "C10"},
		{"Demo", `SUM('Demo:Our ''sums'''!C10)`, `SUM('Demo:Our ''sums'''!C10)`, `'Demo:Our ''sums'''!C10`},
		{"Demo", "SUM(Demo:Aside!C9)", "SUM(Demo:Aside!C9)", ""},
		{"Demo", sheet + "B9:C10:D12", sheet + "B9:C10:D12", "B9:C10:D12"},
		{"Our 'sums'", `[1]Sums!C10:C12+'[1]Our ''sums'''!C10:C12+C10`, `[1]Sums!C10:C12+'[1]Our ''sums'''!C10:C12+C13`, ""},
		{"Our 'sums'", "T[[#This Row],[C10]]+#REF!C10+{1,2}*C10%", "T[[#This Row],[C10]]+#REF!C10+{1,2}*C13%", ""},
		{"Demo", `"` + sheet + `C10"&` + sheet + "C10", `"` + sheet + `C10"&` + sheet + "C13", ""},
		{"Demo", "[1]Sums!C10+Sums[C10]", "[1]Sums!C10+Sums[C10]", ""},
		{"Our 'sums'", "[1]Sums!C10+C10", "[1]Sums!C10+C13", ""},
		{"Demo", "#REF!+'other'!C10:C12", "#REF!+'other'!C10:C12", ""},
		{"Our 'sums'", "Demo!A10:A12+C10:C12", "Demo!A10:A12+C13:C15", ""},
	} {
		is, lost := down(10, 3).MoveRefs(c.was, c.on)
		assert.Equal(t, c.is, is, c.was)
		assert.Equal(t, c.lost, strings.Join(lost, ","), c.was)
	}
}

// Cells that stay leave a formula as it is; cells that go and come back bring it
// back.
func TestMoveRefsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		piece := rapid.OneOf(rapid.SampledFrom([]string{"'Our ''sums'''!", "Demo!", "[1]X!", "+", "*", "(", ")", ",", `"a""b"`, "SUM(", "A1", "$B$20", "C3:D40", "#N/A", "name", "1.5E3", "é", "'", `"`, "[", "]", ":", "!"}),
			rapid.StringN(0, 4, -1))
		f := strings.Join(rapid.SliceOfN(piece, 0, 8).Draw(t, "formula"), "")
		on := rapid.SampledFrom([]string{"Demo", "Our 'sums'"}).Draw(t, "on")
		stay := down(1<<20, 0)
		stay.At = func(r, c int) (int, int, bool) { return r, c, true }
		is, lost := stay.MoveRefs(f, on)
		require.Equal(t, f, is)
		require.Empty(t, lost)
		there, back := down(10, 3), down(13, -3)
		there.At = func(r, c int) (int, int, bool) { return there.Row(r), c, true }
		back.At = func(r, c int) (int, int, bool) { return back.Row(r), c, r < 10 || r >= 13 }
		moved, _ := there.MoveRefs(f, on)
		again, _ := back.MoveRefs(moved, on)
		require.Equal(t, strings.ToUpper(f), strings.ToUpper(again), "by way of %q", moved)
	})
}

func FuzzMoveRefs(f *testing.F) {
	for _, s := range []string{"'Our ''sums'''!C10", "[", "'", `"`, "#", "Our!", "A1:", "$", "[1]A!B2:C3", "'a'!'b'!C3"} {
		f.Add(s, "Our 'sums'")
	}
	f.Fuzz(func(t *testing.T, formula, on string) {
		out, _ := down(10, 3).MoveRefs(formula, on)
		if len(out) > 2*len(formula)+16 {
			t.Errorf("%q became %q", formula, out)
		}
	})
}
