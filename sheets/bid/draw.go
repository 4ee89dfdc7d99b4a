package bid

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
)

// bidBlock is where a scope of the model stands on a sheet for the bid. Its cells
// are written when the whole sheet is laid out: any block may name any other.
type bidBlock struct {
	scope  *model.Scope
	rows   page.Rows
	spots  map[*model.Quantity]spotOn
	label  look.Role // of texts that no formula gives
	total  bool
	across bool // it is a table: a figure a column
}

// spotOn is where a figure has its cells: rows below the block's first, and the
// column.
type spotOn struct{ down, col int }

// bidRow is a row of a scope, and where it finds what stands elsewhere.
type bidRow struct {
	*compute.BidRow
	beside  func(*model.Quantity) string // the cell of what the row that it follows has
	scene   *placedScene                 // in which it stands; nil: the order as it is
	columns func(*model.Quantity) string // of the scopes that have rows of their own in every scene
	refs    map[*model.Quantity]string   // of givens
	formats map[*model.Quantity]string   // where a row has others than its scope
}

// scoped is a scope of the sheet.
func (f *Laid) scoped(name string) *model.Scope { return f.Model.BidScope(name) }

// add adds a row to a scope.
func (f *Laid) add(name string, in *compute.Values, beside *formula.Frame) *bidRow {
	s := f.scoped(name)
	r := &bidRow{BidRow: f.bid.Add(s, in, beside), refs: map[*model.Quantity]string{}}
	f.lines[s] = append(f.lines[s], r)
	return r
}

// onceRow is the row of a scope that has no more.
func (f *Laid) onceRow(s *model.Scope) *bidRow {
	if f.lines[s] == nil {
		f.lines[s] = []*bidRow{{BidRow: f.bid.Rows(s)[0], refs: map[*model.Quantity]string{}}}
	}
	return f.lines[s][0]
}

// follow adds a row for every row in use of the table of Workings that a scope
// follows.
func (f *Laid) follow(name string) []*bidRow {
	s := f.scoped(name)
	for i := range f.Values.Rows(s.Beside).Frames {
		f.followRow(name, i, nil)
	}
	return f.lines[s]
}

// joints adds a row for every joint, to a scope that follows their lines.
func (f *Laid) joints(name string) []*bidRow {
	for i := range f.Joints {
		joint := &f.Joints[i]
		r := f.add(name, nil, &joint.Line.Frame)
		r.beside = func(q *model.Quantity) string { return f.JointCell(joint, q) }
		r.set("joint_no", float64(i+1), "")
		r.say("joint", joint.Mark, "")
	}
	return f.lines[f.scoped(name)]
}

// amount is what a figure of a scope of one row came to, and its cell or formula.
func (f *Laid) amount(q *model.Quantity) (amountAt, error) {
	if q.Scope == f.Model.OrderOf {
		return f.orderAmount(q.Key), nil
	}
	ref, err := f.onceCell(q)
	return amountAt{ref, q.Num(f.onceRow(q.Scope).Frame)}, err
}

// followRow adds one for row i, maybe as it is in a scene.
func (f *Laid) followRow(name string, i int, in *placedScene) *bidRow {
	s := f.scoped(name)
	v := f.Values
	if in != nil {
		v = in.values
	}
	r := f.add(name, v, v.Rows(s.Beside).Frames[i])
	r.scene = in
	r.beside = func(q *model.Quantity) string {
		if in != nil {
			return in.at(q, i).formula
		}
		return f.s.CellAt(q, i)
	}
	if q := s.Quantity("name"); q != nil && q.Role == model.Given {
		c := f.s.NameAt(s.Beside, i)
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
func shownOf(s *model.Scope) []*model.Quantity {
	return slices.DeleteFunc(slices.Clone(s.Quantities), func(q *model.Quantity) bool { return q.Heading == "" || q.Role == model.Check })
}

// asked are the figures of a scope that some scopes of the sheet name: what a scene
// has to have.
func (f *Laid) asked(of *model.Scope, names ...string) []*model.Quantity {
	var out []*model.Quantity
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

// title begins a block with its title, if it has one.
func (f *Laid) title(s *model.Scope) {
	if s.Title != "" {
		f.section(strings.ReplaceAll(s.Title, "$", f.Currency()))
	}
}

// down lays out a scope of one row with a figure a line: label, value, unit.
func (f *Laid) down(name string) *bidBlock {
	s := f.scoped(name)
	f.title(s)
	b := f.block(s, 1)
	row := f.onceRow(s)
	f.underline(bidData + 1)
	for i, q := range shownOf(s) {
		b.spots[q] = spotOn{i, bidData}
		f.P.Put(f.row, page.Text(bidName, look.Label, q.HeadingOn(row.Frame), page.Ours))
		f.row++
	}
	f.notes = append(f.notes, func() {
		for _, q := range shownOf(s) {
			c := page.Text(bidData+1, look.CalcText, f.unitBeside(q), page.Ours)
			if formula.IsBlank(q.Num(row.Frame)) && !q.IsText() && q.Why != "" {
				c = page.Text(bidData+1, look.Note, q.Why, page.Ours)
			}
			if c.Text != "" {
				f.P.Put(b.rows.First+b.spots[q].down, c)
			}
		}
	})
	return b
}

// unitBeside is the unit beside an amount: of a count, what is counted.
func (f *Laid) unitBeside(q *model.Quantity) string {
	u := f.s.Unit(q)
	if name := model.UnitName(q); u == "" && name == q.UnitOf && name != "%" {
		return name
	}
	return u
}

// table lays out a scope with a figure a column, below headings as high as their words.
// The rows have been added.
func (f *Laid) table(name string) *bidBlock {
	s := f.scoped(name)
	f.title(s)
	b := f.columns(s)
	f.row += b.rows.Count
	return b
}

// under lays out a scope of one row on the line below a table, its figures in the
// columns of those that are called the same; its title stands in front.
func (f *Laid) under(name string, above *bidBlock) error {
	s := f.scoped(name)
	f.P.Put(f.row, page.Text(bidName, look.TotalText, s.Title, page.Ours))
	b := f.block(s, 1)
	b.total = true
	for _, q := range shownOf(s) {
		spot, ok := above.spots[above.scope.Quantity(q.Key)]
		if !ok {
			return fmt.Errorf("%s: %s stands under no column of %s that is called so", q.Where(), q.ID(), above.scope.Name)
		}
		b.spots[q] = spotOn{0, spot.col}
	}
	f.row++
	return nil
}

// columns lays out the headings and columns; the rows begin at f.row.
func (f *Laid) columns(s *model.Scope) *bidBlock {
	b := f.block(s, len(f.lines[s]))
	b.rows.First++
	b.across = true
	col, height := bidName, 0.0
	for _, q := range shownOf(s) {
		at := col
		if q.Heading == headNumber {
			at = bidNo
		} else {
			col++
		}
		b.spots[q] = spotOn{0, at}
		head := f.s.Heading(q)
		if strings.Contains(s.Title, "$") && model.UnitLabel(q) == "$" || strings.HasSuffix(q.Heading, ")") { // it is said already
			head = strings.ReplaceAll(q.Heading, "$", f.Currency())
		}
		f.P.Put(f.row, page.Text(at, look.Heading, head, page.Ours))
		height = max(height, f.headHeight(at, head))
	}
	f.P.Row(f.row).Height = height
	f.underline(col - 1)
	f.P.Whole = max(f.P.Whole, col-1)
	f.right = max(f.right, col-1)
	f.row++
	return b
}

// headHeight is how high a row has to be for all words of a heading.
func (f *Laid) headHeight(col int, words string) float64 {
	width := 0.0
	if w := f.P.Shell.Widths; col <= len(w) {
		width = w[col-1]
	}
	if width == 0 {
		width = usualWidth
	}
	return f.ink.RowHeight(look.Heading, words, width)
}

// usualWidth of a column that has none of its own, in characters.
const usualWidth = 8.43

// underline draws the line under the title on the row above the next free one as far
// as a column, if a title stands there.
func (f *Laid) underline(to int) {
	if f.titled != f.row-1 {
		return
	}
	for col := bidNo + 1; col <= to; col++ {
		f.P.Put(f.titled, page.Empty(col, look.Style{Role: look.Section}, page.Ours))
	}
}

// headNumber is the heading of the narrow column on the left.
const headNumber = "No."

func (f *Laid) block(s *model.Scope, rows int) *bidBlock {
	if s.Once() {
		f.onceRow(s)
	}
	b := &bidBlock{scope: s, rows: page.Rows{First: f.row, Count: rows}, spots: map[*model.Quantity]spotOn{}, label: look.CalcText}
	f.blocks[s] = b
	return b
}
