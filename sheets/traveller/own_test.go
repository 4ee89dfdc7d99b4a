package traveller

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A note may say what fits, in words, sizes, angles and marks; a number that stands alone,
// or an estimate's word, keeps it off the page.
func TestTellingNotes(t *testing.T) {
	w, err := readWords()
	require.NoError(t, err)
	for text, tells := range map[string]bool{
		"welded inside and out": false, "keep 1/2 in off the floor": false, "gap under 2 mm": false, `fit 3" bung, 1.5" deep`: false,
		"turn 45° to the left": false, "ø 76 × 1.2 mm collar": false, "after A-07, before J 3b": true, "after A-07; M6 boss": false,
		"Ti-6Al-4V, not grade": false, "both ends open": false, "leave 3 in.": false,
		"purge 12": true, "12": true, "90 in position": true, "run at 90 A": true, "allow 4.5": true, "twelve minutes": true, "$40": true,
		"mind the post-flow": true, "cost agreed": true, "35 cfh": true, "A90 or so": false, "about 1,200": true, "2 mm then 35": true, "rev 2": true,
	} {
		assert.Equal(t, tells, w.tellingNote(text, map[string]bool{"a-07": true}), text)
	}
	assert.False(t, w.tellingNote("before 7b-left", map[string]bool{"7b-left": true}), "a mark of the list")
}

// The letter of a revision is no ampere; a setting is one in a drawing's column too.
func TestTellingDrawings(t *testing.T) {
	for text, tells := range map[string]bool{
		"D-101": false, "1042A": false, "DWG-88/3 s": true, "17-204-2s": false, "sheet 3 of 4": false, "1042 rev A": false, "20 cfh": true, "$40": true, "35cfh": true,
	} {
		assert.Equal(t, tells, tellingDrawing(text), text)
	}
}
