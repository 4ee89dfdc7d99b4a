package assumptions_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func TestMain(m *testing.M) { shop.Main(m) }

func TestAssumptionIsTheShops(t *testing.T) {
	clean, first := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	out, rep := shop.Price(t, shop.Assume(t, clean, shop.Setting{Key: "shop_rate", Value: 120.5}))
	g := sheetstest.Read(t, out)
	row := shop.Assumption(t, g, "shop_rate")
	assert.Equal(t, 120.5, g["Assumptions"][fmt.Sprint("C", row)].Num)
	assert.Equal(t, 120.5, g["Assumptions"][fmt.Sprint("E", row)].Num)
	assert.Equal(t, "changed", g["Assumptions"][fmt.Sprint("K", row)].Text)
	assert.Equal(t, first.Order["order_hours"], rep.Order["order_hours"])
	labour := func(rep map[string]float64) float64 { return rep["labour_car"] }
	assert.InDelta(t, labour(rep.Cars[0].Figures), first.Cars[0].Figures["car_hours"]*120.5, 0.0051) // to the cent
	assert.Equal(t, 1.0, shop.OnWorkings(t, g, "Assumptions changed from those shipped"))
}

func TestAssumptionInAnotherUnitPricesTheSame(t *testing.T) {
	clean, first := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	for _, s := range []shop.Setting{
		shop.Set("clean_fit", 300.0, "s"),  // 5 min
		shop.Set("tack_pitch", 63.5, "mm"), // 2.5 in, exact: 1 in = 25.4 mm
	} {
		out, rep := shop.Price(t, shop.Assume(t, clean, s))
		g := sheetstest.Read(t, out)
		row := shop.Assumption(t, g, s.Key)
		assert.Equal(t, s.Value, g["Assumptions"][fmt.Sprint("C", row)].Num, "the shop's own cell")
		assert.Equal(t, s.Unit, g["Assumptions"][fmt.Sprint("D", row)].Text)
		for key, x := range first.Order {
			assert.InEpsilon(t, x+1, rep.Order[key]+1, 1e-9, "%s with %s", key, s.Key)
		}
		again, _ := shop.Price(t, out)
		assert.True(t, shop.Content(t, again) == shop.Content(t, out))
	}
}

func TestGasPriceByTheCubicMetre(t *testing.T) {
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	out, rep := shop.Price(t, shop.Assume(t, clean, shop.Set("argon_price", 12.36, "$/m³")))
	g := sheetstest.Read(t, out)
	// 1 ft³ = 0.028316846592 m³, exactly: (0.3048 m)³.
	perFoot := 12.36 * 0.028316846592
	assert.InEpsilon(t, perFoot, g["Assumptions"][fmt.Sprint("E", shop.Assumption(t, g, "argon_price"))].Num, 1e-12)
	assert.InDelta(t, rep.Cars[0].Figures["car_argon"]*perFoot, rep.Cars[0].Figures["argon_money"], 0.0051)
}

func TestAssumptionThatCannotBeUsedIsNamed(t *testing.T) {
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	g := sheetstest.Read(t, clean)
	at := func(col, key string) string { return fmt.Sprint("Assumptions!", col, shop.Assumption(t, g, key)) }
	for name, c := range map[string]struct {
		s    shop.Setting
		cell string
	}{
		"text":           {shop.Setting{Key: "shop_rate", Value: "ninety-five"}, at("C", "shop_rate")},
		"text of digits": {shop.Setting{Key: "shop_rate", Value: "95"}, at("C", "shop_rate")},
		"negative":       {shop.Setting{Key: "clean_fit", Value: -3.0}, at("C", "clean_fit")},
		"blank":          {shop.Setting{Key: "clean_fit", Value: ""}, at("C", "clean_fit")},
		"zero divisor":   {shop.Setting{Key: "tack_pitch", Value: 0.0}, at("C", "tack_pitch")},
		"margin of 1":    {shop.Setting{Key: "margin", Value: 1.0}, at("C", "margin")},
		"margin over 1":  {shop.Setting{Key: "margin", Value: 30.0}, at("C", "margin")},
		"wrong unit":     {shop.Setting{Key: "clean_fit", Unit: "in"}, at("D", "clean_fit")},
		"no unit at all": {shop.Setting{Key: "clean_fit", Unit: "fortnights"}, at("D", "clean_fit")},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Contains(t, shop.Refused(t, shop.Assume(t, clean, c.s)), c.cell)
		})
	}
	t.Run("all faults at once", func(t *testing.T) {
		why := shop.Refused(t, shop.Assume(t, clean, shop.Setting{Key: "shop_rate", Value: "x"}, shop.Setting{Key: "inspect", Value: "y"}))
		assert.Contains(t, why, at("C", "shop_rate"))
		assert.Contains(t, why, at("C", "inspect"))
	})
	t.Run("a text in a table", func(t *testing.T) {
		row := shop.TableRow(t, g, "cup, stop and start")
		why := shop.Refused(t, shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("F", row), "3 in/min")))
		assert.Contains(t, why, fmt.Sprint("Assumptions!F", row))
	})
}

func TestWordAssumptionThatIsNotAChoice(t *testing.T) {
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	g := sheetstest.Read(t, clean)
	for key, word := range map[string]string{"gas_lines": "sideways", "default_setup": "hope"} {
		why := shop.Refused(t, shop.Assume(t, clean, shop.Setting{Key: key, Value: word}))
		assert.Contains(t, why, fmt.Sprint("Assumptions!C", shop.Assumption(t, g, key)))
		assert.Contains(t, why, word)
	}
}

func TestUsualRangeIsTheShops(t *testing.T) {
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	in := shop.Assume(t, clean, shop.Setting{Key: "shop_rate", Value: 250.0})
	out, rep := shop.Price(t, in)
	row := shop.Assumption(t, sheetstest.Read(t, out), "shop_rate")
	assert.Equal(t, "OUTSIDE", sheetstest.Read(t, out)["Assumptions"][fmt.Sprint("I", row)].Text)
	assert.True(t, shop.HasFinding(rep, "warning", fmt.Sprint("Assumptions!C", row)), "%v", rep.Findings)
	assert.True(t, rep.Complete)
	out, rep = shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("H", row), 300.0)))
	assert.Equal(t, "inside", sheetstest.Read(t, out)["Assumptions"][fmt.Sprint("I", row)].Text)
	assert.False(t, shop.HasFinding(rep, fmt.Sprint("Assumptions!C", row)), "%v", rep.Findings)
}

// newSetup is a line of the set-ups typed below the shipped ones: a large cup
// that covers 1 in of weld, slow.
func newSetup(t *testing.T, path string) (string, int) {
	row := shop.TableRow(t, sheetstest.Read(t, path), "trailing shield, by hand") + 1
	cells := []shop.Cell{shop.At("Assumptions", fmt.Sprint("B", row), "big cup of the demo shop")}
	for i, x := range []any{2.0, 0.5, nil, 2.5, 40.0, 0.0, 20.0, 12.0, 1.0, 20.0, 4.0, 2.0} {
		if x != nil {
			cells = append(cells, shop.At("Assumptions", fmt.Sprintf("%c%d", 'C'+i, row), x))
		}
	}
	return shop.TypeIn(t, path, cells...), row
}

func TestNewSetupInTheNextFreeLine(t *testing.T) {
	clean, _ := shop.Price(t, shop.TwoButts(t))
	in, row := newSetup(t, clean)
	in = shop.TypeIn(t, in, shop.At("Joints", shop.ColSetup+"2", "big cup of the demo shop"))
	out, rep := shop.Price(t, in)
	require.Zero(t, rep.LeftOut, "%v", rep.Findings)
	require.True(t, rep.Complete)
	g := sheetstest.Read(t, out)
	assert.Equal(t, 1.0, shop.Figure(t, g, "Joints", "bead_limit", 2).Num) // half of the bore of 2 in
	assert.Equal(t, 0.5, shop.Figure(t, g, "Joints", "bead_limit", 3).Num)
	assert.Equal(t, 2.5, shop.Figure(t, g, "Joints", "travel_used", 2).Num)
	assert.Equal(t, 20.0, g["Assumptions"][fmt.Sprint("L", row)].Num)
}

func TestTableCellIsTheShops(t *testing.T) {
	clean, first := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	g := sheetstest.Read(t, clean)
	row := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	out, rep := shop.Price(t, shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("E", row), 107.8))) // twice the shipped 53.90
	assert.Equal(t, 107.8, sheetstest.Read(t, out)["Assumptions"][fmt.Sprint("E", row)].Num)
	assert.InDelta(t, 2*first.Cars[0].Figures["tube_money"], rep.Cars[0].Figures["tube_money"], 0.0151)
}

func TestPriceMissing(t *testing.T) {
	row := shop.Butt("J-1")
	row[4], row[5] = 2.875, 0.06
	out, rep := shop.Price(t, shop.Small(t, row, shop.Butt("J-2")))
	require.Zero(t, rep.LeftOut)
	assert.Equal(t, 2, rep.Priced)
	assert.False(t, rep.Complete)
	assert.True(t, shop.HasFinding(rep, "Joints!", "price"), "%v", rep.Findings)
	g := sheetstest.Read(t, out)
	assert.Equal(t, "INCOMPLETE", shop.Master(g))
	assert.Equal(t, 1.0, shop.OnWorkings(t, g, shop.LabelMissing))
	assert.Contains(t, shop.Figure(t, g, "Joints", "check", 2).Text, "price missing")
	assert.Positive(t, shop.Figure(t, g, "Joints", "floor_time", 2).Num)
	line := shop.TableRow(t, g, "grade 2", 2.875, 0.06)
	assert.NotEqual(t, sheetstest.Number, g["Assumptions"][fmt.Sprint("E", line)].Kind, "no price is made up")

	again, _ := shop.Price(t, out)
	assert.True(t, shop.Content(t, again) == shop.Content(t, out), "priced again, the workbook changes")

	full, rep := shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("E", line), 50.0)))
	assert.True(t, rep.Complete, "%v", rep.Findings)
	g = sheetstest.Read(t, full)
	assert.Equal(t, "COMPLETE", shop.Master(g))
	used := shop.Figure(t, g, "Joints", "tube_used", 2).Num
	assert.InDelta(t, 50*used, shop.Figure(t, g, "Joints", "tube_cost", 2).Num, 0.0051)
}

func TestRodPriceMissing(t *testing.T) {
	row := shop.Butt("J-1")
	row[9] = "Ti-6Al-4V"
	out, rep := shop.Price(t, shop.Small(t, row))
	assert.False(t, rep.Complete)
	g := sheetstest.Read(t, out)
	rod := shop.TableRow(t, g, "Ti-6Al-4V", 0.045)
	tube := shop.TableRow(t, g, "Ti-6Al-4V", 3.0, 0.049)
	assert.Equal(t, 0.16, g["Assumptions"][fmt.Sprint("E", rod)].Num, "density of the alloy")
	_, rep = shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("D", rod), 110.0), shop.At("Assumptions", fmt.Sprint("E", tube), 90.0)))
	assert.True(t, rep.Complete, "%v", rep.Findings)
}

// policy changes what the shop may decide of an order: sticks, minimum, rush,
// learning, overhead, gas on one bottle, a bid, other work.
func policy(t *testing.T, path string) string {
	t.Helper()
	path = shop.Assume(t, path,
		shop.Setting{Key: "rush", Value: 0.2}, shop.Setting{Key: "overhead", Value: 0.4}, shop.Setting{Key: "learning_slope", Value: 0.9},
		shop.Setting{Key: "gas_lines", Value: "together"}, shop.Setting{Key: "price_step", Value: 10.0}, shop.Setting{Key: "coupon_time", Value: 900.0, Unit: "s"},
		shop.Setting{Key: "kerf", Value: 1.6, Unit: "mm"}, shop.Setting{Key: "target_oxygen", Value: 50.0}, shop.Setting{Key: "welders", Value: 2.0})
	g := sheetstest.Read(t, path)
	cells := []shop.Cell{}
	first := shop.TableRow(t, g, "grade 2", 1.5, 0.035)
	for row := first; g["Assumptions"][fmt.Sprint("B", row)].Text == "grade 2"; row += 2 {
		cells = append(cells, shop.At("Assumptions", fmt.Sprint("G", row), "whole sticks"))
	}
	part := func(name string, car any, qty, hours, cost float64) {
		row := shop.TableRow(t, g, name)
		for i, v := range []any{car, qty, hours, cost} {
			cells = append(cells, shop.At("Assumptions", fmt.Sprintf("%c%d", 'C'+i, row), v))
		}
	}
	part("Flanges", "all", 3, 0.1, 14.35)
	part("Polish", "all", 1, 1.5, 2)
	part("Jig and first article", "all", 1, 6, 120.5)
	return shop.TypeIn(t, path, cells...)
}

func TestDecisionsOfTheOrder(t *testing.T) {
	clean, first := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	_, rep := shop.Price(t, policy(t, clean))
	require.True(t, rep.Complete, "%v", rep.Findings)
	assert.Positive(t, rep.Order["offcut_all"])
	assert.Zero(t, first.Order["offcut_all"])
	_, low := shop.Price(t, shop.Assume(t, clean, shop.Setting{Key: "minimum_order", Value: 200000.0}))
	assert.Equal(t, 200000.0, low.Order["order_price"])
	assert.Equal(t, first.Order["order_priced"], low.Order["order_priced"])
}

func TestAssumptionsInLibreOffice(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	shop.Play(t,
		shop.Scene{
			Name:  "many decisions at once",
			Heavy: true,
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
				in := policy(t, clean)
				out, _ := shop.Price(t, in)
				low, _ := shop.Price(t, shop.Assume(t, out, shop.Setting{Key: "minimum_order", Value: 200000.0}))
				return []string{in, out, low}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				shop.Equal(t, paths[1], live[1])
				shop.Equal(t, paths[2], live[2])
				for _, label := range []string{shop.LabelPrice, "Cost", "Hours", "Working days", "Offcuts, all cars"} {
					assert.InEpsilon(t, shop.OnWorkings(t, live[1], label), shop.OnWorkings(t, live[0], label), 1e-9, label)
				}
				assert.Equal(t, 200000.0, shop.OnWorkings(t, live[2], shop.LabelPrice))
			},
		},
		shop.Scene{
			Name: "units, new set-up, missing price",
			Make: func(t *testing.T) []string {
				row := shop.Butt("J-3")
				row[4], row[5] = 2.875, 0.06
				clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), row))
				in, _ := newSetup(t, shop.Assume(t, clean, shop.Set("clean_fit", 200.0, "s"), shop.Set("tie_in", 2.0, "mm"), shop.Set("argon_price", 11.0, "$/m³")))
				in = shop.TypeIn(t, in, shop.At("Joints", shop.ColSetup+"2", "big cup of the demo shop"))
				out, _ := shop.Price(t, in)
				return []string{in, out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				shop.Equal(t, paths[1], live[1])
				assert.Equal(t, shop.OnWorkings(t, live[1], "Cost"), shop.OnWorkings(t, live[0], "Cost"))
				assert.Equal(t, 1.0, shop.OnWorkings(t, live[1], shop.LabelMissing))
				assert.Equal(t, "INCOMPLETE", shop.Master(live[1]))
			},
		},
		shop.Scene{
			Name: "the missing price typed, not priced again",
			Make: func(t *testing.T) []string {
				row := shop.Butt("J-1")
				row[4], row[5] = 2.875, 0.06
				out, _ := shop.Price(t, shop.Small(t, row))
				line := shop.TableRow(t, sheetstest.Read(t, out), "grade 2", 2.875, 0.06)
				return []string{shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("E", line), 50.0))}
			},
			Check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				assert.Equal(t, "COMPLETE", shop.Master(live[0]))
			},
		},
		shop.Scene{
			Name: "lines typed below the room",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
				g := sheetstest.Read(t, clean)
				var made []string
				var ends []int
				for row := 1; row < 1000; row++ {
					if g["Assumptions"][fmt.Sprint("A", row)].Text == "room ends: insert lines above this one" {
						ends = append(ends, row)
					}
				}
				require.GreaterOrEqual(t, len(ends), 6)
				for _, row := range shop.Some(ends, 3) {
					in := shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("B", row), "one line too many"))
					out, rep := shop.Price(t, in)
					assert.False(t, rep.Complete)
					assert.True(t, shop.HasFinding(rep, "error", fmt.Sprint("Assumptions!B", row)), "%v", rep.Findings)
					made = append(made, in, out)
				}
				return made
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				for i := range paths {
					assert.Equal(t, "INCOMPLETE", shop.Master(live[i]))
					assert.Equal(t, 1.0, shop.OnWorkings(t, live[i], "Tables with a line typed below their room"))
				}
			},
		},
		shop.Scene{
			Name: "assumptions spoiled and not priced again",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
				return []string{
					shop.Assume(t, clean, shop.Setting{Key: "shop_rate", Value: "ninety-five"}),
					shop.Assume(t, clean, shop.Setting{Key: "clean_fit", Unit: "in"}),
					shop.Assume(t, clean, shop.Setting{Key: "default_setup", Value: "hope"}),
				}
			},
			Check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				for i, what := range []string{"text", "wrong unit", "no such set-up"} {
					assert.Equal(t, "INCOMPLETE", shop.Master(live[i]), what)
				}
			},
		},
		shop.Scene{
			Name: "assumptions far off and not priced again",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
				return []string{
					shop.Assume(t, clean, shop.Setting{Key: "clean_fit", Value: -3.0}),
					shop.Assume(t, clean, shop.Setting{Key: "clean_fit", Value: ""}),
					shop.Assume(t, clean, shop.Setting{Key: "gas_lines", Value: "sideways"}),
				}
			},
			Check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				for i, what := range []string{"below 0", "blank", "no such choice"} {
					assert.Equal(t, 1.0, shop.OnWorkings(t, live[i], "Assumptions outside their usual range"), what)
				}
			},
		},
		shop.Scene{
			Name: "margin of 100 %, not priced again",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
				return []string{shop.Assume(t, clean, shop.Setting{Key: "margin", Value: 1.0})}
			},
			Check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				assert.Equal(t, "INCOMPLETE", shop.Master(live[0]))
			},
		},
		shop.Scene{
			Name: "margin over 100 %, not priced again",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
				return []string{shop.Assume(t, clean, shop.Setting{Key: "margin", Value: 30.0})}
			},
			Check: func(t *testing.T, _ []string, live []sheetstest.Grid) {
				assert.Equal(t, "INCOMPLETE", shop.Master(live[0]))
			},
		},
	)
}
