package oddbooks_test

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// smallest is the least that a workbook with one sheet of these rows needs.
// Lines are rows and bars are columns; what reads as a number is one, what
// begins with = is a formula without a value, with =x= one with the value x.
func smallest(text string) []byte {
	var cells strings.Builder
	for i, line := range strings.Split(text, "\n") {
		fmt.Fprintf(&cells, `<row r="%d">`, i+1)
		for k, s := range strings.Split(line, "|") {
			if s != "" {
				fmt.Fprintf(&cells, `<c r="%s"%s</c>`, grid.Ref(i+1, k+1), cellContent(s))
			}
		}
		cells.WriteString("</row>")
	}
	const head, ns, rel = xml.Header, "http://schemas.openxmlformats.org/", "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, p := range [][2]string{
		{"[Content_Types].xml", `<Types xmlns="` + ns + `package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`},
		{"_rels/.rels", `<Relationships xmlns="` + ns + `package/2006/relationships"><Relationship Id="rId1" Type="` + rel + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="` + ns + `spreadsheetml/2006/main" xmlns:r="` + rel + `"><sheets><sheet name="Joints" sheetId="1" r:id="rId1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="` + ns + `package/2006/relationships"><Relationship Id="rId1" Type="` + rel + `/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", `<worksheet xmlns="` + ns + `spreadsheetml/2006/main"><sheetData>` + cells.String() + `</sheetData></worksheet>`},
	} {
		w, err := z.Create(p[0])
		if err != nil {
			panic(err) // a buffer takes everything
		}
		if _, err := w.Write([]byte(head + p[1])); err != nil {
			panic(err)
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return out.Bytes()
}

func cellContent(s string) string {
	formula, isFormula := strings.CutPrefix(s, "=")
	var f string
	if isFormula {
		formula, s, _ = strings.Cut(formula, "=")
		f = "<f>" + escaped(formula) + "</f>"
	}
	switch _, err := strconv.ParseFloat(s, 64); {
	case s == "":
		return ">" + f
	case err == nil && strings.Trim(s, "+-.0123456789eE") == "":
		return ">" + f + "<v>" + s + "</v>"
	case isFormula:
		return ` t="str">` + f + "<v>" + escaped(s) + "</v>"
	}
	return ` t="inlineStr"><is><t xml:space="preserve">` + escaped(s) + "</t></is>"
}

func escaped(s string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		panic(err) // a buffer takes everything
	}
	return b.String()
}

// Whatever stands in a small sheet: no panic and no hang; every joint row is
// priced or left out; all that was there is there again, and a second run
// changes no byte.
func FuzzSmallSheet(f *testing.F) {
	for _, seed := range []string{
		"Joint no|Kind|Qty|OD (in)|Wall (in)\nJ-1|butt|2|3|0.049\nJ-2|pie cut|1|3.000\"|18 ga",
		"Tube|Tube||Weld\nOD mm|Wall mm|Kind|qty\n76.2|1.2446|butt|2\nTotal|||2",
		"|OD|Wall|Bend\n|in|[in]|deg\nA|3|0.049|90",
		"od|wall|od|wall\n3|.049|3|.049\n\nod|wall\n1|0.02\nnotes",
		"O.D.|W.T.|Wandstärke mm|angle|setup\n2-1/2\"|x|1,2|45°|by hand\n⌀ 3|1|1.2|=1+1=2|=A1",
		"od|wall|Arc time|Check\n3|0.049|4|left out: no\n3|0.049|=1+1|no joint: a note",
		"od|wall|qty|kind\n3|0.049|1e300|seam\n-3|0.049|0|butt\n3|3|1.5|fillet\n1e-300|1e-301|1|branch",
		"od (in)|wall (mm)|car|kind|weld length|passes\n3|1.2|a*b|seam|10|3\n3|1.2|\u00a0|seam|10|3\n３|１．２|~|seam|1/2|3",
		"Car|Ordered\nA|3\n\nod|wall|car\n3|.05|A",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, grid string) {
		if len(grid) > 2000 || !utf8.ValidString(grid) || strings.ContainsFunc(grid, unwritable) {
			t.Skip("no sheet can hold it, or it takes too long")
		}
		in := shop.Put(t, smallest(grid))
		out := filepath.Join(t.TempDir(), "priced.xlsx")
		rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out})
		if err != nil {
			require.NoFileExists(t, out)
			return
		}
		require.Equal(t, rep.Read, rep.Priced+rep.LeftOut)
		lost, err := sheetstest.Kept(in, out, shop.OursIn(t, out))
		require.NoError(t, err)
		require.Empty(t, lost)
		again, two := pricedBook(t, out)
		require.True(t, shop.Content(t, out) == shop.Content(t, again), "priced again, the bytes differ")
		require.Equal(t, rep.Order, two.Order)
	})
}

// unwritable tells the characters that XML has no way to hold, and the carriage
// return, which it turns into another.
func unwritable(r rune) bool {
	return r < ' ' && r != '\n' && r != '\t' || r == 0xFFFE || r == 0xFFFF || r == utf8.RuneError
}
