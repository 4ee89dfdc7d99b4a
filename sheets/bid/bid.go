package bid

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/workings"
)

// Kind is a kind of sheet for the bid, and how it is filled.
type Kind struct {
	book.Kind
	fill func(*Laid) error
}

// kinds are all there are, in the order in which they stand.
func kinds() []Kind {
	fill := map[string]func(*Laid) error{
		"rates": fillRates, "breaks": fillBreaks, "buying": fillBuying, "range": fillRange, "schedule": fillSchedule,
	}
	var out []Kind
	for _, k := range book.Kinds() {
		out = append(out, Kind{k, fill[k.Key]})
	}
	return out
}

// Sheets names all there are, as the command line and the assumptions with_<name>
// have them.
func Sheets() []string {
	var out []string
	for _, k := range book.Kinds() {
		out = append(out, k.Key)
	}
	return out
}

const withPrefix = "with_"

// Choose notes on the assumptions that sheets are wanted. A word that names none
// is an error.
func Choose(b *book.Book, with []string) error {
	for _, w := range with {
		if !slices.Contains(Sheets(), strings.ToLower(w)) {
			return fmt.Errorf("there is no sheet %q to write; choose from %s", w, strings.Join(Sheets(), ", "))
		}
		q := b.Model.Singles.Quantity(withPrefix + strings.ToLower(w))
		b.Values.Singles.Text[q.Slot] = "yes"
	}
	return nil
}

// Chosen are the sheets that this run writes: those that Assumptions asks for,
// and those that are there, which would go stale otherwise.
func Chosen(b *book.Book) []Kind {
	var out []Kind
	for _, s := range kinds() {
		q := b.Model.Singles.Quantity(withPrefix + s.Key)
		if strings.EqualFold(q.Text(b.Values.Singles), "yes") || b.Own.Bid[s.Key] != "" {
			out = append(out, s)
		}
	}
	return out
}

// Laid is such a sheet while it is laid out. Everything on it is ours, and
// written whole at every run.
type Laid struct {
	*assumptions.Sheet
	by   Run
	Kind Kind
	s    *workings.Sheet // what it has to agree with
	P    *page.Plan
	row  int // the next that is free

	titled int // the last that has the title of a block

	right int        // the last column of its tables
	ink   *look.Book // for the heights of rows

	bid      *compute.Bid               // what is worked out on it
	lines    map[*model.Scope][]*bidRow // by scope
	blocks   map[*model.Scope]*bidBlock
	notes    []func() // what is written beside blocks, once all is worked out
	checksAt page.Rows
	Told     string      // in a line, what the sheet comes to; "" for nothing
	Moved    *grid.Moved // where what the shop has typed on its right has gone; nil: it stays
}

// Run is the run that lays such sheets out.
type Run struct {
	Ctx      context.Context
	Date     string                // as in 2026-11-25
	Progress func(done, total int) // nil: nobody asks
}

// Lay lays out the chosen sheets, beside Workings.
func Lay(by Run, s *workings.Sheet) ([]*Laid, error) {
	var out []*Laid
	r := s.Sheet
	for _, kind := range Chosen(r.Lists.Book) {
		title := r.TitleFor(r.Own.Bid[kind.Key], kind.Title)
		f := &Laid{Sheet: r, by: by, Kind: kind, s: s, P: page.New(title, r.Own.Bid[kind.Key] == ""), row: bidTop, ink: look.New(r.Styles.DefaultFont()),
			bid: compute.NewBid(r.Values, kind.Key), lines: map[*model.Scope][]*bidRow{}, blocks: map[*model.Scope]*bidBlock{}}
		err := kind.fill(f)
		if err == nil {
			err = f.finish()
		}
		if err != nil {
			return nil, fmt.Errorf("sheet %q: %w", title, err)
		}
		f.head()
		f.P.Shell.Print.Foot = r.Foot()
		wide := f.P.Whole
		if err := f.carry(); err != nil {
			return nil, fmt.Errorf("sheet %q: %w", title, err)
		}
		r.Names.Define(book.NameSheet+kind.Key, page.RangeRef(title, grid.Range{Row1: 1, Col1: 1, Row2: 1, Col2: wide}))
		out = append(out, f)
	}
	return out, nil
}

// Rows at the head of a sheet for the bid.
const (
	bidTitle   = 1
	bidAbout   = 2
	bidVerdict = 3
	bidTop     = 5 // the first that is free
)

// Columns of a sheet for the bid.
const (
	bidNo   = 1 // narrow: numbers and titles
	bidName = 2 // wide
	bidData = 3 // the first of the narrower ones
)

// cell is an absolute reference to a cell of the sheet, its title included.
func (f *Laid) cell(row, col int) string {
	return page.CellRef(f.P.Title, row, col)
}

// section begins a block of the sheet with its title, on the next free row.
func (f *Laid) section(title string) {
	f.P.Put(f.row, page.Text(bidNo, look.Section, title, page.Ours))
	f.titled = f.row
	f.row++
}

// headings writes the headings of columns, from one on, on the next free row, which
// is as high as their words.
func (f *Laid) headings(col int, words ...string) {
	height := 0.0
	for i, w := range words {
		f.P.Put(f.row, page.Text(col+i, look.Heading, w, page.Ours))
		height = max(height, f.headHeight(col+i, w))
	}
	f.P.Row(f.row).Height = height
	f.underline(col + len(words) - 1)
	f.row++
}

// about says what the sheet is for, below its title.
func (f *Laid) about(what string) {
	f.P.Put(bidAbout, page.Text(bidNo, look.Note, what, page.Ours))
}

// head writes the title, and whether all agrees.
func (f *Laid) head() {
	f.P.Put(bidTitle, page.Text(bidNo, look.Title, f.Kind.Title, page.Ours))
	n := f.Failing()
	f.P.Row(bidVerdict).Height = 24
	count := f.cell(bidVerdict, bidData)
	verdicts := page.RangeRef(f.P.Title, f.verdicts())
	word, ref := model.WordOK, grid.Ref(bidVerdict, bidData)
	if n > 0 {
		word = model.WordLook
	}
	f.P.Put(bidVerdict, page.Text(bidName, look.Master, word, page.Ours).Live(fmt.Sprintf(`IF(%s=0,"%s","%s")`, ref, model.WordOK, model.WordLook)))
	f.P.Put(bidVerdict, page.Number(bidData, look.Calc, "0", float64(n), page.Ours).Live(fmt.Sprintf(`COUNTIF(%s,"%s")`, verdicts, model.WordLook)))
	f.P.Put(bidVerdict, page.Text(bidData+1, look.Note, "of the checks below do not hold. The program writes this sheet anew at every run, up to the last column that it fills; notes are safe to the right of that.", page.Ours))
	f.Names.Define(book.NameAgrees+f.Kind.Key, count)
	f.P.Shell.Flags = append(f.P.Shell.Flags, grid.Ref(bidVerdict, bidName))
}
