package sheetstest

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// mayAdd says which elements the program may add, by kind of part: the parent
// and the element.
var mayAdd = map[string][][2]string{
	partTypes:    {{"Types", "Override"}, {"Types", "Default"}},
	partRels:     {{"Relationships", "Relationship"}},
	partWorkbook: {{"sheets", "sheet"}, {"definedNames", "definedName"}, {"workbook", "definedNames"}, {"workbook", "calcPr"}},
	partStyles: {
		{"styleSheet", "numFmts"}, {"numFmts", "numFmt"}, {"fonts", "font"}, {"fills", "fill"}, {"borders", "border"},
		{"cellXfs", "xf"}, {"styleSheet", "dxfs"}, {"dxfs", "dxf"},
	},
	partTable: {{"tableColumns", "tableColumn"}},
	partSheet: {
		{"worksheet", "sheetFormatPr"}, // to say how deep columns fold
		{"worksheet", "sheetPr"}, {"sheetPr", "pageSetUpPr"}, {"worksheet", "pageMargins"}, {"worksheet", "pageSetup"}, {"worksheet", "headerFooter"},
	},
}

// anyPlace are the parents whose new children need not come last.
var anyPlace = []string{"worksheet", "styleSheet", "workbook", "definedNames", "Types", "Relationships"}

// mayChange says which attributes the program may set, by kind of part.
var mayChange = map[string][][2]string{
	partWorkbook: {{"calcPr", "fullCalcOnLoad"}},
	partStyles: {
		{"numFmts", "count"}, {"fonts", "count"}, {"fills", "count"}, {"borders", "count"}, {"cellXfs", "count"}, {"dxfs", "count"},
	},
	partTable: {{"table", "ref"}, {"autoFilter", "ref"}, {"sortState", "ref"}, {"tableColumns", "count"}},
	partSheet: {{"dimension", "ref"}, {"row", "spans"}, {"sheetFormatPr", "outlineLevelCol"}, {"autoFilter", "ref"}, {"pageSetUpPr", "fitToPage"}},
}

// mayLose says which elements may go: those of the calculation chain, and a
// list of no names.
func mayLose(kind string, n *node) bool {
	return kind == partWorkbook && n.name == "definedNames" && len(n.kids) == 0 || kind == partRels && strings.HasSuffix(n.attr("Type"), "/calcChain") ||
		kind == partTypes && strings.Contains(n.attr("ContentType"), "calcChain")
}

func (k *keeping) compare(part, kind string, a, b *node) {
	var drop func(n *node)
	drop = func(n *node) {
		for _, m := range mayChange[kind] {
			if n.name == m[0] {
				n.drop(m[1])
			}
		}
		if kind == partWorkbook && n.name == "definedName" && n.attr("name") == "_xlnm._FilterDatabase" {
			n.kids = nil
		}
		for _, c := range n.kids {
			drop(c)
		}
	}
	if kind == partSheet {
		k.printKept(part, a, b)
	}
	drop(a)
	drop(b)
	if kind == partWorkbook {
		printNames(a, b)
	}
	if d := grown(kind, a, b, ""); d != "" {
		k.say("%s%s", part, d)
	}
}

// grown says how b is more, or less, than a with what the program may add.
func grown(kind string, a, b *node, at string) string {
	if a.kind != b.kind || a.text != b.text || a.tag() != b.tag() {
		return fmt.Sprintf("%s: %s is now %s", at, a.tag(), b.tag())
	}
	at += "/" + a.name
	j := 0
	for _, x := range a.kids {
		if mayLose(kind, x) && (j == len(b.kids) || b.kids[j].tag() != x.tag()) {
			continue
		}
		// What was there comes in its old order. Only where places mean nothing
		// may additions stand between: formats and sheets are found by number.
		// White space before an end tag stays before it.
		loose := slices.Contains(anyPlace, b.name) || x.kind == text && strings.TrimSpace(x.text) == ""
		for j < len(b.kids) && loose && x.tag() != b.kids[j].tag() && added(kind, b, b.kids[j]) {
			j++
		}
		if j == len(b.kids) {
			return fmt.Sprintf("%s: %s is lost", at, x.tag())
		}
		if d := grown(kind, x, b.kids[j], at); d != "" {
			return d
		}
		j++
	}
	for ; j < len(b.kids); j++ {
		if !added(kind, b, b.kids[j]) {
			return fmt.Sprintf("%s: %s is new", at, b.kids[j].tag())
		}
	}
	return ""
}

func added(kind string, in, n *node) bool {
	for _, m := range mayAdd[kind] {
		if n.kind == element && in.name == m[0] && n.name == m[1] {
			return true
		}
	}
	return false
}

// sheetWithoutOurs takes our columns out of a sheet: cells, and definitions,
// of which there is one for each column afterwards.
func sheetWithoutOurs(t *node, ours [2]int) {
	sheet := t.root()
	if rows := sheet.child("sheetData"); rows != nil {
		for _, row := range rows.kids {
			col := 0
			var kept []*node
			for _, c := range row.kids {
				if c.kind == element && c.name == "c" {
					col = columnOf(c, col)
					if ours[0] <= col && col <= ours[1] {
						continue
					}
				}
				kept = append(kept, c)
			}
			row.kids = kept
		}
	}
	var kept []*node
	var defs []*node
	for _, n := range sheet.kids {
		if n.kind == element && n.name == "cols" {
			defs = append(defs, n.kids...)
			continue
		}
		kept = append(kept, n)
	}
	sheet.kids = append(kept, eachColumn(defs, ours)...)
}

// columnOf is the column of a cell; one without a reference stands right of
// the one before it.
func columnOf(c *node, before int) int {
	if ref := c.attr("r"); ref != "" {
		if col, _, err := excelize.CellNameToCoordinates(ref); err == nil {
			return col
		}
	}
	return before + 1
}

func eachColumn(defs []*node, ours [2]int) []*node {
	var out []*node
	for _, d := range defs {
		from, err := strconv.Atoi(d.attr("min"))
		to, err2 := strconv.Atoi(d.attr("max"))
		if err != nil || err2 != nil {
			continue
		}
		for c := from; c <= to; c++ {
			if ours[0] <= c && c <= ours[1] {
				continue
			}
			one := &node{kind: element, name: d.name, full: d.full, attrs: append([][2]string(nil), d.attrs...)}
			one.drop("min", "max")
			one.attrs = append(one.attrs, [2]string{"column", fmt.Sprintf("%05d", c)})
			out = append(out, one)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].attr("column") < out[j].attr("column") })
	return out
}

// filterOf demands that a filter keeps its place, or grows over our columns.
func (k *keeping) filterOf(a, b *node, ours [2]int) {
	x, y := a.root().child("autoFilter"), b.root().child("autoFilter")
	if x == nil || y == nil {
		return // told of by the comparison
	}
	is := strings.ReplaceAll(y.attr("ref"), "$", "")
	was := strings.ReplaceAll(x.attr("ref"), "$", "")
	if is == was {
		return
	}
	from, rest, _ := strings.Cut(was, ":")
	_, row, err := excelize.SplitCellName(rest)
	last, err2 := excelize.ColumnNumberToName(ours[1])
	if err != nil || err2 != nil || is != fmt.Sprintf("%s:%s%d", from, last, row) {
		k.say("the filter over %s is now over %s", was, is)
	}
}
