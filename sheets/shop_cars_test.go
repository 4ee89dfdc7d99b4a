package sheets_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
)

func carReport(t *testing.T, rep *sheets.Report, name string) sheets.CarReport {
	t.Helper()
	for _, c := range rep.Cars {
		if c.Car == name {
			return c
		}
	}
	require.FailNow(t, "no such car", "%s: %v", name, rep.Cars)
	return sheets.CarReport{}
}

func TestCarsFollowTheOrderSheet(t *testing.T) {
	clean, first := price(t, demo("order.xlsx"))
	require.Equal(t, 8.0, carReport(t, first, "Coupe Demo-A").Ordered)
	require.Equal(t, 5400.0, carReport(t, first, "Coupe Demo-A").Figures["bid"])
	out, rep := price(t, typeIn(t, clean, typed{"Order", "B7", 11}, typed{"Order", "C7", 5500}, typed{"Order", "B9", 1}))
	assert.Equal(t, 11.0, carReport(t, rep, "Coupe Demo-A").Ordered)
	assert.Equal(t, 5500.0, carReport(t, rep, "Coupe Demo-A").Figures["bid"])
	assert.Equal(t, 1.0, carReport(t, rep, "Track Demo-C").Ordered)
	assert.Equal(t, 16.0, rep.Order["order_cars"])
	g := sheetstest.Read(t, out)
	row := tableRow(t, g, "Coupe Demo-A")
	assert.Equal(t, "'Order'!$B$7", g["Assumptions"][fmt.Sprint("C", row)].Formula, "still a link")
	assert.Equal(t, 11.0, g["Assumptions"][fmt.Sprint("C", row)].Num)

	// Typed over on Assumptions, the number is the shop's.
	_, rep = price(t, typeIn(t, out, typed{"Assumptions", fmt.Sprint("C", row), 5}))
	assert.Equal(t, 5.0, carReport(t, rep, "Coupe Demo-A").Ordered)
}

func TestNewCarOnTheList(t *testing.T) {
	clean, _ := price(t, demo("order.xlsx"))
	out, rep := price(t, typeIn(t, clean, typed{"Joints", "B7", "Estate Demo-E"}, typed{"Joints", "B8", "Estate Demo-E"}))
	require.True(t, rep.Complete, "%v", rep.Findings)
	assert.Equal(t, 1.0, carReport(t, rep, "Estate Demo-E").Ordered)
	assert.Equal(t, 2.0, carReport(t, rep, "Estate Demo-E").Figures["rows"])
	g := sheetstest.Read(t, out)
	row := tableRow(t, g, "Estate Demo-E")
	assert.Equal(t, 1.0, g["Assumptions"][fmt.Sprint("C", row)].Num)
	assert.Contains(t, g["Assumptions"][fmt.Sprint("L", row)].Text, "default", "the basis says that nobody has typed it")
	_, six := price(t, typeIn(t, out, typed{"Assumptions", fmt.Sprint("C", row), 6}))
	assert.Equal(t, 6.0, carReport(t, six, "Estate Demo-E").Ordered)
	t.Run("is told", func(t *testing.T) {
		assert.True(t, hasFinding(rep, "Estate Demo-E"), "%v", rep.Findings)
	})
}

func TestCarsOrderedOnAssumptionsWrong(t *testing.T) {
	clean, _ := price(t, small(t, butt("J-1")))
	row := tableRow(t, sheetstest.Read(t, clean), "Demo car one")
	at := fmt.Sprint("Assumptions!C", row)
	for _, v := range []any{0, -2, 1.5, "three", nil} {
		t.Run(fmt.Sprint(v), func(t *testing.T) {
			in := typeIn(t, clean, typed{"Assumptions", fmt.Sprint("C", row), v})
			out, err := priceOrNot(t, in)
			if err != nil {
				assert.ErrorContains(t, err, at)
				return
			}
			assert.Equal(t, "INCOMPLETE", master(sheetstest.Read(t, out)))
		})
	}
}

// strangeNames are what a spreadsheet's sums take for something else.
var strangeNames = []string{"012", "12", "<Demo & car> three", "=1", "TRUE", `Demo "four"`, "1e3", ">5", "O'Demo"}

func strangeOrder(t *testing.T) string {
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	require.NoError(t, f.SetSheetRow("Joints", "A1", &smallHead))
	for i, name := range strangeNames {
		row := butt(fmt.Sprint("J-", i))
		row[1], row[3] = name, i+1
		require.NoError(t, f.SetSheetRow("Joints", fmt.Sprint("A", i+2), &row))
	}
	return saved(t, f)
}

func TestCarsWithStrangeNames(t *testing.T) {
	_, rep := price(t, strangeOrder(t))
	require.True(t, rep.Complete, "%v", rep.Findings)
	require.Len(t, rep.Cars, len(strangeNames))
	for i, name := range strangeNames {
		assert.Equal(t, float64(i+1), carReport(t, rep, name).Figures["car_welds"], name)
	}
}

func TestCarsThatDifferInCaseOrBlanksAreOne(t *testing.T) {
	a, b, c := butt("J-1"), butt("J-2"), butt("J-3")
	b[1], c[1] = "DEMO CAR ONE", " Demo car one "
	_, rep := price(t, small(t, a, b, c))
	require.True(t, rep.Complete)
	require.Len(t, rep.Cars, 1)
	assert.Equal(t, 6.0, rep.Cars[0].Figures["car_welds"])
}

func TestCarOfOneSheetIsNamedAsTheSheet(t *testing.T) {
	_, rep := price(t, demo("order.xlsx"))
	assert.Equal(t, 19.0, carReport(t, rep, "Track Demo-C").Figures["rows"])
}

// occupied is a workbook that already has what we would call ours.
func occupied(t *testing.T) string {
	return edited(t, small(t, butt("J-1"), butt("J-2")), func(f *excelize.File) {
		for _, sheet := range []string{"Summary", "Assumptions"} {
			_, err := f.NewSheet(sheet)
			require.NoError(t, err)
			require.NoError(t, f.SetCellValue(sheet, "A1", "The shop's own "+sheet))
		}
		require.NoError(t, f.SetCellValue("Assumptions", "B1", 12345))
		require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "shop_rate", RefersTo: "Assumptions!$B$1"}))
		require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "Setup_Travel", RefersTo: "Assumptions!$B$1", Scope: "Joints"}))
		require.NoError(t, f.SetCellFormula("Summary", "A2", "shop_rate*2"))
	})
}

func TestShopHasSheetsAndNamesLikeOurs(t *testing.T) {
	_, want := price(t, small(t, butt("J-1"), butt("J-2")))
	in := occupied(t)
	out, rep := price(t, in)
	assert.Equal(t, want.Order, rep.Order)
	assert.True(t, rep.Complete)
	assert.True(t, hasFinding(rep, "note", "Summary 2"), "%v", rep.Findings)
	assert.True(t, hasFinding(rep, "note", "Assumptions 2"), "%v", rep.Findings)
	assert.True(t, hasFinding(rep, "note", "shop_rate_2"), "%v", rep.Findings)
	g, before := sheetstest.Read(t, out), sheetstest.Read(t, in)
	assert.Equal(t, before["Summary"], g["Summary"])
	assert.Equal(t, before["Assumptions"], g["Assumptions"])
	assert.Equal(t, "COMPLETE", g["Summary 2"]["B3"].Text)
	labour := figure(t, g, "Joints", "labour", 2).Formula
	assert.Contains(t, labour, "shop_rate_2")
	assert.Contains(t, figure(t, g, "Joints", "travel_used", 2).Formula, "setup_travel_2")
	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	found := 0
	for _, d := range f.GetDefinedName() {
		switch {
		case d.Name == "shop_rate":
			assert.Equal(t, "Assumptions!$B$1", d.RefersTo)
			found++
		case strings.EqualFold(d.Name, "shop_rate_2"):
			assert.Contains(t, d.RefersTo, "Assumptions 2")
			found++
		}
	}
	assert.Equal(t, 2, found)

	again, rep2 := price(t, out)
	assert.True(t, content(t, again) == content(t, out), "priced again, the workbook changes")
	assert.Equal(t, want.Order, rep2.Order)
	back := sheetstest.Read(t, cleared(t, out))
	assert.Equal(t, before, back)
}

func TestOurSheetsRenamedByTheShop(t *testing.T) {
	clean, first := price(t, demo("order.xlsx"))
	in := edited(t, clean, func(f *excelize.File) {
		require.NoError(t, f.SetSheetName("Summary", "What it costs"))
	})
	_, rep := price(t, in)
	assert.Equal(t, first.Order, rep.Order)
	g := sheetstest.Read(t, in)
	require.Contains(t, g, "What it costs")
	out, _ := price(t, in)
	assert.NotContains(t, sheetstest.Read(t, out), "Summary", "a second Summary is made")
}

func TestCarsInLibreOffice(t *testing.T) {
	play(t,
		whole("strange names", len(strangeNames), false, strangeOrder),
		scene{
			name: "cars ordered changed on the Order sheet",
			make: func(t *testing.T) []string {
				clean, _ := price(t, generated(t, 12, 3, false))
				in := edited(t, clean, func(f *excelize.File) {
					for row := 4; row <= 7; row++ {
						require.NoError(t, f.SetCellValue("Order", fmt.Sprint("B", row), row))
					}
				})
				out, _ := price(t, in)
				return []string{in, out}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				equal(t, paths[1], live[1])
				for _, label := range []string{labelPrice, "Cost", "Cars", "Hours"} {
					assert.InEpsilon(t, onSummary(t, live[1], label), onSummary(t, live[0], label), 1e-9, label)
				}
			},
		},
		scene{
			name: "the shop's own Summary, Assumptions and shop_rate",
			make: func(t *testing.T) []string {
				out, _ := price(t, occupied(t))
				return []string{out}
			},
			check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				stored := sheetstest.Read(t, paths[0])
				delete(stored, "Summary") // its formula never had a stored value
				n := sheetstest.Compare(t, stored, live[0], 1e-9)
				t.Logf("%d formula cells equal", n)
				assert.Equal(t, 24690.0, live[0]["Summary"]["A2"].Num, "the shop's shop_rate")
			},
		},
	)
}
