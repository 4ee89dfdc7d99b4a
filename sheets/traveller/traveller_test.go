package traveller_test

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/traveller"
)

func TestMain(m *testing.M) { shop.Main(m) }

// made are the travellers of a workbook.
func made(t *testing.T, o traveller.Options) *traveller.Report {
	t.Helper()
	if o.Out == "" {
		o.Out = filepath.Join(t.TempDir(), "traveller.xlsx")
	}
	if !o.Draft {
		o.In = shop.SettledWork(t, o.In)
	}
	r, err := traveller.Make(t.Context(), o)
	require.NoError(t, err)
	return r
}

// rowOf is the row of a sheet that has a text in its first column.
func rowOf(t *testing.T, g map[string]sheetstest.Value, text string) int {
	t.Helper()
	for row := 1; row < 500; row++ {
		if g[fmt.Sprint("A", row)].Text == text {
			return row
		}
	}
	require.FailNow(t, "no row", text)
	return 0
}

// Every car of the run has a sheet, with all its joints, in the words and sizes of the
// list: read here from the shop's own cells.
func TestTravellerSaysWhatTheRowsSay(t *testing.T) {
	in := shop.Demo("order.xlsx")
	r := made(t, traveller.Options{In: in})
	g := sheetstest.Read(t, r.Output)
	assert.Len(t, g, 8+4+3)
	list := sheetstest.Read(t, in)["Joints"]
	joints := 0
	for row := 7; list[fmt.Sprint("A", row)].Text != ""; row++ {
		cell := func(col string) sheetstest.Value { return list[fmt.Sprint(col, row)] }
		for n := 1; n <= map[string]int{"Coupe Demo-A": 8, "Spyder Demo-B": 4}[cell("B").Text]; n++ {
			s := g[fmt.Sprint(cell("B").Text, " ", n)]
			at := rowOf(t, s, cell("A").Text)
			said := func(col string) string { return s[fmt.Sprint(col, at)].Text }
			assert.Equal(t, cell("C").Text+"\ndrawing "+cell("W").Text, said("B"))
			assert.Equal(t, strings.ToLower(cell("D").Text), strings.Split(said("C"), "\n")[0])
			if cell("F").Kind == sheetstest.Number && cell("G").Kind == sheetstest.Number {
				assert.Contains(t, said("D"), fmt.Sprintf("%v in × %v in", cell("F").Num, cell("G").Num))
			}
			joints++
			if pieces := int(cell("E").Num); pieces > 1 {
				for k := 2; k <= pieces; k++ {
					assert.Equal(t, fmt.Sprintf("%s, %d of %d", cell("A").Text, k, pieces), s[fmt.Sprint("A", at+k-1)].Text)
				}
			}
		}
	}
	assert.Greater(t, joints, 100)

	// By hand: A-02 is 3 in x 0.047 in, bent 45° in pies of 15°: three pies, each turned
	// 15°, cut at half of it; one weld for each turn.
	s := g["Coupe Demo-A 3"]
	at := rowOf(t, s, "A-02")
	for col, want := range map[string]string{
		"A": "A-02", "B": "Front pipe, down bend\ndrawing D-101", "C": "pie cut\ngrade 2\nrod of grade 2", "D": "3 in × 0.047 in\nbend 45°\nCLR 4.5 in",
		"E": "tube 6 in\nsaw 7.5°\nturn 15°", "F": "welds: 3\ntacks each: 4", "G": "cup, stop and start\npurged by itself", "H": "straw",
	} {
		assert.Equal(t, want, s[fmt.Sprint(col, at)].Text, col)
	}
	assert.Equal(t, "car 3 of 8", s["E1"].Text)
	priced, err := os.ReadFile(r.Input)
	require.NoError(t, err)
	end := rowOf(t, s, "End of this car: 38 joints, the last is A-24.")
	assert.Equal(t, fmt.Sprintf("Quote %x", sha256.Sum256(priced)), s[fmt.Sprint("E", end)].Text)
	assert.Equal(t, "Traveller", s["I1"].Text)
	at = rowOf(t, s, "A-24")
	assert.Contains(t, s[fmt.Sprint("D", at)].Text, "onto 3 in\n", "the main tube of a branch")
}

// Metric sizes are in millimetres; two metals are both named; a set-up that serves
// several joints says so, and a joint without filler has no rod.
func TestTravellerInMillimetres(t *testing.T) {
	s := sheetstest.Read(t, made(t, traveller.Options{In: shop.Demo("order-metric.xlsx"), Car: "estate demo-d", From: 2, To: 2}).Output)
	assert.Equal(t, []string{"Estate Demo-D 2"}, slices.Collect(maps.Keys(s)))
	g := s["Estate Demo-D 2"]
	at := rowOf(t, g, "D-20")
	assert.Equal(t, "76.1 mm × 1.2 mm\nleg 1.8 mm", g[fmt.Sprint("D", at)].Text)
	assert.Equal(t, "cup, stop and start\npurge shared by 2 joints", g[fmt.Sprint("G", at)].Text)
	at = rowOf(t, g, "D-22")
	assert.Equal(t, "seam\ngrade 2\nno rod", g[fmt.Sprint("C", at)].Text)
	assert.Equal(t, "cup, stop and start\npurged along with another", g[fmt.Sprint("G", at)].Text)
}

// list is a workbook with one joint list whose joints have a colour limit and a note.
func list(t *testing.T, rows ...shop.Row) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	head := shop.Row{"Joint no", "Car", "Where", "Kind", "Qty", "OD (in)", "Wall (in)", "Tube length (in)", "Alloy", "Weld colour", "Set-up", "Note"}
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	for i, row := range append([]shop.Row{head}, rows...) {
		require.NoError(t, f.SetSheetRow("Joints", fmt.Sprint("A", i+1), &row))
	}
	return shop.Saved(t, f)
}

func butt(mark string, alloy, colour, note any) shop.Row {
	return shop.Row{mark, "Demo car one", "rear", "butt", 1, 3, 0.049, 10, alloy, colour, nil, note}
}

// blueOf is what stands behind the blue limit of a joint, and whether it is there.
func blueOf(t *testing.T, g map[string]sheetstest.Value, mark string) (string, bool) {
	t.Helper()
	row := rowOf(t, g, mark) + 1
	return g[fmt.Sprint("F", row)].Text, strings.HasPrefix(g[fmt.Sprint("B", row)].Text, "Blue is the darkest colour")
}

// A blue limit has its reason from a note that names the colour, or from the basis of
// the job's limit; where there is none, the page asks for it, and the run says where.
func TestBlueWantsAReason(t *testing.T) {
	r := made(t, traveller.Options{Draft: true, In: list(t, // the stainless has no price
		butt("J-1", nil, "blue", "Blue: the customer accepts it inside the tail pipe"),
		butt("J-2", nil, "blue", "tight fit"),
		butt("J-3", nil, "straw", nil),
		butt("J-4", "316L", "blue", nil),
		butt("J-5", nil, "blue", "blue, as 90 A leave no other"),
		butt("J-6", nil, "blue", "see the blueprint"),
	)})
	g := sheetstest.Read(t, r.Output)["Demo car one 1"]
	why, is := blueOf(t, g, "J-1")
	assert.True(t, is)
	assert.Equal(t, "Blue: the customer accepts it inside the tail pipe", why)
	for mark, want := range map[string]bool{"J-2": true, "J-3": false, "J-4": false, "J-5": true, "J-6": true} {
		why, is := blueOf(t, g, mark)
		assert.Equal(t, want, is, mark)
		if want {
			assert.Empty(t, why, mark)
		}
	}
	assert.Equal(t, "", g[fmt.Sprint("H", rowOf(t, g, "J-4"))].Text, "stainless has no colour limit")
	assert.Equal(t, []traveller.Place{{"Demo car one J-2", "Joints!J3", ""}, {"Demo car one J-5", "Joints!J6", ""}, {"Demo car one J-6", "Joints!J7", ""}}, r.NoReason)
	assert.Equal(t, []traveller.Place{{"Demo car one J-5", "Joints!J6", "blue, as 90 A leave no other"}}, r.Hidden)
	assert.NotContains(t, allOf(t, r.Output), "tight fit", "notes of another kind stay with the shop")

	// The job's own limit, on Assumptions: its basis is the reason, once it is the shop's own.
	in := shop.Assume(t, shop.SettledWork(t, list(t, butt("J-1", nil, nil, nil))), shop.Set("default_colour", "blue", ""))
	basis := fmt.Sprint("L", shop.Assumption(t, sheetstest.Read(t, in), "default_colour"))
	r = made(t, traveller.Options{In: in})
	require.Len(t, r.NoReason, 1)
	assert.Equal(t, "Assumptions!"+basis, r.NoReason[0].Cell)
	r = made(t, traveller.Options{In: shop.TypeIn(t, in, shop.At("Assumptions", basis, "the order accepts it"))})
	assert.Empty(t, r.NoReason)
	why, is = blueOf(t, sheetstest.Read(t, r.Output)["Demo car one 1"], "J-1")
	assert.True(t, is)
	assert.Equal(t, "the order accepts it", why)
}

func allOf(t *testing.T, path string) string {
	t.Helper()
	all, _ := shop.Everything(t, path)
	return all
}

// Words of the shop in which a bench would read a setting stay off the page, and the run
// says where they stand.
func TestTellingWordsStayOff(t *testing.T) {
	row := butt("J-1", nil, nil, nil)
	row[2] = "rear, purge 12 min"
	r := made(t, traveller.Options{In: list(t, row)})
	g := sheetstest.Read(t, r.Output)["Demo car one 1"]
	assert.Equal(t, "see the joint list", g[fmt.Sprint("B", rowOf(t, g, "J-1"))].Text)
	assert.NotContains(t, allOf(t, r.Output), "12 min")
	assert.Equal(t, []traveller.Place{{"Demo car one J-1", "Joints!C2", "rear, purge 12 min"}}, r.Hidden)
}

// Words that no cell could show are cut short, and say so.
func TestLongWords(t *testing.T) {
	row := butt(strings.Repeat("mark ", 50), nil, "blue", "blue "+strings.Repeat("since it is so ", 100))
	row[2] = strings.Repeat("far behind ", 100)
	g := sheetstest.Read(t, made(t, traveller.Options{In: list(t, row)}).Output)["Demo car one 1"]
	for ref, most := range map[string]int{"A4": 200, "B4": 200, "F5": 400} {
		assert.Len(t, []rune(g[ref].Text), most, ref)
		assert.True(t, strings.HasSuffix(g[ref].Text, "…"), ref)
	}
}

// The file has no formula, property or hidden thing; the only names repeat the heading
// on every page. Two of the same order are equal.
func TestTravellerIsBare(t *testing.T) {
	r := made(t, traveller.Options{In: shop.Demo("order.xlsx"), Car: "Track Demo-C"})
	for name, part := range shop.Parts(t, r.Output) {
		assert.NotContains(t, part, "<f>", name)
		assert.NotContains(t, part, "<f ", name)
		assert.NotContains(t, part, "hidden", name)
		if strings.HasPrefix(name, "docProps/") {
			assert.Empty(t, strings.TrimSpace(shop.CharactersOf(t, part)), name)
		}
	}
	book := shop.Parts(t, r.Output)["xl/workbook.xml"]
	assert.Equal(t, 3, strings.Count(book, "<definedName "))
	assert.Equal(t, 3, strings.Count(book, "_xlnm.Print_Titles"))
	assert.Equal(t, 3, strings.Count(book, "$1:$3</definedName>"), "the car, the draft and the columns stand on every page")
	faults, err := sheetstest.OutOfOrder(r.Output)
	require.NoError(t, err)
	assert.Empty(t, faults)
	again, err := traveller.Make(t.Context(), traveller.Options{In: r.Input, Out: filepath.Join(t.TempDir(), "again.xlsx"), Car: "Track Demo-C"})
	require.NoError(t, err)
	assert.Equal(t, shop.Content(t, r.Output), shop.Content(t, again.Output))
}

// An order that lacks something gets none; a draft says so at the head of every sheet.
func TestTravellerOfWhatIsNotComplete(t *testing.T) {
	in := shop.Small(t, shop.Butt("J-1"), shop.Row{"J-2", "Demo car one", "butt", 1, 3, "thin"})
	out := filepath.Join(t.TempDir(), "traveller.xlsx")
	_, err := traveller.Make(t.Context(), traveller.Options{In: in, Out: out})
	require.ErrorContains(t, err, "not written for the bench: the order is INCOMPLETE")
	var refused *sheets.RefusedError
	require.ErrorAs(t, err, &refused)
	require.Len(t, refused.Reasons, 1)
	assert.Equal(t, "rows_left_out", refused.Reasons[0].Check)
	assert.NoFileExists(t, out)

	for title, g := range sheetstest.Read(t, made(t, traveller.Options{In: in, Out: out, Draft: true}).Output) {
		assert.Equal(t, "DRAFT", g["I1"].Text, title)
		assert.Contains(t, g["A2"].Text, "Not for the bench", title)
	}
}

func TestTravellerRefuses(t *testing.T) {
	in := shop.SettledWork(t, shop.Demo("order.xlsx"))
	there := filepath.Join(t.TempDir(), "traveller.xlsx")
	require.NoError(t, os.WriteFile(there, nil, 0o600))
	out := filepath.Join(t.TempDir(), "new.xlsx")
	many := shop.Butt("J-1")
	many[3] = 10001
	for _, c := range []struct {
		o    traveller.Options
		says string
	}{
		{traveller.Options{Out: filepath.Join(t.TempDir(), "traveller.pdf")}, "are an .xlsx"},
		{traveller.Options{Out: in}, "would replace the workbook that they are made of"},
		{traveller.Options{Out: there}, "--force"},
		{traveller.Options{Out: out, Car: "Coupé"}, `there is no car "Coupé"; it has `},
		{traveller.Options{Out: out, From: 9, To: 10}, "no joint of a car that is asked for"},
		{traveller.Options{In: shop.Small(t, many), Out: out, Draft: true}, "10001 joints to write pages for, over 10000"},
	} {
		if c.o.In == "" {
			c.o.In = in
		}
		_, err := traveller.Make(t.Context(), c.o)
		assert.ErrorContains(t, err, c.says)
		assert.NoFileExists(t, out)
	}
}

// Cars that are asked for are there, and no others; a car without joints is named.
func TestTravellerOfSomeCars(t *testing.T) {
	r := made(t, traveller.Options{In: shop.Demo("order.xlsx"), From: 4, To: 5})
	assert.ElementsMatch(t, []string{"Coupe Demo-A 4", "Coupe Demo-A 5", "Spyder Demo-B 4"}, slices.Collect(maps.Keys(sheetstest.Read(t, r.Output))))
	assert.Equal(t, []string{"Track Demo-C"}, r.Bare)
}

// On A4 and on Letter every page is as the file breaks it: nothing goes over the edge,
// and no page is longer than its paper.
func TestTravellerPages(t *testing.T) {
	shop.Heavy(t)
	sheetstest.NeedLibreOffice(t)
	var rows []shop.Row
	for i := range 30 {
		row := butt(fmt.Sprint("A mark of many letters, ", i), nil, []any{"blue", "straw"}[i%2], nil)
		row[2], row[4] = strings.Repeat("where it is on the car ", i%5), 1+i%4
		rows = append(rows, row)
	}
	for name, in := range map[string]string{"demo": shop.Demo("order-metric.xlsx"), "long": list(t, rows...)} {
		r := made(t, traveller.Options{In: in, To: 1})
		pages := 0
		for part, text := range shop.Parts(t, r.Output) {
			if strings.HasPrefix(part, "xl/worksheets/sheet") {
				pages += 1 + strings.Count(text, "<brk ")
				for _, m := range regexp.MustCompile(`(?: ht=")([\d.]+)`).FindAllStringSubmatch(text, -1) {
					high, err := strconv.ParseFloat(m[1], 64)
					require.NoError(t, err)
					assert.Less(t, high, 409.0)
				}
			}
		}
		for paper, size := range map[string]string{"Letter": "1", "A4": "9"} { // ECMA-376 part 1, 18.3.1.63
			path := r.Output
			for i := range shop.Parts(t, r.Output) {
				if strings.HasPrefix(i, "xl/worksheets/sheet") {
					path = shop.Repacked(t, path, i, func(s string) string {
						return onPaper.ReplaceAllString(s, ` paperSize="`+size+`"`)
					})
				}
			}
			assert.Len(t, sheetstest.ToPNG(t, path, t.TempDir()), pages, "%s on %s", name, paper)
		}
	}
}

var onPaper = regexp.MustCompile(` paperSize="[0-9]+"`)
