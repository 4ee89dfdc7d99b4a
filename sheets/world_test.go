package sheets_test

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/settling"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// A tab with an empty relationship, as a module of macros of long ago leaves, has no
// part and holds no joints. One that leads nowhere may have held some.
func TestTabWithoutPart(t *testing.T) {
	tab := func(id string) string {
		return shop.Repacked(t, shop.TwoButts(t), "xl/workbook.xml", func(s string) string {
			return strings.Replace(s, "</sheets>", `<sheet name="Module1" sheetId="77" `+id+`/></sheets>`, 1)
		})
	}
	_, plain := shop.Price(t, shop.TwoButts(t))
	in := tab(`state="veryHidden" r:id=""`)
	out, rep := shop.Price(t, in)
	assert.Equal(t, plain.Order, rep.Order)
	assert.Contains(t, shop.Parts(t, out)["xl/workbook.xml"], `<sheet name="Module1" sheetId="77" state="veryHidden" r:id=""/>`)
	again, rep := shop.Price(t, out)
	assert.True(t, rep.Unchanged, "%v", rep)
	assert.Contains(t, shop.Parts(t, shop.Cleared(t, again))["xl/workbook.xml"], `<sheet name="Module1" sheetId="77" state="veryHidden" r:id=""/>`)
	for _, id := range []string{`r:id="rId999"`, ``} {
		assert.Contains(t, shop.Refused(t, tab(id)), `sheet "Module1": its part is not in the file`)
	}
}

// A folder of the zip may have been deflated: nothing at all takes two bytes then.
func TestFolderThatWasDeflated(t *testing.T) {
	var data bytes.Buffer
	z := zip.NewWriter(&data)
	was, err := zip.OpenReader(shop.TwoButts(t))
	require.NoError(t, err)
	defer was.Close()
	var nothing bytes.Buffer
	packer, err := flate.NewWriter(&nothing, flate.DefaultCompression)
	require.NoError(t, err)
	require.NoError(t, packer.Close())
	for _, f := range was.File {
		require.NoError(t, z.Copy(f))
	}
	// The library's writer has no folder with bytes either: the name is mended.
	w, err := z.CreateRaw(&zip.FileHeader{Name: "xl/media|", Method: zip.Deflate, CompressedSize64: uint64(nothing.Len())})
	require.NoError(t, err)
	_, err = w.Write(nothing.Bytes())
	require.NoError(t, err)
	require.NoError(t, z.Close())
	in := shop.Put(t, bytes.ReplaceAll(data.Bytes(), []byte("xl/media|"), []byte("xl/media/")))

	out, rep := shop.Price(t, in)
	_, plain := shop.Price(t, shop.TwoButts(t))
	assert.Equal(t, plain.Order, rep.Order)
	now, err := zip.OpenReader(out)
	require.NoError(t, err)
	defer now.Close()
	var folders []string
	for _, f := range now.File {
		if strings.HasSuffix(f.Name, "/") {
			folders = append(folders, f.Name)
			assert.Zero(t, f.CompressedSize64+f.UncompressedSize64)
		}
	}
	assert.Equal(t, []string{"xl/media/"}, folders)
}

// A cell whose number of a format is beyond the table of formats shows unformatted. It
// must not come to look like a figure of ours, whose formats are put there.
func TestFormatBeyondTheTable(t *testing.T) {
	const style = `s="%d"`
	in := shop.Edited(t, shop.TwoButts(t), func(f *excelize.File) {
		for c := 1; c <= 12; c++ {
			ref, err := excelize.CoordinatesToCellName(c, 30)
			require.NoError(t, err)
			_, err = f.NewSheet("Notes")
			require.NoError(t, err)
			require.NoError(t, f.SetCellValue("Notes", ref, 1000+c))
		}
	})
	formats := strings.Count(shop.Parts(t, in)["xl/styles.xml"], "<xf ")
	name := ""
	for part, text := range shop.Parts(t, in) {
		if strings.Contains(text, "<v>1001</v>") {
			name = part
		}
	}
	require.NotEmpty(t, name)
	in = shop.Repacked(t, in, name, func(s string) string {
		for c := 1; c <= 12; c++ {
			ref, _ := excelize.CoordinatesToCellName(c, 30)
			s = strings.Replace(s, `<c r="`+ref+`"`, `<c r="`+ref+`" `+fmt.Sprintf(style, formats+5*c), 1)
		}
		return s
	})
	out, _ := shop.Price(t, in)
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	for c := 1; c <= 12; c++ {
		ref, err := excelize.CoordinatesToCellName(c, 30)
		require.NoError(t, err)
		id, err := f.GetCellStyle("Notes", ref)
		require.NoError(t, err)
		assert.Equal(t, formats+5*c, id)
		if id >= len(f.Styles.CellXfs.Xf) {
			continue
		}
		xf := f.Styles.CellXfs.Xf[id]
		assert.Zero(t, *xf.NumFmtID, ref)
		assert.Zero(t, *xf.FillID, ref)
		assert.Zero(t, *xf.BorderID, ref)
	}
	require.Less(t, formats+5*12, len(f.Styles.CellXfs.Xf), "the numbers lie among ours")
	again, rep := shop.Price(t, out)
	assert.True(t, rep.Unchanged)
	assert.Equal(t, sheetstest.Read(t, out), sheetstest.Read(t, again))
}

// Clearing takes the formats of ours out, too, but for those that a cell has by now.
func TestClearTakesOurFormatsOut(t *testing.T) {
	for _, name := range []string{"order.xlsx", "order-metric.xlsx"} {
		in := shop.Demo(name)
		out, _ := shop.Price(t, in)
		was, now := shop.Parts(t, in)["xl/styles.xml"], shop.Parts(t, out)["xl/styles.xml"]
		require.Less(t, len(was), len(now)-5000)
		assert.Equal(t, was, shop.Parts(t, shop.Cleared(t, out))["xl/styles.xml"], name)
	}
	out, _ := shop.Price(t, shop.TwoButts(t))
	kept := 0
	out = shop.Edited(t, out, func(f *excelize.File) {
		_, err := f.NewSheet("Copied")
		require.NoError(t, err)
		kept = len(f.Styles.CellXfs.Xf) - 2
		require.NoError(t, f.SetCellStyle("Copied", "B2", "B2", kept))
	})
	cleared := shop.Cleared(t, out)
	f, err := excelize.OpenFile(cleared)
	require.NoError(t, err)
	defer f.Close()
	id, err := f.GetCellStyle("Copied", "B2")
	require.NoError(t, err)
	assert.Equal(t, kept, id)
	assert.Greater(t, len(f.Styles.CellXfs.Xf), kept)
	_, err = os.Stat(cleared)
	require.NoError(t, err)
	_, err = sheets.Check(t.Context(), cleared, "")
	require.NoError(t, err)
}

// A date that stands where a heading would is none, be it stored as a number or in words
// of ISO 8601: a spreadsheet has its number for either, and no words to follow.
func TestDateForAHeading(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	in := shop.Edited(t, shop.TwoButts(t), func(f *excelize.File) {
		require.NoError(t, f.SetCellValue("Joints", "K1", "heading"))
		require.NoError(t, f.SetCellValue("Joints", "K2", 5.5))
		require.NoError(t, f.SetCellValue("Joints", "K3", 6.5))
	})
	var priced []string
	for name, cell := range map[string]string{"ISO 8601": `<c r="K1" t="d"><v>2026-01-05</v></c>`, "number": `<c r="K1"><v>46027</v></c>`} {
		in := shop.Repacked(t, in, "xl/worksheets/sheet1.xml", func(s string) string {
			return regexp.MustCompile(`<c r="K1"[^>]*>.*?</c>`).ReplaceAllString(s, cell)
		})
		out, rep := shop.Price(t, in)
		assert.True(t, shop.HasFinding(rep, "column K, without a heading"), "%s: %v", name, rep.Findings)
		priced = append(priced, out)
	}
	for i, live := range sheetstest.RecalculateAll(t, priced...) {
		shop.Equal(t, priced[i], live)
	}
}

// Of headings in two rows the lower may have nothing to show for a column: a blank cell,
// a date, TRUE. Columns then shows the words above, in a spreadsheet too, and follows the
// heading row, by which what is settled is found again.
func TestHeadingAboveABlankCell(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	in := shop.Edited(t, shop.TwoButts(t), func(f *excelize.File) {
		require.NoError(t, f.InsertRows("Joints", 2, 1))
		require.NoError(t, f.SetSheetRow("Joints", "A2", &[]any{"no", nil, nil, nil, "in", "in"}))
		require.NoError(t, f.SetCellValue("Joints", "A1", "Joint"))
		require.NoError(t, f.SetSheetRow("Joints", "E1", &[]any{"OD", "Wall"}))
		require.NoError(t, f.SetSheetRow("Joints", "K1", &[]any{"Rack", "Shelf"}))
		require.NoError(t, f.SetSheetRow("Joints", "K3", &[]any{5.5, 7.5}))
		require.NoError(t, f.SetSheetRow("Joints", "K4", &[]any{6.5, 8.5}))
	})
	in = shop.Repacked(t, in, "xl/worksheets/sheet1.xml", func(s string) string {
		return regexp.MustCompile(`(<row r="2".*?)</row>`).ReplaceAllString(s, `$1<c r="K2" t="d"><v>2026-01-05</v></c><c r="L2" t="b"><v>1</v></c></row>`)
	})
	settled := filepath.Join(t.TempDir(), "settled.xlsx")
	var own []settling.Settling
	for _, what := range []string{"Joints!K=own", "Joints!L=own", "Other work=none"} {
		is, err := settling.Parse(what)
		require.NoError(t, err)
		own = append(own, is)
	}
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: settled, Settle: own})
	require.NoError(t, err)
	require.True(t, rep.Complete, "%v", rep.Findings)
	live := sheetstest.Recalculate(t, settled)
	shop.Equal(t, settled, live)
	var shown []string
	for ref, v := range live["Assumptions"] {
		if strings.HasPrefix(ref, "E") && slices.Contains([]string{"Kind", "Rack", "Shelf", "Bend °"}, v.Text) {
			shown = append(shown, v.Text)
		}
	}
	assert.ElementsMatch(t, []string{"Kind", "Rack", "Shelf", "Bend °"}, shown)

	_, rep = shop.Price(t, settled)
	assert.True(t, rep.Complete && rep.Unchanged, "still settled: %v", rep.Findings)
}
