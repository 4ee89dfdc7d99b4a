package sheetstest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is taken is worked out by hand, by ECMA-376 part 3 (from memory).
func TestSeen(t *testing.T) {
	const src = `<a xmlns:m="` + mcSpace + `" xmlns:s="http://schemas.openxmlformats.org/spreadsheetml/2006/main"> <b/>` +
		`<m:AlternateContent> <m:Choice Requires="x y" xmlns:x="urn:x" xmlns:y="urn:y"><c/></m:Choice>` +
		`<m:Choice Requires="x" xmlns:x="urn:x">1<d/><m:AlternateContent><m:Choice Requires="none"><e/></m:Choice></m:AlternateContent></m:Choice>` +
		`<m:Fallback><f/><m:AlternateContent><m:Choice Requires="s"><g>2</g></m:Choice><m:Fallback><h/></m:Fallback></m:AlternateContent></m:Fallback>` +
		`</m:AlternateContent><!--3--></a>`
	for want, known := range map[string][]string{
		`<b/><f/><g>2</g><!--3-->`: nil,
		`<b/>1<d/><!--3-->`:        {"urn:x"},
		`<b/><c/><!--3-->`:         {"urn:y", "urn:x"},
	} {
		got, err := Seen([]byte(src), known...)
		require.NoError(t, err)
		assert.Equal(t, src[:len(`<a xmlns:m="`+mcSpace+`" xmlns:s="http://schemas.openxmlformats.org/spreadsheetml/2006/main"> `)]+want+`</a>`, string(got))
	}
	got, err := Seen([]byte("<a/>"))
	require.NoError(t, err)
	assert.Equal(t, "<a/>", string(got))
	_, err = Seen([]byte("<a xmlns:m='" + mcSpace + "'><"))
	assert.Error(t, err)
}
