package oddbooks_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/audit"
	"seamtally/sheets/compare"
	"seamtally/sheets/explain"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

var formulaCell = regexp.MustCompile(`(<c r="([A-Z]+)(\d+)"[^>]*>)<f>([^<]*)</f>`)

// allFilledDown makes the formulas of every column of "Joints" shared that has one
// formula down its rows, and says how many cells point to one of another row.
func allFilledDown(t *testing.T, path string) (shared string, pointing int) {
	t.Helper()
	own := func(row, f string) string {
		return regexp.MustCompile(`\b([A-Z]{1,3})`+row+`\b`).ReplaceAllString(f, "$1#")
	}
	shared = shop.Repacked(t, path, "xl/worksheets/sheet1.xml", func(s string) string {
		first, last, group := map[string]string{}, map[string]string{}, map[string]int{}
		for _, m := range formulaCell.FindAllStringSubmatch(s, -1) {
			key := m[2] + " " + own(m[3], m[4])
			if first[key] == "" {
				first[key], group[key] = m[3], len(group)
			}
			last[key] = m[3]
		}
		return formulaCell.ReplaceAllStringFunc(s, func(cell string) string {
			m := formulaCell.FindStringSubmatch(cell)
			key := m[2] + " " + own(m[3], m[4])
			switch {
			case first[key] == last[key]:
				return cell
			case first[key] == m[3]:
				return fmt.Sprintf(`%s<f t="shared" ref="%s%s:%s%s" si="%d">%s</f>`, m[1], m[2], m[3], m[2], last[key], group[key], m[4])
			}
			pointing++
			return fmt.Sprintf(`%s<f t="shared" si="%d"/>`, m[1], group[key])
		})
	})
	return shared, pointing
}

// A workbook whose columns were filled down in a spreadsheet has shared formulas in all
// of them. Every command takes it for what it is without them.
func TestAllOurColumnsFilledDown(t *testing.T) {
	rows := []shop.Row{
		{"J-1", "Demo car one", "butt", 2, 3, 0.049, nil, nil, 10, nil}, {"J-2", "Demo car one", "pie cut", 1, 2.5, 0.049, nil, 90, 4, nil},
		{"J-3", "Demo car two", "butt", 3, `2"`, 0.035, nil, nil, 7, nil}, {"J-4", "Demo car two", "fillet", 1, 3, 0.049, nil, nil, nil, nil},
		{"J-5", "Demo car one", "butt", 4, 2.5, 0.035, nil, nil, 12, nil},
	}
	clean, _ := shop.Price(t, shop.Small(t, rows...))
	typed := shop.OurColumn(t, sheetstest.Read(t, clean), "Joints", "floor_time") + "4"
	clean, first := shop.Price(t, shop.TypeIn(t, clean, shop.At("Joints", typed, 77.0)))
	shared, pointing := allFilledDown(t, clean)
	require.Greater(t, pointing, 300)

	again, rep := shop.Price(t, shared)
	assert.Equal(t, first.Order, rep.Order)
	assert.Equal(t, first.Findings, rep.Findings)
	assert.True(t, shop.Content(t, shared) == shop.Content(t, again), "what says the same stays as it is")
	assert.True(t, shop.Content(t, shop.Cleared(t, clean)) == shop.Content(t, shop.Cleared(t, shared)), "cleared")

	audited := func(path string) []audit.Fault {
		rep, err := audit.Workbook(t.Context(), audit.Options{In: path})
		require.NoError(t, err)
		return rep.Faults
	}
	require.NotEmpty(t, audited(clean), "a figure is typed over")
	assert.Equal(t, fmt.Sprint(audited(clean)), fmt.Sprint(audited(shared)))
	was, err := explain.Figures(t.Context(), explain.Options{In: clean, Mark: "J-5"})
	require.NoError(t, err)
	is, err := explain.Figures(t.Context(), explain.Options{In: shared, Mark: "J-5"})
	require.NoError(t, err)
	assert.Equal(t, fmt.Sprintf("%+v", was.Groups), fmt.Sprintf("%+v", is.Groups))
	same, err := compare.Orders(t.Context(), compare.Options{Old: clean, New: shared})
	require.NoError(t, err)
	assert.Empty(t, same.Changes)

	// A joint whose row holds the formulas of all is left out, and another is moved.
	for _, edit := range []map[string]string{{"E2": ""}, {"E6": "2"}, {"E2": "", "E6": "2"}} {
		one, two := clean, shared
		for ref, value := range edit {
			one, two = typeInPart(t, one, ref, value), typeInPart(t, two, ref, value)
		}
		one, before := shop.Price(t, one)
		two, after := shop.Price(t, two)
		assert.Equal(t, before.Order, after.Order, "%v", edit)
		was, is := sheetstest.Read(t, one), sheetstest.Read(t, two)
		for _, sheet := range []string{"Joints", "Workings", "Summary"} { // the log has a digest of the file that was priced
			assert.Equal(t, was[sheet], is[sheet], "%s %v", sheet, edit)
		}
	}
}

// Why our columns are not written so, though they would take half the bytes: a program
// may be at a loss once the first cell of a column is typed over or its row is deleted,
// and then a whole column has lost its formulas. Where each cell has its own, one goes.
// The spreadsheet library is such a program (its version of go.mod).
func TestColumnsHaveFormulasOfTheirOwn(t *testing.T) {
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")))
	shared, _ := allFilledDown(t, clean)
	formulas := func(path string) (n int) {
		f, err := excelize.OpenFile(path)
		require.NoError(t, err)
		defer f.Close()
		for ref := range sheetstest.Read(t, clean)["Joints"] {
			text, err := f.GetCellFormula("Joints", ref)
			require.NoError(t, err)
			if text != "" {
				n++
			}
		}
		return n
	}
	all := formulas(clean)
	require.Equal(t, all, formulas(shared))
	col := shop.OurColumn(t, sheetstest.Read(t, clean), "Joints", "arc_time")
	typeOver := func(f *excelize.File) { require.NoError(t, f.SetCellValue("Joints", col+"2", 99.0)) }
	deleteRow := func(f *excelize.File) { require.NoError(t, f.RemoveRow("Joints", 2)) }

	assert.Equal(t, all-1, formulas(shop.Edited(t, clean, typeOver)))
	assert.Equal(t, all/3*2, formulas(shop.Edited(t, clean, deleteRow)))
	assert.Equal(t, all-3, formulas(shop.Edited(t, shared, typeOver)), "once it is all-1, sharing may be looked at again")
	assert.Less(t, formulas(shop.Edited(t, shared, deleteRow)), all/3)

	// What has lost its formula is a number that somebody has typed, to every later run.
	over := func(path string) (cells []string) {
		_, rep := shop.Price(t, path)
		for _, f := range rep.Findings {
			if strings.Contains(f.What, "is typed over its formula") {
				cells = append(cells, f.Cell)
			}
		}
		return cells
	}
	at := "Joints!" + col
	assert.Equal(t, []string{at + "2"}, over(shop.Edited(t, clean, typeOver)))
	assert.Equal(t, []string{at + "2", at + "3", at + "4"}, over(shop.Edited(t, shared, typeOver)))
}
