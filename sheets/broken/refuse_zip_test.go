package broken_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/disk"
	"seamtally/sheets/sheetstest/shop"
)

// withEntry is a workbook with one entry more, whatever its name.
func withEntry(t *testing.T, data []byte, name, text string) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for _, f := range z.File {
		require.NoError(t, w.Copy(f))
	}
	to, err := w.Create(name)
	require.NoError(t, err)
	_, err = to.Write([]byte(text))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return buf.Bytes()
}

// directory gives the place of an entry's record in the directory of a zip
// (the record's layout: .ZIP file format specification, 4.3.12).
func directory(t *testing.T, data []byte, name string) []byte {
	t.Helper()
	at := bytes.LastIndex(data, []byte(name))
	require.Positive(t, at)
	record := data[at-46 : at]
	require.Equal(t, "PK\x01\x02", string(record[:4]))
	return record
}

const jointSheet = "xl/worksheets/sheet2.xml"

// A wrong checksum is told of any part that is read; its rows are not trusted.
func TestWrongChecksum(t *testing.T) {
	for name, says := range map[string]string{
		jointSheet: `sheet "Joints": `, "xl/workbook.xml": "", "xl/styles.xml": "", "xl/sharedStrings.xml": "", "[Content_Types].xml": "",
	} {
		data := shop.Packed(t, shop.Parts(t, shop.Unpriced(t, "order.xlsx")))
		record := directory(t, data, name)
		sum := binary.LittleEndian.Uint32(record[16:])
		var before, after [4]byte
		binary.LittleEndian.PutUint32(before[:], sum)
		binary.LittleEndian.PutUint32(after[:], sum^0xFF)
		why := refusal(t, "order.xlsx", bytes.ReplaceAll(data, before[:], after[:])) // the descriptor repeats it
		assert.Contains(t, why, says)
		assert.Contains(t, why, "part "+name+" is damaged (its checksum does not match); restore the file from a copy")
	}
}

// Two entries of one name, which programs read in two ways, and a part that
// claims a size as no workbook has.
func TestOddDirectories(t *testing.T) {
	data := []byte(shop.Content(t, shop.Unpriced(t, "order.xlsx")))
	for _, name := range []string{jointSheet, strings.ToUpper(jointSheet), "/" + jointSheet} {
		why := refusal(t, "order.xlsx", withEntry(t, data, name, "<worksheet/>"))
		assert.Contains(t, why, "is in the file twice")
	}
	data = shop.Packed(t, shop.Parts(t, shop.Unpriced(t, "order.xlsx")))
	binary.LittleEndian.PutUint32(directory(t, data, jointSheet)[24:], 3<<30)
	assert.Contains(t, refusal(t, "order.xlsx", data), "unpacks to 3221225472 bytes, the limit is")
}

// The names of a package are no paths: nothing is ever unpacked to them, and
// such an entry stays what it was.
func TestNamesAreNoPaths(t *testing.T) {
	in := shop.Put(t, withEntry(t, []byte(shop.Content(t, shop.Small(t, shop.Butt("J-1")))), "../../evil.xml", "<a/>"))
	out, _ := shop.Price(t, in)
	assert.Equal(t, "<a/>", shop.Parts(t, out)["../../evil.xml"])
	assert.NoFileExists(t, filepath.Join(filepath.Dir(out), "..", "..", "evil.xml"))
}

// What a file says of its own size is not believed.
func TestDeclaredSizes(t *testing.T) {
	odd := shop.Parts(t, shop.Small(t, shop.Butt("J-1")))
	odd["xl/sharedStrings.xml"] = regexp.MustCompile(`ount="\d+"`).ReplaceAllString(odd["xl/sharedStrings.xml"], `ount="4000000000"`)
	require.Contains(t, odd["xl/sharedStrings.xml"], `"4000000000"`)
	sheet := odd["xl/worksheets/sheet1.xml"]
	at, end := strings.Index(sheet, "<dimension"), strings.Index(sheet, "<sheetViews")
	require.True(t, at > 0 && end > at)
	odd["xl/worksheets/sheet1.xml"] = sheet[:at] + `<dimension ref="A1:XFD1048576"></dimension>` + sheet[end:]
	_, rep := shop.Price(t, shop.Put(t, shop.Packed(t, odd)))
	assert.Equal(t, 1, rep.Priced)
}

// Templates and workbooks with macros stay of their kind, the macros with every
// byte.
func TestKindStays(t *testing.T) {
	const plain = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
	const macros = "\x00\x01 any bytes \xFF"
	for ext, kind := range map[string]string{
		".xlsm": "application/vnd.ms-excel.sheet.macroEnabled.main+xml",
		".xltx": "application/vnd.openxmlformats-officedocument.spreadsheetml.template.main+xml",
		".xltm": "application/vnd.ms-excel.template.macroEnabled.main+xml",
		".XLSX": plain,
	} {
		kept := maps.Clone(shop.Parts(t, shop.Small(t, shop.Butt("J-1"))))
		require.Contains(t, kept["[Content_Types].xml"], plain)
		kept["[Content_Types].xml"] = strings.NewReplacer(plain, kind, "<Default ",
			`<Default Extension="bin" ContentType="application/vnd.ms-office.vbaProject"/><Default `).Replace(kept["[Content_Types].xml"])
		kept["xl/vbaProject.bin"] = macros
		in := filepath.Join(t.TempDir(), "order"+ext)
		require.NoError(t, os.WriteFile(in, shop.Packed(t, kept), 0o600))
		rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in})
		require.NoError(t, err, ext)
		assert.Equal(t, disk.OutputName(in), rep.Output)
		assert.True(t, strings.HasSuffix(rep.Output, "order-priced"+ext), rep.Output)
		priced := shop.Parts(t, rep.Output)
		assert.Contains(t, priced["[Content_Types].xml"], kind)
		assert.Equal(t, macros, priced["xl/vbaProject.bin"])
	}
}
