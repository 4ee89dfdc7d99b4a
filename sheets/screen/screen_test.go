package screen

import (
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

// Words keep their order and no line is wider than the screen, unless one word is.
func TestWrapped(t *testing.T) {
	s := Screen{Width: 44}
	got := s.Lines([]string{
		"a line that is longer than the screen is wide, so that it goes on below",
		"  Joints!F8: set in, it goes on further in than where it began, by four",
		"One car        Cars  Welds   Stops  Arc, h  Hours, h  with columns",
		"short",
		"",
	})
	assert.Equal(t, []string{
		"a line that is longer than the screen is",
		"    wide, so that it goes on below",
		"  Joints!F8: set in, it goes on further in",
		"      than where it began, by four",
		"One car        Cars  Welds   Stops  Arc, h  Hours, h  with columns",
		"short",
		"",
	}, got)
	long := "x of a_word_that_is_far_longer_than_the_screen_is_wide_by_itself"
	assert.Equal(t, []string{"x of", "    a_word_that_is_far_longer_than_the_screen_is_wide_by_itself"}, s.Lines([]string{long}))
	for _, narrow := range []int{0, leastWidth - 1} {
		assert.Equal(t, []string{long}, Screen{Width: narrow}.Lines([]string{long}), "too narrow, or not known")
	}
	for _, line := range s.Lines([]string{"é é é é é é é é é é é é é é é é é é é é é é é é é é é é"}) {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 44)
	}
}

// A file that several lines are of is named once, above them.
func TestFileOnce(t *testing.T) {
	assert.Equal(t, []string{
		"order.xlsx:",
		"  Joints!F8: note: read as 3 in",
		"  note: another",
		"rows: 65 read",
		"other.xlsx:A1: alone",
		"order.xlsx:Joints!F8: alone again",
	}, Screen{}.Lines([]string{
		"order.xlsx:Joints!F8: note: read as 3 in",
		"order.xlsx: note: another",
		"rows: 65 read",
		"other.xlsx:A1: alone",
		"order.xlsx:Joints!F8: alone again",
	}))
}

// The word stays; only the first of a message is in colour, also below a break.
func TestSeverityInColour(t *testing.T) {
	s := Screen{Width: 40, Colour: true}
	assert.Equal(t, []string{
		"\x1b[1;31mINCOMPLETE\x1b[0m: 2 reasons",
		"\x1b[1;32mCOMPLETE\x1b[0m",
		"this is COMPLETE",
		"a.xlsx:J!F8: \x1b[1;33mwarning\x1b[0m: x; note: y",
		"\x1b[36mnote\x1b[0m: alone",
		"order.xlsx:A_sheet_of_a_long_name!F8:",
		"    \x1b[1;31merror\x1b[0m: here",
		"\x1b[36mworth knowing\x1b[0m: it",
	}, s.Lines([]string{
		"INCOMPLETE: 2 reasons", "COMPLETE", "this is COMPLETE", "a.xlsx:J!F8: warning: x; note: y", "note: alone",
		"order.xlsx:A_sheet_of_a_long_name!F8: error: here", "worth knowing: it",
	}))
}
