package assumptions_test

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/compare"
	"seamtally/sheets/settling"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// lastQuote is an invented priced workbook in which a shop has set what it may.
// The number of its single assumptions that are otherwise than as shipped is 9.
func lastQuote(t *testing.T) string {
	t.Helper()
	settled := settling.Settling{Sheet: "Joints", Col: 11, As: "own"}
	in := shop.Edited(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2"), shop.Butt("J-3")), func(f *excelize.File) {
		for i, v := range []any{"On board", 3, 5, 2} {
			require.NoError(t, f.SetCellValue("Joints", fmt.Sprint("K", i+1), v))
		}
	})
	priced := filepath.Join(t.TempDir(), "last quote.xlsx")
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: priced, Settle: []settling.Settling{settled}, Date: "2026-10-01"})
	require.NoError(t, err)
	g := sheetstest.Read(t, priced)
	var cells []shop.Cell
	set := func(col, key string, v any) {
		cells = append(cells, shop.At("Assumptions", fmt.Sprint(col, shop.Assumption(t, g, key)), v))
	}
	set("C", "shop_rate", 112.5)
	set("G", "inspect", 0.25) // of its usual range, the low end alone
	set("C", "tack_pitch", 50.8)
	set("D", "tack_pitch", "mm")
	set("C", "argon_price", 21.0) // outside the range as shipped, inside that of the shop
	set("D", "argon_price", "$/m³")
	set("H", "argon_price", 2.5)
	set("L", "sundries_per_weld", "counted in March")
	set("M", "kerf", "new blade")
	set("O", "clean_fit", "measured")
	set("P", "clean_fit", 46000.0)
	set("C", "default_setup", "small shield, on rolls")
	set("C", "start_date", 46100.0) // each order's own
	set("C", "with_breaks", "yes")
	set("C", "head_shop", "Demo fabrication")
	set("C", "head_currency", "€")
	set("C", "head_customer", "Demo customer") // each order's own
	set("C", "basis_payment", "30 days")
	set("C", "basis_checked_by", "Demo checker") // each order's own
	table := func(row int, values ...any) {
		for i, v := range values {
			if v != nil {
				cells = append(cells, shop.At("Assumptions", fmt.Sprintf("%c%d", 'B'+i, row), v))
			}
		}
	}
	hand := shop.TableRow(t, g, "trailing shield, by hand")
	table(hand, nil, nil, nil, 2.5)
	table(hand+1, "small shield, on rolls", 0.5, 0.0, nil, 2.5, 20.0, 25.0, 20.0, 12.0, 3.0, 15.0, 0.0, 3.0, 210.0)
	table(shop.TableRow(t, g, "fillet"), nil, 0.7)
	table(shop.TableRow(t, g, "grade 2", 3.0, 0.049), nil, nil, nil, 61.25)
	table(shop.TableRow(t, g, "grade 2", 3.0, 0.065-0.018), nil, nil, nil, 58.5)
	table(shop.TableRow(t, g, "Leak test"), nil, nil, nil, 0.5, 4.0)
	table(shop.TableRow(t, g, "Polish"), nil, "Demo car one", nil, 1.5)
	return shop.TypeIn(t, priced, cells...)
}

// priceFrom prices a workbook with the rates of another.
func priceFrom(t *testing.T, in, last string) (string, *sheets.Report) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "from.xlsx")
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Date: "2026-11-25", From: &sheets.From{Path: last}})
	require.NoError(t, err)
	return out, rep
}

// notFrom is why the rates of a workbook are not taken.
func notFrom(t *testing.T, in string, from sheets.From) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "none.xlsx")
	_, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, From: &from})
	require.Error(t, err)
	require.NoFileExists(t, out)
	return err.Error()
}

// shopCells are the cells of a workbook's single assumptions, head and basis that
// the shop owns, by key and column, and all that its tables say but for the cars.
func shopCells(t *testing.T, path string) map[string]sheetstest.Value {
	t.Helper()
	g := sheetstest.Read(t, path)["Assumptions"]
	first, last := shop.NamedRows(t, path, "seamtally.last")
	out := map[string]sheetstest.Value{}
	tables := map[string]int{}
	for row := 1; row < first; row++ {
		key := g[fmt.Sprint("A", row)].Text
		if named := key != "" && key != "Name" && !strings.HasPrefix(key, "room ends"); named {
			cols := []string{"C", "D", "E", "G", "H", "I", "K", "L", "M", "O", "P"}
			if strings.HasPrefix(key, "head_") || strings.HasPrefix(key, "basis_") { // beside them stand the contents, and what is left to be set
				cols = cols[:1]
			}
			for _, col := range cols {
				v := g[fmt.Sprint(col, row)]
				v.Formula = ""
				out[key+" "+col] = v
			}
		}
	}
	for row := first; row <= last; row++ {
		what, name := g[fmt.Sprint("A", row)].Text, g[fmt.Sprint("B", row)].Text
		switch what {
		case "Shielding set-ups", "Kinds of joint", "Travel by wall", "Alloys", "Tube stock", "Filler stock", "Other work and parts", "Points of a coped edge":
			tables[what]++
			out[what+": "+name] = g[fmt.Sprint("C", row)]
		}
	}
	require.Len(t, tables, 8)
	return out
}

// All that a shop has set comes, cell by cell, and nothing of it moves the price:
// with the same joints the two orders are the same.
func TestTakenFromAnEarlierWorkbook(t *testing.T) {
	last := lastQuote(t)
	again, _ := onDay(t, last, "2026-10-02") // as the shop's own run has it
	in := shop.Edited(t, shop.Small(t, shop.Butt("N-1"), shop.Butt("N-2"), shop.Row{"N-3", "Demo car one", "fillet", 1, 3, 0.047}), func(f *excelize.File) {
		for i, v := range []any{"On board", 1, 6, 2} { // elsewhere than in the last one
			require.NoError(t, f.SetCellValue("Joints", fmt.Sprint("M", i+1), v))
		}
	})
	_, bare := shop.Price(t, in)
	require.True(t, shop.HasFinding(bare, "On board", "is not read"), "the column has to be asked about without")
	out, rep := priceFrom(t, in, last)

	want, got := shopCells(t, again), shopCells(t, out)
	for key, v := range want {
		for _, own := range []string{"start_date", "head_customer", "basis_checked_by"} {
			if strings.HasPrefix(key, own+" ") {
				v = got[key]
			}
		}
		assert.Equal(t, v, got[key], key)
	}
	assert.Len(t, got, len(want))
	g := sheetstest.Read(t, out)
	at := func(col, key string) sheetstest.Value {
		return g["Assumptions"][fmt.Sprint(col, shop.Assumption(t, g, key))]
	}
	assert.Equal(t, 50.8, at("C", "tack_pitch").Num)
	assert.Equal(t, "mm", at("D", "tack_pitch").Text)
	assert.InEpsilon(t, 2.0, at("E", "tack_pitch").Num, 1e-12) // in: 1 in = 25.4 mm
	assert.Equal(t, 0.0, at("C", "start_date").Num)
	assert.Empty(t, at("C", "head_customer").Text)
	assert.Empty(t, at("C", "basis_checked_by").Text)
	assert.Contains(t, g, "Breaks")
	assert.Equal(t, "€", rep.Currency)

	require.NotNil(t, rep.Taken)
	assert.Equal(t, 9, rep.Taken.Assumptions)
	assert.ElementsMatch(t, []string{
		"shop_rate 95 -> 112.5 €/h", "tack_pitch 2.5 -> 2 in", "argon_price 0.35 -> 0.594653778 €/ft³",
		"default_setup cup, stop and start -> small shield, on rolls", "with_breaks no -> yes",
	}, cut(rep.Taken.Values))
	assert.ElementsMatch(t, []string{"Shielding set-ups", "Kinds of joint", "Tube stock", "Other work and parts"}, rep.Taken.Tables)
	assert.Equal(t, []int{1, 3}, []int{rep.Taken.Columns, rep.Taken.Fields})
	sum := fmt.Sprintf("%x", sha256.Sum256([]byte(shop.Content(t, last))))
	assert.Equal(t, []string{"first priced", "taken from shop.xlsx, sha256 " + sum + ": 9 assumptions, 4 tables, 1 settled column, 3 fields"}, rep.Logged)
	assert.Equal(t, rep.Logged, said(shop.LogOf(t, out), 1))
	assert.True(t, shop.HasFinding(rep, `"On board" is not read`, "as settled in shop.xlsx"))
	assert.False(t, shop.HasFinding(rep, "argon_price is outside"))
	assert.True(t, shop.HasFinding(rep, "settles these for itself", ": head_customer, basis_checked_by, start_date"))
	assert.True(t, shop.HasFinding(rep, "other work has come", "Leak test, Polish"))
	assert.False(t, shop.HasFinding(rep, "lacks these"))

	// What differs are the joints.
	report, err := compare.Orders(t.Context(), compare.Options{Old: again, New: out})
	require.NoError(t, err)
	for _, c := range slices.Concat(report.Changes, report.NoEffect) {
		if !strings.Contains(c.Name, "start") { // no figure of the order goes by the day
			assert.Equal(t, compare.ChangedJoint, c.Kind, c.Name)
		}
	}
	require.NotEmpty(t, report.Changes)

	// A further run changes nothing.
	later, rep := onDay(t, out, "2026-11-26")
	assert.True(t, rep.Unchanged)
	assert.True(t, shop.Content(t, out) == shop.Content(t, later))
	assert.Nil(t, rep.Taken)
	found, err := audit.Workbook(t.Context(), audit.Options{In: out})
	require.NoError(t, err)
	assert.Empty(t, found.Faults)
}

// cut takes the figures after the ninth digit away.
func cut(all []string) (out []string) {
	for _, s := range all {
		if head, digits, ok := strings.Cut(s, "0.594653778"); ok {
			_, unit, _ := strings.Cut(digits, " ")
			s = head + "0.594653778 " + unit
		}
		out = append(out, s)
	}
	return out
}

// The formulas that stand beside what was taken give the values stored there.
func TestTakenRecalculates(t *testing.T) {
	shop.Play(t, shop.Scene{
		Name: "taken",
		Make: func(t *testing.T) []string {
			out, _ := priceFrom(t, shop.Small(t, shop.Butt("N-1"), shop.Butt("N-2")), lastQuote(t))
			return []string{out}
		},
		Check: func(t *testing.T, paths []string, live []sheetstest.Grid) { shop.Equal(t, paths[0], live[0]) },
	})
}

// Lines of other work for a car that the order does not have would keep it from
// being complete for no reason, and are named.
func TestOtherWorkOfOtherCarsStays(t *testing.T) {
	last := lastQuote(t)
	_, rep := priceFrom(t, shop.Small(t, shop.Row{"N-1", "Demo car two", "butt", 2, 3, 0.049, nil, nil, 10, nil}), last)
	assert.True(t, shop.HasFinding(rep, "for cars that are not in this order", "Polish (Demo car one)"))
	assert.True(t, shop.HasFinding(rep, "other work has come", ": Leak test"))
	assert.False(t, shop.HasFinding(rep, "other work has come", ", Polish"))
	assert.Len(t, rep.Cars, 1)
}

// Rates that are in the workbook stay: who names others is refused, unless the
// others are the shop's usual ones.
func TestRatesOfItsOwnStay(t *testing.T) {
	last := lastQuote(t)
	priced, first := shop.Price(t, shop.Small(t, shop.Butt("N-1")))
	why := notFrom(t, priced, sheets.From{Path: last})
	assert.Contains(t, why, priced+": it has rates of its own, on Assumptions, which stay; leave --from out")
	for _, usual := range []string{last, "nowhere.xlsx"} {
		out := filepath.Join(t.TempDir(), "again.xlsx")
		rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: priced, Out: out, From: &sheets.From{Path: usual, Variable: "SEAMTALLY_FROM"}})
		require.NoError(t, err)
		assert.Equal(t, first.Order, rep.Order)
		assert.True(t, rep.Unchanged)
	}
	// Cleared, it begins anew.
	_, rep := priceFrom(t, shop.Cleared(t, priced), last)
	assert.Equal(t, 9, rep.Taken.Assumptions)
}

// What is wrong with the earlier workbook is told with its cell and what to do.
func TestNotTaken(t *testing.T) {
	in, last := shop.Small(t, shop.Butt("N-1")), lastQuote(t)
	g := sheetstest.Read(t, last)
	row := func(key string) int { return shop.Assumption(t, g, key) }
	first, end := shop.NamedRows(t, last, "stock_od")
	renamed := func(name, ref string) func(f *excelize.File) {
		return func(f *excelize.File) {
			require.NoError(t, f.DeleteDefinedName(&excelize.DefinedName{Name: name}))
			if ref != "" {
				require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: ref}))
			}
		}
	}
	cell := func(ref string, v any) func(f *excelize.File) {
		return func(f *excelize.File) { require.NoError(t, f.SetCellValue("Assumptions", ref, v)) }
	}
	for name, c := range map[string]struct {
		change func(f *excelize.File)
		says   []string
	}{
		"text for a number": {cell(fmt.Sprint("C", row("shop_rate")), "ninety"), []string{fmt.Sprint("Assumptions!C", row("shop_rate")), "type one"}},
		"wrong unit":        {cell(fmt.Sprint("D", row("tack_pitch")), "h"), []string{fmt.Sprint("Assumptions!D", row("tack_pitch")), "choose one"}},
		"row gone":          {cell(fmt.Sprint("A", row("kerf")), ""), []string{"Assumptions!A", `the row of "kerf" is gone`, "put its name back"}},
		"name moved":        {renamed("kerf", fmt.Sprintf("Assumptions!$E$%d", row("kerf")+1)), []string{fmt.Sprint("Assumptions!E", row("kerf")), "does not point here", "price the workbook again"}},
		"name of a table moved": {renamed("stock_price", fmt.Sprintf("Assumptions!$E$%d:$E$%d", first+1, end+1)),
			[]string{fmt.Sprint("Assumptions!E", first+1), "stock_price", "Tube stock", fmt.Sprintf("rows %d to %d", first, end)}},
		"name of a table gone": {renamed("stock_price", ""), []string{"Tube stock", "stock_price", "take the last sound copy"}},
		"units gone":           {renamed("seamtally.units", ""), []string{"seamtally.units", "US or metric", "name an earlier copy"}},
		"line below the room":  {cell(fmt.Sprint("B", end+1), "grade 2"), []string{fmt.Sprint("Assumptions!B", end+1), "below the room", "move it up"}},
		"sheet gone":           {func(f *excelize.File) { require.NoError(t, f.DeleteSheet("Assumptions")) }, []string{"is gone; name an earlier copy"}},
	} {
		t.Run(name, func(t *testing.T) {
			broken := shop.Edited(t, last, c.change)
			why := notFrom(t, in, sheets.From{Path: broken})
			assert.True(t, strings.HasPrefix(why, broken+": "), why)
			for _, want := range c.says {
				assert.Contains(t, why, want)
			}
		})
	}
	metric, _ := shop.Price(t, shop.Starter(t, true))
	assert.Contains(t, notFrom(t, in, sheets.From{Path: metric}), "its rates are in metric units, and the joint lists of "+in+" are in US units; name a workbook in the same")
	assert.Contains(t, notFrom(t, in, sheets.From{Path: in}), "it was never priced; name a workbook that seamtally price has written")
	assert.Equal(t, "SEAMTALLY_FROM: nowhere.xlsx: there is no such file; check the name and the folder", notFrom(t, in, sheets.From{Path: "nowhere.xlsx", Variable: "SEAMTALLY_FROM"}))
	text := filepath.Join(t.TempDir(), "text.xlsx")
	require.NoError(t, os.WriteFile(text, []byte("OD,Wall\n"), 0o644))
	assert.Contains(t, notFrom(t, in, sheets.From{Path: text}), text+": plain text")
}

// The password of an encrypted one is asked for by its name, where the one given
// does not open it.
func TestTakenFromAnEncryptedWorkbook(t *testing.T) {
	data, err := excelize.Encrypt([]byte(shop.Content(t, lastQuote(t))), &excelize.Options{Password: "tungsten"})
	require.NoError(t, err)
	last, in := shop.Put(t, data), shop.Small(t, shop.Butt("N-1"))
	assert.Contains(t, notFrom(t, in, sheets.From{Path: last}), "the workbook is encrypted; give its password")
	asked := 0
	ask := func(typed string) func(string) (string, error) {
		return func(file string) (string, error) {
			asked++
			assert.Equal(t, filepath.Base(last), file)
			return typed, nil
		}
	}
	assert.Contains(t, notFrom(t, in, sheets.From{Path: last, Ask: ask("")}), "is encrypted")
	assert.Contains(t, notFrom(t, in, sheets.From{Path: last, Password: "argon", Ask: ask("helium")}), "does not open")
	assert.Equal(t, 2, asked)
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, DryRun: true, From: &sheets.From{Path: last, Ask: ask("tungsten")}})
	require.NoError(t, err)
	assert.Equal(t, 9, rep.Taken.Assumptions)
	assert.True(t, shop.HasFinding(rep, "it is encrypted, and the workbook that now has its rates is not"))
	_, err = sheets.Price(t.Context(), sheets.PriceOptions{In: in, DryRun: true, From: &sheets.From{Path: last, Password: "tungsten", Ask: ask("")}})
	require.NoError(t, err)
	assert.Equal(t, 3, asked)
}

// Of an earlier version: what it lacks is as shipped, what the shop had left as that
// version shipped it is as this one does, and what the shop has set comes.
func TestTakenFromAnEarlierVersion(t *testing.T) {
	in := shop.Small(t, shop.Butt("N-1"))
	out, rep := priceFrom(t, in, shop.Demo("earlier/assumptions.xlsx"))
	g := sheetstest.Read(t, out)
	at := func(col, key string) sheetstest.Value {
		return g["Assumptions"][fmt.Sprint(col, shop.Assumption(t, g, key))]
	}
	assert.True(t, shop.HasFinding(rep, "lacks these, which stay as shipped", "saw_factor"))
	assert.Equal(t, at("J", "saw_factor").Num, at("C", "saw_factor").Num)
	assert.True(t, shop.HasFinding(rep, "as an earlier version shipped them", "utilisation 75 -> 85 %"))
	assert.Equal(t, 0.85, at("C", "utilisation").Num)
	assert.Equal(t, "shipped", at("K", "utilisation").Text)
	assert.True(t, shop.HasFinding(rep, "has nothing in these cells", "setup_fits of trailing shield, by hand (butt, pie cut)"))
	assert.NotZero(t, rep.Taken.Assumptions)
	was := sheetstest.Read(t, shop.Demo("earlier/assumptions.xlsx"))
	for _, key := range []string{"shop_rate", "clean_fit", "argon_price"} { // its own, by index.txt there
		row := shop.Assumption(t, was, key)
		for _, col := range []string{"C", "D", "E"} {
			want, got := was["Assumptions"][fmt.Sprint(col, row)], at(col, key)
			assert.InDelta(t, want.Num, got.Num, 1e-9, key+col)
			assert.Equal(t, want.Text, got.Text, key+col)
		}
	}
	assert.NotEmpty(t, rep.Taken.Values)

	// Said to be the shop's own, the old value is.
	g = sheetstest.Read(t, shop.Demo("earlier/assumptions.xlsx"))
	own := shop.TypeIn(t, shop.Demo("earlier/assumptions.xlsx"), shop.At("Assumptions", fmt.Sprint("M", shop.Assumption(t, g, "utilisation")), "as logged"))
	out, _ = priceFrom(t, in, own)
	g = sheetstest.Read(t, out)
	assert.Equal(t, 0.75, at("C", "utilisation").Num)
	assert.Equal(t, "as logged", at("M", "utilisation").Text)
}

// A line of other work that the shop has taken out stays out; one that the earlier
// version did not know comes as shipped. A column and a table that it did not know
// are as shipped too.
func TestTakenWithoutALine(t *testing.T) {
	in, last := shop.Small(t, shop.Butt("N-1")), lastQuote(t)
	g := sheetstest.Read(t, last)
	model, _ := shop.NamedRows(t, last, "seamtally.model")
	line := shop.TableRow(t, g, "Heat tint")
	var cells []shop.Cell
	for _, col := range "BCDEFGHIJKL" {
		cells = append(cells, shop.At("Assumptions", fmt.Sprintf("%c%d", col, line), ""))
	}
	has := func(path string) bool {
		g := sheetstest.Read(t, path)["Assumptions"]
		for row := 1; row < 600; row++ {
			if g[fmt.Sprint("B", row)].Text == "Heat tint" {
				return true
			}
		}
		return false
	}
	without := shop.TypeIn(t, last, cells...)
	out, rep := priceFrom(t, in, without)
	assert.False(t, has(out))
	assert.False(t, shop.HasFinding(rep, "lacks these"))

	older := shop.TypeIn(t, without, shop.At("Assumptions", fmt.Sprint("C", model), "00000000"))
	out, rep = priceFrom(t, in, older)
	assert.True(t, has(out))
	assert.True(t, shop.HasFinding(rep, "lacks these", "Heat tint of the table Other work and parts"))

	// One that this version has no more is named with what it was.
	first, last2 := shop.NamedRows(t, last, "seamtally.last")
	for row := first; row <= last2; row++ {
		if g["Assumptions"][fmt.Sprint("B", row)].Text == "kerf" {
			_, rep = priceFrom(t, in, shop.TypeIn(t, last, shop.At("Assumptions", fmt.Sprint("B", row), "old_rate"), shop.At("Assumptions", fmt.Sprint("C", row), "12 $")))
		}
	}
	assert.True(t, shop.HasFinding(rep, "no figure goes by any more", "old_rate 12 €"))

	none := shop.Edited(t, older, func(f *excelize.File) {
		for _, d := range f.GetDefinedName() {
			if strings.HasPrefix(d.Name, "rod_") || d.Name == "stock_charge" {
				require.NoError(t, f.DeleteDefinedName(&excelize.DefinedName{Name: d.Name}))
			}
		}
	})
	out, rep = priceFrom(t, in, none)
	assert.True(t, shop.HasFinding(rep, "lacks these", "the table Filler stock"))
	assert.True(t, shop.HasFinding(rep, "lacks these", "stock_charge"), "%v", rep.Findings)
	g = sheetstest.Read(t, out)
	stock := shop.TableRow(t, g, "grade 2", 3.0, 0.049)
	assert.Equal(t, 61.25, g["Assumptions"][fmt.Sprint("E", stock)].Num)
	assert.Equal(t, "used", g["Assumptions"][fmt.Sprint("G", stock)].Text)
	shop.TableRow(t, g, "grade 2", 0.045, 84.0) // the filler as shipped
}

// A starter with the rates of an earlier workbook is in its units, and names its
// set-ups.
func TestNewFrom(t *testing.T) {
	last, path := lastQuote(t), filepath.Join(t.TempDir(), "new.xlsx")
	o := func(last string) sheets.PriceOptions {
		return sheets.PriceOptions{Date: "2026-11-25", From: &sheets.From{Path: last}}
	}
	rep, err := sheets.NewFrom(t.Context(), path, false, o(last))
	require.NoError(t, err)
	assert.Equal(t, 9, rep.Taken.Assumptions)
	assert.True(t, shop.HasFinding(rep, "for cars that are not in this order"))
	for _, f := range rep.Findings {
		assert.True(t, strings.HasPrefix(f.Rule, sheets.FindTaken), f.What) // of the example rows there is nothing to say
	}
	g := sheetstest.Read(t, path)
	assert.Equal(t, "small shield, on rolls", g["Choices"]["A8"].Text)
	assert.Equal(t, 112.5, g["Assumptions"][fmt.Sprint("C", shop.Assumption(t, g, "shop_rate"))].Num)
	assert.Equal(t, "taken from shop.xlsx", strings.Split(said(shop.LogOf(t, path), 1)[1], ",")[0])
	again, later := onDay(t, path, "2026-11-26")
	assert.True(t, later.Unchanged)
	assert.True(t, shop.Content(t, path) == shop.Content(t, again))

	_, err = sheets.NewFrom(t.Context(), path, false, o(last))
	assert.ErrorContains(t, err, "is there already")
	_, err = sheets.NewFrom(t.Context(), filepath.Join(t.TempDir(), "new.xlsm"), false, o(last))
	assert.ErrorContains(t, err, "is an .xlsx")
	_, err = sheets.NewFrom(t.Context(), filepath.Join(t.TempDir(), "new.xlsx"), true, o(last))
	assert.ErrorContains(t, err, "its rates are in US units; leave --metric out")

	// Set-ups and alloys that the shop does not have are not named.
	g = sheetstest.Read(t, last)
	renamed := shop.TypeIn(t, last,
		shop.At("Assumptions", fmt.Sprint("B", shop.TableRow(t, g, "cup, stop and start")), "big cup"),
		shop.At("Assumptions", fmt.Sprint("B", shop.TableRow(t, g, "grade 2", "titanium")), "grade two"),
		shop.At("Assumptions", fmt.Sprint("C", shop.Assumption(t, g, "default_alloy")), "grade two"))
	path = filepath.Join(t.TempDir(), "new.xlsx")
	_, err = sheets.NewFrom(t.Context(), path, false, o(renamed))
	require.NoError(t, err)
	g = sheetstest.Read(t, path)
	assert.Equal(t, "Set-up", g["Joints"]["R4"].Text)
	assert.Empty(t, g["Joints"]["R5"].Text)
	assert.Equal(t, "trailing shield, on rolls", g["Joints"]["R6"].Text)
	assert.Equal(t, "Alloy", g["Joints"]["H4"].Text)
	assert.Empty(t, g["Joints"]["H5"].Text)

	metric, _ := shop.Price(t, shop.Starter(t, true))
	path = filepath.Join(t.TempDir(), "new.xlsx")
	_, err = sheets.NewFrom(t.Context(), path, false, o(metric))
	require.NoError(t, err)
	assert.Equal(t, "OD (mm)", sheetstest.Read(t, path)["Joints"]["F4"].Text)
}

// Columns settled in the earlier workbook are found by their headings: on the sheet
// that is called so, else where all its sheets have settled it alike; a heading that
// stands twice is asked about again. What the command line says goes first.
func TestSettledColumnsAreTaken(t *testing.T) {
	book := func(sheets ...map[string][]shop.Row) string {
		f := excelize.NewFile()
		for _, tabs := range sheets {
			for title, rows := range tabs {
				_, err := f.NewSheet(title)
				require.NoError(t, err)
				for i, row := range rows {
					require.NoError(t, f.SetSheetRow(title, fmt.Sprint("A", i+1), &row))
				}
			}
		}
		require.NoError(t, f.DeleteSheet("Sheet1"))
		return shop.Saved(t, f)
	}
	type rows = map[string][]shop.Row
	marks := 0
	butt := func(more ...any) shop.Row {
		marks++
		return append(shop.Row{fmt.Sprint("J-", marks), "butt", 3, 0.049}, more...)
	}
	head := func(more ...any) shop.Row {
		return append(shop.Row{"Joint no", "Kind", "OD (in)", "Wall (in)"}, more...)
	}
	settle := func(texts ...string) (out []settling.Settling) {
		for _, text := range texts {
			s, err := settling.Parse(text)
			require.NoError(t, err)
			out = append(out, s)
		}
		return out
	}
	price := func(in, last string, settled ...string) *sheets.Report {
		o := sheets.PriceOptions{In: in, Out: filepath.Join(t.TempDir(), "out.xlsx"), Settle: settle(settled...)}
		if last != "" {
			o.From = &sheets.From{Path: last}
		}
		rep, err := sheets.Price(t.Context(), o)
		require.NoError(t, err)
		return rep
	}
	last := price(book(
		rows{"Coupe": {head("To weld", "Colli", "Lot"), butt(2, 7, 4), butt(4, 8, 5)}},
		rows{"Spyder": {head("To weld", "Colli", "Lot"), butt(2, 7, 4), butt(4, 8, 5)}},
		rows{"Week": {{"Coupe", 3}}},
	), "", "Coupe!E=qty", "Coupe!F=own", "Coupe!G=own", "Spyder!E=qty", "Spyder!F=own", "Spyder!G=qty", "Week=own")
	require.NotEmpty(t, last.Output)

	moved := []shop.Row{head("Lot", "to weld", "Colli"), butt(4, 2, 7), butt(5, 3, 8)}
	for title, c := range map[string]struct {
		in      string
		settled []string
		columns int
		welds   float64
		asked   string
	}{
		"same title":        {book(rows{"Coupe": moved}), nil, 3, 5, ""},
		"another title":     {book(rows{"Hatch": moved}), nil, 2, 5, ""}, // Lot is not settled alike
		"twice":             {book(rows{"Coupe": {head("To weld", "Colli", "Colli"), butt(2, 7, 4), butt(3, 8, 5)}}), nil, 1, 5, "Colli"},
		"said otherwise":    {book(rows{"Coupe": moved}), []string{"Coupe!E=qty", "Coupe!F=own"}, 1, 9, ""},
		"a sheet of its":    {book(rows{"Coupe": moved}, rows{"Week": {{"Coupe", 3}}}), nil, 4, 5, ""},
		"nothing to settle": {book(rows{"Coupe": {head(), butt(), butt()}}), nil, 0, 2, ""},
	} {
		t.Run(title, func(t *testing.T) {
			rep := price(c.in, last.Output, c.settled...)
			assert.Equal(t, c.columns, rep.Taken.Columns)
			assert.Equal(t, c.welds, rep.Order["order_welds"])
			if c.asked == "" {
				assert.False(t, shop.HasFinding(rep, "not settled"), "%v", rep.Findings)
				assert.True(t, rep.Complete, "%v", rep.Findings)
			} else {
				assert.True(t, shop.HasFinding(rep, c.asked, "--settle"), "%v", rep.Findings)
			}
			assert.Equal(t, title == "a sheet of its", shop.HasFinding(rep, "Week", "the sheet is not read: in out.xlsx the shop has settled that it is its own"))
			again := price(rep.Output, "")
			assert.Equal(t, rep.Order, again.Order)
			assert.True(t, again.Unchanged)
		})
	}
}
