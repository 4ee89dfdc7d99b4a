package look

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
)

const shellTitle = "Bob's & Co"

func shell(t *testing.T) (*Book, []byte) {
	b := New("", 0)
	require.NoError(t, b.AddSheet(Sheet{Title: "First"}))
	require.NoError(t, b.AddSheet(Sheet{
		Title: shellTitle, Widths: []float64{30, 0, 12.5}, FreezeRow: 5, FreezeCol: 2,
		Validations: []Validation{
			{Range: "B6:B20", Words: []string{"yes", "no"}, Strict: true, Error: "yes or no"},
			{Range: "C6:C20", Source: "setup_names"},
			{Range: "D6:D20", Decimal: true, Low: new(0.0), High: new(1e6), Error: "from 0"},
			{Range: "E6", Whole: true, Low: new(1.0), Error: "1 or more"},
			{Range: "F6", Decimal: true, High: new(-0.5), Error: "less"},
			{Range: "G6", PromptTitle: "Rate", Prompt: "per hour sold"},
		},
		Flags:        []string{"H6:H20", "J6"},
		SummaryAbove: true, Zoom: 85,
		Print: Print{Area: "A1:H60", TitleRows: "$4:$5", Foot: "Bob & Co", Breaks: []int{30}},
	}))
	src, err := b.Bytes()
	require.NoError(t, err)
	return b, src
}

func TestShellReadsBackAsBuilt(t *testing.T) {
	b, src := shell(t)
	f := reopen(t, src)
	require.Equal(t, []string{"First", shellTitle}, f.GetSheetList())

	for col, want := range map[string]float64{"A": 30, "C": 12.5} {
		got, err := f.GetColWidth(shellTitle, col)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-9, col)
	}
	panes, err := f.GetPanes(shellTitle)
	require.NoError(t, err)
	assert.True(t, panes.Freeze)
	assert.Equal(t, []any{2, 5, "C6", "bottomRight"}, []any{panes.XSplit, panes.YSplit, panes.TopLeftCell, panes.ActivePane})
	view, err := f.GetSheetView(shellTitle, 0)
	require.NoError(t, err)
	assert.InDelta(t, 85, *view.ZoomScale, 0)
	assert.False(t, *view.ShowGridLines)
	props, err := f.GetSheetProps(shellTitle)
	require.NoError(t, err)
	assert.False(t, *props.OutlineSummaryBelow)
	assert.True(t, *props.FitToPage)

	layout, err := f.GetPageLayout(shellTitle)
	require.NoError(t, err)
	assert.Equal(t, []any{"landscape", 1, 0}, []any{*layout.Orientation, *layout.FitToWidth, *layout.FitToHeight})
	foot, err := f.GetHeaderFooter(shellTitle)
	require.NoError(t, err)
	assert.Equal(t, "&L&8 Bob && Co\n&F — &A&R&8 &P of &N, &D", foot.OddFooter)

	names := []Name{
		{shellTitle, "_xlnm.Print_Area", "'Bob''s & Co'!$A$1:$H$60"},
		{shellTitle, "_xlnm.Print_Titles", "'Bob''s & Co'!$4:$5"},
	}
	assert.Equal(t, names, b.Names())
	for i, n := range f.GetDefinedName() {
		assert.Equal(t, names[i], Name{n.Scope, n.Name, n.RefersTo})
	}
}

// Columns that are repeated go before the rows, as programs that read names take them.
func TestColumnsRepeatedInPrint(t *testing.T) {
	b := New("Calibri", 11)
	sheet := Sheet{Title: "Lists", Print: Print{TitleRows: "1:2", TitleCols: "A:B", Area: "A1:L9,M3:T9"}}
	require.NoError(t, b.AddSheet(sheet))
	assert.Contains(t, b.Names(), Name{"Lists", "_xlnm.Print_Titles", "'Lists'!$A:$B,'Lists'!$1:$2"})
}

func TestShellHoldsNoCells(t *testing.T) {
	_, src := shell(t)
	assert.NotContains(t, entryText(t, src, "xl/worksheets/sheet2.xml"), "<c ")
	assert.NotContains(t, entryText(t, src, "xl/worksheets/sheet2.xml"), "paperSize", "none is said")
}

func TestValidationsReadBack(t *testing.T) {
	_, src := shell(t)
	got, err := reopen(t, src).GetDataValidations(shellTitle)
	require.NoError(t, err)
	type rule struct{ ref, kind, operator, one, two, style string }
	var rules []rule
	for _, v := range got {
		style := ""
		if v.ErrorStyle != nil {
			style = *v.ErrorStyle
		}
		rules = append(rules, rule{v.Sqref, v.Type, v.Operator, v.Formula1, v.Formula2, style})
	}
	assert.Equal(t, []rule{
		{"B6:B20", "list", "", `"yes,no"`, "", "stop"},
		{"C6:C20", "list", "", "setup_names", "", ""},
		{"D6:D20", "decimal", "between", "0", "1000000", "warning"},
		{"E6", "whole", "greaterThanOrEqual", "1", "", "warning"},
		{"F6", "decimal", "lessThanOrEqual", "-0.5", "", "warning"},
		{"G6", "", "", "", "", ""},
	}, rules)
	assert.Equal(t, "per hour sold", *got[5].Prompt)
	assert.True(t, got[5].ShowInputMessage)
}

// TestBadWordsAreFlagged asks LibreOffice for the rule of a flagged cell.
func TestBadWordsAreFlagged(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	f := excelize.NewFile()
	t.Cleanup(func() { _ = f.Close() })
	cells := map[string]bool{"fine": false, "": false, "looks good": false, "COMPLETE": false,
		"price missing": true, "INCOMPLETE: 3 rows": true, "LOOK": true}
	for _, w := range BadWords() {
		cells[w] = true
	}
	want := map[string]bool{}
	row := 1
	check := func(put func(cell string) error, bad bool) {
		require.NoError(t, put(fmt.Sprintf("A%d", row)))
		require.NoError(t, f.SetCellFormula("Sheet1", fmt.Sprintf("B%d", row), badWord(fmt.Sprintf("A%d", row))))
		want[fmt.Sprintf("B%d", row)] = bad
		row++
	}
	for text, bad := range cells {
		check(func(cell string) error { return f.SetCellValue("Sheet1", cell, text) }, bad)
	}
	check(func(cell string) error { return f.SetCellFormula("Sheet1", cell, "NA()") }, true)
	check(func(cell string) error { return f.SetCellValue("Sheet1", cell, 12.5) }, false)
	path := filepath.Join(t.TempDir(), "words.xlsx")
	require.NoError(t, f.SaveAs(path))
	got := sheetstest.Recalculate(t, path)["Sheet1"]
	for cell, bad := range want {
		assert.Equal(t, bad, got[cell].Num != 0, "%s of %q: %v", cell, got["A"+cell[1:]].Text, got[cell])
	}
}

func TestFlagsStandInTheSheet(t *testing.T) {
	_, src := shell(t)
	formats, err := reopen(t, src).GetConditionalFormats(shellTitle)
	require.NoError(t, err)
	require.Len(t, formats, 2)
	assert.Equal(t, badWord("H6"), formats["H6:H20"][0].Criteria)
	assert.Equal(t, badWord("J6"), formats["J6"][0].Criteria)
	assert.LessOrEqual(t, len(badWord("XFD1048576")), 8192, "longest formula of the file format")
}

func TestFooterFitsAndIsReadAsMeant(t *testing.T) {
	assert.True(t, strings.HasPrefix(Footer("12 pipes"), "&L&8 12 pipes\n"), "a size must not run into the text's digits")
	long := Footer(strings.Repeat("&é ", 400))
	assert.LessOrEqual(t, len([]rune(long)), 255)
	assert.Equal(t, Footer("a b"), Footer("a\nb"))
}

func TestWhatCannotBeBuiltIsSaid(t *testing.T) {
	names, values := "'S'!$A$1:$A$3", "'S'!$B$1:$B$3"
	five := make([]Series, 5)
	for i := range five {
		five[i] = Series{"'S'!$B$1", values}
	}
	for _, c := range []struct {
		name  string
		sheet Sheet
		says  string
	}{
		{"title taken", Sheet{Title: "taken"}, "title"},
		{"no title", Sheet{}, "sheet"},
		{"title too long", Sheet{Title: strings.Repeat("x", 32)}, "31"},
		{"comma in a word", Sheet{Validations: []Validation{{Range: "A1", Words: []string{"cup, stop"}}}}, "Source"},
		{"list too long", Sheet{Validations: []Validation{{Range: "A1", Words: []string{strings.Repeat("x", 256)}}}}, "A1"},
		{"prompt too long", Sheet{Validations: []Validation{{Range: "A1", Prompt: strings.Repeat("x", 256)}}}, "255"},
		{"no bounds", Sheet{Validations: []Validation{{Range: "A1", Whole: true}}}, "bounds"},
		{"flag", Sheet{Flags: []string{"nowhere"}}, "nowhere"},
		{"area", Sheet{Print: Print{Area: "A1"}}, "range"},
		{"rows", Sheet{Print: Print{TitleRows: "A1:B2"}}, "rows"},
		{"chart without cells", Sheet{Charts: []Chart{{At: "A1", Title: "T", Names: names}}}, "Values"},
		{"chart of unknown kind", Sheet{Charts: []Chart{{Kind: 9, At: "A1", Names: names, Values: values}}}, "kind"},
		{"series without a name", Sheet{Charts: []Chart{{At: "A1", Names: names, Series: []Series{{"Labour", values}, {"Gas", values}}}}}, "Labour"},
		{"too many series", Sheet{Charts: []Chart{{At: "A1", Names: names, Series: five}}}, "told apart"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := New("", 0)
			require.NoError(t, b.AddSheet(Sheet{Title: "Taken"}))
			if c.sheet.Title == "" && c.name != "no title" {
				c.sheet.Title = "S"
			}
			err := b.AddSheet(c.sheet)
			require.Error(t, err)
			assert.ErrorContains(t, err, c.says)
			assert.ErrorContains(t, err, "look: sheet")
		})
	}
}

func TestChartsReadDownwardsAndNameTheirAxis(t *testing.T) {
	b := New("Verdana", 10)
	for i, kind := range []ChartKind{Bar, Column} {
		require.NoError(t, b.AddSheet(Sheet{Title: fmt.Sprintf("S%d", i), Charts: []Chart{{
			Kind: kind, At: "B2", Title: "Hours & gas", Names: "'S0'!$A$1:$A$3", Values: "'S0'!$B$1:$B$3", Unit: "ft³", Format: "0.0",
		}}}))
	}
	src, err := b.Bytes()
	require.NoError(t, err)
	bars, columns := entryText(t, src, "xl/charts/chart1.xml"), entryText(t, src, "xl/charts/chart2.xml")
	for _, x := range []string{bars, columns} {
		for _, want := range []string{"Hours &amp; gas", "ft³", "&#39;S0&#39;!$A$1:$A$3", "&#39;S0&#39;!$B$1:$B$3", `typeface="Verdana"`, `<overlay val="0">`, `<showVal val="1">`} {
			assert.Contains(t, x, want)
		}
		assert.NotContains(t, x, "<legend>")
	}
	_, valueAxis, _ := strings.Cut(bars, "<valAx>")
	assert.Contains(t, bars, `<orientation val="maxMin">`, "names from the top down")
	assert.Contains(t, valueAxis, `<crosses val="max">`, "values below the bars")
	assert.NotContains(t, valueAxis, `rot="-5400000"`, "unit lies")
	assert.Contains(t, columns, `<orientation val="minMax">`)
	assert.NotContains(t, columns, "maxMin")
}

func entryText(t *testing.T, src []byte, name string) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(src), int64(len(src)))
	require.NoError(t, err)
	r, err := z.Open(name)
	require.NoError(t, err)
	text, err := io.ReadAll(r)
	require.NoError(t, err)
	return string(text)
}
