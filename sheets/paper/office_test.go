package paper_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func TestMain(m *testing.M) { shop.Main(m) }

// only leaves one sheet to be printed.
func only(t *testing.T, path, sheet string) []sheetstest.Printed {
	return sheetstest.Print(t, shop.Edited(t, path, func(f *excelize.File) {
		at, err := f.GetSheetIndex(sheet)
		require.NoError(t, err)
		f.SetActiveSheet(at)
		for _, title := range f.GetSheetList() {
			if title == sheet {
				continue
			}
			require.NoError(t, f.SetSheetVisible(title, false))
			for _, d := range f.GetDefinedName() {
				if d.Scope == title && strings.HasPrefix(d.Name, "_xlnm.Print_") {
					require.NoError(t, f.DeleteDefinedName(&d))
				}
			}
		}
	}))
}

// bare takes out of an order all that its shop has set up for print.
func bare(t *testing.T, path string, sheets ...string) string {
	return shop.Edited(t, path, func(f *excelize.File) {
		for _, d := range f.GetDefinedName() {
			if strings.HasPrefix(d.Name, "_xlnm.Print_") {
				require.NoError(t, f.DeleteDefinedName(&d))
			}
		}
		for _, sheet := range sheets {
			no := false
			require.NoError(t, f.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &no}))
		}
	})
}

// withoutSetup takes the page setup out of the sheets' parts.
func withoutSetup(t *testing.T, path string, parts ...string) string {
	for _, part := range parts {
		path = shop.Repacked(t, path, part, func(s string) string {
			before, rest, ok := strings.Cut(s, "<pageSetup ")
			require.True(t, ok)
			_, behind, _ := strings.Cut(rest, ">")
			return before + strings.TrimPrefix(behind, "</pageSetup>")
		})
	}
	return path
}

// marks are the joints of a list, in their order.
func marks(t *testing.T, path, sheet string, col, first int) (all []string) {
	f, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer f.Close()
	rows, err := f.GetRows(sheet)
	require.NoError(t, err)
	for _, row := range rows[first-1:] {
		if len(row) >= col && row[col-1] != "" {
			all = append(all, row[col-1])
		}
	}
	return all
}

func having(pages []sheetstest.Printed, text string) (out []sheetstest.Printed) {
	for _, p := range pages {
		if p.Has(text) {
			out = append(out, p)
		}
	}
	return out
}

// On every page of a list stand headings and marks, in letters of 8 points at least;
// each result is printed once beside each mark.
func TestListsPrintLegibly(t *testing.T) {
	demo := withoutSetup(t, bare(t, shop.Demo("order.xlsx"), "Joints", "Track Demo-C"), "xl/worksheets/sheet2.xml", "xl/worksheets/sheet3.xml")
	for name, c := range map[string]struct {
		path, sheet, mark string
		first             int
		wide              int
	}{
		"small":  {shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), "Joints", "Joint", 2, 2},
		"demo":   {demo, "Joints", "Joint", 7, 3},
		"second": {demo, "Track Demo-C", "Joint", 7, 2},
	} {
		t.Run(name, func(t *testing.T) {
			out, _ := shop.Price(t, c.path)
			pages := only(t, out, c.sheet)
			all := marks(t, out, c.sheet, 1, c.first)
			for i, p := range pages {
				assert.True(t, p.Has(c.mark), "page %d has the heading of the marks", i+1)
				assert.Greater(t, p.Wide, p.High, "a list wider than high lies on its side")
				least := 99.0
				for _, m := range all {
					if at := p.Find(m); at != nil {
						least = min(least, at.Points)
					}
				}
				assert.GreaterOrEqual(t, least, 7.99, "page %d", i+1)
				assert.Less(t, least, 99.0, "page %d has marks", i+1)
			}
			for _, m := range all {
				assert.Len(t, having(pages, m), c.wide, "%s on as many pages as lie side by side", m)
			}
			assert.NotEmpty(t, having(pages, "Check"))
		})
	}
}

// A list of many rows has headings and marks on each of its pages.
func TestLongListPrints(t *testing.T) {
	out, _ := shop.Price(t, shop.Generated(t, 600, 7, false))
	w := shop.WorkbookOf(t, out)
	for _, d := range w.Names {
		if d.Name != "seamtally.print" {
			continue
		}
		sheet := w.Sheets[d.Sheet].Name
		require.Contains(t, d.Ref, "$D:$D", "the marks' column is repeated")
		all := marks(t, out, sheet, 4, 7)
		require.NotEmpty(t, all)
		pages := only(t, out, sheet)
		assert.Greater(t, len(pages), 6)
		heads := map[string]int{}
		for i, p := range pages {
			found := 0
			for _, m := range all {
				if x := p.Find(m); x != nil {
					found++
					assert.GreaterOrEqual(t, x.Points, 7.99)
				}
			}
			assert.Greater(t, found, 3, "page %d has marks", i+1)
			for _, h := range []string{"Welds", "Check"} {
				if p.Has(h) {
					heads[h]++
				}
			}
		}
		assert.Equal(t, heads["Check"], heads["Welds"])
		assert.GreaterOrEqual(t, heads["Check"]*4, len(pages), "of pages side by side one has the results")
		return
	}
	t.Fatal("no list has pages of ours")
}

// Where the shop has a print area, its pages stay as they are, and the results come on
// pages of their own, with marks and headings.
func TestShopsAreaStays(t *testing.T) {
	for name, sheet := range map[string]string{"order.xlsx": "Joints", "order-metric.xlsx": "Joint list"} {
		t.Run(name, func(t *testing.T) {
			in := shop.Demo(name)
			before := only(t, in, sheet)
			out, _ := shop.Price(t, in)
			after := only(t, out, sheet)
			require.Greater(t, len(after), len(before))
			for i := range before {
				assert.Equal(t, texts(before[i]), texts(after[i]), "page %d", i+1)
			}
			all := marks(t, out, sheet, 1, 7)
			ours := after[len(before):]
			for i, p := range ours {
				assert.True(t, p.Has("Joint") && p.Has("Welds") && p.Has("Check"), "headings on page %d of the results", i+1)
			}
			for _, m := range all {
				assert.Len(t, having(ours, m), 1, m)
			}
			again, _ := shop.Price(t, out)
			assert.Equal(t, shop.Content(t, out), shop.Content(t, again))
			assert.Len(t, only(t, shop.Cleared(t, out), sheet), len(before))
		})
	}
}

// texts are those of a page but its footer, which counts pages.
func texts(p sheetstest.Printed) (all []sheetstest.PrintedText) {
	for _, x := range p.Texts {
		if x.Top < p.High-54 {
			all = append(all, x)
		}
	}
	return all
}

// Our own sheets print in letters of 8 points at least, but for side remarks, the foot of a
// page, and Assumptions, whose settings are to be two pages: also on the smaller of two common sizes of paper.
func TestOwnSheetsPrintLegibly(t *testing.T) {
	out, _ := shop.PriceWith(t, shop.Unpriced(t, "order.xlsx"), "rates", "breaks", "buying", "range", "schedule")
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	for _, sheet := range []string{"Summary", "Workings", "Set-ups", "Breaks", "Buying", "Range", "Schedule"} {
		layout, err := f.GetPageLayout(sheet)
		require.NoError(t, err)
		across := 11 - 2*0.4 // inches, on its side, without the margins
		if *layout.Orientation == "portrait" {
			across = 210/25.4 - 2*0.4
		}
		wide := 0.0
		for _, d := range f.GetDefinedName() {
			if d.Scope != sheet || d.Name != "_xlnm.Print_Area" {
				continue
			}
			first, _, _ := strings.Cut(d.RefersTo, ",")
			_, last, _ := strings.Cut(first, ":")
			end, _, _ := strings.Cut(strings.TrimPrefix(last, "$"), "$")
			n, err := excelize.ColumnNameToNumber(end)
			require.NoError(t, err)
			for col := 1; col <= n; col++ {
				name, err := excelize.ColumnNumberToName(col)
				require.NoError(t, err)
				w, err := f.GetColWidth(sheet, name)
				require.NoError(t, err)
				wide += w * 7 / 96 // a digit has 7 points of a screen of 96 to the inch
			}
		}
		require.Positive(t, wide, sheet)
		assert.GreaterOrEqual(t, 11*min(1, across/wide), 8.0, sheet)
	}
}
