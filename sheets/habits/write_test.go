package habits_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

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
	looks := map[string]*excelize.Style{
		"struck": {Font: &excelize.Font{Strike: true}}, "bold": {Font: &excelize.Font{Bold: true}},
		"mm": {CustomNumFmt: ptr(`0.0##" mm"`)}, "inch": {CustomNumFmt: ptr(`0.###\"`)},
	}
	for _, name := range slices.Sorted(maps.Keys(looks)) {
		id, err := f.NewStyle(looks[name])
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
