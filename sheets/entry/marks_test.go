package entry

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Marks that name several joints, and how.
func TestMarks(t *testing.T) {
	for text, want := range map[string]string{
		"W1-W4": "w1 w2 w3 w4", "W1 to 4": "w1 w2 w3 w4", "w1–W2": "w1 w2", "3/4": "3 4", "W1 + W2": "w1 w2", "W1/2/3": "w1 w2 w3", "1 to 4": "1 2 3 4",
		"A1, A2": "a1 a2", "A-01..A-04": "a1 a2 a3 a4", "A-01-04": "a1 a2 a3 a4", "A-01 - A-03": "a1 a2 a3", "W1a-d": "w1a w1b w1c w1d", "W1a/b": "w1a w1b", "W1a-W3a": "w1a w2a w3a",
		"1A, 1B and 2": "1a 1b 2", "W1-3, W7": "w1 w2 w3 w7", "W1 W2": "w1 w2", "flange 1 & 2": "flange1 flange2", "Naht 3 bis 5": "naht3 naht4 naht5", "DX-2/3": "dx2 dx3", "H.1, H.2": "h1 h2",
	} {
		names, upwards := Marks(text)
		assert.Equal(t, want, strings.Join(names, " "), text)
		assert.True(t, upwards, text)
	}
	for text, want := range map[string]string{"W4-W1": "w4 w1", "W1-W1": "w1 w1", "1-1": "1 1", "W1d-a": "w1d w1a", "W1-W400": "w1 w400"} {
		names, upwards := Marks(text)
		assert.Equal(t, want, strings.Join(names, " "), text)
		assert.False(t, upwards, text)
	}
	for _, text := range []string{"", "A-01", "A1-B2", "W1", "1-W2", "A-X103", "A1 B2", "12 14", "W1a", "W1-d", "1/2 in", "3 x 0.047", "W1-4 of 8", "A-01 left", "2X", "W1/", "W1 -"} {
		names, _ := Marks(text)
		assert.Empty(t, names, text)
	}
}
