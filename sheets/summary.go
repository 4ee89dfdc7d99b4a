package sheets

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// block is a table of the Summary: some figures of one scope, a row for each
// of its lines in use.
type block struct {
	key     string
	title   string
	scope   *compute.Scope
	figures []*compute.Quantity
	at      page.Rows
}

// tally is the table behind a scope: for each list and line of the scope, the
// sums of that list alone.
type tallyBlock struct {
	key   string
	scope *compute.Scope
	sums  []*compute.Quantity
	at    page.Rows
	rows  []tallyRow
}

type tallyRow struct{ list, no int }

// single is a block of figures of the order, one below the other.
type singleBlock struct {
	key, title string
	figures    []*compute.Quantity
	at         page.Rows
	chart      string // title of its chart, "" for none
	charted    int    // figures that the chart shows, from the first on
}

// summaryPlan lays out the Summary sheet.
type summaryPlan struct {
	*assumptions.Sheet
	p        *page.Plan
	assume   *assumptions.Places
	assumeOn string // title of the Assumptions sheet
	blocks   []*block
	tallies  []*tallyBlock
	singles  []*singleBlock
	joint    *block // of the joint lists
	checks   page.Rows
	order    map[string]int // row of each figure of the order
	wordsAt  page.Rows      // the cautions, and how each figure is worked out
	notes    summaryNotes
	list     []section            // from top to bottom
	was      map[string]page.Rows // where the sections of a sheet that is there stood
	anew     bool                 // that sheet is laid out anew
	found    bool                 // it is only looked at
	other    map[string]section   // of such a sheet, those that have other entries than this version
	bids     []string             // keys of the sheets for the bid that stand beside it
}

// orderOver are the figures of the order that stand over those of the cars.
func orderOver() map[string]string {
	return map[string]string{
		"car_qty": "order_cars", "car_welds": "order_welds", "car_stops": "order_stops", "car_arc": "order_arc",
		"car_hours": "order_hours", "car_argon": "order_argon", "car_filler": "order_filler", "car_tube": "order_tube",
		"cost_car": "order_cost", "price_all": "order_price",
	}
}

// newSummary gives everything on the Summary its place; found leaves all where
// it is, on a sheet that is only looked at.
func newSummary(b *assumptions.Sheet, title, assumeOn string, assume *assumptions.Places, found bool) (*summaryPlan, error) {
	s := &summaryPlan{Sheet: b, p: page.New(title, b.Own.Summary == ""), assume: assume, assumeOn: assumeOn, order: map[string]int{}, other: map[string]section{}}
	s.p.Shell.Widths = []float64{5, 44, 12, 12, 12, 12, 12, 12, 12, 12, 12, 12, 13, 30}
	s.p.Shell.FreezeRow = 3
	var err error
	if s.notes, err = readSummary(b.Lists.Book); err != nil {
		return nil, err
	}
	s.collect()
	return s, s.lay(found)
}

// fill writes the Summary.
func (s *summaryPlan) fill() (*page.Plan, error) {
	s.head()
	for _, bl := range s.blocks {
		if err := s.block(bl); err != nil {
			return nil, err
		}
	}
	for _, sb := range s.singles {
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
	if s.anew {
		s.carry()
	}
	s.Names.Define(book.NameSummary, page.RangeRef(s.p.Title, part.Range{Row1: 1, Col1: 1, Row2: 1, Col2: 1}))
	s.p.Shell.Print = look.Print{TitleRows: "1:3", Foot: s.Foot(), Area: "A1:" + part.Ref(s.wordsAt.Last()+1, book.SumLast)}
	return s.p, nil
}

// collect makes the list of blocks from the model.
func (s *summaryPlan) collect() {
	of := func(sc *compute.Scope, group string) []*compute.Quantity {
		var out []*compute.Quantity
		for _, q := range sc.Quantities {
			if q.Role == compute.Figure && q.Group == group {
				out = append(out, q)
			}
		}
		return out
	}
	cars := s.summaryScope("cars")
	for _, g := range []struct{ group, title string }{
		{"results", "The order, car by car"}, {"price", "Price, one car"}, {"hours", "Hours, one car"},
		{"money", "Money, one car"}, {"gas", "Argon by line, one car"}, {"work", "Floor time, one car"},
	} {
		s.blocks = append(s.blocks, &block{key: "cars." + g.group, title: g.title, scope: cars, figures: of(cars, g.group)})
	}
	for _, name := range []string{"tube", "rods"} {
		sc := s.summaryScope(name)
		s.blocks = append(s.blocks, &block{key: name, title: sc.Title, scope: sc, figures: of(sc, "")})
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
		sb := &singleBlock{key: g.group, title: g.title, chart: g.chart, figures: of(s.Model.OrderOf, g.group)}
		sb.charted = len(sb.figures)
		sb.figures = append(sb.figures, of(s.Model.OrderOf, g.below)...)
		s.singles = append(s.singles, sb)
	}
	s.joint = &block{key: "lists", title: s.Model.Lists.Title, scope: s.Model.Lists, figures: of(s.Model.Lists, "")}
}

// summaryScope is the table of that name that is worked out after the lines.
func (s *summaryPlan) summaryScope(name string) *compute.Scope { return s.Model.ClosingScope(name) }

// blockOf finds where the figures of a scope's rows stand.
func (s *summaryPlan) blockOf(q *compute.Quantity) (bl *block, col int) {
	for _, bl := range append(s.blocks, s.joint) {
		if bl.scope != q.Scope {
			continue
		}
		if q.Role == compute.Number {
			return bl, book.SumNo
		}
		if k := slices.Index(bl.figures, q); k >= 0 && s.colFor(bl, k) > 0 {
			return bl, s.colFor(bl, k)
		}
	}
	return nil, 0
}

// cellOf finds the figure of a scope's row: i from 0.
func (s *summaryPlan) cellOf(q *compute.Quantity, i int) (string, bool) {
	bl, col := s.blockOf(q)
	if bl == nil {
		return "", false
	}
	return part.Ref(bl.at.First+i, col), true
}

// columnOf is the whole column of a figure in its block.
func (s *summaryPlan) columnOf(q *compute.Quantity) (string, bool) {
	bl, col := s.blockOf(q)
	if bl == nil {
		return "", false
	}
	return bl.at.Column(col), true
}

// print is a formula for a cell. On a sheet that is only looked at some figures
// may have none: what rests on them has no formula that could be told; known is
// false.
func (s *summaryPlan) print(q *compute.Quantity, sc *compute.Scope, i int) (text string, known bool, err error) {
	text, err = q.Formula().Print(s.cells(sc, i))
	if err != nil && len(s.other) > 0 {
		return "", false, nil
	}
	return text, err == nil, err
}

// cells resolves the formulas of row i of a scope of the Summary.
func (s *summaryPlan) cells(sc *compute.Scope, i int) book.Resolver {
	base := book.Lookups(s.Model, s.Names, sc, func(q *compute.Quantity) (string, bool) {
		if sc == s.Model.OrderOf {
			return page.Absolute(s.order[q.Key], book.SumFirst), s.order[q.Key] > 0
		}
		return s.cellOf(q, i)
	})
	return func(table, key string) (string, error) {
		switch {
		case table == s.Model.OrderOf.Name:
			if s.order[key] == 0 {
				return "", fmt.Errorf("%s has no cell", key)
			}
			return page.Absolute(s.order[key], book.SumFirst), nil
		case table == s.Model.Run.Name:
			return s.recount(s.Model.Run.Quantity(key)), nil
		case table == s.Model.Ready.Name+compute.ColumnMark:
			return s.verdicts(), nil
		case sc == s.Model.Lists && strings.HasSuffix(table, compute.ColumnMark):
			return s.listColumn(s.All[i], table, key)
		case table == s.Model.Line.Name+compute.ColumnMark:
			for _, t := range s.tallies {
				if t.scope == sc {
					return t.column(s.Model.Line.Quantity(key))
				}
			}
		}
		if t, err := s.Model.Find(sc, table, key); err == nil && t.Reach == compute.ReachColumn {
			if c, ok := s.columnOf(t.Quantity); ok {
				return c, nil
			}
		}
		return base(table, key)
	}
}
