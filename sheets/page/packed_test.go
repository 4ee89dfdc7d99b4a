package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"seamtally/sheets/look"
	"seamtally/sheets/part/worksheet"
)

// A plan gives back each cell as it was put there, in whatever order that was.
func TestRowsArePackedAndUnpacked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, want := New("Sheet", true), map[int][]Cell{}
		for range rapid.IntRange(0, 60).Draw(t, "cells") {
			row := rapid.IntRange(1, 5).Draw(t, "row")
			c := Cell{
				Col: rapid.IntRange(1, 16384).Draw(t, "col"), Num: rapid.Float64().Draw(t, "num"), Text: rapid.String().Draw(t, "text"), Formula: rapid.String().Draw(t, "formula"),
				Style: look.Style{Role: look.Role(rapid.IntRange(0, 30).Draw(t, "role")), Format: rapid.SampledFrom([]string{"", "0.00", "0"}).Draw(t, "format"), Wrap: rapid.Bool().Draw(t, "wrap")},
				Kind:  worksheet.Kind(rapid.IntRange(0, 4).Draw(t, "kind")), Owner: Owner(rapid.IntRange(0, 2).Draw(t, "owner")),
				Fresh: rapid.Bool().Draw(t, "fresh"), Record: rapid.Bool().Draw(t, "record"), Anew: rapid.Bool().Draw(t, "anew"), Gone: rapid.Bool().Draw(t, "gone"),
			}
			if rapid.IntRange(0, 9).Draw(t, "means") == 0 {
				c.Means = "something"
			}
			p.Put(row, c)
			want[row] = append(want[row], c)
			if rapid.IntRange(0, 9).Draw(t, "looked at") == 0 {
				assert.Equal(t, want[row], p.Row(row).Cells())
			}
		}
		for row, cells := range want {
			assert.Equal(t, cells, p.Row(row).appendTo(nil))
			assert.Equal(t, cells, p.Row(row).Cells())
		}
	})
}
