package sheets_test

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// picture is one picture of the README: the upper left of a sheet of the priced
// demo order, as LibreOffice prints it.
type picture struct {
	file, sheet  string
	lastCol      string
	lastRow      int
	own, figures []string // of a joint list: the shop's columns and ours to show; nil for all that are open
}

// TestPictures retakes the pictures of the README where the environment asks
// for it: PICTURES=1 go test ./sheets -run TestPictures
func TestPictures(t *testing.T) {
	if os.Getenv("PICTURES") == "" {
		t.Skip("set PICTURES=1 to retake the pictures of the README")
	}
	priced, _ := shop.Price(t, shop.Demo("order.xlsx"))
	grid := sheetstest.Read(t, priced)
	for _, p := range []picture{
		{
			file: "joints.png", sheet: "Joints", lastCol: shop.OurColumn(t, grid, "Joints", "check"), lastRow: 30,
			own:     []string{"A", "C", "D", "E", "F", "G", "I"},
			figures: []string{"welds", "line_stops", "line_arc", "floor_time", "argon", "filler_mass", "tube_used", "line_cost", "check"},
		},
		{file: "summary.png", sheet: "Summary", lastCol: "K", lastRow: rowOf(t, grid["Summary"], "Tube to buy") - 2},
	} {
		path := shop.Edited(t, priced, func(f *excelize.File) { p.arrange(t, f, grid) })
		pages := sheetstest.ToPNG(t, path, t.TempDir())
		require.NotEmpty(t, pages)
		crop(t, pages[0], shop.Demo(filepath.Join("pictures", p.file)))
	}
}

// arrange makes the picture all that is printed, on one wide page. LibreOffice
// prints a hidden sheet if it has a print area, so those go too.
func (p picture) arrange(t *testing.T, f *excelize.File, grid sheetstest.Grid) {
	at, err := f.GetSheetIndex(p.sheet)
	require.NoError(t, err)
	f.SetActiveSheet(at)
	for _, name := range f.GetSheetList() {
		require.NoError(t, f.SetSheetVisible(name, name == p.sheet))
	}
	if p.own != nil {
		p.show(t, f, grid)
	}
	for _, d := range f.GetDefinedName() {
		if strings.HasPrefix(d.Name, "_xlnm.Print_") {
			require.NoError(t, f.DeleteDefinedName(&d))
		}
	}
	require.NoError(t, f.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Area", Scope: p.sheet, RefersTo: fmt.Sprintf("'%s'!$A$1:$%s$%d", p.sheet, p.lastCol, p.lastRow),
	}))
	a3, landscape, one := 8, "landscape", 1
	require.NoError(t, f.SetPageLayout(p.sheet, &excelize.PageLayoutOptions{Size: &a3, Orientation: &landscape, FitToWidth: &one, FitToHeight: &one}))
	fit := true
	require.NoError(t, f.SetSheetProps(p.sheet, &excelize.SheetPropsOptions{FitToPage: &fit}))
	require.NoError(t, f.SetHeaderFooter(p.sheet, &excelize.HeaderFooterOptions{}))
}

// show hides the columns of a joint list that the picture has no room for.
func (p picture) show(t *testing.T, f *excelize.File, grid sheetstest.Grid) {
	keep := slices.Clone(p.own)
	for _, figure := range p.figures {
		keep = append(keep, shop.OurColumn(t, grid, p.sheet, figure))
	}
	cols, err := f.GetCols(p.sheet)
	require.NoError(t, err)
	for i := range cols {
		name, err := excelize.ColumnNumberToName(i + 1)
		require.NoError(t, err)
		require.NoError(t, f.SetColVisible(p.sheet, name, slices.Contains(keep, name)))
	}
	height, err := f.GetRowHeight(p.sheet, 2)
	require.NoError(t, err)
	for r := rowOf(t, grid[p.sheet], "A-01"); r <= p.lastRow; r++ { // what takes two lines is not shown
		require.NoError(t, f.SetRowHeight(p.sheet, r, height))
	}
}

// rowOf is the row of a section's title, in the first column.
func rowOf(t *testing.T, sheet map[string]sheetstest.Value, title string) int {
	for ref, v := range sheet {
		if col, row, err := excelize.SplitCellName(ref); err == nil && col == "A" && v.Text == title {
			return row
		}
	}
	require.FailNow(t, "no such section", title)
	return 0
}

// crop takes the white border off a picture, but for a narrow one.
func crop(t *testing.T, from, to string) {
	in, err := os.Open(from)
	require.NoError(t, err)
	defer in.Close()
	page, err := png.Decode(in)
	require.NoError(t, err)
	var ink image.Rectangle
	for y := page.Bounds().Min.Y; y < page.Bounds().Max.Y; y++ {
		for x := page.Bounds().Min.X; x < page.Bounds().Max.X; x++ {
			if color.GrayModel.Convert(page.At(x, y)) != (color.Gray{Y: 255}) {
				ink = ink.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	require.False(t, ink.Empty(), "%s is blank", from)
	ink = ink.Inset(-8).Intersect(page.Bounds())
	shown := image.NewRGBA(image.Rectangle{Max: ink.Size()})
	draw.Draw(shown, shown.Bounds(), page, ink.Min, draw.Src)
	out, err := os.Create(to)
	require.NoError(t, err)
	defer out.Close()
	require.NoError(t, (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(out, shown))
}
