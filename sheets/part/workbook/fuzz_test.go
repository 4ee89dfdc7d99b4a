package workbook

import (
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
)

// Whatever the bytes of a part, every change to it either is refused or gives
// a part that takes the same change again without another.
func FuzzPatchParts(f *testing.F) {
	f.Add([]byte(oddTable))
	f.Add([]byte(emptyStyles))
	f.Add([]byte(`<Relationships xmlns="` + markup.PkgRelNS + `"/>`))
	f.Add([]byte(testTypes))
	f.Add([]byte(`<x:workbook xmlns:x="` + markup.SheetNS + `"><x:bookViews><x:workbookView activeTab="1"/></x:bookViews><x:sheets><x:sheet name="A" sheetId="1" z:id="r" xmlns:z="` +
		markup.RelNS + `"/><x:sheet name="B" sheetId="2"/></x:sheets><x:definedNames><x:definedName name="n" localSheetId="1">1</x:definedName></x:definedNames><x:calcPr/></x:workbook>`))
	f.Add([]byte(`<styleSheet xmlns="` + markup.StrictSheetNS + `"><numFmts/><cellXfs count="x"><xf/></cellXfs><dxfs/></styleSheet>`))
	for _, inside := range alternatives() {
		f.Add(alternativeStyles(inside))
	}
	code := "0.0 x"
	from := stylesOf(f, styledBook(f, &excelize.Style{CustomNumFmt: &code, Font: &excelize.Font{Bold: true}}))
	w := &Workbook{Part: "xl/workbook.xml"}
	f.Fuzz(func(t *testing.T, src []byte) {
		for _, do := range []func([]byte) ([]byte, error){
			func(b []byte) ([]byte, error) {
				return w.Patch(b, Changes{RemoveSheets: []string{"B"}, AddSheets: []NewSheet{{"New", "rId77", 77}},
					SetNames: []DefinedName{{"n", 0, "A1", true}, {"m", -1, "1", false}}, RemoveNames: []DefinedName{{"k", -1, "", false}}, FullCalcOnLoad: true})
			},
			func(b []byte) ([]byte, error) {
				return opc.AddRel("r", b, opc.Relationship{ID: "rId77", Type: "t", Target: "x"})
			},
			func(b []byte) ([]byte, error) { return opc.RemoveRel("r", b, "rId1") },
			func(b []byte) ([]byte, error) { return opc.AddOverride(b, "xl/new.xml", "kind") },
			func(b []byte) ([]byte, error) { return opc.RemoveOverride(b, "xl/new.xml") },
			func(b []byte) ([]byte, error) { return ShrinkTable("t", b, []string{"qty", "Column3"}) },
			func(b []byte) ([]byte, error) {
				s, err := ReadStyles(b)
				if err != nil {
					return nil, err
				}
				if _, err := s.Import(from, 1); err != nil {
					return nil, err
				}
				return s.Bytes()
			},
		} {
			once, err := do(src)
			if err != nil {
				continue
			}
			twice, err := do(once)
			require.NoError(t, err)
			require.Equal(t, string(once), string(twice))
		}
		if grown, heads, err := GrowTable("t", src, []string{"new", "new"}); err == nil {
			was, err := ReadTable("t", src)
			require.NoError(t, err)
			now, err := ReadTable("t", grown)
			require.NoError(t, err)
			require.Equal(t, append(append([]string(nil), was.Columns...), heads...), now.Columns)
		}
	})
}
