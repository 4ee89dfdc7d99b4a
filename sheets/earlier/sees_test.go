package earlier_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/templates"
)

// What the tests of earlier workbooks rest on sees every loss that it is to see:
// each is made in a copy of a workbook priced again.
func TestLossesOfEarlierWorkbooksAreSeen(t *testing.T) {
	type loss struct{ name, sheet, old, new, told string } // sheet, or a part
	for book, losses := range map[string][]loss{
		"notes.xlsx": {
			{"note beside a car", "Summary", "told by phone: two in spring", "told by phone", "the note"},
			{"note beside tube", "Summary", "two sticks on the rack", "", "Tube to buy"},
			{"text in a gap", "Summary", "in a gap between two blocks", "in a gap", "Summary!B36"},
			{"number on the right", "Summary", "<v>12.5</v>", "<v>12.25</v>", "Summary!P30"},
			{"formula on the right", "Summary", "<f>P30*2</f>", "", "Summary!Q31"},
			{"width", "Summary", `width="61.5"`, `width="44"`, "column 2 was 61.5 wide"},
			{"comment", "xl/comments/comment9.xml", `ref="C32"`, `ref="C33"`, "comment on Summary!C32"},
			{"picture", "xl/drawings/drawing1.xml", "<xdr:row>9</xdr:row>", "<xdr:row>10</xdr:row>", "picture on Summary!P10"},
			{"formula that points at Summary", "Shop", "C8*1.2</f>", "C9*1.2</f>", "Shop B4"},
			{"value of such a formula", "Shop", "<v>95</v>", "<v>96</v>", "Shop B6"},
			{"cell of the list", "Joints", "<v>2.5</v>", "<v>2.25</v>", "Joints F3"},
			{"basis", "Assumptions", "our books (invented)", "our books", "shop_rate L"},
			{"reliability", "Assumptions", "<t>good</t>", "<t>bad</t>", "shop_rate O"},
			{"remark", "Assumptions", "asked the supplier", "asked", "Assumptions!AE5"},
			{"sheet", "xl/workbook.xml", `name="Shop"`, `name="Shops"`, "sheet Shop is lost"},
			{"part", "docProps/app.xml", "</Properties>", "<Company>Demo</Company></Properties>", "docProps/app.xml holds nothing of ours"},
		},
		"assumptions.xlsx": {
			{"value", "Assumptions", `r="C97" s="43"><v>0.35<`, `r="C97" s="43"><v>0.36<`, "margin C"},
			{"unit", "Assumptions", "<t>$/m³</t>", "<t>$/L</t>", "argon_price D"},
			{"head", "Assumptions", "<t>Demo order 7</t>", "<t>Demo order</t>", "head_order C"},
			{"line of set-ups", "Assumptions", "<t>small shield, by hand</t>", "<t>small shield</t>", "setup_name, line 4"},
			{"line of stock", "Assumptions", "<v>31.5</v>", "<v>31</v>", "stock_"},
			{"line of parts", "Assumptions", "Silk bags (invented)", "Silk bags", "part_"},
			{"reason in the log", "Assumptions", "the landlord wants more (invented)", "the landlord", "the log's line"},
		},
		"columns.xlsx": {
			{"cell between ours", "Joints", "<t>bench 3</t>", "<t>bench</t>", "Joints BZ"},
			{"cell left of ours", "Joints", "<t>X-103</t>", "<t>X</t>", "Joints C"},
		},
		"us.xlsx": {
			{"name", "xl/workbook.xml", "'Joints'!$A$1:$X$10", "'Joints'!$A$1:$X$9", "_xlnm.Print_Area"},
		},
	} {
		b := earlierBook{name: book}
		for _, known := range earlierBooks() {
			if known.name == book {
				b = known
			}
		}
		was := see(t, b.path())
		out, _ := b.again(t, b.path())
		sheetParts := map[string]string{}
		for _, s := range shop.WorkbookOf(t, out).Sheets {
			sheetParts[s.Name] = s.PartName
		}
		for _, l := range shop.Some(losses, 3) {
			t.Run(book+", "+l.name, func(t *testing.T) {
				part, isSheet := sheetParts[l.sheet]
				if !isSheet {
					part = l.sheet
				}
				is := see(t, shop.Repacked(t, out, part, func(s string) string {
					require.Contains(t, s, l.old)
					return strings.Replace(s, l.old, l.new, 1)
				}))
				found := append(append(lost(was, is), b.lostCells(was, is)...), lostParts(t, was, is)...)
				assert.Contains(t, strings.Join(found, "\n"), l.told)
			})
		}
	}
}

// Figures that are other than they were are named: which, and where.
func TestOtherFiguresOfEarlierWorkbooksAreSeen(t *testing.T) {
	b := earlierBook{name: "us.xlsx"}
	_, rep := b.again(t, b.path())
	was := see(t, b.path())
	m, err := compute.Load(templates.FS, rep.System)
	require.NoError(t, err)
	changed := revised(t, m, false)
	for name, c := range map[string]struct {
		change func(*toldFigures)
		told   string
	}{
		"of the order":  {func(f *toldFigures) { f.Order["order_arc"] = f.Order["order_arc"].(float64) + 0.01 }, "order: order_arc is 4.55"},
		"of a car":      {func(f *toldFigures) { f.Cars[1]["car_arc"] = 0.5 }, "car Spyder Demo-B: car_arc is "},
		"of a line":     {func(f *toldFigures) { f.Lines[2]["arc_time"] = f.Lines[2]["arc_time"].(float64) * (1 + 1e-8) }, "Joints!9 A-14: arc_time is "},
		"not there now": {func(f *toldFigures) { f.Lines[0]["weld_metal"] = 2.0 }, "Joints!7 A-01: weld_metal is not there, was 2"},
		"blank then":    {func(f *toldFigures) { delete(f.Lines[0], "seam") }, "Joints!7 A-01: seam is "},
		"another joint": {func(f *toldFigures) { f.Lines[0]["mark"] = "A-00" }, "line 1 is Joints!7 A-01"},
		"another car":   {func(f *toldFigures) { f.Cars[0]["cars_ordered"] = 9.0 }, "ordered 8; was"},
		"fewer lines":   {func(f *toldFigures) { f.Lines = f.Lines[1:] }, "6 lines, were 3 and 5"},
		"rows":          {func(f *toldFigures) { f.Rows.LeftOut = 1 }, "left out"},
	} {
		t.Run(name, func(t *testing.T) {
			told := readTold[toldFigures](t, "us.json")
			c.change(&told)
			differ, _ := told.otherThan(rep, changed)
			require.Len(t, differ, 1)
			assert.Contains(t, differ[0], c.told)
		})
	}
	at := was.grid["Summary"]["C25"]
	at.Num += 0.01
	was.grid["Summary"]["C25"] = at
	at = was.grid["Joints"]["BX7"]
	at.Num += 0.001
	was.grid["Joints"]["BX7"] = at
	differ, _ := b.otherThanStored(was, rep, changed)
	require.Len(t, differ, 2)
	assert.Contains(t, strings.Join(differ, "\n"), "Summary!C25, order_arc: the cell has 4.56")
	assert.Contains(t, strings.Join(differ, "\n"), "Joints!BX7, ")
}
