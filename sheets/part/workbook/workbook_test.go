package workbook

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
)

const (
	testTypes = `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
		`<Default Extension="xml" ContentType="application/xml"/>` +
		`<Override PartName="/book/main.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>` +
		`<Override PartName="/book/tab1.xml" ContentType="` + sheetType + `"/></Types>`
	testRootRels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
		`<Relationship Id="a" Type="%s/officeDocument" Target="/book/main.xml"/></Relationships>`
	testBookRels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
		`<Relationship Id="t1" Type="%s/worksheet" Target="tab1.xml"/></Relationships>`
)

// oddBook is a hand-written workbook without styles, names or calculation
// settings, under part names of its own, in a namespace and prefix.
func oddBook(t testing.TB, prefix string, strict bool) *opc.Package {
	main, rel := markup.SheetNS, markup.RelNS
	if strict {
		main, rel = markup.StrictSheetNS, markup.StrictRelNS
	}
	decl, x := "xmlns", ""
	if prefix != "" {
		decl, x = "xmlns:"+prefix, prefix+":"
	}
	return parttest.Open(t, parttest.Zipped(t, opc.ContentTypes, testTypes,
		"_rels/.rels", fmt.Sprintf(testRootRels, rel),
		"book/main.xml", fmt.Sprintf(`<?xml version="1.0"?><%sworkbook %s="%s"><%ssheets>`+
			`<%ssheet name="List" sheetId="7" q:id="t1" xmlns:q="%s"/></%ssheets></%sworkbook>`, x, decl, main, x, x, rel, x, x),
		"book/_rels/main.xml.rels", fmt.Sprintf(testBookRels, rel),
		"book/tab1.xml", fmt.Sprintf(`<%sworksheet %s="%s"><%ssheetData/></%sworksheet>`, x, decl, main, x, x)), opc.OpenBytes)
}

func TestReadWorkbookOdd(t *testing.T) {
	for _, strict := range []bool{false, true} {
		p := oddBook(t, "x", strict)
		w, err := Read(p)
		require.NoError(t, err)
		assert.Equal(t, "book/main.xml", w.Part)
		assert.Equal(t, strict, w.Strict)
		assert.Equal(t, []Sheet{{Name: "List", SheetID: 7, RelID: "t1", Kind: "worksheet", PartName: "book/tab1.xml", State: "visible"}}, w.Sheets)
		assert.Empty(t, w.Styles)
		assert.Equal(t, 0, w.Sheet("LIST"))
		assert.Equal(t, -1, w.Sheet("Summary"))
	}
}

// What is on a tab that is there twice would count twice.
func TestTwoTabsOfOneKind(t *testing.T) {
	book := func(second, target string) error {
		_, err := Read(parttest.Open(t, parttest.Zipped(t, opc.ContentTypes, testTypes, "_rels/.rels", fmt.Sprintf(testRootRels, markup.RelNS),
			"book/main.xml", `<workbook xmlns="`+markup.SheetNS+`" xmlns:r="`+markup.RelNS+`"><sheets>`+
				`<sheet name="List" sheetId="1" r:id="t1"/><sheet name="`+second+`" sheetId="2" r:id="t2"/></sheets></workbook>`,
			"book/_rels/main.xml.rels", strings.Replace(fmt.Sprintf(testBookRels, markup.RelNS), "</Rel",
				`<Relationship Id="t2" Type="`+markup.RelNS+`/worksheet" Target="`+target+`"/></Rel`, 1),
			"book/tab1.xml", "", "book/tab2.xml", ""), opc.OpenBytes))
		return err
	}
	require.NoError(t, book("Other", "tab2.xml"))
	assert.ErrorContains(t, book("LIST", "tab2.xml"), `two sheets are called "LIST"; restore`)
	assert.ErrorContains(t, book("Other", "TAB1.xml"), `the sheets "List" and "Other" are one part, book/tab1.xml; restore`)
}

func TestReadWorkbookMade(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	_, err := f.NewSheet("Rates & more")
	require.NoError(t, err)
	require.NoError(t, f.SetSheetVisible("Rates & more", false))
	require.NoError(t, f.SetCellValue("Joints", "A1", "od"))
	require.NoError(t, f.AddTable("Joints", &excelize.Table{Range: "A1:B4", Name: "t1"}))
	require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "rate", RefersTo: "'Rates & more'!$A$1"}))
	require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "local", RefersTo: "Joints!$A$2", Scope: "Joints"}))
	yes := true
	require.NoError(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}))
	require.NoError(t, f.ProtectWorkbook(&excelize.WorkbookProtectionOptions{LockStructure: true}))
	w, err := Read(parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes))
	require.NoError(t, err)
	require.Len(t, w.Sheets, 2)
	assert.Equal(t, "Joints", w.Sheets[0].Name)
	assert.Equal(t, []string{"xl/tables/table1.xml"}, w.Sheets[0].Tables)
	assert.Equal(t, "hidden", w.Sheets[1].State)
	assert.Equal(t, "Rates & more", w.Sheets[1].Name)
	assert.Equal(t, []DefinedName{{"rate", -1, "'Rates & more'!$A$1", false}, {"local", 0, "Joints!$A$2", false}}, w.Names)
	assert.True(t, w.Date1904)
	assert.True(t, w.StructureLocked)
	assert.Equal(t, "xl/styles.xml", w.Styles)
	assert.Equal(t, "xl/sharedStrings.xml", w.SharedStrings)
	assert.Equal(t, "xl/theme/theme1.xml", w.Theme)
}

func TestReadWorkbookRefuses(t *testing.T) {
	_, err := Read(parttest.Open(t, parttest.Zipped(t, opc.ContentTypes, testTypes), opc.OpenBytes))
	assert.ErrorContains(t, err, "no workbook part")
	_, err = Read(parttest.Open(t, parttest.Zipped(t, opc.ContentTypes, testTypes, "_rels/.rels", fmt.Sprintf(testRootRels, markup.RelNS),
		"book/main.xml", `<workbook xmlns="`+markup.SheetNS+`"/>`), opc.OpenBytes))
	assert.ErrorContains(t, err, "no sheets")
}

// sampleBook opens a package whose workbook can be read.
func sampleBook(data []byte) (*opc.Package, error) {
	p, err := opc.OpenBytes(data)
	if err == nil {
		_, err = Read(p)
	}
	return p, err
}

// patchTwice patches, checks that a second time changes nothing, and gives the
// result.
func patchTwice(t testing.TB, src string, wp Changes) string {
	t.Helper()
	w := &Workbook{Part: "xl/workbook.xml"}
	once, err := w.Patch([]byte(src), wp)
	require.NoError(t, err)
	twice, err := w.Patch(once, wp)
	require.NoError(t, err)
	require.Equal(t, string(once), string(twice))
	return string(once)
}

const plainBook = `<workbook xmlns="` + markup.SheetNS + `" xmlns:r="` + markup.RelNS + `"><sheets><sheet name="A" sheetId="1" r:id="rId1"/>` +
	`<sheet name="B" sheetId="2" r:id="rId2"/><sheet name="C" sheetId="3" state="hidden" r:id="rId3"/></sheets>%s</workbook>`

func TestPatchAddsAll(t *testing.T) {
	src := fmt.Sprintf(plainBook, `<externalReferences/><oleSize ref="A1"/>`)
	out := patchTwice(t, src, Changes{
		AddSheets:      []NewSheet{{"S & T", "rId9", 4}},
		SetNames:       []DefinedName{{"seamtally.summary", -1, "'S & T'!$A$1", true}, {"_xlnm.Print_Area", 3, "'S & T'!$A$1:$B$2", false}},
		FullCalcOnLoad: true,
	})
	assert.Equal(t, strings.NewReplacer(
		`</sheets>`, `<sheet name="S &amp; T" sheetId="4" r:id="rId9"/></sheets>`,
		`<oleSize`, `<definedNames><definedName name="seamtally.summary" hidden="1">'S &amp; T'!$A$1</definedName>`+
			`<definedName name="_xlnm.Print_Area" localSheetId="3">'S &amp; T'!$A$1:$B$2</definedName></definedNames><calcPr fullCalcOnLoad="1"/><oleSize`,
	).Replace(src), out)
}

func TestPatchOddNamespaces(t *testing.T) {
	for _, prefix := range []string{"", "x"} {
		for _, strict := range []bool{false, true} {
			p := oddBook(t, prefix, strict)
			w, err := Read(p)
			require.NoError(t, err)
			src, err := p.Read(w.Part)
			require.NoError(t, err)
			out := patchTwice(t, string(src), Changes{
				AddSheets: []NewSheet{{"New", "n1", 8}}, SetNames: []DefinedName{{"a", -1, "1", false}}, FullCalcOnLoad: true})
			assert.True(t, parttest.OnlyInserted(src, []byte(out)))
			e := p.Edit()
			e.Replace(w.Part, []byte(out))
			now, err := Read(e)
			require.NoError(t, err)
			require.Len(t, now.Sheets, 2)
			assert.Equal(t, "n1", now.Sheets[1].RelID)
			assert.Equal(t, []DefinedName{{"a", -1, "1", false}}, now.Names)
			assert.True(t, now.FullCalcOnLoad)
		}
	}
}

func TestPatchCalcKeepsTheRest(t *testing.T) {
	src := fmt.Sprintf(plainBook, `<calcPr calcId="191029" iterate="1" fullCalcOnLoad="0" calcMode="manual"/>`)
	out := patchTwice(t, src, Changes{FullCalcOnLoad: true})
	assert.Equal(t, strings.Replace(src, `fullCalcOnLoad="0"`, `fullCalcOnLoad="1"`, 1), out)
	assert.Equal(t, src, patchTwice(t, src, Changes{}))
}

func TestPatchNames(t *testing.T) {
	src := fmt.Sprintf(plainBook, `<definedNames><definedName name="Rate" comment="kept">1</definedName>`+
		` <definedName name="rate" localSheetId="1" hidden="1">2</definedName><definedName name="x">3</definedName></definedNames>`)
	out := patchTwice(t, src, Changes{
		SetNames:    []DefinedName{{"RATE", -1, "A<B", false}, {"rate", 1, "2", false}, {"rate", 2, "5", false}},
		RemoveNames: []DefinedName{{Name: "X", Sheet: -1}, {Name: "none", Sheet: 0}},
	})
	assert.Equal(t, fmt.Sprintf(plainBook, `<definedNames><definedName name="Rate" comment="kept">A&lt;B</definedName>`+
		` <definedName name="rate" localSheetId="1">2</definedName><definedName name="rate" localSheetId="2">5</definedName></definedNames>`), out)

	out = patchTwice(t, src, Changes{RemoveNames: []DefinedName{{Name: "rate", Sheet: -1}, {Name: "rate", Sheet: 1}, {Name: "x", Sheet: -1}}})
	assert.Equal(t, fmt.Sprintf(plainBook, ""), out, "an empty list is not allowed")
}

func TestPatchRemovesSheets(t *testing.T) {
	const views = `<bookViews><workbookView activeTab="2" firstSheet="1"/><workbookView activeTab="0"/></bookViews>`
	src := strings.Replace(fmt.Sprintf(plainBook, `<definedNames><definedName name="a" localSheetId="0">1</definedName>`+
		`<definedName name="b" localSheetId="1">2</definedName><definedName name="c" localSheetId="2">3</definedName></definedNames>`),
		"<sheets>", views+"<sheets>", 1)
	out := patchTwice(t, src, Changes{RemoveSheets: []string{"a"}})
	assert.Equal(t, strings.NewReplacer(`<sheet name="A" sheetId="1" r:id="rId1"/>`, "", `activeTab="2" firstSheet="1"`, `activeTab="1" firstSheet="0"`,
		`<definedName name="a" localSheetId="0">1</definedName>`, "", `"b" localSheetId="1"`, `"b" localSheetId="0"`,
		`"c" localSheetId="2"`, `"c" localSheetId="1"`).Replace(src), out)

	w := &Workbook{Part: "xl/workbook.xml"}
	_, err := w.Patch([]byte(src), Changes{RemoveSheets: []string{"A", "B"}})
	assert.ErrorContains(t, err, "no visible sheet")
}

func TestPatchConflicts(t *testing.T) {
	w := &Workbook{Part: "xl/workbook.xml"}
	src := []byte(fmt.Sprintf(plainBook, ""))
	for want, wp := range map[string]Changes{
		"already":           {AddSheets: []NewSheet{{"a", "rId9", 9}}},
		"has one of them":   {AddSheets: []NewSheet{{"D", "rId1", 9}}},
		"added and removed": {AddSheets: []NewSheet{{"D", "rId9", 9}}, RemoveSheets: []string{"d"}},
		"under one name":    {AddSheets: []NewSheet{{"D", "rId9", 9}, {"d", "rId8", 8}}},
		"set and removed":   {SetNames: []DefinedName{{Name: "n"}}, RemoveNames: []DefinedName{{Name: "N"}}},
		"set twice":         {SetNames: []DefinedName{{Name: "n"}, {Name: "N"}}},
	} {
		_, err := w.Patch(src, wp)
		assert.ErrorContains(t, err, want)
	}
}

// Any patch, applied to any workbook, comes back from the spreadsheet library
// as asked for, and a second time changes nothing.
func TestPatchProperty(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := excelize.NewFile()
		defer f.Close()
		n := rapid.IntRange(1, 5).Draw(rt, "sheets")
		for i := 2; i <= n; i++ {
			_, err := f.NewSheet(fmt.Sprintf("Sheet%d", i))
			require.NoError(rt, err)
		}
		f.SetActiveSheet(rapid.IntRange(0, n-1).Draw(rt, "active"))
		for i := range rapid.IntRange(0, 6).Draw(rt, "names") {
			require.NoError(rt, f.SetDefinedName(&excelize.DefinedName{Name: fmt.Sprintf("n%d", i), RefersTo: "Sheet1!$A$1",
				Scope: rapid.SampledFrom(append(f.GetSheetList(), "Workbook")).Draw(rt, "scope")}))
		}
		var buf bytes.Buffer
		require.NoError(rt, f.Write(&buf))
		p, err := opc.Open(bytes.NewReader(buf.Bytes()), int64(buf.Len()), opc.DefaultLimits())
		require.NoError(rt, err)
		w, err := Read(p)
		require.NoError(rt, err)

		gone := rapid.IntRange(0, n-1).Draw(rt, "gone") // 0 removes none
		wp := Changes{FullCalcOnLoad: true,
			SetNames: []DefinedName{{"n1", -1, rapid.StringMatching(`[A-Z&<>"']{1,6}`).Draw(rt, "ref"), false}}}
		if gone > 0 {
			wp.RemoveSheets = []string{w.Sheets[gone].Name}
		}
		src, err := p.Read(w.Part)
		require.NoError(rt, err)
		once, err := w.Patch(src, wp)
		require.NoError(rt, err)
		twice, err := w.Patch(once, wp)
		require.NoError(rt, err)
		require.Equal(rt, string(once), string(twice))

		e := p.Edit()
		e.Replace(w.Part, once)
		now, err := Read(e)
		require.NoError(rt, err)
		for _, was := range w.Names {
			if was.Sheet >= 0 && was.Sheet != gone {
				scope := w.Sheets[was.Sheet].Name
				found := false
				for _, is := range now.Names {
					found = found || is.Name == was.Name && is.Sheet >= 0 && now.Sheets[is.Sheet].Name == scope && is.Ref == was.Ref
				}
				require.True(rt, found, "name %s of %s", was.Name, scope)
			}
		}
		var global []DefinedName
		for _, is := range now.Names {
			if is.Name == "n1" && is.Sheet < 0 {
				global = append(global, is)
			}
		}
		require.Equal(rt, wp.SetNames, global)
		require.Less(rt, now.ActiveTab, len(now.Sheets))
		if gone == 0 || w.ActiveTab != gone {
			require.Equal(rt, w.Sheets[w.ActiveTab].Name, now.Sheets[now.ActiveTab].Name)
		}
	})
}

// The sample workbooks of the spreadsheet library take a patch by insertion
// only, and the library and LibreOffice read the result.
func TestPatchLibraryBooks(t *testing.T) {
	patched := map[string][]byte{}
	for name, p := range parttest.LibraryBooks(t, sampleBook) {
		w, err := Read(p)
		require.NoError(t, err, name)
		src, err := p.Read(w.Part)
		require.NoError(t, err, name)
		wp := Changes{SetNames: []DefinedName{{"seamtally.test", -1, "1+2", false}}, FullCalcOnLoad: true}
		out := patchTwice(t, string(src), wp)
		require.True(t, parttest.OnlyInserted(src, []byte(out)), name)
		e := p.Edit()
		e.Replace(w.Part, []byte(out))
		require.NoError(t, DropCalcChain(e, w))
		b := parttest.Written(t, e)
		now, err := Read(parttest.Open(t, b, opc.OpenBytes))
		require.NoError(t, err, name)
		assert.Empty(t, now.CalcChain)
		f, err := excelize.OpenReader(bytes.NewReader(b))
		require.NoError(t, err, name)
		assert.Len(t, f.GetSheetList(), len(w.Sheets), name)
		names := f.GetDefinedName()
		require.NotEmpty(t, names)
		assert.Equal(t, "seamtally.test", names[len(names)-1].Name)
		require.NoError(t, f.Close())
		patched[name] = b
	}
	out := parttest.Convert(t, "ods", patched)
	for name := range patched {
		_, err := os.Stat(filepath.Join(out, strings.TrimSuffix(name, ".xlsx")+".ods"))
		assert.NoError(t, err, name)
	}
}
