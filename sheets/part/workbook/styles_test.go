package workbook

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/parttest"
)

// styledBook makes a workbook whose cell formats 1, 2 ... are the styles.
func styledBook(t testing.TB, styles ...*excelize.Style) *opc.Package {
	t.Helper()
	f := excelize.NewFile()
	for i, s := range styles {
		id, err := f.NewStyle(s)
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Sheet1", grid.Ref(i+1, 1), grid.Ref(i+1, 1), id))
	}
	return parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes)
}

func stylesOf(t testing.TB, p opc.Parts) *Styles {
	t.Helper()
	w, err := Read(p)
	require.NoError(t, err)
	s, err := w.ReadStyles(p)
	require.NoError(t, err)
	return s
}

func stylesText(t testing.TB, s *Styles) string {
	t.Helper()
	b, err := s.Bytes()
	require.NoError(t, err)
	return string(b)
}

func sampleStyles() []*excelize.Style {
	money := `"$"#,##0.00`
	return []*excelize.Style{
		{NumFmt: 2},
		{CustomNumFmt: &money, Font: &excelize.Font{Bold: true, Family: "Arial", Size: 9, Color: "1F3864"}},
		{Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFF2CC"}},
			Border:    []excelize.Border{{Type: "bottom", Style: 1, Color: "7F7F7F"}},
			Alignment: &excelize.Alignment{WrapText: true, Vertical: "top", Horizontal: "center"}, Protection: &excelize.Protection{Locked: false}},
	}
}

// The spreadsheet library reads an imported format as it reads the original.
func TestImportReadsTheSame(t *testing.T) {
	from := styledBook(t, sampleStyles()...)
	fromStyles := stylesOf(t, from)
	books := parttest.LibraryBooks(t, sampleBook)
	books["odd"] = oddBook(t, "x", false)
	for name, p := range books {
		w, err := Read(p)
		require.NoError(t, err)
		st, err := w.ReadStyles(p)
		require.NoError(t, err)
		var was []byte
		if w.Styles != "" {
			was, err = p.Read(w.Styles)
			require.NoError(t, err)
			require.Equal(t, string(was), stylesText(t, st), name)
		}
		ids := map[int]int{}
		for xf := 1; xf <= 3; xf++ {
			ids[xf], err = st.Import(fromStyles, xf)
			require.NoError(t, err, name)
		}
		out := stylesText(t, st)
		assert.True(t, parttest.OnlyInserted(was, []byte(out)), name)

		again, err := ReadStyles([]byte(out))
		require.NoError(t, err)
		for xf, id := range ids {
			back, err := again.Import(fromStyles, xf)
			require.NoError(t, err)
			assert.Equal(t, id, back, name)
		}
		assert.Equal(t, out, stylesText(t, again), "a second import adds nothing: %s", name)

		if w.Part != "xl/workbook.xml" {
			continue // the library looks for styles under one name only
		}
		e := p.Edit()
		require.NoError(t, w.PutStyles(e, st))
		a, err := excelize.OpenReader(bytes.NewReader(parttest.Written(t, from.Edit())))
		require.NoError(t, err)
		b, err := excelize.OpenReader(bytes.NewReader(parttest.Written(t, e)))
		require.NoError(t, err, name)
		for xf, id := range ids {
			want, err := a.GetStyle(xf)
			require.NoError(t, err)
			got, err := b.GetStyle(id)
			require.NoError(t, err, name)
			onlyMeaning(want, xf)
			onlyMeaning(got, xf)
			assert.Equal(t, want, got, "%s: format %d", name, xf)
		}
		require.NoError(t, a.Close())
		require.NoError(t, b.Close())
	}
}

// onlyMeaning leaves out what has no meaning: the font of formats that do not
// set one is the default of either workbook; an alignment that says nothing is
// none.
func onlyMeaning(s *excelize.Style, xf int) {
	if xf != 2 {
		s.Font = nil
	}
	if s.Alignment != nil && *s.Alignment == (excelize.Alignment{}) {
		s.Alignment = nil
	}
}

func TestImportDefaults(t *testing.T) {
	shop, err := ReadStyles([]byte(`<styleSheet xmlns="` + markup.SheetNS + `"><fonts><font><sz val="10"/><name val="Courier"/></font></fonts>` +
		`<fills count="1"><fill><patternFill patternType="none"/></fill></fills><borders><border/></borders>` +
		`<cellXfs count="1"><xf fontId="0"/></cellXfs></styleSheet>`))
	require.NoError(t, err)
	name, size := shop.DefaultFont()
	assert.Equal(t, "Courier", name)
	assert.Equal(t, 10.0, size)
	from := stylesOf(t, styledBook(t, sampleStyles()...))
	at, err := shop.Import(from, 0)
	require.NoError(t, err)
	assert.Zero(t, at)
	at, err = shop.Import(from, 1)
	require.NoError(t, err)
	assert.Equal(t, 1, at)
	assert.Equal(t, 2, shop.Len())
	out := stylesText(t, shop)
	assert.Contains(t, out, `<fonts><font><sz val="10"/><name val="Courier"/></font></fonts>`, "our default font is the shop's")
	assert.Contains(t, out, `<cellXfs count="2">`)
	_, err = shop.Import(from, 99)
	assert.ErrorContains(t, err, "no cell format 99")
	_, err = shop.ImportDxf(from, 0)
	assert.ErrorContains(t, err, "no differential format 0")
}

func TestNumFmtIDs(t *testing.T) {
	const shop = `<styleSheet xmlns="` + markup.SheetNS + `"><numFmts count="3"><numFmt numFmtId="165" formatCode="0.0 &quot;in&quot;"/>` +
		`<numFmt numFmtId="2" formatCode="0.00 F"/><numFmt numFmtId="170" formatCode="yyyy"/></numFmts>` +
		`<cellXfs count="2"><xf numFmtId="170"/><xf numFmtId="164"/></cellXfs></styleSheet>`
	st, err := ReadStyles([]byte(shop))
	require.NoError(t, err)
	id, code := st.NumFmt(0)
	assert.Equal(t, 170, id)
	assert.Equal(t, "yyyy", code)
	id, code = st.NumFmt(7)
	assert.Equal(t, 0, id)
	assert.Equal(t, "General", code)

	inches, other := `0.0 "in"`, "0.000"
	from := stylesOf(t, styledBook(t, &excelize.Style{CustomNumFmt: &inches}, &excelize.Style{CustomNumFmt: &other}, &excelize.Style{NumFmt: 2}))
	for xf := 1; xf <= 3; xf++ {
		_, err := st.Import(from, xf)
		require.NoError(t, err)
	}
	now, err := ReadStyles([]byte(stylesText(t, st)))
	require.NoError(t, err)
	for i, want := range []struct {
		id   int
		code string
	}{{165, inches}, {166, other}, {167, "0.00"}} { // 164 is pointed at; 2 means something else here
		id, code := now.NumFmt(2 + i)
		assert.Equal(t, want.id, id)
		assert.Equal(t, want.code, code)
	}
}

// The library knows the codes of the built-in formats too.
func TestBuiltinCodes(t *testing.T) {
	for _, id := range []int{14, 15, 16, 17, 18, 19, 20, 21, 22, 45, 46, 47} {
		assert.NotEmpty(t, builtinCode(id), "a date or time: %d", id)
		assert.Regexp(t, "[dmyhs]", builtinCode(id))
	}
	// ECMA-376 part 1, 18.8.30 (from memory).
	for id, want := range map[int]string{0: "General", 1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 49: "@", 60: ""} {
		assert.Equal(t, want, builtinCode(id))
	}
}

func TestImportDxf(t *testing.T) {
	f := excelize.NewFile()
	red, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: "9C0006"}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"FFC7CE"}}})
	require.NoError(t, err)
	code := `0.0" in"`
	num, err := f.NewConditionalStyle(&excelize.Style{CustomNumFmt: &code})
	require.NoError(t, err)
	from := stylesOf(t, parttest.Open(t, parttest.Saved(t, f), opc.OpenBytes))

	for _, prefix := range []string{"", "x"} {
		decl, x := "xmlns", ""
		if prefix != "" {
			decl, x = "xmlns:x", "x:"
		}
		shop := strings.ReplaceAll(`<@styleSheet `+decl+`="`+markup.SheetNS+`"><@numFmts count="1"><@numFmt numFmtId="164" formatCode="0"/></@numFmts>`+
			`<@dxfs count="0"/><@colors/></@styleSheet>`, "@", x)
		st, err := ReadStyles([]byte(shop))
		require.NoError(t, err)
		a, err := st.ImportDxf(from, red)
		require.NoError(t, err)
		b, err := st.ImportDxf(from, num)
		require.NoError(t, err)
		assert.Equal(t, []int{0, 1}, []int{a, b})
		out := stylesText(t, st)
		assert.True(t, parttest.OnlyInserted([]byte(strings.Replace(shop, "/>", "", 3)), []byte(out)))
		assert.Contains(t, out, `numFmtId="165" formatCode="0.0&quot; in&quot;"`)
		assert.Contains(t, out, `</`+x+`dxfs><`+x+`colors/>`)
		again, err := ReadStyles([]byte(out))
		require.NoError(t, err)
		a2, err := again.ImportDxf(from, num)
		require.NoError(t, err)
		assert.Equal(t, b, a2)
		assert.Equal(t, out, stylesText(t, again))
	}
}

// Whatever formats one workbook has, another one takes them, and taking them
// again changes nothing.
func TestImportProperty(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		make1 := func(label string) *Styles {
			f := excelize.NewFile()
			defer f.Close()
			for i := range rapid.IntRange(1, 5).Draw(rt, label) {
				code := rapid.SampledFrom([]string{"", "0.0", "0.00", "yyyy", `0 "<&>"`}).Draw(rt, "code")
				s := &excelize.Style{NumFmt: rapid.IntRange(0, 4).Draw(rt, "id")}
				if code != "" {
					s.CustomNumFmt = &code
				}
				if rapid.Bool().Draw(rt, "bold") {
					s.Font = &excelize.Font{Bold: true}
				}
				if rapid.Bool().Draw(rt, "wrap") {
					s.Alignment = &excelize.Alignment{WrapText: true}
				}
				id, err := f.NewStyle(s)
				require.NoError(rt, err)
				require.NoError(rt, f.SetCellStyle("Sheet1", grid.Ref(i+1, 1), grid.Ref(i+1, 1), id))
			}
			var buf bytes.Buffer
			require.NoError(rt, f.Write(&buf))
			p, err := opc.Open(bytes.NewReader(buf.Bytes()), int64(buf.Len()), opc.DefaultLimits())
			require.NoError(rt, err)
			src, err := p.Read("xl/styles.xml")
			require.NoError(rt, err)
			s, err := ReadStyles(src)
			require.NoError(rt, err)
			return s
		}
		to, from := make1("to"), make1("from")
		got := map[int]int{}
		for xf := range from.Len() {
			at, err := to.Import(from, xf)
			require.NoError(rt, err)
			got[xf] = at
		}
		out, err := to.Bytes()
		require.NoError(rt, err)
		now, err := ReadStyles(out)
		require.NoError(rt, err)
		require.Equal(rt, to.Len(), now.Len())
		for xf, at := range got {
			_, want := from.NumFmt(xf)
			_, code := now.NumFmt(at)
			require.Equal(rt, want, code)
			back, err := now.Import(from, xf)
			require.NoError(rt, err)
			require.Equal(rt, at, back)
		}
		twice, err := now.Bytes()
		require.NoError(rt, err)
		require.Equal(rt, string(out), string(twice))
	})
}

// LibreOffice shows a number in the imported format, in a workbook that had no
// styles part.
func TestImportSeenByOffice(t *testing.T) {
	p := oddBook(t, "", false)
	w, err := Read(p)
	require.NoError(t, err)
	st, err := w.ReadStyles(p)
	require.NoError(t, err)
	code := `"mark "0.000`
	at, err := st.Import(stylesOf(t, styledBook(t, &excelize.Style{CustomNumFmt: &code})), 1)
	require.NoError(t, err)
	e := p.Edit()
	require.NoError(t, w.PutStyles(e, st))
	e.Replace("book/tab1.xml", []byte(fmt.Sprintf(
		`<worksheet xmlns="%s"><sheetData><row r="1"><c r="A1" s="%d"><v>1.5</v></c></row></sheetData></worksheet>`, markup.SheetNS, at)))
	dir := parttest.Convert(t, "fods", map[string][]byte{"one.xlsx": parttest.Written(t, e)})
	assert.Contains(t, parttest.ReadFile(t, filepath.Join(dir, "one.fods")), "<text:p>mark 1.500</text:p>")
}
