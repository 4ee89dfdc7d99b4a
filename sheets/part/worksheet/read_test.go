package worksheet

import (
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/parttest"
)

// readCells gives the cells of a sheet by reference, positions left out.
func readCells(t testing.TB, sheet string, ss Strings) map[string]Cell {
	t.Helper()
	cells := map[string]Cell{}
	_, err := Read(strings.NewReader(sheet), ss, func(r *Row) error {
		for _, c := range r.Cells {
			assert.Equal(t, r.Num, c.Row)
			cells[grid.Ref(c.Row, c.Col)] = c
		}
		return nil
	})
	require.NoError(t, err)
	for ref, c := range cells {
		c.Row, c.Col = 0, 0
		cells[ref] = c
	}
	return cells
}

func stringsOf(t testing.TB, items string) Strings {
	t.Helper()
	ss, err := ReadStrings(strings.NewReader(`<sst xmlns="` + markup.SheetNS + `">` + items + `</sst>`))
	require.NoError(t, err)
	return ss
}

func TestReadTypedCells(t *testing.T) {
	ss := stringsOf(t, `<si><t>plain</t></si><si><r><t>ri</t></r><r><rPr><b/></rPr><t xml:space="preserve">ch </t></r><rPh sb="0" eb="1"><t>no</t></rPh></si>`)
	got := readCells(t, parttest.Sheet(`<row r="2">`+
		`<c r="A2"><v>7</v></c>`+
		`<c r="B2" t="n" s="4"><v> 1.5E-3 </v></c>`+
		`<c r="C2" t="s"><v>1</v></c>`+
		`<c r="D2" t="inlineStr"><is><r><t>a&amp;</t></r><r><t><![CDATA[<b>]]></t></r></is></c>`+
		`<c r="E2" t="str"><f>A2&amp;"x"</f><v>7x</v></c>`+
		`<c r="F2" t="b"><v>1</v></c>`+
		`<c r="G2" t="e"><f>NA()</f><v>#N/A</v></c>`+
		`<c r="H2" s="9"/>`+
		`<c r="I2"><f>A2*2</f></c>`+
		`<c r="J2" t="str"><f>""</f><v></v></c>`+
		`<c r="K2" t="inlineStr"><is><t>_x0041_ _x005F_x0041_ _xD83D__xDE00_ a_x</t></is></c>`+
		`<c r="L2" t="d"><v>2024-02-03</v></c>`+
		`<c r="M2"><v>1E999</v></c>`+
		`<c r="N2" t="s"/>`+
		`<c r="O2"><v/></c>`+
		`<c r="P2"><f t="dataTable" ref="P2:P3" dt2D="0" dtr="0" r1="A1"/><v>3</v></c>`+
		`</row>`), ss)
	want := map[string]Cell{
		"A2": {Kind: Number, Num: 7},
		"B2": {Kind: Number, Num: 0.0015, Style: 4},
		"C2": {Kind: Text, Text: "rich "},
		"D2": {Kind: Text, Text: "a&<b>"},
		"E2": {Kind: Text, Text: "7x", Formula: `A2&"x"`, HasFormula: true},
		"F2": {Kind: Bool, Num: 1},
		"G2": {Kind: Error, Text: "#N/A", Formula: "NA()", HasFormula: true},
		"H2": {Style: 9},
		"I2": {Formula: "A2*2", HasFormula: true},
		"J2": {Kind: Text, Formula: `""`, HasFormula: true},
		"K2": {Kind: Text, Text: "A _x0041_ \U0001F600 a_x"},
		"L2": {Kind: Text, Text: "2024-02-03", ISODate: true},
		"M2": {Kind: Error, Text: "#NUM!"},
		"N2": {},
		"O2": {},
		"P2": {Kind: Number, Num: 3, HasFormula: true},
	}
	assert.Equal(t, want, got)
}

// Odd but legal forms of one sheet read the same.
func TestReadOddForms(t *testing.T) {
	want := map[string]Cell{"A1": {Kind: Number, Num: 1}, "C1": {Kind: Number, Num: 3}, "D1": {Kind: Number, Num: 4}, "A3": {Kind: Text, Text: "é"}, "A4": {Kind: Bool}}
	plain := `<row r="1"><c r="A1"><v>1</v></c><c r="C1"><v>3</v></c><c r="D1"><v>4</v></c></row><row r="3"><c r="A3" t="inlineStr"><is><t>é</t></is></c></row><row r="4"><c r="A4" t="b"><v>0</v></c></row>`
	bare := `<row><c><v>1</v></c><c r="C1"><v>3</v></c><c><v>4</v></c></row><row r="3"><c t="inlineStr"><is><t>é</t></is></c></row><row><c t="b"><v>false</v></c></row>`
	prefixed := strings.NewReplacer("</", "</x:", "<", "<x:").Replace(plain)
	spaced := strings.ReplaceAll(strings.ReplaceAll(plain, "><", ">\r\n  <"), `r="1"`, ` r = '1' `)
	for name, sheet := range map[string]string{
		"plain":    parttest.Sheet(plain),
		"bare":     parttest.Sheet(bare),
		"prefix":   `<x:worksheet xmlns:x="` + markup.SheetNS + `"><x:sheetData>` + prefixed + `</x:sheetData></x:worksheet>`,
		"strict":   strings.ReplaceAll(parttest.Sheet(plain), markup.SheetNS, markup.StrictSheetNS),
		"mark":     "\xEF\xBB\xBF" + parttest.Sheet(plain),
		"spaced":   parttest.Sheet(spaced),
		"comments": parttest.Sheet("<!-- <row> --><?pi x?>" + strings.ReplaceAll(plain, "<v>", "<!--c--><v>")),
		"two names of one space": `<worksheet xmlns="` + markup.SheetNS + `" xmlns:x="` + markup.SheetNS + `"><x:sheetData>` + plain +
			`</x:sheetData></worksheet>`,
		"declared inside": `<x:worksheet xmlns:x="` + markup.SheetNS + `"><sheetData xmlns="` + markup.SheetNS + `">` + plain + `</sheetData></x:worksheet>`,
		"foreign rows":    parttest.Sheet(plain + `<row xmlns="other" r="9"><c r="A9"><v>9</v></c></row>`),
		"extensions":      strings.Replace(parttest.Sheet(plain), "</worksheet>", `<extLst><ext><row r="1"><c/></row></ext></extLst></worksheet>`, 1),
		"entities":        parttest.Sheet(strings.NewReplacer("é", "&#xE9;", `r="C1"`, `r="&#67;1"`).Replace(plain)),
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, want, readCells(t, sheet, Strings{}))
			_, err := Read(iotest.OneByteReader(strings.NewReader(sheet)), Strings{}, nil)
			assert.NoError(t, err)
		})
	}
}

func TestReadSheetInfo(t *testing.T) {
	info, err := Read(strings.NewReader(`<worksheet xmlns="`+markup.SheetNS+`" xmlns:q="r">`+
		`<sheetPr filterMode="1"><tabColor rgb="FF0000"/><outlinePr summaryBelow="0" summaryRight="0"/></sheetPr>`+
		`<dimension ref="A1:C9"/><sheetViews><sheetView rightToLeft="1" zoomScale="85"/></sheetViews>`+
		`<sheetFormatPr defaultRowHeight="15" defaultColWidth="9.5" outlineLevelRow="1" outlineLevelCol="2"/>`+
		`<cols><col min="2" max="3" width="12.5" style="4" hidden="1" outlineLevel="2" collapsed="1"/><col min="5" max="16384"/></cols>`+
		`<sheetData><row r="1" hidden="1" outlineLevel="3" collapsed="1" ht="20"><c r="C1" s="1"/></row>`+
		`<row r="4"><c r="A4"><v>1</v></c><c r="B4"><f>A4</f></c><c r="F4" s="2"/></row><row r="5" ht="1.5"><c r="A5"><v>2</v></c></row><row r="7"/></sheetData>`+
		`<sheetProtection sheet="1"/><autoFilter ref="A3:C9"/><mergeCells><mergeCell ref="A1:B1"/><mergeCell ref="D4:D5"/></mergeCells>`+
		`<drawing q:id="rId1"/><legacyDrawing q:id="rId2"/><tableParts count="1"><tablePart q:id="rId3"/></tableParts></worksheet>`),
		Strings{}, func(r *Row) error {
			if r.Num == 1 {
				assert.Equal(t, Row{Num: 1, Hidden: true, OutlineLevel: 3, Collapsed: true, Height: 20, Cells: []Cell{{Row: 1, Col: 3, Style: 1}}}, *r)
			} else {
				assert.Equal(t, Row{Num: r.Num, Height: map[int]float64{5: 1.5}[r.Num], Cells: r.Cells}, *r)
			}
			return nil
		})
	require.NoError(t, err)
	assert.Equal(t, &Info{
		Dimension: "A1:C9", SummaryLeft: true, SummaryAbove: true, FilterMode: true, RightToLeft: true, Zoom: 85,
		DefaultColWidth: 9.5, OutlineLevelRow: 1, OutlineLevelCol: 2,
		Cols:      []Col{{Min: 2, Max: 3, Width: 12.5, Style: 4, Hidden: true, OutlineLevel: 2, Collapsed: true}, {Min: 5, Max: grid.MaxCol, Style: -1}},
		Protected: true, AutoFilter: "A3:C9", MergedCells: []string{"A1:B1", "D4:D5"},
		DrawingRel: "rId1", LegacyDrawingRel: "rId2", TableRels: []string{"rId3"},
		LastRow: 5, LastCol: 2, Rows: 4, Cells: 5, Formats: Formats{false, true, true, false, true},
		OddRows: []OddRow{{Num: 1, Hidden: true, Collapsed: true, OutlineLevel: 3}, {Num: 5, Flat: true, Filled: true}}, Filled: []bool{true, true},
	}, info)
}

func TestSharedFormulas(t *testing.T) {
	got := readCells(t, parttest.Sheet(`<row r="2"><c r="B2"><f t="shared" ref="B2:B4" si="0">A2*$A$1</f><v>1</v></c></row>`+
		`<row r="3"><c r="B3"><f t="shared" si="0"/><v>2</v></c><c r="C3"><f t="shared" si="0">ignored</f></c><c r="D3"><f t="shared" si="8"/></c></row>`+
		`<row r="4"><c r="B4"><f t="shared" ref="B4:B5" si="0">A4+1</f></c></row><row r="5"><c r="B5"><f t="shared" si="0"/></c></row>`), Strings{})
	for ref, want := range map[string]string{"B2": "A2*$A$1", "B3": "A3*$A$1", "C3": "B3*$A$1", "D3": "", "B4": "A4+1", "B5": "A5+1"} {
		assert.Equal(t, want, got[ref].Formula, ref)
		assert.True(t, got[ref].HasFormula, ref)
	}
}

func TestReadSheetRefuses(t *testing.T) {
	row := func(cells string) string { return parttest.Sheet(`<row r="7">` + cells + `</row>`) }
	for name, c := range map[string]struct{ sheet, want string }{
		"nothing":             {"", "no content"},
		"utf-16":              {"\xFF\xFE<\x00w\x00", "UTF-16"},
		"utf-16 without mark": {"<\x00w\x00", "UTF-16"},
		"other encoding":      {`<?xml version="1.0" encoding="windows-1252"?><worksheet/>`, "windows-1252"},
		"other root":          {`<chartsheet xmlns="` + markup.SheetNS + `"/>`, "root element is <chartsheet>"},
		"other space":         {`<worksheet xmlns="urn:other"/>`, "root element is <worksheet>"},
		"no space":            {`<worksheet/>`, "root element is <worksheet>"},
		"cut in a cell":       {parttest.Sheet(`<row r="7"><c r="C7"><v>1`)[:170], "cell C7"},
		"cut behind a row":    {strings.TrimSuffix(parttest.Sheet(""), "</sheetData></worksheet>"), "ends inside <sheetData>"},
		"wrong end tag":       {row(`<c r="C7"><v>1</c></v>`), "</c> where </v>"},
		"end too many":        {parttest.Sheet("") + "</worksheet>", "closes nothing"},
		"second root":         {parttest.Sheet("") + "<a/>", "second root"},
		"text behind":         {parttest.Sheet("") + "x", "outside of the root"},
		"doctype":             {`<!DOCTYPE a [<!ENTITY b "c">]>` + parttest.Sheet(""), "document type"},
		"unknown entity":      {row(`<c r="A7" t="str"><v>&b;</v></c>`), "not well-formed"},
		"bad utf-8":           {row("<c r=\"A7\" t=\"str\"><v>\xff</v></c>"), "UTF-8"},
		"row twice":           {parttest.Sheet(`<row r="7"/><row r="7"/>`), "row 7 comes after row 7"},
		"rows descend":        {parttest.Sheet(`<row r="7"/><row r="3"/>`), "row 3 comes after row 7"},
		"row 0":               {parttest.Sheet(`<row r="0"/>`), "row number"},
		"row too far":         {parttest.Sheet(`<row r="1048577"/>`), "row number"},
		"row after the last":  {parttest.Sheet(`<row r="1048576"/><row/>`), "more than 1048576"},
		"cell twice":          {row(`<c r="B7"/><c r="B7"/>`), "cell B7"},
		"cells descend":       {row(`<c r="C7"/><c r="B7"/>`), "comes after column C"},
		"cell of another row": {row(`<c r="C8"/>`), "stands in row 7"},
		"no reference":        {row(`<c r="7"/>`), "row 7"},
		"cell after the last": {row(`<c r="XFD7"/><c/>`), "more than 16384"},
		"no number":           {row(`<c r="C7"><v>abc</v></c>`), `cell C7`},
		"hexadecimal":         {row(`<c r="C7"><v>0x10</v></c>`), `"0x10"`},
		"infinite":            {row(`<c r="C7"><v>INF</v></c>`), `"INF"`},
		"no such string":      {row(`<c r="C7" t="s"><v>3</v></c>`), `shared string "3"`},
		"unknown type":        {row(`<c r="C7" t="z"><v>3</v></c>`), "type of cell"},
		"column definition":   {`<worksheet xmlns="` + markup.SheetNS + `"><cols><col min="3" max="2"/></cols></worksheet>`, "columns 3 to 2"},
		"too deep":            {parttest.Sheet(strings.Repeat("<a>", 400)), "deeper"},
	} {
		t.Run(name, func(t *testing.T) {
			info, err := Read(strings.NewReader(c.sheet), Strings{}, nil)
			require.ErrorContains(t, err, c.want)
			assert.Nil(t, info)
			var at *markup.Fault
			require.ErrorAs(t, err, &at)
			assert.ErrorContains(t, err, "byte ")
			// The splicer refuses the same.
			assert.ErrorContains(t, Splice(io.Discard, strings.NewReader(c.sheet), Edit{Editor: edits{}, RemoveCols: []Col{{Min: 1, Max: 1}}}), c.want)
		})
	}
}

func TestReadErrorsComeThrough(t *testing.T) {
	stop := errors.New("enough")
	n := 0
	_, err := Read(strings.NewReader(parttest.Sheet(`<row/><row/><row/>`)), Strings{}, func(*Row) error {
		if n++; n == 2 {
			return stop
		}
		return nil
	})
	assert.Equal(t, stop, err)
	assert.Equal(t, 2, n)
	sheet := io.MultiReader(strings.NewReader(parttest.Sheet("<row/>")[:150]), iotest.ErrReader(stop))
	_, err = Read(sheet, Strings{}, nil)
	assert.ErrorIs(t, err, stop)
}

func TestSharedStrings(t *testing.T) {
	ss := stringsOf(t, `<si><t>a</t></si><si/><si><t xml:space="preserve"> b
</t></si><si><t>c_x000D_</t></si><extLst><ext><si><t>no</t></si></ext></extLst>`)
	require.Equal(t, 4, ss.Len())
	for i, want := range []string{"a", "", " b\n", "c\r"} {
		got, ok := ss.At(i)
		assert.True(t, ok)
		assert.Equal(t, want, got)
	}
	for _, i := range []int{-1, 4} {
		_, ok := ss.At(i)
		assert.False(t, ok)
	}
	_, err := ReadStrings(strings.NewReader(`<sst xmlns="` + markup.SheetNS + `"><si>`))
	assert.ErrorContains(t, err, "shared strings")
}

func TestTapeGivesUpOnEndlessRows(t *testing.T) {
	if testing.Short() {
		t.Skip("reads 256 MB")
	}
	start := parttest.Sheet(`<row r="1"><c r="A1"><v>`)
	_, err := Read(io.MultiReader(strings.NewReader(start[:strings.Index(start, "</sheetData")]), endless{}), Strings{}, nil)
	assert.ErrorContains(t, err, "64 MB")
}

type endless struct{}

func (endless) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = '1'
	}
	return len(b), nil
}

func TestSourceThatGivesNothing(t *testing.T) {
	_, err := Read(lazy{}, Strings{}, nil)
	assert.ErrorIs(t, err, io.ErrNoProgress)
}

type lazy struct{}

func (lazy) Read([]byte) (int, error) { return 0, nil }

// The form is that of xsd:double (XML Schema part 2, 3.2.5), less INF and NaN.
func TestNumbersReadBack(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 0.1: "0.1", 76.2: "76.2", -3: "-3", 1e15: "1E+15", 999999999999999: "999999999999999",
		1.0 / 3: "0.3333333333333333", 1e-7: "1E-07", 0.00001: "0.00001", 5e-324: "5E-324",
		math.Copysign(0, -1): "0",
	} {
		assert.Equal(t, want, string(markup.AppendNumber(nil, v)))
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		text := string(markup.AppendNumber(nil, v))
		require.Regexp(t, `^-?[0-9]+(\.[0-9]+)?(E[+-][0-9]+)?$`, text)
		back, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		require.Equal(t, v, back)
	})
}

func TestKindNames(t *testing.T) {
	assert.Equal(t, "number", Number.String())
	assert.Equal(t, "kind 9", Kind(9).String())
}
