package recalculated_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// later is a priced workbook that someone edits afterwards without pricing it
// again: what the spreadsheet itself must then say.
func later(name string, rows []shop.Row, change func(t *testing.T, priced string) string, check func(t *testing.T, live sheetstest.Grid)) shop.Scene {
	return shop.Scene{
		Name: name,
		Make: func(t *testing.T) []string {
			out, rep := shop.Price(t, shop.Small(t, rows...))
			require.True(t, rep.Complete, "%v", rep.Findings)
			return []string{change(t, out)}
		},
		Check: func(t *testing.T, _ []string, live []sheetstest.Grid) { check(t, live[0]) },
	}
}

// incomplete demands that the master check has turned, by the named check.
func incomplete(label string) func(*testing.T, sheetstest.Grid) {
	return func(t *testing.T, live sheetstest.Grid) {
		assert.Equal(t, "INCOMPLETE", shop.Master(live))
		assert.Positive(t, shop.OnWorkings(t, live, label), label)
	}
}

// labelLacks is the check of what to buy.
const labelLacks = "Lines of tube or rod to buy that lack a stick length or a density"

// complete demands that the master check stays as it was.
func complete(t *testing.T, live sheetstest.Grid) { assert.Equal(t, "COMPLETE", shop.Master(live)) }

// onTable types cells of the line of a table on Assumptions that begins with some
// cells: columns, each with what is typed there.
func onTable(line []any, cells ...any) func(*testing.T, string) string {
	return func(t *testing.T, p string) string {
		row := shop.TableRow(t, sheetstest.Read(t, p), line...)
		var typed []shop.Cell
		for i := 0; i < len(cells); i += 2 {
			typed = append(typed, shop.At("Assumptions", fmt.Sprint(cells[i], row), cells[i+1]))
		}
		return shop.TypeIn(t, p, typed...)
	}
}

// bought demands that a line of what to buy is missed, whatever its price.
func bought(label string) func(*testing.T, sheetstest.Grid) {
	return func(t *testing.T, live sheetstest.Grid) {
		assert.Equal(t, "INCOMPLETE", shop.Master(live))
		assert.NotZero(t, shop.OnWorkings(t, live, label), label)
		assert.Equal(t, "ok", shop.Figure(t, live, "Joints", "check", 2).Text, "nothing is wrong with the row itself")
	}
}

func TestEditsAreSeenWithoutPricingAgain(t *testing.T) {
	two, tube := []shop.Row{shop.Butt("J-1"), shop.Butt("J-2")}, []any{"grade 2", 3.0, 0.049}
	typeOn := func(cells ...shop.Cell) func(*testing.T, string) string {
		return func(t *testing.T, p string) string { return shop.TypeIn(t, p, cells...) }
	}
	j := func(ref string, v any) shop.Cell { return shop.At("Joints", ref, v) }
	nonsense := func(name string, cells ...shop.Cell) shop.Scene {
		return later(name, two, typeOn(cells...), incomplete(shop.LabelNonsense))
	}
	withText := shop.Butt("J-1")
	withText[4] = `3"`
	scenes := []shop.Scene{
		nonsense("wall over half the od", j("F2", 1.6)),
		nonsense("od blanked", j("E2", nil)),
		nonsense("half a joint", j("D2", 1.5)),
		nonsense("a pie cut without bend", j("C2", "pie cut")),
		nonsense("a seam without length", j("C2", "seam")),
		nonsense("a branch without main", j("C2", "branch")),
		nonsense("tube below zero", j("I2", -1.0)),
		later("text for an od", two, typeOn(j("E2", "big")), func(t *testing.T, live sheetstest.Grid) {
			assert.Equal(t, "INCOMPLETE", shop.Master(live))
		}),
		later("a kind that is not there", two, typeOn(j("C2", "butt joint, thick")), incomplete(shop.LabelErrors)),
		later("a set-up that is not there", two, typeOn(j("G2", "hope")), incomplete(shop.LabelErrors)),
		later("an alloy that is not there", two, typeOn(j("J2", "tin")), incomplete(shop.LabelErrors)),
		later("a car that is not there", two, typeOn(j("B2", "Demo car nine")), func(t *testing.T, live sheetstest.Grid) {
			assert.Equal(t, "INCOMPLETE", shop.Master(live))
		}),
		later("a size that is not in stock", two, typeOn(j("F2", 0.061)), func(t *testing.T, live sheetstest.Grid) {
			assert.Equal(t, "INCOMPLETE", shop.Master(live))
		}),
		later("a size in stock that no joint had", two, typeOn(j("E2", 2.5)), bought("Rows of a tube that is not under Tube to buy: price again")),
		later("a rod that no joint had", two, func(t *testing.T, p string) string {
			row := shop.Assumption(t, sheetstest.Read(t, p), "default_wire")
			return shop.TypeIn(t, p, shop.At("Assumptions", fmt.Sprint("C", row), 0.035))
		}, bought("Rows of a rod that is not under Filler to buy: price again")),
		later("a text read as a number, edited", []shop.Row{withText, shop.Butt("J-2")}, typeOn(j("E2", `2"`)), func(t *testing.T, live sheetstest.Grid) {
			od := shop.Figure(t, live, "Joints", "od", 2)
			assert.Equal(t, sheetstest.Error, od.Kind, "%v", od)
			assert.Equal(t, "#N/A", od.Text)
			assert.Equal(t, "INCOMPLETE", shop.Master(live))
			assert.Positive(t, shop.OnWorkings(t, live, shop.LabelErrors))
		}),
		later("hours without a quantity", two, onTable([]any{"Flanges"}, "E", 10, "D", nil), incomplete("Lines of other work with hours or cost and no quantity")),
		later("a cost without a quantity", two, onTable([]any{"Clamps and bands"}, "F", 100, "D", nil), incomplete("Lines of other work with hours or cost and no quantity")),
		later("hours, and a quantity of 0", two, onTable([]any{"Flanges"}, "E", 10, "D", 0), complete),
		later("neither hours nor a quantity", two, onTable([]any{"Flanges"}, "D", nil), complete),
		later("once is no word", two, onTable([]any{"Flanges"}, "E", 10, "G", "once"), incomplete("Lines of other work for each of neither car nor order")),
		later("a word in capitals", two, onTable([]any{"Flanges"}, "E", 10, "G", "Order"), complete),
		later("for each, blank", two, onTable([]any{"Flanges"}, "E", 10, "G", nil), complete),
		later("whole sticks without a length", two, onTable(tube, "G", "whole sticks", "F", nil), incomplete(labelLacks)),
		later("whole sticks with a length", two, onTable(tube, "G", "whole sticks"), complete),
		later("no stick length, charged as used", two, onTable(tube, "F", nil), complete),
		later("a rod without density", two, onTable([]any{"grade 2", 0.045}, "E", nil), incomplete(labelLacks)),
		later("another rod without density", two, onTable([]any{"grade 2", 0.035}, "E", nil), complete),
		later("no purge flow", two, onTable([]any{"cup, stop and start"}, "I", nil), incomplete(shop.LabelNonsense)),
		later("a purge flow of 0", two, onTable([]any{"cup, stop and start"}, "I", 0), complete),
		later("no pre-flow", two, onTable([]any{"cup, stop and start"}, "K", nil), incomplete(shop.LabelNonsense)),
		later("another set-up without purge flow", two, onTable([]any{"trailing shield, by hand"}, "I", nil), complete),
		later("a row below the list", two, typeOn(j("A4", "J-3"), j("E4", 3.0), j("F4", 0.049)), incomplete(shop.LabelGrown)),
		later("a row far below the list", two, typeOn(j("E400", 3.0), j("F400", 0.049)), incomplete(shop.LabelGrown)),
		later("figures of a row deleted", two, func(t *testing.T, p string) string {
			g := sheetstest.Read(t, p)
			return shop.TypeIn(t, p, j(shop.OurColumn(t, g, "Joints", "check")+"2", nil), j(shop.OurColumn(t, g, "Joints", "line_cost")+"2", nil))
		}, incomplete(shop.LabelGrown)),
	}
	shop.Play(t, append(shop.Some(scenes, 2), shop.Scene{
		Name: "edits that make sense equal pricing again",
		Make: func(t *testing.T) []string {
			bought := shop.Butt("J-4") // of the tube that J-1 becomes: a size that no joint had would have to be priced again
			bought[4] = 2.5
			clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3"), bought))
			in := shop.TypeIn(t, clean,
				j("D2", 3), j("E2", 2.5), j("C3", "fillet"), j("G3", "trailing shield, by hand"),
				j("C4", "pie cut"), j("H4", 45.0), j("I4", nil))
			in = shop.Assume(t, in, shop.Set("shop_rate", 111.0, ""), shop.Set("clean_fit", 240.0, "s"), shop.Set("margin", 0.4, ""))
			in = shop.TypeIn(t, in, shop.At("Assumptions", fmt.Sprint("C", shop.TableRow(t, sheetstest.Read(t, in), "Demo car one")), 7))
			out, rep := shop.Price(t, in)
			require.True(t, rep.Complete, "%v", rep.Findings)
			return []string{in, out}
		},
		Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
			shop.Equal(t, paths[1], live[1])
			for _, key := range []string{"seam", "stops", "floor_time", "argon", "filler_mass", "tube_used", "line_cost"} {
				for row := 2; row <= 4; row++ {
					assert.InEpsilon(t, 1+shop.Figure(t, live[1], "Joints", key, row).Num, 1+shop.Figure(t, live[0], "Joints", key, row).Num, 1e-9, "%s, row %d", key, row)
				}
			}
			for _, label := range []string{shop.LabelPrice, "Cost", "Hours", "Cars", "Welds"} {
				assert.InEpsilon(t, shop.OnWorkings(t, live[1], label), shop.OnWorkings(t, live[0], label), 1e-9, label)
			}
			assert.Equal(t, 7.0, shop.OnWorkings(t, live[0], "Cars"))
			assert.Equal(t, "COMPLETE", shop.Master(live[0]))
		},
	})...)
}

// carry is a formula of a row with a sign or a reference that can be broken.
var carry = map[string]func(string) string{
	"a product becomes a sum":    func(s string) string { return strings.Replace(s, "*", "+", 1) },
	"a reference one row off":    func(s string) string { return regexp.MustCompile(`\b([A-Z]{1,2})2\b`).ReplaceAllString(s, "${1}3") },
	"a rounding place too few":   func(s string) string { return strings.Replace(s, ",2)", ",0)", 1) },
	"a number instead of a name": func(s string) string { return strings.Replace(s, "shop_rate", "94", 1) },
}

func TestBrokenFormulaIsFoundByRecalculation(t *testing.T) {
	var scenes []shop.Scene
	for what, breakIt := range carry {
		scenes = append(scenes, shop.Scene{
			Name: what,
			Make: func(t *testing.T) []string {
				other := shop.Butt("J-2")
				other[3], other[4], other[8] = 5, 2.5, 31.4
				out, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), other))
				at := shop.OurColumn(t, sheetstest.Read(t, out), "Joints", "labour") + "2"
				broken := shop.Repacked(t, out, "xl/worksheets/sheet1.xml", func(s string) string {
					cell := regexp.MustCompile(`<c r="` + at + `"[^>]*><f>([^<]*)</f>`).FindStringSubmatchIndex(s)
					require.NotNil(t, cell)
					was := s[cell[2]:cell[3]]
					is := breakIt(was)
					require.NotEqual(t, was, is)
					return s[:cell[2]] + is + s[cell[3]:]
				})
				return []string{broken}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				stored := sheetstest.Read(t, paths[0])
				at := shop.OurColumn(t, stored, "Joints", "labour") + "2"
				differ, _ := sheetstest.Differences(stored, live[0], 1e-9)
				require.NotEmpty(t, differ)
				assert.Contains(t, strings.Join(differ, "\n"), "Joints!"+at+":")
				for _, d := range differ {
					assert.NotContains(t, d, "Joints!"+strings.TrimSuffix(at, "2")+"3:", "the sound row below")
				}
			},
		})
	}
	shop.Play(t, scenes...)
}

func TestOneFormulaDownEachColumn(t *testing.T) {
	// Rows of many kinds: with the row's number taken out, a column holds one
	// formula, but for cells that had to be read as words.
	out, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	g := sheetstest.Read(t, out)
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	byColumn := map[string]map[string]int{}
	for ref, v := range g["Joints"] {
		if v.Formula == "" {
			continue
		}
		col, row, err := excelize.SplitCellName(ref)
		require.NoError(t, err)
		if byColumn[col] == nil {
			byColumn[col] = map[string]int{}
		}
		if strings.HasPrefix(v.Formula, "IF(EXACT(") {
			continue
		}
		byColumn[col][regexp.MustCompile(`\b([A-Z]{1,3})`+fmt.Sprint(row)+`\b`).ReplaceAllString(v.Formula, "${1}_")]++
	}
	require.Greater(t, len(byColumn), 100)
	for col, forms := range byColumn {
		assert.LessOrEqual(t, len(forms), 1, "column %s: %v", col, forms)
	}
}
