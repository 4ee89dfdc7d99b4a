package worksheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/markup"
)

func TestSetRowBreaks(t *testing.T) {
	around := func(s string) string {
		return `<worksheet xmlns="` + markup.SheetNS + `"><sheetData/>` + s + `</worksheet>`
	}
	const foot = `<headerFooter><oddFooter>x</oddFooter></headerFooter>`
	const two = `<rowBreaks count="2" manualBreakCount="2"><brk id="9" max="16383" man="1"/><brk id="19" max="16383" man="1"/></rowBreaks>`
	for _, c := range []struct {
		from string
		rows []int
		want string
	}{
		{foot, []int{10, 20}, foot + two},
		{foot + two, []int{10, 20}, foot + two},
		{foot + `<rowBreaks count="1"><brk id="4"></brk></rowBreaks><drawing/>`, []int{10, 20}, foot + two + `<drawing/>`},
		{foot + two + `<drawing/>`, nil, foot + `<drawing/>`},
		{foot, nil, foot},
		{`<rowBreaks/>`, []int{10}, `<rowBreaks/>`},
	} {
		out, err := SetRowBreaks("sheet", []byte(around(c.from)), c.rows)
		require.NoError(t, err)
		assert.Equal(t, around(c.want), string(out))
	}
	_, err := SetRowBreaks("sheet", []byte(around(foot)[:80]), nil)
	require.ErrorContains(t, err, "sheet: ")
}
