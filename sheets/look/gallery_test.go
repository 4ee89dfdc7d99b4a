package look

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
)

// everyRole lists the roles with what a cell of them may hold.
func everyRole() []struct {
	name  string
	style Style
	value any
} {
	return []struct {
		name  string
		style Style
		value any
	}{
		{"Plain", Style{Role: Plain}, "plain"},
		{"Title", Style{Role: Title}, "Summary"},
		{"Section", Style{Role: Section}, "Cars"},
		{"Heading", Style{Role: Heading}, "Floor time, line (min)"},
		{"GroupHeading", Style{Role: GroupHeading}, "Length and starts"},
		{"Label", Style{Role: Label}, "Shop rate"},
		{"Words", Style{Role: Words}, "A bare cup covers about half its bore; past that the hot bead leaves the gas, so the arc must stop there."},
		{"Key", Style{Role: Key}, "shop_rate"},
		{"Input", Style{Role: Input, Format: "0.00"}, 95.0},
		{"InputText", Style{Role: InputText}, "cup, stop and start"},
		{"Calc", Style{Role: Calc, Format: "#,##0.00"}, 1234.5},
		{"CalcText", Style{Role: CalcText}, "grade 2"},
		{"Override", Style{Role: Override, Format: "0.0"}, 22.0},
		{"OverrideText", Style{Role: OverrideText}, "changed by hand"},
		{"Refused", Style{Role: Refused}, "wall is not under half the OD"},
		{"Total", Style{Role: Total, Format: "#,##0.00"}, 98765.4},
		{"TotalText", Style{Role: TotalText}, "Order"},
		{"Master", Style{Role: Master}, "COMPLETE"},
		{"Note", Style{Role: Note}, "worked out from the list"},
		{"Caution", Style{Role: Caution}, "Argon gives no warning: ventilate, and watch the oxygen."},
		{"Tile", Style{Role: Tile, Format: "#,##0"}, 107450.0},
		{"TileLabel", Style{Role: TileLabel}, "Price of the order"},
		{"TileUnit", Style{Role: TileUnit}, "h"},
		{"Link", Style{Role: Link}, "Coupe!F14"},
	}
}

// gallery is a workbook that shows all that the package can draw.
func gallery(t *testing.T) *excelize.File {
	b := New("Calibri", 11)
	ref := func(a string) string { return "'Look & feel'!" + a }
	require.NoError(t, b.AddSheet(Sheet{
		Title:     "Look & feel",
		Widths:    []float64{18, 24, 12, 12, 12, 16, 12},
		FreezeRow: 3, FreezeCol: 1,
		Flags: []string{"D4:D12"},
		Validations: []Validation{
			{Range: "B4:B6", Words: []string{"yes", "no"}, Strict: true, PromptTitle: "Filler", Prompt: "yes or no"},
			{Range: "C4:C6", Decimal: true, Low: new(0.25), High: new(1.5), ErrorTitle: "Range", Error: "From 0.25 to 1.5."},
		},
		Charts: []Chart{
			{Kind: Bar, At: "A26", Title: "Where the hours of one car go", Names: ref("$F$4:$F$9"), Values: ref("$G$4:$G$9"), Unit: "hours", Format: "0.0"},
			{Kind: BarStacked, At: "A44", Title: "Cost of each car", Names: ref("$F$4:$F$6"), Unit: "$", Format: "#,##0", Width: 700,
				Series: []Series{{Name: ref("$F$4"), Values: ref("$G$4:$G$6")}, {Name: ref("$F$5"), Values: ref("$H$4:$H$6")}, {Name: ref("$F$6"), Values: ref("$G$7:$G$9")}, {Name: ref("$F$7"), Values: ref("$H$7:$H$9")}}},
			{Kind: Column, At: "A62", Title: "Stops", Names: ref("$F$4:$F$9"), Values: ref("$G$4:$G$9"), Unit: "stops", Format: "0"},
		},
		Print:        Print{Area: "A1:H80", TitleRows: "3:3", Foot: "Shop & Sons — 12 pipes", Breaks: []int{25, 61}},
		SummaryAbove: true,
	}))
	_, err := b.Bytes()
	require.NoError(t, err)
	styles := make([]int, len(everyRole()))
	for i, r := range everyRole() {
		styles[i], err = b.Style(r.style)
		require.NoError(t, err)
	}
	src, err := b.Bytes() // again: the formats are in it now
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(src))
	require.NoError(t, err)
	t.Cleanup(func() { _ = f.Close() })
	set := func(cell string, v any) { require.NoError(t, f.SetCellValue("Look & feel", cell, v)) }
	for i, r := range everyRole() {
		cell := fmt.Sprintf("B%d", 4+i)
		set(fmt.Sprintf("A%d", 4+i), r.name)
		set(cell, r.value)
		require.NoError(t, f.SetCellStyle("Look & feel", cell, cell, styles[i]))
		if words, ok := r.value.(string); ok {
			require.NoError(t, f.SetRowHeight("Look & feel", 4+i, b.RowHeight(r.style.Role, words, 24)))
		}
	}
	for i, w := range append(BadWords(), "fine", "") {
		set(fmt.Sprintf("D%d", 4+i), w)
	}
	require.NoError(t, f.SetCellFormula("Look & feel", "D12", "1/0"))
	for i, w := range []string{"cut and deburr", "clean and fit", "tack", "weld, arc on", "gas waits", "re-grip"} {
		set(fmt.Sprintf("F%d", 4+i), w)
		set(fmt.Sprintf("G%d", 4+i), []float64{1.25, 3.5, 2, 4.75, 6.5, 0.4}[i])
		set(fmt.Sprintf("H%d", 4+i), []float64{2.25, 1.5, 1, 1.75, 2.5, 0.9}[i])
	}
	return f
}

// TestPrinted turns the gallery and the starter workbooks into pages. Whether
// they please is for the eye: set LOOK_PICTURES to a folder to keep them.
func TestPrinted(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	dir := t.TempDir()
	pictures := os.Getenv("LOOK_PICTURES")
	if pictures == "" {
		pictures = dir
	}
	path := filepath.Join(dir, "gallery.xlsx")
	require.NoError(t, gallery(t).SaveAs(path))
	pages := sheetstest.ToPNG(t, path, filepath.Join(pictures, "gallery"))
	require.Len(t, pages, 3, "the sheet has two page breaks")

	for name, metric := range map[string]bool{"starter-us": false, "starter-metric": true} {
		src, err := Starter(metric)
		require.NoError(t, err)
		path := filepath.Join(dir, name+".xlsx")
		require.NoError(t, os.WriteFile(path, src, 0o600))
		pages := sheetstest.ToPNG(t, path, filepath.Join(pictures, name))
		require.Len(t, pages, 3, "one page a sheet")
	}
}
