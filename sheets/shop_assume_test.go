package sheets_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
)

// set is a value typed for an assumption, by its key; unit "" leaves the unit.
type set struct {
	key   string
	value any
	unit  string
}

// assume types values on Assumptions of a priced workbook.
func assume(t *testing.T, path string, sets ...set) string {
	t.Helper()
	g := sheetstest.Read(t, path)
	var cells []typed
	for _, s := range sets {
		row := assumption(t, g, s.key)
		if s.value != nil {
			cells = append(cells, typed{"Assumptions", fmt.Sprint("C", row), s.value})
		}
		if s.unit != "" {
			cells = append(cells, typed{"Assumptions", fmt.Sprint("D", row), s.unit})
		}
	}
	return typeIn(t, path, cells...)
}

func TestAssumptionIsTheShops(t *testing.T) {
	clean, first := price(t, small(t, butt("J-1")))
	out, rep := price(t, assume(t, clean, set{key: "shop_rate", value: 120.5}))
	g := sheetstest.Read(t, out)
	row := assumption(t, g, "shop_rate")
	assert.Equal(t, 120.5, g["Assumptions"][fmt.Sprint("C", row)].Num)
	assert.Equal(t, 120.5, g["Assumptions"][fmt.Sprint("E", row)].Num)
	assert.Equal(t, "changed", g["Assumptions"][fmt.Sprint("K", row)].Text)
	assert.Equal(t, first.Order["order_hours"], rep.Order["order_hours"])
	labour := func(rep map[string]float64) float64 { return rep["labour_car"] }
	assert.InDelta(t, labour(rep.Cars[0].Figures), first.Cars[0].Figures["car_hours"]*120.5, 0.0051) // to the cent
	assert.Equal(t, 1.0, onSummary(t, g, "Assumptions changed from those shipped"))
}

func TestAssumptionInAnotherUnitPricesTheSame(t *testing.T) {
	clean, first := price(t, small(t, butt("J-1")))
	for _, s := range []set{
		{"clean_fit", 180.0, "s"},  // 3 min
		{"tack_pitch", 63.5, "mm"}, // 2.5 in, exact: 1 in = 25.4 mm
	} {
		out, rep := price(t, assume(t, clean, s))
		g := sheetstest.Read(t, out)
		row := assumption(t, g, s.key)
		assert.Equal(t, s.value, g["Assumptions"][fmt.Sprint("C", row)].Num, "the shop's own cell")
		assert.Equal(t, s.unit, g["Assumptions"][fmt.Sprint("D", row)].Text)
		for key, x := range first.Order {
			assert.InEpsilon(t, x+1, rep.Order[key]+1, 1e-9, "%s with %s", key, s.key)
		}
		again, _ := price(t, out)
		assert.True(t, content(t, again) == content(t, out))
	}
}

func TestGasPriceByTheCubicMetre(t *testing.T) {
	clean, _ := price(t, small(t, butt("J-1")))
	out, rep := price(t, assume(t, clean, set{"argon_price", 12.36, "$/m³"}))
	g := sheetstest.Read(t, out)
	// 1 ft³ = 0.028316846592 m³, exactly: (0.3048 m)³.
	perFoot := 12.36 * 0.028316846592
	assert.InEpsilon(t, perFoot, g["Assumptions"][fmt.Sprint("E", assumption(t, g, "argon_price"))].Num, 1e-12)
	assert.InDelta(t, rep.Cars[0].Figures["car_argon"]*perFoot, rep.Cars[0].Figures["argon_money"], 0.0051)
}

func TestAssumptionThatCannotBeUsedIsNamed(t *testing.T) {
	clean, _ := price(t, small(t, butt("J-1")))
	g := sheetstest.Read(t, clean)
	at := func(col, key string) string { return fmt.Sprint("Assumptions!", col, assumption(t, g, key)) }
	for name, c := range map[string]struct {
		s    set
		cell string
	}{
		"text":           {set{key: "shop_rate", value: "ninety-five"}, at("C", "shop_rate")},
		"text of digits": {set{key: "shop_rate", value: "95"}, at("C", "shop_rate")},
		"negative":       {set{key: "clean_fit", value: -3.0}, at("C", "clean_fit")},
		"blank":          {set{key: "clean_fit", value: ""}, at("C", "clean_fit")},
		"zero divisor":   {set{key: "tack_pitch", value: 0.0}, at("C", "tack_pitch")},
		"margin of 1":    {set{key: "margin", value: 1.0}, at("C", "margin")},
		"margin over 1":  {set{key: "margin", value: 30.0}, at("C", "margin")},
		"wrong unit":     {set{key: "clean_fit", unit: "in"}, at("D", "clean_fit")},
		"no unit at all": {set{key: "clean_fit", unit: "fortnights"}, at("D", "clean_fit")},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Contains(t, refused(t, assume(t, clean, c.s)), c.cell)
		})
	}
	t.Run("all faults at once", func(t *testing.T) {
		why := refused(t, assume(t, clean, set{key: "shop_rate", value: "x"}, set{key: "inspect", value: "y"}))
		assert.Contains(t, why, at("C", "shop_rate"))
		assert.Contains(t, why, at("C", "inspect"))
	})
	t.Run("a text in a table", func(t *testing.T) {
		row := tableRow(t, g, "cup, stop and start")
		why := refused(t, typeIn(t, clean, typed{"Assumptions", fmt.Sprint("F", row), "3 in/min"}))
		assert.Contains(t, why, fmt.Sprint("Assumptions!F", row))
	})
}

func TestWordAssumptionThatIsNotAChoice(t *testing.T) {
	clean, _ := price(t, small(t, butt("J-1")))
	g := sheetstest.Read(t, clean)
	for key, word := range map[string]string{"gas_lines": "sideways", "default_setup": "hope"} {
		why := refused(t, assume(t, clean, set{key: key, value: word}))
		assert.Contains(t, why, fmt.Sprint("Assumptions!C", assumption(t, g, key)))
		assert.Contains(t, why, word)
	}
}

func TestUsualRangeIsTheShops(t *testing.T) {
	clean, _ := price(t, small(t, butt("J-1")))
	in := assume(t, clean, set{key: "shop_rate", value: 250.0})
	out, rep := price(t, in)
	row := assumption(t, sheetstest.Read(t, out), "shop_rate")
	assert.Equal(t, "OUTSIDE", sheetstest.Read(t, out)["Assumptions"][fmt.Sprint("I", row)].Text)
	assert.True(t, hasFinding(rep, "warning", fmt.Sprint("Assumptions!C", row)), "%v", rep.Findings)
	assert.True(t, rep.Complete)
	out, rep = price(t, typeIn(t, out, typed{"Assumptions", fmt.Sprint("H", row), 300.0}))
	assert.Equal(t, "inside", sheetstest.Read(t, out)["Assumptions"][fmt.Sprint("I", row)].Text)
	assert.False(t, hasFinding(rep, fmt.Sprint("Assumptions!C", row)), "%v", rep.Findings)
}

// newSetup is a line of the set-ups typed below the shipped ones: a large cup
// that covers 1 in of weld, slow.
func newSetup(t *testing.T, path string) (string, int) {
	row := tableRow(t, sheetstest.Read(t, path), "trailing shield, by hand") + 1
	cells := []typed{{"Assumptions", fmt.Sprint("B", row), "big cup of the demo shop"}}
	for i, x := range []any{2.0, 0.5, nil, 2.5, 40.0, 0.0, 20.0, 12.0, 1.0, 20.0, 4.0, 2.0} {
		if x != nil {
			cells = append(cells, typed{"Assumptions", fmt.Sprintf("%c%d", 'C'+i, row), x})
		}
	}
	return typeIn(t, path, cells...), row
}

func TestNewSetupInTheNextFreeLine(t *testing.T) {
	clean, _ := price(t, twoButts(t))
	in, row := newSetup(t, clean)
	in = typeIn(t, in, typed{"Joints", colSetup + "2", "big cup of the demo shop"})
	out, rep := price(t, in)
	require.Zero(t, rep.LeftOut, "%v", rep.Findings)
	require.True(t, rep.Complete)
	g := sheetstest.Read(t, out)
	assert.Equal(t, 1.0, figure(t, g, "Joints", "bead_limit", 2).Num) // half of the bore of 2 in
	assert.Equal(t, 0.5, figure(t, g, "Joints", "bead_limit", 3).Num)
	assert.Equal(t, 2.5, figure(t, g, "Joints", "travel_used", 2).Num)
	assert.Equal(t, 20.0, g["Assumptions"][fmt.Sprint("L", row)].Num)
}

func TestTableCellIsTheShops(t *testing.T) {
	clean, first := price(t, small(t, butt("J-1")))
	g := sheetstest.Read(t, clean)
	row := tableRow(t, g, "grade 2", 3.0, 0.049)
	out, rep := price(t, typeIn(t, clean, typed{"Assumptions", fmt.Sprint("E", row), 107.8})) // twice the shipped 53.90
	assert.Equal(t, 107.8, sheetstest.Read(t, out)["Assumptions"][fmt.Sprint("E", row)].Num)
	assert.InDelta(t, 2*first.Cars[0].Figures["tube_money"], rep.Cars[0].Figures["tube_money"], 0.0151)
}

func TestPriceMissing(t *testing.T) {
	row := butt("J-1")
	row[4], row[5] = 2.875, 0.06
	out, rep := price(t, small(t, row, butt("J-2")))
	require.Zero(t, rep.LeftOut)
	assert.Equal(t, 2, rep.Priced)
	assert.False(t, rep.Complete)
	assert.True(t, hasFinding(rep, "Joints!", "price"), "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	assert.Equal(t, "INCOMPLETE", master(g))
	assert.Equal(t, 1.0, onSummary(t, g, labelMissing))
	assert.Contains(t, figure(t, g, "Joints", "check", 2).Text, "price missing")
	assert.Positive(t, figure(t, g, "Joints", "floor_time", 2).Num)
	line := tableRow(t, g, "grade 2", 2.875, 0.06)
	assert.NotEqual(t, sheetstest.Number, g["Assumptions"][fmt.Sprint("E", line)].Kind, "no price is made up")

	again, _ := price(t, out)
	assert.True(t, content(t, again) == content(t, out), "priced again, the workbook changes")

	full, rep := price(t, typeIn(t, out, typed{"Assumptions", fmt.Sprint("E", line), 50.0}))
	assert.True(t, rep.Complete, "%v", rep.Findings)
	g = sheetstest.Read(t, full)
	assert.Equal(t, "COMPLETE", master(g))
	used := figure(t, g, "Joints", "tube_used", 2).Num
	assert.InDelta(t, 50*used, figure(t, g, "Joints", "tube_cost", 2).Num, 0.0051)
}

func TestRodPriceMissing(t *testing.T) {
	row := butt("J-1")
	row[9] = "Ti-6Al-4V"
	out, rep := price(t, small(t, row))
	assert.False(t, rep.Complete)
	g := sheetstest.Read(t, out)
	rod := tableRow(t, g, "Ti-6Al-4V", 0.045)
	tube := tableRow(t, g, "Ti-6Al-4V", 3.0, 0.049)
	assert.Equal(t, 0.16, g["Assumptions"][fmt.Sprint("E", rod)].Num, "density of the alloy")
	_, rep = price(t, typeIn(t, out, typed{"Assumptions", fmt.Sprint("D", rod), 110.0}, typed{"Assumptions", fmt.Sprint("E", tube), 90.0}))
	assert.True(t, rep.Complete, "%v", rep.Findings)
}

// policy changes what the shop may decide of an order: sticks, minimum, rush,
// learning, overhead, gas on one bottle, a bid, other work.
func policy(t *testing.T, path string) string {
	t.Helper()
	path = assume(t, path,
		set{key: "rush", value: 0.2}, set{key: "overhead", value: 0.4}, set{key: "learning_slope", value: 0.9},
		set{key: "gas_lines", value: "together"}, set{key: "price_step", value: 10.0}, set{key: "coupon_time", value: 900.0, unit: "s"},
		set{key: "kerf", value: 1.6, unit: "mm"}, set{key: "target_oxygen", value: 50.0}, set{key: "welders", value: 2.0})
	g := sheetstest.Read(t, path)
	cells := []typed{}
	first := tableRow(t, g, "grade 2", 1.5, 0.035)
	for row := first; g["Assumptions"][fmt.Sprint("B", row)].Text == "grade 2"; row += 2 {
		cells = append(cells, typed{"Assumptions", fmt.Sprint("G", row), "whole sticks"})
	}
	part := func(name string, car any, qty, hours, cost float64) {
		row := tableRow(t, g, name)
		for i, v := range []any{car, qty, hours, cost} {
			cells = append(cells, typed{"Assumptions", fmt.Sprintf("%c%d", 'C'+i, row), v})
		}
	}
	part("Flanges", "all", 3, 0.1, 14.35)
	part("Polish", "all", 1, 1.5, 2)
	part("Jig and first article", "all", 1, 6, 120.5)
	return typeIn(t, path, cells...)
}

func TestDecisionsOfTheOrder(t *testing.T) {
	clean, first := price(t, demo("order.xlsx"))
	_, rep := price(t, policy(t, clean))
	require.True(t, rep.Complete, "%v", rep.Findings)
	assert.Positive(t, rep.Order["offcut_all"])
	assert.Zero(t, first.Order["offcut_all"])
	_, low := price(t, assume(t, clean, set{key: "minimum_order", value: 200000.0}))
	assert.Equal(t, 200000.0, low.Order["order_price"])
	assert.Equal(t, first.Order["order_priced"], low.Order["order_priced"])
}

func TestAssumptionsInLibreOffice(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	play(t,
		scene{
			name:  "many decisions at once",
			heavy: true,
			make: func(t *testing.T) []string {
				clean, _ := price(t, demo("order.xlsx"))
				in := policy(t, clean)
				out, _ := price(t, in)
				low, _ := price(t, assume(t, out, set{key: "minimum_order", value: 200000.0}))
				return []string{in, out, low}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				equal(t, paths[1], live[1])
				equal(t, paths[2], live[2])
				for _, label := range []string{labelPrice, "Cost", "Hours", "Working days", "Offcuts, all cars"} {
					assert.InEpsilon(t, onSummary(t, live[1], label), onSummary(t, live[0], label), 1e-9, label)
				}
				assert.Equal(t, 200000.0, onSummary(t, live[2], labelPrice))
			},
		},
		scene{
			name: "units, new set-up, missing price",
			make: func(t *testing.T) []string {
				row := butt("J-3")
				row[4], row[5] = 2.875, 0.06
				clean, _ := price(t, small(t, butt("J-1"), butt("J-2"), row))
				in, _ := newSetup(t, assume(t, clean, set{"clean_fit", 200.0, "s"}, set{"tie_in", 2.0, "mm"}, set{"argon_price", 11.0, "$/m³"}))
				in = typeIn(t, in, typed{"Joints", colSetup + "2", "big cup of the demo shop"})
				out, _ := price(t, in)
				return []string{in, out}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				equal(t, paths[1], live[1])
				assert.Equal(t, onSummary(t, live[1], "Cost"), onSummary(t, live[0], "Cost"))
				assert.Equal(t, 1.0, onSummary(t, live[1], labelMissing))
				assert.Equal(t, "INCOMPLETE", master(live[1]))
			},
		},
		scene{
			name: "the missing price typed, not priced again",
			make: func(t *testing.T) []string {
				row := butt("J-1")
				row[4], row[5] = 2.875, 0.06
				out, _ := price(t, small(t, row))
				line := tableRow(t, sheetstest.Read(t, out), "grade 2", 2.875, 0.06)
				return []string{typeIn(t, out, typed{"Assumptions", fmt.Sprint("E", line), 50.0})}
			},
			check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				assert.Equal(t, "COMPLETE", master(live[0]))
			},
		},
		scene{
			name: "lines typed below the room",
			make: func(t *testing.T) []string {
				clean, _ := price(t, small(t, butt("J-1")))
				g := sheetstest.Read(t, clean)
				var made []string
				for row := 1; row < 1000; row++ {
					if g["Assumptions"][fmt.Sprint("A", row)].Text == "room ends: insert lines above this one" {
						in := typeIn(t, clean, typed{"Assumptions", fmt.Sprint("B", row), "one line too many"})
						out, rep := price(t, in)
						assert.False(t, rep.Complete)
						assert.True(t, hasFinding(rep, "error", fmt.Sprint("Assumptions!B", row)), "%v", rep.Findings)
						made = append(made, in, out)
					}
				}
				require.GreaterOrEqual(t, len(made), 12)
				return made
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				for i := range paths {
					assert.Equal(t, "INCOMPLETE", master(live[i]))
					assert.Equal(t, 1.0, onSummary(t, live[i], "Tables with a line typed below their room"))
				}
			},
		},
		scene{
			name: "assumptions spoiled and not priced again",
			make: func(t *testing.T) []string {
				clean, _ := price(t, small(t, butt("J-1")))
				return []string{
					assume(t, clean, set{key: "shop_rate", value: "ninety-five"}),
					assume(t, clean, set{key: "clean_fit", unit: "in"}),
					assume(t, clean, set{key: "default_setup", value: "hope"}),
				}
			},
			check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				for i, what := range []string{"text", "wrong unit", "no such set-up"} {
					assert.Equal(t, "INCOMPLETE", master(live[i]), what)
				}
			},
		},
		scene{
			name: "assumptions far off and not priced again",
			make: func(t *testing.T) []string {
				clean, _ := price(t, small(t, butt("J-1")))
				return []string{
					assume(t, clean, set{key: "clean_fit", value: -3.0}),
					assume(t, clean, set{key: "clean_fit", value: ""}),
					assume(t, clean, set{key: "gas_lines", value: "sideways"}),
				}
			},
			check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				for i, what := range []string{"below 0", "blank", "no such choice"} {
					assert.Equal(t, 1.0, onSummary(t, live[i], "Assumptions outside their usual range"), what)
				}
			},
		},
		scene{
			name: "margin of 100 %, not priced again",
			make: func(t *testing.T) []string {
				clean, _ := price(t, small(t, butt("J-1")))
				return []string{assume(t, clean, set{key: "margin", value: 1.0})}
			},
			check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				assert.Equal(t, "INCOMPLETE", master(live[0]))
			},
		},
		scene{
			name: "margin over 100 %, not priced again",
			make: func(t *testing.T) []string {
				clean, _ := price(t, small(t, butt("J-1")))
				return []string{assume(t, clean, set{key: "margin", value: 30.0})}
			},
			check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				assert.Equal(t, "INCOMPLETE", master(live[0]))
			},
		},
	)
}
