package entry

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPieces(t *testing.T) {
	m := measures(t)
	for text, want := range map[string]float64{
		"2x": 2, "2 x flange": 2, "flange x2": 2, "A-01 (4 off)": 4, "4 off": 4, "tip, 2 pcs": 2, "Endtopf, 2 Stk": 2, "boss (x3)": 3, "boss x 3": 3, "flange (four off)": 4, "zwei Stk": 2,
	} {
		n, ok := m.Pieces(text, false)
		assert.True(t, ok, text)
		assert.Equal(t, want, n, text)
	}
	for _, text := range []string{"", "A-01", "1 off", "sleeve 2 x 0.035", "2 x 0.035", "3 x2", "see 2", "weld 2 off then turn", "900 off", "DX-1", "X-103", "see x-2", "2 in", "one piece", "four", "two in a row"} {
		_, ok := m.Pieces(text, false)
		assert.False(t, ok, text)
	}
}

func TestCounts(t *testing.T) {
	m := measures(t)
	for text, want := range map[string][2][]float64{
		"1 off": {{1}, {1}}, "2x left, 2x right": {{2, 2}, {2, 2}}, "weld 2 off then turn": {nil, {2}}, "3 x 0.049": {nil, nil}, "tube 2 x 0.035, 4 off": {{4}, {4}},
	} {
		said, all := m.Counts(text, false)
		assert.Equal(t, want, [2][]float64{said, all}, text)
	}
}

// A mark may look like a number of pieces, and is one all the same.
func TestCountsInMark(t *testing.T) {
	m := measures(t)
	for _, mark := range []string{"X-1", "X1", "A-X103", "W_X2", "x 12", "2X", "2 x", "A-01", "DX-3", "reducer 3 x 2", "A x103"} {
		said, all := m.Counts(mark, true)
		assert.Empty(t, append(said, all...), mark)
	}
	for _, mark := range []string{"bracket x 2", "X-1 (2x)", "2x flange", "A-01, 2 off", "A-01 x 2", "A-01 x2", "A-01 2 off", "W_3 2x"} {
		n, ok := m.Pieces(mark, true)
		assert.True(t, ok, mark)
		assert.Equal(t, 2.0, n, mark)
	}
}

func TestThousands(t *testing.T) {
	for text, want := range map[string][2]string{"1.050": {"1.05", "1050"}, "12.000 mm": {"12", "12000"}, "1.500": {"1.5", "1500"}} {
		decimal, whole := Thousands(text)
		assert.Equal(t, want, [2]string{decimal, whole}, text)
	}
	for _, text := range []string{"0.047", ".047", "1.05", "1.0500", "1050", "1,050", "1.050.000", "1.050 1"} {
		decimal, whole := Thousands(text)
		assert.Empty(t, decimal+whole, text)
	}
}
