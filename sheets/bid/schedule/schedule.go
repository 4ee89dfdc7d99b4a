package schedule

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Fill lays out the Schedule: the cars follow each other in the order
// of the cars table, each spec's one after another, on the floor hours that the
// shop gives to orders in a day, and on days on which it is not shut. It is live
// throughout, but for times when the shop is shut that are typed afterwards: a check
// says that there are more of them.
func Fill(f *layout.Laid) error {
	shut, err := scheduled(f)
	if err != nil {
		return err
	}
	p := f.P
	p.Shell.Widths = []float64{5, 36, 14, 11, 11, 11, 12, 11, 11, 11, 11, 11, 12, 12, 12}
	p.Shell.FreezeRow = layout.RowVerdict
	f.About("When each car is done, if the specs follow one another as on Assumptions and nothing else takes the hours given to orders. When the shop is shut stands on Assumptions, or on a sheet headed From, To and Why alone. An estimate is no promise.")
	f.Down("schedule_end")
	f.Row++
	f.Down("schedule_shop")
	f.Row++
	f.Table("schedule_cars")
	f.Row++
	b := f.Table("schedule_shut")
	if shut == 0 {
		p.Put(f.Row, page.Text(layout.ColName, look.Note, "Nothing stands under Days shut on Assumptions: no day is left out.", page.Ours))
		f.Row++
	}
	col := b.Col("in_order")
	p.Shell.Flags = append(p.Shell.Flags, grid.Range{Row1: b.Rows.First, Col1: col, Row2: max(b.Rows.Last(), b.Rows.First), Col2: col}.String())
	f.Row++
	f.Table("schedule_weeks")
	f.Row++
	f.Table("schedule_stages")
	f.Row += 2
	f.Checks("Here", book.WorkingsTitle)
	return nil
}

// scheduled adds the rows of the Schedule, and gives how many times the shop is
// shut.
func scheduled(f *layout.Laid) (shut int, err error) {
	times, lists, err := daysShut(f)
	if err != nil {
		return 0, err
	}
	var count []string
	for _, l := range lists {
		count = append(count, "COUNT("+l+")")
	}
	f.OnceRow(f.Scoped("schedule_shop")).Set("shut_now", float64(len(times)), cmp.Or(strings.Join(count, "+"), "0"))
	f.Follow("schedule_cars")
	f.Follow("schedule_stages")
	for _, s := range times {
		row := f.AddRow("schedule_shut", nil, nil)
		row.Set("shut_from", s.from, s.fromRef)
		row.Set("shut_to", s.to, s.toRef)
		row.Say("shut_why", s.why, s.whyRef+`&""`)
	}
	return len(times), weeks(f)
}

// dayShut is a time for which the shop is shut, and where it stands.
type dayShut struct {
	from, to               float64 // days; 0 where no last one is given
	why                    string
	fromRef, toRef, whyRef string
}

// daysShut reads when the shop is shut from its own sheets, in the order of the
// first days; and in which cells their first days may stand.
func daysShut(f *layout.Laid) (shut []dayShut, lists []string, err error) {
	shut, lists = shutTable(f)
	for _, s := range f.Workbook.Sheets { // some may be ours, added by this run, and in no file yet
		if s.Kind != "worksheet" || f.Own.IsOurs(s.Name) || !f.Package.Has(s.PartName) || slices.ContainsFunc(f.All, func(l *joints.List) bool { return l.Title == s.Name }) {
			continue
		}
		l := shutList{f: f, sheet: s.Name}
		if _, err := f.ReadPart(s.PartName, l.row); err != nil && !errors.Is(err, errNoHeadings) {
			return nil, nil, fmt.Errorf("sheet %q: %w", s.Name, err)
		}
		if !l.dates {
			continue
		}
		f.Findings = append(f.Findings, l.findings...)
		f.Note(book.LevelNote, "days shut", s.Name+"!"+grid.Ref(l.head, l.cols["from"]), fmt.Sprintf("%d times that the shop is shut are read", len(l.shut)), "")
		shut = append(shut, l.shut...)
		lists = append(lists, page.RangeRef(s.Name, grid.Range{Row1: l.head + 1, Col1: l.cols["from"], Row2: grid.MaxRow, Col2: l.cols["from"]}))
	}
	slices.SortStableFunc(shut, func(a, b dayShut) int { return cmp.Compare(a.from, b.from) })
	return shut, lists, nil
}

// shutTable reads it from the table on Assumptions.
func shutTable(f *layout.Laid) (shut []dayShut, lists []string) {
	t := f.Model.Table("shut")
	from, to, why, at := t.Quantity("from"), t.Quantity("to"), t.Quantity("why"), f.Workings.Assume.Table[t]
	for i, line := range f.Values.Rows(t).Frames {
		if formula.IsBlank(from.Num(line)) {
			continue
		}
		ref := func(q *model.Quantity) string { return page.CellRef(f.Workings.AssumeOn, at.First+i, at.Cols[q]) }
		d := dayShut{from: from.Num(line), to: model.ZeroIfBlank(to.Num(line)), why: why.Text(line), fromRef: ref(from), toRef: ref(to), whyRef: ref(why)}
		if d.to < d.from && d.to != 0 {
			f.Note(book.LevelWarning, "days shut", f.Workings.AssumeOn+"!"+grid.Ref(at.First+i, at.Cols[to]), lastBefore, writeDate)
		}
		shut = append(shut, d)
	}
	return shut, []string{book.ColumnName(f.Names, t, from.Key)}
}

// What is said of a last day that is none, and what to do.
const (
	lastBefore = "the last day on which the shop is shut is no date from the first on; Schedule takes the first day alone"
	writeDate  = "write a date there"
)

// shutList is a sheet while days are looked for on it.
type shutList struct {
	f        *layout.Laid
	sheet    string
	head     int            // the row of its headings; 0: not yet found
	cols     map[string]int // by the words of the headings
	dates    bool           // that days are written as such
	shut     []dayShut
	findings []book.Finding
}

// mostAbove is in how many rows, from the top, the headings are looked for.
const mostAbove = 60

// errNoHeadings ends the reading of a sheet that has none.
var errNoHeadings = errors.New("no headings")

func (l *shutList) row(r *worksheet.Row) error {
	if l.head == 0 {
		if r.Num > mostAbove {
			return errNoHeadings
		}
		l.headings(r)
		return nil
	}
	at := func(key string) (worksheet.Cell, string) {
		col := l.cols[key]
		for _, c := range r.Cells {
			if c.Col == col {
				return c, page.CellRef(l.sheet, r.Num, col)
			}
		}
		return worksheet.Cell{}, page.CellRef(l.sheet, r.Num, col)
	}
	from, fromRef := at("from")
	to, toRef := at("to")
	why, whyRef := at("why")
	l.dates = l.dates || l.f.IsDate(from.Style)
	if from.Kind != worksheet.Number {
		if book.CellText(from)+book.CellText(to) != "" {
			l.odd(r.Num, "from", "the first day on which the shop is shut is no date; Schedule leaves the line out")
		}
		return nil
	}
	d := dayShut{from: from.Num, why: book.CellText(why), fromRef: fromRef, toRef: toRef, whyRef: whyRef}
	if to.Kind == worksheet.Number { // MAX passes over a text, too
		d.to = to.Num
	}
	if d.to < d.from && book.CellText(to) != "" {
		l.odd(r.Num, "to", lastBefore)
	}
	l.shut = append(l.shut, d)
	return nil
}

// headings takes a row for the headings if it has all three, and no others: a
// list of who is away has these too.
func (l *shutList) headings(r *worksheet.Row) {
	cols := map[string]int{}
	for _, c := range r.Cells {
		text := book.CellText(c)
		if text == "" {
			continue
		}
		word, _, err := l.f.Words.Read("shut", text, nil)
		if err != nil || cols[word] != 0 {
			return
		}
		cols[word] = c.Col
	}
	if cols["from"]*cols["to"]*cols["why"] != 0 {
		l.head, l.cols = r.Num, cols
	}
}

// odd says what is odd about a cell of the list.
func (l *shutList) odd(row int, key, what string) {
	l.findings = append(l.findings, book.Finding{Rule: "days shut", Level: book.LevelWarning, Cell: l.sheet + "!" + grid.Ref(row, l.cols[key]), What: what, Fix: writeDate})
}
