package assumptions_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// left are the counts of what is to be set before a bid, by what they count.
func left(t *testing.T, g sheetstest.Grid) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for row := 4; row <= 9; row++ {
		out[g["Assumptions"][fmt.Sprint("L", row)].Text] = g["Assumptions"][fmt.Sprint("K", row)].Num
	}
	require.Len(t, out, 6)
	return out
}

// What is left to be set before a bid falls as the shop sets it, live and at the next
// run, and counts nothing that the shop has not to set.
func TestLeftToSetBeforeABid(t *testing.T) {
	out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Row{"J-2", "Demo car one", "butt", 1, 3.1, 0.047}))
	g := sheetstest.Read(t, out)
	was := left(t, g)
	assert.Equal(t, 1.0, was["tube sizes in stock without a price"], "of the size that the joint list brought")
	assert.Positive(t, was["values that only the shop can know"])
	assert.Positive(t, was["points of the basis of the estimate"])
	sum := 0.0
	for what, n := range was {
		if what != "left" {
			sum += n
		}
	}
	assert.Equal(t, sum, was["left"])

	set := shop.Edited(t, out, func(f *excelize.File) {
		put := func(cell string, v any) { require.NoError(t, f.SetCellValue("Assumptions", cell, v)) }
		put(fmt.Sprint("L", shop.Assumption(t, g, "shop_rate")), "measured")
		put(fmt.Sprint("C", shop.Assumption(t, g, "head_order")), "Demo")
		put(fmt.Sprint("C", shop.Assumption(t, g, "basis_scope")), "as listed, in a sentence that is too long for one line of its field and so goes on in a second one below it")
		first, last := shop.NamedRows(t, out, "stock_price")
		for row := first; row <= last; row++ {
			if c := g["Assumptions"]; c[fmt.Sprint("B", row)].Text != "" && c[fmt.Sprint("E", row)].Kind != sheetstest.Number {
				put(fmt.Sprint("E", row), 40)
			}
		}
	})
	again, _ := shop.Price(t, set)
	for name, now := range map[string]sheetstest.Grid{"live": sheetstest.Recalculate(t, set), "at the next run": sheetstest.Read(t, again)} {
		is := left(t, now)
		for what, less := range map[string]float64{"tube sizes in stock without a price": 1, "values that only the shop can know": 1, "fields of the quote's head": 1, "points of the basis of the estimate": 1, "filler rods in stock without a price": 0, "left": 4} {
			assert.Equal(t, was[what]-less, is[what], "%s, %s", what, name)
		}
	}
	f, err := excelize.OpenFile(again)
	require.NoError(t, err)
	defer f.Close()
	one, err := f.GetRowHeight("Assumptions", shop.Assumption(t, g, "basis_purpose"))
	require.NoError(t, err)
	two, err := f.GetRowHeight("Assumptions", shop.Assumption(t, g, "basis_scope"))
	require.NoError(t, err)
	assert.Greater(t, two, 1.5*one, "the row has room for both lines")
}

// Every link at the top leads to a name that the workbook has.
func TestContentsLeadSomewhere(t *testing.T) {
	out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	names := map[string]bool{}
	for _, d := range f.GetDefinedName() {
		names[d.Name] = !strings.Contains(d.RefersTo, "#REF!")
	}
	links := 0
	for _, c := range sheetstest.Read(t, out)["Assumptions"] {
		if _, to, is := strings.Cut(c.Formula, `HYPERLINK("#`); is {
			to, _, _ = strings.Cut(to, `"`)
			assert.True(t, names[to], "%s leads nowhere", to)
			links++
		}
	}
	assert.Greater(t, links, 25)
}

// The settings of the demo order are two printed pages, and no page of Assumptions is
// nearly empty.
func TestAssumptionsInPrint(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	out, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	pages := printed(t, out, "Assumptions")
	tables := -1
	for i, p := range pages {
		if tables < 0 && strings.Contains(p, "Shielding set-ups") && strings.Contains(p, "Torch flow") {
			tables = i
		}
		assert.Greater(t, len(strings.Fields(p)), 60, "page %d of Assumptions: %s", i+1, p)
	}
	assert.Equal(t, 2, tables, "pages before the tables")
	assert.LessOrEqual(t, len(pages), 7)
}

// printed are the words of the pages of a sheet, by the title in its footer or, where a
// footer is cut off, by those around it.
func printed(t *testing.T, path, title string) (out []string) {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, exec.Command("soffice", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless", "--convert-to", "pdf", "--outdir", dir, path).Run())
	pdf := filepath.Join(dir, strings.TrimSuffix(filepath.Base(path), ".xlsx")+".pdf")
	text := filepath.Join(dir, "pages.txt")
	require.NoError(t, exec.Command("pdftotext", "-layout", pdf, text).Run(), "pdftotext comes with pdftoppm")
	src, err := os.ReadFile(text)
	require.NoError(t, err)
	for _, p := range strings.Split(string(src), "\f") {
		if strings.Contains(p, "— "+title) {
			out = append(out, p)
		}
	}
	require.NotEmpty(t, out)
	return out
}
