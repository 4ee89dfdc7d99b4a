package grid

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

func TestRefs(t *testing.T) {
	// The corners and letters are those of ISO/IEC 29500-1, 18.3.1.4 and
	// 18.17.2.3 (A1 to XFD1048576); from memory.
	for ref, want := range map[string][2]int{
		"A1": {1, 1}, "Z9": {9, 26}, "AA10": {10, 27}, "ab3": {3, 28},
		"ZZ1": {1, 702}, "AAA1": {1, 703}, "XFD1048576": {MaxRow, MaxCol},
	} {
		row, col, err := ParseRef(ref)
		require.NoError(t, err, ref)
		assert.Equal(t, want, [2]int{row, col}, ref)
	}
	for _, bad := range []string{"", "A", "1", "A0", "A1048577", "XFE1", "AAAA1", "A1B", "$A$1", "A-1", "Ä1", "A1 ", "A99999999999999999999"} {
		_, _, err := ParseRef(bad)
		assert.Error(t, err, bad)
	}
	for _, bad := range []string{"", "1", "XFE", "AAAAAAAAAAAA", "A1"} {
		_, err := ParseCol(bad)
		assert.Error(t, err, bad)
	}
	assert.Equal(t, "", ColName(0))
}

// The spreadsheet library names cells the same way.
func TestRefsAgreeWithLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		row, col := rapid.IntRange(1, MaxRow).Draw(t, "row"), rapid.IntRange(1, MaxCol).Draw(t, "col")
		want, err := excelize.CoordinatesToCellName(col, row)
		require.NoError(t, err)
		require.Equal(t, want, Ref(row, col))
		r, c, err := ParseRef(want)
		require.NoError(t, err)
		require.Equal(t, [2]int{row, col}, [2]int{r, c})
		n, err := ParseCol(ColName(col))
		require.NoError(t, err)
		require.Equal(t, col, n)
	})
}

func TestRanges(t *testing.T) {
	rg, err := ParseRange("$F$9:B2")
	require.NoError(t, err)
	assert.Equal(t, Range{2, 2, 9, 6}, rg)
	assert.Equal(t, "B2:F9", rg.String())
	assert.True(t, rg.Contains(9, 2))
	assert.False(t, rg.Contains(1, 2))
	one, err := ParseRange("C3")
	require.NoError(t, err)
	assert.Equal(t, "C3", one.String())
	assert.Equal(t, Range{2, 2, 12, 6}, rg.Union(Range{12, 3, 12, 3}))
	for _, bad := range []string{"", ":", "A1:", "A:B", "A1:B2:C3", "A1:XFE1"} {
		_, err := ParseRange(bad)
		assert.Error(t, err, bad)
	}
}
