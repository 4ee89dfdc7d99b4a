package workbook

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
)

const oddTable = `<x:table xmlns:x="` + markup.SheetNS + `" id="3" displayName="Joints" ref="B2:D9" totalsRowCount="1">` +
	`<x:autoFilter ref="B2:D8"><x:filterColumn colId="2"/></x:autoFilter>` +
	`<x:sortState ref="B3:D8"><x:sortCondition ref="D3:D8"/></x:sortState>` +
	`<x:tableColumns count="3"><x:tableColumn id="1" name="OD"/><x:tableColumn id="9" name="wall_x000a_mm"/>` +
	`<x:tableColumn id="4" name="qty"><x:totalsRowFormula>1</x:totalsRowFormula></x:tableColumn></x:tableColumns></x:table>`

func TestReadTable(t *testing.T) {
	tb, err := ReadTable("t", []byte(oddTable))
	require.NoError(t, err)
	assert.Equal(t, Table{ID: 3, Name: "Joints", Ref: grid.Range{Row1: 2, Col1: 2, Row2: 9, Col2: 4}, HeaderRows: 1, TotalsRows: 1,
		Columns: []string{"OD", "wall\nmm", "qty"}, HasAutoFilter: true}, tb)
}

func TestGrowAndShrinkTable(t *testing.T) {
	out, heads, err := GrowTable("t", []byte(oddTable), []string{"od", "a\"b\nc", "_x0041_", "od", "QTY"})
	require.NoError(t, err)
	assert.Equal(t, []string{"od_2", "a\"b\nc", "_x0041_", "od_3", "QTY_2"}, heads)
	assert.True(t, parttest.OnlyInserted([]byte(oddTable), out))
	tb, err := ReadTable("t", out)
	require.NoError(t, err)
	assert.Equal(t, grid.Range{Row1: 2, Col1: 2, Row2: 9, Col2: 9}, tb.Ref)
	assert.Equal(t, append([]string{"OD", "wall\nmm", "qty"}, heads...), tb.Columns)
	for _, want := range []string{`ref="B2:I8"`, `ref="B3:I8"`, `ref="D3:D8"`, `count="8"`, `id="10" name="od_2"`, `id="14"`, `name="_x005f_x0041_"`} {
		assert.Contains(t, string(out), want)
	}
	back, err := ShrinkTable("t", out, append(heads, "not there"))
	require.NoError(t, err)
	assert.Equal(t, oddTable, string(back))
	again, err := ShrinkTable("t", back, heads)
	require.NoError(t, err)
	assert.Equal(t, oddTable, string(again))
}

func TestShrinkTableDropsFilters(t *testing.T) {
	out, err := ShrinkTable("t", []byte(oddTable), []string{"QTY"})
	require.NoError(t, err)
	assert.NotContains(t, string(out), "filterColumn")
	assert.NotContains(t, string(out), "sortState")
	tb, err := ReadTable("t", out)
	require.NoError(t, err)
	assert.Equal(t, grid.Range{Row1: 2, Col1: 2, Row2: 9, Col2: 3}, tb.Ref)
	assert.Contains(t, string(out), `<x:autoFilter ref="B2:C8">`)
}

func TestTableRefuses(t *testing.T) {
	_, err := ShrinkTable("t", []byte(oddTable), []string{"wall\nmm"})
	assert.ErrorContains(t, err, `"qty" to its right`)
	_, err = ShrinkTable("t", []byte(oddTable), []string{"od", "wall\nmm", "qty"})
	assert.ErrorContains(t, err, "no columns left")
	_, _, err = GrowTable("t", []byte(strings.Replace(oddTable, " id=", ` tableType="queryTable" id=`, 1)), []string{"a"})
	assert.ErrorContains(t, err, "query")
	_, _, err = GrowTable("t", []byte(strings.ReplaceAll(oddTable, "D9", "F9")), []string{"a"})
	assert.ErrorContains(t, err, "covers 5 columns and lists 3")
	_, _, err = GrowTable("t", []byte(oddTable), make([]string, grid.MaxCol))
	assert.ErrorContains(t, err, "last column")
}

// A table of the spreadsheet library grown and shrunk again is as before, and
// in between the library reads the wider range.
func TestTableProperty(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := excelize.NewFile()
		defer f.Close()
		wide := rapid.IntRange(1, 8).Draw(rt, "columns")
		end := grid.Ref(5, wide)
		require.NoError(rt, f.AddTable("Sheet1", &excelize.Table{Range: "A1:" + end, Name: "t"}))
		var buf bytes.Buffer
		require.NoError(rt, f.Write(&buf))
		p, err := opc.Open(bytes.NewReader(buf.Bytes()), int64(buf.Len()), opc.DefaultLimits())
		require.NoError(rt, err)
		const name = "xl/tables/table1.xml"
		src, err := p.Read(name)
		require.NoError(rt, err)
		var cols []string
		for range rapid.IntRange(0, 5).Draw(rt, "new") {
			cols = append(cols, rapid.StringMatching(`[A-C _x0]{1,8}|Column[1-9]|_x0041_\n?`).Draw(rt, "heading"))
		}
		grown, heads, err := GrowTable(name, src, cols)
		require.NoError(rt, err)
		tb, err := ReadTable(name, grown)
		require.NoError(rt, err)
		require.Equal(rt, heads, append([]string(nil), tb.Columns[wide:]...))
		seen := map[string]bool{}
		for _, c := range tb.Columns {
			require.False(rt, seen[strings.ToLower(c)], "heading %q twice", c)
			seen[strings.ToLower(c)] = true
		}
		back, err := ShrinkTable(name, grown, heads)
		require.NoError(rt, err)
		require.Equal(rt, string(src), string(back))

		e := p.Edit()
		e.Replace(name, grown)
		buf.Reset()
		_, err = e.WriteTo(&buf)
		require.NoError(rt, err)
		g, err := excelize.OpenReader(&buf)
		require.NoError(rt, err)
		defer g.Close()
		tables, err := g.GetTables("Sheet1")
		require.NoError(rt, err)
		require.Equal(rt, fmt.Sprintf("A1:%s", grid.Ref(5, wide+len(cols))), tables[0].Range)
	})
}

func TestEscapes(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := rapid.StringMatching(`[_x0-9a-fA-F\n\t é😀]{0,20}`).Draw(rt, "text")
		require.Equal(rt, s, markup.DecodeEscapes(markup.EncodeEscapes(s)))
	})
	// ECMA-376 part 1, 22.9.2.19 gives _x005F_ as the escape of the underscore,
	// and any UTF-16 code unit as four hex digits (from memory).
	assert.Equal(t, "_x0008_", markup.DecodeEscapes("_x005F_x0008_"))
	assert.Equal(t, "😀", markup.DecodeEscapes("_xD83D__xDE00_"))
	assert.Equal(t, "_x00g1_", markup.DecodeEscapes("_x00g1_"))
}
