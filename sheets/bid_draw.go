package sheets

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// bidBlock is where a scope of the model stands on a sheet for the bid. Its cells
// are written when the whole sheet is laid out: any block may name any other.
type bidBlock struct {
	scope *compute.Scope
	rows  rowsOf
	spots map[*compute.Quantity]spotOn
	label look.Role // of texts that no formula gives
	total bool
}

// spotOn is where a figure has its cells: rows below the block's first, and the
// column.
type spotOn struct{ down, col int }

// bidRow is a row of a scope, and where it finds what stands elsewhere.
type bidRow struct {
	*compute.BidRow
	beside  func(*compute.Quantity) string // the cell of what the row that it follows has
	scene   *placedScene                   // in which it stands; nil: the order as it is
	columns func(*compute.Quantity) string // of the scopes that have rows of their own in every scene
	refs    map[*compute.Quantity]string   // of givens
	formats map[*compute.Quantity]string   // where a row has others than its scope
}

// scoped is a scope of the sheet.
func (f *bidPlan) scoped(name string) *compute.Scope { return f.model.BidScope(name) }

// add adds a row to a scope.
func (f *bidPlan) add(name string, in *compute.Values, beside *formula.Frame) *bidRow {
	s := f.scoped(name)
	r := &bidRow{BidRow: f.bid.Add(s, in, beside), refs: map[*compute.Quantity]string{}}
	f.lines[s] = append(f.lines[s], r)
	return r
}

// once is the row of a scope that has no more.
func (f *bidPlan) onceRow(s *compute.Scope) *bidRow {
	if f.lines[s] == nil {
		f.lines[s] = []*bidRow{{BidRow: f.bid.Rows(s)[0], refs: map[*compute.Quantity]string{}}}
	}
	return f.lines[s][0]
}

// follow adds a row for every row in use of the table of the Summary that a scope
// follows.
func (f *bidPlan) follow(name string) []*bidRow {
	s := f.scoped(name)
	for i := range f.values.Rows(s.Beside).Frames {
		f.followRow(name, i, nil)
	}
	return f.lines[s]
}

// joints adds a row for every joint, to a scope that follows their lines.
func (f *bidPlan) joints(name string) []*bidRow {
	for i := range f.pricing.rows {
		joint := &f.pricing.rows[i]
		r := f.add(name, nil, &joint.line.Frame)
		r.beside = joint.cell
		r.set("joint_no", float64(i+1), "")
		r.say("joint", joint.mark, "")
	}
	return f.lines[f.scoped(name)]
}

// amount is what a figure of a scope of one row came to, and its cell or formula.
func (f *bidPlan) amount(q *compute.Quantity) (amountAt, error) {
	if q.Scope == f.model.OrderOf {
		return f.orderAmount(q.Key), nil
	}
	ref, err := f.onceCell(q)
	return amountAt{ref, q.Num(f.onceRow(q.Scope).Frame)}, err
}

// followRow adds one for row i, maybe as it is in a scene.
func (f *bidPlan) followRow(name string, i int, in *placedScene) *bidRow {
	s := f.scoped(name)
	v := f.values
	if in != nil {
		v = in.values
	}
	r := f.add(name, v, v.Rows(s.Beside).Frames[i])
	r.scene = in
	r.beside = func(q *compute.Quantity) string {
		if in != nil {
			return in.at(q, i).formula
		}
		return f.s.cellAt(q, i)
	}
	if q := s.Quantity("name"); q != nil && q.Role == compute.Given {
		c := f.s.nameAt(s.Beside, i)
		r.say(q.Key, c.Text, c.Formula)
	}
	return r
}

// set gives an amount that the run has found, or brings from elsewhere: then ref
// is where it stands.
func (r *bidRow) set(key string, x float64, ref string) {
	q := r.Of().Quantity(key)
	r.Num[q.Slot], r.refs[q] = x, ref
}

// say does the same with a text.
func (r *bidRow) say(key, text, ref string) {
	q := r.Of().Quantity(key)
	r.Text[q.Slot], r.refs[q] = text, ref
}

// shownOf are the quantities of a scope that have cells in its block.
func shownOf(s *compute.Scope) []*compute.Quantity {
	return slices.DeleteFunc(slices.Clone(s.Quantities), func(q *compute.Quantity) bool { return q.Heading == "" || q.Role == compute.Check })
}

// asked are the figures of a scope that some scopes of the sheet name: what a scene
// has to have.
func (f *bidPlan) asked(of *compute.Scope, names ...string) []*compute.Quantity {
	var out []*compute.Quantity
	for _, name := range names {
		for _, q := range f.scoped(name).Quantities {
			for _, t := range q.Reaches() {
				if t.Scope == of {
					out = append(out, t.Quantity)
				}
			}
		}
	}
	return out
}

// titled begins a block with its title, if it has one.
func (f *bidPlan) titled(s *compute.Scope) {
	if s.Title != "" {
		f.section(strings.ReplaceAll(s.Title, "$", f.currency()))
	}
}

// down lays out a scope of one row with a figure a line: label, value, unit.
func (f *bidPlan) down(name string) *bidBlock {
	s := f.scoped(name)
	f.titled(s)
	b := f.block(s, 1)
	row := f.onceRow(s)
	for i, q := range shownOf(s) {
		b.spots[q] = spotOn{i, bidData}
		f.p.Put(f.row, page.Text(bidName, look.Label, q.HeadingOn(row.Frame), page.Ours))
		f.row++
	}
	f.notes = append(f.notes, func() {
		for _, q := range shownOf(s) {
			c := page.Text(bidData+1, look.Label, f.unitBeside(q), page.Ours)
			if formula.IsBlank(q.Num(row.Frame)) && !q.IsText() && q.Why != "" {
				c = page.Text(bidData+1, look.Note, q.Why, page.Ours)
			}
			if c.Text != "" {
				f.p.Put(b.rows.first+b.spots[q].down, c)
			}
		}
	})
	return b
}

// unitBeside is the unit beside an amount: of a count, what is counted.
func (f *bidPlan) unitBeside(q *compute.Quantity) string {
	u := f.s.unit(q)
	if name := compute.UnitName(q); u == "" && name == q.UnitOf && name != "%" {
		return name
	}
	return u
}

// along lays out a scope of one row on one line, each label with its value behind.
func (f *bidPlan) along(name string) *bidBlock {
	s := f.scoped(name)
	b := f.block(s, 1)
	for i, q := range shownOf(s) {
		b.spots[q] = spotOn{0, bidData + 2*i}
		f.p.Put(f.row, page.Text(bidName+2*i, look.Label, q.Heading, page.Ours))
	}
	f.row++
	return b
}

// table lays out a scope with a figure a column, below headings of that height.
// The rows have been added.
func (f *bidPlan) table(name string, height float64) *bidBlock {
	s := f.scoped(name)
	f.titled(s)
	b := f.columns(s, height)
	f.row += b.rows.count
	return b
}

// under lays out a scope of one row on the line below a table, its figures in the
// columns of those that are called the same; its title stands in front.
func (f *bidPlan) under(name string, above *bidBlock) {
	s := f.scoped(name)
	f.p.Put(f.row, page.Text(bidName, look.TotalText, s.Title, page.Ours))
	b := f.block(s, 1)
	b.total = true
	for _, q := range shownOf(s) {
		b.spots[q] = spotOn{0, above.spots[above.scope.Quantity(q.Key)].col}
	}
	f.row++
}

// columns lays out the headings and columns; the rows begin at f.row.
func (f *bidPlan) columns(s *compute.Scope, height float64) *bidBlock {
	b := f.block(s, len(f.lines[s]))
	b.rows.first++
	col := bidName
	for _, q := range shownOf(s) {
		at := col
		if q.Heading == headNumber {
			at = bidNo
		} else {
			col++
		}
		b.spots[q] = spotOn{0, at}
		head := f.s.heading(q)
		if strings.Contains(s.Title, "$") && compute.UnitLabel(q) == "$" || strings.HasSuffix(q.Heading, ")") { // it is said already
			head = strings.ReplaceAll(q.Heading, "$", f.currency())
		}
		f.p.Put(f.row, page.Text(at, look.Heading, head, page.Ours))
	}
	f.p.Row(f.row).Height = height
	f.p.Whole = max(f.p.Whole, col-1)
	f.right = max(f.right, col-1)
	f.row++
	return b
}

// headNumber is the heading of the narrow column on the left.
const headNumber = "No."

func (f *bidPlan) block(s *compute.Scope, rows int) *bidBlock {
	if s.Once() {
		f.onceRow(s)
	}
	b := &bidBlock{scope: s, rows: rowsOf{f.row, rows}, spots: map[*compute.Quantity]spotOn{}, label: look.CalcText}
	f.blocks[s] = b
	return b
}

// finish works out what the sheet shows, and writes the cells of its blocks and
// its checks.
func (f *bidPlan) finish() error {
	if err := f.bid.Work(); err != nil {
		return err
	}
	for _, s := range f.bid.Scopes() {
		b := f.blocks[s]
		if b == nil {
			continue
		}
		for i, r := range f.lines[s] {
			for _, q := range shownOf(s) {
				spot := b.spots[q]
				if r.Lacks(q) || q.Role == compute.Given && q.IsText() && q.Text(r.Frame) == "" {
					continue
				}
				c, err := f.bidCell(r, q, i, spot.col)
				if err != nil {
					return err
				}
				switch {
				case q.IsText() && q.Role == compute.Given && c.Formula == "":
					c.Style.Role = b.label
				case b.total:
					c.Style.Role = look.Total
				}
				f.p.Put(b.rows.first+i+spot.down, c)
			}
		}
	}
	for _, note := range f.notes {
		note()
	}
	return f.writeChecks()
}

// bidCell is the cell of a figure of row i of its scope.
func (f *bidPlan) bidCell(r *bidRow, q *compute.Quantity, i, col int) (page.Cell, error) {
	t, err := f.bidFormula(r, q, i)
	if err != nil {
		return page.Cell{}, err
	}
	c := value(q, r.Frame, col, look.Calc)
	if format := r.formats[q]; format != "" {
		c.Style.Format = format
	}
	switch x := q.Num(r.Frame); {
	case q.IsText():
	case formula.IsBlank(x) && q.Otherwise() != "":
		c = page.Text(col, look.CalcText, q.Otherwise(), page.Ours)
	case math.IsNaN(x) && !formula.IsBlank(x) && q.IsDay():
		c.Text = "#NUM!"
	}
	if t != "" {
		c = c.Live(t)
	}
	if to := q.Reaches(); len(to) == 1 && to[0].Quantity == f.model.Roles.Brings && q.Heading != "" {
		c = showing(c, f.model.Roles.Brings, 0)
	}
	return c, nil
}

// bidFormula is what the cell of a figure has; "" where it keeps a value.
func (f *bidPlan) bidFormula(r *bidRow, q *compute.Quantity, i int) (string, error) {
	switch {
	case q.Kept:
		return "", nil
	case q.Role == compute.Given:
		return r.refs[q], nil
	case q.Role == compute.Number:
		return r.beside(q.Scope.Beside.Quantity(q.Key)), nil
	}
	return q.Formula().Print(f.bidCells(r, q.Scope, i))
}

// bidCells resolves the formulas of row i of a scope on the sheet.
func (f *bidPlan) bidCells(r *bidRow, s *compute.Scope, i int) resolver {
	own := func(q *compute.Quantity) (string, error) { return f.ownCell(r, s, q, i) }
	return func(table, key string) (string, error) {
		name, around, grouped := strings.Cut(table, compute.AroundMark)
		switch {
		case table == s.Name+compute.DownToMark:
			col, b := f.blocks[s].spots[s.Quantity(key)].col, f.blocks[s]
			return fmt.Sprintf("%s$%d:%s", part.ColName(col), b.rows.first, part.Ref(b.rows.first+i, col)), nil
		case grouped && name == s.Name:
			b := f.blocks[s]
			from, to := f.around(s, s.Quantity(around), i)
			col := b.spots[s.Quantity(key)].col
			return rowsOf{b.rows.first + from, to - from + 1}.column(col), nil
		}
		t, err := f.model.Find(s, table, key)
		if err != nil {
			return "", err
		}
		switch t.Reach {
		case compute.ReachRow:
			return own(t.Quantity)
		case compute.ReachBeside:
			return r.beside(t.Quantity), nil
		case compute.ReachFound:
			no := ""
			if t.By.Scope == s {
				no, err = own(t.By)
			} else {
				no = r.beside(t.By)
			}
			return "INDEX(" + columnName(f.names, t.Scope, key) + "," + no + ")", err
		case compute.ReachOnce:
			switch {
			case t.Scope == f.model.Singles:
				return f.names.Use(key), nil
			case t.Scope.Sheet != "":
				return f.onceCell(t.Quantity)
			case t.Scope == f.model.OrderOf && r.scene != nil:
				return r.scene.at(t.Quantity, 0).formula, nil
			}
			return f.s.orderCell(key), nil
		}
		return f.wholeColumn(r, t.Quantity)
	}
}

// ownCell is a cell of the own row. What has none has its formula there.
func (f *bidPlan) ownCell(r *bidRow, s *compute.Scope, q *compute.Quantity, i int) (string, error) {
	if b := f.blocks[s]; b != nil {
		if spot, ok := b.spots[q]; ok {
			if s.Once() {
				return page.Absolute(b.rows.first+spot.down, spot.col), nil
			}
			return part.Ref(b.rows.first+i, spot.col), nil
		}
	}
	t, err := f.bidFormula(r, q, i)
	switch {
	case err != nil || t == "":
		return "", fmt.Errorf("%s has no cell: %w", q.ID(), err)
	case q.Role == compute.Given || q.Role == compute.Number:
		return t, nil
	}
	return "(" + t + ")", nil
}

// onceCell is the cell of a figure of a block of one row.
func (f *bidPlan) onceCell(q *compute.Quantity) (string, error) {
	return f.ownCell(f.onceRow(q.Scope), q.Scope, q, 0)
}

// around are the first and the last of the rows around row i that say the same.
func (f *bidPlan) around(s *compute.Scope, by *compute.Quantity, i int) (from, to int) {
	lines := f.lines[s]
	same := func(k int) bool {
		return k >= 0 && k < len(lines) && by.Num(lines[k].Frame) == by.Num(lines[i].Frame)
	}
	for from = i; same(from - 1); from-- {
	}
	for to = i; same(to + 1); to++ {
	}
	return from, to
}

// wholeColumn is a column of a table on Assumptions, on Summary or in a scene, or of
// a block of the sheet.
func (f *bidPlan) wholeColumn(r *bidRow, q *compute.Quantity) (string, error) {
	switch {
	case q.Scope.Apart:
		return r.columns(q), nil
	case q.Scope.Sheet != "":
		b := f.blocks[q.Scope]
		spot, ok := b.spots[q]
		if !ok {
			return "", fmt.Errorf("%s has no column", q.ID())
		}
		return b.rows.column(spot.col), nil
	case slices.Contains(f.model.Tables, q.Scope):
		return columnName(f.names, q.Scope, q.Key), nil
	case r.scene != nil:
		return r.scene.column(q)
	}
	return f.s.usedColumn(q)
}

// checks leaves room for the checks of the sheet, on the next free rows. What
// stands down to there is printed, what is below is working.
func (f *bidPlan) checks(here, there string) {
	f.section("Checks")
	f.headings(bidName, 2*page.StandardHeight, "Check", here, there, "Difference", "Verdict")
	f.checksAt = rowsOf{f.row, len(f.bid.Checks())}
	f.row += f.checksAt.count + 1
	f.p.Shell.Flags = append(f.p.Shell.Flags, f.verdicts().String())
	f.p.Shell.Print.TitleRows, f.p.Shell.Print.Area = "1:3", "A1:"+part.Ref(f.row, max(f.right, checkVerdict))
}

// Columns of the checks.
const (
	checkHere = bidData + iota
	checkThere
	checkGap
	checkVerdict
)

// verdicts is where the words of the checks stand.
func (f *bidPlan) verdicts() part.Range {
	return part.Range{Row1: f.checksAt.first, Col1: checkVerdict, Row2: max(f.checksAt.last(), f.checksAt.first), Col2: checkVerdict}
}

// writeChecks writes the checks: the two amounts, what they are apart, and the
// verdict.
func (f *bidPlan) writeChecks() error {
	row := f.checksAt.first
	for _, s := range f.bid.Scopes() {
		if s.Once() {
			f.onceRow(s)
		}
		for i, r := range f.lines[s] {
			for _, q := range s.Quantities {
				if q.Role != compute.Check {
					continue
				}
				f.p.Put(row, page.Text(bidName, look.Label, q.HeadingOn(r.Frame), page.Ours))
				for k, side := range []*compute.Quantity{q.Here, q.There} {
					c, err := f.bidCell(r, side, i, checkHere+k)
					if err != nil {
						return err
					}
					f.p.Put(row, c)
				}
				gap, err := q.Formula().Print(func(_, key string) (string, error) {
					if key == q.Here.Key {
						return part.Ref(row, checkHere), nil
					}
					return part.Ref(row, checkThere), nil
				})
				if err != nil {
					return err
				}
				x := q.Num(r.Frame)
				f.p.Put(row, value(q, r.Frame, checkGap, look.Calc).Live(gap))
				f.p.Put(row, page.Text(checkVerdict, look.CalcText, q.Verdict(x), page.Ours).Live(q.VerdictFormula(part.Ref(row, checkGap))))
				row++
			}
		}
	}
	return nil
}

// failing is how many checks do not hold.
func (f *bidPlan) failing() (n int) {
	for _, c := range f.bid.Checks() {
		if !c.Holds() {
			n++
		}
	}
	return n
}
