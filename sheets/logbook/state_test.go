package logbook

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/templates"
)

// Whatever is typed into a table, its line's record gives every cell back, and
// a cell that changes is the only one that is said to.
func TestRecordOfALineGivesItsCellsBack(t *testing.T) {
	m, err := compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		table := rapid.SampledFrom(m.Tables).Draw(t, "table")
		v := compute.Empty(m)
		f := v.AddRow(table)
		var columns []*model.Quantity
		for _, q := range table.Quantities {
			if q.Role != model.Column || q.Key == "basis" {
				continue
			}
			columns = append(columns, q)
			if q.IsText() {
				f.Text[q.TextSlot] = rapid.StringMatching(`[ -~é"\\;\n]{0,12}`).Draw(t, q.Key)
			} else if rapid.Bool().Draw(t, "set") {
				f.Num[q.Slot] = rapid.Float64Range(0, 1e6).Draw(t, q.Key)
			}
		}
		_, record := LineOf(table, f)
		keys, cells := StateCells(record)
		for _, q := range columns {
			switch {
			case q.IsText() && f.Text[q.TextSlot] == "", !q.IsText() && ValueOf(q, f) == book.StateBlank: // a day 0 too
				assert.NotContains(t, keys, q.Key)
			default:
				assert.Equal(t, ValueOf(q, f), cells[q.Key])
			}
		}
		assert.True(t, len(keys) == len(cells) && len(keys) <= len(columns), record)

		q := rapid.SampledFrom(columns).Draw(t, "changed")
		if q.IsText() {
			f.Text[q.TextSlot] += "x"
		} else {
			f.Num[q.Slot] = math.Trunc(f.Num[q.Slot]) + 7
			if math.IsNaN(f.Num[q.Slot]) {
				f.Num[q.Slot] = 7
			}
		}
		_, now := LineOf(table, f)
		nowKeys, nowCells := StateCells(now)
		for _, k := range slices.Concat(keys, nowKeys) {
			assert.Equal(t, k == q.Key, cells[k] != nowCells[k], "%s: %s, was %s", k, now, record)
		}
	})
}

func TestRecordOfAListGivesItsCountsBack(t *testing.T) {
	s := listState{46, 2, 1, "00000000deadbeef"}
	got, ok := readListState(s.String())
	assert.True(t, ok)
	assert.Equal(t, s, got)
	_, ok = readListState("46 rows")
	assert.False(t, ok)
	assert.Equal(t, "joint list Demo: rows 46 -> 47, left out 2 -> 0", ListDiffers("Demo", s.String(), listState{47, 0, 1, "x"}.String()))
	assert.Equal(t, "joint list Demo: rows changed", ListDiffers("Demo", s.String(), listState{46, 2, 1, "x"}.String()))
	assert.Equal(t, "joint list Demo: rows changed", ListDiffers("Demo", "somebody's own words", s.String()))
}
