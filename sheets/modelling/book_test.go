package modelling_test

import (
	"archive/zip"
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/templates"
)

// ruleBook is a priced workbook as others read it: what the rules measure. All
// of it comes from the file; the model says no more than which figure a key is.
type ruleBook struct {
	name   string
	sheets map[string]*ruleSheet
	names  map[string]shop.Block // defined names of the workbook, by name
	lists  []*ruleList
	links  []string // relationships that lead out of the workbook
	model  *model.Model

	headRow int      // of the headings over the single assumptions
	regions []string // names of several cells on Assumptions
	found   []spot   // once they have been asked for
}

// ruleSheet is a sheet, its cells and what lies round them.
type ruleSheet struct {
	title   string
	hidden  bool
	cells   map[[2]int]*ruleCell // by column and row
	merged  []shop.Block
	valid   []shop.Block     // cells with a rule for what may be typed
	cols    map[int]ruleFold // by column
	rows    map[int]ruleFold
	arrays  []string // cells with an array-entered formula
	print   map[string]string
	lastCol int
}

// ruleFold is how a column or row is folded.
type ruleFold struct {
	hidden bool
	level  int
}

type ruleCell struct {
	sheetstest.Value
	tree *shop.Expr // of a formula
	look string     // fill, frame and weight: what tells its role
	form string     // number format
}

// ruleList is a joint list, from the table Columns on Assumptions.
type ruleList struct {
	sheet   string
	head    int
	keys    map[int]string // of the calculated columns
	shopEnd int            // last column of the shop's
}

const (
	sheetSummary     = "Workings"
	sheetAssumptions = "Assumptions"
)

// readRuleBook reads a priced workbook.
func readRuleBook(t testing.TB, name, file string) *ruleBook {
	t.Helper()
	b := &ruleBook{name: name, sheets: map[string]*ruleSheet{}, names: map[string]shop.Block{}}
	f, err := excelize.OpenFile(file)
	require.NoError(t, err)
	defer f.Close()
	for _, d := range f.GetDefinedName() {
		if at, ok := shop.ParseBlock(d.RefersTo); ok && d.Scope == "Workbook" {
			b.names[d.Name] = at
		}
	}
	inside := shop.Parts(t, file)
	looks := map[int][2]string{}
	for title, cells := range sheetstest.Read(t, file) {
		s := &ruleSheet{title: title, cells: map[[2]int]*ruleCell{}, cols: map[int]ruleFold{}, rows: map[int]ruleFold{}, print: map[string]string{}}
		b.sheets[title] = s
		last := 0
		for ref, v := range cells {
			c := &ruleCell{Value: v}
			col, row, err := excelize.CellNameToCoordinates(ref)
			require.NoError(t, err)
			if v.Formula != "" {
				c.tree, err = shop.ParseExpr(v.Formula)
				require.NoError(t, err, "%s!%s", title, ref)
			}
			id, err := f.GetCellStyle(title, ref)
			require.NoError(t, err)
			if _, known := looks[id]; !known {
				look, form := looksLike(t, f, id)
				looks[id] = [2]string{look, form}
			}
			c.look, c.form = looks[id][0], looks[id][1]
			s.cells[[2]int{col, row}] = c
			s.lastCol, last = max(s.lastCol, col), max(last, row)
		}
		s.readAround(t, f, last)
	}
	for part, xml := range inside {
		if strings.HasSuffix(part, ".rels") {
			for _, m := range externalLink.FindAllString(xml, -1) {
				b.links = append(b.links, part+": "+m)
			}
		}
		if strings.HasPrefix(part, "xl/externalLinks/") {
			b.links = append(b.links, part)
		}
	}
	b.readArrays(t, file, inside)
	b.readLists()
	b.readHeadings()
	system := model.US
	if b.sheets[sheetAssumptions].at(b.names["seamtally.units"]).Text == model.Metric.String() {
		system = model.Metric
	}
	b.model, err = compute.Load(templates.FS, system)
	require.NoError(t, err)
	return b
}

var (
	externalLink = regexp.MustCompile(`<Relationship [^>]*TargetMode="External"[^>]*>`)
	arrayCell    = regexp.MustCompile(`<c r="([A-Z]+\d+)"[^>]*><f [^>]*t="(?:array|dataTable)"`)
	sheetEntry   = regexp.MustCompile(`<sheet [^>]*name="([^"]*)"[^>]*r:id="([^"]*)"`)
	relEntry     = regexp.MustCompile(`<Relationship [^>]*>`)
)

// readAround reads what lies round the cells.
func (s *ruleSheet) readAround(t testing.TB, f *excelize.File, last int) {
	visible, err := f.GetSheetVisible(s.title)
	require.NoError(t, err)
	s.hidden = !visible
	merged, err := f.GetMergeCells(s.title, true)
	require.NoError(t, err)
	for _, m := range merged {
		at, ok := shop.ParseBlock(m.GetStartAxis() + ":" + m.GetEndAxis())
		require.True(t, ok)
		s.merged = append(s.merged, at)
	}
	valid, err := f.GetDataValidations(s.title)
	require.NoError(t, err)
	for _, v := range valid {
		for ref := range strings.FieldsSeq(v.Sqref) {
			at, ok := shop.ParseBlock(ref)
			require.True(t, ok, ref)
			s.valid = append(s.valid, at)
		}
	}
	for col := 1; col <= s.lastCol; col++ {
		name, err := excelize.ColumnNumberToName(col)
		require.NoError(t, err)
		shown, err := f.GetColVisible(s.title, name)
		require.NoError(t, err)
		level, err := f.GetColOutlineLevel(s.title, name)
		require.NoError(t, err)
		s.cols[col] = ruleFold{!shown, int(level)}
	}
	for row := 1; row <= last; row++ {
		shown, err := f.GetRowVisible(s.title, row)
		require.NoError(t, err)
		level, err := f.GetRowOutlineLevel(s.title, row)
		require.NoError(t, err)
		s.rows[row] = ruleFold{!shown, int(level)}
	}
	layout, err := f.GetPageLayout(s.title)
	require.NoError(t, err)
	if layout.Orientation != nil {
		s.print["orientation"] = *layout.Orientation
	}
	if layout.FitToWidth != nil {
		s.print["pages wide"] = fmt.Sprint(*layout.FitToWidth)
	}
	if foot, err := f.GetHeaderFooter(s.title); err == nil && foot != nil && foot.OddFooter != "" {
		s.print["footer"] = foot.OddFooter
	}
	for _, d := range f.GetDefinedName() {
		if kind, ok := strings.CutPrefix(d.Name, "_xlnm.Print_"); ok && d.Scope == s.title {
			s.print[kind] = d.RefersTo
		}
	}
}

// looksLike gives what of a format tells the role of a cell, and its number
// format.
func looksLike(t testing.TB, f *excelize.File, id int) (look, form string) {
	t.Helper()
	st, err := f.GetStyle(id)
	require.NoError(t, err)
	bold, italic := false, false
	if st.Font != nil {
		bold, italic = st.Font.Bold, st.Font.Italic
	}
	sides := 0
	for _, side := range st.Border {
		if side.Style > 0 {
			sides++
		}
	}
	if st.CustomNumFmt != nil {
		form = *st.CustomNumFmt
	}
	return fmt.Sprintf("fill %d %v, %d lines, bold %t, italic %t", st.Fill.Pattern, st.Fill.Color, sides, bold, italic), form
}

// readArrays finds the array-entered formulas in the text of the sheets' parts.
func (b *ruleBook) readArrays(t testing.TB, file string, inside map[string]string) {
	z, err := zip.OpenReader(file)
	require.NoError(t, err)
	defer z.Close()
	targets := map[string]string{}
	for _, rel := range relEntry.FindAllString(inside["xl/_rels/workbook.xml.rels"], -1) {
		targets[attribute(rel, "Id")] = attribute(rel, "Target")
	}
	for _, m := range sheetEntry.FindAllStringSubmatch(inside["xl/workbook.xml"], -1) {
		target := targets[m[2]]
		if !strings.HasPrefix(target, "/") {
			target = path.Join("xl", target)
		}
		xml, ok := inside[strings.TrimPrefix(target, "/")]
		require.True(t, ok, "%s: %s", m[1], target)
		title := strings.NewReplacer("&amp;", "&", "&lt;", "<", "&gt;", ">", "&apos;", "'", "&quot;", `"`).Replace(m[1])
		if s := b.sheets[title]; s != nil {
			for _, c := range arrayCell.FindAllStringSubmatch(xml, -1) {
				s.arrays = append(s.arrays, c[1])
			}
		}
	}
}

func attribute(tag, name string) string {
	_, rest, _ := strings.Cut(tag, " "+name+`="`)
	value, _, _ := strings.Cut(rest, `"`)
	return value
}

// readLists reads which columns of which lists are calculated.
func (b *ruleBook) readLists() {
	a, at := b.sheets[sheetAssumptions], b.names["seamtally.columns"]
	by := map[string]*ruleList{}
	for row := at.Row1; row <= at.Row2; row++ {
		title := a.cell(1, row).Text
		l := by[title]
		if l == nil {
			l = &ruleList{sheet: title, keys: map[int]string{}}
			by[title] = l
			b.lists = append(b.lists, l)
		}
		head, _ := shop.ParseBlock(a.cell(5, row).Formula)
		l.head = head.Row1
		if a.cell(3, row).Text == "calculated" {
			l.keys[head.Col1] = a.cell(2, row).Text
		} else {
			l.shopEnd = max(l.shopEnd, head.Col1)
		}
	}
}

// cell is a cell, or an empty one.
func (s *ruleSheet) cell(col, row int) *ruleCell {
	if c := s.cells[[2]int{col, row}]; c != nil {
		return c
	}
	return &ruleCell{Value: sheetstest.Value{Kind: sheetstest.Empty}}
}

func (s *ruleSheet) at(b shop.Block) *ruleCell { return s.cell(b.Col1, b.Row1) }

// readHeadings finds the headings over the single assumptions, and which names
// lie on the sheet, in order.
func (b *ruleBook) readHeadings() {
	a := b.sheets[sheetAssumptions]
	for at, c := range a.cells {
		if at[0] == 3 && c.Text == "Value" && a.cell(1, at[1]).Text == "Name" {
			b.headRow = at[1]
		}
	}
	for _, name := range slices.Sorted(maps.Keys(b.names)) {
		if at := b.names[name]; at.Sheet == sheetAssumptions && !at.Single() {
			b.regions = append(b.regions, name)
		}
	}
}

// clone is a copy in which cells and what lies round them may be changed.
func (b *ruleBook) clone() *ruleBook {
	c := *b
	c.found = nil
	c.sheets, c.names, c.links = map[string]*ruleSheet{}, maps.Clone(b.names), slices.Clone(b.links)
	for title, s := range b.sheets {
		n := *s
		n.cells = map[[2]int]*ruleCell{}
		for at, cell := range s.cells {
			same := *cell
			n.cells[at] = &same
		}
		n.merged, n.valid, n.arrays = slices.Clone(s.merged), slices.Clone(s.valid), slices.Clone(s.arrays)
		n.cols, n.rows, n.print = maps.Clone(s.cols), maps.Clone(s.rows), maps.Clone(s.print)
		c.sheets[title] = &n
	}
	return &c
}
