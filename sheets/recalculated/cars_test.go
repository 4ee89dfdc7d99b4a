package recalculated_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
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
	clean, first := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	require.Equal(t, 8.0, carReport(t, first, "Coupe Demo-A").Ordered)
	require.Equal(t, 8450.0, carReport(t, first, "Coupe Demo-A").Figures["bid"])
	out, rep := shop.Price(t, shop.TypeIn(t, clean, shop.At("Order", "B7", 11), shop.At("Order", "C7", 5500), shop.At("Order", "B9", 1)))
	assert.Equal(t, 11.0, carReport(t, rep, "Coupe Demo-A").Ordered)
	assert.Equal(t, 5500.0, carReport(t, rep, "Coupe Demo-A").Figures["bid"])
	assert.Equal(t, 1.0, carReport(t, rep, "Track Demo-C").Ordered)
	assert.Equal(t, 16.0, rep.Order["order_cars"])
	g := sheetstest.Read(t, out)
	row := shop.TableRow(t, g, "Coupe Demo-A")
	assert.Equal(t, "'Order'!$B$7", g["Assumptions"][fmt.Sprint("C", row)].Formula, "still a link")
	assert.Equal(t, 11.0, g["Assumptions"][fmt.Sprint("C", row)].Num)

	// Typed over on Assumptions, the number is the shop's.
	_, rep = shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", row), 5)))
	assert.Equal(t, 5.0, carReport(t, rep, "Coupe Demo-A").Ordered)
}

func TestNewCarOnTheList(t *testing.T) {
	clean, _ := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	out, rep := shop.Price(t, shop.TypeIn(t, clean, shop.At("Joints", "B7", "Estate Demo-E"), shop.At("Joints", "B8", "Estate Demo-E")))
	assert.False(t, rep.Complete, "%v", rep.Findings)
	assert.Equal(t, 1.0, carReport(t, rep, "Estate Demo-E").Ordered)
	assert.Equal(t, 2.0, carReport(t, rep, "Estate Demo-E").Figures["rows"])
	g := sheetstest.Read(t, out)
	row := shop.TableRow(t, g, "Estate Demo-E")
	assert.Equal(t, 1.0, g["Assumptions"][fmt.Sprint("C", row)].Num)
	assert.Contains(t, g["Assumptions"][fmt.Sprint("L", row)].Text, "default", "the basis says that nobody has typed it")
	_, six := shop.Price(t, shop.TypeIn(t, out, shop.At("Assumptions", fmt.Sprint("C", row), 6)))
	assert.Equal(t, 6.0, carReport(t, six, "Estate Demo-E").Ordered)
	t.Run("is told", func(t *testing.T) {
		assert.True(t, shop.HasFinding(rep, "Estate Demo-E"), "%v", rep.Findings)
	})
}

func TestCarsOrderedOnAssumptionsWrong(t *testing.T) {
	clean, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	row := shop.TableRow(t, sheetstest.Read(t, clean), "Demo car one")
	at := fmt.Sprint("Assumptions!C", row)
	for _, v := range []any{0, -2, 1.5, "three", nil} {
		t.Run(fmt.Sprint(v), func(t *testing.T) {
			in := shop.TypeIn(t, clean, shop.At("Assumptions", fmt.Sprint("C", row), v))
			out, err := shop.PriceOrNot(t, in)
			if err != nil {
				assert.ErrorContains(t, err, at)
				return
			}
			assert.Equal(t, "INCOMPLETE", shop.Master(sheetstest.Read(t, out)))
		})
	}
}

// strangeNames are what a spreadsheet's sums take for something else.
var strangeNames = []string{"012", "12", "<Demo & car> three", "=1", "TRUE", `Demo "four"`, "1e3", ">5", "O'Demo"}

func strangeOrder(t *testing.T) string {
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	require.NoError(t, f.SetSheetRow("Joints", "A1", &shop.SmallHead))
	for i, name := range strangeNames {
		row := shop.Butt(fmt.Sprint("J-", i))
		row[1], row[3] = name, i+1
		require.NoError(t, f.SetSheetRow("Joints", fmt.Sprint("A", i+2), &row))
	}
	return shop.Saved(t, f)
}

func TestCarsWithStrangeNames(t *testing.T) {
	_, rep := shop.Price(t, strangeOrder(t))
	require.Len(t, rep.Reasons, 1, "names that differ by a sign are asked about, and priced apart: %v", rep.Findings)
	require.Equal(t, book.CheckCars, rep.Reasons[0].Check)
	require.Len(t, rep.Cars, len(strangeNames))
	for i, name := range strangeNames {
		assert.Equal(t, float64(i+1), carReport(t, rep, name).Figures["car_welds"], name)
	}
}

func TestCarsThatDifferInCaseOrBlanksAreOne(t *testing.T) {
	a, b, c := shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")
	b[1], c[1] = "DEMO CAR ONE", " Demo car one "
	_, rep := shop.Price(t, shop.Small(t, a, b, c))
	require.True(t, rep.Complete)
	require.Len(t, rep.Cars, 1)
	assert.Equal(t, 6.0, rep.Cars[0].Figures["car_welds"])
}

func TestCarOfOneSheetIsNamedAsTheSheet(t *testing.T) {
	_, rep := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	assert.Equal(t, 19.0, carReport(t, rep, "Track Demo-C").Figures["rows"])
}

// occupied is a workbook that already has what we would call ours.
func occupied(t *testing.T) string {
	return shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")), func(f *excelize.File) {
		for _, sheet := range []string{"Workings", "Assumptions"} {
			_, err := f.NewSheet(sheet)
			require.NoError(t, err)
			require.NoError(t, f.SetCellValue(sheet, "A1", "The shop's own "+sheet))
		}
		require.NoError(t, f.SetCellValue("Assumptions", "B1", 12345))
		require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "shop_rate", RefersTo: "Assumptions!$B$1"}))
		require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "Setup_Travel", RefersTo: "Assumptions!$B$1", Scope: "Joints"}))
		require.NoError(t, f.SetCellFormula("Workings", "A2", "shop_rate*2"))
	})
}

func TestShopHasSheetsAndNamesLikeOurs(t *testing.T) {
	_, want := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	in := occupied(t)
	out, rep := shop.Price(t, in)
	assert.Equal(t, want.Order, rep.Order)
	assert.True(t, rep.Complete)
	assert.True(t, shop.HasFinding(rep, "note", "Workings 2"), "%v", rep.Findings)
	assert.True(t, shop.HasFinding(rep, "note", "Assumptions 2"), "%v", rep.Findings)
	assert.True(t, shop.HasFinding(rep, "note", "shop_rate_2"), "%v", rep.Findings)
	g, before := sheetstest.Read(t, out), sheetstest.Read(t, in)
	assert.Equal(t, before["Workings"], g["Workings"])
	assert.Equal(t, before["Assumptions"], g["Assumptions"])
	assert.Equal(t, "COMPLETE", g["Workings 2"]["B3"].Text)
	labour := shop.Figure(t, g, "Joints", "labour", 2).Formula
	assert.Contains(t, labour, "shop_rate_2")
	assert.Contains(t, shop.Figure(t, g, "Joints", "travel_used", 2).Formula, "setup_travel_2")
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

	again, rep2 := shop.Price(t, out)
	assert.True(t, shop.Content(t, again) == shop.Content(t, out), "priced again, the workbook changes")
	assert.Equal(t, want.Order, rep2.Order)
	back := sheetstest.Read(t, shop.Cleared(t, out))
	assert.Equal(t, before, back)
}

func TestOurSheetsRenamedByTheShop(t *testing.T) {
	clean, first := shop.Price(t, shop.Unpriced(t, "order.xlsx"))
	in := shop.Edited(t, clean, func(f *excelize.File) {
		require.NoError(t, f.SetSheetName("Workings", "What it costs"))
	})
	_, rep := shop.Price(t, in)
	assert.Equal(t, first.Order, rep.Order)
	g := sheetstest.Read(t, in)
	require.Contains(t, g, "What it costs")
	out, _ := shop.Price(t, in)
	assert.NotContains(t, sheetstest.Read(t, out), "Workings", "a second Summary is made")
}

func TestCarsInLibreOffice(t *testing.T) {
	shop.Play(t,
		whole("strange names", len(strangeNames), false, strangeOrder),
		shop.Scene{
			Name: "cars ordered changed on the Order sheet",
			Make: func(t *testing.T) []string {
				clean, _ := shop.Price(t, shop.Generated(t, 12, 3, false))
				in := shop.Edited(t, clean, func(f *excelize.File) {
					for row := 4; row <= 7; row++ {
						require.NoError(t, f.SetCellValue("Order", fmt.Sprint("B", row), row))
					}
				})
				out, _ := shop.Price(t, in)
				return []string{in, out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				shop.Equal(t, paths[1], live[1])
				for _, label := range []string{shop.LabelPrice, "Cost", "Cars", "Hours"} {
					assert.InEpsilon(t, shop.OnWorkings(t, live[1], label), shop.OnWorkings(t, live[0], label), 1e-9, label)
				}
			},
		},
		shop.Scene{
			Name: "the shop's own Summary, Assumptions and shop_rate",
			Make: func(t *testing.T) []string {
				out, _ := shop.Price(t, occupied(t))
				return []string{out}
			},
			Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
				stored := sheetstest.Read(t, paths[0])
				delete(stored, "Workings") // its formula never had a stored value
				n := sheetstest.Compare(t, stored, live[0], 1e-9)
				t.Logf("%d formula cells equal", n)
				assert.Equal(t, 24690.0, live[0]["Workings"]["A2"].Num, "the shop's shop_rate")
			},
		},
	)
}
