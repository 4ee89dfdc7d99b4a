package audit_test

import (
	"encoding/xml"
	"fmt"
	"html"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/sheets"
	"seamtally/sheets/audit"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/workbook"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// seedBed is a priced workbook into which faults are put: in the bytes of its
// parts, not through anything that writes workbooks.
type seedBed struct {
	t      testing.TB
	path   string
	parts  map[string]string
	sheets map[string]string // part of every sheet, by its title
	grid   sheetstest.Grid
	rep    *sheets.Report
}

func bedOf(t testing.TB, in string) *seedBed {
	b := &seedBed{t: t, sheets: map[string]string{}}
	b.path, b.rep = pricedWithLines(t, in)
	b.parts, b.grid = shop.Parts(t, b.path), sheetstest.Read(t, b.path)
	for _, s := range shop.WorkbookOf(t, b.path).Sheets {
		b.sheets[s.Name] = s.PartName
	}
	return b
}

func pricedWithLines(t testing.TB, in string) (string, *sheets.Report) {
	out := shop.Put(t, nil)
	rep, err := sheets.Price(t.Context(), sheets.PriceOptions{In: in, Out: out, Force: true, Lines: true})
	require.NoError(t, err)
	return out, rep
}

// copy is a bed of its own with the same in it.
func (b *seedBed) copy() *seedBed {
	c := *b
	c.parts = maps.Clone(b.parts)
	return &c
}

// file is the workbook with what was put into it.
func (b *seedBed) file() string { return shop.Put(b.t, shop.Packed(b.t, b.parts)) }

func (b *seedBed) column(sheet, key string) string { return shop.OurColumn(b.t, b.grid, sheet, key) }

// cell changes the XML of a cell.
func (b *seedBed) cell(sheet, ref string, change func(cell string) string) string {
	name := b.sheets[sheet]
	is := regexp.MustCompile(`<c r="` + ref + `"(?:[^>]*[^/])?(?:/>|>.*?</c>)`)
	old := is.FindString(b.parts[name])
	require.NotEmpty(b.t, old, "%s!%s", sheet, ref)
	b.parts[name] = strings.Replace(b.parts[name], old, change(old), 1)
	return sheet + "!" + ref
}

// put gives a cell a formula, if there is one, and a value; it keeps its style.
func (b *seedBed) put(sheet, ref, formula string, value any) string {
	return b.cell(sheet, ref, func(cell string) string {
		style := regexp.MustCompile(` s="[0-9]+"`).FindString(cell[:strings.Index(cell, ">")+1])
		f := ""
		if formula != "" {
			var text strings.Builder
			require.NoError(b.t, xml.EscapeText(&text, []byte(formula)))
			f = "<f>" + text.String() + "</f>"
		}
		switch v := value.(type) {
		case float64:
			return `<c r="` + ref + `"` + style + `>` + f + `<v>` + strconv.FormatFloat(v, 'g', -1, 64) + `</v></c>`
		case string:
			if strings.HasPrefix(v, "#") {
				return `<c r="` + ref + `"` + style + ` t="e">` + f + `<v>` + v + `</v></c>`
			}
			return `<c r="` + ref + `"` + style + ` t="str">` + f + `<v>` + v + `</v></c>`
		}
		return `<c r="` + ref + `"` + style + `/>`
	})
}

// ofLine is the cell of a figure on a joint row.
func (b *seedBed) ofLine(l sheets.LineReport, key string) (ref string, v sheetstest.Value) {
	ref = fmt.Sprint(b.column(l.Sheet, key), l.Row)
	return ref, b.grid[l.Sheet][ref]
}

// workbook changes the workbook part.
func (b *seedBed) workbook(old, new string) {
	name := shop.WorkbookOf(b.t, b.path).Part
	require.Regexp(b.t, old, b.parts[name])
	b.parts[name] = regexp.MustCompile(old).ReplaceAllString(b.parts[name], new)
}

func (b *seedBed) totals(path string) (cost, price float64) {
	_, rep := pricedWithLines(b.t, path)
	return rep.Order["order_cost"], rep.Order["order_price"]
}

// audited audits a workbook.
func audited(t testing.TB, path, against string) *audit.Report {
	t.Helper()
	rep, err := audit.Workbook(t.Context(), audit.Options{In: path, Against: against})
	require.NoError(t, err)
	return rep
}

// faultAt is the fault of a kind at a cell.
func faultAt(rep *audit.Report, rule, cell string) *audit.Fault {
	for i, f := range rep.Faults {
		if f.Rule == rule && f.Cell == cell {
			return &rep.Faults[i]
		}
	}
	return nil
}

// seedling is one kind of fault.
type seedling struct {
	name  string
	rule  string
	grade audit.Grade
	// sow puts the fault in and gives the cell that is to be named.
	sow func(b *seedBed, l sheets.LineReport) string
	// effect gives what it does to cost and price, found in another way than
	// the audit finds it; nil where nothing is said of it, or where LibreOffice
	// says it.
	effect func(b, seeded *seedBed, l sheets.LineReport) (cost, price float64)
	office bool     // LibreOffice works out what it does
	base   bool     // found against the workbook as it was
	also   []string // rules of what follows from it
}

// typedEffect is what it does to the price if the number that the cell shows is
// typed there: the workbook is priced with it, and without.
func typedEffect(key string) func(b, seeded *seedBed, l sheets.LineReport) (float64, float64) {
	return func(b, seeded *seedBed, l sheets.LineReport) (float64, float64) {
		ref, _ := b.ofLine(l, key)
		typed := b.copy()
		shown := sheetstest.Read(b.t, seeded.file())[l.Sheet][ref]
		typed.put(l.Sheet, ref, "", shown.Num)
		c1, p1 := b.totals(typed.file())
		return c1 - b.rep.Order["order_cost"], p1 - b.rep.Order["order_price"]
	}
}

// priceEffect is the difference between the two workbooks, both priced.
func priceEffect(b, seeded *seedBed, _ sheets.LineReport) (float64, float64) {
	c1, p1 := b.totals(seeded.file())
	return c1 - b.rep.Order["order_cost"], p1 - b.rep.Order["order_price"]
}

// assuming is what the order is otherwise once an assumption has that value.
func assuming(key string, x float64) func(b, seeded *seedBed, l sheets.LineReport) (cost, price float64) {
	return func(b, _ *seedBed, l sheets.LineReport) (float64, float64) {
		other := b.copy()
		other.put("Assumptions", fmt.Sprint("C", shop.Assumption(b.t, b.grid, key)), "", x)
		return priceEffect(b, other, l)
	}
}

func nothing(_, _ *seedBed, _ sheets.LineReport) (float64, float64) { return 0, 0 }

// inOffice gives a cell a formula, and as its value what LibreOffice makes of
// it in that workbook.
func (b *seedBed) inOffice(sheet, ref, formula string) string {
	return b.put(sheet, ref, formula, 0.0) // the value comes later, from LibreOffice
}

func seedlings() []seedling {
	other := func(formula string, row, to int) string {
		return regexp.MustCompile(`([A-Z]+)`+fmt.Sprint(row)+`\b`).ReplaceAllString(formula, "${1}"+fmt.Sprint(to))
	}
	return []seedling{
		{name: "constant in a formula", rule: "constant in a formula", grade: audit.Wrong, office: true,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "floor_time")
				return b.inOffice(l.Sheet, ref, v.Formula+"+7.5")
			}},
		{name: "odd one out", rule: "formula changed", grade: audit.Wrong, office: true,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "floor_time")
				return b.inOffice(l.Sheet, ref, other(v.Formula, l.Row, l.Row+1))
			}},
		{name: "anchor lost", rule: "anchor lost", grade: audit.Doubtful, effect: nothing,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "check")
				return b.put(l.Sheet, ref, strings.ReplaceAll(v.Formula, "$", ""), v.Text)
			}},
		{name: "error masked", rule: "error masked", grade: audit.Doubtful, effect: nothing,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "labour")
				return b.put(l.Sheet, ref, "IFERROR("+v.Formula+",0)", v.Num)
			}},
		{name: "error value", rule: "error value", grade: audit.Wrong,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "labour")
				return b.put(l.Sheet, ref, v.Formula, "#DIV/0!")
			}},
		{name: "stale value", rule: "stale value", grade: audit.Wrong, effect: typedEffect("floor_time"),
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "floor_time")
				return b.put(l.Sheet, ref, v.Formula, v.Num+41.5)
			}},
		{name: "formula gone", rule: "formula gone", grade: audit.Wrong,
			effect: func(b, _ *seedBed, l sheets.LineReport) (float64, float64) {
				zero := b.copy()
				ref, _ := b.ofLine(l, "floor_time")
				zero.put(l.Sheet, ref, "", 0.0)
				return priceEffect(b, zero, l)
			},
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, _ := b.ofLine(l, "floor_time")
				return b.put(l.Sheet, ref, "", nil)
			}},
		{name: "typed over", also: []string{audit.RuleJointsChanged, audit.RuleStale}, rule: "override not recorded", grade: audit.Doubtful, effect: priceEffect,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "floor_time")
				return b.put(l.Sheet, ref, "", v.Num+33.25)
			}},
		{name: "text typed over", rule: "text typed over a figure", grade: audit.Wrong,
			also: []string{audit.RuleJointsChanged, audit.RuleStale, audit.RuleUnsettled, audit.RuleOtherRows},
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "floor_time")
				return b.put(l.Sheet, ref, "", fmt.Sprintf("%.4f", v.Num))
			}},
		{name: "look-up typed over", rule: "row left out", grade: audit.Wrong,
			also: []string{audit.RuleJointsChanged, audit.RuleStale, audit.RuleUnsettled, audit.RuleOtherRows},
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, _ := b.ofLine(l, "setup_no")
				return b.put(l.Sheet, ref, "", 99.0)
			}},
		{name: "link to another workbook", rule: "link to another workbook", grade: audit.Wrong, effect: typedEffect("floor_time"),
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref, v := b.ofLine(l, "floor_time")
				return b.put(l.Sheet, ref, "[1]Rates!$B$2*2", v.Num/2)
			}},
		{name: "total changed", rule: "total changed", grade: audit.Wrong, office: true,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref := b.tally(l.Sheet, b.column(l.Sheet, "floor_time"))
				f := b.grid["Workings"][ref].Formula
				c := b.column(l.Sheet, "floor_time")
				by := b.column(l.Sheet, "car_no")
				for _, col := range []string{c, by} { // short of every joint
					f = strings.Replace(f, "$"+col+":$"+col, fmt.Sprintf("$%s$1:$%s$%d", col, col, b.first(l.Sheet)-1), 1)
				}
				return b.inOffice("Workings", ref, f)
			}},
		{name: "typed over on Summary", rule: "formula typed over", grade: audit.Wrong,
			effect: func(b, _ *seedBed, _ sheets.LineReport) (float64, float64) { return -100, 0 },
			sow: func(b *seedBed, _ sheets.LineReport) string {
				ref := b.onWorkings(labelCost)
				return b.put("Workings", ref, "", b.grid["Workings"][ref].Num-100)
			}},
		{name: "value used", rule: "formula typed over", grade: audit.Wrong,
			effect: func(b, _ *seedBed, l sheets.LineReport) (float64, float64) {
				dearer := b.copy()
				ref := fmt.Sprint("C", shop.Assumption(b.t, b.grid, "shop_rate"))
				dearer.put("Assumptions", ref, "", b.grid["Assumptions"][ref].Num+5)
				return priceEffect(b, dearer, l)
			},
			sow: func(b *seedBed, _ sheets.LineReport) string {
				row := shop.Assumption(b.t, b.grid, "shop_rate")
				ref := fmt.Sprint("E", row)
				return b.put("Assumptions", ref, "", b.grid["Assumptions"][fmt.Sprint("C", row)].Num+5)
			}},
		{name: "broken name", rule: "broken name", grade: audit.Wrong,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				b.workbook(`(<definedName name="shop_rate"[^>]*>)[^<]*<`, "${1}Assumptions!#REF!<")
				return "shop_rate"
			}},
		{name: "name of one sheet", rule: "broken name", grade: audit.Wrong,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				at := slices.IndexFunc(shop.WorkbookOf(b.t, b.path).Sheets, func(s workbook.Sheet) bool { return s.Name == "Workings" })
				b.workbook(`<definedName name="shop_rate"`, fmt.Sprintf(`<definedName name="shop_rate" localSheetId="%d">60</definedName><definedName name="shop_rate"`, at))
				return "shop_rate"
			}},
		{name: "name made a number", rule: "broken name", grade: audit.Wrong,
			effect: assuming("shop_rate", 60),
			sow: func(b *seedBed, _ sheets.LineReport) string {
				b.workbook(`(<definedName name="shop_rate"[^>]*>)[^<]*<`, "${1}60<")
				return "shop_rate"
			}},
		{name: "days from another year", rule: "touched since the last run", grade: audit.Doubtful, effect: nothing,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				b.workbook(`<workbookPr\b`, `<workbookPr date1904="1"`)
				return "the workbook"
			}},
		{name: "heading of another figure", rule: "touched since the last run", grade: audit.Doubtful, effect: nothing,
			sow: func(b *seedBed, l sheets.LineReport) string {
				at := func(key string) string { return fmt.Sprint(b.column(l.Sheet, key), b.first(l.Sheet)-1) }
				was := b.grid[l.Sheet][at("labour")].Text
				require.NotEmpty(b.t, was)
				return b.put(l.Sheet, at("floor_time"), "", html.EscapeString(was))
			}},
		{name: "shipped value", rule: "touched since the last run", grade: audit.Doubtful, effect: nothing, also: []string{audit.RuleStale},
			sow: func(b *seedBed, _ sheets.LineReport) string {
				return b.put("Assumptions", fmt.Sprint("J", shop.Assumption(b.t, b.grid, "shop_rate")), "", 1.5)
			}},
		{name: "hidden by a condition", rule: "value not shown as it is", grade: audit.Doubtful, effect: nothing,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				ref, name := b.onWorkings(shop.LabelPrice), b.sheets["Workings"]
				b.parts[name] = strings.Replace(b.parts[name], "<conditionalFormatting",
					`<conditionalFormatting sqref="`+ref+`"><cfRule type="dataBar" priority="99"><dataBar showValue="0"><cfvo type="min"/><cfvo type="max"/><color rgb="FF638EC6"/></dataBar></cfRule></conditionalFormatting><conditionalFormatting`, 1)
				return "Workings!" + ref
			}},
		{name: "typed over where it is only shown", rule: "formula typed over", grade: audit.Wrong, effect: nothing,
			sow: func(b *seedBed, _ sheets.LineReport) string { return b.put("Summary", "A6", "", 99000.0) }},
		{name: "name that ends early", rule: "broken name", grade: audit.Wrong,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				b.workbook(`(<definedName name="setup_travel"[^>]*>[^<!]*!)([$A-Z0-9]+):[$A-Z0-9]+<`, "${1}${2}:${2}<")
				return "setup_travel"
			}},
		{name: "manual", rule: "manual calculation", grade: audit.Doubtful,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				b.workbook(`<calcPr`, `<calcPr calcMode="manual"`)
				return "the workbook"
			}},
		{name: "hidden row", rule: "hidden row priced", grade: audit.WorthKnowing,
			sow: func(b *seedBed, l sheets.LineReport) string {
				name := b.sheets[l.Sheet]
				b.parts[name] = strings.Replace(b.parts[name], fmt.Sprintf(`<row r="%d"`, l.Row), fmt.Sprintf(`<row r="%d" hidden="1"`, l.Row), 1)
				return l.Sheet + "!" + b.input(l, "od")
			}},
		{name: "number kept as text", rule: "number kept as text", grade: audit.Doubtful,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref := b.input(l, "od")
				return b.put(l.Sheet, ref, "", fmt.Sprint(b.grid[l.Sheet][ref].Num))
			}},
		{name: "other sign", also: []string{audit.RuleJointsChanged, audit.RuleLeftOut, audit.RuleUnsettled, audit.RuleOtherRows}, rule: "unit mixed up", grade: audit.Doubtful, base: true,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref := b.input(l, "od")
				return b.put(l.Sheet, ref, "", -b.grid[l.Sheet][ref].Num)
			}},
		{name: "date", also: []string{audit.RuleJointsChanged}, rule: "date for a number", grade: audit.Wrong,
			sow: func(b *seedBed, l sheets.LineReport) string {
				styles := shop.WorkbookOf(b.t, b.path).Styles
				xfs := regexp.MustCompile(`<cellXfs count="([0-9]+)"`).FindStringSubmatch(b.parts[styles])
				n, err := strconv.Atoi(xfs[1])
				require.NoError(b.t, err)
				b.parts[styles] = strings.Replace(strings.Replace(b.parts[styles], xfs[0], fmt.Sprintf(`<cellXfs count="%d"`, n+1), 1),
					"</cellXfs>", `<xf numFmtId="14" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/></cellXfs>`, 1)
				ref := b.input(l, "od")
				return b.cell(l.Sheet, ref, func(string) string { return fmt.Sprintf(`<c r="%s" s="%d"><v>46024</v></c>`, ref, n) })
			}},
		{name: "text for a number", rule: "assumption unreadable", grade: audit.Wrong,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				return b.put("Assumptions", fmt.Sprint("C", shop.Assumption(b.t, b.grid, "margin")), "", "8 pcs")
			}},
		{name: "number cleared", rule: "assumption unreadable", grade: audit.Wrong,
			effect: assuming("margin", 0),
			sow: func(b *seedBed, _ sheets.LineReport) string {
				return b.put("Assumptions", fmt.Sprint("C", shop.Assumption(b.t, b.grid, "margin")), "", nil)
			}},
		{name: "out of range", also: []string{audit.RuleNotLogged, audit.RuleStale}, rule: "assumption out of range", grade: audit.Doubtful,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				ref := fmt.Sprint("C", shop.Assumption(b.t, b.grid, "shop_rate"))
				return b.put("Assumptions", ref, "", b.grid["Assumptions"][ref].Num*7)
			}},
		{name: "no basis", also: []string{audit.RuleStale}, rule: "assumption without a basis", grade: audit.WorthKnowing,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				return b.put("Assumptions", fmt.Sprint("L", shop.Assumption(b.t, b.grid, "shop_rate")), "", nil)
			}},
		{name: "assumption changed", also: []string{audit.RuleStale}, rule: "assumption changed without a line in the log", grade: audit.Doubtful, base: true, effect: priceEffect,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				ref := fmt.Sprint("C", shop.Assumption(b.t, b.grid, "shop_rate"))
				return b.put("Assumptions", ref, "", b.grid["Assumptions"][ref].Num*1.25)
			}},
		{name: "changed without a line", also: []string{audit.RuleStale}, rule: "assumption changed without a line in the log", grade: audit.Doubtful, effect: priceEffect,
			sow: func(b *seedBed, _ sheets.LineReport) string {
				ref := fmt.Sprint("C", shop.Assumption(b.t, b.grid, "shop_rate"))
				return b.put("Assumptions", ref, "", b.grid["Assumptions"][ref].Num*1.125)
			}},
		{name: "joint missing", also: []string{audit.RuleJointsChanged, audit.RuleStale, audit.RuleTotal, audit.RuleOtherRows, audit.RuleUnsettled}, rule: "joint missing", grade: audit.Wrong, base: true, effect: priceEffect,
			sow: func(b *seedBed, l sheets.LineReport) string {
				name := b.sheets[l.Sheet]
				row := regexp.MustCompile(fmt.Sprintf(`<row r="%d"[^>]*>.*?</row>`, l.Row))
				require.Regexp(b.t, row, b.parts[name])
				b.parts[name] = row.ReplaceAllString(b.parts[name], "")
				return fmt.Sprintf("%s!A%d", l.Sheet, l.Row)
			}},
		{name: "unit of a row", also: []string{audit.RuleJointsChanged, audit.RuleStale}, rule: "unit mixed up", grade: audit.Doubtful, base: true, effect: priceEffect,
			sow: func(b *seedBed, l sheets.LineReport) string {
				ref := b.input(l, "qty")
				return b.put(l.Sheet, ref, "", b.grid[l.Sheet][ref].Num*10)
			}},
		{name: "joint twice", also: []string{audit.RuleJointTwice, audit.RuleUnsettled, audit.RuleOtherRows, audit.RuleJointsChanged, audit.RuleNoFigures, audit.RuleTotal}, rule: "joint twice", grade: audit.Doubtful, base: true, effect: priceEffect,
			sow: func(b *seedBed, l sheets.LineReport) string {
				name, last := b.sheets[l.Sheet], 0
				for _, o := range b.rep.Lines {
					if o.Sheet == l.Sheet {
						last = max(last, o.Row)
					}
				}
				row := regexp.MustCompile(fmt.Sprintf(`<row r="%d"[^>]*>.*?</row>`, l.Row)).FindString(b.parts[name])
				twin := regexp.MustCompile(`<f>.*?</f>`).ReplaceAllString(row, "")
				twin = regexp.MustCompile(`r="([A-Z]*)`+fmt.Sprint(l.Row)+`"`).ReplaceAllString(twin, fmt.Sprintf(`r="${1}%d"`, last+1))
				twin = b.inputsOnly(twin, l)
				require.NotContains(b.t, b.parts[name], fmt.Sprintf(`<row r="%d"`, last+1))
				end := regexp.MustCompile(fmt.Sprintf(`<row r="%d"[^>]*>.*?</row>`, last)).FindString(b.parts[name])
				b.parts[name] = strings.Replace(b.parts[name], end, end+twin, 1)
				return fmt.Sprintf("%s!A%d", l.Sheet, last+1)
			}},
	}
}

// first is the row of the first joint of a list.
func (b *seedBed) first(sheet string) int {
	for _, l := range b.rep.Lines {
		if l.Sheet == sheet {
			return l.Row
		}
	}
	return 0
}

// inputsOnly leaves of a row the cells that are the shop's.
func (b *seedBed) inputsOnly(row string, l sheets.LineReport) string {
	ours := map[string]bool{}
	for ref, v := range b.grid["Assumptions"] {
		if n, isE := strings.CutPrefix(ref, "E"); isE && b.grid["Assumptions"]["C"+n].Text == "calculated" && b.grid["Assumptions"]["A"+n].Text == l.Sheet {
			ours[strings.Split(v.Formula[strings.LastIndex(v.Formula, "!")+1:], "$")[1]] = true
		}
	}
	return regexp.MustCompile(`<c r="([A-Z]+)[0-9]+"(?:[^>]*[^/])?(?:/>|>.*?</c>)`).ReplaceAllStringFunc(row, func(c string) string {
		if ours[regexp.MustCompile(`[A-Z]+`).FindString(c[5:])] {
			return ""
		}
		return c
	})
}

// tally is the cell of Workings that adds up a column of a list first.
func (b *seedBed) tally(sheet, column string) string {
	best := ""
	for ref, v := range b.grid["Workings"] {
		if strings.HasPrefix(v.Formula, "SUMIFS(") && strings.Contains(v.Formula, "$"+column+":$"+column+",") && strings.Contains(v.Formula, grid.QuoteSheet(sheet)+"!") {
			if best == "" || len(ref) < len(best) || len(ref) == len(best) && ref < best {
				best = ref
			}
		}
	}
	require.NotEmpty(b.t, best, "%s %s", sheet, column)
	return best
}

const labelCost = "Cost"

// onWorkings is the cell of a figure of the order.
func (b *seedBed) onWorkings(label string) string {
	for row := 1; row < 1000; row++ {
		ref := fmt.Sprint("C", row)
		if b.grid["Workings"][fmt.Sprint("B", row)].Text == label && b.grid["Workings"][ref].Formula != "" {
			return ref
		}
	}
	require.FailNow(b.t, "no cell", label)
	return ""
}

// formulaAt is the formula that was put into a cell.
func (b *seedBed) formulaAt(sheet, ref string) string {
	f := ""
	b.cell(sheet, ref, func(cell string) string {
		f = regexp.MustCompile(`<f>(.*?)</f>`).FindStringSubmatch(cell)[1]
		return cell
	})
	return html.UnescapeString(f)
}

// lineFor is a joint row, from the n-th on, whose outside diameter and number
// are plain numbers, and which does not stand last.
func (b *seedBed) lineFor(n int) sheets.LineReport {
	for k := range b.rep.Lines {
		l := b.rep.Lines[(n+k)%len(b.rep.Lines)]
		last, marks := 0, 0
		for _, o := range b.rep.Lines {
			if o.Sheet == l.Sheet {
				last = max(last, o.Row)
				if o.Mark == l.Mark {
					marks++
				}
			}
		}
		if l.Row < last && marks == 1 && b.plain(l, "od") && b.plain(l, "qty") && b.nextIsJoint(l) {
			return l
		}
	}
	require.FailNow(b.t, "no such row")
	return sheets.LineReport{}
}

func (b *seedBed) plain(l sheets.LineReport, key string) bool {
	f := b.grid[l.Sheet][fmt.Sprint(b.column(l.Sheet, key), l.Row)].Formula
	return !strings.Contains(f, "EXACT") && regexp.MustCompile(`[A-Z]`+fmt.Sprint(l.Row)).MatchString(f)
}

// nextIsJoint reports whether the row below is a joint of another size of work.
func (b *seedBed) nextIsJoint(l sheets.LineReport) bool {
	for _, o := range b.rep.Lines {
		if o.Sheet == l.Sheet && o.Row == l.Row+1 {
			return o.Figures["floor_time"] != l.Figures["floor_time"]
		}
	}
	return false
}

// input is the shop's cell of an input on a row.
func (b *seedBed) input(l sheets.LineReport, key string) string {
	f := b.grid[l.Sheet][fmt.Sprint(b.column(l.Sheet, key), l.Row)].Formula
	m := regexp.MustCompile(`\b([A-Z]{1,3})` + fmt.Sprint(l.Row) + `\b`).FindStringSubmatch(f)
	require.NotEmpty(b.t, m, "%s %s", key, f)
	return m[0]
}

// beds are the workbooks into which faults are sown: the demo orders, generated
// ones, and small ones made by hand.
func beds(t *testing.T) map[string]string {
	out := map[string]string{"demo": shop.Unpriced(t, "order.xlsx"), "demo, metric": shop.Unpriced(t, "order-metric.xlsx")}
	for i := range 8 {
		out[fmt.Sprint("generated ", i)] = shop.Generated(t, 8+3*i, int64(40+i), i%2 == 1)
	}
	for i := range 10 {
		var rows []shop.Row
		for k := range 6 + i {
			row := shop.Butt(fmt.Sprint("J-", k+1))
			row[3] = 1 + (k+i)%3
			if k%3 == 2 {
				row[2], row[7] = "pie cut", 45+5*i
			}
			if k%4 == 3 {
				row[6] = "trailing shield, on rolls"
			}
			rows = append(rows, row)
		}
		out[fmt.Sprint("by hand ", i)] = shop.Small(t, rows...)
	}
	return out
}

// Each kind of fault is found in every workbook, with its cell, its weight and
// what it does to the order, to the cent; without it nothing is found.
func TestSownFaultsAreFound(t *testing.T) {
	t.Parallel() // most of its time is LibreOffice's, or another program's
	type trial struct {
		s           seedling
		name        string
		bed, seeded *seedBed
		line        sheets.LineReport
		cell        string
	}
	if !testing.Short() {
		sheetstest.NeedLibreOffice(t)
	}
	var trials []*trial
	var office []string
	ins := beds(t)
	for k, name := range shop.Some(slices.Sorted(maps.Keys(ins)), 5) {
		if testing.Short() && k > 0 {
			continue
		}
		bed := bedOf(t, ins[name])
		t.Run(name+", unseeded", func(t *testing.T) {
			rep := audited(t, bed.path, "")
			assert.True(t, rep.Clean(), "%+v", rep.Faults)
			assert.True(t, audited(t, bed.path, bed.path).Clean())
		})
		for i, s := range seedlings() {
			if testing.Short() && s.office || !testing.Short() && !shop.Thorough() && (i+k)%4 != 0 {
				continue // every kind all the same, in one of the workbooks
			}
			l := bed.lineFor(i)
			seeded := bed.copy()
			tr := &trial{s: s, name: name, bed: bed, seeded: seeded, line: l, cell: s.sow(seeded, l)}
			trials = append(trials, tr)
		}
	}
	var withOffice []*trial
	for _, tr := range trials {
		if tr.s.office {
			withOffice = append(withOffice, tr)
			office = append(office, tr.seeded.file())
		}
	}
	totals := map[*trial][2]float64{}
	if len(office) > 0 {
		for i, live := range sheetstest.RecalculateAll(t, office...) {
			tr := withOffice[i]
			sheet, ref, _ := strings.Cut(tr.cell, "!")
			tr.seeded.put(sheet, ref, tr.seeded.formulaAt(sheet, ref), live[sheet][ref].Num)
			c, p := tr.bed.onWorkings(labelCost), tr.bed.onWorkings(shop.LabelPrice)
			was := tr.bed.grid["Workings"]
			totals[tr] = [2]float64{live["Workings"][c].Num - was[c].Num, live["Workings"][p].Num - was[p].Num}
		}
	}
	for _, tr := range trials {
		t.Run(tr.s.name+" in "+tr.name, func(t *testing.T) {
			t.Parallel()
			against := ""
			if tr.s.base {
				against = tr.bed.path
			}
			rep := audited(t, tr.seeded.file(), against)
			f := faultAt(rep, tr.s.rule, tr.cell)
			require.NotNil(t, f, "%s at %s: %+v", tr.s.rule, tr.cell, rep.Faults)
			assert.Equal(t, tr.s.grade, f.Grade)
			for i, other := range rep.Faults { // and nothing that has nothing to do with it
				if &rep.Faults[i] != f && other.Grade != audit.WorthKnowing {
					assert.Contains(t, tr.s.also, other.Rule, "%+v", other)
				}
			}
			want, known := totals[tr]
			if tr.s.effect != nil {
				want[0], want[1] = tr.s.effect(tr.bed, tr.seeded, tr.line)
				known = true
			}
			if known {
				assert.InDelta(t, want[0], f.Cost, 0.0051, "cost")
				assert.InDelta(t, want[1], f.Price, 0.0051, "price")
			}
		})
	}
}
