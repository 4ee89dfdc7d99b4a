package opc

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/parttest"
)

// Many parts, each under the limit of one, are looked at together.
func TestRatioOfAllParts(t *testing.T) {
	blank := strings.Repeat(" ", 40_000)
	data := parttest.Zipped(t, ContentTypes, "<Types/>", "a.xml", blank, "b.xml", blank, "c.xml", blank)
	assert.NoError(t, openErr(data, Limits{Ratio: 100, RatioFrom: 200_000}))
	assert.Equal(t, NotWithinLimits, reasonOf(t, openErr(data, Limits{Ratio: 100, RatioFrom: 100_000})))
}

// A part that is held as a whole is looked at before it is unpacked.
func TestWholePartsAreSmall(t *testing.T) {
	data := parttest.Zipped(t, ContentTypes, "<Types/>", "a.xml", strings.Repeat(" ", 40_000))
	p, err := Open(bytes.NewReader(data), int64(len(data)), Limits{Whole: 10_000})
	require.NoError(t, err)
	_, err = p.Read("a.xml")
	assert.Equal(t, NotWithinLimits, reasonOf(t, err))
	_, err = p.Read(ContentTypes)
	assert.NoError(t, err)
}

// A part that cannot be unpacked is named, with what to do: one that is packed
// in a way of which nothing is known (method 99 here; .ZIP file format
// specification, 4.4.5), and one whose place in the file is wrong.
func TestPartsThatCannotBeUnpacked(t *testing.T) {
	whole := parttest.Zipped(t, ContentTypes, "<Types/>", "a.xml", "text")
	record := bytes.LastIndex(whole, []byte("PK\x01\x02"))
	for says, change := range map[string]func(data []byte){
		"part a.xml is packed in an unusual way, which is not read; save": func(data []byte) { data[record+10] = 99 },
		"part a.xml is damaged; restore":                                  func(data []byte) { data[record+42]++ },
	} {
		data := bytes.Clone(whole)
		change(data)
		_, err := parttest.Open(t, data, OpenBytes).Open("a.xml")
		assert.ErrorContains(t, err, says)
	}
}
