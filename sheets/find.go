package sheets

import (
	"fmt"
	"sort"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/entry"
	"seamtally/sheets/part"
)

// headRows is how far down a sheet a heading row is looked for.
const headRows = 40

// shopColumn is a column of the shop's that holds an input.
type shopColumn struct {
	col     int
	head    string
	key     string
	unit    formula.Unit
	hasUnit bool
	desc    entry.Column
}

// list is a joint list on one sheet.
type list struct {
	no      int // among the lists, from 0
	sheet   int // among the tabs
	title   string
	part    string
	headRow int
	info    *part.SheetInfo
	shop    map[string]shopColumn // by input
	ours    map[*compute.Quantity]int
	isNew   bool // our columns are not there yet
	lastRow int  // last row with anything in it

	heads map[int]string // headings of the heading row, ours included

	newHeads map[*compute.Quantity]string // of our columns, where a table asks for others

	read, priced, leftOut, passed   int
	warned, overrides, priceMissing int
}

// ref names a cell of the list for a message: Coupe!F14.
func (l *list) ref(row, col int) string { return l.title + "!" + part.Ref(row, col) }

// carList is a list of the cars ordered that the shop keeps itself.
type carList struct {
	title   string
	headRow int
	entries []carEntry
}

type carEntry struct {
	name         string
	row          int
	ordered, bid *carCell
}

type carCell struct {
	ref string // absolute, on its sheet: $B$7
	num float64
}

// headCells are the cells of the first rows of a sheet.
type headCells struct {
	rows [][]part.Cell
	nums []int
}

// find looks through the sheets for joint lists and for the list of cars.
func (b *book) find() error {
	for i, s := range b.wb.Sheets {
		if s.Kind != "worksheet" || s.PartName == "" || b.own.is(s.Name) {
			continue
		}
		var head headCells
		info, err := b.readPart(s.PartName, func(r *part.Row) error {
			if r.Num <= headRows {
				head.rows = append(head.rows, append([]part.Cell(nil), r.Cells...))
				head.nums = append(head.nums, r.Num)
			}
			return nil
		})
		if err != nil {
			return fmt.Errorf("sheet %q: %w", s.Name, err)
		}
		if l := b.findList(&head, s.Name); l != nil {
			l.no, l.sheet, l.title, l.part, l.info, l.lastRow = len(b.lists), i, s.Name, s.PartName, info, info.LastRow
			b.lists = append(b.lists, l)
			continue
		}
		if b.cars == nil {
			if err := b.findCars(&head, s); err != nil {
				return err
			}
		}
	}
	return nil
}

// findList looks for the heading row: the first on which the outside diameter
// and the wall are recognised.
func (b *book) findList(head *headCells, sheet string) *list {
	mine := b.own.columnsOn(sheet)
	for i, cells := range head.rows {
		cols := b.recognise(cells, "lines", mine, sheet)
		if _, ok := cols["od"]; !ok {
			continue
		}
		if _, ok := cols["wall"]; !ok {
			continue
		}
		l := &list{headRow: head.nums[i], shop: cols, heads: map[int]string{}, newHeads: map[*compute.Quantity]string{}}
		for _, c := range cells {
			l.heads[c.Col] = cellText(c)
		}
		return l
	}
	return nil
}

// recognise reads a row as headings. Columns that are ours are passed over.
// Where two headings mean one input, the exact spelling goes before a loose
// one, then the first.
func (b *book) recognise(cells []part.Cell, table string, ours map[int]bool, sheet string) map[string]shopColumn {
	found := map[string]shopColumn{}
	exact := map[string]bool{}
	for _, c := range cells {
		if c.Kind != part.Text || ours[c.Col] {
			continue
		}
		m := b.headings.Recognise(c.Text)
		if m.Key == "" {
			continue
		}
		desc, ok := b.headings.Column(m.Key)
		if !ok || desc.Table != table && !(table == "cars" && m.Key == "car") {
			continue
		}
		if _, twice := found[m.Key]; twice && (exact[m.Key] || !m.Exact) {
			continue
		}
		found[m.Key] = shopColumn{col: c.Col, head: strings.Join(strings.Fields(c.Text), " "), key: m.Key, unit: m.Unit, hasUnit: m.HasUnit, desc: desc}
		exact[m.Key] = m.Exact
	}
	return found
}

// questions tells of headings in the heading row that are questioned, or that
// are not known but near to a known one.
func (b *book) questions(l *list) {
	mine := b.own.columnsOn(l.title)
	for col := 1; col <= l.info.LastCol; col++ {
		text := l.heads[col]
		if text == "" || mine[col] {
			continue
		}
		m := b.headings.Recognise(text)
		switch {
		case m.Question != "":
			b.note(LevelWarning, "heading questioned", l.ref(l.headRow, col), fmt.Sprintf("the heading %q is not taken: %s", text, m.Question), "reword the heading")
		case m.Key == "" && m.Nearest != "":
			b.note(LevelNote, "heading unknown", l.ref(l.headRow, col), fmt.Sprintf("the heading %q is not known", text), fmt.Sprintf("if it means %q, write that", m.Nearest))
		}
	}
}

// findCars looks for the cars ordered: a heading row with the car and how many
// are ordered of it.
func (b *book) findCars(head *headCells, s part.SheetEntry) error {
	for i, cells := range head.rows {
		cols := b.recognise(cells, "cars", nil, s.Name)
		car, ok := cols["car"]
		if !ok {
			continue
		}
		ordered, ok := cols["ordered"]
		if !ok {
			continue
		}
		b.cars = &carList{title: s.Name, headRow: head.nums[i]}
		bid, hasBid := cols["bid"]
		_, err := b.readPart(s.PartName, func(r *part.Row) error {
			if r.Num <= b.cars.headRow {
				return nil
			}
			e := carEntry{row: r.Num}
			for _, c := range r.Cells {
				switch {
				case c.Col == car.col:
					e.name = cellText(c)
				case c.Col == ordered.col && c.Kind == part.Number:
					e.ordered = &carCell{absolute(r.Num, c.Col), c.Num}
				case hasBid && c.Col == bid.col && c.Kind == part.Number:
					e.bid = &carCell{absolute(r.Num, c.Col), c.Num}
				}
			}
			if e.name != "" && e.ordered != nil {
				b.cars.entries = append(b.cars.entries, e)
			}
			return nil
		})
		return err
	}
	return nil
}

// entry finds a car of the shop's own list.
func (c *carList) entry(name string) *carEntry {
	if c == nil {
		return nil
	}
	for i := range c.entries {
		if strings.EqualFold(c.entries[i].name, name) {
			return &c.entries[i]
		}
	}
	return nil
}

func absolute(row, col int) string { return fmt.Sprintf("$%s$%d", part.ColName(col), row) }

// cellText is a cell as text, a number as a spreadsheet joins it to a text.
func cellText(c part.Cell) string {
	switch c.Kind {
	case part.Text:
		return strings.TrimSpace(c.Text)
	case part.Number:
		return formula.GeneralText(c.Num)
	}
	return ""
}

// system decides between the two systems of units, for a workbook that has no
// Assumptions yet: by the units that headings of lengths name, else by size.
func (b *book) system() compute.System {
	metric, us := 0, 0
	for _, l := range b.lists {
		for _, c := range l.shop {
			if !c.hasUnit {
				continue
			}
			switch c.unit.String() {
			case "mm", "cm", "m":
				metric++
			case "in", "ft":
				us++
			}
		}
	}
	if metric > us {
		return compute.Metric
	}
	return compute.US
}

// sorted lists the shop's columns from left to right.
func (l *list) sorted() []shopColumn {
	var out []shopColumn
	for _, c := range l.shop {
		out = append(out, c)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].col < out[j].col })
	return out
}
