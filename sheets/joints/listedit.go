package joints

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// RowKind is what a row of a list came to.
type RowKind int

// What rows come to.
const (
	Unseen  RowKind = iota // it is above the joints, or was passed over
	NoJoint                // it is none
	LeftOut                // a joint without a price
	Priced
)

// Came is what a row of a list came to, and why.
type Came struct {
	To     RowKind
	Why    string // it is no joint
	Mark   string
	Doubt  bool   // it may be no joint after all
	Sums   bool   // its pieces are those of rows above
	Typed  []int  // columns in which a value is typed over the calculated one
	Digest uint64 // of its inputs
}

// Editor fills one joint list, row by row, as the sheet streams through.
type Editor struct {
	b     *Lists
	L     *List
	Work  func(l *compute.Line, list int) (compute.Outcome, error)
	Write func(row int) // fill, but for the benchmark
	Line  *compute.Line
	bare  *compute.Line // of a row without figures, as its cells show it
	Came  Came          // what the last row came to
	Layout
	RowCells
	written

	st     *listStyles
	beside map[[2]int]int // formats of results, by those of the shop's cell and ours
	refill bool
	watch  Observer
	next   func() error // counts a joint, and says whether the run is to end
	added  map[*model.Scope]bool
	sums   sums
	car    string // of the last row that names one
}

// Layout is where the columns of a list stand.
type Layout struct {
	Cols    []Column
	At      []int          // what a column of the sheet is: i+1 our column i, -(i+1) input i
	Keys    map[int]string // what each column of the shop's was taken for
	MarkCol int

	OdAt, WallAt, QtyAt int // of Cols
	kindAt              int // and this
	odCell              string
	Labels              []string // headings of Cols
}

// RowCells are the cells of a row.
type RowCells struct {
	Inputs  []*worksheet.Cell // by column of Layout
	Present []*worksheet.Cell // those of ours that are there, likewise
	special []string
	row     []worksheet.Cell  // that is read
	left    []*worksheet.Cell // in which an earlier version's figure stands
}

// written is what is written into a row.
type written struct {
	Out  []worksheet.NewCell
	text []byte // formulas, one behind the other
	ends []int  // where each ends
}

func (b *Lists) newListEditor(l *List, st *listStyles) (*Editor, error) {
	cols, err := b.columns(l, st)
	if err != nil {
		return nil, err
	}
	ed := &Editor{
		b: b, L: l, Work: b.Work, Line: compute.NewLine(b.Model), bare: compute.NewLine(b.Model), st: st,
		Layout:   Layout{Cols: cols, MarkCol: l.Shop["mark"].Col, odCell: grid.ColName(l.Ours[b.Model.Line.Quantity("od")]) + page.RowMark},
		RowCells: RowCells{Present: make([]*worksheet.Cell, len(cols)), Inputs: make([]*worksheet.Cell, len(cols)), special: make([]string, len(cols))},
		beside:   map[[2]int]int{}, added: map[*model.Scope]bool{},
	}
	ed.Write = ed.fill
	last := l.Info.LastCol
	for _, c := range l.Ours {
		last = max(last, c)
	}
	ed.At = make([]int, last+1)
	for i, c := range cols {
		ed.At[c.col] = i + 1
		switch c.Q.Key {
		case "od":
			ed.OdAt = i
		case "wall":
			ed.WallAt = i
		case "kind":
			ed.kindAt = i
		case "qty":
			ed.QtyAt = i
		}
		if c.Reader != nil && c.Reader.Shop.Col > 0 {
			ed.At[c.Reader.Shop.Col] = -(i + 1)
		}
		ed.Labels = append(ed.Labels, b.Heading(c.Q))
	}
	ed.Keys = map[int]string{}
	for key, c := range l.Shop {
		ed.Keys[c.Col] = key
	}
	return ed, nil
}

// Row fills a row.
func (ed *Editor) Row(r *worksheet.Row) (worksheet.RowEdit, error) {
	ed.Out = ed.Out[:0]
	ed.left = ed.left[:0]
	ed.Came = Came{Typed: ed.Came.Typed[:0]}
	switch {
	case r.Num == ed.L.HeadRow:
		ed.headings(r)
	case r.Num >= ed.L.DataRow:
		if err := ed.joint(r); err != nil {
			return worksheet.RowEdit{}, err
		}
	}
	ed.clearLeft(r.Num)
	return worksheet.RowEdit{Cells: ed.Out}, nil
}

// sortCells finds the inputs and our own cells among the cells of the row, and
// says whether it is a joint row: one with something in an input that tells
// of a joint.
func (ed *Editor) sortCells(r *worksheet.Row) (joint bool, mark string) {
	clear(ed.Present)
	clear(ed.Inputs)
	ed.left = ed.left[:0]
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Col == ed.MarkCol {
			mark = book.CellText(*c)
		}
		if ed.L.retired[c.Col] != "" {
			ed.left = append(ed.left, c)
			continue
		}
		if c.Col >= len(ed.At) || ed.At[c.Col] == 0 {
			continue
		}
		k := ed.At[c.Col]
		if k > 0 {
			ed.Present[k-1] = c
			continue
		}
		ed.Inputs[-k-1] = c
		joint = joint || tellsOfJoint(ed.Cols[-k-1].Q.Key) && Filled(c)
	}
	return joint || mark != "" && ed.sizesMerged(r.Num), mark
}

// tellsOfJoint reports whether an input alone makes a row a joint row. A mark,
// a car, a place or a number of pieces may as well stand in a title or a total.
func tellsOfJoint(key string) bool {
	switch key {
	case "mark", "car", "section", "qty", "setup":
		return false
	}
	return true
}

func BlankText(c *worksheet.Cell) bool {
	return c.Kind == worksheet.Text && strings.TrimSpace(c.Text) == ""
}

// joint works out a joint row and writes its cells.
func (ed *Editor) joint(r *worksheet.Row) error {
	joint, mark := ed.sortCells(r)
	if ed.watch.Passes(ed.L, r.Num) {
		ed.wipe()
		return nil
	}
	if why := ed.noJoint(r, joint); why != "" || !joint {
		ed.Came.To, ed.Came.Why = NoJoint, why
		if why != "" {
			ed.L.Rows.PassedOver = append(ed.L.Rows.PassedOver, PassedRow{r.Num, why})
			if why == IsTotal {
				ed.sums.block = Tally{}
			}
			why = noJointText + why
		}
		ed.wipe()
		if why != "" {
			ed.say(why, ed.st.normal[""])
		}
		ed.showBare(why)
		return nil
	}
	ed.L.Rows.Read++
	ed.Came.To, ed.Came.Mark = LeftOut, mark
	if err := ed.next(); err != nil {
		return err
	}
	ed.row = r.Cells
	reason := ed.readRow(r.Num)
	if what, fix := ed.doubt(r); what != "" && reason == "" {
		reason = what + "; " + fix
		ed.b.Fails(book.CheckLeftOut, "row in doubt", ed.L.Ref(r.Num, ed.L.Shop["od"].Col), what, fix)
		ed.Came.Doubt = true
	} else {
		ed.countPieces(r.Num)
	}
	if reason == "" {
		reason = ed.overrides(r.Num)
	}
	if reason == "" {
		ed.watch.Reads(ed.L, r.Num, ed.Line)
	}
	if reason == "" {
		out, err := ed.Work(ed.Line, ed.L.No)
		if err != nil {
			return err
		}
		ed.addedTo(out, r.Num)
		if out.Refused {
			reason = ed.refusal(out.Why, r.Num)
		}
	}
	ed.countTyped()
	ed.Came.Digest = ed.digestRow(reason != "")
	if reason != "" {
		ed.L.Rows.LeftOut++
		ed.wipe()
		ed.say(LeftOutText+reason, ed.st.refused)
		ed.showBare(LeftOutText + reason)
		return nil
	}
	ed.L.Rows.Priced++
	ed.Came.To = Priced
	shown := compute.Shown{Frame: &ed.Line.Frame}
	if !ed.refill {
		shown.Typed = ed.Typed()
	}
	ed.b.Show(shown, ed.L.No)
	ed.warn(r)
	ed.Write(r.Num)
	ed.b.Keep(compute.Joint{List: ed.L.No, Sheet: ed.L.Title, Row: r.Num, Mark: mark, Line: ed.Line})
	ed.watch.Prices(ed.L, r.Num, mark, ed.Line)
	return nil
}

// showBare has a row without figures counted: the words of its check cell, and
// what was typed over the others, which stays.
func (ed *Editor) showBare(words string) {
	ed.bare.Clear()
	shown := compute.Shown{Frame: &ed.bare.Frame}
	if words != "" {
		shown.Typed++
	}
	for i, c := range ed.Cols {
		p := ed.Present[i]
		if p == nil || p.HasFormula || c.Q.Key == "check" {
			continue
		}
		switch p.Kind {
		case worksheet.Number:
			shown.Typed++
			ed.bare.Set(c.Q, p.Num)
		case worksheet.Text:
			shown.Typed++
			ed.bare.SetText(c.Q, p.Text)
		case worksheet.Error:
			shown.Errors++
		}
		if i == ed.OdAt && p.Kind != worksheet.Number && p.Kind != worksheet.Empty {
			shown.Unread = true
		}
	}
	ed.bare.SetText(ed.b.Model.Roles.Words, words)
	if od := ed.Inputs[ed.OdAt]; words == "" && od != nil {
		shown.Unanswered = od.Kind == worksheet.Number && od.Num > 0 || od.Kind == worksheet.Text && od.Text != ""
	}
	ed.b.Show(shown, ed.L.No)
}

// countTyped counts the cells of the row that were typed over calculated ones.
func (ed *Editor) countTyped() {
	if !ed.refill {
		ed.L.Rows.Overrides += ed.Typed()
	}
}

func (ed *Editor) Typed() (n int) {
	for i, c := range ed.Cols {
		if p := ed.Present[i]; Filled(p) && !p.HasFormula && c.Q.Key != "check" {
			n++
		}
	}
	return n
}

// readRow reads the inputs into the line. The outside diameter comes first:
// others may be multiples of it, also of one that was typed over.
func (ed *Editor) readRow(row int) (reason string) {
	ed.Line.Clear()
	clear(ed.special)
	for i := range ed.Cols {
		if c := &ed.Cols[i]; c.Q.Key == "od" {
			reason = ed.readCell(i, row)
			if p := ed.Present[i]; !ed.refill && p != nil && !p.HasFormula && p.Kind == worksheet.Number {
				ed.Line.Set(c.Q, p.Num)
			}
		}
	}
	for i := range ed.Cols {
		if ed.Cols[i].Reader == nil || ed.Cols[i].Q.Key == "od" {
			continue
		}
		if why := ed.readCell(i, row); why != "" && reason == "" {
			reason = why
		}
	}
	return reason
}

func (ed *Editor) readCell(i, row int) (reason string) {
	c := &ed.Cols[i]
	special, m := ed.b.ReadCell(c.Reader, ed.Inputs[i], ed.Line)
	if in := ed.Inputs[i]; in != nil && (m == nil || m.Note) {
		if stale := book.Stale(in, ed.row); stale != "" {
			m = &Misread{rule: "stale", What: c.Reader.Name() + " is " + stale, fix: saveOnce}
		}
	}
	if c.Q.Key == "car" && c.Reader.Shop.Col > 0 {
		special, m = ed.carOfBlock(i, row, special, m)
	}
	ed.special[i] = special
	if over, is := ed.L.mergedAt(row, c.Reader.Shop.Col); is && !Filled(ed.Inputs[i]) && (c.Q.Key != "car" || ed.car == "") {
		m = &Misread{rule: "merged", What: fmt.Sprintf("%s is part of the merged cells %s, whose value stands in the first of them alone", c.Reader.Name(), over), fix: "unmerge them, and type the value on every row"}
	}
	switch {
	case m == nil && c.Q.Needed && !ed.Line.Given(c.Q):
		m = &Misread{rule: "missing", What: c.Reader.Name() + " is missing", fix: "type it"}
	case m == nil:
		return ""
	}
	col := c.Reader.Shop.Col
	if m.Note {
		ed.b.Note(book.LevelNote, m.rule+" "+c.Q.Key, ed.L.Ref(row, col), m.What, "")
		return ""
	}
	ed.b.Fails(book.CheckLeftOut, m.rule+" "+c.Q.Key, ed.L.Ref(row, col), m.What, m.fix)
	return m.What + "; " + m.fix
}

// carOfBlock takes the car of the rows above where a list names it on the first row
// of a block only. Sorted, the row keeps it: the formula says which.
func (ed *Editor) carOfBlock(i, row int, special string, m *Misread) (string, *Misread) {
	c := &ed.Cols[i]
	switch {
	case m != nil && !m.Note:
		return special, m
	case Filled(ed.Inputs[i]):
		ed.car = c.Q.Text(&ed.Line.Frame)
		return special, m
	case ed.car == "":
		return special, m
	}
	ed.Line.SetText(c.Q, ed.car)
	note := &Misread{rule: "car of the block", What: fmt.Sprintf("no car is named; the one named above, %q, is taken", ed.car), Note: true}
	if in := ed.Inputs[i]; in != nil && in.Text != "" { // blanks only: no empty cell to a spreadsheet
		return c.Reader.exact(in.Text, page.Quoted(ed.car), note)
	}
	return fmt.Sprintf(`IF(%s="",%s,%s&"")`, c.Reader.Cell, page.Quoted(ed.car), c.Reader.Cell), note
}

// overrides takes numbers that were typed over calculated cells.
func (ed *Editor) overrides(row int) (reason string) {
	if ed.refill {
		return ""
	}
	for i, c := range ed.Cols {
		p := ed.Present[i]
		if p == nil || p.HasFormula || p.Kind == worksheet.Empty || c.Q.Key == "check" {
			continue
		}
		cell := ed.L.Ref(row, c.col)
		switch {
		case c.Q.IsText() && p.Kind == worksheet.Text:
			ed.Line.SetText(c.Q, p.Text)
		case !c.Q.IsText() && p.Kind == worksheet.Number:
			ed.Line.Set(c.Q, p.Num)
		default:
			what := fmt.Sprintf("%q is typed over the calculated %s", book.CellText(*p), book.Heading(c.Q))
			ed.b.Fails(book.CheckLeftOut, book.FindTypedOver, cell, what, "type a number, or clear the cell and price again")
			return what + "; type a number, or clear the cell and price again"
		}
		ed.Came.Typed = append(ed.Came.Typed, i)
	}
	return ""
}

// LeftOutText begins the check cell of a row that was left out; Workings
// counts the cells that begin so.
const LeftOutText = "left out: "

// noJointText begins that of a row that was passed over.
const noJointText = "no joint: "

// refusal tells of a row that the model refuses.
func (ed *Editor) refusal(q *model.Quantity, row int) string {
	what, fix, key := q.Heading, q.Fix, ""
	if q.Role != model.Check {
		what, fix, key = book.Heading(q)+" cannot be worked out", "check the row's inputs and the tables on Assumptions", "od"
	} else {
		blamed := ed.b.Blame(ed.Line, q, ed.typedOver())
		if i := slices.IndexFunc(ed.Came.Typed, func(i int) bool { return ed.Cols[i].Q == blamed }); i >= 0 {
			c := ed.Cols[ed.Came.Typed[i]]
			if over := "typed over its formula"; c.Q == q {
				what += ", which is " + over
			} else {
				what += fmt.Sprintf(", as %s is %s", book.Heading(c.Q), over)
			}
			fix = "clear the cell and price again, or type what fits"
			ed.b.Fails(book.CheckLeftOut, q.Key, ed.L.Ref(row, c.col), what, fix)
			return what + "; " + fix
		}
		key = blamed.Key
	}
	col := ed.L.Shop[key].Col
	if col == 0 {
		col = ed.L.Shop["od"].Col
		if c, ok := ed.b.Headings.Column(key); ok {
			fix += fmt.Sprintf(" (the list has no column for it; head one %q)", c.Head)
		}
	}
	ed.b.Fails(book.CheckLeftOut, q.Key, ed.L.Ref(row, col), what, fix)
	return what + "; " + fix
}

// typedOver are the quantities whose cells on the row are typed over.
func (ed *Editor) typedOver() (out []*model.Quantity) {
	for _, i := range ed.Came.Typed {
		out = append(out, ed.Cols[i].Q)
	}
	return out
}

// warn tells of what is odd with a row that is priced.
func (ed *Editor) warn(r *worksheet.Row) {
	for _, q := range ed.Line.Raised {
		col := ed.L.Shop[q.Cells[0]].Col
		if col == 0 {
			col = ed.L.Shop["od"].Col
		}
		ed.b.Note(book.LevelWarning, q.Key, ed.L.Ref(r.Num, col), q.Heading, ed.advice(q))
	}
	if r.Hidden {
		ed.b.Note(book.LevelWarning, book.FindHidden, ed.L.Ref(r.Num, ed.L.Shop["od"].Col), "the row is hidden; it is priced", "show it, or delete it if it is not meant")
	}
}

// addedTo tells of lines that a row brought to a table.
func (ed *Editor) addedTo(out compute.Outcome, row int) {
	for _, t := range out.Added {
		ed.added[t] = true
		switch t.Name {
		case "cars":
			car := ed.b.Model.Line.Quantity("car").Text(&ed.Line.Frame)
			ed.b.Note(book.LevelWarning, "cars ordered", ed.L.Ref(row, max(ed.L.Shop["car"].Col, 1)),
				fmt.Sprintf("how many of %q are ordered is not said anywhere; 1 is taken", car), "type it on the Assumptions sheet, under Cars")
		default:
			ed.b.Note(book.LevelWarning, book.FindAdded+" "+t.Name, ed.L.Ref(row, ed.L.Shop["od"].Col),
				fmt.Sprintf("%s had no line for this row; it got one with a blank price", t.Title), "type its price on the Assumptions sheet")
		}
	}
}
