package sheets

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part"
)

// listEditor fills one joint list, row by row, as the sheet streams through.
type listEditor struct {
	b       *jointLists
	l       *list
	work    func(l *compute.Line, list int) (compute.Outcome, error)
	line    *compute.Line
	bare    *compute.Line // of a row without figures, as its cells show it
	cols    []column
	st      *listStyles
	refill  bool
	write   func(row int) // fill, but for the benchmark
	watch   rowObserver
	next    func() error // counts a joint, and says whether the run is to end
	odCell  string
	at      []int // what a column of the sheet is: i+1 our column i, -(i+1) input i
	inputs  []*part.Cell
	present []*part.Cell
	special []string
	out     []part.NewCell
	text    []byte // formulas of a row, one behind the other
	ends    []int  // where each ends
	labels  []string
	markCol int
	seen    map[string]int // marks by car

	odAt, wallAt int             // of cols
	twinCells    map[int]float64 // by column: what the shop has where ours is another column
	added        map[*compute.Scope]bool
}

func (b *jointLists) newListEditor(l *list, st *listStyles) (*listEditor, error) {
	cols, err := b.columns(l, st)
	if err != nil {
		return nil, err
	}
	ed := &listEditor{
		b: b, l: l, work: b.Work, line: b.Model.NewLine(), bare: b.Model.NewLine(), cols: cols, st: st,
		present: make([]*part.Cell, len(cols)), inputs: make([]*part.Cell, len(cols)), special: make([]string, len(cols)),
		markCol: l.shop["mark"].col, seen: map[string]int{}, added: map[*compute.Scope]bool{},
		odCell: part.ColName(l.ours[b.Model.Line.Quantity("od")]) + page.RowMark,
	}
	ed.write = ed.fill
	last := l.info.LastCol
	for _, c := range l.ours {
		last = max(last, c)
	}
	ed.at, ed.twinCells = make([]int, last+1), map[int]float64{}
	for i, c := range cols {
		ed.at[c.col] = i + 1
		switch c.q.Key {
		case "od":
			ed.odAt = i
		case "wall":
			ed.wallAt = i
		}
		if c.reader != nil && c.reader.shop.col > 0 {
			ed.at[c.reader.shop.col] = -(i + 1)
		}
		ed.labels = append(ed.labels, b.Heading(c.q))
	}
	return ed, nil
}

// Row fills a row.
func (ed *listEditor) Row(r *part.Row) (part.RowEdit, error) {
	ed.out = ed.out[:0]
	switch {
	case r.Num == ed.l.headRow:
		ed.headings(r)
	case r.Num >= ed.l.dataRow:
		if err := ed.joint(r); err != nil {
			return part.RowEdit{}, err
		}
	}
	return part.RowEdit{Cells: ed.out}, nil
}

// headings writes the headings of columns that are new; one that is there is
// the shop's to reword.
func (ed *listEditor) headings(r *part.Row) {
	ed.sortCells(r)
	for i, c := range ed.cols {
		p := ed.present[i]
		if p == nil || p.Kind == part.Empty || ed.b.OtherCurrency(c.q, p) {
			label := ed.labels[i]
			if h, ok := ed.l.newHeads[c.q]; ok {
				label = h
			}
			ed.l.heads[c.col], ed.l.written[c.col] = label, label
			style := ed.st.headingRight
			if c.q.IsText() {
				style = ed.st.heading
			}
			ed.out = append(ed.out, part.NewCell{Col: c.col, Style: style, Kind: part.Text, Text: label})
		}
	}
}

// sortCells finds the inputs and our own cells among the cells of the row, and
// says whether it is a joint row: one with something in an input that tells
// of a joint.
func (ed *listEditor) sortCells(r *part.Row) (joint bool, mark string) {
	clear(ed.present)
	clear(ed.inputs)
	clear(ed.twinCells)
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Col == ed.markCol {
			mark = book.CellText(*c)
		}
		if ed.l.twins[c.Col] != nil && c.Kind == part.Number {
			ed.twinCells[c.Col] = c.Num
		}
		if c.Col >= len(ed.at) || ed.at[c.Col] == 0 {
			continue
		}
		k := ed.at[c.Col]
		if k > 0 {
			ed.present[k-1] = c
			continue
		}
		ed.inputs[-k-1] = c
		joint = joint || tellsOfJoint(ed.cols[-k-1].q.Key) && filled(c)
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

func blankText(c *part.Cell) bool { return c.Kind == part.Text && strings.TrimSpace(c.Text) == "" }

// joint works out a joint row and writes its cells.
func (ed *listEditor) joint(r *part.Row) error {
	joint, mark := ed.sortCells(r)
	if ed.watch.passes(ed.l, r.Num) {
		ed.wipe()
		return nil
	}
	if why := ed.noJoint(r, joint); why != "" || !joint {
		if why != "" {
			ed.l.passedOver = append(ed.l.passedOver, passedRow{r.Num, why})
			why = noJointText + why
		}
		ed.wipe()
		if why != "" {
			ed.say(why, ed.st.normal[""])
		}
		ed.showBare(why)
		return nil
	}
	ed.l.read++
	if err := ed.next(); err != nil {
		return err
	}
	reason := ed.readRow(r.Num)
	if reason == "" {
		reason = ed.overrides(r.Num)
	}
	if reason == "" {
		ed.watch.reads(ed.l, r.Num, ed.line)
	}
	if reason == "" {
		out, err := ed.work(ed.line, ed.l.no)
		if err != nil {
			return err
		}
		ed.addedTo(out, r.Num)
		if out.Refused {
			reason = ed.refusal(out.Why, r.Num)
		}
	}
	ed.countTyped()
	ed.digestRow(reason != "")
	if reason != "" {
		ed.l.leftOut++
		ed.wipe()
		ed.say(leftOutText+reason, ed.st.refused)
		ed.showBare(leftOutText + reason)
		return nil
	}
	ed.l.priced++
	shown := compute.Shown{Frame: &ed.line.Frame}
	if !ed.refill {
		shown.Typed = ed.typed()
	}
	ed.b.Show(shown, ed.l.no)
	ed.warn(r, mark)
	ed.write(r.Num)
	ed.compareTwins(r.Num)
	if mark == "" {
		mark = unmarked(ed.l.title, r.Num)
	}
	ed.b.Keep(compute.Joint{List: ed.l.no, Sheet: ed.l.title, Row: r.Num, Mark: mark, Line: ed.line})
	ed.watch.prices(ed.l, r.Num, mark, ed.line)
	return nil
}

// showBare has a row without figures counted: the words of its check cell, and
// what was typed over the others, which stays.
func (ed *listEditor) showBare(words string) {
	ed.bare.Clear()
	shown := compute.Shown{Frame: &ed.bare.Frame}
	if words != "" {
		shown.Typed++
	}
	for i, c := range ed.cols {
		p := ed.present[i]
		if p == nil || p.HasFormula || c.q.Key == "check" {
			continue
		}
		switch p.Kind {
		case part.Number:
			shown.Typed++
			ed.bare.Set(c.q, p.Num)
		case part.Text:
			shown.Typed++
			ed.bare.SetText(c.q, p.Text)
		case part.Error:
			shown.Errors++
		}
		if i == ed.odAt && p.Kind != part.Number && p.Kind != part.Empty {
			shown.Unread = true
		}
	}
	ed.bare.SetText(ed.b.Model.Roles.Words, words)
	if od := ed.inputs[ed.odAt]; words == "" && od != nil {
		shown.Unanswered = od.Kind == part.Number && od.Num > 0 || od.Kind == part.Text && od.Text != ""
	}
	ed.b.Show(shown, ed.l.no)
}

// countTyped counts the cells of the row that were typed over calculated ones.
func (ed *listEditor) countTyped() {
	if !ed.refill {
		ed.l.overrides += ed.typed()
	}
}

func (ed *listEditor) typed() (n int) {
	for i, c := range ed.cols {
		if p := ed.present[i]; filled(p) && !p.HasFormula && c.q.Key != "check" {
			n++
		}
	}
	return n
}

// readRow reads the inputs into the line. The outside diameter comes first:
// others may be multiples of it, also of one that was typed over.
func (ed *listEditor) readRow(row int) (reason string) {
	ed.line.Clear()
	clear(ed.special)
	for i := range ed.cols {
		if c := &ed.cols[i]; c.q.Key == "od" {
			reason = ed.readCell(i, row)
			if p := ed.present[i]; !ed.refill && p != nil && !p.HasFormula && p.Kind == part.Number {
				ed.line.Set(c.q, p.Num)
			}
		}
	}
	for i := range ed.cols {
		if ed.cols[i].reader == nil || ed.cols[i].q.Key == "od" {
			continue
		}
		if why := ed.readCell(i, row); why != "" && reason == "" {
			reason = why
		}
	}
	return reason
}

func (ed *listEditor) readCell(i, row int) (reason string) {
	c := &ed.cols[i]
	special, m := ed.b.read(c.reader, ed.inputs[i], ed.line)
	ed.special[i] = special
	if over, is := ed.l.mergedAt(row, c.reader.shop.col); is && !filled(ed.inputs[i]) {
		m = &misread{rule: "merged", what: fmt.Sprintf("%s is part of the merged cells %s, whose value stands in the first of them alone", c.reader.name(), over), fix: "unmerge them, and type the value on every row"}
	}
	switch {
	case m == nil && c.q.Needed && !ed.line.Given(c.q):
		m = &misread{rule: "missing", what: c.reader.name() + " is missing", fix: "type it"}
	case m == nil:
		return ""
	}
	col := c.reader.shop.col
	if m.note {
		ed.b.Note(book.LevelNote, m.rule+" "+c.q.Key, ed.l.ref(row, col), m.what, "")
		return ""
	}
	ed.b.Note(book.LevelError, m.rule+" "+c.q.Key, ed.l.ref(row, col), m.what, m.fix)
	return m.what + "; " + m.fix
}

// overrides takes numbers that were typed over calculated cells.
func (ed *listEditor) overrides(row int) (reason string) {
	if ed.refill {
		return ""
	}
	for i, c := range ed.cols {
		p := ed.present[i]
		if p == nil || p.HasFormula || p.Kind == part.Empty || c.q.Key == "check" {
			continue
		}
		cell := ed.l.ref(row, c.col)
		switch {
		case c.q.IsText() && p.Kind == part.Text:
			ed.line.SetText(c.q, p.Text)
		case !c.q.IsText() && p.Kind == part.Number:
			ed.line.Set(c.q, p.Num)
		default:
			what := fmt.Sprintf("%q is typed over the calculated %s", book.CellText(*p), book.Heading(c.q))
			ed.b.Note(book.LevelError, findTypedOver, cell, what, "type a number, or clear the cell and price again")
			return what + "; type a number, or clear the cell and price again"
		}
		ed.b.Note(book.LevelWarning, "override "+c.q.Key, cell, fmt.Sprintf("%s is typed over its formula; the typed value is used", book.Heading(c.q)), "price with --refill to bring the formulas back")
	}
	return ""
}

// wipe takes our formulas out of a row that is not priced; what was typed stays.
func (ed *listEditor) wipe() {
	for i, c := range ed.cols {
		if p := ed.present[i]; p != nil && (p.HasFormula || c.q.Key == "check") {
			ed.out = append(ed.out, part.NewCell{Col: c.col, Style: -1, Op: part.Remove})
		}
	}
}

// say writes words of ours into the check cell of a row without figures.
func (ed *listEditor) say(words string, style int) {
	for _, c := range ed.cols {
		if c.q.Key != "check" {
			continue
		}
		cell := part.NewCell{Col: c.col, Style: style, Kind: part.Text, Text: words}
		for i := range ed.out {
			if ed.out[i].Col == c.col {
				ed.out[i] = cell
				return
			}
		}
		ed.out = append(ed.out, cell)
	}
}

// leftOutText begins the check cell of a row that was left out; the Summary
// counts the cells that begin so.
const leftOutText = "left out: "

// noJointText begins that of a row that was passed over.
const noJointText = "no joint: "

// refusal tells of a row that the model refuses.
func (ed *listEditor) refusal(q *compute.Quantity, row int) string {
	what, fix, key := q.Heading, q.Fix, q.Cell
	if q.Role != compute.Check {
		what, fix, key = book.Heading(q)+" cannot be worked out", "check the row's inputs and the tables on Assumptions", "od"
	}
	col := ed.l.shop[key].col
	if col == 0 {
		col = ed.l.shop["od"].col
		if c, ok := ed.b.Headings.Column(key); ok {
			fix += fmt.Sprintf(" (the list has no column for it; head one %q)", c.Head)
		}
	}
	ed.b.Note(book.LevelError, q.Key, ed.l.ref(row, col), what, fix)
	return what + "; " + fix
}

// warn tells of what is odd with a row that is priced.
func (ed *listEditor) warn(r *part.Row, mark string) {
	for _, q := range ed.line.Raised {
		col := ed.l.shop[q.Cell].col
		if col == 0 {
			col = ed.l.shop["od"].col
		}
		ed.b.Note(book.LevelWarning, q.Key, ed.l.ref(r.Num, col), q.Heading, q.Fix)
	}
	if r.Hidden {
		ed.b.Note(book.LevelWarning, findHidden, ed.l.ref(r.Num, ed.l.shop["od"].col), "the row is hidden; it is priced", "show it, or delete it if it is not meant")
	}
	if mark == "" {
		return
	}
	key := mark + "\x00" + strings.ToLower(ed.b.Model.Line.Quantity("car").Text(&ed.line.Frame))
	if first, twice := ed.seen[key]; twice {
		ed.b.Note(book.LevelWarning, findMarkTwice, ed.l.ref(r.Num, ed.markCol), fmt.Sprintf("the mark %q is on row %d of the same car too", mark, first), "check that the joint is not there twice")
	} else {
		ed.seen[key] = r.Num
	}
}

// addedTo tells of lines that a row brought to a table.
func (ed *listEditor) addedTo(out compute.Outcome, row int) {
	for _, t := range out.Added {
		ed.added[t] = true
		switch t.Name {
		case "cars":
			car := ed.b.Model.Line.Quantity("car").Text(&ed.line.Frame)
			ed.b.Note(book.LevelWarning, "cars ordered", ed.l.ref(row, max(ed.l.shop["car"].col, 1)),
				fmt.Sprintf("how many of %q are ordered is not said anywhere; 1 is taken", car), "type it on the Assumptions sheet, under Cars")
		default:
			ed.b.Note(book.LevelWarning, findAdded+" "+t.Name, ed.l.ref(row, ed.l.shop["od"].col),
				fmt.Sprintf("%s had no line for this row; it got one with a blank price", t.Title), "type its price on the Assumptions sheet")
		}
	}
}

// fill writes the figures of a row.
func (ed *listEditor) fill(row int) {
	f := &ed.line.Frame
	ed.compareFormulas(row)
	ed.text, ed.ends = ed.text[:0], ed.ends[:0]
	number, first := strconv.Itoa(row), len(ed.out)
	for i := range ed.cols {
		c := &ed.cols[i]
		typed := ed.line.Given(c.q) && c.reader == nil
		if c.reader != nil {
			p := ed.present[i]
			typed = !ed.refill && p != nil && !p.HasFormula && p.Kind != part.Empty
		}
		cell := part.NewCell{Col: c.col, Style: c.style}
		if c.q.IsText() {
			cell.Kind, cell.Text = part.Text, f.Text[c.q.Slot]
		} else if x := f.Num[c.q.Slot]; formula.IsBlank(x) {
			cell.Kind = part.Text
		} else {
			cell.Kind, cell.Num = part.Number, x
		}
		switch {
		case typed:
			cell.Style = c.override
		case ed.special[i] != "":
			ed.text = append(ed.text, ed.specialAt(ed.special[i], number)...)
		case c.reader != nil:
			ed.text = c.reader.plain.AppendAt(ed.text, number)
		default:
			ed.text = c.formula.AppendAt(ed.text, number)
		}
		ed.ends = append(ed.ends, len(ed.text))
		ed.out = append(ed.out, cell)
	}
	// One text for the row: a text for each cell took longer than its figures.
	all, from := string(ed.text), 0
	for i, end := range ed.ends {
		ed.out[first+i].Formula = all[from:end]
		from = end
	}
}

func (ed *listEditor) specialAt(text, row string) string {
	text = strings.ReplaceAll(text, odMark, ed.odCell)
	return strings.ReplaceAll(text, page.RowMark, row)
}
