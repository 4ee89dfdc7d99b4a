package unread_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/unread"
)

func TestMain(m *testing.M) { shop.Main(m) }

// said is what is said of a sheet beside a joint list, and in which cell.
type said struct{ joints, jointsAt, cars, carsAt, rates, ratesAt string }

// sheet is one that is not read, as a shop may keep it.
type sheet struct {
	title string
	rows  []shop.Row
	want  said
}

// kept are sheets with what speaks for joints on them, and for cars ordered. Of the cars
// Coupe and Spyder nobody has said how many are ordered; of the Roadster somebody has.
var kept = []sheet{
	{"rates", []shop.Row{{"Work", "Rate"}, {"welding", 95}, {"saw", 60}}, said{}},
	{"to buy", []shop.Row{{"Item", "Supplier", "Pieces"}, {"gloves", "the usual", 12}, {"cups", "the other", 4}}, said{}},
	{"notes", []shop.Row{{"Call them on Monday."}, {"The drawing is revision C, 3 sheets."}}, said{}},
	{"nothing", []shop.Row{{nil, nil}, {nil}}, said{}},
	{"dates", []shop.Row{{"Milestone", "Day"}, {"tube in", time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)}, {"out", time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC)}}, said{}},

	// Rates that are not those of Assumptions, where nobody has chosen one.
	{"another rate", []shop.Row{{"Work", "Rate"}, {"Labour", 110}}, said{rates: "another shop rate", ratesAt: "B2"}},
	{"with its unit", []shop.Row{{"Labour rate", "$/h", 110}}, said{rates: "another shop rate", ratesAt: "C1"}},
	{"share in words", []shop.Row{{"Margin", "45 %"}}, said{rates: "another margin", ratesAt: "B1"}},
	{"below its name", []shop.Row{{"Labour", "Argon"}, {95, 0.5}}, said{rates: "another argon price", ratesAt: "B2"}},
	{"the same share", []shop.Row{{"Margin", 0.3}, {"Margin", "30 %"}, {"Margin", 30}}, said{}},
	{"something off", []shop.Row{{"Discount", 0.1}}, said{rates: "comes off the price", ratesAt: "B1"}},

	// Headings of a joint list with something below them.
	{"no wall", []shop.Row{{"Joint no", "Kind", "OD (in)"}, {"Z1", "butt", 3}}, said{joints: "lacks Wall", jointsAt: "A1"}},
	{"no diameter", []shop.Row{{"our list"}, {}, {"Joint no", "Wall (in)"}, {"Z1", 0.047}}, said{joints: "lacks OD", jointsAt: "A3"}},
	{"wall as text", []shop.Row{{"Spool", "Wall (in)"}, {"a", ".047"}}, said{joints: "lacks OD", jointsAt: "B1"}},
	{"empty form", []shop.Row{{"Part", "OD (in)"}, {"write here", nil}}, said{}},
	{"marks and kinds", []shop.Row{{"Joint no", "Kind"}, {"Z1", "butt"}}, said{joints: "lacks OD and Wall", jointsAt: "A1"}},
	{"people", []shop.Row{{"Name", "Kind"}, {"the apprentice", "day shift"}}, said{}},

	// Columns of sizes that no heading names.
	{"bare sizes", []shop.Row{{"x", 3, 0.047}, {"y", 2.5, 0.049}, {"z", 3, 0.065}}, said{joints: "columns B and C hold what look like diameters and walls", jointsAt: "B1"}},
	{"bare, metric", []shop.Row{{"x", 76.2, 1.2}, {"y", 63.5, 0.9}, {"z", 76.2, 1.65}}, said{joints: "columns B and C hold what look like diameters and walls", jointsAt: "B1"}},
	{"sizes as text", []shop.Row{{"x", `3"`, `.047"`}, {"y", `2.5"`, `.049"`}, {"z", `3"`, `.065"`}}, said{joints: "columns B and C", jointsAt: "B1"}},
	{"two of them", []shop.Row{{"x", 3, 0.047}, {"y", 2.5, 0.049}}, said{}},
	{"whole numbers", []shop.Row{{"x", 3, 1}, {"y", 2, 2}, {"z", 4, 3}}, said{}},
	{"a wall among others", []shop.Row{{"x", 3, 0.047}, {"y", 2.5, 0.049}, {"z", 3, 0.065}, {"w", 3, 17.3}}, said{}},

	// A list on its side.
	{"on its side", []shop.Row{{"Joint:", "Z1", "Z2"}, {"OD (in):", 3, 3}, {"Wall (in):", 0.047, 0.047}}, said{joints: "column A has the headings of a joint list below each other", jointsAt: "A3"}},
	{"one of them", []shop.Row{{"OD (in)", 3}, {"price", 40}}, said{}},

	// Cars of which nobody has said how many are ordered.
	{"beside", []shop.Row{{"Coupe", 8}}, said{joints: `it names the car "Coupe" beside a whole number`, jointsAt: "A1"}},
	{"beside a broken one", []shop.Row{{"Coupe", 8.5}}, said{}},
	{"another car", []shop.Row{{"Roadster", 8}}, said{}},
	{"above", []shop.Row{{"Coupe", "Spyder"}, {8, 4}}, said{cars: `it names the car "Coupe" above a whole number`, carsAt: "A2"}},
	{"above a day", []shop.Row{{"Coupe"}, {time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)}}, said{}},
	{"above a price", []shop.Row{{"Coupe"}, {8475}}, said{}},
	{"two rows above", []shop.Row{{"Coupe"}, {}, {8}}, said{cars: `it names the car "Coupe" above a whole number`, carsAt: "A3"}},
	{"a blank row between", []shop.Row{{"Coupe"}, {""}, {8}}, said{cars: `it names the car "Coupe" above a whole number`, carsAt: "A3"}},
	{"other words between", []shop.Row{{"Coupe"}, {"in green"}, {8}}, said{}},
	{"each in a row", []shop.Row{{"chassis", "car"}, {"one", "Coupe"}, {"two", "coupe"}}, said{cars: "more than once", carsAt: "B3"}},
	{"in words", []shop.Row{{"we make Coupe x 8 this year"}}, said{cars: "and a number", carsAt: "A1"}},
	{"named alone", []shop.Row{{"the Coupe comes first"}}, said{}},
	{"ordered, no number", []shop.Row{{"Cars ordered:"}, {"see the order"}}, said{}},
	{"ordered, beside", []shop.Row{{"Cars ordered:", 8}}, said{cars: "is a heading of the cars ordered", carsAt: "A1"}},
	{"ordered", []shop.Row{{"Cars ordered:"}, {8}}, said{cars: "is a heading of the cars ordered", carsAt: "A1"}},
}

// What speaks for joints or for cars ordered on a sheet that is not read is said with its
// cell, and of a sheet on which nothing does nothing is said.
func TestSheets(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", "Joints"))
	write := func(title string, rows []shop.Row) {
		for n, row := range rows {
			at, err := excelize.CoordinatesToCellName(1, n+1)
			require.NoError(t, err)
			cells := []any(row)
			require.NoError(t, f.SetSheetRow(title, at, &cells))
		}
	}
	write("Joints", []shop.Row{{"Joint no", "Car", "Kind", "OD (in)", "Wall (in)", "Qty"}, {"A1", "Coupe", "butt", 3, 0.047, 2}})
	for _, k := range kept {
		_, err := f.NewSheet(k.title)
		require.NoError(t, err)
		write(k.title, k.rows)
	}
	run, err := sheets.Read(t.Context(), shop.Saved(t, f), "")
	require.NoError(t, err)
	defer run.Close()

	looked := map[string]*unread.Sheet{}
	doubtful := map[string]bool{"coupe": true, "spyder": true}
	look := func(doubtful map[string]bool) {
		w := unread.Workbook{Reader: &sayings.Reader{Book: run.Book}, Doubtful: doubtful}
		for i := range run.Unread {
			u := &run.Unread[i]
			s := w.Sheet(&u.Near)
			_, err := run.ReadPart(u.Sheet.PartName, func(r *worksheet.Row) error {
				s.Row(r)
				return nil
			})
			require.NoError(t, err)
			looked[u.Sheet.Name] = s
		}
	}
	says := func(t *testing.T, want, cell, what, at string) {
		if want == "" {
			assert.Empty(t, what+at)
			return
		}
		assert.Contains(t, what, want)
		assert.Equal(t, cell, at)
	}
	look(doubtful)
	for _, k := range kept {
		t.Run(k.title, func(t *testing.T) {
			s := looked[k.title]
			require.NotNil(t, s, "the sheet was read")
			what, cell := s.Joints()
			says(t, k.want.joints, k.want.jointsAt, what, cell)
			what, cell = s.Cars()
			says(t, k.want.cars, k.want.carsAt, what, cell)
			what, cell = s.Rates()
			says(t, k.want.rates, k.want.ratesAt, what, cell)
		})
	}
	look(nil) // once it is said of every car how many are ordered, no sheet speaks of it
	for _, k := range kept {
		_, cell := looked[k.title].Cars()
		assert.Empty(t, cell, k.title)
		if k.want.jointsAt == "" || k.title == "beside" {
			_, cell = looked[k.title].Joints()
			assert.Empty(t, cell, k.title)
		}
	}
}
