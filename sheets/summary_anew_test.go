package sheets_test

import (
	"fmt"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/templates"
)

// nextVersion is the model with more in it: stanzas put before others of
// order.txt, as a later version of the program may have them.
func nextVersion(t *testing.T, before map[string]string) fs.FS {
	t.Helper()
	out := fstest.MapFS{}
	names, err := fs.Glob(templates.FS, "*.txt")
	require.NoError(t, err)
	for _, name := range names {
		data, err := fs.ReadFile(templates.FS, name)
		require.NoError(t, err)
		text := string(data)
		for at, stanza := range before {
			if name == "order.txt" {
				require.Contains(t, text, "\nfigure "+at+"\n")
				text = strings.Replace(text, "\nfigure "+at+"\n", "\n"+stanza+"\n\nfigure "+at+"\n", 1)
			}
		}
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

func priceBy(t *testing.T, in string, model fs.FS) (string, *sheets.Report) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "priced.xlsx")
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out}.WithModel(model))
	require.NoError(t, err)
	return out, rep
}

// labelled finds the row of Summary that is called so, below another one.
func labelled(t *testing.T, g sheetstest.Grid, name, below string) int {
	t.Helper()
	from := 0
	for row := 1; row < 1000; row++ {
		if below != "" && from == 0 {
			if g["Workings"][fmt.Sprint("A", row)].Text == below {
				from = row
			}
			continue
		}
		if g["Workings"][fmt.Sprint("B", row)].Text == name {
			return row
		}
	}
	require.FailNow(t, "no such row on Summary", "%s below %s", name, below)
	return 0
}

// withNotes is a priced order on which the shop has typed: a note beside a car,
// words in free cells, and on a sheet of its own formulas that point at Summary.
func withNotes(t *testing.T) string {
	in, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	return shop.Edited(t, in, func(f *excelize.File) {
		require.NoError(t, f.SetCellValue("Workings", "N8", "demo: asks for a discount"))
		require.NoError(t, f.SetCellValue("Workings", "Q8", "demo: beside the car"))
		require.NoError(t, f.SetCellValue("Workings", "H90", "demo: beside a check"))
		_, err := f.NewSheet("Demo office")
		require.NoError(t, err)
		for ref, formula := range map[string]string{
			"A1": "Workings!L8*2", "A2": "SUM('Workings'!$M$8:$M$10)", "A3": "Workings!C34", "A4": "Workings!C147", "A5": `"Workings!C34"&Workings!B8`,
		} {
			require.NoError(t, f.SetCellFormula("Demo office", ref, formula))
		}
		require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "demo_price", RefersTo: "Workings!$C$34"}))
		require.NoError(t, f.SetCellFormula("Demo office", "A6", "demo_price"))
	})
}

// More figures cost the shop nothing: its notes stand beside the cars that they
// are of, and what points at a figure points at it still.
func TestNewFiguresAreFreeInAnEarlierWorkbook(t *testing.T) {
	in := withNotes(t)
	g := sheetstest.Read(t, in)
	require.Equal(t, "Coupe Demo-A", g["Workings"]["B8"].Text)
	model := nextVersion(t, map[string]string{
		"car_stops":   "figure car_twice\nof cars\nheading Welds, twice over\nunit welds\ngroup results\n= 2*car_welds",
		"order_stops": "figure order_twice\nof order\nheading Welds of all, twice over\nunit welds\ngroup results\n= 2*order_welds",
		"tube_all":    "figure order_thrice\nof order\nheading Welds of all, thrice over\nunit welds\ngroup once\n= 3*order_welds",
	})
	out, rep := priceBy(t, in, model)
	grids := sheetstest.RecalculateAll(t, in, out)
	was, now := grids[0], grids[1]
	g = sheetstest.Read(t, out)
	car := labelled(t, g, "Coupe Demo-A", "The order, car by car")
	assert.Equal(t, "Welds, twice over", g["Workings"][fmt.Sprint("E", car-2)].Text)
	assert.Equal(t, "demo: asks for a discount", g["Workings"][fmt.Sprint("O", car)].Text, "the note stands beside its car")
	assert.Equal(t, "demo: beside the car", g["Workings"][fmt.Sprint("Q", car)].Text)
	check := labelled(t, g, was["Workings"]["B90"].Text, "Checks")
	assert.Equal(t, "demo: beside a check", g["Workings"][fmt.Sprint("H", check)].Text)
	assert.NotEqual(t, 90, check)
	for _, ref := range []string{"A1", "A2", "A3", "A4", "A5", "A6"} {
		assert.Equal(t, was["Demo office"][ref].Num, now["Demo office"][ref].Num, ref)
		assert.Equal(t, was["Demo office"][ref].Text, now["Demo office"][ref].Text, ref)
	}
	assert.NotEqual(t, sheetstest.Read(t, out)["Demo office"]["A4"].Formula, sheetstest.Read(t, in)["Demo office"]["A4"].Formula)
	delete(g, "Demo office") // which was typed, and has no stored values
	delete(now, "Demo office")
	assert.Greater(t, sheetstest.Compare(t, g, now, 1e-9), 5000)
	for _, f := range rep.Findings {
		assert.NotContains(t, []string{"carried", "points at what is gone"}, f.Rule, "%v", f)
	}
	for _, words := range []string{"Welds, twice over", "Welds of all, thrice over"} {
		found := 0
		for row := labelled(t, g, "Figure", "How each figure is worked out"); row < 1000; row++ {
			if g["Workings"][fmt.Sprint("B", row)].Text == words {
				found++
			}
		}
		assert.Equal(t, 1, found, "%s is not said to be worked out in any way", words)
	}
	again, rep := priceBy(t, out, model)
	assert.True(t, rep.Unchanged, "priced once more, it is another")
	assert.Equal(t, sheetstest.Read(t, out)["Workings"], sheetstest.Read(t, again)["Workings"])

	// An audit by a version that has other figures says so, and finds no fault; but
	// what was changed by hand it finds.
	found2, err := audit.Workbook(t.Context(), audit.Options{In: out})
	require.NoError(t, err)
	assert.True(t, found2.Clean(), "%+v", found2.Faults)
	hours := labelled(t, g, "Hours", "The order")
	found2, err = audit.Workbook(t.Context(), audit.Options{In: shop.TypeIn(t, out, shop.At("Workings", fmt.Sprint("C", hours), 7))})
	require.NoError(t, err)
	var wrong []string
	for _, f := range found2.Faults {
		if f.Grade == audit.Wrong {
			wrong = append(wrong, f.Rule+" "+f.Cell)
		}
	}
	assert.Equal(t, []string{fmt.Sprint(audit.RuleTypedOver, " Workings!C", hours)}, wrong)
	money := fmt.Sprint("C", labelled(t, g, "Coupe Demo-A", "Money, one car")-1)
	found2, err = audit.Workbook(t.Context(), audit.Options{In: shop.TypeIn(t, out, shop.At("Workings", money, "Demo heading"))})
	require.NoError(t, err)
	assert.True(t, slices.ContainsFunc(found2.Faults, func(f audit.Fault) bool {
		return f.Rule == audit.RuleTouched && f.Cell == "Workings!"+money && f.Expected == g["Workings"][money].Text
	}), "%+v", found2.Faults)

	// and back: what the earlier version does not know goes, and nothing else
	back, _ := shop.Price(t, out)
	g = sheetstest.Read(t, back)
	car = labelled(t, g, "Coupe Demo-A", "The order, car by car")
	assert.Equal(t, "demo: asks for a discount", g["Workings"][fmt.Sprint("N", car)].Text)
	now = sheetstest.Recalculate(t, back)
	for _, ref := range []string{"A1", "A2", "A3", "A4", "A5", "A6"} {
		assert.Equal(t, was["Demo office"][ref].Num, now["Demo office"][ref].Num, ref)
	}
}

// A formula that is worded otherwise is explained so on the next run.
func TestWordsFollowTheFormula(t *testing.T) {
	in, _ := shop.Price(t, shop.TwoButts(t))
	model := nextVersion(t, nil).(fstest.MapFS)
	model["order.txt"] = &fstest.MapFile{Data: []byte(strings.Replace(string(model["order.txt"].Data), "= (work_hours+once_hours)*(1+allowance)", "= (once_hours+work_hours)*(1+allowance)", 1))}
	out, _ := priceBy(t, in, model)
	g := sheetstest.Read(t, out)
	row := labelled(t, g, "Hours", "How each figure is worked out")
	assert.Equal(t, "car hours = (once hours + work hours) × (1 + allowance)", g["Workings"][fmt.Sprint("D", row)].Text)
}

// An order that has outgrown its tables gets more room, and all that stands
// below them moves down, charts too.
func TestWorkingsThatGrow(t *testing.T) {
	in, _ := shop.Price(t, shop.TwoButts(t))
	in = shop.Edited(t, in, func(f *excelize.File) {
		require.NoError(t, f.SetCellValue("Workings", "N8", "demo: the first car"))
		_, err := f.NewSheet("Demo notes")
		require.NoError(t, err)
		require.NoError(t, f.SetCellFormula("Demo notes", "A1", "Workings!C34"))
		for i := range 14 {
			row := shop.Butt(fmt.Sprintf("X-%d", i))
			row[1] = fmt.Sprintf("Demo car no. %d", i)
			require.NoError(t, f.SetSheetRow("Joints", fmt.Sprintf("A%d", 4+i), &row))
		}
	})
	pointed := sheetstest.Read(t, in)["Workings"]["B34"].Text
	before := drawn(t, in)
	out, rep := shop.Price(t, in)
	require.Len(t, rep.Cars, 15)
	require.True(t, rep.Complete, "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	assert.Equal(t, "demo: the first car", g["Workings"][fmt.Sprint("N", labelled(t, g, "Demo car one", "The order, car by car"))].Text)
	at := strings.TrimPrefix(g["Demo notes"]["A1"].Formula, "Workings!C")
	assert.NotEqual(t, "34", at)
	assert.Equal(t, pointed, g["Workings"]["B"+at].Text, "it points at the same figure")
	now := sheetstest.Recalculate(t, out)
	delete(g, "Demo notes") // which was typed, and has no stored value
	assert.Greater(t, sheetstest.Compare(t, g, now, 1e-9), 1000)
	hours := labelled(t, g, "Saw", "Where the hours go")
	after := drawn(t, out)
	assert.NotContains(t, before.refs, fmt.Sprintf("$B$%d:", hours))
	assert.Contains(t, after.refs, fmt.Sprintf("$B$%d:", hours), "a chart of Summary follows its figures")
	assert.Equal(t, before.rows, after.rows, "and keeps its place")
}

// drawing is where the charts of Summary stand, rows counted from 0, and what
// they show.
type drawing struct {
	rows []int
	refs string
}

func drawn(t *testing.T, path string) drawing {
	t.Helper()
	var out drawing
	for name, data := range shop.Parts(t, path) {
		switch {
		case strings.HasPrefix(name, "xl/charts/chart"):
			out.refs += data
		case strings.HasPrefix(name, "xl/drawings/drawing"):
			for _, m := range fromRow.FindAllStringSubmatch(data, -1) {
				row, err := strconv.Atoi(m[1])
				require.NoError(t, err)
				out.rows = append(out.rows, row)
			}
		}
	}
	slices.Sort(out.rows)
	require.NotEmpty(t, out.rows)
	return out
}

var fromRow = regexp.MustCompile(`(?s)<xdr:from>.*?<xdr:row>(\d+)</xdr:row>`)
