package sheetstest

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

const maxCol, maxRow = 16384, 1048576

// area is a block of cells.
type area struct{ col1, row1, col2, row2 int }

func (a area) has(col, row int) bool {
	return col >= a.col1 && col <= a.col2 && row >= a.row1 && row <= a.row2
}

func (a area) meets(b area) bool {
	return a.col1 <= b.col2 && b.col1 <= a.col2 && a.row1 <= b.row2 && b.row1 <= a.row2
}

// cellAt reads a reference as A1 (18.18.7 ST_CellRef).
func cellAt(ref string) (col, row int, ok bool) {
	i := 0
	for ; i < len(ref) && i < 4 && ref[i] >= 'A' && ref[i] <= 'Z'; i++ {
		col = col*26 + int(ref[i]-'A') + 1
	}
	row, err := strconv.Atoi(ref[i:])
	ok = err == nil && i > 0 && ref[i] >= '1' && ref[i] <= '9' && col <= maxCol && row <= maxRow
	return col, row, ok
}

// areaAt reads a reference as A1 or A1:B2 (18.18.62 ST_Ref).
func areaAt(ref string) (a area, ok bool) {
	from, to, two := strings.Cut(ref, ":")
	if !two {
		to = from
	}
	var ok1, ok2 bool
	a.col1, a.row1, ok1 = cellAt(from)
	a.col2, a.row2, ok2 = cellAt(to)
	return a, ok1 && ok2 && a.col1 <= a.col2 && a.row1 <= a.row2
}

// areas reads references with blanks between, and says if one is none.
func (c *checking) areas(part string, n *node, attr string) (all []area) {
	refs := strings.Fields(n.attr(attr))
	if len(refs) == 0 {
		c.say(part, "<%s> lacks %s", n.name, attr)
	}
	for _, ref := range refs {
		a, ok := areaAt(ref)
		if !ok {
			c.say(part, "<%s> has %s=%q", n.name, attr, ref)
			continue
		}
		all = append(all, a)
	}
	return all
}

// sheetRows is what is known of a sheet while its rows come by.
type sheetRows struct {
	*checking
	part   string
	row    int
	used   area
	shared map[string]bool   // shared formulas that have come
	wanted map[[2]int]string // texts of cells, by column and row
	merged []area
}

// sheet looks at a worksheet (18.3 Worksheets, from memory).
func (c *checking) sheet(part string) error {
	s := &sheetRows{checking: c, part: part, shared: map[string]bool{}, wanted: map[[2]int]string{}}
	for _, name := range c.related(part, "table") {
		t, err := c.whole(name)
		if err != nil {
			return err
		}
		s.table(name, t)
	}
	root, err := c.tree(part, func(n *node) bool {
		if n.name == "row" {
			s.takeRow(n)
		}
		return n.name == "row"
	})
	if err != nil {
		return err
	}
	c.ordered(part, root, nil)
	c.ids(part, root)
	for at, text := range s.wanted {
		c.say(part, "column %d of row %d is not the table's %q", at[0], at[1], text)
	}
	if d := root.child("dimension"); d != nil {
		if a, ok := areaAt(d.attr("ref")); !ok || s.used.row1 > 0 && !(a.has(s.used.col1, s.used.row1) && a.has(s.used.col2, s.used.row2)) {
			c.say(part, "<dimension> does not hold all cells") // as the workbook came, it may be so already
		}
	}
	for _, v := range root.at("sheetViews").elements("sheetView") {
		c.number(part, v, "workbookViewId", 0, 0, max(0, c.views-1))
	}
	last := 0
	for _, list := range root.elements("cols") {
		for _, col := range list.elements("col") {
			from := c.number(part, col, "min", 0, 1, maxCol)
			to := c.number(part, col, "max", 0, 1, maxCol)
			if from <= last || to < from {
				c.say(part, "columns %d to %d stand after column %d", from, to, last)
			}
			last = to
			c.number(part, col, "style", 0, 0, max(0, c.xfs-1))
			c.number(part, col, "outlineLevel", 0, 0, 7)
		}
	}
	s.blocks(root)
	s.rules(root)
	return nil
}

// blocks looks at what covers blocks of cells.
func (s *sheetRows) blocks(root *node) {
	for _, m := range s.counted(s.part, root.child("mergeCells"), "mergeCell") {
		for _, a := range s.areas(s.part, m, "ref") {
			if slices.ContainsFunc(s.merged, a.meets) {
				s.say(s.part, "merged cells %s meet others", m.attr("ref"))
			}
			s.merged = append(s.merged, a)
		}
	}
	if f := root.child("autoFilter"); f != nil {
		s.areas(s.part, f, "ref")
	}
	for _, h := range root.at("hyperlinks").elements("hyperlink") {
		s.areas(s.part, h, "ref")
	}
	for _, list := range []string{"rowBreaks", "colBreaks"} {
		s.counted(s.part, root.child(list), "brk")
	}
	s.counted(s.part, root.child("tableParts"), "tablePart")
	for _, h := range root.at("headerFooter").elements("oddFooter") {
		if n := len([]rune(h.chars())); n > 255 { // a limit of common spreadsheet programs
			s.say(s.part, "a footer of %d letters", n)
		}
	}
}

// rules looks at conditional formats (18.3.1.18, 18.3.1.10) and at what may be
// typed (18.3.1.33, 18.3.1.32).
func (s *sheetRows) rules(root *node) {
	seen := map[string]bool{}
	for _, f := range root.elements("conditionalFormatting") {
		s.areas(s.part, f, "sqref")
		for _, r := range f.elements("cfRule") {
			s.number(s.part, r, "dxfId", 0, 0, s.dxfs-1)
			s.number(s.part, r, "priority", 0, 1, 1<<31-1)
			if p := r.attr("priority"); p == "" || seen[p] {
				s.say(s.part, "two conditional formats with the priority %q", p)
			}
			seen[r.attr("priority")] = true
			if r.attr("type") == "expression" && len(r.elements("formula")) != 1 {
				s.say(s.part, "a conditional format without its formula")
			}
			for _, n := range r.elements("formula") {
				s.formula(s.part, "a conditional format", n.chars())
			}
		}
	}
	kinds := strings.Fields("none whole decimal list date time textLength custom")
	for _, v := range s.counted(s.part, root.child("dataValidations"), "dataValidation") {
		s.areas(s.part, v, "sqref")
		if kind := v.attr("type"); kind != "" && !slices.Contains(kinds, kind) {
			s.say(s.part, "a validation of the type %q", kind)
		}
		for _, name := range []string{"formula1", "formula2"} {
			for _, f := range v.elements(name) {
				s.formula(s.part, "the validation of "+v.attr("sqref"), f.chars())
				// Limits of common spreadsheet programs, here and below.
				if text := f.chars(); strings.HasPrefix(text, `"`) && len([]rune(text)) > 257 {
					s.say(s.part, "the list of %s has %d letters", v.attr("sqref"), len([]rune(text)))
				}
			}
		}
		for attr, most := range map[string]int{"error": 255, "prompt": 255, "errorTitle": 32, "promptTitle": 32} {
			if n := len([]rune(v.attr(attr))); n > most {
				s.say(s.part, "the %s of %s has %d letters", attr, v.attr("sqref"), n)
			}
		}
	}
}

// takeRow looks at a row (18.3.1.73) and its cells (18.3.1.4). One without a
// reference stands behind the one before it.
func (s *sheetRows) takeRow(r *node) {
	at := s.number(s.part, r, "r", s.row+1, 1, maxRow)
	if at <= s.row {
		s.say(s.part, "row %d stands below row %d", at, s.row)
	}
	s.row = at
	s.number(s.part, r, "s", 0, 0, max(0, s.xfs-1))
	s.number(s.part, r, "outlineLevel", 0, 0, 7)
	col := 0
	for _, k := range r.kids {
		if k.kind != element || k.name != "c" {
			continue
		}
		here, row, ok := cellAt(k.attr("r"))
		if k.attr("r") == "" {
			here, row, ok = col+1, at, col < maxCol
		}
		if !ok || row != at || here <= col {
			s.say(s.part, "cell %q stands in row %d, right of column %d", k.attr("r"), at, col)
		}
		col = max(col, here)
		s.number(s.part, k, "s", 0, 0, max(0, s.xfs-1))
		s.cell(k, here, at)
		if s.used.row1 == 0 {
			s.used = area{here, at, here, at}
		}
		s.used = area{min(s.used.col1, here), s.used.row1, max(s.used.col2, here), at}
	}
}

var errorWord = regexp.MustCompile(`^#[A-Z0-9/_]+[!?]?$`)

// cell looks at what a cell holds (18.18.11 ST_CellType).
func (s *sheetRows) cell(k *node, col, row int) {
	where := "cell " + k.attr("r")
	var f, v, is *node
	order := 0
	for _, x := range k.kids {
		if x.kind != element {
			continue
		}
		at := slices.Index([]string{"f", "v", "is", "extLst"}, x.name) + 1
		if at <= order {
			s.say(s.part, "%s: <%s> stands where it may not", where, x.full)
		}
		order = at
		switch x.name {
		case "f":
			f = x
		case "v":
			v = x
		case "is":
			is = x
		}
	}
	text := v.chars()
	switch kind := k.attr("t"); kind {
	case "", "n":
		if x, err := strconv.ParseFloat(text, 64); v != nil && text != "" && (err != nil || x-x != 0) {
			s.say(s.part, "%s: the number %q", where, text)
		}
	case "s":
		i, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || i < 0 || i >= len(s.strings) {
			s.say(s.part, "%s: the shared string %q", where, text)
			return
		}
		text = s.strings[i]
	case "b":
		if text != "0" && text != "1" {
			s.say(s.part, "%s: the truth value %q", where, text)
		}
	case "e":
		if !errorWord.MatchString(text) {
			s.say(s.part, "%s: the error %q", where, text)
		}
	case "inlineStr":
		text = is.chars()
	case "str", "d":
	default:
		s.say(s.part, "%s: the type %q", where, kind)
	}
	if is != nil && (v != nil || k.attr("t") != "inlineStr") {
		s.say(s.part, "%s: an inline string beside a value", where)
	}
	if n := len(utf16.Encode([]rune(text))); n > 32767 { // a limit of common spreadsheet programs
		s.say(s.part, "%s: %d letters", where, n)
	}
	if want, ok := s.wanted[[2]int{col, row}]; ok && sameHeading(want, text) {
		delete(s.wanted, [2]int{col, row})
	}
	if f == nil {
		return
	}
	s.formula(s.part, where, f.chars())
	kind, index := f.attr("t"), f.attr("si")
	if !slices.Contains([]string{"", "normal", "array", "shared", "dataTable"}, kind) {
		s.say(s.part, "%s: a formula of the type %q", where, kind)
	}
	if ref := f.attr("ref"); ref != "" || kind == "array" {
		if a, ok := areaAt(ref); !ok || !a.has(col, row) {
			s.say(s.part, "%s: a formula for %q", where, ref)
		}
	}
	switch {
	case kind == "shared" && (index == "" || f.attr("ref") == "" && !s.shared[index]):
		s.say(s.part, "%s: the shared formula %q, which has not come", where, index)
	case kind == "shared":
		s.shared[index] = true
	case f.chars() == "" && kind != "dataTable":
		s.say(s.part, "%s: an empty formula", where)
	}
}

// sameHeading compares the heading of a table's column with its cell: what XML
// attributes cannot hold is spelled out there (22.9.2.19 ST_Xstring).
func sameHeading(listed, shown string) bool {
	spelled := regexp.MustCompile(`_x([0-9A-Fa-f]{4})_`)
	plain := func(s string) string {
		return strings.Join(strings.Fields(spelled.ReplaceAllStringFunc(s, func(m string) string {
			n, err := strconv.ParseUint(m[2:6], 16, 16)
			if err != nil {
				return m
			}
			return string(rune(n))
		})), " ")
	}
	return plain(listed) == plain(shown)
}

// table looks at a table (18.5.1.2, from memory). Its headings are to be those
// of the cells above its columns.
func (s *sheetRows) table(part string, t *node) {
	all := s.areas(part, t, "ref")
	columns := s.counted(part, t.child("tableColumns"), "tableColumn")
	for _, key := range []string{"id " + t.attr("id"), "name " + strings.ToLower(t.attr("displayName"))} {
		if other, twice := s.tables[key]; twice {
			s.say(part, "has the %s, as %s has", key, other)
		}
		s.tables[key] = part
	}
	if len(all) != 1 {
		return
	}
	if n := all[0].col2 - all[0].col1 + 1; n != len(columns) {
		s.say(part, "covers %d columns and lists %d", n, len(columns))
	}
	seen := map[string]bool{}
	for i, c := range columns {
		for _, key := range []string{"id " + c.attr("id"), "name " + strings.ToLower(c.attr("name"))} {
			if seen[key] {
				s.say(part, "two columns with the %s", key)
			}
			seen[key] = true
		}
		if t.attr("headerRowCount") != "0" {
			s.wanted[[2]int{all[0].col1 + i, all[0].row1}] = c.attr("name")
		}
	}
	if f := t.child("autoFilter"); f != nil {
		for _, a := range s.areas(part, f, "ref") {
			if !all[0].has(a.col1, a.row1) || !all[0].has(a.col2, a.row2) {
				s.say(part, "its filter reaches beyond it")
			}
		}
	}
}
