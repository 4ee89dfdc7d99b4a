package workings

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// Block is a table of Workings: some figures of one scope, a row for each
// of its lines in use.
type Block struct {
	Key     string
	Title   string
	scope   *model.Scope
	figures []*model.Quantity
	at      page.Rows
}

// tally is the table behind a scope: for each list and line of the scope, the
// sums of that list alone.
type tallyBlock struct {
	key   string
	scope *model.Scope
	sums  []*model.Quantity
	at    page.Rows
	rows  []tallyRow
}

type tallyRow struct{ list, no int }

// SingleBlock is a block of figures of the order, one below the other.
type SingleBlock struct {
	Key, Title string
	figures    []*model.Quantity
	at         page.Rows
	chart      string // title of its chart, "" for none
	charted    int    // figures that the chart shows, from the first on
}

// Sheet lays out Workings.
type Sheet struct {
	*assumptions.Sheet
	P         *page.Plan
	Assume    *assumptions.Places
	AssumeOn  string // title of the Assumptions sheet
	Blocks    []*Block
	tallies   []*tallyBlock
	Singles   []*SingleBlock
	joint     *Block // of the joint lists
	checks    page.Rows
	OrderRows map[string]int // row of each figure of the order
	wordsAt   page.Rows      // the cautions, and how each figure is worked out
	notes     notes
	list      []section            // from top to bottom
	was       map[string]page.Rows // where the sections of a sheet that is there stood
	Anew      bool                 // that sheet is laid out anew
	found     bool                 // it is only looked at
	other     map[string]section   // of such a sheet, those that have other entries than this version
	FoundAt   map[string]string    // of checks that do not hold, where that was found first
	Bids      []string             // keys of the sheets for the bid that stand beside it
}

// orderOver are the figures of the order that stand over those of the cars.
func orderOver() map[string]string {
	return map[string]string{
		"car_qty": "order_cars", "car_welds": "order_welds", "car_stops": "order_stops", "car_arc": "order_arc",
		"car_hours": "order_hours", "car_argon": "order_argon", "car_filler": "order_filler", "car_tube": "order_tube",
		"cost_car": "order_cost", "price_all": "order_price",
	}
}

// New gives everything on Workings its place; found leaves all where
// it is, on a sheet that is only looked at.
func New(b *assumptions.Sheet, title, assumeOn string, assume *assumptions.Places, found bool) (*Sheet, error) {
	s := &Sheet{Sheet: b, P: page.New(title, b.Own.Workings == ""), Assume: assume, AssumeOn: assumeOn, OrderRows: map[string]int{}, other: map[string]section{}}
	s.P.Shell.Widths = []float64{5, 44, 12, 10, 10, 10, 10, 11, 10, 10, 12, 11, 13, 23}
	s.P.Shell.FreezeRow = 3
	var err error
	if s.notes, err = readNotes(b.Lists.Book); err != nil {
		return nil, err
	}
	s.collect()
	return s, s.lay(found)
}

// Fill writes Workings.
func (s *Sheet) Fill() (*page.Plan, error) {
	s.head()
	for _, bl := range s.Blocks {
		if err := s.block(bl); err != nil {
			return nil, err
		}
	}
	for _, sb := range s.Singles {
		if err := s.single(sb); err != nil {
			return nil, err
		}
	}
	if err := s.check(); err != nil {
		return nil, err
	}
	if err := s.block(s.joint); err != nil {
		return nil, err
	}
	for _, t := range s.tallies {
		if err := s.tally(t); err != nil {
			return nil, err
		}
	}
	if !s.found {
		s.words()
	}
	if s.Anew {
		s.carry()
	}
	s.Names.Define(book.NameWorkings, page.RangeRef(s.P.Title, grid.Range{Row1: 1, Col1: 1, Row2: 1, Col2: 1}))
	s.P.Shell.Print = look.Print{Foot: s.Foot(), Area: "A1:" + grid.Ref(s.wordsAt.Last()+1, book.SumLast)}
	_, size := s.Styles.DefaultFont()
	s.P.Repeat(size)
	return s.P, nil
}

// collect makes the list of blocks from the model.
func (s *Sheet) collect() {
	of := func(sc *model.Scope, group string) []*model.Quantity {
		var out []*model.Quantity
		for _, q := range sc.Quantities {
			if q.Role == model.Figure && q.Group == group {
				out = append(out, q)
			}
		}
		return out
	}
	cars := s.ScopeOf("cars")
	for _, g := range []struct{ group, title string }{
		{"results", "The order, car by car"}, {"price", "Price, one car"}, {"hours", "Hours, one car"},
		{"money", "Money, one car"}, {"gas", "Argon by line, one car"}, {"work", "Floor time, one car"},
	} {
		s.Blocks = append(s.Blocks, &Block{Key: "cars." + g.group, Title: g.title, scope: cars, figures: of(cars, g.group)})
	}
	for _, name := range []string{"tube", "rods"} {
		sc := s.ScopeOf(name)
		s.Blocks = append(s.Blocks, &Block{Key: name, Title: sc.Title, scope: sc, figures: of(sc, "")})
	}
	for _, sc := range s.Model.Summary {
		t := &tallyBlock{key: "sums." + sc.Name, scope: sc, sums: s.Model.Sums(sc)}
		for _, l := range s.All {
			for no := 1; no <= len(s.Values.Rows(sc.Of).Frames); no++ {
				if s.Values.HasLines(l.No, sc, no) {
					t.rows = append(t.rows, tallyRow{l.No, no})
				}
			}
		}
		s.tallies = append(s.tallies, t)
	}
	for _, g := range []struct{ group, title, chart, below string }{
		{"results", "The order", "", ""},
		{"hours_go", "Where the hours go", "Where the hours go, all cars", ""},
		{"money_goes", "Where the money goes", "Where the money goes, all cars", "brings"},
		{"once", "Once for the order", "", ""},
		{"buying", "Argon to buy", "", ""},
	} {
		sb := &SingleBlock{Key: g.group, Title: g.title, chart: g.chart, figures: of(s.Model.OrderOf, g.group)}
		sb.charted = len(sb.figures)
		sb.figures = append(sb.figures, of(s.Model.OrderOf, g.below)...)
		s.Singles = append(s.Singles, sb)
	}
	s.joint = &Block{Key: "lists", Title: s.Model.Lists.Title, scope: s.Model.Lists, figures: of(s.Model.Lists, "")}
}

// ScopeOf is the table of that name that is worked out after the lines.
func (s *Sheet) ScopeOf(name string) *model.Scope { return s.Model.ClosingScope(name) }

// blockOf finds where the figures of a scope's rows stand.
func (s *Sheet) blockOf(q *model.Quantity) (bl *Block, col int) {
	for _, bl := range append(s.Blocks, s.joint) {
		if bl.scope != q.Scope {
			continue
		}
		if q.Role == model.Number {
			return bl, book.SumNo
		}
		if k := slices.Index(bl.figures, q); k >= 0 && s.colFor(bl, k) > 0 {
			return bl, s.colFor(bl, k)
		}
	}
	return nil, 0
}

// RowCell finds the figure of a scope's row: i from 0.
func (s *Sheet) RowCell(q *model.Quantity, i int) (string, bool) {
	bl, col := s.blockOf(q)
	if bl == nil {
		return "", false
	}
	return grid.Ref(bl.at.First+i, col), true
}

// columnOf is the whole column of a figure in its block.
func (s *Sheet) columnOf(q *model.Quantity) (string, bool) {
	bl, col := s.blockOf(q)
	if bl == nil {
		return "", false
	}
	return bl.at.Column(col), true
}

// print is a formula for a cell. On a sheet that is only looked at some figures
// may have none: what rests on them has no formula that could be told; known is
// false.
func (s *Sheet) print(q *model.Quantity, sc *model.Scope, i int) (text string, known bool, err error) {
	text, err = q.Formula().Print(s.Cells(sc, i))
	if err != nil && len(s.other) > 0 {
		return "", false, nil
	}
	return text, err == nil, err
}

// Cells resolves the formulas of row i of a scope of Workings.
func (s *Sheet) Cells(sc *model.Scope, i int) book.Resolver {
	base := book.Lookups(s.Model, s.Names, sc, func(q *model.Quantity) (string, bool) {
		if sc == s.Model.OrderOf {
			return page.Absolute(s.OrderRows[q.Key], book.SumFirst), s.OrderRows[q.Key] > 0
		}
		return s.RowCell(q, i)
	})
	return func(table, key string) (string, error) {
		switch {
		case table == s.Model.OrderOf.Name:
			if s.OrderRows[key] == 0 {
				return "", fmt.Errorf("%s has no cell", key)
			}
			return page.Absolute(s.OrderRows[key], book.SumFirst), nil
		case table == s.Model.Run.Name:
			return s.recount(s.Model.Run.Quantity(key)), nil
		case table == s.Model.Ready.Name+model.ColumnMark:
			return s.verdicts(), nil
		case sc == s.Model.Lists && strings.HasSuffix(table, model.ColumnMark):
			return s.listColumn(s.All[i], table, key)
		case table == s.Model.Line.Name+model.ColumnMark:
			for _, t := range s.tallies {
				if t.scope == sc {
					return t.column(s.Model.Line.Quantity(key))
				}
			}
		}
		if t, err := s.Model.Find(sc, table, key); err == nil && t.Reach == model.ReachColumn {
			if c, ok := s.columnOf(t.Quantity); ok {
				return c, nil
			}
		}
		return base(table, key)
	}
}
