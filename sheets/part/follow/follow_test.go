package follow

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// A block keeps its columns, and its cells stay together, or it does not follow:
// a sum over other cells would be a wrong figure without a word.
func TestMovedBlocksKeepTheirCells(t *testing.T) {
	by := func(at func(row, col int) (int, int)) grid.Moved {
		return grid.Moved{Sheet: "Sums", Row: func(row int) int { return row }, At: func(row, col int) (int, int, bool) {
			r, c := at(row, col)
			return r, c, true
		}}
	}
	column := by(func(row, col int) (int, int) {
		if col >= 3 {
			col++
		}
		return row, col
	})
	out, lost := column.MoveRefs("SUM(Sums!B2:C2)+Sums!C2+SUM(Sums!C2:D4)", "Demo")
	assert.Equal(t, "SUM(Sums!B2:C2)+Sums!D2+SUM(Sums!D2:E4)", out)
	assert.Equal(t, []string{"B2:C2"}, lost)

	away := by(func(row, col int) (int, int) {
		if row == 4 {
			row = 40
		}
		return row, col
	})
	out, lost = away.MoveRefs("SUM(Sums!B2:B9)+SUM(Sums!B5:B9)+Sums!B4", "Demo")
	assert.Equal(t, "SUM(Sums!B2:B9)+SUM(Sums!B5:B9)+Sums!B40", out)
	assert.Equal(t, []string{"B2:B9"}, lost)

	off := by(func(row, col int) (int, int) { return row + grid.MaxRow, col })
	out, lost = off.MoveRefs("Sums!B4", "Demo")
	assert.Equal(t, "Sums!B4", out)
	assert.Equal(t, []string{"B4"}, lost)
}

// twoSheets is a workbook of our sheet, a sheet of the shop's and one behind it,
// all invented, and other parts.
func twoSheets(t testing.TB, ours, demo string, more ...string) (*workbook.Workbook, *opc.Package) {
	t.Helper()
	list := func(entries ...string) string {
		return `<Relationships xmlns="` + markup.PkgRelNS + `">` + strings.Join(entries, "") + `</Relationships>`
	}
	entry := func(id, kind, target string) string {
		return fmt.Sprintf(`<Relationship Id="%s" Type="%s/%s" Target="%s"/>`, id, markup.RelNS, kind, target)
	}
	sheet := func(s string) string {
		if strings.HasPrefix(s, "<?") || strings.Contains(s, "worksheet ") {
			return s
		}
		return `<worksheet xmlns="` + markup.SheetNS + `">` + s + `</worksheet>`
	}
	names := `<definedName name="one">'Our ''sums'''!$C$10</definedName><definedName name="beside">'Our ''sums'''!C10</definedName>` +
		`<definedName name="_xlnm.Print_Titles" localSheetId="0">'Our ''sums'''!$A:$B,'Our ''sums'''!$10:$11</definedName>`
	p := parttest.Open(t, parttest.Zipped(t, append([]string{
		opc.ContentTypes, `<Types xmlns="` + markup.TypesNS + `"><Default Extension="xml" ContentType="application/xml"/></Types>`,
		"_rels/.rels", list(entry("rId1", "officeDocument", "xl/workbook.xml")),
		"xl/workbook.xml", `<workbook xmlns="` + markup.SheetNS + `" xmlns:r="` + markup.RelNS + `"><sheets><sheet name="Before" sheetId="3" r:id="rId3"/><sheet name="Our 'sums'" sheetId="1" r:id="rId1"/><sheet name="Demo" sheetId="2" r:id="rId2"/></sheets><definedNames>` + names + `</definedNames></workbook>`,
		"xl/_rels/workbook.xml.rels", list(entry("rId1", "worksheet", "worksheets/sheet1.xml"), entry("rId2", "worksheet", "worksheets/sheet2.xml"), entry("rId3", "worksheet", "worksheets/sheet3.xml")),
		"xl/worksheets/sheet1.xml", sheet(ours), "xl/worksheets/sheet2.xml", sheet(demo),
		"xl/worksheets/sheet3.xml", sheet("<sheetData/>"),
	}, more...)...), opc.OpenBytes)
	w, err := workbook.Read(p)
	require.NoError(t, err)
	return w, p
}

const sums = "'Our ''sums'''!"

// One thing of a sheet or part at a time: what it is, what it becomes, and what
// is said to be lost.
func TestMoveCellsOneByOne(t *testing.T) {
	cells := func(s string) string { return `<sheetData><row r="1">` + s + `</row></sheetData>` }
	rule := func(ranges, formula string) string {
		return `<sheetData/><conditionalFormatting sqref="` + ranges + `"><cfRule type="expression" priority="1"><formula>` + formula + `</formula></cfRule></conditionalFormatting>`
	}
	wide := `<x:worksheet xmlns:x="` + markup.StrictSheetNS + `"><x:sheetData><x:row><x:c><x:f t="shared" ref="A1:A2" si="3" ca="1">` + sums + `C9</x:f></x:c></x:row><x:row><x:c><x:f si="3" t="shared"/></x:c></x:row></x:sheetData></x:worksheet>`
	for _, c := range []struct{ part, was, is, lost string }{
		{"1", rule("C1:C1048576", "C1&gt;$C$10"), rule("C1:C1048576", "C1&gt;$C$13"), ""},
		{"1", rule("C8:C12", "$D8&gt;1"), rule("C8:C15", "$D8&gt;1"), ""},
		{"1", rule("C2 C9:C12", "C10&gt;1"), rule("C2 C9:C15", "C10&gt;1"), "Our 'sums'!C2 C9:C12: C10>1"},
		{"2", rule("B2:B20", "B2&gt;"+sums+"C2"), rule("B2:B20", "B2&gt;"+sums+"C2"), "Demo!B2:B20: B2>" + sums + "C2"},
		{"2", rule("B12:B20", "B12&gt;"+sums+"C12"), rule("B12:B20", "B12&gt;"+sums+"C15"), ""},
		{"1", `<sheetData/><x14:conditionalFormatting xmlns:x14="a" xmlns:xm="b"><xm:f>C10&gt;1</xm:f><xm:sqref>C10:C12 A1</xm:sqref></x14:conditionalFormatting>`, `<sheetData/><x14:conditionalFormatting xmlns:x14="a" xmlns:xm="b"><xm:f>C10&gt;1</xm:f><xm:sqref>C13:C15 A1</xm:sqref></x14:conditionalFormatting>`, "Our 'sums'!C10:C12 A1: C10>1"},
		{"1", `<sheetData/><x14:sparkline xmlns:x14="a" xmlns:xm="b"><xm:f>` + sums + `C10:C12</xm:f><xm:sqref>A10</xm:sqref></x14:sparkline>`, `<sheetData/><x14:sparkline xmlns:x14="a" xmlns:xm="b"><xm:f>` + sums + `C13:C15</xm:f><xm:sqref>A13</xm:sqref></x14:sparkline>`, ""},
		{"1", `<sheetData/><rowBreaks><brk id="9" man="1"/><brk id="3"/></rowBreaks><colBreaks><brk id="12"/></colBreaks>`, `<sheetData/><rowBreaks><brk id="12" man="1"/><brk id="3"/></rowBreaks><colBreaks><brk id="12"/></colBreaks>`, ""},
		{"1", `<sheetData/><mergeCells><mergeCell ref="A8:B11"/></mergeCells><hyperlinks><hyperlink ref="A10" location="C10"/></hyperlinks>`, `<sheetData/><mergeCells><mergeCell ref="A8:B14"/></mergeCells><hyperlinks><hyperlink ref="A13" location="C13"/></hyperlinks>`, ""},
		{"1", `<sheetData/><anchor moveWithCells="1"><from><d:row xmlns:d="d">9</d:row></from><to><d:row xmlns:d="d">11</d:row></to></anchor>`, `<sheetData/><anchor moveWithCells="1"><from><d:row xmlns:d="d">12</d:row></from><to><d:row xmlns:d="d">14</d:row></to></anchor>`, ""},
		{"2", `<sheetData/><hyperlinks><hyperlink ref="A10" location='Demo!C10'/><hyperlink ref="A1" location='&apos;Our &apos;&apos;sums&apos;&apos;&apos;!C10'/></hyperlinks>`, `<sheetData/><hyperlinks><hyperlink ref="A10" location='Demo!C10'/><hyperlink ref="A1" location='&apos;Our &apos;&apos;sums&apos;&apos;&apos;!C13'/></hyperlinks>`, ""},
		{"2", `<sheetData/><cfvo type="num" val="` + sums + `$C$10"/><dataRef ref="C10:C12" sheet="our 'sums'"/><dataRef ref="C10:C12" sheet="Demo"/>`, `<sheetData/><cfvo type="num" val="` + sums + `$C$13"/><dataRef ref="C13:C15" sheet="our 'sums'"/><dataRef ref="C10:C12" sheet="Demo"/>`, ""},
		{"2", cells(`<c><f>&apos;Our &apos;&apos;sums&apos;&apos;&apos;!C10</f></c>`), cells(`<c><f>` + sums + `C13</f></c>`), ""},
		{"2", cells(`<c><f>&#39;&#79;&#117;r &#39;&#39;&#115;ums&#39;&#39;&#39;!C10</f></c>`), cells(`<c><f>` + sums + `C13</f></c>`), ""},
		{"2", cells(`<c><f><![CDATA[` + sums + `C10]]></f></c>`), cells(`<c><f>` + sums + `C13</f></c>`), ""},
		{"2", cells(`<!-- <f>` + sums + `C10</f> --><c t="str"><v>` + sums + `C10</v></c>`), cells(`<!-- <f>` + sums + `C10</f> --><c t="str"><v>` + sums + `C10</v></c>`), ""},
		{"2", cells(`<c r="D1"><f>SUM(Before:Demo!C10)</f></c><c r="E1"><f>SUM(Before:Demo!C9)</f></c>`), cells(`<c r="D1"><f>SUM(Before:Demo!C10)</f></c><c r="E1"><f>SUM(Before:Demo!C9)</f></c>`), "Demo!D1: Before:Demo!C10"},
		{"2", cells(`<c><f t="array" ref="A10:A12">` + sums + `C10:C12</f></c>`), cells(`<c><f t="array" ref="A10:A12">` + sums + `C13:C15</f></c>`), ""},
		{"1", cells(`<c><f t="array" ref="A10:A12">C10:C12</f></c>`), cells(`<c><f t="array" ref="A13:A15">C13:C15</f></c>`), ""},
		{"2", wide, strings.NewReplacer(` t="shared" ref="A1:A2" si="3"`, "", `<x:f si="3" t="shared"/>`, `<x:f>`+sums+`C13</x:f>`).Replace(wide), ""},
		// All follow alike, so that they can go on sharing.
		{"2", cells(`<c r="A1"><f t="shared" ref="A1:B1" si="0">` + sums + `C10</f></c><c r="B1"><f t="shared" si="0"/></c>`), cells(`<c r="A1"><f t="shared" ref="A1:B1" si="0">` + sums + `C13</f></c><c r="B1"><f t="shared" si="0"/></c>`), ""},
		{"2", cells(`<c r="A1"><f t="shared" ref="A1:B1" si="0">C10</f></c><c r="B1"><f t="shared" si="0"/></c>`), cells(`<c r="A1"><f t="shared" ref="A1:B1" si="0">C10</f></c><c r="B1"><f t="shared" si="0"/></c>`), ""},
		{"xl/drawings/drawing9.xml", `<d:wsDr xmlns:d="d"><d:from><d:row>9</d:row></d:from><d:sp textlink="` + sums + `$C$10"/></d:wsDr>`, `<d:wsDr xmlns:d="d"><d:from><d:row>9</d:row></d:from><d:sp textlink="` + sums + `$C$13"/></d:wsDr>`, ""},
		{"xl/odd/chart.xml", `<chartSpace><f>(` + sums + `$C$10,Demo!$C$10)</f><sqref>` + sums + `$C$5:$C$6</sqref></chartSpace>`, `<chartSpace><f>(` + sums + `$C$13,Demo!$C$10)</f><sqref>` + sums + `$C$5:$C$6</sqref></chartSpace>`, "xl/odd/chart.xml: $C$5:$C$6"},
		{"xl/tables/t.xml", `<table xmlns="` + markup.SheetNS + `" ref="A10:A12"><calculatedColumnFormula>` + sums + `C10</calculatedColumnFormula></table>`, `<table xmlns="` + markup.SheetNS + `" ref="A10:A12"><calculatedColumnFormula>` + sums + `C13</calculatedColumnFormula></table>`, ""},
		{"xl/pivotCache/p.xml", `<pivotCacheDefinition><worksheetSource ref="A10:C12" sheet="Our 'sums'"/></pivotCacheDefinition>`, `<pivotCacheDefinition><worksheetSource ref="A13:C15" sheet="Our 'sums'"/></pivotCacheDefinition>`, ""},
		{"xl/pivotCache/p.xml", `<pivotCacheDefinition><worksheetSource ref="A10:C12" sheet="Our 'sums'" r:id="rId1"/></pivotCacheDefinition>`, `<pivotCacheDefinition><worksheetSource ref="A10:C12" sheet="Our 'sums'" r:id="rId1"/></pivotCacheDefinition>`, ""},
		{"xl/ctrlProps/c.xml", `<formControlPr fmlaLink="` + sums + `$C$10"/>`, `<formControlPr fmlaLink="` + sums + `$C$13"/>`, ""},
		{"xl/externalLinks/e.xml", `<externalLink><f>` + sums + `C10</f></externalLink>`, `<externalLink><f>` + sums + `C10</f></externalLink>`, ""},
		{"customXml/item1.xml", "\xFF\xFE<\x00", "\xFF\xFE<\x00", ""},
		{"xl/drawings/_rels/drawing9.xml.rels", `<Relationships xmlns="` + markup.PkgRelNS + `"><Relationship Id="a" Type="` + markup.RelNS + `/hyperlink" Target="#%27Our%20%27%27sums%27%27%27!C10"/></Relationships>`, `<Relationships xmlns="` + markup.PkgRelNS + `"><Relationship Id="a" Type="` + markup.RelNS + `/hyperlink" Target="#%27Our%20%27%27sums%27%27%27!C13"/></Relationships>`, ""},
	} {
		ours, demo, name, more := "<sheetData/>", "<sheetData/>", c.part, []string{}
		switch c.part {
		case "1":
			ours, name = c.was, "xl/worksheets/sheet1.xml"
		case "2":
			demo, name = c.was, "xl/worksheets/sheet2.xml"
		default:
			more = []string{c.part, c.was}
		}
		w, p := twoSheets(t, ours, demo, more...)
		e := p.Edit()
		names, lost, err := Cells(w, e, lowered(10, 3), func(string) bool { return false })
		require.NoError(t, err, c.was)
		got := parttest.Read(t, e, name)
		if c.part == "1" || c.part == "2" && c.was != wide {
			got = strings.TrimSuffix(strings.TrimPrefix(got, `<worksheet xmlns="`+markup.SheetNS+`">`), "</worksheet>")
		}
		assert.Equal(t, c.is, got)
		assert.Equal(t, c.was != c.is, len(e.Changed()) == 1, "%s: %v", c.was, e.Changed())
		var told []string
		for _, l := range lost {
			told = append(told, l.Where+": "+l.Ref)
		}
		want := []string{"beside: C10"} // a name that counts from the cell that uses it
		if c.lost != "" {
			want = append([]string{c.lost}, want...)
		}
		assert.Equal(t, want, told, c.was)
		assert.Equal(t, []workbook.DefinedName{{Name: "one", Sheet: -1, Ref: sums + "$C$13"},
			{Name: "_xlnm.Print_Titles", Sheet: 0, Ref: sums + "$A:$B," + sums + "$13:$14"}}, names)
		require.NoError(t, e.Close())
	}
}

// Formulas of cells that the caller writes are left alone; what hangs on the
// sheet besides is not.
func TestMoveCellsLeavesWhatTheCallerWrites(t *testing.T) {
	was := `<sheetData><row r="1"><c r="A1"><f>` + sums + `C10</f></c></row></sheetData><dataValidations><dataValidation sqref="B2"><formula1>` + sums + `$C$10</formula1></dataValidation></dataValidations>`
	w, p := twoSheets(t, "<sheetData/>", was)
	e := p.Edit()
	defer e.Close()
	_, _, err := Cells(w, e, lowered(10, 3), func(part string) bool { return part == "xl/worksheets/sheet2.xml" })
	require.NoError(t, err)
	assert.Contains(t, parttest.Read(t, e, "xl/worksheets/sheet2.xml"), strings.Replace(was, "$C$10", "$C$13", 1))
}

// A part that is cut short is an error that names it, and no panic.
func TestMoveCellsRefusesDamage(t *testing.T) {
	w, p := twoSheets(t, "<sheetData/>", "<sheetData/>", "xl/charts/chart1.xml", `<chartSpace><f>`+sums+`C10</f>`)
	e := p.Edit()
	defer e.Close()
	_, _, err := Cells(w, e, lowered(10, 3), func(string) bool { return false })
	require.ErrorContains(t, err, "xl/charts/chart1.xml")
}

// Cells that stay change no byte of any of the library's sample workbooks,
// whichever of their sheets they are of; nothing is lost.
func TestCellsThatStayChangeNothing(t *testing.T) {
	books := parttest.LibraryBooks(t, func(data []byte) (*opc.Package, error) {
		p, err := opc.OpenBytes(data)
		if err == nil {
			_, err = workbook.Read(p)
		}
		return p, err
	})
	for name, p := range books {
		w, err := workbook.Read(p)
		require.NoError(t, err)
		for _, s := range w.Sheets {
			e := p.Edit()
			stay := lowered(1<<20, 0)
			stay.Sheet = s.Name
			stay.At = func(r, c int) (int, int, bool) { return r, c, true }
			names, lost, err := Cells(w, e, stay, func(string) bool { return false })
			require.NoError(t, err, name)
			assert.Empty(t, e.Changed(), name)
			assert.Empty(t, names, name)
			assert.Empty(t, lost, name)
			require.NoError(t, e.Close())
		}
	}
}

// A shared formula says of every cell after the move what it said before: as if
// each had had its own.
func TestSharedFormulasFollowCellByCell(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		ref := rapid.Custom(func(t *rapid.T) string {
			dollar := rapid.SampledFrom([]string{"", "$"})
			return sums + dollar.Draw(t, "a") + "C" + dollar.Draw(t, "b") + fmt.Sprint(rapid.IntRange(1, 16).Draw(t, "row"))
		})
		formula := ref.Draw(rt, "one") + "+" + ref.Draw(rt, "two") + "*A1"
		var shared, own strings.Builder
		for row := 1; row <= 8; row++ {
			tag, text := `<f t="shared" si="0"/>`, grid.MoveFormula(formula, row-1, 0)
			if row == 1 {
				tag = `<f t="shared" ref="B1:B8" si="0">` + formula + `</f>`
			}
			fmt.Fprintf(&shared, `<row r="%d"><c r="B%d">%s</c></row>`, row, row, tag)
			fmt.Fprintf(&own, `<row r="%d"><c r="B%d"><f>%s</f></c></row>`, row, row, text)
		}
		read := func(rows string) (formulas []string) {
			w, p := twoSheets(t, "<sheetData/>", "<sheetData>"+rows+"</sheetData>")
			e := p.Edit()
			defer e.Close()
			_, _, err := Cells(w, e, lowered(10, 3), func(string) bool { return false })
			require.NoError(rt, err)
			_, err = worksheet.Read(strings.NewReader(parttest.Read(t, e, "xl/worksheets/sheet2.xml")), worksheet.Strings{}, func(r *worksheet.Row) error {
				for _, c := range r.Cells {
					formulas = append(formulas, grid.Ref(c.Row, c.Col)+"="+c.Formula)
				}
				return nil
			})
			require.NoError(rt, err)
			return formulas
		}
		require.Equal(rt, read(own.String()), read(shared.String()), formula)
	})
}
