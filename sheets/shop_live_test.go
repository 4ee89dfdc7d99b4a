package sheets_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
)

// later is a priced workbook that someone edits afterwards without pricing it
// again: what the spreadsheet itself must then say.
func later(name string, rows []listRow, change func(t *testing.T, priced string) string, check func(t *testing.T, live sheetstest.Grid)) scene {
	return scene{
		name: name,
		make: func(t *testing.T) []string {
			out, rep := price(t, small(t, rows...))
			require.True(t, rep.Complete, "%v", rep.Findings)
			return []string{change(t, out)}
		},
		check: func(t *testing.T, _ []string, live []sheetstest.Grid) { check(t, live[0]) },
	}
}

// incomplete demands that the master check has turned, by the named check.
func incomplete(label string) func(*testing.T, sheetstest.Grid) {
	return func(t *testing.T, live sheetstest.Grid) {
		assert.Equal(t, "INCOMPLETE", master(live))
		assert.Positive(t, onSummary(t, live, label), label)
	}
}

func TestEditsAreSeenWithoutPricingAgain(t *testing.T) {
	two := []listRow{butt("J-1"), butt("J-2")}
	typeOn := func(cells ...typed) func(*testing.T, string) string {
		return func(t *testing.T, p string) string { return typeIn(t, p, cells...) }
	}
	j := func(ref string, v any) typed { return typed{"Joints", ref, v} }
	nonsense := func(name string, cells ...typed) scene {
		return later(name, two, typeOn(cells...), incomplete(labelNonsense))
	}
	withText := butt("J-1")
	withText[4] = `3"`
	scenes := []scene{
		nonsense("wall over half the od", j("F2", 1.6)),
		nonsense("od blanked", j("E2", nil)),
		nonsense("half a joint", j("D2", 1.5)),
		nonsense("a pie cut without bend", j("C2", "pie cut")),
		nonsense("a seam without length", j("C2", "seam")),
		nonsense("a branch without main", j("C2", "branch")),
		nonsense("tube below zero", j("I2", -1.0)),
		later("text for an od", two, typeOn(j("E2", "big")), func(t *testing.T, live sheetstest.Grid) {
			assert.Equal(t, "INCOMPLETE", master(live))
		}),
		later("a kind that is not there", two, typeOn(j("C2", "butt joint, thick")), incomplete(labelErrors)),
		later("a set-up that is not there", two, typeOn(j("G2", "hope")), incomplete(labelErrors)),
		later("an alloy that is not there", two, typeOn(j("J2", "tin")), incomplete(labelErrors)),
		later("a car that is not there", two, typeOn(j("B2", "Demo car nine")), func(t *testing.T, live sheetstest.Grid) {
			assert.Equal(t, "INCOMPLETE", master(live))
		}),
		later("a size that is not in stock", two, typeOn(j("F2", 0.061)), func(t *testing.T, live sheetstest.Grid) {
			assert.Equal(t, "INCOMPLETE", master(live))
		}),
		later("a text read as a number, edited", []listRow{withText, butt("J-2")}, typeOn(j("E2", `2"`)), func(t *testing.T, live sheetstest.Grid) {
			od := figure(t, live, "Joints", "od", 2)
			assert.Equal(t, sheetstest.Error, od.Kind, "%v", od)
			assert.Equal(t, "#N/A", od.Text)
			assert.Equal(t, "INCOMPLETE", master(live))
			assert.Positive(t, onSummary(t, live, labelErrors))
		}),
		later("a row below the list", two, typeOn(j("A4", "J-3"), j("E4", 3.0), j("F4", 0.049)), incomplete(labelGrown)),
		later("a row far below the list", two, typeOn(j("E400", 3.0), j("F400", 0.049)), incomplete(labelGrown)),
		later("figures of a row deleted", two, func(t *testing.T, p string) string {
			g := sheetstest.Read(t, p)
			return typeIn(t, p, j(ourColumn(t, g, "Joints", "check")+"2", nil), j(ourColumn(t, g, "Joints", "line_cost")+"2", nil))
		}, incomplete(labelGrown)),
		{
			name: "edits that make sense equal pricing again",
			make: func(t *testing.T) []string {
				clean, _ := price(t, small(t, butt("J-1"), butt("J-2"), butt("J-3")))
				in := typeIn(t, clean,
					j("D2", 3), j("E2", 2.5), j("C3", "fillet"), j("G3", "trailing shield, by hand"),
					j("C4", "pie cut"), j("H4", 45.0), j("I4", nil))
				in = assume(t, in, set{"shop_rate", 111.0, ""}, set{"clean_fit", 240.0, "s"}, set{"margin", 0.4, ""})
				in = typeIn(t, in, typed{"Assumptions", fmt.Sprint("C", tableRow(t, sheetstest.Read(t, in), "Demo car one")), 7})
				out, rep := price(t, in)
				require.True(t, rep.Complete, "%v", rep.Findings)
				return []string{in, out}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				equal(t, paths[1], live[1])
				for _, key := range []string{"seam", "stops", "floor_time", "argon", "filler_mass", "tube_used", "line_cost"} {
					for row := 2; row <= 4; row++ {
						assert.InEpsilon(t, 1+figure(t, live[1], "Joints", key, row).Num, 1+figure(t, live[0], "Joints", key, row).Num, 1e-9, "%s, row %d", key, row)
					}
				}
				for _, label := range []string{labelPrice, "Cost", "Hours", "Cars", "Welds"} {
					assert.InEpsilon(t, onSummary(t, live[1], label), onSummary(t, live[0], label), 1e-9, label)
				}
				assert.Equal(t, 7.0, onSummary(t, live[0], "Cars"))
				assert.Equal(t, "COMPLETE", master(live[0]))
			},
		},
	}
	play(t, scenes...)
}

// carry is a formula of a row with a sign or a reference that can be broken.
var carry = map[string]func(string) string{
	"a product becomes a sum":    func(s string) string { return strings.Replace(s, "*", "+", 1) },
	"a reference one row off":    func(s string) string { return regexp.MustCompile(`([A-Z]{2})2\b`).ReplaceAllString(s, "${1}3") },
	"a rounding place too few":   func(s string) string { return strings.Replace(s, ",2)", ",0)", 1) },
	"a number instead of a name": func(s string) string { return strings.Replace(s, "shop_rate", "94", 1) },
}

func TestBrokenFormulaIsFoundByRecalculation(t *testing.T) {
	var scenes []scene
	for what, breakIt := range carry {
		scenes = append(scenes, scene{
			name: what,
			make: func(t *testing.T) []string {
				other := butt("J-2")
				other[3], other[4], other[8] = 5, 2.5, 31.4
				out, _ := price(t, small(t, butt("J-1"), other))
				at := ourColumn(t, sheetstest.Read(t, out), "Joints", "labour") + "2"
				broken := repacked(t, out, "xl/worksheets/sheet1.xml", func(s string) string {
					cell := regexp.MustCompile(`<c r="` + at + `"[^>]*><f>([^<]*)</f>`).FindStringSubmatchIndex(s)
					require.NotNil(t, cell)
					was := s[cell[2]:cell[3]]
					is := breakIt(was)
					require.NotEqual(t, was, is)
					return s[:cell[2]] + is + s[cell[3]:]
				})
				return []string{broken}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				stored := sheetstest.Read(t, paths[0])
				at := ourColumn(t, stored, "Joints", "labour") + "2"
				differ, _ := sheetstest.Differences(stored, live[0], 1e-9)
				require.NotEmpty(t, differ)
				assert.Contains(t, strings.Join(differ, "\n"), "Joints!"+at+":")
				for _, d := range differ {
					assert.NotContains(t, d, "Joints!"+strings.TrimSuffix(at, "2")+"3:", "the sound row below")
				}
			},
		})
	}
	play(t, scenes...)
}

func TestOneFormulaDownEachColumn(t *testing.T) {
	// Rows of many kinds: with the row's number taken out, a column holds one
	// formula, but for cells that had to be read as words.
	out, _ := price(t, demo("order.xlsx"))
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
