package joints

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"unicode/utf8"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Column is one calculated column of a joint list, ready to be written.
type Column struct {
	Q        *model.Quantity
	col      int
	formula  page.Template // of a figure or check; inputs have readers
	Reader   *Reader
	style    int
	Override int
	result   bool // it stands beside the shop's columns, and looks like them
}

// Place gives every quantity of the line a column right of the shop's last
// one, in the order of the groups: without a gap, so that a sort takes them
// along. Columns that are there already keep their places; a new one stands where a
// figure of its group stood that the model has no more.
func (l *List) Place(m *model.Model) error {
	next := l.Info.LastCol
	l.IsNew = len(l.Ours) == 0
	for _, q := range InGroups(m) {
		if l.Ours[q] == 0 {
			if l.Ours[q] = l.freed(q.Group); l.Ours[q] == 0 {
				next++
				l.Ours[q] = next
			}
			l.Added = append(l.Added, q)
		}
	}
	if next > grid.MaxCol {
		return fmt.Errorf("sheet %q: there is no room for %d calculated columns right of column %s, the last that has anything in it; take out what stands there",
			l.Title, len(l.Added), grid.ColName(l.Info.LastCol))
	}
	return nil
}

// freed is the first column that a figure of the group has left, 0 for none: the
// group is that of the nearest column of ours before it.
func (l *List) freed(group string) int {
	for _, col := range slices.Sorted(maps.Keys(l.retired)) {
		before, of := 0, ""
		taken := false
		for q, at := range l.Ours {
			taken = taken || at == col
			if at < col && at > before {
				before, of = at, q.Group
			}
		}
		if !taken && of == group {
			return col
		}
	}
	return 0
}

// Replaces reports whether a figure stands where one stood that the model has no more.
func (l *List) Replaces(q *model.Quantity) bool { return l.retired[l.Ours[q]] != "" }

// InGroups lists the quantities of the line as their columns stand: group by
// group, the headline of a group last.
func InGroups(m *model.Model) []*model.Quantity {
	var out []*model.Quantity
	for _, g := range m.Line.Groups {
		var head *model.Quantity
		for _, q := range m.Line.Quantities {
			switch {
			case q.Group != g.Key:
			case q.Key == g.Headline:
				head = q
			default:
				out = append(out, q)
			}
		}
		if head != nil {
			out = append(out, head)
		}
	}
	return out
}

// styles of a list, as cell formats of the workbook.
type listStyles struct {
	heading, refused int
	headingRight     int            // over numbers
	headingWrapped   int            // over results
	normal, typed    map[string]int // by number format
}

// lineStyles takes the formats of the joint lists into the workbook's styles.
func (b *Lists) lineStyles() (*listStyles, error) {
	want := []look.Style{{Role: look.GroupHeading}, {Role: look.Refused}, {Role: look.CalcText}, {Role: look.OverrideText}, {Role: look.GroupHeading, Align: look.Right}, {Role: look.Heading}}
	formats := map[string]bool{}
	for _, q := range b.Model.Line.Quantities {
		if !q.IsText() && !formats[q.Shown] {
			formats[q.Shown] = true
			want = append(want, look.Style{Role: look.Calc, Format: q.Shown}, look.Style{Role: look.Override, Format: q.Shown})
		}
	}
	xf, err := b.Looks.Of(want)
	if err != nil {
		return nil, err
	}
	st := &listStyles{heading: xf[want[0]], headingRight: xf[want[4]], headingWrapped: xf[want[5]], refused: xf[want[1]], normal: map[string]int{}, typed: map[string]int{}}
	st.normal[""], st.typed[""] = xf[want[2]], xf[want[3]]
	for f := range formats {
		st.normal[f] = xf[look.Style{Role: look.Calc, Format: f}]
		st.typed[f] = xf[look.Style{Role: look.Override, Format: f}]
	}
	return st, nil
}

// columns makes ready the calculated columns of a list, from left to right.
func (b *Lists) columns(l *List, st *listStyles) ([]Column, error) {
	readers, err := b.Readers(l)
	if err != nil {
		return nil, err
	}
	cells := LineCells(b.Model, b.Names, l)
	var out []Column
	for i := range readers {
		out = append(out, Column{Q: readers[i].Q, Reader: &readers[i]})
	}
	for _, q := range b.Model.Line.Quantities {
		if q.Role == model.Input {
			continue
		}
		text, err := q.Formula().Print(cells)
		if err != nil {
			return nil, err
		}
		if q.Role == model.Check {
			text = "IF(" + text + ",1,0)"
		}
		out = append(out, Column{Q: q, formula: page.NewTemplate(text)})
	}
	for i := range out {
		c := &out[i]
		format := c.Q.Shown
		if c.Q.IsText() {
			format = ""
		}
		c.col, c.style, c.Override = l.Ours[c.Q], st.normal[format], st.typed[format]
		c.result = c.Q.Group == b.Model.Line.Groups[0].Key
	}
	sort.Slice(out, func(i, j int) bool { return out[i].col < out[j].col })
	return out, nil
}

// definitions are the widths and folds of our columns. They are written once;
// from then on they are the shop's to change.
func (l *List) definitions(m *model.Model) []worksheet.Col {
	groups := m.Line.Groups
	headline := map[string]bool{}
	for _, g := range groups {
		headline[g.Headline] = true
	}
	var out []worksheet.Col
	folded, level := false, 1
	if l.IsNew { // an earlier version gave each group a button, and all of them none
		level = 2
	}
	for _, q := range l.Added {
		if l.Replaces(q) {
			continue // it is as wide and as folded as the figure that stood there
		}
		c := worksheet.Col{Min: l.Ours[q], Max: l.Ours[q], Width: widthFor(q), Style: -1}
		switch {
		case q.Group == groups[0].Key:
			c.Width = l.resultWidth(q)
		case headline[q.Key]:
			c.Collapsed, folded = folded, false
			c.OutlineLevel, c.Hidden = level-1, level > 1
		default:
			c.OutlineLevel, c.Hidden, folded = level, true, true
		}
		out = append(out, c)
	}
	return out
}

const (
	leastWidth = 9
	mostWidth  = 34
)

func widthFor(q *model.Quantity) float64 {
	if q.Key == "check" {
		return mostCheck
	}
	return float64(min(max(utf8.RuneCountInString(book.Heading(q))+2, leastWidth), mostWidth))
}

// extent is the block of cells that a run may write in a list.
func (l *List) extent() grid.Range {
	first, last := 0, 0
	for _, c := range l.Ours {
		if first == 0 || c < first {
			first = c
		}
		last = max(last, c)
	}
	return grid.Range{Row1: l.HeadRow, Col1: first, Row2: max(l.HeadRow, l.LastRow), Col2: last}
}

// JointCell is the cell of a quantity on a joint's row, for formulas on other sheets.
func (b *Lists) JointCell(j *compute.Joint, q *model.Quantity) string {
	return grid.QuoteSheet(j.Sheet) + "!" + grid.Ref(j.Row, b.All[j.List].Ours[q])
}

// Column is a whole column of ours on a list.
func (l *List) Column(q *model.Quantity) string {
	if !l.alone {
		return l.Below(l.Ours[q])
	}
	c := "$" + grid.ColName(l.Ours[q])
	return grid.QuoteSheet(l.Title) + "!" + c + ":" + c
}

// Below is a column of the list from below the headings to the end of the sheet.
func (l *List) Below(col int) string {
	return page.RangeRef(l.Title, grid.Range{Row1: l.DataRow, Col1: col, Row2: l.bottom(), Col2: col})
}

// Areas are the blocks of a list's calculated cells, from below the headings: one
// where no column of the shop's stands among ours.
func (l *List) Areas() []string {
	var out []string
	for _, run := range runs(slices.Collect(maps.Values(l.Ours))) {
		out = append(out, page.RangeRef(l.Title, grid.Range{Row1: l.DataRow, Col1: run[0], Row2: max(l.LastRow, l.DataRow), Col2: run[1]}))
	}
	return out
}
