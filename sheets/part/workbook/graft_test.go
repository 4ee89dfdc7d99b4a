package workbook

import (
	"bytes"
	"encoding/base64"
	_ "image/png"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
	"seamtally/sheets/sheetstest"
)

// scratchBook is a workbook with all that a sheet of ours may carry: two
// sheets, charts across both, conditional formats, validations, notes,
// a picture, links, styles of cells, rows and columns, print settings.
func scratchBook(t testing.TB) *opc.Package {
	t.Helper()
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Summary"))
	_, err := f.NewSheet("Assumptions")
	require.NoError(t, err)
	code := `0.00 "h"`
	hours, err := f.NewStyle(&excelize.Style{CustomNumFmt: &code, Font: &excelize.Font{Italic: true, Size: 9, Family: "Georgia"}})
	require.NoError(t, err)
	red, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: "9C0006"}})
	require.NoError(t, err)
	for _, sheet := range []string{"Summary", "Assumptions"} {
		require.NoError(t, f.SetCellStyle(sheet, "B3", "B4", hours))
		require.NoError(t, f.SetColStyle(sheet, "D", hours))
		require.NoError(t, f.SetRowStyle(sheet, 9, 9, hours))
		require.NoError(t, f.SetConditionalFormat(sheet, "B3:B9", []excelize.ConditionalFormatOptions{
			{Type: "formula", Criteria: `Assumptions!$B$2>Summary!$B$1`, Format: &red},
			{Type: "data_bar", Criteria: "=", MinType: "min", MaxType: "max", BarColor: "#638EC6", BarSolid: true}}))
		dv := excelize.NewDataValidation(true)
		dv.Sqref = "C3:C9"
		dv.SetSqrefDropList("Assumptions!$A$1:$A$5")
		require.NoError(t, f.AddDataValidation(sheet, dv))
		require.NoError(t, f.AddComment(sheet, excelize.Comment{Cell: "B3", Author: "demo", Text: "invented"}))
		require.NoError(t, f.SetCellHyperLink(sheet, "F1", "Assumptions!A1", "Location"))
		require.NoError(t, f.SetCellHyperLink(sheet, "F2", "https://example.org/", "External"))
		require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: "'" + sheet + "'!$A$1:$H$40", Scope: sheet}))
	}
	png, err := base64.StdEncoding.DecodeString(parttest.OnePixel)
	require.NoError(t, err)
	require.NoError(t, f.AddPictureFromBytes("Summary", "H1", &excelize.Picture{Extension: ".png", File: png, Format: &excelize.GraphicOptions{}}))
	for _, cell := range []string{"J2", "J20"} {
		require.NoError(t, f.AddChart("Summary", cell, &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{
			{Name: "Summary!$B$2", Categories: "Summary!$A$3:$A$6", Values: "Summary!$B$3:$B$6"},
			{Name: "Assumptions!$B$2", Categories: "Summary!$A$3:$A$6", Values: "Assumptions!$B$3:$B$6"}}}))
	}
	return parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes)
}

// shopBook is an invented shop's workbook with a chart and notes of its own.
func shopBook(t testing.TB) *opc.Package {
	t.Helper()
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Joint list"))
	require.NoError(t, f.SetSheetRow("Joint list", "A1", &[]any{"OD", "wall", "qty"}))
	require.NoError(t, f.AddComment("Joint list", excelize.Comment{Cell: "A1", Author: "demo", Text: "invented"}))
	require.NoError(t, f.AddChart("Joint list", "E2", &excelize.Chart{Type: excelize.Pie, Series: []excelize.ChartSeries{{Values: "'Joint list'!$A$2:$A$3"}}}))
	_, err := f.NewSheet("Summary")
	require.NoError(t, err)
	require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "here", RefersTo: "Summary!$A$1", Scope: "Summary"}))
	return parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes)
}

// graftBoth puts both scratch sheets into p and gives the new package and the
// titles used.
func graftBoth(t testing.TB, p *opc.Package) ([]byte, []Grafted) {
	t.Helper()
	w, err := Read(p)
	require.NoError(t, err)
	st, err := w.ReadStyles(p)
	require.NoError(t, err)
	e := p.Edit()
	defer e.Close()
	scratch := scratchBook(t)
	titles := map[string]string{"Summary": "Our 'Summary", "Assumptions": "Assumptions"}
	wp := Changes{FullCalcOnLoad: true}
	var all []Grafted
	for _, sheet := range []string{"Summary", "Assumptions"} {
		g, err := Graft{Scratch: scratch, Sheet: sheet, Title: titles[sheet], Titles: titles}.Into(e, w, st)
		require.NoError(t, err)
		e.Replace(g.PartName, g.XML)
		wp.AddSheets = append(wp.AddSheets, g.Sheet(titles[sheet]))
		wp.SetNames = append(wp.SetNames, g.Names...)
		all = append(all, g)
	}
	require.NoError(t, w.PutStyles(e, st))
	require.NoError(t, e.Change(w.Part, func(src []byte) ([]byte, error) { return w.Patch(src, wp) }))
	return parttest.Written(t, e), all
}

// wrongDefaults are types that no part of ours has, by the extensions of ours.
func wrongDefaults() (all []sheetstest.DefaultType) {
	for _, ext := range []string{"rels", "xml", "png", "vml"} {
		all = append(all, sheetstest.DefaultType{Extension: ext, ContentType: "text/plain"})
	}
	return all
}

// typedAnew gives each part of a package an override, and other defaults.
func typedAnew(t testing.TB, p *opc.Package, defaults ...sheetstest.DefaultType) *opc.Package {
	t.Helper()
	types, err := sheetstest.OverridesOnly(parttest.Read(t, p, opc.ContentTypes), p.Names(), defaults...)
	require.NoError(t, err)
	e := p.Edit()
	defer e.Close()
	e.Replace(opc.ContentTypes, []byte(types))
	return parttest.Open(t, parttest.Written(t, e), opc.OpenBytes)
}

// sound checks a package as a reader would: every relationship leads to a
// part, every part has a content type and every override a part, ids of tabs
// are unique, formats exist.
func sound(t testing.TB, p *opc.Package) {
	t.Helper()
	types, err := p.Read(opc.ContentTypes)
	require.NoError(t, err)
	tt, err := markup.Parse(opc.ContentTypes, types)
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, n := range tt.Root.All("Override") {
		key := opc.PartKey(n.Get("PartName"))
		assert.False(t, seen[key], "two overrides of %s", key)
		seen[key] = true
		assert.True(t, p.Has(n.Get("PartName")), "override of a part that is not there: %s", n.Get("PartName"))
	}
	for _, name := range append(p.Names(), "") {
		kind, err := opc.ContentType(types, name)
		require.NoError(t, err)
		if name != opc.ContentTypes && name != "" {
			assert.NotEmpty(t, kind, name)
			assert.NotEqual(t, "text/plain", kind, name)
			assert.Equal(t, strings.HasSuffix(name, ".rels"), kind == opc.RelsType, name)
		}
		rels, err := opc.RelsOf(p, name)
		require.NoError(t, err)
		ids := map[string]bool{}
		for _, r := range rels {
			assert.False(t, ids[r.ID], "%s: id %s twice", name, r.ID)
			ids[r.ID] = true
			if !r.External && !strings.HasPrefix(r.Target, "#") {
				assert.True(t, p.Has(opc.ResolveTarget(name, r.Target)), "%s points at %s", name, r.Target)
			}
		}
	}
	w, err := Read(p)
	require.NoError(t, err)
	tabs := map[int]bool{}
	for _, s := range w.Sheets {
		assert.False(t, tabs[s.SheetID], "tab id %d twice", s.SheetID)
		tabs[s.SheetID] = true
		assert.NotEmpty(t, s.PartName, s.Name)
	}
}

func graftTargets(t testing.TB) map[string]*opc.Package {
	books := parttest.LibraryBooks(t, sampleBook)
	delete(books, "BadWorkbook.xlsx") // lists no sheet that is there
	books["odd.xlsx"] = oddBook(t, "x", false)
	books["strict.xlsx"] = oddBook(t, "", true)
	books["shop.xlsx"] = shopBook(t)
	books["overrides.xlsx"] = typedAnew(t, shopBook(t))
	books["defaults.xlsx"] = typedAnew(t, shopBook(t), wrongDefaults()...)
	return books
}

func TestGraftAndBack(t *testing.T) {
	for name, p := range graftTargets(t) {
		t.Run(name, func(t *testing.T) {
			w0, err := Read(p)
			require.NoError(t, err)
			b, all := graftBoth(t, p)
			got := parttest.Open(t, b, opc.OpenBytes)
			sound(t, got)
			for _, n := range p.Names() {
				was, err := p.Read(n)
				require.NoError(t, err)
				now, err := got.Read(n)
				require.NoError(t, err)
				switch n {
				case opc.ContentTypes, w0.Part, opc.RelsName(w0.Part), w0.Styles:
					assert.True(t, parttest.OnlyInserted(was, now), n)
				default:
					assert.Equal(t, was, now, n)
				}
			}
			assert.NotContains(t, string(all[0].XML), "tabSelected")
			require.Len(t, all[0].Names, 1)
			assert.Equal(t, DefinedName{"_xlnm.Print_Area", len(w0.Sheets), "'Our ''Summary'!$A$1:$H$40", false}, all[0].Names[0])

			w, err := Read(got)
			require.NoError(t, err)
			require.Len(t, w.Sheets, len(w0.Sheets)+2)
			e := got.Edit()
			defer e.Close()
			for _, s := range []string{"Our 'Summary", "assumptions"} {
				require.NoError(t, Ungraft(e, w, s))
			}
			assert.Equal(t, len(w0.Sheets), len(w.Sheets))
			var gone []DefinedName
			require.NoError(t, e.Change(w.Part, func(src []byte) ([]byte, error) {
				return w.Patch(src, Changes{RemoveSheets: []string{"Our 'Summary", "Assumptions"}, RemoveNames: gone})
			}))
			assert.ElementsMatch(t, withStyles(p, w.Styles), e.Names())
			for _, n := range p.Names() {
				was, now := parttest.Read(t, p, n), parttest.Read(t, e, n)
				switch n {
				case w0.Styles:
					continue // formats stay: others may have come to use them
				case w0.Part:
					now = strings.NewReplacer(`<x:calcPr fullCalcOnLoad="1"/>`, "", `<calcPr fullCalcOnLoad="1"/>`, "", ` fullCalcOnLoad="1"`, "").Replace(now)
				case opc.ContentTypes, opc.RelsName(w0.Part):
					if w0.Styles == "" {
						continue // a styles part was added
					}
				}
				assert.Equal(t, was, now, n)
			}
		})
	}
}

// withStyles is the names of p and the styles part, which stays once added.
func withStyles(p *opc.Package, styles string) []string {
	names := p.Names()
	if !p.Has(styles) {
		names = append(names, styles)
	}
	return names
}

// The spreadsheet library finds in the grafted sheets what it put there.
func TestGraftReadBack(t *testing.T) {
	b, _ := graftBoth(t, shopBook(t))
	f, err := excelize.OpenReader(bytes.NewReader(b))
	require.NoError(t, err)
	defer f.Close()
	assert.Equal(t, []string{"Joint list", "Summary", "Our 'Summary", "Assumptions"}, f.GetSheetList())
	for _, sheet := range []string{"Our 'Summary", "Assumptions"} {
		style, err := f.GetCellStyle(sheet, "B3")
		require.NoError(t, err)
		for _, cell := range []string{"D30", "C9"} { // by its column, by its row
			other, err := f.GetCellStyle(sheet, cell)
			require.NoError(t, err)
			if cell == "D30" {
				other, err = f.GetColStyle(sheet, "D")
				require.NoError(t, err)
			}
			assert.Equal(t, style, other, cell)
		}
		got, err := f.GetStyle(style)
		require.NoError(t, err)
		require.NotNil(t, got.CustomNumFmt)
		assert.Equal(t, `0.00 "h"`, *got.CustomNumFmt)
		assert.Equal(t, "Georgia", got.Font.Family)

		formats, err := f.GetConditionalFormats(sheet)
		require.NoError(t, err)
		require.Len(t, formats["B3:B9"], 2)
		for _, c := range formats["B3:B9"] {
			if c.Type == "formula" {
				assert.Equal(t, `Assumptions!$B$2>'Our ''Summary'!$B$1`, c.Criteria)
				red, err := f.GetConditionalStyle(*c.Format)
				require.NoError(t, err)
				assert.Equal(t, "9C0006", red.Font.Color)
			}
		}
		rules, err := f.GetDataValidations(sheet)
		require.NoError(t, err)
		require.Len(t, rules, 1)
		assert.Equal(t, "Assumptions!$A$1:$A$5", rules[0].Formula1)
		notes, err := f.GetComments(sheet)
		require.NoError(t, err)
		require.Len(t, notes, 1)
		assert.Equal(t, "B3", notes[0].Cell)
		ok, link, err := f.GetCellHyperLink(sheet, "F2")
		require.NoError(t, err)
		assert.True(t, ok)
		assert.Equal(t, "https://example.org/", link)
	}
	pictures, err := f.GetPictures("Our 'Summary", "H1")
	require.NoError(t, err)
	require.Len(t, pictures, 1)
	want, err := base64.StdEncoding.DecodeString(parttest.OnePixel)
	require.NoError(t, err)
	assert.Equal(t, want, pictures[0].File)
}

// LibreOffice loads every target with our sheets in it and draws the charts
// from the sheets under their new titles.
func TestGraftSeenByOffice(t *testing.T) {
	files := map[string][]byte{}
	for name, p := range graftTargets(t) {
		files[name], _ = graftBoth(t, p)
	}
	dir := parttest.Convert(t, "fods", files)
	for name := range files {
		text := parttest.ReadFile(t, filepath.Join(dir, strings.TrimSuffix(name, ".xlsx")+".fods"))
		const title = `&apos;Our &apos;&apos;Summary&apos;`
		for what, want := range map[string]int{
			`table:name="Our &apos;Summary"`:                                      1,
			`chart:values-cell-range-address="` + title + `.B3:` + title + `.B6"`: 2,
			`chart:values-cell-range-address="Assumptions.B3:Assumptions.B6"`:     2,
			`calcext:target-range-address="` + title + `.B3:` + title + `.B9"`:    1,
			`[$Assumptions.$A$1:.$A$5]`:                                           1,
			`style:font-name="Georgia"`:                                           1,
		} {
			assert.GreaterOrEqual(t, strings.Count(text, what), want, "%s: %s", name, what)
		}
	}
}

func TestGraftRefuses(t *testing.T) {
	p := shopBook(t)
	w, err := Read(p)
	require.NoError(t, err)
	st, err := w.ReadStyles(p)
	require.NoError(t, err)
	withText := excelize.NewFile()
	require.NoError(t, withText.SetCellValue("Sheet1", "B2", "text"))
	withTable := excelize.NewFile()
	no := false
	require.NoError(t, withTable.AddTable("Sheet1", &excelize.Table{Range: "A1:B2", ShowHeaderRow: &no}))
	for want, g := range map[string]Graft{
		"of that name":  {Scratch: scratchBook(t), Sheet: "Summary", Title: "SUMMARY"},
		"no sheet":      {Scratch: scratchBook(t), Sheet: "none", Title: "New"},
		"shared string": {Scratch: parttest.Open(t, parttest.Saved(t, withText), opc.OpenBytes), Sheet: "Sheet1", Title: "New"},
		"kind table":    {Scratch: parttest.Open(t, parttest.Saved(t, withTable), opc.OpenBytes), Sheet: "Sheet1", Title: "New"},
	} {
		e := p.Edit()
		_, err := g.Into(e, w, st)
		assert.ErrorContains(t, err, want)
	}
	assert.ErrorContains(t, Ungraft(p.Edit(), w, "none"), "no such sheet")
}

// The .rels parts of a sheet that an earlier version has added, without a
// content type, get theirs; those of the shop are the shop's.
func TestTypeRels(t *testing.T) {
	for _, defaults := range [][]sheetstest.DefaultType{nil, wrongDefaults()} {
		b, all := graftBoth(t, typedAnew(t, shopBook(t), defaults...))
		p := parttest.Open(t, b, opc.OpenBytes)
		e := p.Edit()
		bare := []byte(parttest.Read(t, p, opc.ContentTypes))
		had := 0
		for _, n := range p.Names() {
			if strings.HasSuffix(n, ".rels") {
				out, err := opc.RemoveOverride(bare, n)
				require.NoError(t, err)
				bare, had = out, had+1
			}
		}
		e.Replace(opc.ContentTypes, bare)
		require.NoError(t, opc.TypeRels(e, all[0].PartName))
		types := []byte(parttest.Read(t, e, opc.ContentTypes))
		typed := 0
		for _, n := range p.Names() {
			kind, err := opc.ContentType(types, n)
			require.NoError(t, err)
			if kind == opc.RelsType {
				typed++
			}
		}
		assert.Equal(t, 2, typed, "of the sheet, and of its drawing")
		assert.Greater(t, had, typed)
		e.Close()
	}
}

// A part that a sheet of the shop leads to as well stays when ours goes.
func TestUngraftKeepsShared(t *testing.T) {
	b, all := graftBoth(t, shopBook(t))
	p := parttest.Open(t, b, opc.OpenBytes)
	e := p.Edit()
	w, err := Read(e)
	require.NoError(t, err)
	rels, err := opc.RelsOf(e, all[0].PartName)
	require.NoError(t, err)
	drawing := ""
	for _, r := range rels {
		if r.Is("drawing") {
			drawing = opc.ResolveTarget(all[0].PartName, r.Target)
		}
	}
	require.NotEmpty(t, drawing)
	name := opc.RelsName(w.Sheets[0].PartName)
	require.NoError(t, e.Change(name, func(src []byte) ([]byte, error) {
		return opc.AddRel(name, src, opc.Relationship{ID: "more", Type: markup.RelNS + "/drawing", Target: "/" + drawing})
	}))
	require.NoError(t, Ungraft(e, w, w.Sheets[2].Name))
	assert.True(t, e.Has(drawing))
	assert.True(t, e.Has(opc.RelsName(drawing)))
	assert.False(t, e.Has(all[0].PartName))
	kinds, err := e.Read(opc.ContentTypes)
	require.NoError(t, err)
	assert.Contains(t, string(kinds), drawing)
	assert.NotContains(t, string(kinds), all[0].PartName)
}

func TestRenameSheets(t *testing.T) {
	titles := map[string]string{"summary": "It's", "our list": "B"}
	for was, want := range map[string]string{
		`Summary!$B$3:$B$6`:              `'It''s'!$B$3:$B$6`,
		`SUM(SUMMARY!A1,'Our list'!B2)`:  `SUM('It''s'!A1,'B'!B2)`,
		`'Summary:Our list'!A1`:          `'It''s:B'!A1`,
		`Summary!A1:Summary!B2`:          `'It''s'!A1:'It''s'!B2`,
		`"Summary!A1"&Summary!A1`:        `"Summary!A1"&'It''s'!A1`,
		`"a""Summary!A1"`:                `"a""Summary!A1"`,
		`[1]Summary!A1+MySummary!A1`:     `[1]Summary!A1+MySummary!A1`,
		`'[1]Summary'!A1`:                `'[1]Summary'!A1`,
		`t[Summary!]+t[a'[b]+Summary!A1`: `t[Summary!]+t[a'[b]+'It''s'!A1`,
		`Summary+1`:                      `Summary+1`,
		`Übersicht!A1+Sum.mary!A1`:       `Übersicht!A1+Sum.mary!A1`,
		`'open`:                          `'open`,
		`-Summary!A1`:                    `-'It''s'!A1`,
	} {
		assert.Equal(t, want, grid.RenameSheets(was, titles))
	}
	assert.Equal(t, "Summary!A1", grid.RenameSheets("Summary!A1", nil))
}
