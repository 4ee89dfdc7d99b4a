package worksheet

import (
	"bytes"
	"errors"
	"io"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/parttest"
)

// edits is an Editor over a map of row edits.
type edits map[int]RowEdit

func (e edits) Row(r *Row) (RowEdit, error) { return e[r.Num], nil }

func (e edits) Next(after int) int {
	next := 0
	for num := range e {
		if num > after && (next == 0 || num < next) {
			next = num
		}
	}
	return next
}

func num(col int, v float64) NewCell { return NewCell{Col: col, Kind: Number, Num: v} }
func str(col int, s string) NewCell  { return NewCell{Col: col, Kind: Text, Text: s} }
func calc(col int, f string, v float64) NewCell {
	return NewCell{Col: col, Kind: Number, Num: v, Formula: f}
}

func cellsOf(cells ...NewCell) RowEdit {
	sort.Slice(cells, func(i, j int) bool { return cells[i].Col < cells[j].Col })
	return RowEdit{Cells: cells}
}

// splice edits a sheet, and again, which must change nothing.
func splice(t testing.TB, sheet string, ed Edit) string {
	t.Helper()
	var once, twice bytes.Buffer
	require.NoError(t, Splice(&once, strings.NewReader(sheet), ed))
	_, err := Read(bytes.NewReader(once.Bytes()), ed.Strings, nil)
	require.NoError(t, err, once.String())
	require.NoError(t, Splice(&twice, bytes.NewReader(once.Bytes()), ed))
	require.Equal(t, once.String(), twice.String(), "a second run must change nothing")
	return once.String()
}

func TestSpliceRows(t *testing.T) {
	yes, no, two, none := true, false, 2, 0
	for name, c := range map[string]struct {
		rows string
		ed   edits
		want string
	}{
		"nothing to do": {`<row r="1"><c r="A1"/></row>`, nil, `<row r="1"><c r="A1"/></row>`},
		"append": {`<row r="1"><c r="A1"><v>1</v></c></row>`, edits{1: cellsOf(num(3, 2.5))},
			`<row r="1"><c r="A1"><v>1</v></c><c r="C1"><v>2.5</v></c></row>`},
		"before and between": {`<row r="1"><c r="B1"/><c r="E1"/></row>`, edits{1: cellsOf(num(1, 1), num(3, 3), num(4, 4))},
			`<row r="1"><c r="A1"><v>1</v></c><c r="B1"/><c r="C1"><v>3</v></c><c r="D1"><v>4</v></c><c r="E1"/></row>`},
		"formula": {`<row r="1"/>`, edits{1: cellsOf(calc(2, `IF(A1<2,"a&b",1)`, 1))},
			`<row r="1"><c r="B1"><f>IF(A1&lt;2,"a&amp;b",1)</f><v>1</v></c></row>`},
		"every kind": {`<row r="1"/>`, edits{1: {Cells: []NewCell{
			{Col: 1, Style: 3}, {Col: 2, Kind: Bool, Num: 1, Style: 3}, {Col: 3, Kind: Error, Text: "#N/A"},
			{Col: 4, Kind: Text, Text: "x", Formula: "T(A1)"}, {Col: 5, Formula: "A1"}, {Col: 6, Kind: Bool, Formula: "A1=1"},
			{Col: 7, Kind: Text, Text: " a\n"}, {Col: 8, Kind: Text}, {Col: 9, Style: -1, Kind: Number, Num: 9},
		}}},
			`<row r="1"><c r="A1" s="3"/><c r="B1" s="3" t="b"><v>1</v></c><c r="C1" t="e"><v>#N/A</v></c>` +
				`<c r="D1" t="str"><f>T(A1)</f><v>x</v></c><c r="E1"><f>A1</f></c><c r="F1" t="b"><f>A1=1</f><v>0</v></c>` +
				`<c r="G1" t="inlineStr"><is><t xml:space="preserve"> a` + "\n" + `</t></is></c><c r="H1" t="inlineStr"><is><t></t></is></c><c r="I1"><v>9</v></c></row>`},
		"replace": {`<row r="1"><c r="A1" s="5"><v>1</v></c><c r="B1"/></row>`, edits{1: cellsOf(NewCell{Col: 1, Style: -1, Kind: Text, Text: "x"})},
			`<row r="1"><c r="A1" s="5" t="inlineStr"><is><t>x</t></is></c><c r="B1"/></row>`},
		"style only": {`<row r="1"><c r="A1" s="5"><v>1</v></c></row>`, edits{1: cellsOf(NewCell{Col: 1, Style: 7, Kind: Number, Num: 1})},
			`<row r="1"><c r="A1" s="7"><v>1</v></c></row>`},
		"equal keeps its bytes": {`<row r="1"><c  s="0" r="A1" ><v>1.0</v></c><c r="B1"><f ca="1">A1</f><v>2</v></c></row>`,
			edits{1: cellsOf(num(1, 1), calc(2, "A1", 2))},
			`<row r="1"><c  s="0" r="A1" ><v>1.0</v></c><c r="B1"><f ca="1">A1</f><v>2</v></c></row>`},
		"clear": {`<row r="1"><c r="A1" s="5"><v>1</v></c><c r="B1"><v>1</v></c><c r="C1" s="1"/></row>`,
			edits{1: cellsOf(NewCell{Col: 1, Op: Clear, Style: -1}, NewCell{Col: 2, Op: Clear, Style: 4}, NewCell{Col: 3, Op: Clear, Style: -1}, NewCell{Col: 4, Op: Clear, Style: -1})},
			`<row r="1"><c r="A1" s="5"/><c r="B1" s="4"/><c r="C1" s="1"/></row>`},
		"remove": {`<row r="1"><c r="A1"/> <c r="B1"><v>1</v></c> </row>`, edits{1: cellsOf(NewCell{Col: 2, Op: Remove}, NewCell{Col: 3, Op: Remove})},
			`<row r="1"><c r="A1"/>  </row>`},
		"remove all": {`<row r="1" s="1" ><c r="A1"/><c r="B1"><v>1</v></c></row>`, edits{1: cellsOf(NewCell{Col: 1, Op: Remove}, NewCell{Col: 2, Op: Remove})},
			`<row r="1" s="1" />`},
		"remove where places are counted": {`<row><c><v>1</v></c>` + "\n" + `<c><v>2</v></c><c s="1"/></row>`, edits{1: cellsOf(NewCell{Col: 1, Op: Remove})},
			"<row>\n" + `<c r="B1"><v>2</v></c><c s="1"/></row>`},
		"replace where places are counted": {`<row><c><v>1</v></c><c><v>2</v></c></row>`, edits{1: cellsOf(num(1, 5), num(4, 4))},
			`<row><c r="A1"><v>5</v></c><c><v>2</v></c><c r="D1"><v>4</v></c></row>`},
		"new rows": {`<row r="2"/> <row r="5"/>`, edits{1: cellsOf(num(1, 1)), 3: cellsOf(num(1, 3)), 4: {}, 5: cellsOf(num(1, 5)), 9: {Height: 30}},
			`<row r="1"><c r="A1"><v>1</v></c></row><row r="2"/> <row r="3"><c r="A3"><v>3</v></c></row><row r="5"><c r="A5"><v>5</v></c></row><row r="9" ht="30" customHeight="1"/>`},
		"row settings": {`<row r="1" hidden="1" outlineLevel="1" ht="20"/><row r="2" hidden="true" outlineLevel="2" collapsed="1"><c r="A2"/></row>`,
			edits{1: {Hidden: &no, OutlineLevel: &none, Height: 21.5}, 2: {Hidden: &yes, OutlineLevel: &two, Collapsed: &no}, 3: {Hidden: &yes, OutlineLevel: &two, Collapsed: &yes}},
			`<row r="1" ht="21.5" customHeight="1"/><row r="2" hidden="true" outlineLevel="2"><c r="A2"/></row><row r="3" hidden="1" outlineLevel="2" collapsed="1"/>`},
		"spans": {`<row r="1" spans="2:3"><c r="B1"/></row><row r="2" spans="1:9"/><row r="3" spans="1:2 7:8"/>`,
			edits{1: cellsOf(num(5, 1)), 2: cellsOf(num(5, 1)), 3: cellsOf(num(4, 1))},
			`<row r="1" spans="2:5"><c r="B1"/><c r="E1"><v>1</v></c></row><row r="2" spans="1:9"><c r="E2"><v>1</v></c></row><row r="3" spans="1:8"><c r="D3"><v>1</v></c></row>`},
		"row extension stays last": {`<row r="1"><c r="A1"/><extLst><ext/></extLst></row>`, edits{1: cellsOf(num(2, 1))},
			`<row r="1"><c r="A1"/><c r="B1"><v>1</v></c><extLst><ext/></extLst></row>`},
		"escapes": {`<row r="1"/>`, edits{1: cellsOf(str(1, "_x0041_ \x01\r & ]]>"))},
			`<row r="1"><c r="A1" t="inlineStr"><is><t>_x005F_x0041_ _x0001__x000D_ &amp; ]]&gt;</t></is></c></row>`},
		"array formula of one cell": {`<row r="1"><c r="A1" cm="1"><f t="array" ref="A1">B1</f><v>2</v></c></row>`, edits{1: cellsOf(calc(1, "B1", 2))},
			`<row r="1"><c r="A1"><f>B1</f><v>2</v></c></row>`},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, parttest.Sheet(c.want), splice(t, parttest.Sheet(c.rows), Edit{Editor: c.ed}))
			prefix := func(s string) string {
				s = strings.NewReplacer("</", "</y:", "<", "<y:").Replace(s)
				return `<y:worksheet xmlns:y="` + markup.StrictSheetNS + `"><y:sheetData>` + s + `</y:sheetData></y:worksheet>`
			}
			assert.Equal(t, prefix(c.want), splice(t, prefix(c.rows), Edit{Editor: c.ed}))
		})
	}
}

func TestSpliceText(t *testing.T) {
	ss := stringsOf(t, `<si><r><rPr><b/></rPr><t>two</t></r></si>`)
	row := `<row r="1"><c r="A1" t="s"><v>0</v></c></row>`
	assert.Equal(t, parttest.Sheet(row), splice(t, parttest.Sheet(row), Edit{Strings: ss, Editor: edits{1: cellsOf(str(1, "two"))}}))
	for _, text := range []string{"", " ", "_x000d_", "_x005F_", "a\r\nb", "\x00\x1f", "😀", "\uFFFE", `<">'&`} {
		out := splice(t, parttest.Sheet(""), Edit{Editor: edits{1: {Cells: []NewCell{str(1, text), {Col: 2, Kind: Text, Text: text, Formula: "T(A1)"}}}}})
		got := readCells(t, out, Strings{})
		assert.Equal(t, text, got["A1"].Text, "%q", text)
		assert.Equal(t, text, got["B1"].Text, "%q", text)
	}
}

// The parts of a sheet before and behind the rows.
func TestSpliceSections(t *testing.T) {
	right, left := true, false
	rows := edits{2: cellsOf(num(2, 1))}
	newRow := `<row r="2"><c r="B2"><v>1</v></c></row>`
	cols := []Col{{Min: 3, Max: 4, Width: 10, Style: -1, OutlineLevel: 1, Hidden: true}}
	for name, c := range map[string]struct {
		ed       Edit
		in, want string
	}{
		"closed root":           {Edit{Editor: rows}, ``, `<sheetData>` + newRow + `</sheetData>`},
		"closed data":           {Edit{Editor: rows}, `<sheetData/><pageMargins/>`, `<sheetData>` + newRow + `</sheetData><pageMargins/>`},
		"closed data stays too": {Edit{Editor: edits{3: {}, 5: cellsOf(NewCell{Col: 2, Op: Remove})}}, `<sheetData/>`, `<sheetData/>`},
		"closed data stays":     {Edit{Editor: edits{}}, `<sheetData/>`, `<sheetData/>`},
		"no data":               {Edit{Editor: rows}, `<sheetViews/> <pageMargins/>`, `<sheetViews/> <sheetData>` + newRow + `</sheetData><pageMargins/>`},
		"dimension grows":       {Edit{Extent: "B2:D9"}, `<dimension ref='A1:C3' />`, `<dimension ref='A1:D9' />`},
		"dimension covers":      {Edit{Extent: "B2:D9"}, `<dimension ref="$A$1:Z99"/>`, `<dimension ref="$A$1:Z99"/>`},
		"dimension broken":      {Edit{Extent: "B2:D9"}, `<dimension/>`, `<dimension ref="B2:D9"/>`},
		"all new": {Edit{Editor: rows, Cols: cols, SummaryRight: &left, AutoFilterRef: "A1:B2", OutlineLevelRow: 2}, `<sheetData/><mergeCells/>`,
			`<sheetPr><outlinePr summaryRight="0"/></sheetPr><sheetFormatPr defaultRowHeight="15" outlineLevelRow="2" outlineLevelCol="1"/>` +
				`<cols><col min="3" max="4" width="10" hidden="1" customWidth="1" outlineLevel="1"/></cols><sheetData>` + newRow + `</sheetData><autoFilter ref="A1:B2"/><mergeCells/>`},
		"all new at the end": {Edit{Cols: cols, SummaryRight: &left, AutoFilterRef: "A1:B2"}, `<sheetViews/>`,
			`<sheetPr><outlinePr summaryRight="0"/></sheetPr><sheetViews/><sheetFormatPr defaultRowHeight="15" outlineLevelCol="1"/>` +
				`<cols><col min="3" max="4" width="10" hidden="1" customWidth="1" outlineLevel="1"/></cols><autoFilter ref="A1:B2"/>`},
		"all there": {Edit{Cols: cols, SummaryRight: &left, AutoFilterRef: "A1:B2"},
			`<sheetPr codeName="x"><tabColor rgb="1"/><pageSetUpPr/></sheetPr><sheetFormatPr outlineLevelCol="3" defaultRowHeight="12"/><cols><col min="1" max="9" width="7"/></cols><sheetData/><autoFilter ref="A1:A2"><sortState/></autoFilter>`,
			`<sheetPr codeName="x"><tabColor rgb="1"/><outlinePr summaryRight="0"/><pageSetUpPr/></sheetPr><sheetFormatPr outlineLevelCol="3" defaultRowHeight="12"/>` +
				`<cols><col min="1" max="2" width="7"/><col min="3" max="4" width="10" hidden="1" customWidth="1" outlineLevel="1"/><col min="5" max="9" width="7"/></cols><sheetData/><autoFilter ref="A1:B2"><sortState/></autoFilter>`},
		"summary right already":   {Edit{SummaryRight: &right}, `<sheetPr/>`, `<sheetPr/>`},
		"summary back":            {Edit{SummaryRight: &right}, `<sheetPr><outlinePr summaryRight="0" applyStyles="1"/></sheetPr>`, `<sheetPr><outlinePr applyStyles="1"/></sheetPr>`},
		"summary closed":          {Edit{SummaryRight: &left}, `<sheetPr filterMode="1"/>`, `<sheetPr filterMode="1"><outlinePr summaryRight="0"/></sheetPr>`},
		"summary behind colour":   {Edit{SummaryRight: &left}, `<sheetPr><tabColor/></sheetPr>`, `<sheetPr><tabColor/><outlinePr summaryRight="0"/></sheetPr>`},
		"summary kept":            {Edit{}, `<sheetPr><outlinePr summaryRight="0"/></sheetPr>`, `<sheetPr><outlinePr summaryRight="0"/></sheetPr>`},
		"columns in gaps":         {Edit{Cols: []Col{{Min: 2, Max: 8, Style: 3}}}, "<cols> <col min=\"4\" max=\"5\" style=\"1\" bestFit=\"1\"></col>\n</cols>", "<cols><col min=\"2\" max=\"3\" style=\"3\"/> <col min=\"4\" max=\"5\" style=\"3\" bestFit=\"1\"></col><col min=\"6\" max=\"8\" style=\"3\"/>\n</cols>"},
		"equal columns stay":      {Edit{Cols: []Col{{Min: 2, Max: 3, Width: 10, Style: 1}}}, `<cols><col customWidth="true" max="3"  min="2" style="1" width="10.0"/></cols>`, `<cols><col customWidth="true" max="3"  min="2" style="1" width="10.0"/></cols>`},
		"columns removed":         {Edit{RemoveCols: []Col{{Min: 2, Max: 3}, {Min: 9, Max: 12}}}, `<cols><col min="1" max="4" width="5"/><col min="9" max="10"/></cols>`, `<cols><col min="1" max="1" width="5"/><col min="4" max="4" width="5"/></cols>`},
		"columns cut":             {Edit{RemoveCols: []Col{{Min: 3, Max: 3}}}, "<cols>\n <col min=\"1\" max=\"4\"/>\n</cols>", "<cols>\n <col min=\"1\" max=\"2\"/><col min=\"4\" max=\"4\"/>\n</cols>"},
		"columns up to the edge":  {Edit{RemoveCols: []Col{{Min: 2, Max: 2}, {Min: 3, Max: 4}}}, `<cols><col min="1" max="1"/><col min="2" max="4" hidden="1"/><col min="5" max="16384" width="5"/></cols>`, `<cols><col min="1" max="1"/><col min="2" max="16384" width="5"/></cols>`},
		"all columns removed":     {Edit{RemoveCols: []Col{{Min: 1, Max: grid.MaxCol}}}, `<cols><col min="1" max="4"/></cols><sheetData/>`, `<sheetData/>`},
		"columns moved":           {Edit{RemoveCols: []Col{{Min: 2, Max: 2}}, Cols: []Col{{Min: 3, Max: 3, Width: 4, Style: -1}}}, `<cols><col min="2" max="2" width="4"/></cols>`, `<cols><col min="3" max="3" width="4" customWidth="1"/></cols>`},
		"foreign elements stay":   {Edit{Editor: rows}, `<m:AlternateContent xmlns:m="m"><sheetData/></m:AlternateContent><sheetData/>`, `<m:AlternateContent xmlns:m="m"><sheetData/></m:AlternateContent><sheetData>` + newRow + `</sheetData>`},
		"rows of another element": {Edit{Editor: rows}, `<sheetData><x:row xmlns:x="x"><row r="2"/></x:row><!-- <row/> --></sheetData>`, `<sheetData><x:row xmlns:x="x"><row r="2"/></x:row><!-- <row/> -->` + newRow + `</sheetData>`},
	} {
		t.Run(name, func(t *testing.T) {
			wrap := func(s string) string {
				return `<?x?><worksheet xmlns="` + markup.SheetNS + `">` + s + `</worksheet> <!-- end -->`
			}
			in := wrap(c.in)
			if c.in == "" {
				in = `<?x?><worksheet xmlns="` + markup.SheetNS + `"/> <!-- end -->`
			}
			assert.Equal(t, wrap(c.want), splice(t, in, c.ed))
		})
	}
}

func TestSpliceSharedFormula(t *testing.T) {
	sheet := parttest.Sheet(`<row r="2"><c r="B2" s="1"><f t="shared" ref="B2:C3" si="0">A2*2</f><v>1</v></c><c r="C2"><f t="shared" si="0"/><v>5</v></c></row>` +
		`<row r="3"><c r="B3"><f t="shared" si="0"/><v>2</v></c><c r="C3"><f t="shared" si="1" ref="C3:C4">A3</f></c></row>` +
		`<row r="4"><c r="C4"><f t="shared" si="1"/></c></row>`)
	kept := splice(t, sheet, Edit{Editor: edits{2: cellsOf(NewCell{Col: 2, Style: 1, Kind: Number, Num: 1, Formula: "A2*2"}, calc(3, "B2*2", 5)), 3: cellsOf(calc(2, "A3*2", 2))}})
	assert.Equal(t, sheet, kept, "the same formulas, spelled out or not")

	spelled := parttest.Sheet(`<row r="2"><c r="B2"><v>9</v></c><c r="C2"><f>B2*2</f><v>5</v></c></row>` +
		`<row r="3"><c r="B3"><f>A3*2</f><v>2</v></c><c r="C3"><f t="shared" si="1" ref="C3:C4">A3</f></c></row>` +
		`<row r="4"><c r="C4"><f t="shared" si="1"/></c></row>`)
	assert.Equal(t, spelled, splice(t, sheet, Edit{Editor: edits{2: cellsOf(num(2, 9))}}))

	removed := splice(t, sheet, Edit{Editor: edits{2: cellsOf(NewCell{Col: 2, Op: Remove}, NewCell{Col: 3, Op: Remove})}})
	assert.Contains(t, removed, `<row r="2"/><row r="3"><c r="B3"><f>A3*2</f><v>2</v></c>`)

	dependant := splice(t, sheet, Edit{Editor: edits{3: cellsOf(num(2, 9))}})
	assert.Contains(t, dependant, `si="0">A2*2</f>`)

	lost := splice(t, parttest.Sheet(`<row r="1"><c r="A1"><f t="shared" si="7"/><v>5</v></c></row>`), Edit{Editor: edits{1: cellsOf(num(1, 5))}})
	assert.Equal(t, parttest.Sheet(`<row r="1"><c r="A1"><v>5</v></c></row>`), lost, "a formula that cannot be read is one all the same")

	early := parttest.Sheet(`<row r="1"><c r="A1"><f t="shared" si="0"/></c></row><row r="2"><c r="A2"><f t="shared" ref="A1:A2" si="0">B2</f></c></row>`)
	var master *SharedMasterError
	for _, c := range []NewCell{num(1, 1), {Col: 1, Op: Remove}} {
		err := Splice(io.Discard, strings.NewReader(early), Edit{Editor: edits{2: cellsOf(c)}})
		require.ErrorAs(t, err, &master)
		assert.Equal(t, "A2", master.Cell)
		assert.ErrorContains(t, err, "A2")
	}
}

func TestSpliceArrays(t *testing.T) {
	sheet := parttest.Sheet(`<row r="2"><c r="B2"><f t="array" ref="B2:C3">X1:Y2</f><v>1</v></c><c r="C2"><v>2</v></c></row><row r="3"><c r="B3"><v>3</v></c></row><row r="5"><c r="B5"/></row>`)
	for ref, row := range map[string]int{"B2": 2, "C2": 2, "B3": 3, "C3": 3} {
		_, col, err := grid.ParseRef(ref)
		require.NoError(t, err)
		err = Splice(io.Discard, strings.NewReader(sheet), Edit{Editor: edits{row: cellsOf(num(col, 9))}})
		var array *ArrayError
		require.ErrorAs(t, err, &array, ref)
		assert.Equal(t, ArrayError{Cell: ref, Array: "B2:C3"}, *array)
		assert.ErrorContains(t, err, "B2:C3")
	}
	assert.NoError(t, Splice(io.Discard, strings.NewReader(sheet), Edit{Editor: edits{2: cellsOf(num(4, 1)), 4: cellsOf(num(2, 1)), 5: cellsOf(num(2, 1))}}))
	assert.NoError(t, Splice(io.Discard, strings.NewReader(sheet), Edit{Editor: edits{3: cellsOf(num(2, 3))}}), "an equal value is no change")
}

type oddEditor struct {
	edits
	next int
	err  error
}

func (o oddEditor) Row(r *Row) (RowEdit, error) { return o.edits[r.Num], o.err }
func (o oddEditor) Next(after int) int          { return o.next }

func TestSpliceRefusesEdits(t *testing.T) {
	sheet := parttest.Sheet(`<row r="1"/>`)
	zero := 0.0
	for name, c := range map[string]struct {
		ed   Edit
		want string
	}{
		"not a number":  {Edit{Editor: edits{1: cellsOf(num(2, zero/zero))}}, "B1"},
		"infinite":      {Edit{Editor: edits{4: cellsOf(num(2, 1/zero))}}, "B4"},
		"long text":     {Edit{Editor: edits{1: cellsOf(str(2, strings.Repeat("ä", MaxCellText+1)))}}, "32767"},
		"bad formula":   {Edit{Editor: edits{1: cellsOf(calc(2, "A\x01", 1))}}, "B1"},
		"no error text": {Edit{Editor: edits{1: cellsOf(NewCell{Col: 2, Kind: Error})}}, "#N/A"},
		"unknown kind":  {Edit{Editor: edits{1: cellsOf(NewCell{Col: 2, Kind: 9})}}, "kind 9"},
		"descending":    {Edit{Editor: edits{1: {Cells: []NewCell{num(3, 1), num(2, 1)}}}}, "ascend"},
		"twice":         {Edit{Editor: edits{2: {Cells: []NewCell{num(3, 1), num(3, 1)}}}}, "ascend"},
		"column 0":      {Edit{Editor: edits{1: cellsOf(num(0, 1))}}, "column 0"},
		"too far":       {Edit{Editor: edits{1: cellsOf(num(grid.MaxCol+1, 1))}}, "16385"},
		"next stays":    {Edit{Editor: oddEditor{next: 1}}, "row after 1 cannot be 1"},
		"next too far":  {Edit{Editor: oddEditor{next: grid.MaxRow + 1}}, "cannot be 1048577"},
		"extent":        {Edit{Extent: "A"}, "extent"},
		"columns":       {Edit{Cols: []Col{{Min: 3, Max: 5}, {Min: 5, Max: 6}}}, "ascend"},
		"columns gone":  {Edit{RemoveCols: []Col{{Min: 3, Max: grid.MaxCol + 1}}}, "16384"},
	} {
		t.Run(name, func(t *testing.T) {
			assert.ErrorContains(t, Splice(io.Discard, strings.NewReader(sheet), c.ed), c.want)
		})
	}
	stop := errors.New("enough")
	assert.Equal(t, stop, Splice(io.Discard, strings.NewReader(sheet), Edit{Editor: oddEditor{err: stop}}))
	assert.Error(t, Splice(fullDisk{}, strings.NewReader(parttest.Sheet(strings.Repeat(" ", 1<<20))), Edit{}))
	two := `<worksheet xmlns="` + markup.SheetNS + `"><cols><col min="1" max="1"/></cols><cols><col min="2" max="2"/></cols></worksheet>`
	assert.ErrorContains(t, Splice(io.Discard, strings.NewReader(two), Edit{Cols: []Col{{Min: 1, Max: 1}}}), "second section")
	over := `<worksheet xmlns="` + markup.SheetNS + `"><cols><col min="1" max="3"/><col min="2" max="2"/></cols></worksheet>`
	for _, children := range []string{`<sheetData/><sheetData/>`, `<sheetData/><cols><col min="1" max="1"/></cols>`, `<nosuch/><sheetData/>`} {
		odd := `<worksheet xmlns="` + markup.SheetNS + `">` + children + `</worksheet>`
		assert.ErrorContains(t, Splice(io.Discard, strings.NewReader(odd), Edit{}), "where no sheet has it; save")
	}
	assert.ErrorContains(t, Splice(io.Discard, strings.NewReader(over), Edit{Cols: []Col{{Min: 1, Max: 1}}}), "overlap")
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestSpliceShrinks(t *testing.T) {
	const src = `<worksheet xmlns="` + markup.SheetNS + `"><dimension ref="A1:C1"/><sheetFormatPr defaultRowHeight="15" outlineLevelCol="1"/><sheetData><row r="1"><c r="A1"><v>1</v></c></row></sheetData></worksheet>`
	var out bytes.Buffer
	require.NoError(t, Splice(&out, strings.NewReader(src), Edit{Extent: "A1", Shrink: true}))
	assert.Contains(t, out.String(), `<dimension ref="A1"/>`)
	assert.Contains(t, out.String(), `<sheetFormatPr defaultRowHeight="15"/>`)
}
