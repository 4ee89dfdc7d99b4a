package habits_test

import (
	"fmt"
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
