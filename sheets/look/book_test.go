package look

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

func TestEqualStylesAreOneFormat(t *testing.T) {
	b := New("Arial", 10)
	first := map[Style]int{}
	for _, r := range everyRole() {
		xf, err := b.Style(r.style)
		require.NoError(t, err, r.name)
		require.Positive(t, xf, "0 is the format of cells that have none")
		first[r.style] = xf
	}
	numbers := map[int]bool{}
	for s, xf := range first {
		again, err := b.Style(s)
		require.NoError(t, err)
		assert.Equal(t, xf, again)
		numbers[xf] = true
	}
	// Label and CalcText differ in their indent, so all are formats of their own.
	assert.Len(t, numbers, len(first))

	other := New("Arial", 10)
	for _, r := range everyRole() {
		xf, err := other.Style(r.style)
		require.NoError(t, err)
		assert.Equal(t, first[r.style], xf, "numbers follow the order of asking")
	}
}

func TestStylesCarryFontFormatAndAlignment(t *testing.T) {
	b := New("Verdana", 9)
	xf, err := b.Style(Style{Role: Calc, Format: `0.00" in"`, Align: Centre})
	require.NoError(t, err)
	got, err := b.file.GetStyle(xf)
	require.NoError(t, err)
	assert.Equal(t, "Verdana", got.Font.Family)
	assert.InDelta(t, 9, got.Font.Size, 0)
	assert.Equal(t, `0.00" in"`, *got.CustomNumFmt)
	assert.Equal(t, "center", got.Alignment.Horizontal)

	_, err = b.Style(Style{Role: Link + 1})
	assert.ErrorContains(t, err, "role")
}

// TestRolesAreToldApartWithoutColour holds the formats against each other with
// all colours taken out, as a printer or an eye may do.
func TestRolesAreToldApartWithoutColour(t *testing.T) {
	b := New("", 0)
	bare := func(r Role) string {
		x := b.format(Style{Role: r})
		sides := ""
		for _, l := range x.Border {
			sides += fmt.Sprintf("%s%d ", l.Type, l.Style)
		}
		pattern := 0
		if x.Fill.Pattern != solid { // a tint may vanish; hatching does not
			pattern = x.Fill.Pattern
		}
		return fmt.Sprint(x.Font.Bold, x.Font.Italic, x.Font.Size, sides, pattern)
	}
	seen := map[string]Role{}
	for _, r := range []Role{Title, Section, Heading, GroupHeading, Words, Key, Input, Override, Refused, Total, Master, Note, Caution} {
		before, twice := seen[bare(r)]
		assert.False(t, twice, "roles %d and %d look alike", before, r)
		seen[bare(r)] = r
	}
	assert.Equal(t, bare(Calc), bare(Words), "what is worked out has no mark of its own")
}

// TestWordsStandOutFromTheirFill uses the contrast ratio of the Web Content
// Accessibility Guidelines 2.1, success criterion 1.4.3, which asks for 4.5 : 1
// (formula from memory). It gives 21 for black on white.
func TestWordsStandOutFromTheirFill(t *testing.T) {
	require.InDelta(t, 21, contrast(t, black, paper), 1e-9)
	b := New("", 0)
	for _, r := range everyRole() {
		x := b.format(r.style)
		under := paper
		if len(x.Fill.Color) > 0 {
			under = x.Fill.Color[0] // of a hatch the ink: the worst case
		}
		assert.GreaterOrEqual(t, contrast(t, x.Font.Color, under), 4.5, r.name)
	}
	for i, grey := range fills() {
		assert.GreaterOrEqual(t, contrast(t, inks()[i], grey), 4.5, "series %d", i+1)
		assert.GreaterOrEqual(t, contrast(t, paper, grey), 3.0, "series %d and the paper: success criterion 1.4.11 (from memory)", i+1)
		if i > 0 {
			assert.GreaterOrEqual(t, contrast(t, fills()[i-1], grey), 2.0, "series %d and its neighbour", i+1)
		}
	}
	assert.GreaterOrEqual(t, contrast(t, flagged().Font.Color, flagged().Fill.Color[0]), 7.0)
}

func contrast(t *testing.T, a, b string) float64 {
	light := func(hex string) float64 {
		v, err := strconv.ParseUint(hex, 16, 32)
		require.NoError(t, err)
		part := func(shift int) float64 {
			c := float64(v>>shift&0xff) / 255
			if c <= 0.03928 {
				return c / 12.92
			}
			return math.Pow((c+0.055)/1.055, 2.4)
		}
		return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0) + 0.05
	}
	return max(light(a), light(b)) / min(light(a), light(b))
}

func TestRowHeight(t *testing.T) {
	b := New("", 11)
	one := b.RowHeight(Calc, "12.5", 10)
	assert.InDelta(t, 15, one, 2, "about the standard height of a row at 11 points")
	assert.Equal(t, one, b.RowHeight(Calc, "a long remark that is not wrapped at all", 10))
	assert.Greater(t, b.RowHeight(Title, "Summary", 10), one)
	assert.InDelta(t, 2*(one-1), b.RowHeight(Words, "one\ntwo", 40)-1, 0.5)
	assert.InDelta(t, 3*(one-1), b.RowHeight(Words, "aaaaaaaaa bbbbbbbbb ccccccccc", 10)-1, 0.5)
	assert.InDelta(t, 3*(one-1), b.RowHeight(Words, "aaaaaaaaaaaaaaaaaaaaaaaaaaa", 10)-1, 0.5)

	assert.InDelta(t, 8, Digits("12345678"), 1e-9)
	assert.Equal(t, 2, Lines("Price, all cars ($)", 13), "of letters as they are, not of so many digits")
	assert.Equal(t, 1, Lines("little tilt", 8), "narrow letters")
	assert.Equal(t, 2, Lines("Mm Ww Mm Ww", 11), "wide ones")
	assert.Equal(t, 2, Lines("Spyder Demo-B", 12.5), "broken behind a hyphen")

	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-z°é]{1,15}[ \n]?){0,40}`).Draw(t, "text")
		width := rapid.Float64Range(3, 60).Draw(t, "width")
		h := b.RowHeight(Words, text, width)
		assert.LessOrEqual(t, h, b.RowHeight(Words, text+" more", width))
		assert.GreaterOrEqual(t, h, b.RowHeight(Words, text, width*1e6))
	})
}

func TestBooksBuiltAlikeAreEqual(t *testing.T) {
	build := func() []byte {
		b := New("Calibri", 11)
		for _, title := range []string{"One", "Two"} {
			require.NoError(t, b.AddSheet(Sheet{
				Title: title, Widths: []float64{10, 0, 12}, FreezeRow: 2, Flags: []string{"A1:A9"},
				Charts: []Chart{{At: "E2", Title: "T", Names: "'One'!$A$1:$A$2", Values: "'One'!$B$1:$B$2"}},
				Print:  Print{Area: "A1:B9", TitleRows: "1:1"},
			}))
		}
		for _, r := range everyRole() {
			_, err := b.Style(r.style)
			require.NoError(t, err)
		}
		src, err := b.Bytes()
		require.NoError(t, err)
		again, err := b.Bytes()
		require.NoError(t, err)
		require.True(t, bytes.Equal(src, again), "the same book, written twice, differs")
		return src
	}
	first := build()
	for range 10 { // what depends on the order of a map shows after a few tries
		require.True(t, bytes.Equal(first, build()), "two books built alike differ")
	}
}

func TestBookBearsNoNamesOfOthers(t *testing.T) {
	b := New("", 0)
	src, err := b.Bytes()
	require.NoError(t, err)
	f := reopen(t, src)
	doc, err := f.GetDocProps()
	require.NoError(t, err)
	assert.Equal(t, "seamtally", doc.Creator)
	assert.Empty(t, doc.LastModifiedBy)
	app, err := f.GetAppProps()
	require.NoError(t, err)
	assert.Equal(t, "seamtally", app.Application)
	assert.Len(t, f.GetSheetList(), 1, "a file needs a sheet")
}

func reopen(t *testing.T, src []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(src))
	require.NoError(t, err)
	t.Cleanup(func() { _ = f.Close() })
	return f
}
