package account

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute/units"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/headings"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// stray is what stands on joint rows in a column that is not read.
type stray struct {
	numbers, words  int // cells with a quantity, and with other words
	least, most     float64
	whole, sequence bool // all whole; each one more than that above
	last            float64
	unit            units.Unit // that the cells name
	hasUnit         bool
	texts           map[string]int // different words, up to mostTexts
	names           map[string]int // the same, by letters and digits alone
	lastName        string
	runs            int  // of equal names one below the other
	onFirst         bool // the first joint has a word
	differs         bool // from the column that its heading repeats
	repeats         int  // the column whose heading it repeats; 0: none
	heading         entry.Match
	otherwise       bool  // it is headed as what is otherwise, or was
	twin            *twin // where it is headed as a figure of ours
	all             bool  // the shop has settled all columns of the list, and not this one
	own             bool  // its heading is one of the shop's own, and it may be pieces all the same
	counting        counting
}

// ofPeople stands for the shop's own columns that name who did a thing: a number in words
// there is a name.
const ofPeople = "welder"

// mostTexts bounds how many different words are kept of a column.
const mostTexts = 50

func newStray() *stray {
	return &stray{whole: true, sequence: true, texts: map[string]int{}, names: map[string]int{}}
}

// stray gives the account of a column of the shop's, nil for one that needs none.
func (ac *account) stray(col int) *stray {
	s, known := ac.strays[col]
	if known {
		return s
	}
	l := ac.L
	one, all := ac.b.settledOwn(l, col), ac.b.settledOwn(l, book.OfAll)
	if col < len(ac.At) && ac.At[col] != 0 || ac.Keys[col] != "" || one || all && l.Shop["qty"].Col > 0 {
		ac.strays[col] = nil
		return nil
	}
	s = newStray()
	s.heading = l.Meaning(ac.b.Headings, col)
	if m := s.heading; m.Key == "" && !m.Own && m.Question == "" && !ac.lacksPieces() {
		if of, is := ac.b.Headings.Otherwise(l.HeadingText(col)); is && (of.Key == "" || l.Shop[of.Key].Col > 0 && !joints.OnlyNames(of.Key)) {
			s.heading, s.otherwise = of, true
		}
	}
	if s.own = s.heading.Own || s.heading.Key == "" && !s.heading.Divides && !s.heading.OfShare() && ac.b.Headings.SaysNoInput(l.Heads[col]); s.own && (all || !ac.lacksPieces() && l.Shop["setup"].Col > 0) {
		s = nil
	} else {
		s.repeats, s.twin, s.all = l.Shop[s.heading.Key].Col, ac.twins[col], all
	}
	ac.strays[col] = s
	return s
}

// lookAtStrays takes the cells of a joint row into the account.
func (ac *account) lookAtStrays(r *worksheet.Row) {
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind == worksheet.Text && ac.Keys[c.Col] == "section" {
			ac.places[strings.ToLower(strings.TrimSpace(c.Text))] = true
		}
		if ac.L.Retired(c.Col) || c.Col < len(ac.At) && ac.At[c.Col] != 0 || !joints.Filled(c) || c.Kind == worksheet.Error {
			continue
		}
		if s := ac.stray(c.Col); s != nil {
			ac.lookAt(s, r, c)
		}
	}
}

func (ac *account) lookAt(s *stray, r *worksheet.Row, c *worksheet.Cell) {
	x := c.Num
	if s.repeats > 0 {
		at := slices.IndexFunc(r.Cells, func(in worksheet.Cell) bool { return in.Col == s.repeats })
		s.differs = s.differs || at < 0 || !ac.saysSame(s.heading, c, &r.Cells[at])
	}
	switch {
	case c.Kind == worksheet.Bool:
		s.word(map[bool]string{true: "TRUE", false: "FALSE"}[c.Num != 0])
		return
	case c.Kind == worksheet.Number && ac.b.IsDate(c.Style):
		return
	case c.Kind == worksheet.Text && s.own:
		got, ok := ac.b.Measures.WholeNumber(c.Text)
		if _, err := strconv.Atoi(strings.TrimSpace(c.Text)); !ok || err != nil && s.heading.OwnAs == ofPeople {
			if !sayings.Nothing(c.Text) {
				s.word(strings.TrimSpace(c.Text))
			}
			return
		}
		x = float64(got)
	case c.Kind == worksheet.Text:
		got, unit, has, ok := ac.b.texts.Quantity(c.Text)
		if !ok {
			got, ok = ac.countIn(c.Text)
		}
		if !ok && s.otherwise {
			signed, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(c.Text), "−", "-"), 64)
			got, ok = signed, err == nil
		}
		if !ok {
			s.onFirst = s.onFirst || ac.L.Rows.Read == 1
			s.word(strings.TrimSpace(c.Text))
			return
		}
		x = got
		if has {
			s.unit, s.hasUnit = unit, true
		}
	case c.Kind != worksheet.Number:
		return
	}
	if s.own {
		s.counting.take(ac.block(), x, s.numbers == 0)
	}
	if s.numbers == 0 {
		s.least, s.most = x, x
	} else {
		s.sequence = s.sequence && x == s.last+1
	}
	s.numbers++
	s.whole = s.whole && x == math.Trunc(x)
	s.least, s.most, s.last = min(s.least, x), max(s.most, x), x
}

// settledOwn reports whether the shop has settled that a column is its own, or all of a
// list that it may be asked about. All of them say nothing of pieces that are read
// nowhere: one of them may be in use as such.
func (b *Ledger) settledOwn(l *joints.List, col int) bool {
	return b.Own.SettledAsOwn(l.Title, func(r book.ColumnRecord) bool {
		return (r.AnyRow || r.Row == l.HeadRow) && r.Col == col && r.StillHeaded(l.Heads[col])
	})
}

// head is the heading of an input.
func (ac *account) head(key string) string {
	desc, _ := ac.b.Headings.Column(key)
	return desc.Head
}

// tellStrays settles what each column is that was not read, or says that it is not
// settled.
func (ac *account) tellStrays() {
	b, l := ac.b, ac.L
	cols := make([]int, 0, len(ac.strays))
	for col, s := range ac.strays {
		if s != nil {
			cols = append(cols, col)
		}
	}
	slices.Sort(cols)
	ac.tellHeadings()
	type open struct {
		col  int
		what string
	}
	var opens []open
	for _, col := range cols {
		s := ac.strays[col]
		if !s.own && s.heading.Question != "" || s.repeats > 0 || s.otherwise || s.isTwin() {
			continue // told by its heading, or beside ours
		}
		if !s.counts() && s.ticks() && ac.isStep(l.Heads[col]) {
			continue
		}
		may := ac.mayBe(s)
		if s.all && !slices.Contains(may, ac.head("qty")) {
			continue
		}
		if len(may) > 0 {
			ac.open[col] = true
			opens = append(opens, open{col, may[0]})
			for _, more := range may[1:min(len(may), mostOffers)] {
				opens[len(opens)-1].what += " or " + more
			}
		}
	}
	if len(opens) == 0 {
		return
	}
	rest := "or for all of them that they are your own: "
	first := opens[0]
	for _, o := range opens {
		if s := ac.strays[o.col]; ac.lacksPieces() && !s.own && slices.Contains(ac.mayBe(s), ac.head("qty")) {
			first, rest = o, "and for the others, once pieces are read, that they are your own: "
			break
		}
	}
	cell := l.Ref(l.HeadRow, first.col)
	place := func(o open) string { return l.ColumnName(o.col) }
	input := ac.keyOf(first.what)
	if len(opens) == 1 {
		b.unsettled(book.CheckColumns, "column", cell,
			fmt.Sprintf("%s holds %s beside the joints, and is not read; it may be %s", ac.named(first.col), ac.strays[first.col].kind(), first.what),
			fmt.Sprintf("head it so, or say what it is: %s, or %s if it is none of the price's business", book.SettleAs(place(first), input), book.Argument(place(first)+"=own")))
		return
	}
	var each []string
	for _, o := range opens {
		each = append(each, fmt.Sprintf("%s (%s?)", ac.named(o.col), o.what))
	}
	b.unsettled(book.CheckColumns, "columns", cell,
		fmt.Sprintf("%d columns beside the joints hold values that are not read: %s", len(opens), strings.Join(each, ", ")),
		fmt.Sprintf("say what each is: %s, %s%s", book.SettleAs(place(first), input), rest, book.SettleAs(l.Title+"!*", book.OwnWord)))
	b.Unsettled[book.CheckColumns] += len(opens) - 1
}

// mostOffers is how many inputs are offered for a column.
const mostOffers = 3

// named is a column in words: E "Foo".
func (ac *account) named(col int) string {
	name := grid.ColName(col)
	if head := strings.Join(strings.Fields(ac.L.Heads[col]), " "); head != "" {
		return fmt.Sprintf("column %s %q", name, head)
	}
	return fmt.Sprintf("column %s, without a heading,", name)
}

func (s *stray) kind() string {
	if s.numbers == 0 {
		return "words"
	}
	return "numbers"
}

// keyOf is the name of the first input offered, as --settle takes it.
func (ac *account) keyOf(offer string) string {
	for _, c := range ac.b.Headings.Columns() {
		if c.Head == offer || strings.HasPrefix(offer, c.Head+" or ") {
			return c.Key
		}
	}
	return book.OwnWord
}

// tellHeadings tells of headings that are questioned, that are not known but near
// to a known one, or that say again what another column says. Where values stand
// below, the column is not settled.
func (ac *account) tellHeadings() {
	b, l := ac.b, ac.L
	again := map[string]string{}
	for _, col := range headings.Ordered(l.Heads) {
		s := ac.stray(col)
		if ac.partsPrices(s) {
			ac.open[col] = true
			b.unsettled(book.CheckColumns, "yes and no", l.Ref(l.HeadRow, col), ac.named(col)+" says yes and no, as may say which of the joints are in the price; it is not read", "take out the rows that are not, or settle it: "+book.SettleAs(l.ColumnName(col), book.OwnWord))
		}
		if s == nil || s.own && !ac.lacksPieces() {
			continue
		}
		cell, text, m := l.Ref(l.HeadRow, col), l.HeadingText(col), s.heading
		place := l.ColumnName(col)
		switch {
		case s.isTwin(), m.Divides && !s.counts() && !s.divides(l):
		case m.Question != "" && (s.counts() && !s.onlyRows(l) || !s.counts() && (m.Divides || ac.yesAndNo(s))):
			ac.open[col] = true
			b.unsettled(book.CheckColumns, "heading questioned", cell, fmt.Sprintf("the column %q is not taken: %s", text, m.Question), fmt.Sprintf("reword the heading, or settle it: %s if it is none of the price's business", book.SettleAs(place, book.OwnWord)))
		case m.Question != "":
			b.Note(book.LevelWarning, "heading questioned", cell, fmt.Sprintf("the heading %q is not taken: %s", text, m.Question), "reword the heading, or settle it in the Columns table on Assumptions")
		case s.otherwise && !s.counts() && ac.dropsRows(s):
			ac.open[col] = true
			b.unsettled(book.CheckColumns, "otherwise", cell, ac.named(col)+" has letters beside the joints, and may say that some are gone; it is not read", "take out the rows that are, or settle it: "+book.SettleAs(place, book.OwnWord))
		case s.otherwise && (!s.counts() || s.least == 0 && s.most == 0 || s.repeats > 0 && !s.differs):
		case s.otherwise:
			ac.open[col] = true
			b.unsettled(book.CheckColumns, "otherwise", cell, ac.otherwise(col, s), "write in the rows what is meant, and take the column out, or settle it: "+book.SettleAs(place, book.OwnWord))
		case s.repeats > 0:
			again[m.Key] = cell
			what := fmt.Sprintf("the heading %q says again what %s says; that one is taken", text, l.Ref(l.HeadRow, l.Shop[m.Key].Col))
			if !s.differs && ac.inOtherUnit(m) {
				continue // the same in both units
			}
			if s.differs && (!joints.OnlyNames(m.Key) || ac.yesAndNo(s)) { // "Weld?" says no mark
				ac.open[col] = true
				b.unsettled(book.CheckColumns, "heading twice", cell, what+", and the two differ", "reword the one that is not meant, or settle it: "+book.SettleAs(place, book.OwnWord))
				continue
			}
			b.Note(book.LevelWarning, "heading twice", cell, what, "reword the one that is not meant")
		case m.Nearest != "" && !s.counts():
			b.Note(book.LevelNote, "heading unknown", cell, fmt.Sprintf("the heading %q is not known", text), fmt.Sprintf("if it means %q, write that", m.Nearest))
		}
	}
	// Two sizes may be those of both sides of a joint; with a mark, a kind or a
	// number of pieces of their own they are another list.
	if again["od"] != "" && again["wall"] != "" && again["mark"]+again["kind"]+again["qty"] != "" && ac.side.cell == "" {
		ac.side.cell = again["od"]
		ac.tellListBeside()
	}
}

// otherwise is what is said of a column that is headed as what is otherwise, or was.
func (ac *account) otherwise(col int, s *stray) string {
	if s.repeats > 0 {
		return fmt.Sprintf("%s may give otherwise what stands under %q, and differs; it is not read", ac.named(col), ac.L.Shop[s.heading.Key].Head)
	}
	return fmt.Sprintf("%s holds numbers beside the joints, and may say that their rows are otherwise; it is not read", ac.named(col))
}

// counts reports whether a column holds quantities.
func (s *stray) counts() bool { return s.numbers > 0 }

// divides reports whether rows of a list differ in words, one of which may be none.
func (s *stray) divides(l *joints.List) bool {
	return len(s.names) > 1 || s.words > 0 && s.words < l.Rows.Read
}

// onlyRows reports whether a column only counts the rows, beside a column of
// pieces.
func (s *stray) onlyRows(l *joints.List) bool {
	return s.sequence && s.whole && s.numbers > 2 && l.Shop["qty"].Col > 0
}
