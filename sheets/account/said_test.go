package account_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/settling"
	"seamtally/sheets/sheetstest/shop"
)

// What is said of joints beside their rows is asked about, with its cell, until the shop
// has settled that it says nothing; what says the same as the rows, or nothing, is not.
func TestSaidBesideRows(t *testing.T) {
	head := shop.Row{"Joint no", "OD (in)", "Wall (in)", "Kind", "Qty"}
	list := func(more ...shop.Row) tab {
		return tab{"Coupe", append([]shop.Row{head, {"A1", 3, 0.047, "butt", 2}, {"A2", 2.5, 0.047, "butt", 4}, {"A3", 3, 0.047, "butt", 1}}, more...)}
	}
	among := func(words string) tab {
		return tab{"Coupe", []shop.Row{head, {"A1", 3, 0.047, "butt", 2}, {words}, {"A2", 2.5, 0.047, "butt", 4}}}
	}
	notes := func(heading string, cells ...any) tab {
		rows := []shop.Row{{"Joint no", "OD (in)", "Wall (in)", heading}}
		for i, c := range cells {
			rows = append(rows, shop.Row{[]string{"A1", "A2", "A3"}[i], 3, 0.047, c})
		}
		return tab{"Coupe", rows}
	}
	counted := func(heading string, cells ...string) tab {
		rows := []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Qty", heading}}
		for i, c := range cells {
			rows = append(rows, shop.Row{[]string{"A1", "A2", "A3"}[i], 3, 0.047, i + 2, c})
		}
		return tab{"Coupe", rows}
	}
	firstOnly := func(word string, below int) tab {
		rows := []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Shielding"}, {"A1", 3, 0.047, word}}
		for i := range below {
			rows = append(rows, shop.Row{fmt.Sprint("A", i+2), 3, 0.047})
		}
		return tab{"Coupe", rows}
	}
	placed := tab{"Coupe", []shop.Row{{"Joint no", "Section", "OD (in)", "Wall (in)", "Qty"}, {"A1", "front", 3, 0.047, 2}, {"A2", "front", 3, 0.047, 1}, {"A3", "rear", 3, 0.047, 1}}}
	bare := tab{"Coupe", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Kind"}, {"A1", 3, 0.047, "butt"}, {"A2", 3, 0.047, "butt"}}}
	for name, c := range map[string]struct {
		tabs   []tab
		cell   string // "" for none
		says   string
		settle string
	}{
		"double all, above":              {[]tab{above(list(), shop.Row{"one side shown, double all"})}, "Coupe!A1", "more often", "Coupe!A1=own"},
		"another wall, above":            {[]tab{above(list(), shop.Row{"Wall 0.065 throughout"})}, "Coupe!A1", "another wall", "Coupe!A1=own"},
		"the same wall, above":           {[]tab{above(list(), shop.Row{"Wall 0.047 throughout"})}, "", "", ""},
		"the same wall in mm, above":     {[]tab{above(list(), shop.Row{"Wall 1.2 mm"})}, "", "", ""},
		"another metal, above":           {[]tab{above(list(), shop.Row{"Material: grade 9"})}, "Coupe!A1", "Ti-3Al-2.5V", "Coupe!A1=own"},
		"the same metal, above":          {[]tab{above(list(), shop.Row{"Material: grade 2"})}, "", "", ""},
		"another set-up, above":          {[]tab{above(list(), shop.Row{"Shielding", "trailing shield, on rolls"})}, "Coupe!A1", "another shielding set-up", "Coupe!A1=own"},
		"another colour in one cell":     {[]tab{above(list(), shop.Row{"Weld colour: bright"})}, "Coupe!A1", "another darkest colour", "Coupe!A1=own"},
		"the same set-up, above":         {[]tab{above(list(), shop.Row{"Shielding", "cup, stop and start"})}, "", "", ""},
		"a label of something else":      {[]tab{above(list(), shop.Row{"Customer", "on rolls"}, shop.Row{"Finish", "bright"})}, "", "", ""},
		"another rate, above":            {[]tab{above(list(), shop.Row{"Labour rate", 110})}, "Coupe!A1", "another shop rate", "Coupe!A1=own"},
		"another margin in one cell":     {[]tab{above(list(), shop.Row{"Margin 45 %"})}, "Coupe!A1", "another margin", "Coupe!A1=own"},
		"the same rate, above":           {[]tab{above(list(), shop.Row{"Labour rate", 95})}, "", "", ""},
		"something off, below":           {[]tab{below(list(), shop.Row{}, shop.Row{"Discount 10 %"})}, "Coupe!A6", "comes off the price", "Coupe!A6=own"},
		"a sheet of other rates":         {[]tab{list(), {"Ours", []shop.Row{{"Item", "Rate"}, {"Labour", 110}}}}, "Ours!B2", "another shop rate", "Ours=own"},
		"a sheet of the same rates":      {[]tab{list(), {"Ours", []shop.Row{{"Item", "Rate"}, {"Labour", 95}, {"Argon", 0.35}}}}, "", "", ""},
		"joints on another sheet":        {[]tab{list(), {"More", []shop.Row{{"Joint no", "Qty"}, {"A4", 2}}}}, "More!B2", "Qty per car", "More=own"},
		"a joint taken out elsewhere":    {[]tab{list(), {"Deleted", []shop.Row{{"A2"}}}}, "Deleted!A1", `says "deleted"`, "Deleted=own"},
		"several marks and a number":     {[]tab{list(), {"Kits", []shop.Row{{"Kit", "Joints", "A car"}, {"front", "A1, A2", 2}}}}, "Kits!C2", "numbers that may be", "Kits=own"},
		"how often a place is there":     {[]tab{placed, {"Assemblies", []shop.Row{{"Assembly", "Per car"}, {"front", 2}, {"rear", 1}}}}, "Assemblies!B2", "how often a car has", "Assemblies=own"},
		"hours of a place":               {[]tab{placed, {"Plan", []shop.Row{{"Place", "Hours"}, {"front", 4}, {"rear", 2}}}}, "", "", ""},
		"a change of a day":              {[]tab{list(), {"Log", []shop.Row{{"Day", "Change"}, {time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), "A2 qty 4 to 6"}}}}, "Log!B2", "change the joint A2", "Log=own"},
		"marks on a sheet of weights":    {[]tab{list(), {"Scales", []shop.Row{{"Joint no", "Weight kg"}, {"A1", 0.2}, {"A2", 0.3}}}}, "", "", ""},
		"half of it":                     {[]tab{above(list(), shop.Row{"Quantities for half the car"})}, "Coupe!A1", "more often", "Coupe!A1=own"},
		"another process":                {[]tab{notes("Process", "TIG", "MIG", nil)}, "Coupe!D3", "not to be welded", "Coupe!D=own"},
		"a tube that is not round":       {[]tab{notes("Shape", "round", "oval", nil)}, "Coupe!D3", "not round", "Coupe!D=own"},
		"an angle under a word of ours":  {[]tab{{"Coupe", []shop.Row{{"Kind", "OD (in)", "Wall (in)", "Bend angle", "Step (°)"}, {"pie cut", 3, 0.047, 45, 22.5}}}}, "Coupe!E1", "Pie angle", "Coupe!E=own"},
		"cars under a word of ours":      {[]tab{{"Joints", []shop.Row{{"OD (in)", "On", "Wall (in)"}, {3, "Demo 1", 0.047}, {3, "Demo1", 0.047}, {3, "Demo 2", 0.047}, {3, "Demo 2", 0.047}}}}, "Joints!B1", "may be Car", "Joints!B=own"},
		"an oval muffler":                {[]tab{notes("Joins to", "bellows", "oval muffler", nil)}, "", "", ""},
		"the same as another":            {[]tab{notes("Same as", nil, nil, "A2")}, "Coupe!D4", "as another", "Coupe!D=own"},
		"which are welded":               {[]tab{notes("Weld?", "Y", "N", "Y")}, "Coupe!D1", "the two differ", "Coupe!D=own"},
		"which are purged":               {[]tab{notes("Purge", "yes", "no", "yes")}, "Coupe!D1", "how many times", "Coupe!D=own"},
		"a set-up at the first only":     {[]tab{firstOnly("on rolls", 6)}, "Coupe!D2", "on the first joint only", "Coupe!D=setup"},
		"a set-up at the first of few":   {[]tab{firstOnly("on rolls", 3)}, "", "", ""},
		"the default at the first only":  {[]tab{firstOnly("cup", 6)}, "", "", ""},
		"all of another kind":            {[]tab{above(list(), shop.Row{"All joints are fillets"})}, "Coupe!A1", "kind fillet", "Coupe!A1=own"},
		"a mirror finish":                {[]tab{above(list(), shop.Row{"Outside polished to a mirror finish"})}, "", "", ""},
		"one word among":                 {[]tab{among("mirror")}, "Coupe!A3", "more often", "Coupe!A3=own"},
		"one word that is not known":     {[]tab{among("Spyder")}, "Coupe!A3", "the name of a car", "Coupe!A3=own"},
		"a place among":                  {[]tab{among("REAR")}, "", "", ""},
		"rows deleted":                   {[]tab{among("rows below are deleted")}, "Coupe!A3", "not part of the order", "Coupe!A3=own"},
		"the other side, below":          {[]tab{below(list(), shop.Row{"repeat the above for the left side"})}, "Coupe!A5", "more often", "Coupe!A5=own"},
		"notes below":                    {[]tab{below(list(), shop.Row{}, shop.Row{"Protective film removed from all tubes"})}, "", "", ""},
		"a pair":                         {[]tab{notes("Hand", "LH", "LH+RH", "RH")}, "Coupe!D3", "speaks of a pair", "Coupe!D=own"},
		"a kind under Remarks":           {[]tab{notes("Remarks", "see drawing", "pie cut", nil)}, "Coupe!D3", "names the kind pie cut", "Coupe!D=own"},
		"another wall under Remarks":     {[]tab{notes("Remarks", "see drawing", "use 0.065 wall", nil)}, "Coupe!D3", "another wall", "Coupe!D=own"},
		"the same wall under Remarks":    {[]tab{notes("Remarks", "see drawing", "0.047 wall", nil)}, "", "", ""},
		"a kind in a mark":               {[]tab{{"Coupe", []shop.Row{{"Joint no", "OD (in)", "Wall (in)"}, {"A1", 3, 0.047}, {"flange fillet", 3, 0.047}}}}, "Coupe!A3", "names the kind fillet", "Coupe!A=mark"},
		"marks beside pieces":            {[]tab{bare, {"Pieces", []shop.Row{{"Joint", "Count"}, {"A1", 2}, {"A2", 4}}}}, "Pieces!B2", "Qty per car", "Pieces=own"},
		"marks beside the same pieces":   {[]tab{list(), {"Pieces", []shop.Row{{"Joint", "Qty"}, {"A1", 2}, {"A2", 4}, {"A3", 1}}}}, "", "", ""},
		"marks beside other pieces":      {[]tab{list(), {"Pieces", []shop.Row{{"Joint", "Qty"}, {"A1", 2}, {"A2", 5}, {"A3", 1}}}}, "Pieces!B2", "Qty per car", "Pieces=own"},
		"marks beside drawings":          {[]tab{list(), {"Log", []shop.Row{{"Joint", "Drawing no", "Welder"}, {"A1", 1001, "one"}, {"A2", 1002, "two"}}}}, "", "", ""},
		"sizes in words":                 {[]tab{list(), {"More", []shop.Row{{"Joint", "Size", "Qty"}, {"B1", `3" OD x .065`, 2}, {"B2", "2.5 x .047", 2}}}}, "More!B2", "in its words", "More=own"},
		"joints in a sentence":           {[]tab{list(), {"Memo", []shop.Row{{"price includes 6 fillets not listed"}}}}, "Memo!A1", "tells of joints", "Memo=own"},
		"subtotals between":              {[]tab{list(shop.Row{nil, 3, 0.047, nil, 3}, shop.Row{"A4", 2, 0.035, "butt", 2}, shop.Row{"A5", 2, 0.035, "butt", 1}, shop.Row{nil, 2, 0.035, nil, 3})}, "Coupe!B5", "a total is no joint", ""},
		"one joint without a mark":       {[]tab{list(shop.Row{nil, 2.5, 0.047, nil, 4}, shop.Row{"A4", 2, 0.035, "butt", 2})}, "", "", ""},
		"a revision of the same car":     {[]tab{revision("Rev A", "A"), revision("Rev B", "N")}, "Rev B!A1", `'Rev B=own'`, "Rev B=own"},
		"which are priced":               {[]tab{notes("In price?", "y", "n", "y")}, "Coupe!D1", "not in this price", "Coupe!D=own"},
		"where they are welded":          {[]tab{notes("Shop/Field", "S", "F", "S")}, "Coupe!D1", "not for the shop to weld", "Coupe!D=own"},
		"all are welded here":            {[]tab{notes("Source", "in house", "in house", "in house")}, "", "", ""},
		"on which cars":                  {[]tab{notes("Used on", "Demo one, two", "Demo one", "Demo one")}, "Coupe!D1", "on some cars only", "Coupe!D=own"},
		"how much is welded":             {[]tab{notes("Weld %", 100, 50, 100)}, "Coupe!D1", "Weld %", "Coupe!D=own"},
		"what is quoted":                 {[]tab{notes("Quoted", "y", "n", "y")}, "Coupe!D1", "yes and no", "Coupe!D=own"},
		"letters of changes":             {[]tab{counted("Chg", "", "D", "A")}, "Coupe!E1", "some are gone", "Coupe!E=own"},
		"a cone":                         {[]tab{counted("Taper", "3 to 2.5", "", "")}, "Coupe!E2", "a second size", "Coupe!E=own"},
		"a range of torque":              {[]tab{notes("Remarks", "torque 10 to 12", "3/2", nil)}, "", "", ""},
		"from a car on":                  {[]tab{notes("Remarks", "all", "from car 5", nil)}, "Coupe!D3", "some of the cars", "Coupe!D=own"},
		"on the first car":               {[]tab{notes("Remarks", "check on first car", nil, nil)}, "", "", ""},
		"one hand only":                  {[]tab{notes("Remarks", nil, nil, "LH only")}, "Coupe!D4", "some of the cars", "Coupe!D=own"},
		"both sides of a weld":           {[]tab{notes("Weld side", "outside", "inside and outside", "outside")}, "Coupe!D3", "welded on both sides", "Coupe!D=own"},
		"cleaned on both sides":          {[]tab{notes("Remarks", "clean inside and outside", nil, nil)}, "", "", ""},
		"paste in place of a purge":      {[]tab{notes("Backing", "purge", "paste", "purge")}, "Coupe!D3", "not purged", "Coupe!D=own"},
		"a tube of another size":         {[]tab{notes("Joins", "2.5 tube", nil, nil)}, "Coupe!D2", "a second size", "Coupe!D=own"},
		"free of charge":                 {[]tab{notes("Price note", nil, "FOC", nil)}, "Coupe!D3", "not charged for", "Coupe!D=own"},
		"pieces of another car":          {[]tab{notes("Remarks", "4 on the Spyder", nil, nil)}, "Coupe!D2", "other cars", "Coupe!D=own"},
		"a share put on":                 {[]tab{above(list(), shop.Row{"add 10 % spare"})}, "Coupe!A1", "something is put on", "Coupe!A1=own"},
		"a deposit":                      {[]tab{above(list(), shop.Row{"Deposit 30 % with order"})}, "", "", ""},
		"another unit":                   {[]tab{above(list(), shop.Row{"Dimensions in mm"})}, "Coupe!A1", "another unit", "Coupe!A1=own"},
		"the same unit":                  {[]tab{above(list(), shop.Row{"Dimensions in inches"})}, "", "", ""},
		"a joint to come":                {[]tab{above(list(), shop.Row{"A9 to follow"})}, "Coupe!A1", "A9", "Coupe!A1=own"},
		"a lot only":                     {[]tab{above(list(), shop.Row{"Lot A only"})}, "Coupe!A1", "some of them", "Coupe!A1=own"},
		"for information":                {[]tab{above(list(), shop.Row{"For information only"})}, "", "", ""},
		"a spare set":                    {[]tab{above(list(), shop.Row{"Include one spare set"})}, "Coupe!A1", "as spares", "Coupe!A1=own"},
		"spare gaskets":                  {[]tab{above(list(), shop.Row{"Spare gaskets in the box"})}, "", "", ""},
		"another rod":                    {[]tab{above(list(), shop.Row{"All joints with filler 0.062"})}, "Coupe!A1", "another", "Coupe!A1=own"},
		"people":                         {[]tab{above(list(), shop.Row{"Needs 2 people"})}, "", "", ""},
		"a total of a side":              {[]tab{below(list(), shop.Row{"Total per side", nil, nil, nil, 7})}, "Coupe!A5", "more often", "Coupe!A5=own"},
		"what one asks and one answers":  {[]tab{list(), {"Q&A", []shop.Row{{"Wall?", "0.065 for all"}}}}, "Q&A!B1", "another wall", "Q&A=own"},
		"pieces counted again":           {[]tab{list(), {"Pivot", []shop.Row{{"Row Labels", "Sum"}, {"A1", 2}, {"A2", 4}, {"A3", 1}, {"All of it", 7}}}}, "", "", ""},
		"assemblies of a column of ours": {[]tab{{"Coupe", []shop.Row{{"Joint no", "Assembly", "OD (in)", "Wall (in)", "Qty"}, {"A1", "Front pipe", 3, 0.047, 2}, {"A2", "Rear pipe", 3, 0.047, 1}}}, {"Assemblies", []shop.Row{{"Assembly", "Per car"}, {"Front pipe", 2}}}}, "Assemblies!B2", "how often a car has", "Assemblies=own"},
		"what is ordered":                {[]tab{list(), {"Order", []shop.Row{{"Item", "Text", "Number"}, {10, "Exhaust systems", 8}}}}, "Order!B2", "beside a whole number", "Order=own"},
		"dots under cars":                {[]tab{{"Coupe", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Demo X", "Demo Y"}, {"A1", 3, 0.047, "●", "●"}, {"A2", 3, 0.047, "●", nil}}}}, "Coupe!D1", "on which cars", "Coupe!*=own"},
		"ticks of steps":                 {[]tab{{"Coupe", []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Cut", "Fit"}, {"A1", 3, 0.047, "✓", "✓"}, {"A2", 3, 0.047, "✓", nil}}}}, "", "", ""},
		"the list ends":                  {[]tab{among("END")}, "Coupe!A3", "ends there", "Coupe!A3=own"},
		"a mark that says it is no more": {[]tab{list(shop.Row{"J9 - not used", 3, 0.047, "butt", 2})}, "Coupe!B5", "none any more", ""},
	} {
		t.Run(name, func(t *testing.T) {
			in := workbook(t, c.tabs...)
			_, rep := shop.Price(t, in)
			var open []book.Finding
			for _, f := range rep.Findings {
				if f.Level == book.LevelError {
					open = append(open, f)
				}
			}
			if c.cell == "" {
				assert.True(t, rep.Complete, "%v", open)
				return
			}
			require.NotEmpty(t, open)
			assert.False(t, rep.Complete)
			assert.Equal(t, c.cell, open[0].Cell, "%v", open)
			assert.Contains(t, open[0].What+open[0].Fix, c.says)
			if c.settle == "" {
				return
			}
			s, err := settling.Parse(c.settle)
			require.NoError(t, err)
			rep, err = sheets.Price(t.Context(), sheets.PriceOptions{In: in, DryRun: true, Settle: []settling.Settling{s}})
			require.NoError(t, err)
			assert.True(t, rep.Complete, "%v", rep.Findings)
		})
	}
}

// A comment at a joint says what the same words in a column beside it would; one that is
// settled is asked about again where it has other words.
func TestComments(t *testing.T) {
	write := func(c ...excelize.Comment) string {
		f := excelize.NewFile()
		require.NoError(t, f.SetSheetName("Sheet1", "Coupe"))
		for i, row := range []shop.Row{{"Joint no", "OD (in)", "Wall (in)", "Kind", "Qty"}, {"A1", 3, 0.047, "butt", 2}, {"A2", 2.5, 0.047, "butt", 4}} {
			require.NoError(t, f.SetSheetRow("Coupe", fmt.Sprintf("A%d", i+1), (*[]any)(&row)))
		}
		_, err := f.NewSheet("Cars")
		require.NoError(t, err)
		require.NoError(t, f.SetSheetCol("Cars", "A1", &[]any{"Car", "Coupe"}))
		require.NoError(t, f.SetSheetCol("Cars", "B1", &[]any{"Cars ordered", 8}))
		for _, c := range c {
			sheet, cell, _ := strings.Cut(c.Cell, "!")
			require.NoError(t, f.AddComment(sheet, excelize.Comment{Cell: cell, Author: "A. Fitter", Text: c.Text}))
		}
		return shop.Saved(t, f)
	}
	for text, want := range map[string]string{
		"A. Fitter:\nx3 on this car": "3 pieces", "A. Fitter:\nx2": "", "wall 0.065": "another wall", "wall 0.047": "", "deleted": "not part", "by others": "not part", "pie cut": "another kind",
		"see A2": "as another", "see A1": "", "12 March": "", "checked": "", "A. Fitter:": "", "bead ok\nskip": "not to be welded",
	} {
		_, rep := shop.Price(t, write(excelize.Comment{Cell: "Coupe!G2", Text: text}))
		assert.Equal(t, want == "", rep.Complete, text)
		i := slices.IndexFunc(rep.Findings, func(f book.Finding) bool { return f.Level == book.LevelError })
		if want != "" && assert.GreaterOrEqual(t, i, 0, text) {
			assert.Equal(t, "Coupe!G2", rep.Findings[i].Cell, text)
			assert.Contains(t, rep.Findings[i].What, want, text)
		}
	}
	for at, text := range map[string]string{"Coupe!A1": "double all", "Coupe!C9": "mirror", "Cars!A2": "now 10", "Cars!D9": "double all"} {
		in := write(excelize.Comment{Cell: at, Text: text})
		_, rep := shop.Price(t, in)
		assert.False(t, rep.Complete, text)
		s, err := settling.Parse(at + "=own")
		require.NoError(t, err)
		out := filepath.Join(t.TempDir(), "priced.xlsx")
		rep, err = sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Settle: []settling.Settling{s}})
		require.NoError(t, err)
		assert.True(t, rep.Complete, "%v", rep.Findings)
		_, rep = shop.Price(t, out)
		assert.True(t, rep.Complete, "kept: %v", rep.Findings)
		_, rep = shop.Price(t, shop.Repacked(t, out, "xl/comments1.xml", func(s string) string { return strings.Replace(s, text, "all x12", 1) }))
		assert.False(t, rep.Complete, "%s: other words", at)
	}
}

// revision is a list of a car whose marks begin with a letter.
func revision(title, letter string) tab {
	t := tab{title, []shop.Row{{"Car", "Joint no", "OD (in)", "Wall (in)"}}}
	for i, od := range []float64{3, 2.5, 3} {
		t.rows = append(t.rows, shop.Row{"Coupe", letter + string(rune('1'+i)), od, 0.047})
	}
	return t
}
