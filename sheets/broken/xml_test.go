package broken_test

import (
	"maps"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest/shop"
)

// inside puts text before the last end tag of a part.
func inside(text string) func(string) string {
	return func(s string) string {
		at := strings.LastIndex(s, "</")
		return s[:at] + text + s[at:]
	}
}

// onRoot adds attributes to the first element of a part.
func onRoot(text string) func(string) string {
	return func(s string) string {
		at := strings.Index(s, "?>") + 2
		at += strings.IndexAny(s[at:], " >")
		return s[:at] + text + s[at:]
	}
}

// prolog puts text between the declaration of a part and its root.
func prolog(text string) func(string) string {
	return func(s string) string {
		at := strings.Index(s, "?>") + 2
		return s[:at] + text + s[at:]
	}
}

// instead puts one text in place of another.
func instead(old, text string) func(string) string {
	return func(s string) string {
		if !strings.Contains(s, old) {
			panic("no " + old + " in " + s) // the test's own mistake
		}
		return strings.Replace(s, old, text, 1)
	}
}

func only(text string) func(string) string { return func(string) string { return text } }

func utf16BE(s string) string {
	out := []byte("\xFE\xFF")
	for _, u := range utf16.Encode([]rune(s)) {
		out = append(out, byte(u>>8), byte(u))
	}
	return string(out)
}

func utf32LE(s string) string {
	out := []byte("\xFF\xFE\x00\x00")
	for _, r := range s {
		out = append(out, byte(r), byte(r>>8), byte(r>>16), 0)
	}
	return string(out)
}

// laughs is a declaration of entities that unfold to a thousand million words.
func laughs() string {
	var b strings.Builder
	b.WriteString(`<!DOCTYPE x [<!ENTITY e0 "ha">`)
	for i := range 9 {
		b.WriteString("<!ENTITY e" + string(rune('1'+i)) + ` "` + strings.Repeat("&e"+string(rune('0'+i))+";", 10) + `">`)
	}
	return b.String() + "]>"
}

// brokenXML are workbooks with a part that says what none should, or says it so
// often that a machine's memory is full of it.
func brokenXML(t *testing.T) map[string][]byte {
	t.Helper()
	sound := shop.Parts(t, shop.Small(t, shop.Butt("J-1")))
	out := map[string][]byte{}
	add := func(name, part string, change func(string) string) {
		odd := maps.Clone(sound)
		require.Contains(t, odd, part)
		odd[part] = change(odd[part])
		out["xml: "+name] = shop.Packed(t, odd)
	}
	for part, short := range map[string]string{smallSheet: "sheet", smallBook: "workbook", smallStyles: "styles", smallStrings: "strings", smallTypes: "types", smallRels: "relations"} {
		for how, change := range map[string]func(string) string{
			"a laughing declaration": prolog(laughs()),
			"an outside entity":      prolog(`<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>`),
			"an outside declaration": prolog(`<!DOCTYPE x SYSTEM "http://invalid.example/x.dtd">`),
			"an unknown entity":      inside("&e;"),
			"100,000 levels":         inside(strings.Repeat("<a>", 100_000) + strings.Repeat("</a>", 100_000)),
			"100,000 open tags":      inside(strings.Repeat("<a>", 100_000)),
			"an attribute twice":     onRoot(` a="" a=""`),
			"a mark of UTF-8":        func(s string) string { return "\xEF\xBB\xBF" + s },
			"two marks of UTF-8":     func(s string) string { return "\xEF\xBB\xBF\xEF\xBB\xBF" + s },
			"UTF-16, high end first": utf16BE,
			"UTF-32":                 utf32LE,
			"UTF-7, it says":         instead(`encoding="UTF-8"`, `encoding="UTF-7"`),
			"Latin 1, it says":       instead(`encoding="UTF-8"`, `encoding="ISO-8859-1"`),
			"bytes that are no text": inside("<a>\xFF\xC0\x80</a>"),
			"a NUL":                  inside("<a>\x00</a>"),
			"a NUL by number":        inside("<a>&#0;</a>"),
			"a surrogate by number":  inside("<a>&#xD800;</a>"),
			"a number without end":   inside("<a>&#" + strings.Repeat("9", 100_000) + ";</a>"),
			"no end of a tag":        inside("<a "),
			"no end of a comment":    inside("<!-- "),
			"no end of a section":    inside("<a><![CDATA["),
			"another root":           only(`<?xml version="1.0" encoding="UTF-8"?><a/>`),
			"blanks only":            only(strings.Repeat(" ", 1000)),
			"an unknown prefix":      inside("<q:a/>"),
		} {
			add(short+": "+how, part, change)
		}
	}
	// These take their time: one part that is read as a stream, and one whole.
	for part, short := range map[string]string{smallSheet: "sheet", smallRels: "relations"} {
		add(short+": 10 MB in an attribute", part, onRoot(` a="`+strings.Repeat("a", 10<<20)+`"`))
		add(short+": a million attributes", part, onRoot(manyAttributes()))
		add(short+": a comment of 10 MB", part, inside("<!-- "+strings.Repeat("x", 10<<20)+" -->"))
	}
	sheetCases(add)
	bookCases(add)
	return out
}

func manyAttributes() string {
	var b strings.Builder
	for i := range 1_000_000 {
		b.WriteString(" a")
		for n := i; n > 0; n /= 26 {
			b.WriteByte(byte('a' + n%26))
		}
		b.WriteString(`=""`)
	}
	return b.String()
}

// sheetCases are cells, rows and what stands around them.
func sheetCases(add func(name, part string, change func(string) string)) {
	sheet := func(name string, change func(string) string) { add("sheet: "+name, smallSheet, change) }
	for _, v := range []string{"-1", "4294967296", "99999999999999999999", "1.5", "x", ""} {
		sheet("string "+v, instead(`t="s"><v>0<`, `t="s"><v>`+v+`<`))
	}
	for _, v := range []string{"1e999", "-1e999", "NaN", "Infinity", "INF", "0x1p4", "1_0", "1e-999", "1,5", " 3 ", "3 4", "٣", strings.Repeat("9", 5000), "3e", "--3", ""} {
		sheet("number "+v[:min(len(v), 12)], instead(`<v>0.049</v>`, `<v>`+v+`</v>`))
	}
	for _, kind := range []string{"zz", "d", "e", "b", "str", "inlineStr", "n", ""} {
		sheet("kind "+kind, instead(`<v>0.049</v>`, `<v>0.049</v></c><c r="Z2" t="`+kind+`"><v>2026-11-25T00:00:00</v>`))
	}
	for _, row := range []string{"0", "-1", "1048577", "4294967297", "99999999999999999999", "x", "1.5", ""} {
		sheet("row "+row, instead(`<row r="2"`, `<row r="`+row+`"`))
	}
	for _, ref := range []string{"AAAA2", "XFE2", "A", "2", "", "A0", "A2:B2", "a2", "$A$2", "A99999999999", "AÄ2"} {
		sheet("cell "+ref, instead(`r="A2"`, `r="`+ref+`"`))
	}
	for _, style := range []string{"-1", "99999", "1048577", "99999999999", "x"} {
		sheet("format "+style, instead(`<c r="A2"`, `<c r="A2" s="`+style+`"`))
	}
	sheet("cells out of order", instead(`<c r="B2"`, `<c r="A2"/><c r="B2"`))
	sheet("rows out of order", instead(`<row r="2"`, `<row r="9"/><row r="2"`))
	sheet("a row twice", instead(`<row r="2"`, `<row r="2"/><row r="2"`))
	sheet("spans without measure", instead(`<row r="2"`, `<row r="2" spans="`+strings.Repeat("1:16384 ", 100_000)+`" `))
	sheet("spans of nonsense", instead(`<row r="2"`, `<row r="2" spans="0:99999999 x:y -3" `))
	sheet("a million columns", instead(`<sheetData>`, `<cols>`+strings.Repeat(`<col min="1" max="1" width="9"/>`, 1_000_000)+`</cols><sheetData>`))
	sheet("columns of nonsense", instead(`<sheetData>`, `<cols><col min="-5" max="99999999"/></cols><sheetData>`))
	sheet("a million merged cells", instead(`</sheetData>`, `</sheetData><mergeCells>`+strings.Repeat(`<mergeCell ref="AA9:AB10"/>`, 1_000_000)+`</mergeCells>`))
	sheet("one merged cell of all", instead(`</sheetData>`, `</sheetData><mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>`))
	sheet("merged nonsense", instead(`</sheetData>`, `</sheetData><mergeCells><mergeCell ref="B9:A0"/></mergeCells>`))
	sheet("a million rows", instead(`</sheetData>`, strings.Repeat(`<row/>`, 1_000_000)+`</sheetData>`))
	sheet("a row at the very end", instead(`</sheetData>`, `<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>`))
	sheet("two million rows", instead(`</sheetData>`, strings.Repeat(`<row/>`, 2_000_000)+`</sheetData>`))
	sheet("a shared formula of all", instead(`<v>0.049</v>`, `<f t="shared" si="0" ref="A1:XFD1048576">A1+1</f><v>0.049</v>`))
	sheet("a shared formula of none", instead(`<v>0.049</v>`, `<f t="shared" si="99999999"/><v>0.049</v>`))
	sheet("an array of all", instead(`<v>0.049</v>`, `<f t="array" ref="A1:XFD1048576">A1+1</f><v>0.049</v>`))
	sheet("a formula without end", instead(`<v>0.049</v>`, `<f>`+strings.Repeat("(", 1_000_000)+`</f><v>0.049</v>`))
	sheet("two sets of cells", instead(`</sheetData>`, `</sheetData><sheetData/>`))
	sheet("200,000 conditional formats", instead(`</sheetData>`, `</sheetData>`+strings.Repeat(`<conditionalFormatting sqref="A1"/>`, 200_000)))
	add("strings: a million", smallStrings, inside(strings.Repeat(`<si><t>a</t></si>`, 1_000_000)))
	add("strings: none", smallStrings, only(`<?xml version="1.0" encoding="UTF-8"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>`))
	add("strings: one of 40 MB", smallStrings, inside(`<si><t>`+strings.Repeat("abcdefgh", 5<<20)+`</t></si>`))
}

// bookCases are the workbook, its styles and what leads from part to part.
func bookCases(add func(name, part string, change func(string) string)) {
	const (
		sheetType = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"
		bookType  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument"
	)
	sheets := func(text string) func(string) string { return instead("<sheets>", "<sheets>"+text) }
	add("workbook: two sheets of one part", smallBook, sheets(`<sheet name="More" sheetId="7" r:id="rId1" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"/>`))
	add("workbook: two sheets of one name", smallBook, func(s string) string {
		return sheets(`<sheet name="JOINTS" sheetId="7" r:id="rId1" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"/>`)(s)
	})
	add("workbook: a sheet without a part", smallBook, sheets(`<sheet name="More" sheetId="7"/>`))
	add("workbook: 50,000 sheets", smallBook, sheets(strings.Repeat(`<sheet name="More" sheetId="7"/>`, 50_000)))
	add("workbook: a million names", smallBook, inside(`<definedNames>`+strings.Repeat(`<definedName name="a">1</definedName>`, 1_000_000)+`</definedNames>`))
	add("workbook: 100,000 names", smallBook, inside(`<definedNames>`+strings.Repeat(`<definedName name="shop_rate">1</definedName>`, 100_000)+`</definedNames>`))
	add("workbook: names of nonsense", smallBook, inside(`<definedNames><definedName name="seamtally.assumptions">Joints!$A$1</definedName><definedName name="seamtally.columns">'Joints'!$A$1:$XFD$1048576</definedName>`+
		`<definedName name="seamtally.log" localSheetId="-1">#REF!</definedName><definedName name="seamtally.last" localSheetId="99999999999">x</definedName></definedNames>`))
	add("workbook: our names over everything", smallBook, inside(`<definedNames><definedName name="seamtally.assumptions">Joints!$A$1:$XFD$1048576</definedName><definedName name="seamtally.summary">Joints!$A$1:$XFD$1048576</definedName>`+
		`<definedName name="seamtally.columns">Joints!$A$1:$XFD$1048576</definedName><definedName name="seamtally.last">Joints!$A$1:$XFD$1048576</definedName><definedName name="seamtally.log">Joints!$A$1:$XFD$1048576</definedName></definedNames>`))
	add("styles: a million", smallStyles, instead("</cellXfs>", strings.Repeat("<xf/>", 1_000_000)+"</cellXfs>"))
	add("styles: 60,000", smallStyles, instead("</cellXfs>", strings.Repeat("<xf/>", 60_000)+"</cellXfs>"))
	add("styles: 65,490", smallStyles, instead("</cellXfs>", strings.Repeat("<xf/>", 65_490)+"</cellXfs>"))
	add("styles: none", smallStyles, only(`<?xml version="1.0" encoding="UTF-8"?><styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>`))
	add("styles: fonts that are not there", smallStyles, instead("</cellXfs>", `<xf fontId="99999" fillId="-1" borderId="99999999999999" numFmtId="x"/></cellXfs>`))
	related := func(id, kind, target, mode string) func(string) string {
		return inside(`<Relationship Id="` + id + `" Type="` + kind + `" Target="` + target + `"` + mode + `/>`)
	}
	outside := ` TargetMode="External"`
	add("relations: one number twice", smallRels, related("rId1", sheetType, "worksheets/sheet1.xml", ""))
	add("relations: to themselves", smallRels, related("rId77", sheetType, "_rels/workbook.xml.rels", ""))
	add("relations: to the workbook", smallRels, instead(`worksheets/sheet1.xml`, `workbook.xml`))
	add("relations: upwards", smallRels, instead(`worksheets/sheet1.xml`, `../../../../etc/passwd`))
	add("relations: to a file", smallRels, instead(`Target="worksheets/sheet1.xml"`, `Target="file:///etc/passwd"`+outside))
	add("relations: to the web", smallRels, instead(`Target="worksheets/sheet1.xml"`, `Target="http://invalid.example/sheet1.xml"`+outside))
	add("relations: to the web, as if inside", smallRels, instead(`worksheets/sheet1.xml`, `http://invalid.example/sheet1.xml`))
	add("relations: with a question", smallRels, instead(`worksheets/sheet1.xml`, `worksheets/sheet1.xml?a=b#c`))
	add("relations: escaped", smallRels, instead(`worksheets/sheet1.xml`, `worksheets/%73heet1.xml`))
	add("relations: 100,000", smallRels, inside(strings.Repeat(`<Relationship Id="a" Type="b" Target="c"/>`, 100_000)))
	add("relations: two workbooks", rootRels, related("rId78", bookType, "xl/styles.xml", ""))
	add("relations: the workbook is elsewhere", rootRels, instead("xl/workbook.xml", "http://invalid.example/workbook.xml"))
	add("relations: the workbook is its relations", rootRels, instead("xl/workbook.xml", "_rels/.rels"))
	add("types: none", smallTypes, only(`<?xml version="1.0" encoding="UTF-8"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>`))
	add("types: 100,000", smallTypes, inside(strings.Repeat(`<Default Extension="a" ContentType="b"/>`, 100_000)))
	add("types: of the sheet, twice", smallTypes, inside(`<Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/octet-stream"/>`))
}
