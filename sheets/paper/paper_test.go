package paper

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets/part/workbook"
	"seamtally/sheets/part/worksheet"
)

// list has four columns of the shop's, marks in B, and results in E to G; the workings
// behind them are folded.
func list() List {
	return List{
		Title: "A, B", TopRow: 3, HeadEnd: 4, LastRow: 20, Mark: 2, First: 5, Last: 7, ShopLast: 4, Size: 10,
		Width: func(col int) float64 {
			if col > 7 {
				return 0
			}
			return 60
		},
	}
}

const (
	fitted = `<pageSetup orientation="landscape" fitToWidth="1" fitToHeight="0"/>`
	area   = "'A, B'!$A$1:$D$30"
)

// planned plans, and plans again from what came of it, which must be the same.
func planned(t *testing.T, l List) (Names, *worksheet.Print) {
	n, p := l.Plan()
	again := l
	again.Names = n
	if p != nil && p.New {
		again.Pages = worksheet.Pages{Setup: fitted, Fits: true, Foot: true}
	}
	m, _ := again.Plan()
	require.Equal(t, n, m, "a second run changes nothing")
	return n, p
}

func TestPagesOfOurOwn(t *testing.T) {
	l := list()
	n, p := planned(t, l)
	assert.Equal(t, Names{Area: "'A, B'!$A:$G", Titles: "'A, B'!$B:$B,'A, B'!$3:$4", Ours: "'A, B'!$A:$G,'A, B'!$B:$B,'A, B'!$3:$4"}, n)
	require.NotNil(t, p)
	assert.True(t, p.New && p.Landscape && p.Wide == 1, "%+v", p)

	l.LastRow = 300
	_, p = planned(t, l)
	assert.True(t, !p.Landscape && p.Wide == 1, "higher than wide, and legible upright: %+v", p)
	l.Width = func(int) float64 { return 120 }
	_, p = planned(t, l)
	assert.True(t, p.Landscape && p.Wide == 1, "two pages upright: %+v", p)
	l.Width = func(int) float64 { return 150 }
	_, p = planned(t, l)
	assert.True(t, !p.Landscape && p.Wide == 2, "two pages either way: %+v", p)

	l.Several, l.Mark, l.ShopLast = true, 0, 9
	n, _ = planned(t, l)
	assert.Equal(t, Names{Area: "'A, B'!$A:$I", Ours: "'A, B'!$A:$I"}, n, "no heading holds for all pages; what the shop wrote behind is printed")

	// What is read from a workbook is what was written to it.
	set, gone := Names{Titles: "x"}.Changed(n, 3)
	w := workbook.Workbook{Names: append(set, workbook.DefinedName{Name: "_xlnm.Print_Area", Sheet: 4, Ref: "other"})}
	assert.Equal(t, n, NamesOf(&w, 3))
	assert.Equal(t, []workbook.DefinedName{{Name: "_xlnm.Print_Titles", Sheet: 3}}, gone)
}

func TestBesideTheShopsArea(t *testing.T) {
	l := list()
	l.Names, l.Pages = Names{Area: area, Titles: "'A, B'!3:4"}, worksheet.Pages{Setup: fitted, Fits: true}
	n, p := planned(t, l)
	assert.Nil(t, p)
	assert.Equal(t, Names{
		Area: area + ",'A, B'!$E$3:$G$30", Titles: "'A, B'!$B:$B,'A, B'!3:4", WasArea: area, WasTitles: "'A, B'!3:4",
		Ours: "'A, B'!$E$3:$G$30,'A, B'!$B:$B,'A, B'!3:4",
	}, n)
	cleared, had := n.Cleared()
	assert.True(t, had)
	assert.Equal(t, l.Names, cleared)
	assert.False(t, n.Clears(l.Pages).Setup, "the page setup is the shop's")

	// Who sets the area anew has it as it was set from then on.
	theirs := n
	theirs.Area = "'A, B'!$A$1:$G$20"
	l.Names = theirs
	m, _ := planned(t, l)
	assert.Equal(t, theirs, m)
	cleared, _ = theirs.Cleared()
	assert.Equal(t, Names{Area: theirs.Area, Titles: theirs.Titles}, cleared)
}

// Nothing is added where the shop's pages could come out otherwise, or where it has set
// something up without an area.
func TestShopsPagesAreLeft(t *testing.T) {
	for name, change := range map[string]func(*List){
		"one page in all":       func(l *List) { l.Pages.Setup = `<pageSetup fitToWidth="1"/>` },
		"two pages wide":        func(l *List) { l.Pages.Setup = `<pageSetup fitToWidth="2" fitToHeight="0"/>` },
		"wider results":         func(l *List) { l.Last = 8; l.Width = func(int) float64 { return 60 } },
		"workings among them":   func(l *List) { l.Mixed = true },
		"a break by hand":       func(l *List) { l.Pages.ColBreaks = true },
		"several areas":         func(l *List) { l.Names.Area += "," + area },
		"a formula":             func(l *List) { l.Names.Area = "OFFSET('A, B'!$A$1,0,0,30,4)" },
		"gone":                  func(l *List) { l.Names.Area = "#REF!" },
		"marks outside":         func(l *List) { l.Names.Area = "'A, B'!$C$1:$D$30" },
		"results inside":        func(l *List) { l.Names.Area = "'A, B'!$A$1:$E$30" },
		"another part":          func(l *List) { l.Names.Area = "'A, B'!$A$1:$D$4" },
		"below the headings":    func(l *List) { l.Names.Area = "'A, B'!$A$5:$D$30" },
		"other columns again":   func(l *List) { l.Names.Titles = "'A, B'!$A:$A" },
		"no marks":              func(l *List) { l.Mark = 0 },
		"paper of no known":     func(l *List) { l.Pages = worksheet.Pages{Setup: `<pageSetup paperSize="70"/>`} },
		"wider than the paper":  func(l *List) { l.Pages = worksheet.Pages{}; l.Width = func(int) float64 { return 130 } },
		"no area, but a setup":  func(l *List) { l.Names = Names{}; l.Pages.Setup = `<pageSetup/>` },
		"no area, but titles":   func(l *List) { l.Names.Area = "" },
		"no area, but a footer": func(l *List) { l.Names = Names{}; l.Pages = worksheet.Pages{Foot: true} },
		"no area, but breaks":   func(l *List) { l.Names = Names{}; l.Pages = worksheet.Pages{RowBreaks: true} },
	} {
		l := list()
		l.Names, l.Pages = Names{Area: area}, worksheet.Pages{Setup: fitted, Fits: true}
		change(&l)
		n, p := planned(t, l)
		assert.Nil(t, p, name)
		assert.Equal(t, l.Names, n, name)
	}
	for name, change := range map[string]func(*List){
		"marks repeated":  func(l *List) { l.Names.Titles, l.Last = "'A, B'!$A:$B", 6 },
		"whole columns":   func(l *List) { l.Names.Area = "'A, B'!$A:$D" },
		"at its own size": func(l *List) { l.Pages = worksheet.Pages{Margins: true, Left: 1, Right: 1} },
		"on its side": func(l *List) {
			l.Pages = worksheet.Pages{Setup: `<pageSetup paperSize="9" orientation="landscape"/>`}
			l.Width = func(int) float64 { return 150 }
		},
	} {
		l := list()
		l.Names, l.Pages = Names{Area: area}, worksheet.Pages{Setup: fitted, Fits: true}
		change(&l)
		n, _ := planned(t, l)
		assert.NotEmpty(t, n.Ours, name)
		cleared, _ := n.Cleared()
		assert.Equal(t, l.Names, cleared, name)
	}
}
