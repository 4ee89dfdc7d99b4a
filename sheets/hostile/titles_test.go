package hostile_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// hostileTitles are titles that a sheet may have (at most 31 characters, none of
// [ ] : * ? / \, no apostrophe at an end), and that need care in a formula.
func hostileTitles() []string {
	return []string{
		"it's", "a''b", `a"b`, `"&A1&"`, "a!b", "!", "A1", "R1C1", "RC", "TRUE", "=1+1", "+1", "-", "@x", "|calc", "<b>", "&amp;", "SUM(1)", "#REF!",
		"1e5", "2026", "$A$1", "%s", "a.b", "x,y;z", "{1}", "日本", "😀", " a", "a  b", strings.Repeat(`'"`, 15)[1:] + "x", "shop_rate", "a\u202Eb", "a\u200Bb", "é",
	}
}

// titled is a workbook with a joint list on each of some sheets, whose titles are
// the cars, and names of the shop's own.
func titled(t *testing.T, titles []string, taken ...string) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, title := range titles {
		if i == 0 {
			require.NoError(t, f.SetSheetName("Sheet1", title))
		} else {
			_, err := f.NewSheet(title)
			require.NoError(t, err, "%q", title)
		}
		require.NoError(t, f.SetSheetRow(title, "A1", &shop.Row{"Joint no", "Kind", "Qty", "OD (in)", "Wall (in)"}))
		require.NoError(t, f.SetSheetRow(title, "A2", &shop.Row{fmt.Sprint("J-", i), "butt", 1, 3, 0.049}))
	}
	for _, name := range taken {
		require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: strings.ToUpper(name), RefersTo: `HYPERLINK("http://invalid.example",1)`}), name)
	}
	return shop.Saved(t, f)
}

// A title is a title and a car, and a name of the shop's stays the shop's, in
// capitals too: ours gives way.
func TestHostileTitles(t *testing.T) {
	shop.Heavy(t)
	shop.Play(t, shop.Scene{
		Name: "titles",
		Make: func(t *testing.T) []string {
			var lists []string
			for i := range hostileTitles() {
				lists = append(lists, fmt.Sprint("List ", i))
			}
			meek, _ := shop.PriceWith(t, titled(t, lists), "rates", "schedule", "buying")
			var taken []string
			for _, d := range shop.WorkbookOf(t, meek).Names {
				if d.Sheet < 0 && !strings.HasPrefix(d.Name, "seamtally.") { // by those the program knows its own
					taken = append(taken, d.Name)
				}
			}
			plain, _ := shop.PriceWith(t, titled(t, lists, taken...), "rates", "schedule", "buying")
			in := titled(t, hostileTitles(), taken...)
			out, rep := shop.PriceWith(t, in, "rates", "schedule", "buying")
			assert.Equal(t, len(hostileTitles()), rep.Priced, "%v", rep.Findings)
			refusedTitle(t)
			assert.Empty(t, meekShapes(t, meek, plain).strange(sheetstest.Read(t, out), hostileTitles()))
			samePackage(t, plain, out)
			lost, err := sheetstest.Kept(in, out, shop.OursIn(t, out))
			require.NoError(t, err)
			assert.Empty(t, lost)
			again, _ := shop.PriceWith(t, out, "rates", "schedule", "buying")
			assert.True(t, shop.Content(t, out) == shop.Content(t, again), "priced again, the bytes differ")
			kept := 0
			for _, d := range shop.WorkbookOf(t, out).Names {
				if strings.Contains(d.Ref, "HYPERLINK") {
					kept++
				}
			}
			assert.Equal(t, len(taken), kept, "names of the shop")
			return []string{out}
		},
		Check: func(t *testing.T, paths []string, live []sheetstest.Grid) {
			shop.Equal(t, paths[0], live[0])
			noErrors(t, live[0])
		},
	})
}

// A title that cannot be looked up leaves its rows out, and blanks around one
// are no part of the car.
func refusedTitle(t *testing.T) {
	t.Helper()
	out, rep := shop.Price(t, titled(t, []string{"a~b", " "}))
	assert.Equal(t, 1, rep.LeftOut)
	assert.True(t, shop.HasFinding(rep, "a~b", "reads as a pattern; rename the sheet, or type the car"), "%v", rep.Findings)
	require.Len(t, rep.Cars, 1)
	assert.Equal(t, "untitled", rep.Cars[0].Car)
	again, _ := shop.Price(t, out)
	assert.True(t, shop.Content(t, out) == shop.Content(t, again))
}
