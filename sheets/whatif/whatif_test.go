package whatif

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

func ask(t *testing.T, in string, sets ...string) (*Report, error) {
	return Ask(t.Context(), sheets.PriceOptions{In: in, DryRun: true}, sets)
}

// What is asked without editing is what the workbook comes to once the cells that are
// named are typed into its priced copy by another program: every figure of the order
// and of each car, to the cent and to the last digit, and whether it is complete.
func TestAskedIsWhatTypingGives(t *testing.T) {
	for name, c := range map[string]struct {
		in    string
		sets  []string
		typed []shop.Cell
	}{
		"an assumption":         {shop.Demo("order.xlsx"), []string{"shop_rate=110"}, []shop.Cell{shop.At("Assumptions", "shop_rate", 110)}},
		"in another unit":       {shop.Demo("order.xlsx"), []string{"shop_rate=1.5 $/min"}, []shop.Cell{shop.At("Assumptions", "shop_rate", 90)}},
		"a share":               {shop.Demo("order.xlsx"), []string{"Margin=25 %"}, []shop.Cell{shop.At("Assumptions", "margin", 0.25)}},
		"a word of assumptions": {shop.Demo("order.xlsx"), []string{"default_setup=trailing shield, by hand"}, []shop.Cell{shop.At("Assumptions", "default_setup", "trailing shield, by hand")}},
		"a set-up":              {shop.Demo("order.xlsx"), []string{"A-07.setup=cup"}, []shop.Cell{shop.At("Joints", "S13", "cup")}},
		"a size with its unit":  {shop.Demo("order.xlsx"), []string{"a-07.wall=1.6 mm"}, []shop.Cell{shop.At("Joints", "G13", "1.6 mm")}},
		"a blank cell":          {shop.Demo("order.xlsx"), []string{"Joints!13.purges=2"}, []shop.Cell{shop.At("Joints", "V13", 2)}},
		"several at once": {shop.Demo("order.xlsx"), []string{"shop_rate=110", "Joints!A-07.setup=cup", "A-02.qty=3"},
			[]shop.Cell{shop.At("Assumptions", "shop_rate", 110), shop.At("Joints", "S13", "cup"), shop.At("Joints", "E8", 3)}},
		"what leaves it incomplete": {shop.Demo("order.xlsx"), []string{"A-02.alloy=titanium of no name"}, nil},
		"never priced":              {shop.Unpriced(t, "order.xlsx"), []string{"shop_rate=110", "A-07.setup=cup"}, []shop.Cell{shop.At("Assumptions", "shop_rate", 110), shop.At("Joints", "S13", "cup")}},
		"metric":                    {shop.Demo("order-metric.xlsx"), []string{"shop_rate=88"}, []shop.Cell{shop.At("Assumptions", "shop_rate", 88)}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := ask(t, c.in, c.sets...)
			if c.typed == nil {
				assert.ErrorContains(t, err, "which is not known; ")
				return
			}
			require.NoError(t, err)
			priced, was := shop.Price(t, c.in)
			cells := c.typed
			for i := range cells {
				if cells[i].Sheet == "Assumptions" {
					cells[i].Ref = fmt.Sprint("C", shop.Assumption(t, sheetstest.Read(t, priced), cells[i].Ref))
				}
				assert.Equal(t, cells[i].Sheet+"!"+cells[i].Ref, got.Cells[i].At, "the cell that it says")
			}
			_, would := shop.Price(t, shop.TypeIn(t, priced, cells...))
			for side, pair := range map[string][2]*sheets.Report{"as it is": {was, got.Was}, "as it would be": {would, got.Would}} {
				assert.Equal(t, pair[0].Order, pair[1].Order, side)
				assert.Equal(t, pair[0].Cars, pair[1].Cars, side)
				assert.Equal(t, pair[0].Complete, pair[1].Complete, side)
			}
			assert.NotEqual(t, got.Was.Order, got.Would.Order)
			for _, f := range got.Order {
				assert.Equal(t, was.Order[f.Key], f.Was, f.Key)
				assert.Equal(t, would.Order[f.Key], f.Would, f.Key)
			}
			require.Len(t, got.Cars, len(was.Cars))
		})
	}
}

// A line of a table is named by its table, its name and its column.
func TestAskedOfATable(t *testing.T) {
	in := shop.Demo("order.xlsx")
	got, err := ask(t, in, "setups.cup, stop and start.travel=2")
	require.NoError(t, err)
	priced, _ := shop.Price(t, in)
	at := got.Cells[0].At
	_, would := shop.Price(t, shop.TypeIn(t, priced, shop.At("Assumptions", at[len("Assumptions!"):], 2)))
	assert.Equal(t, would.Order, got.Would.Order)
	assert.NotEqual(t, got.Was.Order["order_cost"], got.Would.Order["order_cost"])
}

// A day is written as a day.
func TestAskedOfADay(t *testing.T) {
	got, err := ask(t, shop.Small(t, shop.Butt("A-02")), "start_date=2026-03-01")
	require.NoError(t, err)
	assert.Equal(t, "blank", got.Cells[0].Old)
	assert.Equal(t, "2026-03-01", got.Cells[0].New)
	assert.InDelta(t, 46082, got.Cells[0].typed.Num, 0)
}

// What is not known is refused, with what is near to it.
func TestAskedOfNothing(t *testing.T) {
	in := shop.Small(t, shop.Butt("A-02"), shop.Butt("A-07"))
	for set, says := range map[string]string{
		"shoprate=4":                         "near to it: shop_rate",
		"A-70.wall=1":                        `no joint is called "A-70"; near to it: A-07`,
		"A-07.wal=1":                         "near to it: wall",
		"A-07.arc_time=1":                    "arc_time is worked out, and not typed; name an input",
		"A-07.setup=foo":                     `which is not known; write one of`,
		"setups.cup.travel=2":                `has no line "cup"; near to it: cup, stop and start`,
		"setups.cup, stop and start.trvel=2": "near to it: travel",
		"shop_rate=110 h":                    "h where money/time is wanted",
		"shop_rate=-1":                       "must not be below 0",
		"margin=0.15":                        "write 15 %, or 0.15 %",
		"saw_factor=1.2":                     "write 120 %, or 1.2 %",
		"win_chance=1":                       "write 100 %, or 1 %",
		"shop_rate=760 $/day":                "a day of 24 hours is none of a shop's",
		"start_date=soon":                    "is a day; write it as 2026-03-01",
		"default_setup=x":                    "choose one of cup, stop and start",
		"shop_rate":                          "does not say what to type where",
		"Joints!A-07.nothing here=1":         "has no input",
	} {
		_, err := ask(t, in, set)
		assert.ErrorContains(t, err, says, set)
	}
	_, err := ask(t, in, "shop_rate=1", "Shop_Rate=2")
	assert.ErrorContains(t, err, "are of one cell")
	_, err = Ask(t.Context(), sheets.PriceOptions{In: in}, []string{"shop_rate=110"})
	assert.ErrorContains(t, err, "add --dry-run, or type the value into the workbook")
}

// A mark on several rows wants its sheet, or its row; a column that the list has not
// cannot be typed into.
func TestAskedOfAMarkThatIsThereTwice(t *testing.T) {
	in := shop.Small(t, shop.Butt("1"), shop.Butt("2"), shop.Butt("2"))
	_, err := ask(t, in, "2.wall=0.035")
	assert.ErrorContains(t, err, `the mark "2" is there 2 times: Joints!3, Joints!4; name one by its sheet, or by sheet and row: Joints!3.wall`)
	many, err := ask(t, shop.Small(t, slices.Repeat([]shop.Row{shop.Butt("2")}, mostNamed+2)...), "2.wall=0.035")
	assert.Nil(t, many)
	assert.ErrorContains(t, err, "Joints!9, and 2 more; name one")
	got, err := ask(t, in, "Joints!3.wall=0.035")
	require.NoError(t, err)
	assert.Equal(t, "Joints!F3", got.Cells[0].At)
	_, err = ask(t, in, "1.purges=2")
	assert.ErrorContains(t, err, "the list on Joints has no column for it; head one")
}

// A formula of the shop's that goes by the cell would keep its old value: that is
// refused, also by way of another sheet, and only where an input is read from it.
func TestAskedWhereAFormulaGoesByIt(t *testing.T) {
	in := shop.Small(t, shop.Butt("1"), shop.Butt("2"), shop.Butt("3"))
	with := func(change func(f *excelize.File)) string { return shop.Edited(t, in, change) }
	formula := func(f *excelize.File, sheet, ref, text string, value float64) {
		require.NoError(t, f.SetCellValue(sheet, ref, value))
		require.NoError(t, f.SetCellFormula(sheet, ref, text))
	}
	for name, path := range map[string]string{
		"itself":     with(func(f *excelize.File) { formula(f, "Joints", "F3", "F2", 0.049) }),
		"in a block": with(func(f *excelize.File) { formula(f, "Joints", "F3", "AVERAGE($E$1:G2)", 0.049) }),
		"columns":    with(func(f *excelize.File) { formula(f, "Joints", "I2", "SUM(F:F)-SUM(F:F)", 0) }),
		"by another": with(func(f *excelize.File) {
			_, err := f.NewSheet("Sizes")
			require.NoError(t, err)
			formula(f, "Sizes", "A1", "Joints!F2*2", 0.098)
			formula(f, "Joints", "F3", "Sizes!A1/2", 0.049)
		}),
	} {
		_, err := ask(t, path, "1.wall=0.035")
		assert.ErrorContains(t, err, "only a spreadsheet program can say; type 0.035 there, save, and price that", name)
	}
	_, err := ask(t, with(func(f *excelize.File) { formula(f, "Joints", "F3", "E2/F4", 61.2) }), "2.od=2")
	assert.NoError(t, err, "it goes by other cells")
	_, err = ask(t, with(func(f *excelize.File) { formula(f, "Joints", "M1", "F2*2", 0.098) }), "1.wall=0.035")
	assert.NoError(t, err, "nothing is read from it")
}

// The value goes into the unit that the cell is set in; a text that stands for a number
// in a joint's cell is read as it would be there.
func TestAskedInTheUnitOfTheCell(t *testing.T) {
	priced, _ := shop.Price(t, shop.Small(t, shop.Butt("1")))
	in := shop.Assume(t, priced, shop.Set("closing_overlap", 6, "mm"))
	got, err := ask(t, in, "closing_overlap=0.5 in", "1.wall=.065")
	require.NoError(t, err)
	assert.Equal(t, []string{"6 mm -> 12.7 mm", "0.049 -> .065"}, []string{got.Cells[0].Old + " -> " + got.Cells[0].New, got.Cells[1].Old + " -> " + got.Cells[1].New})
	_, would := shop.Price(t, shop.TypeIn(t, shop.Assume(t, in, shop.Set("closing_overlap", 12.7, "")), shop.At("Joints", "F2", 0.065)))
	assert.Equal(t, would.Order, got.Would.Order)
	_, err = ask(t, shop.Assume(t, priced, shop.Set("closing_overlap", nil, "kg")), "closing_overlap=0.5 in")
	assert.Error(t, err, "it cannot be priced as it is")
}

// An error of the copy is told of the workbook that was asked about.
func TestAskedErrorsNameTheWorkbook(t *testing.T) {
	priced, _ := shop.Price(t, shop.Small(t, shop.Butt("1")))
	_, err := ask(t, priced, "tube.x.price=1")
	require.Error(t, err)
	assert.NotContains(t, err.Error(), os.TempDir()+"/seamtally-")
	assert.ErrorContains(t, ofInput("order.xlsx", "/t/x.xlsx", errors.New("/t/x.xlsx: A!B1: odd")), "order.xlsx: A!B1: odd")
	assert.Equal(t, context.Canceled, ofInput("order.xlsx", "/t/x.xlsx", context.Canceled))
}

// What can be named of a workbook: its sheets, marks and cars, and every figure by its
// scope.
func TestRead(t *testing.T) {
	k, err := Read(t.Context(), shop.Demo("order.xlsx"), "")
	require.NoError(t, err)
	assert.Equal(t, []string{"Coupe Demo-A", "Spyder Demo-B", "Track Demo-C"}, k.Cars)
	assert.Contains(t, k.Marks, "A-07")
	assert.Contains(t, k.Sheets, "Holidays")
	assert.NotContains(t, k.Sheets, "Assumptions")
	assert.Contains(t, k.Assumptions, "shop_rate")
	assert.Contains(t, k.Inputs, "setup")
	assert.NotContains(t, k.Inputs, "arc_time")
	assert.Contains(t, k.OfJoint, "arc_time")
	assert.Contains(t, k.OfCar, "price_car")
	assert.Contains(t, k.OfOrder, "order_price")
	_, err = Read(t.Context(), shop.Put(t, []byte("none")), "")
	assert.Error(t, err)
}

// What differs is told apart from what is not there on either side.
func TestDiffers(t *testing.T) {
	none := math.NaN()
	for _, c := range []struct {
		was, would float64
		differs    bool
	}{{1, 1, false}, {1, 2, true}, {none, none, false}, {none, 1, true}, {1, none, true}} {
		assert.Equal(t, c.differs, Change{Was: c.was, Would: c.would}.Differs(), "%v %v", c.was, c.would)
	}
}

// The workbook is left as it was, and nothing is left beside it.
func TestAskedWritesNothing(t *testing.T) {
	in := shop.Small(t, shop.Butt("1"))
	before := shop.Content(t, in)
	_, err := ask(t, in, "shop_rate=110")
	require.NoError(t, err)
	assert.Equal(t, before, shop.Content(t, in))
	all, err := filepath.Glob(filepath.Join(filepath.Dir(in), "*"))
	require.NoError(t, err)
	assert.Len(t, all, 1)
}
