package layout

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

// Block is where a scope of the model stands on a sheet for the bid. Its cells
// are written when the whole sheet is laid out: any block may name any other.
type Block struct {
	scope  *model.Scope
	Rows   page.Rows
	spots  map[*model.Quantity]spotOn
	Label  look.Role // of texts that no formula gives
	total  bool
	across bool // it is a table: a figure a column
}

// spotOn is where a figure has its cells: rows below the block's first, and the
// column.
type spotOn struct{ down, col int }

// Col is the column of a figure of a table.
func (b *Block) Col(key string) int { return b.spots[b.scope.Quantity(key)].col }

// Row is a row of a scope, and where it finds what stands elsewhere.
type Row struct {
	*compute.BidRow
	Beside  func(*model.Quantity) string // the cell of what the row that it follows has
	Scene   *Placed                      // in which it stands; nil: the order as it is
	Columns func(*model.Quantity) string // of the scopes that have rows of their own in every scene
	refs    map[*model.Quantity]string   // of givens
	Formats map[*model.Quantity]string   // where a row has others than its scope
}

// Scoped is a scope of the sheet.
func (f *Laid) Scoped(name string) *model.Scope { return f.Model.BidScope(name) }

// RowsOf are the rows of a scope.
func (f *Laid) RowsOf(name string) []*Row { return f.lines[f.Scoped(name)] }

// AddRow adds a row to a scope.
func (f *Laid) AddRow(name string, in *compute.Values, beside *formula.Frame) *Row {
	s := f.Scoped(name)
	r := &Row{BidRow: f.Bid.Add(s, in, beside), refs: map[*model.Quantity]string{}}
	f.lines[s] = append(f.lines[s], r)
	return r
}

// OnceRow is the row of a scope that has no more.
func (f *Laid) OnceRow(s *model.Scope) *Row {
	if f.lines[s] == nil {
		f.lines[s] = []*Row{{BidRow: f.Bid.Rows(s)[0], refs: map[*model.Quantity]string{}}}
	}
	return f.lines[s][0]
}

// Follow adds a row for every row in use of the table of Workings that a scope
// follows.
func (f *Laid) Follow(name string) []*Row {
	s := f.Scoped(name)
	for i := range f.Values.Rows(s.Beside).Frames {
		f.FollowRow(name, i, nil)
	}
	return f.lines[s]
}

// JointRows adds a row for every joint, to a scope that follows their lines.
func (f *Laid) JointRows(name string) []*Row {
	for i := range f.Joints {
		joint := &f.Joints[i]
		r := f.AddRow(name, nil, &joint.Line.Frame)
		r.Beside = func(q *model.Quantity) string { return f.JointCell(joint, q) }
		r.Set("joint_no", float64(i+1), "")
		r.Say("joint", joint.Mark, "")
	}
	return f.lines[f.Scoped(name)]
}

// Amount is what a figure of a scope of one row came to, and its cell or formula.
func (f *Laid) Amount(q *model.Quantity) (Amount, error) {
	if q.Scope == f.Model.OrderOf {
		return f.OrderAmount(q.Key), nil
	}
	ref, err := f.onceCell(q)
	return Amount{ref, q.Num(f.OnceRow(q.Scope).Frame)}, err
}

// FollowRow adds one for row i, maybe as it is in a scene.
func (f *Laid) FollowRow(name string, i int, in *Placed) *Row {
	s := f.Scoped(name)
	v := f.Values
	if in != nil {
		v = in.Values
	}
	r := f.AddRow(name, v, v.Rows(s.Beside).Frames[i])
	r.Scene = in
	r.Beside = func(q *model.Quantity) string {
		if in != nil {
			return in.At(q, i).Formula
		}
		return f.Workings.CellAt(q, i)
	}
	if q := s.Quantity("name"); q != nil && q.Role == model.Given {
		c := f.Workings.NameAt(s.Beside, i)
		r.Say(q.Key, c.Text, c.Formula)
	}
	return r
}

// Set gives an amount that the run has found, or brings from elsewhere: then ref
// is where it stands.
func (r *Row) Set(key string, x float64, ref string) {
	q := r.Of().Quantity(key)
	r.Num[q.Slot], r.refs[q] = x, ref
}

// Say does the same with a text.
func (r *Row) Say(key, text, ref string) {
	q := r.Of().Quantity(key)
	r.Text[q.TextSlot], r.refs[q] = text, ref
}

// shownOf are the quantities of a scope that have cells in its block.
func shownOf(s *model.Scope) []*model.Quantity {
	return slices.DeleteFunc(slices.Clone(s.Quantities), func(q *model.Quantity) bool { return q.Heading == "" || q.Role == model.Check })
}

// Asked are the figures of a scope that some scopes of the sheet name: what a scene
// has to have.
func (f *Laid) Asked(of *model.Scope, names ...string) []*model.Quantity {
	var out []*model.Quantity
	for _, name := range names {
		for _, q := range f.Scoped(name).Quantities {
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
		f.Section(strings.ReplaceAll(s.Title, "$", f.Currency()))
	}
}

// Down lays out a scope of one row with a figure a line: label, value, unit.
func (f *Laid) Down(name string) *Block {
	s := f.Scoped(name)
	f.title(s)
	b := f.block(s, 1)
	row := f.OnceRow(s)
	for i, q := range shownOf(s) {
		b.spots[q] = spotOn{i, ColData}
		f.label(q.HeadingOn(row.Frame))
		f.Row++
	}
	f.Notes = append(f.Notes, func() {
		for _, q := range shownOf(s) {
			c := page.Text(ColData+1, look.CalcText, f.unitBeside(q), page.Ours)
			if formula.IsBlank(q.Num(row.Frame)) && !q.IsText() && q.Why != "" {
				c = page.Beside(ColData+1, q.Why, page.Ours)
			}
			if c.Text != "" {
				f.P.Put(b.Rows.First+b.spots[q].down, c)
			}
		}
	})
	return b
}

// label says on the next free row what stands beside it, in as many lines as it takes.
func (f *Laid) label(words string) {
	c := page.Text(ColName, look.Label, words, page.Ours)
	if w := f.P.Shell.Widths[ColName-1]; look.Lines(words, w) > 1 {
		c.Style.Wrap = true
		f.P.Row(f.Row).Height = f.ink.RowHeight(look.Words, words, w)
	}
	f.P.Put(f.Row, c)
}

// unitBeside is the unit beside an amount: of a count, what is counted.
func (f *Laid) unitBeside(q *model.Quantity) string {
	u := f.Workings.Unit(q)
	if name := model.UnitName(q); u == "" && name == q.UnitOf && name != "%" {
		return name
	}
	return u
}

// Table lays out a scope with a figure a column, below headings as high as their words.
// The rows have been added.
func (f *Laid) Table(name string) *Block {
	s := f.Scoped(name)
	f.title(s)
	b := f.columns(s)
	f.Row += b.Rows.Count
	return b
}

// Under lays out a scope of one row on the line below a table, its figures in the
// columns of those that are called the same; its title stands in front.
func (f *Laid) Under(name string, above *Block) error {
	s := f.Scoped(name)
	f.P.Put(f.Row, page.Text(ColName, look.TotalText, s.Title, page.Ours))
	b := f.block(s, 1)
	b.total = true
	for _, q := range shownOf(s) {
		spot, ok := above.spots[above.scope.Quantity(q.Key)]
		if !ok {
			return fmt.Errorf("%s: %s stands under no column of %s that is called so", q.Where(), q.ID(), above.scope.Name)
		}
		b.spots[q] = spotOn{0, spot.col}
	}
	f.Row++
	return nil
}

// columns lays out the headings and columns; the rows begin at f.row.
func (f *Laid) columns(s *model.Scope) *Block {
	b := f.block(s, len(f.lines[s]))
	b.Rows.First++
	b.across = true
	col, height := ColName, 0.0
	for _, q := range shownOf(s) {
		at := col
		if q.Heading == HeadNumber {
			at = ColNo
		} else {
			col++
		}
		b.spots[q] = spotOn{0, at}
		head := f.Workings.Heading(q)
		if strings.Contains(s.Title, "$") && model.UnitLabel(q) == "$" || strings.HasSuffix(q.Heading, ")") { // it is said already
			head = strings.ReplaceAll(q.Heading, "$", f.Currency())
		}
		f.P.Put(f.Row, page.Text(at, look.Heading, head, page.Ours))
		height = max(height, f.headHeight(at, head))
	}
	f.P.Row(f.Row).Height = height
	f.P.Whole = max(f.P.Whole, col-1)
	f.right = max(f.right, col-1)
	f.Row++
	return b
}

// headHeight is how high a row has to be for all words of a heading.
func (f *Laid) headHeight(col int, words string) float64 {
	return f.ink.RowHeight(look.Heading, words, f.P.Wide(col))
}

// HeadNumber is the heading of the narrow column on the left.
const HeadNumber = "No."

func (f *Laid) block(s *model.Scope, rows int) *Block {
	if s.Once() {
		f.OnceRow(s)
	}
	b := &Block{scope: s, Rows: page.Rows{First: f.Row, Count: rows}, spots: map[*model.Quantity]spotOn{}, Label: look.CalcText}
	f.blocks[s] = b
	return b
}
