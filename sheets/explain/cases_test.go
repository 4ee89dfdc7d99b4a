package explain_test

import (
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/explain"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func explained(t *testing.T, path, mark, figure string) *explain.Explanation {
	t.Helper()
	x, err := explain.Figures(t.Context(), explain.Options{In: path, Mark: mark, Figure: figure})
	require.NoError(t, err)
	return x
}

// figureOf is one figure of an explanation.
func figureOf(t *testing.T, x *explain.Explanation, key string) explain.Figure {
	t.Helper()
	for _, g := range x.Groups {
		for _, f := range g.Figures {
			if f.Key == key {
				return f
			}
		}
	}
	require.FailNow(t, "not explained", key)
	return explain.Figure{}
}

func unexplained(t *testing.T, path, mark, figure string) string {
	t.Helper()
	_, err := explain.Figures(t.Context(), explain.Options{In: path, Mark: mark, Figure: figure})
	require.Error(t, err)
	return err.Error()
}

// step is a line of the table of a joint by hand in figures.md.
var step = regexp.MustCompile("^\\| `(\\w+)`[^|]*\\| .* \\| ([0-9.,]+) ?([^|]*?) \\|$")

// The joint that figures.md works out by hand, and the car that has it alone,
// come out the same, step by step and in the same units.
func TestExplainTheJointByHand(t *testing.T) {
	text, err := os.ReadFile("../../templates/figures.md")
	require.NoError(t, err)
	_, worked, found := strings.Cut(string(text), "<!-- worked -->")
	require.True(t, found)
	worked, _, _ = strings.Cut(worked, "<!-- end worked -->")
	row := shop.Butt("J-1")
	row[3], row[5], row[8] = 1, 0.047, 0
	path := shop.Small(t, row)
	joint, car := explained(t, path, "J-1", ""), explained(t, path, "Demo car one", "")
	order := explained(t, path, "J-1", "purge_changes")
	n := 0
	for _, line := range strings.Split(worked, "\n") {
		m := step.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		n++
		x := joint
		if strings.HasSuffix(m[1], "_car") || m[1] == "car_hours" || m[1] == "materials" || m[1] == "once_share" || m[1] == "direct" || m[1] == "margin_made" {
			x = car
		}
		if m[1] == "purge_changes" {
			x = order
		}
		f := figureOf(t, x, m[1])
		want, err := strconv.ParseFloat(strings.ReplaceAll(m[2], ",", ""), 64)
		require.NoError(t, err)
		_, decimals, _ := strings.Cut(m[2], ".")
		half := 0.5000001
		for range decimals {
			half /= 10
		}
		got := f.Value.(float64)
		if m[3] == "%" {
			got *= 100
		}
		assert.InDelta(t, want, got, half, m[1])
		if m[3] != "" {
			assert.Equal(t, m[3], f.Unit, m[1])
		}
	}
	assert.Greater(t, n, 40)
}

// What the shop has typed is told with its cell, and how it was read.
func TestExplainWhereInputsComeFrom(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Mid pipe"))
	rows := [][]any{
		{"Mark", "Kind", "OD (mm)", "Wall (in)", "CLR (in)", "Bend °", "Filler", "Passes", "Grade"},
		{"M1", "mitred bend", 76.2, "18 ga", "1.5D", "90°", "fusion", nil, "CP2"},
	}
	for i, row := range rows {
		require.NoError(t, f.SetSheetRow("Mid pipe", fmt.Sprintf("A%d", i+1), &row))
	}
	path := shop.Saved(t, f)
	for _, in := range []string{path, priced(t, path)} {
		x := explained(t, in, "M1", "")
		for key, want := range map[string][2]string{
			"od":     {"Mid pipe!C2: 76.2 mm = 3 in", "3 in"},
			"wall":   {`Mid pipe!D2: "18 ga", read as 18 ga`, "0.049 in"},
			"clr":    {`Mid pipe!E2: "1.5D", read as 1.5 x OD = 4.5 in`, "4.5 in"},
			"bend":   {`Mid pipe!F2: "90°", read as 90 °`, "90 °"},
			"kind":   {`Mid pipe!B2: "mitred bend", read as pie cut`, "pie cut"},
			"filler": {`Mid pipe!G2: "fusion", read as no`, "no"},
			"alloy":  {`Mid pipe!I2: "CP2", read as grade 2`, "grade 2"},
			"passes": {"Mid pipe!H2 is blank: by default", "1 pass"},
			"wire":   {"by default: the list has no column for it", "0.045 in"},
			"car":    {"the name of the sheet; Mid pipe has no column for it", "Mid pipe"},
		} {
			got := figureOf(t, x, key)
			assert.True(t, strings.HasPrefix(got.From, want[0]), "%s: %s", key, got.From)
			assert.Equal(t, want[1], got.Shown, key)
		}
		assert.Contains(t, figureOf(t, x, "wall").From, "Birmingham")
		wire := figureOf(t, x, "wire")
		assert.Equal(t, "default_wire", wire.Formula)
		require.Len(t, wire.Uses, 1)
		assert.Equal(t, figureOf(t, x, "default_wire").Cell, wire.Uses[0].Cell)
	}
}

func priced(t *testing.T, in string) string {
	t.Helper()
	out, _ := shop.Price(t, in)
	return out
}

// A figure that was typed over says so, and what its formula would give; what
// rests on it has the typed number.
func TestExplainTypedOver(t *testing.T) {
	clean := priced(t, shop.TwoButts(t))
	was := figureOf(t, explained(t, clean, "J-1", "arc_time"), "arc_time")
	path := shop.TypedOver(t, clean, "arc_time", 2, 10.0)
	x := explained(t, path, "J-1", "weld_out")
	arc := figureOf(t, x, "arc_time")
	assert.Equal(t, 10.0, arc.Value)
	assert.Equal(t, fmt.Sprintf("typed over in %s; its formula would give %s", was.Cell, was.Shown), arc.From)
	assert.Equal(t, was.Formula, arc.Formula)
	assert.Empty(t, arc.WithNumbers)
	assert.Empty(t, arc.Stored)
	assert.Contains(t, figureOf(t, x, "weld_out").WithNumbers, "10 min + ")
	assert.Contains(t, figureOf(t, x, "weld_out").Stored, "not worked out again since something changed")

	path = shop.TypedOver(t, clean, "wall", 2, 0.065)
	wall := figureOf(t, explained(t, path, "J-1", "wall"), "wall")
	assert.Equal(t, 0.065, wall.Value)
	assert.Equal(t, fmt.Sprintf("typed over in %s; your column would give 0.049 in", wall.Cell), wall.From)
}

// A cell that shows something else than is worked out says so, and why.
func TestExplainStaleCells(t *testing.T) {
	clean := priced(t, shop.TwoButts(t))
	f := figureOf(t, explained(t, clean, "J-1", "weld_out"), "weld_out")
	ref := strings.TrimPrefix(f.Cell, "Joints!")
	cell := regexp.MustCompile(`(<c r="` + ref + `"[^>]*>)<f>([^<]*)</f><v>[^<]*</v>`)
	change := func(to string) string {
		return shop.Repacked(t, clean, "xl/worksheets/sheet1.xml", func(s string) string {
			require.Regexp(t, cell, s)
			return cell.ReplaceAllString(s, to)
		})
	}
	for to, want := range map[string]string{
		"${1}<f>1*$2</f><v>12.3</v>": "the cell shows 12.3 min (formula changed)",
		"${1}<f>$2</f><v>12.3</v>":   "the cell shows 12.3 min (not worked out again since something changed)",
	} {
		got := figureOf(t, explained(t, change(to), "J-1", "weld_out"), "weld_out")
		assert.Equal(t, want, got.Stored)
		assert.Equal(t, f.Value, got.Value)
	}
	got := figureOf(t, explained(t, change(fmt.Sprintf("${1}<f>1*$2</f><v>%v</v>", f.Value)), "J-1", "weld_out"), "weld_out")
	assert.Equal(t, "the formula in the cell was changed; it shows the same", got.Stored)

	// An input edited by a program that does not calculate.
	edit := shop.TypeIn(t, clean, shop.At("Joints", shop.ColOD+"2", 2.5))
	x := explained(t, edit, "J-1", "geometry")
	assert.Contains(t, figureOf(t, x, "geometry").Stored, "not worked out again")
	assert.Equal(t, 2.5, figureOf(t, x, "od").Value)
	assert.Equal(t, "the cell shows 3 in (not worked out again since something changed)", figureOf(t, x, "od").Stored)

	// Workings, typed over.
	car := figureOf(t, explained(t, clean, "Demo car one", "cost_car"), "cost_car")
	edit = shop.TypeIn(t, clean, shop.At("Workings", strings.TrimPrefix(car.Cell, "Workings!"), 1.0))
	assert.Equal(t, "the cell shows 1.00 $ (typed over; pricing again puts the formula back)",
		figureOf(t, explained(t, edit, "Demo car one", "cost_car"), "cost_car").Stored)
}

// A row that came after pricing has no figures yet, and its cells are told.
func TestExplainNewRow(t *testing.T) {
	more := shop.Butt("J-9")
	path := shop.Edited(t, priced(t, shop.TwoButts(t)), func(f *excelize.File) { require.NoError(t, f.SetSheetRow("Joints", "A4", &more)) })
	x := explained(t, path, "J-9", "")
	assert.Equal(t, []string{"the row has no figures yet: pricing again will fill its cells"}, x.Notes)
	f := figureOf(t, x, "arc_time")
	assert.Empty(t, f.Stored)
	g := sheetstest.Read(t, priced(t, path))
	assert.InDelta(t, f.Value, g["Joints"][strings.TrimPrefix(f.Cell, "Joints!")].Num, 1e-9)
}

// Assumptions and lines of tables: their cells, their basis, changed or not.
func TestExplainWhatIsSet(t *testing.T) {
	row := shop.Butt("J-1")
	row[6] = "trailing shield, by hand"
	clean := priced(t, shop.Small(t, row))
	g := sheetstest.Read(t, clean)
	at, line := shop.Assumption(t, g, "closing_overlap"), shop.TableRow(t, g, "trailing shield, by hand")
	x := explained(t, clean, "J-1", "arc_time")
	f := figureOf(t, x, "closing_overlap")
	assert.Equal(t, fmt.Sprintf("Assumptions!E%d", at), f.Cell)
	assert.Equal(t, fmt.Sprintf("in Assumptions!C%d, as shipped", at), f.From)
	assert.Equal(t, "common practice", f.Basis)
	travel := figureOf(t, x, "setup.travel")
	assert.Equal(t, fmt.Sprintf("Assumptions!F%d", line), travel.Cell)
	assert.Equal(t, "trailing shield, by hand", travel.Line)
	assert.Equal(t, "as shipped", travel.From)
	assert.Equal(t, fmt.Sprintf("line 3 of the table Shielding set-ups: trailing shield, by hand (Assumptions!B%d)", line), figureOf(t, x, "setup_no").From)

	path := shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("C", at), 8.0), shop.At("Assumptions", fmt.Sprint("D", at), "mm"),
		shop.At("Assumptions", fmt.Sprint("L", at), "timed on ten joints"), shop.At("Assumptions", fmt.Sprint("F", line), 3.5))
	x = explained(t, path, "J-1", "arc_time")
	f = figureOf(t, x, "closing_overlap")
	assert.InDelta(t, 8/25.4, f.Value, 1e-12)
	assert.Equal(t, fmt.Sprintf("8 mm in Assumptions!C%d, changed; shipped is 0.25 in", at), f.From)
	assert.Equal(t, "timed on ten joints", f.Basis)
	assert.Contains(t, f.Stored, "the cell shows 0.25 in")
	assert.Equal(t, "changed; shipped is 3 in/min", figureOf(t, x, "setup.travel").From)
	assert.Contains(t, figureOf(t, x, "arc_time").WithNumbers, " in + 1 × 0.31496062992126 in) + ")
}

// Marks that are there twice, that are missing, or that are a car's name.
func TestExplainByCell(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Coupe"))
	_, err := f.NewSheet("Long tail")
	require.NoError(t, err)
	for _, sheet := range []string{"Coupe", "Long tail"} {
		for i, row := range [][]any{{"Mark", "OD (in)", "Wall (in)"}, {"J1", 3, 0.049}, {nil, 2.5, 0.049}, {"J3", 3, "1,2"}} {
			require.NoError(t, f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &row))
		}
	}
	require.NoError(t, f.SetCellValue("Coupe", "A5", "Long tail"))
	require.NoError(t, f.SetCellValue("Coupe", "B5", 2))
	require.NoError(t, f.SetCellValue("Coupe", "C5", 0.049))
	path := shop.Saved(t, f)

	assert.Contains(t, unexplained(t, path, "J1", ""), `the mark "J1" is there 2 times: Coupe!2 (car Coupe), Long tail!2 (car Long tail); name one by its cell, for example Coupe!2`)
	for _, mark := range []string{"Long tail!2", "long tail!B2", "'Long tail'!$C$2"} {
		x := explained(t, path, mark, "od")
		assert.Equal(t, []any{"J1", "Long tail", 2}, []any{x.Name, x.Sheet, x.Row}, mark)
	}
	assert.Equal(t, 3, explained(t, path, "Coupe 3", "od").Row, "a joint without a mark is called by its row")
	car := explained(t, path, "Long tail", "")
	assert.Equal(t, explain.OfCar, car.Of)
	assert.Contains(t, car.Notes, "a joint has that mark too: Coupe!5 (car Coupe)")
	assert.Contains(t, unexplained(t, path, "Coupe!4", ""), `is left out of the price, and has no figures: wall is text "1,2"; write 1.2`)
	assert.Contains(t, unexplained(t, path, "J3", ""), `"J3" (Coupe!4) is left out of the price, and has no figures: wall is text "1,2"; write 1.2`)
}

// Columns of ours that were moved, lists and sheets that were renamed: the
// cells are those where things stand now.
func TestExplainMoved(t *testing.T) {
	path := shop.SheetRenamed(t, priced(t, shop.TwoButts(t)), "Build 7")
	path = shop.Edited(t, path, func(f *excelize.File) { require.NoError(t, f.InsertCols("Build 7", "C", 2)) })
	g := sheetstest.Read(t, path)
	for _, key := range []string{"od", "arc_time", "line_cost"} {
		f := figureOf(t, explained(t, path, "J-2", key), key)
		sheet, ref, _ := strings.Cut(f.Cell, "!")
		assert.Equal(t, "Build 7", sheet)
		assert.InDelta(t, f.Value, g[sheet][ref].Num, 1e-9, key)
		assert.NotContains(t, f.Stored, "shows", key)
	}
	assert.Equal(t, "read from Build 7!G3", figureOf(t, explained(t, path, "J-2", "od"), "od").From)
}

// A long sum lists its largest rows and adds up the rest.
func TestExplainLongSum(t *testing.T) {
	path := shop.Generated(t, 120, 3, false)
	rep, err := sheets.Check(t.Context(), path, "")
	require.NoError(t, err)
	seen := 0
	for _, c := range rep.Report.Cars {
		f := figureOf(t, explained(t, path, c.Car, "car_floor"), "car_floor")
		require.Len(t, f.Sums, 1)
		s := f.Sums[0]
		assert.Equal(t, "sum(lines.floor_time, car_no)", s.Of)
		assert.InDelta(t, c.Figures["car_floor"]*60, s.Total, 1e-6)
		assert.LessOrEqual(t, len(s.Parts), 20)
		if s.More > 0 {
			seen++
		}
		for i := 1; i < len(s.Parts); i++ {
			assert.GreaterOrEqual(t, s.Parts[i-1].Value, s.Parts[i].Value)
		}
	}
	assert.NotZero(t, seen)
}
