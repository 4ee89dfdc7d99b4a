package sheetstest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStripSheet(t *testing.T) {
	for name, c := range map[string]struct {
		in, out string
		n       int
	}{
		"value and type go, style stays": {
			`<c r="A1" s="2" t="str"><f>"a"</f><v>a</v></c>`, `<c r="A1" s="2"><f>"a"</f></c>`, 1},
		"type first, single quotes": {
			`<c t='e' r='A1'><f>1/0</f><v>#DIV/0!</v></c>`, `<c r='A1'><f>1/0</f></c>`, 1},
		"dependant of a shared formula": {
			`<c r="A2"><f t="shared" si="0"/><v>5</v></c>`, `<c r="A2"><f t="shared" si="0"/></c>`, 1},
		"value before formula": {
			`<c r="A1"><v>5</v><f>2+3</f></c>`, `<c r="A1"><f>2+3</f></c>`, 1},
		"self-closed value": {
			`<c r="A1" t="str"><f>""</f><v/></c>`, `<c r="A1"><f>""</f></c>`, 1},
		"constants keep theirs": {
			`<c r="A1"><v>5</v></c><c r="B1" t="s"><v>0</v></c><c r="C1" s="1"/>`,
			`<c r="A1"><v>5</v></c><c r="B1" t="s"><v>0</v></c><c r="C1" s="1"/>`, 0},
		"formula without a value": {
			`<c r="A1" t="b"><f>TRUE</f></c>`, `<c r="A1"><f>TRUE</f></c>`, 0},
	} {
		t.Run(name, func(t *testing.T) {
			const head, tail = `<?xml version="1.0"?><worksheet><sheetData><row r="1">`, `</row></sheetData><v>kept</v></worksheet>`
			got, n, err := stripSheet([]byte(head + c.in + tail))
			require.NoError(t, err)
			assert.Equal(t, head+c.out+tail, string(got))
			assert.Equal(t, c.n, n)
		})
	}
	t.Run("prefixed names", func(t *testing.T) {
		got, n, err := stripSheet([]byte(`<x:worksheet><x:sheetData><x:row><x:c r="A1"><x:f>1</x:f><x:v>2</x:v></x:c></x:row></x:sheetData></x:worksheet>`))
		require.NoError(t, err)
		assert.Equal(t, `<x:worksheet><x:sheetData><x:row><x:c r="A1"><x:f>1</x:f></x:c></x:row></x:sheetData></x:worksheet>`, string(got))
		assert.Equal(t, 1, n)
	})
	t.Run("another part", func(t *testing.T) {
		in := `<sst><si><c><f>1</f><v>2</v></c></si></sst>`
		got, n, err := stripSheet([]byte(in))
		require.NoError(t, err)
		assert.Equal(t, in, string(got))
		assert.Zero(t, n)
	})
	t.Run("torn part", func(t *testing.T) {
		_, _, err := stripSheet([]byte(`<worksheet><sheetData><row><c`))
		assert.Error(t, err)
	})
}
