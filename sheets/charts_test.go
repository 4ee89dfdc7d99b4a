package sheets_test

import (
	"encoding/xml"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/sheetstest/shop"
)

// TestChartsStandInsideWhatIsPrinted: what of a chart lies right of the print area is not
// on paper, and one over another hides it. A digit of
// our own workbooks, in which columns are measured, is 7 pixels wide (from memory).
func TestChartsStandInsideWhatIsPrinted(t *testing.T) {
	priced, _ := shop.PriceWith(t, shop.Demo("order.xlsx"), "rates", "breaks", "buying", "range", "schedule")
	charts := 0
	f, err := excelize.OpenFile(priced)
	require.NoError(t, err)
	defer f.Close()
	wide := func(sheet string, cols int) (all float64) {
		for col := range cols {
			w, err := f.GetColWidth(sheet, grid.ColName(col+1))
			require.NoError(t, err)
			all += w * 7 * 9525
		}
		return all
	}
	areas := map[string]grid.Range{}
	for _, d := range f.GetDefinedName() {
		if _, ref, ok := strings.Cut(d.RefersTo, "!"); ok && d.Name == "_xlnm.Print_Area" && !strings.Contains(ref, ",") {
			areas[d.Scope], err = grid.ParseRange(strings.ReplaceAll(ref, "$", ""))
			require.NoError(t, err)
		}
	}
	for sheet, drawing := range drawings(t, priced) {
		last, lastRow := -1.0, -1
		for _, c := range drawing.Anchors {
			charts++
			left := wide(sheet, c.From.Col)
			right := left + c.Size.Wide
			assert.LessOrEqual(t, right, wide(sheet, areas[sheet].Col2), "%s: chart at column %d", sheet, c.From.Col+1)
			if c.From.Row == lastRow {
				assert.GreaterOrEqual(t, left, last, "%s: chart at column %d lies over the one beside it", sheet, c.From.Col+1)
			}
			last, lastRow = right, c.From.Row
		}
	}
	assert.Equal(t, 5, charts)
}

// chartsOf is the charts of a sheet, each hung at a cell, from 0 on, with a size of its own.
type chartsOf struct {
	Anchors []struct {
		From struct {
			Col int `xml:"col"`
			Row int `xml:"row"`
		} `xml:"from"`
		Size struct {
			Wide float64 `xml:"cx,attr"` // 9,525 to the pixel
		} `xml:"ext"`
	} `xml:"oneCellAnchor"`
}

// drawings are those of a workbook, by the title of the sheet.
func drawings(t *testing.T, file string) map[string]chartsOf {
	parts := shop.Parts(t, file)
	type rels struct {
		All []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	read := func(name string, into any) { require.NoError(t, xml.Unmarshal([]byte(parts[name]), into), name) }
	var book struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
	}
	var of rels
	read("xl/workbook.xml", &book)
	read("xl/_rels/workbook.xml.rels", &of)
	part := map[string]string{}
	for _, r := range of.All {
		part[r.ID] = path.Join("xl", strings.TrimPrefix(r.Target, "/xl/"))
	}
	out := map[string]chartsOf{}
	for _, s := range book.Sheets {
		name := part[s.ID]
		from := path.Join(path.Dir(name), "_rels", path.Base(name)+".rels")
		if parts[from] == "" {
			continue
		}
		var beside rels
		read(from, &beside)
		for _, r := range beside.All {
			if strings.Contains(r.Target, "drawings/drawing") {
				var d chartsOf
				read(path.Join("xl/drawings", path.Base(r.Target)), &d)
				out[s.Name] = d
			}
		}
	}
	return out
}
