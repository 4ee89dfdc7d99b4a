package notes_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/look"
	"seamtally/sheets/notes"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/worksheet"
)

// What a comment says is read without its author's name, as a whole and line by line.
func TestComments(t *testing.T) {
	long := strings.Repeat("as we have said ", 20)
	f := excelize.NewFile()
	for cell, c := range map[string][2]string{
		"B2": {"Ann", "Ann:\nx2  on\nthis car"}, "C2": {"Ann", "Note:\nskip"}, "A5": {"Ann", "Ann:\n"}, "B7": {"", long + ". Double all. So be it."},
	} {
		require.NoError(t, f.AddComment("Sheet1", excelize.Comment{Cell: cell, Author: c[0], Text: c[1]}))
	}
	buf, err := f.WriteToBuffer()
	require.NoError(t, err)
	p, err := opc.OpenBytes(buf.Bytes())
	require.NoError(t, err)
	s, err := notes.Read(p, "xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	assert.Equal(t, []int{2, 7}, s.Rows())
	assert.ElementsMatch(t, []notes.Note{
		{Row: 2, Col: 2, Words: "x2 on this car", Ways: []string{"x2 on this car", "x2 on", "this car"}},
		{Row: 2, Col: 3, Words: "Note: skip", Ways: []string{"Note: skip", "Note:", "skip"}},
	}, s.Take(2))
	assert.Empty(t, s.Take(2), "taken once")
	letter := s.Take(7)
	require.Len(t, letter, 1)
	assert.Equal(t, []string{"Double all", "So be it."}, letter[0].Ways)
	assert.Less(t, len(letter[0].Words), len(long))
}

// The codes in a header say how it looks (ECMA-376 part 1, 18.3.1.46), and are no words.
func TestPages(t *testing.T) {
	for text, want := range map[string][]string{
		"": nil, "&P": nil, "&LPage &P of &N": {"Page of"}, "&C&\"Some Face,Bold\"&14double all&R&D &T": {"double all"},
		"&Lrev B&Cwall now .065": {"rev B", "wall now .065"}, "&K01+048grade 5": {"grade 5"}, "&KFF0000&B&Umirror&U": {"mirror"},
		"R&&D": {"R&D"}, "&8 2 off": {"2 off"}, "&P+3 pages": {"pages"}, "one\ntwo": {"one", "two"}, "&é all": {"&é all"}, "all &": {"all"}, "&K1": nil, "&\"": nil,
	} {
		assert.Equal(t, want, notes.OnPages(worksheet.Pages{Words: []string{text}}), text)
	}
	assert.Empty(t, notes.OnPages(worksheet.Pages{Words: []string{look.Footer("double all")}}), "our own")
}

// Whatever a header has in it is read without an end to the run.
func FuzzPages(f *testing.F) {
	for _, text := range []string{"", "&", "&K", "&Kff", "&\"", "&P-", "&9", "&é", "&L&C&R", "\x00\xff"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, line := range notes.OnPages(worksheet.Pages{Words: []string{text}}) {
			assert.NotEmpty(t, line)
			assert.LessOrEqual(t, len(line), len(text))
		}
	})
}
