package sheets_test

import (
	"archive/zip"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// shops are workbooks of many makes, by name.
func shops(t *testing.T) map[string]string {
	return map[string]string{
		"demo":             shop.Unpriced(t, "order.xlsx"),
		"demo, metric":     shop.Unpriced(t, "order-metric.xlsx"),
		"starter":          shop.Starter(t, false),
		"starter, metric":  shop.Starter(t, true),
		"generated":        shop.Generated(t, 60, 5, false),
		"generated, mm":    shop.Generated(t, 60, 6, true),
		"one joint":        shop.Small(t, shop.Butt("J-1")),
		"table and filter": tabled(t),
	}
}

func TestInputIsNeverTouched(t *testing.T) {
	for name, in := range shops(t) {
		t.Run(name, func(t *testing.T) {
			before := shop.Content(t, in)
			out, rep := shop.Price(t, in)
			require.Zero(t, rep.LeftOut, "%v", rep.Findings)
			require.Equal(t, before, shop.Content(t, in))
			priced := shop.Content(t, out)
			shop.Cleared(t, out)
			require.Equal(t, priced, shop.Content(t, out))
		})
	}
}

func TestPricingAgainGivesTheSameBytes(t *testing.T) {
	for name, in := range shops(t) {
		t.Run(name, func(t *testing.T) {
			first, one := shop.Price(t, in)
			second, two := shop.Price(t, first)
			for part, data := range shop.Parts(t, first) {
				assert.True(t, shop.Parts(t, second)[part] == data, "%s differs", part)
			}
			assert.True(t, shop.Content(t, first) == shop.Content(t, second), "the packages differ")
			assert.Equal(t, one.Order, two.Order)
			assert.Equal(t, one.Cars, two.Cars)
		})
	}
}

func TestSecondRunIsToldToBeUnchanged(t *testing.T) {
	first, one := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	_, two := shop.Price(t, first)
	assert.False(t, one.Unchanged)
	assert.True(t, two.Unchanged)
}

// raw gives the compressed bytes of every entry of a package.
func raw(t *testing.T, path string) map[string]string {
	z, err := zip.OpenReader(path)
	require.NoError(t, err)
	defer z.Close()
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.OpenRaw()
		require.NoError(t, err)
		data, err := io.ReadAll(r)
		require.NoError(t, err)
		out[f.Name] = string(data)
	}
	return out
}

func TestWhatIsNotOursStaysAsItIs(t *testing.T) {
	// The parts that may change: those that say what the workbook holds, and
	// the sheets of joints.
	for name, c := range map[string]struct{ file, change string }{
		"demo":         {"order.xlsx", "xl/worksheets/sheet2.xml xl/worksheets/sheet3.xml"},
		"demo, metric": {"order-metric.xlsx", "xl/worksheets/sheet2.xml xl/worksheets/sheet3.xml"},
	} {
		t.Run(name, func(t *testing.T) {
			in := shop.Unpriced(t, c.file)
			out, _ := shop.Price(t, in)
			before, after := raw(t, in), raw(t, out)
			may := c.change + " xl/workbook.xml xl/_rels/workbook.xml.rels [Content_Types].xml xl/styles.xml"
			for part, data := range before {
				if strings.Contains(" "+may+" ", " "+part+" ") {
					continue
				}
				assert.True(t, after[part] == data, "%s has changed", part)
			}
			for _, part := range strings.Fields(c.change) {
				assert.False(t, after[part] == before[part], "%s has not changed: nothing was priced", part)
			}
		})
	}
}

func TestShopCellsStayAsTheyAre(t *testing.T) {
	for name, in := range shops(t) {
		t.Run(name, func(t *testing.T) {
			out, _ := shop.Price(t, in)
			before, after := sheetstest.Read(t, in), sheetstest.Read(t, out)
			a, err := excelize.OpenFile(in)
			require.NoError(t, err)
			defer a.Close()
			b, err := excelize.OpenFile(out)
			require.NoError(t, err)
			defer b.Close()
			n := 0
			for sheet, cells := range before {
				for ref, v := range cells {
					require.Equal(t, v, after[sheet][ref], "%s!%s", sheet, ref)
					was, err := a.GetCellStyle(sheet, ref)
					require.NoError(t, err)
					is, err := b.GetCellStyle(sheet, ref)
					require.NoError(t, err)
					require.Equal(t, was, is, "style of %s!%s", sheet, ref)
					n++
				}
			}
			looks := func(f *excelize.File, xf int) *excelize.Style {
				s, err := f.GetStyle(xf)
				require.NoError(t, err)
				return s
			}
			for xf := range a.Styles.CellXfs.Xf {
				require.Equal(t, looks(a, xf), looks(b, xf), "cell format %d", xf)
			}
			t.Logf("%d cells of the shop's", n)
		})
	}
}

func TestClearGivesBackTheShopsWorkbook(t *testing.T) {
	for name, in := range shops(t) {
		t.Run(name, func(t *testing.T) {
			out, _ := shop.Price(t, in)
			back := shop.Cleared(t, out)
			want, got := sheetstest.Read(t, in), sheetstest.Read(t, back)
			require.Equal(t, len(want), len(got), "sheets")
			for sheet := range want {
				shop.SameCells(t, want[sheet], got[sheet], sheet)
			}
			a, err := excelize.OpenFile(in)
			require.NoError(t, err)
			defer a.Close()
			b, err := excelize.OpenFile(back)
			require.NoError(t, err)
			defer b.Close()
			assert.Equal(t, a.GetSheetList(), b.GetSheetList())
			assert.Equal(t, a.GetDefinedName(), b.GetDefinedName())
			for _, sheet := range a.GetSheetList() {
				wasTables, err := a.GetTables(sheet)
				require.NoError(t, err)
				isTables, err := b.GetTables(sheet)
				require.NoError(t, err)
				assert.Equal(t, wasTables, isTables)
			}
			before, after := shop.Parts(t, in), shop.Parts(t, back)
			for part, text := range before {
				if strings.Contains(part, "/worksheets/sheet") {
					assert.Equal(t, filterOf(text), filterOf(after[part]), "filter in %s", part)
					assert.Equal(t, element(text, "cols"), element(after[part], "cols"), "columns in %s", part)
				}
				if strings.Contains(part, "/tables/") {
					assert.Equal(t, text, after[part], part)
				}
			}
			for part := range after {
				_, had := before[part]
				assert.True(t, had, "%s is left over", part)
			}
			assert.NotContains(t, after["xl/workbook.xml"], "seamtally")
		})
	}
}

// filterOf is the autofilter of a sheet; its range may be written with or
// without dollars.
func filterOf(sheet string) string { return strings.ReplaceAll(element(sheet, "autoFilter"), "$", "") }

// element cuts the first element of a name out of a text.
func element(text, name string) string {
	i := strings.Index(text, "<"+name)
	if i < 0 {
		return ""
	}
	rest := text[i:]
	head := rest[:strings.Index(rest, ">")+1]
	if strings.HasSuffix(head, "/>") {
		return head
	}
	return rest[:strings.Index(rest, "</"+name+">")]
}

func TestClearedWorkbookPricesAsTheFirstTime(t *testing.T) {
	out, first := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	_, again := shop.Price(t, shop.Cleared(t, out))
	assert.Equal(t, first.Order, again.Order)
	assert.True(t, again.Complete)
}

func TestNothingToClear(t *testing.T) {
	_, err := sheets.Clear(context.Background(), sheets.ClearOptions{In: shop.Unpriced(t, "order.xlsx"), Out: filepath.Join(t.TempDir(), "x.xlsx")})
	require.ErrorContains(t, err, "nothing of ours")
}

// tabled has its joints in a table of the spreadsheet, and a second list under
// an autofilter.
func tabled(t testing.TB) string {
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	_, err := f.NewSheet("Filtered")
	require.NoError(t, err)
	for _, sheet := range f.GetSheetList() {
		for i, row := range []shop.Row{shop.SmallHead, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")} {
			if i > 0 {
				row[0] = fmt.Sprint(sheet, i)
			}
			require.NoError(t, f.SetSheetRow(sheet, fmt.Sprint("A", i+3), &row))
		}
	}
	require.NoError(t, f.AddTable("Joints", &excelize.Table{Range: "A3:J6", Name: "joint_table", StyleName: "TableStyleLight1"}))
	require.NoError(t, f.AutoFilter("Filtered", "A3:J6", nil))
	return shop.Saved(t, f)
}

func TestTableAndFilterGrowOverOurColumns(t *testing.T) {
	out, _ := shop.Price(t, tabled(t))
	g := sheetstest.Read(t, out)
	last := shop.OurColumn(t, g, "Joints", "finding")
	p := shop.Parts(t, out)
	var table struct {
		Ref        string `xml:"ref,attr"`
		AutoFilter struct {
			Ref string `xml:"ref,attr"`
		} `xml:"autoFilter"`
		Columns struct {
			Count  int `xml:"count,attr"`
			Column []struct {
				ID   int    `xml:"id,attr"`
				Name string `xml:"name,attr"`
			} `xml:"tableColumn"`
		} `xml:"tableColumns"`
	}
	require.NoError(t, xml.Unmarshal([]byte(p["xl/tables/table1.xml"]), &table))
	assert.Equal(t, "A3:"+last+"6", table.Ref)
	assert.Equal(t, table.Ref, table.AutoFilter.Ref)
	n, err := excelize.ColumnNameToNumber(last)
	require.NoError(t, err)
	require.Len(t, table.Columns.Column, n)
	assert.Equal(t, n, table.Columns.Count)
	ids, names := map[int]bool{}, map[string]bool{}
	for i, c := range table.Columns.Column {
		ref, err := excelize.CoordinatesToCellName(i+1, 3)
		require.NoError(t, err)
		assert.Equal(t, g["Joints"][ref].Text, c.Name, ref) // a table whose names are not its headings is repaired away
		ids[c.ID], names[strings.ToLower(c.Name)] = true, true
	}
	assert.Len(t, ids, n)
	assert.Len(t, names, n)
	assert.Contains(t, filterOf(p["xl/worksheets/sheet2.xml"]), `"A3:`+shop.OurColumn(t, g, "Filtered", "finding")+`6"`)
	assert.Contains(t, p["xl/workbook.xml"], "$A$3:$"+shop.OurColumn(t, g, "Filtered", "finding")+"$6")
}

func TestFilterOfTheMetricDemoGrows(t *testing.T) {
	out, _ := shop.Price(t, shop.Unpriced(t, "order-metric.xlsx"))
	last := shop.OurColumn(t, sheetstest.Read(t, out), "Joint list", "finding")
	assert.Contains(t, filterOf(shop.Parts(t, out)["xl/worksheets/sheet2.xml"]), `"A6:`+last+`49"`)
}

func TestWhereTheOutputGoes(t *testing.T) {
	ctx := context.Background()
	here := func(t *testing.T) (in, dir string) {
		in = shop.Put(t, []byte(shop.Content(t, shop.Small(t, shop.Butt("J-1")))))
		return in, filepath.Dir(in)
	}
	t.Run("dry run writes nothing and says the same", func(t *testing.T) {
		in, dir := here(t)
		dry, err := sheets.Price(ctx, sheets.PriceOptions{In: in, DryRun: true})
		require.NoError(t, err)
		files, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, files, 1)
		wet, err := sheets.Price(ctx, sheets.PriceOptions{In: in})
		require.NoError(t, err)
		assert.Equal(t, wet, dry)
		assert.FileExists(t, filepath.Join(dir, "shop-priced.xlsx"))
	})
	t.Run("what is there is kept, unless forced", func(t *testing.T) {
		in, dir := here(t)
		out := filepath.Join(dir, "out.xlsx")
		require.NoError(t, os.WriteFile(out, []byte("precious"), 0o644))
		_, err := sheets.Price(ctx, sheets.PriceOptions{In: in, Out: out})
		require.ErrorContains(t, err, "--force")
		assert.Equal(t, "precious", shop.Content(t, out))
		_, err = sheets.Price(ctx, sheets.PriceOptions{In: in, Out: out, Force: true})
		require.NoError(t, err)
		assert.Equal(t, "COMPLETE", shop.Master(sheetstest.Read(t, out)))
	})
	t.Run("in place", func(t *testing.T) {
		in, dir := here(t)
		_, err := sheets.Price(ctx, sheets.PriceOptions{In: in, Out: in, Force: true})
		require.ErrorContains(t, err, "--in-place")
		_, err = sheets.Price(ctx, sheets.PriceOptions{In: in, Out: in, InPlace: true})
		require.Error(t, err)
		require.NoError(t, os.Chmod(in, 0o600))
		_, err = sheets.Price(ctx, sheets.PriceOptions{In: in, InPlace: true})
		require.NoError(t, err)
		assert.Equal(t, "COMPLETE", shop.Master(sheetstest.Read(t, in)))
		st, err := os.Stat(in)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), st.Mode().Perm())
		files, err := os.ReadDir(dir)
		require.NoError(t, err)
		assert.Len(t, files, 1)
		_, err = sheets.Clear(ctx, sheets.ClearOptions{In: in, InPlace: true})
		require.NoError(t, err)
		assert.Len(t, sheetstest.Read(t, in), 1)
	})
	t.Run("no such folder, another kind, a folder", func(t *testing.T) {
		in, dir := here(t)
		for out, word := range map[string]string{
			filepath.Join(dir, "no", "out.xlsx"): "folder",
			filepath.Join(dir, "out.xlsm"):       ".xlsx",
			dir + "/sub.xlsx":                    "folder",
		} {
			if strings.HasSuffix(out, "sub.xlsx") {
				require.NoError(t, os.Mkdir(out, 0o755))
			}
			_, err := sheets.Price(ctx, sheets.PriceOptions{In: in, Out: out, Force: true})
			require.ErrorContains(t, err, word, out)
		}
	})
	t.Run("not a workbook, none at all, no list", func(t *testing.T) {
		text := shop.Put(t, []byte("od,wall\n3,0.049\n"))
		assert.Contains(t, shop.Refused(t, text), "shop.xlsx")
		_, err := sheets.Price(ctx, sheets.PriceOptions{In: filepath.Join(t.TempDir(), "gone.xlsx")})
		require.ErrorIs(t, err, os.ErrNotExist)
		f := excelize.NewFile()
		defer f.Close()
		assert.Contains(t, shop.Refused(t, shop.Saved(t, f)), "no joint list")
	})
	t.Run("stopped", func(t *testing.T) {
		in, dir := here(t)
		stop, cancel := context.WithCancel(ctx)
		cancel()
		_, err := sheets.Price(stop, sheets.PriceOptions{In: in})
		require.ErrorIs(t, err, context.Canceled)
		assert.NoFileExists(t, filepath.Join(dir, "shop-priced.xlsx"))
	})
}
