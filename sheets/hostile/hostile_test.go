// Package hostile_test tries texts that would like to be more than texts wherever a shop
// may write.
package hostile_test

import (
	"bytes"
	"fmt"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/bid"
	"seamtally/sheets/compare"
	"seamtally/sheets/explain"
	"seamtally/sheets/offer"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/tell"
	"seamtally/sheets/traveller"
)

func TestMain(m *testing.M) { shop.Main(m) }

// hostileOrder is a list with each text as the mark, the car and the section of
// a joint that can be priced, and in each column that wants something else.
func hostileOrder(t testing.TB) string {
	t.Helper()
	rows := []shop.Row{}
	for i := range hostileTexts() {
		h := fmt.Sprintf("«%d»", i)
		rows = append(rows, shop.Row{h, h, "butt", 1, 3, 0.049, nil, nil, 10, nil, h})
	}
	for i := range hostileTexts() {
		h := fmt.Sprintf("«%d»", i)
		row := shop.Row{fmt.Sprint("K-", i), "Demo car one", "butt", 1, 3, 0.049, nil, nil, 10, nil, nil}
		row[[]int{2, 3, 4, 5, 6, 7, 8, 9}[i%8]] = h
		rows = append(rows, row)
	}
	return shop.Edited(t, shop.Small(t, rows...), func(f *excelize.File) {
		require.NoError(t, f.SetCellStr("Joints", "K1", "Where"))
		for i, h := range hostileTexts() {
			if strings.Contains(h.raw, "_x") {
				continue // programs differ on how they read these, and a heading is referred to
			}
			ref, err := excelize.CoordinatesToCellName(12+i, 1)
			require.NoError(t, err)
			require.NoError(t, f.SetCellStr("Joints", ref, fmt.Sprintf("«%d»", i)))
		}
	})
}

// toldPlain runs what can be asked of a workbook, and demands that no control
// character reaches the terminal, in words or as JSON.
func toldPlain(t *testing.T, priced, other, mark, car string) {
	t.Helper()
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: priced, DryRun: true, Lines: true, Date: "2026-11-25"})
	require.NoError(t, err)
	check, err := sheets.Check(t.Context(), priced, "")
	require.NoError(t, err)
	audit, err := audit.Workbook(t.Context(), audit.Options{In: priced, Against: other})
	require.NoError(t, err)
	joint, err := explain.Figures(t.Context(), explain.Options{In: priced, Mark: mark})
	require.NoError(t, err)
	whole, err := explain.Figures(t.Context(), explain.Options{In: priced, Mark: car})
	require.NoError(t, err)
	if !shop.Thorough() {
		other = priced // else every joint is another, and to share out what they do takes long
	}
	moved, err := compare.Orders(t.Context(), compare.Options{Old: other, New: priced, Out: filepath.Join(t.TempDir(), "compared.xlsx")})
	require.NoError(t, err)
	offered, err := offer.Make(t.Context(), offer.Options{In: priced, Out: filepath.Join(t.TempDir(), "offer.xlsx"), Draft: true, Date: "2026-11-25"})
	require.NoError(t, err)
	travelled, err := traveller.Make(t.Context(), traveller.Options{In: priced, Out: filepath.Join(t.TempDir(), "traveller.xlsx"), Draft: true, To: 1})
	require.NoError(t, err)
	for _, path := range []string{moved.Output, offered.Output, travelled.Output} {
		for name, text := range shop.Parts(t, path) {
			assert.Empty(t, linkingOut.FindString(text), "%s of %s", name, path)
			assert.False(t, strings.Contains(text, "<f>") && path != moved.Output, "a formula on the offer, or on a traveller")
		}
	}
	for _, asJSON := range []bool{false, true} {
		var out bytes.Buffer
		v := tell.Voice{Out: &out, Err: &out, JSON: asJSON}
		for _, told := range []func() error{
			func() error { return v.Priced(rep) }, func() error { return v.Checked(check) }, func() error { return v.Audited(audit) },
			func() error { return v.Explained(joint) }, func() error { return v.Explained(whole) },
			func() error { return v.Compared(moved) }, func() error { return v.Offered(offered) },
			func() error { return v.Travelled(travelled) },
		} {
			out.Reset()
			require.NoError(t, told())
			require.Positive(t, out.Len())
			for _, r := range out.String() {
				if r != '\n' && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
					require.FailNow(t, "a control character is told", "%U in %.3000q", r, out.String())
				}
			}
		}
	}
}

// allowed are the texts of the hostile that may stand in a formula.
func allowed() (out []string) {
	for _, h := range hostileTexts() {
		out = append(out, h.text)
	}
	return out
}

// noErrors demands that a recalculated workbook shows no error value.
func noErrors(t *testing.T, live sheetstest.Grid) {
	t.Helper()
	for sheet, cells := range live {
		for ref, v := range cells {
			assert.False(t, v.Kind == sheetstest.Error, "%s!%s: %v =%s", sheet, ref, v, v.Formula)
		}
	}
}

// hostileScene is a workbook of hostile texts beside one of meek ones that is
// otherwise the same, both priced, and what must hold of them.
func hostileScene(name string, in func(t *testing.T, texts []string) string, mark, car string, with ...string) shop.Scene {
	return shop.Scene{
		Name: name,
		Make: func(t *testing.T) []string {
			meek, _ := shop.PriceWith(t, in(t, meekTexts()), with...)
			known, _ := shop.Price(t, shop.Demo("books/words-and-units.xlsx"))
			blank, _ := shop.Price(t, shop.Small(t, shop.Row{"J-1", "Demo car one", "  ", 1, 3, 0.049, " ", " ", " ", " "}))
			raw := in(t, rawTexts())
			hostile, _ := shop.PriceWith(t, raw, with...)
			assert.Empty(t, meekShapes(t, meek, known, blank).strange(sheetstest.Read(t, hostile), allowed()))
			samePackage(t, meek, hostile)

			again, _ := shop.PriceWith(t, hostile, with...)
			assert.True(t, shop.Content(t, hostile) == shop.Content(t, again), "priced again, the bytes differ")
			plain, _ := shop.Price(t, raw)
			toldPlain(t, plain, meek, mark, car)
			require.NotEmpty(t, shop.Cleared(t, hostile))
			return []string{hostile}
		},
		Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
			shop.Equal(t, paths[0], live[0])
			noErrors(t, live[0])
			stored := sheetstest.Read(t, paths[0])
			for sheet, cells := range sheetstest.ReadOpenpyxl(t, paths[0])[0] {
				for ref, v := range cells {
					if v.Kind == sheetstest.Number {
						require.Equal(t, stored[sheet][ref].Num, v.Num, "%s!%s", sheet, ref)
					}
				}
			}
		},
	}
}

// What people type stays what they have typed, wherever it stands: no formula,
// no link, no command, neither in the workbook nor at the terminal.
func TestHostileTexts(t *testing.T) {
	shop.Heavy(t)
	joints := hostileOrder(t)
	assumptions := hostileScene("assumptions", hostileAssumptions, "J-1", "Demo car one", bid.Sheets()...)
	assumptions.Heavy = true
	shop.Play(t,
		hostileScene("joints", func(t *testing.T, texts []string) string { return placed(t, joints, texts) },
			`=HYPERLINK("http://invalid.example","x")`, "=1+1", "breaks", "buying", "schedule"),
		assumptions,
	)
}

// The marks, cars and sections that are priced stand in the workbook's own
// sheets as they were typed, but for blanks around them.
func TestHostileTextsSurvive(t *testing.T) {
	shop.Heavy(t)
	in := placed(t, hostileOrder(t), rawTexts())
	out, rep := shop.Price(t, in)
	lost, err := sheetstest.Kept(in, out, shop.OursIn(t, out))
	require.NoError(t, err)
	assert.Empty(t, lost)
	onSheet := map[string]bool{}
	for _, v := range sheetstest.Read(t, out)["Workings"] {
		if v.Kind == sheetstest.Text {
			onSheet[unescaped(v.Text)] = true
		}
	}
	cars := map[string]bool{}
	for _, c := range rep.Cars {
		assert.True(t, onSheet[c.Car], "%q", c.Car)
		cars[c.Car] = true
	}
	for _, s := range []string{`=HYPERLINK("http://invalid.example","x")`, `=cmd|' /C x'!A0`, `</t></is><f>1+1</f>`, "&amp;", "_x0041_", `"&A1&"`, "TRUE", "A1", "a\u202Eb"} {
		assert.True(t, cars[s], "%q", s)
	}
}

// unescaped decodes what the library that reads the cells of formulas leaves as
// it stands (ST_Xstring).
func unescaped(s string) string {
	return escapedRune.ReplaceAllStringFunc(s, func(e string) string {
		n, err := strconv.ParseUint(e[2:6], 16, 16)
		if err != nil {
			panic(err) // the pattern has four hex digits
		}
		return string(rune(n))
	})
}

var escapedRune = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// hostileAssumptions is a priced workbook with texts in all that is the shop's
// to write on Assumptions, and joints that use set-ups of such names.
func hostileAssumptions(t *testing.T, texts []string) string {
	t.Helper()
	rows := []shop.Row{shop.Butt("J-1")}
	setups := []int{0, 7, 11, 14, 15, 19}
	for _, i := range setups {
		rows = append(rows, shop.Row{fmt.Sprint("J-", i+2), "Demo car one", "butt", 2, 3, 0.049, fmt.Sprintf("«%d»", i), nil, 10, nil})
	}
	priced, _ := shop.Price(t, placed(t, shop.Small(t, rows...), texts))
	g := sheetstest.Read(t, priced)
	setup := shop.TableRow(t, g, "trailing shield, by hand")
	next := 0
	text := func() string {
		next++
		return fmt.Sprintf("«%d»", next%len(texts))
	}
	return placed(t, shop.Edited(t, priced, func(f *excelize.File) {
		set := func(ref string, v any) { require.NoError(t, f.SetCellValue("Assumptions", ref, v)) }
		for row := 1; row < setup; row++ {
			switch key := g["Assumptions"][fmt.Sprint("A", row)].Text; {
			case key == "head_currency":
			case strings.HasPrefix(key, "head_"), strings.HasPrefix(key, "basis_"):
				set(fmt.Sprint("C", row), text())
			case key != "" && g["Assumptions"][fmt.Sprint("J", row)].Kind == sheetstest.Number:
				set(fmt.Sprint("L", row), text())
				set(fmt.Sprint("M", row), text())
			}
		}
		for k, i := range setups {
			set(fmt.Sprint("B", setup+1+k), fmt.Sprintf("«%d»", i))
			for col := 'C'; col <= 'T'; col++ {
				if v := g["Assumptions"][fmt.Sprint(string(col), setup)]; v.Kind == sheetstest.Number {
					set(fmt.Sprint(string(col), setup+1+k), v.Num)
				}
			}
		}
	}), texts)
}
