package account_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/settling"
	"seamtally/sheets/sheetstest/shop"
)

// tab is a sheet of a workbook as a shop might keep it.
type tab struct {
	title string
	rows  []shop.Row
}

// workbook writes tabs into a workbook.
func workbook(t *testing.T, tabs ...tab) string {
	f := excelize.NewFile()
	for i, tab := range tabs {
		if i == 0 {
			require.NoError(t, f.SetSheetName("Sheet1", tab.title))
		} else {
			_, err := f.NewSheet(tab.title)
			require.NoError(t, err)
		}
		for n, row := range tab.rows {
			cell, err := excelize.CoordinatesToCellName(1, n+1)
			require.NoError(t, err)
			cells := []any(row)
			require.NoError(t, f.SetSheetRow(tab.title, cell, &cells))
		}
	}
	return shop.Saved(t, f)
}

// coupe is a list with nothing odd in it, with more columns.
func coupe(more ...shop.Row) tab {
	rows := []shop.Row{
		{"Joint no", "Kind", "OD (in)", "Wall (in)"}, {"A1", "butt", 3, 0.047}, {"A2", "butt", 3, 0.047}, {"A3", "butt", 3, 0.047},
	}
	for i, row := range more {
		for len(rows) <= i {
			rows = append(rows, shop.Row{})
		}
		rows[i] = append(rows[i], row...)
	}
	return tab{"Coupe", rows}
}

// ofCar is a list of the car Coupe under marks that begin so.
func ofCar(title, mark string) tab {
	return tab{title, []shop.Row{
		{"Joint no", "Car", "Kind", "OD (in)", "Wall (in)", "Qty"}, {mark + "1", "Coupe", "butt", 3, 0.047, 2}, {mark + "2", "Coupe", "butt", 2.5, 0.049, 1}, {mark + "3", "Coupe", "fillet", 3, 0.049, 4},
	}}
}

// What could change the price and is not understood keeps the order from being
// complete, and is told with its cell; what could not is nobody's business.
func TestAccount(t *testing.T) {
	pieces := []shop.Row{{"Qty"}, {2}, {1}, {3}}
	with := func(columns ...[]shop.Row) tab {
		all := make([]shop.Row, 4)
		for _, c := range append([][]shop.Row{pieces}, columns...) {
			for i, row := range c {
				all[i] = append(all[i], row...)
			}
		}
		return coupe(all...)
	}
	column := func(cells ...any) []shop.Row {
		var out []shop.Row
		for _, c := range cells {
			out = append(out, shop.Row{c})
		}
		return out
	}
	order := tab{"Order", []shop.Row{{"Car", "Cars ordered"}, {"Coupe", 2}}}
	for _, c := range []struct {
		name  string
		tabs  []tab
		cell  string // of what is not settled; "" = all is
		says  string
		offer string // an answer that the message offers
	}{
		{"a plain list", []tab{with()}, "", "", ""},
		{"pieces under words in no table", []tab{coupe(column("To weld", 2, 4, 1)...)}, "Coupe!E1", "may be Qty per car", `--settle 'Coupe!E=qty'`},
		{"pieces in words under words in no table", []tab{coupe(column("To weld", "two", "four", "one")...)}, "Coupe!E1", "may be Qty per car", `--settle 'Coupe!E=qty'`},
		{"pieces in words, and where they are", []tab{coupe(column("To weld", "two places", "vier", "one")...)}, "Coupe!E1", "may be Qty per car", ""},
		{"pieces in words under a heading of the shop's own", []tab{coupe(column("Page", "two", "four", "two")...)}, "Coupe!E1", "may be Qty per car", ""},
		{"passes in words", []tab{with(column("Runs round", "two", "one", "two"))}, "Coupe!F1", "holds numbers", ""},
		{"pieces in words, read", []tab{coupe(column("Qty", "two", "four", "one")...)}, "", "", ""},
		{"pieces in a word beside the joint", []tab{coupe(column("Notes", "two off", nil, nil)...)}, "Coupe!E2", "speaks of 2 pieces", ""},
		{"words that begin with a number", []tab{with(column("How made", "one piece", "two halves", "drawn"))}, "", "", ""},
		{"pieces that count up", []tab{coupe(column("To weld", 1, 2, 3)...)}, "Coupe!E1", "may be Qty per car", ""},
		{"rows that are counted beside pieces", []tab{with(column("Nr.", 1, 2, 3), column("On sheet", 11, 12, 13))}, "", "", ""},
		{"numbers without a heading", []tab{with(column(nil, 7.5, 9, 10))}, "Coupe!F1", "without a heading", `'Coupe!F=own'`},
		{"lengths as text", []tab{with(column("Runs on", `7"`, `9"`, `10"`))}, "Coupe!F1", "holds numbers", ""},
		{"kinds under another word", []tab{coupeWithout("Kind", column("Sort of seam", "butt", "pie cut", "butt"))}, "Coupe!E1", "may be Kind", `'Coupe!E=kind'`},
		{"a gauge beside a wall", []tab{with(column("Gauge", 18, 18, 20))}, "Coupe!F1", "Are these gauge numbers?", ""},
		{"two walls that differ", []tab{with(column("Wall thickness (in)", 0.047, 0.047, 0.049))}, "Coupe!F1", "the two differ", ""},
		{"two walls that are the same", []tab{with(column("Wall thickness (in)", 0.047, 0.047, 0.047))}, "", "", ""},
		{"many columns of numbers", []tab{with(column("Colli", 7, 8, 3), column("Foo", 1, 4, 2))}, "Coupe!F1", "2 columns beside the joints", `'Coupe!*=own'`},
		{"columns of the shop's own", []tab{with(column("Drawing", 1001, 1002, 1007), column("Rev", 2, 2, 3), column("Weight (kg)", 1.2, 1.4, 1.1),
			column("Notes", "x", "see 2", "y"), column("Part", "D-1", "D-2", "D-9"), column("Approved", "yes", "no", "yes"))}, "", "", ""},
		{"headings that say by a word that they are the shop's own", []tab{with(column("Flange price", 14, 18, 14), column("Jig no", 2, 2, 3), column("Torque (Nm)", 20, 25, 20),
			column("Tacked", "yes", "no", "yes"), column("Wt (lb)", 1.2, 2.1, 0.4), column("Design temp", 650, 600, 600))}, "", "", ""},
		{"such a heading, and no column of pieces", []tab{coupe(column("Jig no", 2, 1, 2)...)}, "Coupe!E1", "may be Qty per car", `'Coupe!E=own'`},
		{"people called by numbers in words", []tab{coupe(column("Welder", "two", "one", "two")...)}, "", "", ""},
		{"pieces in a mark", []tab{{"Coupe", []shop.Row{{"Joint no", "OD (in)", "Wall (in)"}, {"A-01 x 2", 3, 0.047}, {"A-02", 3, 0.047}}}, order}, "Coupe!A2", "speaks of 2 pieces", `'Coupe!A=mark'`},
		{"a title that stands under Section", []tab{{"Coupe", []shop.Row{{"Joint no", "Where", "OD (in)", "Wall (in)", "Qty"}, {"Fallrohr"}, {"A1", "Fallrohr", 3, 0.047, 1}, {}, {"Einlass"}, {"A2", "Einlass", 3, 0.047, 1}}}, order}, "", "", ""},
		{"bought in, ordered or not", []tab{with(), {"Purchase list", []shop.Row{{"Article", "Ordered"}, {"clamp", "yes"}, {"flex", "no"}}}}, "", "", ""},
		{"cars ordered, on a sheet without a car", []tab{with(), {"Purchase list", []shop.Row{{"Article", "Ordered"}, {"exhaust", "two"}}}}, "Purchase list!B1", "is a heading of the cars ordered", ""},
		{"a share over the joints", []tab{{"Coupe", []shop.Row{{"VAT 20 %"}, {"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"A1", 3, 0.047, 1}}}}, "", "", ""},
		{"cars in a word", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered"}, {"Coupe", "two"}}}}, "Order!B2", "is no number", "type 2"},
		{"a length in mm among inches", []tab{with(column("Foo (mm)", 88.9, 596.9, 711.2))}, "Coupe!F1", "CLR or Weld length or Tube length", `'Coupe!F=own'`},
		{"the same without a unit", []tab{with(column("Foo", 88.9, 596.9, 711.2))}, "Coupe!F1", "CLR or Weld length or Tube length", `'Coupe!F=own'`},
		{"no unit of an input", []tab{with(column("Foo (kg)", 12, 2, 3))}, "", "", ""},
		{"all zero", []tab{with(column("Foo", 0, 0, 0))}, "", "", ""},
		{"a list with a gauge for its wall", []tab{with(), {"Spyder", []shop.Row{{"Joint no", "Kind", "OD (in)", "Gauge", "Qty"}, {"B1", "butt", 3, 18, 2}}}},
			"Spyder!A1", `lacks Wall; "Gauge" is questioned`, `--settle 'Spyder=own'`},
		{"sizes under words in no table", []tab{with(), {"Spyder", []shop.Row{{"Piece", "Across", "Skin"}, {"B1", 3, 0.047}, {"B2", 2.5, 0.047}, {"B3", 3, 0.049}}}},
			"Spyder!B2", "look like diameters and walls", ""},
		{"a list on its side", []tab{with(), {"Spyder", []shop.Row{{"Joint no", "B1", "B2"}, {"OD (in)", 3, 3}, {"Wall (in)", 0.047, 0.047}}}}, "Spyder!A3", "below each other", `'Spyder=own'`},
		{"rates, people and dates", []tab{with(), {"Rates", []shop.Row{{"Item", "Rate"}, {"shop", 95}, {"argon", 0.35}, {"rod", 1.2}}}, {"People", []shop.Row{{"Who", "Phone"}, {"nobody", "none"}}}}, "", "", ""},
		{"a car beside a number", []tab{with(), {"Week", []shop.Row{{"Coupe", 3}}}}, "Week!A1", `names the car "Coupe" beside a whole number`, ""},
		{"a car beside a number, and known", []tab{with(), order, {"Week", []shop.Row{{"Coupe", 3}}}}, "", "", ""},
		{"another revision", []tab{renamed(with(), "Coupe rev A"), renamed(with(), "Coupe rev B")}, "Coupe rev B!A1", "may be another revision", `'Coupe rev A=own'`},
		{"cars as text", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered"}, {"Coupe", "a few"}}}}, "Order!B2", "is no number", ""},
		{"a car twice", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered"}, {"Coupe", 2}, {"Coupe", 3}}}}, "Order!A3", "on the list of cars twice", ""},
		{"cars added up", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered"}, {"Coupe", 2}, {"Total", 2}}}}, "", "", ""},
		{"a car that is not on the list", []tab{renamed(with(), "Coupé"), order}, "Coupé!A2", `if it is "Coupe", spell it so`, ""},
		{"a blank number of cars", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered"}, {"Coupe", nil}, {"Prices hold for a month", nil}}}}, "Order!B2", "is blank", ""},
		{"two lists of cars", []tab{with(), order, renamed(order, "Order 2")}, "Order!A1", "listed on Order 2 too", ""},
		{"words among joints", []tab{{"Joints", []shop.Row{
			{"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"Coupe"}, {"A1", 3, 0.047, 1}, {"Spyder"}, {"A1", 3, 0.047, 1}}}}, "Joints!A2", "may be the name of a car", `'Joints!A2:A4=own'`},
		{"words on a place among joints", []tab{{"Joints", []shop.Row{
			{"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"Front"}, {"A1", 3, 0.047, 1}, {}, {"Rear section, in"}, {"A2", 3, 0.047, 1}}}}, "", "", ""},
		{"pieces in a note beside other pieces", []tab{with(column("Notes", "2 off", nil, nil), column("Hand", "L", "R", "L")), order}, "", "", ""},
		{"pieces in a note that contradict", []tab{with(column("Notes", nil, nil, "2 off")), order}, "Coupe!F4", "the row gives 3: 3 is taken", `'Coupe!F=own'`},
		{"one piece in a note that contradicts", []tab{with(column("Notes", nil, nil, "boss, 1 off")), order}, "Coupe!F4", "speaks of 1 pieces", ""},
		{"pieces in a mark that contradict", []tab{{"Coupe", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"A1 x 2", 3, 0.047, 4}}}, order}, "Coupe!A2", "speaks of 2 pieces", `'Coupe!A=mark'`},
		{"sizes and sides in a note", []tab{{"Coupe", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Qty", "Notes"}, {"A1", 3, 0.049, 4, "3 x 0.049"},
			{"A2", 3, 0.049, 4, "2x left, 2x right"}, {"A3", 3, 0.049, 4, "2 each side"}}}, order}, "", "", ""},
		{"a revision, and no column of pieces", []tab{coupe(column("Rev", 2, 1, 2)...)}, "Coupe!E1", "may be Qty per car", `'Coupe!E=own'`},
		{"a revision and a page, and no column of pieces", []tab{coupe(append([]shop.Row{{"Rev", "Page"}}, []shop.Row{{2, 1}, {1, 1}, {2, 4}}...)...)}, "Coupe!E1", "2 columns beside the joints", `'Coupe!*=own'`},
		{"rows that are counted, and no column of pieces", []tab{coupe(append([]shop.Row{{"Sheet no", "Page", "Rev"}}, []shop.Row{{1, 10, 1}, {2, 20, 1}, {3, 30, 1}}...)...)}, "", "", ""},
		{"numbers of drawings, and no column of pieces", []tab{coupe(column("Drawing no", 1001, 1004, 1002)...)}, "", "", ""},
		{"letters among revisions, and no column of pieces", []tab{coupe(column("Rev", 2, "A", 3)...)}, "", "", ""},
		{"small numbers as marks, and no column of pieces", []tab{{"Coupe", []shop.Row{{"Item", "OD (in)", "Wall (in)"}, {2, 3, 0.047}, {4, 3, 0.049}, {2, 2, 0.047}}}}, "Coupe!A4", "may be their pieces", `'Coupe!A=qty'`},
		{"small numbers as marks of two cars", []tab{{"Coupe", []shop.Row{{"Item", "Car", "OD (in)", "Wall (in)"}, {1, "A", 3, 0.047}, {2, "A", 3, 0.049}, {1, "B", 3, 0.047}, {2, "B", 3, 0.049}}},
			{"Order", []shop.Row{{"Car", "Cars ordered"}, {"A", 1}, {"B", 1}}}}, "", "", ""},
		{"sizes in both units under groups and beside them", []tab{{"Coupe", []shop.Row{
			{"Tube data", "OD (in)", "Tube data", "Wall (in)", "Qty"}, {"OD (mm)", nil, "Wall (mm)"}, {63.5, 2.5, 1.2, 0.047244, 2}}}, order}, "", "", ""},
		{"sizes in both units under groups that differ", []tab{{"Coupe", []shop.Row{
			{"Tube data", "OD (in)", "Tube data", "Wall (in)", "Qty"}, {"OD (mm)", nil, "Wall (mm)"}, {63.5, 3, 1.2, 0.047244, 2}}}, order}, "Coupe!B2", "the two differ", ""},
		{"a copy with other marks", []tab{ofCar("Sheet1", "A"), ofCar("Sheet2", "B"), order}, "Sheet2!A1", "in all but their marks", `'Sheet2!A=mark'`},
		{"both sides of a car", []tab{ofCar("Left", "A"), ofCar("Right", "B"), order}, "", "", ""},
		{"front and rear of a car", []tab{ofCar("Page 1", "A"), {"Page 2", append(ofCar("", "B").rows[:3:3], shop.Row{"B3", "Coupe", "butt", 3.5, 0.049, 5})}, order}, "", "", ""},
		{"a list beside a list, further down", []tab{{"Joints", []shop.Row{
			{nil, nil, nil, "OD (in)", "Wall (in)"}, {nil, nil, nil, 3, 0.047}, {"OD (in)", "Wall (in)", nil, 3, 0.049}, {2, 0.049}}}},
			"Joints!D3", "columns of the list that begins at Joints!D1", ""},
		{"a list beside a list, below the first rows", []tab{{"Joints", append(append([]shop.Row{{"OD (in)", "Wall (in)", "Qty"}},
			slices.Repeat([]shop.Row{{3, 0.047, 1}}, 50)...), shop.Row{3, 0.047, 1, nil, "OD (in)", "Wall (in)"}, shop.Row{3, 0.047, 1, nil, 2, 0.049})}},
			"Joints!E52", "a second joint list stands beside the first", ""},
		{"a title beside a joint", []tab{{"Joints", []shop.Row{
			{nil, nil, nil, "OD (in)", "Wall (in)"}, {"Spyder", nil, nil, 3, 0.047}, {"OD (in)", "Wall (in)"}, {2, 0.049}}}},
			"Joints!A2", "may be the name of a car", `'Joints!A2=own'`},
		{"lists one below the other, with other columns", []tab{{"Joints", []shop.Row{
			{"Joint no", "OD (in)", "Wall (in)", "Notes"}, {"A1", 3, 0.047, "check fit"}, {"OD (in)", "Wall (in)", "Kind", "Qty"}, {3, 0.047, "butt", 1}}}}, "", "", ""},
		{"words below a blank row", []tab{{"Joints", []shop.Row{
			{"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"A1", 3, 0.047, 1}, {}, {"Not on this order"}, {"A2", 3, 0.047, 1}}}}, "Joints!A4", "not part of the order", `'Joints!A4=own'`},
		{"assemblies that are counted", []tab{{"Joints", []shop.Row{
			{"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"A1", 3, 0.047, 1}, {"Rear silencer (2 off)"}, {"A2", 3, 0.047, 1}}}}, "Joints!A3", "how many there are of them", ""},
		{"a car and its number among joints", []tab{{"Joints", []shop.Row{
			{"Joint no", "Qty", "OD (in)", "Wall (in)"}, {"A1", 1, 3, 0.047}, {"DX-2", 4}, {"A2", 1, 3, 0.047}}}}, "Joints!A3", "the name of a car", ""},
		{"two cars in a cell", []tab{cars("Coupe", "Coupe & Spyder", "Spyder")}, "Joints!E3", "may name 2 cars", ""},
		{"a car that is all cars", []tab{cars("Coupe", "all", "Spyder")}, "Joints!E3", "may mean several cars", ""},
		{"a car with another sign", []tab{cars("DX-1", "DX 1", "DX-2")}, "Joints!E3", `may be "DX-1" of Joints!E2`, ""},
		{"a car with another letter", []tab{cars("Demo spyder", "Demo spider", "Demo track")}, "Joints!E3", "spelled otherwise", ""},
		{"cars that a letter or a number tells apart", []tab{cars("Car A", "Car B", "Car 12")}, "", "", ""},
		{"cars under words in no table", []tab{{"Joints", []shop.Row{{"Joint no", "Section", "OD (in)", "Wall (in)", "Belongs to"},
			{"A1", "front", 3, 0.047, "Coupe"}, {"A2", "rear", 3, 0.047, "Coupe"}, {"B1", "front", 3, 0.047, "Spyder"}, {"B2", "rear", 3, 0.047, "Spyder"}}}},
			"Joints!E1", "may be Car", `'Joints!E=car'`},
		{"cars named on their first rows under words in no table", []tab{{"Joints", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Belongs to"},
			{"A1", 3, 0.047, "Coupe"}, {"A2", 3, 0.047}, {"B1", 3, 0.047, "Spyder"}, {"B2", 3, 0.047}}}},
			"Joints!D1", "may be Car", ""},
		{"cars counted in a sheet's title", []tab{renamed(with(), "Coupe x6")}, "Coupe x6!A1", "the sheet's title", ""},
		{"a sheet named for a car with a number", []tab{renamed(with(), "DX-2")}, "", "", ""},
		{"cars counted above the list", []tab{above(with(), shop.Row{"Sets to build", 6})}, "Coupe!B1", "stands above the joints", ""},
		{"pages and drawings above the list", []tab{above(with(), shop.Row{"page", 2, "of", 3}, shop.Row{"Exhaust, drawing", 47})}, "", "", ""},
		{"cars listed below the joints", []tab{below(with(), shop.Row{}, shop.Row{"Car", "Cars ordered"}, shop.Row{"Coupe", 6})}, "Coupe!B6", "stands below the joints", ""},
		{"numbers in notes below the joints", []tab{below(with(), shop.Row{}, shop.Row{"Pack 2 off in a box of 6"})}, "", "", ""},
		{"a row for each car", []tab{with(), {"Build", []shop.Row{{"C-1", "Coupe"}, {"C-2", "Coupe"}}}}, "Build!B2", "more than once", `'Build=own'`},
		{"cars along a row", []tab{with(), {"Build", []shop.Row{{"Build of", "Coupe"}, {"pieces", 4}}}}, "Build!B2", "above a whole number", ""},
		{"cars and their numbers in a cell", []tab{with(), {"Build", []shop.Row{{"Coupe: 4"}}}}, "Build!A1", `names the car "coupe" and a number`, ""},
		{"cars that are named without a number", []tab{with(), {"Notes", []shop.Row{{"Coupe first, then the rest"}, {"Coupe"}}}}, "", "", ""},
		{"a car of no joints", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered"}, {"Coupe", 2}, {"Spare tips", 12}}}}, "Order!A3", "has no joints", ""},
		{"bids that may be for all cars", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered", "Bid"}, {"Coupe", 2, 9000}}}}, "Order!C1", "for one car or for all", ""},
		{"bids for one car", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered", "Bid"}, {"Coupe", 1, 9000}}}}, "", "", ""},
		{"prices beside the cars", []tab{with(), {"Order", []shop.Row{{"Car", "Cars ordered", "Price"}, {"Coupe", 2, 9000}}}}, "Order!C2", `the column "Price"`, ""},
		{"marks of the same car again", []tab{cars("Coupe", "Coupe", "Coupe"), order, {"More", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Car"}, {"A1", 2.5, 0.035, "Coupe"}}}},
			"More!A1", "have marks that joints of the same car on Joints have", `'Joints=own'`},
		{"other marks of the same car", []tab{cars("Coupe", "Coupe", "Coupe"), order, {"More", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Car"}, {"B1", 3, 0.047, "Coupe"}}}}, "", "", ""},
		{"a total that repeats a size", []tab{{"Coupe", []shop.Row{
			{"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"A1", 3, 0.047, 1}, {"A2", 3, 0.047, 2}, {"Subtotal 3 in", 3, 0.047, 3}, {"A3", 3, 0.047, 1}}}}, "", "", ""},
		{"a total that differs", []tab{with(), {"Track", []shop.Row{
			{"Mark", "Car", "OD (in)", "Wall (in)", "Pieces"}, {"T1", "Coupe", 2, 0.035, 2}, {"T2", "Coupe", 3, 0.047, 3}, {"Total", nil, nil, nil, 6}}}}, "Track!E4", "the total gives 6, and the joints above it come to 5 pieces on 2 rows", `'Track!E4=own'`},
		{"a total of a size, on a row with that size", []tab{{"Track", []shop.Row{
			{"Mark", "Car", "OD (in)", "Wall (in)", "Pieces"}, {"T1", "Coupe", 3, 0.047, 2}, {"T2", "Coupe", 2, 0.035, 4}, {"T3", "Coupe", 3, 0.047, 1}, {"Subtotal", nil, 3, 0.047, 3}}}, order}, "", "", ""},
		{"pieces without a size, below", []tab{{"Track", []shop.Row{
			{"Mark", "Car", "OD (in)", "Wall (in)", "Pieces"}, {"T1", "Coupe", 2, 0.035, 2}, {"T2", "Coupe", 3, 0.047, 3}, {"T3", nil, nil, nil, 5}}}, order}, "Track!C4", "gives pieces, and no size", `'Track!E4=own'`},
		{"pieces without a size, between", []tab{{"Track", []shop.Row{
			{"Mark", "Car", "OD (in)", "Wall (in)", "Pieces"}, {"T1", "Coupe", 2, 0.035, 2}, {"T2", nil, nil, nil, 2}, {"T3", "Coupe", 3, 0.047, 3}}}, order}, "Track!C3", "gives pieces, and no size", ""},
		{"pieces of what is no tube", []tab{{"Track", []shop.Row{
			{"Mark", "Car", "OD (in)", "Wall (in)", "Pieces"}, {"T1", "Coupe", 2, 0.035, 2}, {"T2", "Coupe", 3, 0.047, 3}, {}, {"Brackets", nil, nil, nil, 4}}}, order}, "Track!C5", "gives pieces, and no size", ""},
		{"joints above a list, under headings of no list", []tab{{"Track", []shop.Row{
			{"Mark", "Dia.", "Th", "Pieces"}, {"T1", 2, 0.035, 2}, {"T2", 3, 0.047, 3}, {"T3", 2.5, 0.049, 1}, {},
			{"Mark", "Car", "OD (in)", "Wall (in)", "Pieces"}, {"A1", "Coupe", 2, 0.035, 2}}}, order}, "Track!A1", "above the list is not read", `'Track!A1=own'`},
		{"a list of two headings far down", []tab{{"Track", append(make([]shop.Row, 45), shop.Row{"OD (in)", "Wall (in)"}, shop.Row{2, 0.035},
			shop.Row{}, shop.Row{"Mark", "OD (in)", "Wall (in)", "Qty"}, shop.Row{"A1", 2, 0.035, 2})}}, "", "", ""},
		{"set-ups under a heading of the shop's own", []tab{with(column("Cup", "trailing shield, on rolls", "cup", "cup"))}, "Coupe!F1", "may be Shielding set-up", "--settle 'Coupe!F=setup'"},
		{"words that are no set-ups there", []tab{with(column("Tacked", "yes", "no", "yes"), column("Cup", "#12", "#12", "#10"))}, "", "", ""},
		{"marks written ahead", []tab{{"Track", []shop.Row{
			{"Mark", "Car", "OD (in)", "Wall (in)", "Pieces"}, {"T1", "Coupe", 2, 0.035, 2}, {"T2"}, {"T3"}}}, order}, "", "", ""},
		{"totals of pieces, rows, a block, a size, all cars", []tab{order, {"Track", []shop.Row{
			{"Mark", "Car", "OD (in)", "Wall (in)", "Pieces"}, {"T1", "Coupe", 2, 0.035, 2}, {"T2", "Coupe", 3, 0.047, 3}, {"Total", nil, nil, nil, 5},
			{"T3", "Coupe", 3, 0.047, 4}, {"Total of these", nil, nil, nil, 4}, {"Total", nil, nil, nil, 9}, {"Total, rows", nil, nil, nil, 3}, {"Total 3 in", nil, nil, nil, 7}, {"Total of both cars", nil, nil, nil, 18}}}}, "", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := workbook(t, c.tabs...)
			_, rep := shop.Price(t, in)
			var open []book.Finding
			for _, f := range rep.Findings {
				if f.Level == book.LevelError {
					open = append(open, f)
				}
			}
			assert.Equal(t, c.cell == "", rep.Complete, "%v", rep.Findings)
			if c.cell == "" {
				assert.Empty(t, open)
				return
			}
			require.NotEmpty(t, open)
			assert.Equal(t, c.cell, open[0].Cell)
			assert.Contains(t, open[0].What+open[0].Fix, c.says)
			assert.Contains(t, open[0].Fix, c.offer)
		})
	}
}

// cars is a list with a car beside each joint.
func cars(names ...string) tab {
	t := tab{"Joints", []shop.Row{{"Joint no", "Kind", "OD (in)", "Wall (in)", "Car"}}}
	for i, n := range names {
		t.rows = append(t.rows, shop.Row{fmt.Sprintf("A%d", i+1), "butt", 3, 0.047, n})
	}
	return t
}

// above and below are a list with more rows around it.
func above(t tab, rows ...shop.Row) tab { return tab{t.title, append(rows, t.rows...)} }

func below(t tab, rows ...shop.Row) tab { return tab{t.title, append(t.rows, rows...)} }

// coupeWithout is the list with one of its headings, and what is below, taken out.
func coupeWithout(heading string, more []shop.Row) tab {
	c := coupe(more...)
	for i, h := range c.rows[0] {
		if h == heading {
			for n := range c.rows {
				c.rows[n][i] = nil
			}
		}
	}
	return c
}

func renamed(c tab, title string) tab { return tab{title, c.rows} }

// A total is no joint, and what else has sizes but may be none is left out with a
// question.
func TestRowsInDoubt(t *testing.T) {
	head := shop.Row{"Joint no", "OD (in)", "Wall (in)", "Qty"}
	rep := shop.ReportOf(t, workbook(t, tab{"Coupe", []shop.Row{head, {"A1", 3, 0.047, 2}, {"Total bleed", 3, 0.047, 1}}}))
	assert.Equal(t, []int{2, 1, 1}, []int{rep.Read, rep.Priced, rep.LeftOut})
	assert.True(t, shop.HasFinding(rep, `"Total bleed" is the word for a total`), "%v", rep.Findings)

	struck := shop.Edited(t, workbook(t, tab{"Coupe", []shop.Row{head, {"A1", 3, 0.047, 2}, {"A2", 3, 0.047, 1}}}), func(f *excelize.File) {
		style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Coupe", "A3", "D3", style))
	})
	rep = shop.ReportOf(t, struck)
	assert.Equal(t, []int{2, 1, 1}, []int{rep.Read, rep.Priced, rep.LeftOut})
	assert.True(t, shop.HasFinding(rep, "the row is struck out"), "%v", rep.Findings)
}

// A car that is named on the first row of its block is that of the rows below.
func TestCarOfABlock(t *testing.T) {
	rows := []shop.Row{{"Car", "Joint no", "OD (in)", "Wall (in)", "Qty"}, {"Coupe", "A1", 3, 0.047, 2}, {nil, "A2", 3, 0.047, 1}, {"Spyder", "B1", 3, 0.047, 4}, {nil, "B2", 3, 0.047, 8}}
	block := shop.ReportOf(t, workbook(t, tab{"Joints", rows}))
	for i := range rows[1:] {
		rows[i+1][0] = []any{"Coupe", "Coupe", "Spyder", "Spyder"}[i]
	}
	plain := shop.ReportOf(t, workbook(t, tab{"Joints", rows}))
	require.Len(t, block.Cars, 2)
	assert.Equal(t, plain.Cars, block.Cars)
	assert.True(t, shop.HasFinding(block, `the one named above, "Coupe", is taken`), "%v", block.Findings)
}

// What is settled on the command line is kept in the workbook, and no later run asks
// again.
func TestSettle(t *testing.T) {
	in := workbook(t, coupe([]shop.Row{{"To weld", "Colli"}, {2, 7}, {4, 8}, {1, 3}}...), tab{"Week", []shop.Row{{"Coupe", 3}}})
	price := func(in string, settle ...string) *sheets.Report {
		var all []settling.Settling
		for _, text := range settle {
			s, err := settling.Parse(text)
			require.NoError(t, err)
			all = append(all, s)
		}
		rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: filepath.Join(t.TempDir(), "out.xlsx"), Settle: all})
		require.NoError(t, err)
		return rep
	}
	assert.False(t, price(in, "Coupe!E=qty", "Week=own").Complete)
	settled := price(in, "Coupe!E=qty", "Coupe!F=own", "Week=own")
	require.True(t, settled.Complete, "%v", settled.Findings)
	assert.Equal(t, 7.0, settled.Order["order_welds"])
	again := price(settled.Output)
	assert.True(t, again.Complete, "%v", again.Findings)
	assert.Equal(t, settled.Order, again.Order)
	// Under another heading a column may be something else.
	for head, why := range map[string]string{"Scrapped": `column F "Scrapped" holds numbers`, "Bend angle": "moves nothing on a joint of the kind butt"} {
		_, reworded := shop.Price(t, shop.TypeIn(t, settled.Output, shop.At("Coupe", "F1", head)))
		assert.True(t, shop.HasFinding(reworded, why), "%v", reworded.Findings)
	}
	// All columns at once say nothing of pieces that are read nowhere.
	all := price(in, "Coupe!*=own", "Week=own")
	assert.False(t, all.Complete)
	assert.True(t, shop.HasFinding(all, `'Coupe!E=qty'`), "%v", all.Findings)
	all = price(all.Output, "Coupe!E=qty")
	assert.True(t, all.Complete, "%v", all.Findings)
	assert.Equal(t, 7.0, all.Order["order_welds"])
	assert.True(t, price(all.Output).Complete)

	for text, why := range map[string]string{
		"Coupe!E": "no =", "Coupe!5=qty": "no column's letters", "=own": "no sheet", "Coupe=qty": "can only be own", "Coupe!E=": "nothing stands",
	} {
		_, err := settling.Parse(text)
		assert.ErrorContains(t, err, why, text)
	}
	for _, wrong := range []settling.Settling{{Sheet: "Coupé", Col: 5, As: "qty"}, {Sheet: "Coupe", Col: 5, As: "pieces"}} {
		_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, DryRun: true, Settle: []settling.Settling{wrong}})
		assert.ErrorContains(t, err, "--settle: ")
	}
}

// Words among joints are settled one by one, by what they say and where they stand.
func TestSettleWordsAmongJoints(t *testing.T) {
	list := []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Qty"}, {"Coupe"}, {"A1", 3, 0.047, 1}, {"Spyder"}, {"A2", 3, 0.047, 1}}
	in := workbook(t, tab{"Joints", list})
	price := func(in, settle string) *sheets.Report {
		s, err := settling.Parse(settle)
		require.NoError(t, err)
		rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: filepath.Join(t.TempDir(), "out.xlsx"), Settle: []settling.Settling{s}})
		require.NoError(t, err)
		return rep
	}
	assert.False(t, price(in, "Joints!*=own").Complete, "columns are settled by it")
	one := price(in, "Joints!A2=own")
	assert.False(t, one.Complete)
	assert.True(t, shop.HasFinding(one, `"Spyder" stands among the joints`, `'Joints!A4=own'`), "%v", one.Findings)
	settled := price(in, "Joints!A2:A4=own")
	require.True(t, settled.Complete, "%v", settled.Findings)
	again, rep := shop.Price(t, settled.Output)
	assert.True(t, rep.Complete, "%v", rep.Findings)
	_, rep = shop.Price(t, again)
	assert.True(t, rep.Unchanged)

	_, rep = shop.Price(t, shop.TypeIn(t, again, shop.At("Joints", "A4", "Track, 2 off")))
	assert.True(t, shop.HasFinding(rep, `"Track, 2 off" stands among the joints`, `'Joints!A4=own'`), "%v", rep.Findings)
	_, rep = shop.Price(t, shop.TypeIn(t, again, shop.At("Joints", "A6", "Spyder"), shop.At("Joints", "A7", "A3"), shop.At("Joints", "B7", 3), shop.At("Joints", "C7", 0.047), shop.At("Joints", "D7", 1)))
	assert.True(t, shop.HasFinding(rep, `"Spyder" stands among the joints`, `'Joints!A6=own'`), "%v", rep.Findings)
	assert.True(t, shop.HasFinding(price(in, "Joints!A9=own"), "no words that are asked about stand there"))
	_, err := settling.Parse("Joints!A4=qty")
	assert.ErrorContains(t, err, "can only be own")
}

// A workbook that has lost its Assumptions is refused: the rates as shipped are not
// the shop's.
func TestAssumptionsDeleted(t *testing.T) {
	out, _ := shop.Price(t, workbook(t, coupe()))
	for _, keep := range []string{"", "Workings"} {
		gone := shop.Edited(t, out, func(f *excelize.File) {
			require.NoError(t, f.DeleteSheet("Assumptions"))
			if keep == "" {
				require.NoError(t, f.DeleteSheet("Workings"))
			}
		})
		assert.Contains(t, shop.Refused(t, gone), "put it back from an earlier copy")
	}
}
