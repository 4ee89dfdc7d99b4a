package habits_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// shopBook is a workbook on its way: what it means, and how it is to be written.
type shopBook struct {
	r      *rand.Rand // of the habit that is at work
	metric bool
	keys   []string
	cars   []*car
	joints [][]joint // by car
	lists  []*list
	tabs   []*tab // other sheets, behind the lists
	first  []*tab // other sheets, before them

	unclear bool // what is meant cannot be said: a run must ask
}

// list is a joint list on a sheet of its own.
type list struct {
	title  string
	car    *car // of all its joints, if none is named beside them
	above  [][]any
	cols   []*column
	lines  []*line
	units  string // where units stand: brackets, comma, bare, row, cells, none
	groups string // of the columns' groups: "", merged, loose
	upper  bool   // headings without a group stand in the upper row, beside the groups
	split  bool   // headings of two words over two rows
	down   int    // rows left blank above all
	right  int
	turned bool // rows and columns change places
	colon  bool // behind each heading
	unitAs map[string]string
	dead   bool // its joints are not meant
	after  []func(s *tab, l *list)

	headRow, bodyRow int // as laid: of the lowest headings, and of the first line
}

// column is a column of a list.
type column struct {
	key    string // of an input; "" for the shop's own
	head   string
	unit   string // of its numbers
	group  string
	noUnit bool                // its unit stands nowhere
	show   func(j joint) any   // what stands in the cell, nil for the plain value
	own    func(i int) any     // of the shop's own columns
	words  map[any]string      // spellings of its words
	style  int                 // number format
	form   func(v float64) any // how its numbers are written
	hidden bool
}

// line is a line of a list: a joint, or something else.
type line struct {
	j     joint // nil for none
	car   *car
	dead  bool    // struck out or otherwise not meant
	means []joint // what it means where that is not j
	over  map[*column]any
	words []any // of a line that is no joint, from the first column on
	heads bool  // the headings stand there again
	style string
}

// tab is a sheet as it is written.
type tab struct {
	title  string
	cells  map[[2]int]excelize.Cell // by row and column, from 1
	styles map[[2]int]string
	merged [][4]int // row, column, row, column
	hidden []int    // columns
	rows   map[int]bool
	state  string
}

func newTab(title string) *tab {
	return &tab{title: title, cells: map[[2]int]excelize.Cell{}, styles: map[[2]int]string{}, rows: map[int]bool{}}
}

// sheetOf makes a sheet of rows as typed.
func sheetOf(title string, rows ...[]any) *tab {
	s := newTab(title)
	for i, row := range rows {
		for k, v := range row {
			s.put(i+1, k+1, v)
		}
	}
	return s
}

// calc is a formula with its stored value.
type calc struct {
	formula string
	value   any
}

func (s *tab) put(row, col int, v any) {
	switch x := v.(type) {
	case nil:
	case calc:
		s.cells[[2]int{row, col}] = excelize.Cell{Formula: x.formula, Value: x.value}
	default:
		s.cells[[2]int{row, col}] = excelize.Cell{Value: v}
	}
}

func takes(key string) string {
	for _, in := range inputs {
		if in.key == key {
			return in.takes
		}
	}
	return ""
}

// unitOf is the plain unit of an input.
func (b *shopBook) unitOf(key string) string {
	switch takes(key) {
	case "length":
		if b.metric {
			return "mm"
		}
		return "in"
	case "angle":
		return "°"
	}
	return ""
}

// columns are those that a plain list has.
func (b *shopBook) columns() []*column {
	var out []*column
	for _, in := range inputs {
		if slices.Contains(b.keys, in.key) {
			out = append(out, &column{key: in.key, head: in.head, unit: b.unitOf(in.key)})
		}
	}
	return out
}

func linesOf(of *car, joints []joint) []*line {
	var out []*line
	for _, j := range joints {
		out = append(out, &line{j: j, car: of, over: map[*column]any{}})
	}
	return out
}

func (l *list) col(key string) *column {
	for _, c := range l.cols {
		if c.key == key {
			return c
		}
	}
	return nil
}

// insert puts a column at a place.
func (l *list) insert(at int, c *column) { l.cols = slices.Insert(l.cols, min(at, len(l.cols)), c) }

// each calls for every list that has a column, and says whether there was any.
func (b *shopBook) each(key string, do func(l *list, c *column)) (some bool) {
	for _, l := range b.lists {
		if c := l.col(key); c != nil && !l.dead {
			do(l, c)
			some = true
		}
	}
	return some
}

// all calls for every joint line of the lists that are meant.
func (b *shopBook) all(do func(l *list, n *line)) {
	for _, l := range b.lists {
		for _, n := range l.lines {
			if n.j != nil && !l.dead {
				do(l, n)
			}
		}
	}
}

// fromTo gives a number of one unit in another.
func fromTo(x float64, from, to string) float64 {
	per := map[string]float64{"in": 25.4, "mm": 1, "cm": 10, "thou": 0.0254, "ft": 304.8}
	if from == to || per[from] == 0 || per[to] == 0 {
		return x
	}
	return math.Round(x*per[from]/per[to]*1e12) / 1e12
}

// value is what stands in the cell of a joint.
func (b *shopBook) value(l *list, c *column, n *line, i int) any {
	if v, has := n.over[c]; has {
		return v
	}
	switch {
	case c.key == "" && c.own != nil:
		return c.own(i)
	case c.key == "car":
		if w, ok := c.words[n.car.name]; ok {
			return w
		}
		return n.car.name
	case c.show != nil:
		return c.show(n.j)
	}
	v := n.j[c.key]
	switch x := v.(type) {
	case string:
		if w, ok := c.words[x]; ok {
			return w
		}
	case float64:
		x = fromTo(x, b.unitOf(c.key), c.unit)
		switch {
		case c.form != nil && c.unit == b.unitOf(c.key):
			return c.form(x)
		case l.units == "cells" && takes(c.key) == "length":
			return inCell(x, c.unit)
		}
		return x
	}
	return v
}

// inCell writes a length with its unit.
func inCell(x float64, unit string) string {
	s := strings.TrimPrefix(fmt.Sprint(x), "0")
	if unit == "in" {
		return s + `"`
	}
	return fmt.Sprint(x) + " " + unit
}

// heading is a column's heading with its unit.
func (l *list) heading(c *column) string {
	if l.colon {
		plain := *l
		plain.colon = false
		return plain.heading(c) + ":"
	}
	if c.unit == "" || c.noUnit {
		return c.head
	}
	unit := c.unit
	if as, ok := l.unitAs[unit]; ok {
		unit = as
	}
	switch l.units {
	case "comma":
		return c.head + ", " + unit
	case "bare":
		return c.head + " " + unit
	case "square":
		return c.head + " [" + unit + "]"
	case "slash":
		return c.head + " / " + unit
	case "word in":
		return c.head + " in " + unit
	case "before":
		return unit + " " + c.head
	case "row", "cells", "none":
		return c.head
	}
	return c.head + " (" + unit + ")"
}

// lay lays a list out.
func (b *shopBook) lay(l *list) *tab {
	s := newTab(l.title)
	row := l.down
	put := func(r, c int, v any) { s.put(r, l.right+c, v) }
	for _, cells := range l.above {
		row++
		for k, v := range cells {
			put(row, k+1, v)
		}
	}
	top := row + 1
	if l.groups != "" {
		row++
		for i := 0; i < len(l.cols); {
			k := i + 1
			for k < len(l.cols) && l.cols[k].group == l.cols[i].group {
				k++
			}
			if g := l.cols[i].group; g != "" {
				put(row, i+1, g)
				if k > i+1 && l.groups == "merged" {
					s.merged = append(s.merged, [4]int{row, l.right + i + 1, row, l.right + k})
				}
			}
			i = k
		}
	}
	if l.split {
		row++
	}
	row++
	for i, c := range l.cols {
		head := l.heading(c)
		one, two, both := strings.Cut(head, " ")
		switch {
		case l.groups != "" && l.upper && c.group == "":
			put(top, i+1, head)
			if row > top {
				s.merged = append(s.merged, [4]int{top, l.right + i + 1, row, l.right + i + 1})
			}
		case l.split && both:
			put(row-1, i+1, one)
			put(row, i+1, two)
		default:
			put(row, i+1, head)
		}
	}
	l.headRow = row
	if l.units == "row" {
		row++
		for i, c := range l.cols {
			if c.unit != "" && !c.noUnit {
				put(row, i+1, c.unit)
			}
		}
	}
	l.bodyRow = row + 1
	joints := 0
	for _, n := range l.lines {
		row++
		for k, v := range n.words {
			put(row, k+1, v)
		}
		for i, c := range l.cols {
			if v, has := n.over[c]; n.j == nil && has {
				put(row, i+1, v)
			}
			if n.heads {
				put(row, i+1, l.heading(c))
			}
		}
		if n.j == nil {
			continue
		}
		for i, c := range l.cols {
			put(row, i+1, b.value(l, c, n, joints))
			if at := [2]int{row, l.right + i + 1}; n.style != "" {
				s.styles[at] = n.style
			}
		}
		joints++
	}
	for i, c := range l.cols {
		if c.hidden {
			s.hidden = append(s.hidden, l.right+i+1)
		}
	}
	for _, do := range l.after {
		do(s, l)
	}
	if l.turned {
		s.turn(top)
	}
	return s
}

// at is the cell of a line and a column.
func (l *list) at(line int, c *column) [2]int {
	return [2]int{l.bodyRow + line, l.right + slices.Index(l.cols, c) + 1}
}

// turn has rows from a row on and columns change places.
func (s *tab) turn(top int) {
	was := maps.Clone(s.cells)
	clear(s.cells)
	for at, v := range was {
		if at[0] >= top {
			at = [2]int{top + at[1] - 1, at[0] - top + 1}
		}
		s.cells[at] = v
	}
	s.merged, s.hidden = nil, nil
	clear(s.styles)
}

// write makes the file.
func (b *shopBook) write() (*excelize.File, error) {
	all := slices.Clone(b.first)
	for _, l := range b.lists {
		all = append(all, b.lay(l))
	}
	return writeTabs(append(all, b.tabs...))
}

func writeTabs(all []*tab) (*excelize.File, error) {
	f := excelize.NewFile()
	styles := map[string]int{"": 0}
	for name, style := range map[string]*excelize.Style{
		"struck": {Font: &excelize.Font{Strike: true}}, "bold": {Font: &excelize.Font{Bold: true}},
		"mm": {CustomNumFmt: ptr(`0.0##" mm"`)}, "inch": {CustomNumFmt: ptr(`0.###"""`)}, "date": {NumFmt: 14},
	} {
		id, err := f.NewStyle(style)
		if err != nil {
			return nil, err
		}
		styles[name] = id
	}
	for i, s := range all {
		if i == 0 {
			if err := f.SetSheetName("Sheet1", s.title); err != nil {
				return nil, err
			}
		} else if _, err := f.NewSheet(s.title); err != nil {
			return nil, err
		}
		if err := s.stream(f, styles); err != nil {
			return nil, fmt.Errorf("sheet %q: %w", s.title, err)
		}
	}
	for i, s := range all {
		if s.state != "" {
			f.SetActiveSheet((i + 1) % len(all))
			if err := f.SetSheetVisible(s.title, false); err != nil {
				return nil, err
			}
		}
	}
	return f, nil
}

func ptr[T any](v T) *T { return &v }

func (s *tab) stream(f *excelize.File, styles map[string]int) error {
	w, err := f.NewStreamWriter(s.title)
	if err != nil {
		return err
	}
	for _, c := range s.hidden {
		if err := w.SetColVisible(c, c, false); err != nil {
			return err
		}
	}
	rows := map[int]int{}
	for at := range s.cells {
		rows[at[0]] = max(rows[at[0]], at[1])
	}
	for _, row := range slices.Sorted(maps.Keys(rows)) {
		cells := make([]any, rows[row])
		for c := range cells {
			at := [2]int{row, c + 1}
			if v, has := s.cells[at]; has {
				v.StyleID = styles[s.styles[at]]
				cells[c] = v
			}
		}
		ref, err := excelize.CoordinatesToCellName(1, row)
		if err != nil {
			return err
		}
		if err := w.SetRow(ref, cells, excelize.RowOpts{Hidden: s.rows[row]}); err != nil {
			return err
		}
	}
	for _, m := range s.merged {
		from, err := excelize.CoordinatesToCellName(m[1], m[0])
		if err != nil {
			return err
		}
		to, err := excelize.CoordinatesToCellName(m[3], m[2])
		if err != nil {
			return err
		}
		if err := w.MergeCell(from, to); err != nil {
			return err
		}
	}
	return w.Flush()
}

// meant are the joints that the workbook means, with their cars.
func (b *shopBook) meant() map[*car][]joint {
	out := map[*car][]joint{}
	for _, l := range b.lists {
		for _, n := range l.lines {
			switch {
			case l.dead || n.dead || n.j == nil && n.means == nil:
			case n.means != nil:
				out[n.car] = append(out[n.car], n.means...)
			default:
				out[n.car] = append(out[n.car], n.j)
			}
		}
	}
	return out
}

// plain writes what the book means as the README has it: a heading and a unit over
// every column, the car on every row, and a list of the cars.
func (b *shopBook) plain() (*excelize.File, error) {
	order := sheetOf("Order", []any{"Car", "Cars ordered", "Bid per car ($)"})
	joints := newTab("Joints")
	cols := b.columnsOfAll()
	for i, c := range cols {
		joints.put(1, i+1, (&list{}).heading(c))
	}
	meant := b.meant()
	row := 1
	for i, of := range b.cars {
		order.put(i+2, 1, of.name)
		order.put(i+2, 2, of.ordered)
		if of.bid > 0 {
			order.put(i+2, 3, of.bid)
		}
		for _, j := range meant[of] {
			row++
			for i, c := range cols {
				joints.put(row, i+1, b.value(&list{}, c, &line{j: j, car: of}, row))
			}
		}
	}
	return writeTabs([]*tab{joints, order})
}

func (b *shopBook) columnsOfAll() []*column {
	was := b.keys
	defer func() { b.keys = was }()
	b.keys = nil
	for _, in := range inputs {
		b.keys = append(b.keys, in.key)
	}
	return b.columns()
}
