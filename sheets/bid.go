package sheets

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/summary"
)

// bidSheet is a kind of sheet that the shop may choose to have beside Summary
// and Assumptions, to decide on a bid by.
type bidSheet struct {
	key   string // its name on the command line; the assumption with_<key> says whether it is wanted
	title string
	fill  func(*bidPlan) error
}

// bidSheets are all there are, in the order in which they stand.
func bidSheets() []bidSheet {
	return []bidSheet{
		{"rates", "Rates", fillRates},
		{"breaks", "Breaks", fillBreaks},
		{"buying", "Buying", fillBuying},
		{"range", "Range", fillRange},
		{"schedule", "Schedule", fillSchedule},
	}
}

// BidSheets names the sheets that [PriceOptions.With] can ask for.
func BidSheets() []string {
	var out []string
	for _, s := range bidSheets() {
		out = append(out, s.key)
	}
	return out
}

const withPrefix = "with_"

// choose notes on the assumptions that sheets are wanted. A word that names none
// is an error.
func choose(b *book.Book, with []string) error {
	for _, w := range with {
		if !slices.Contains(BidSheets(), strings.ToLower(w)) {
			return fmt.Errorf("there is no sheet %q to write; choose from %s", w, strings.Join(BidSheets(), ", "))
		}
		q := b.Model.Singles.Quantity(withPrefix + strings.ToLower(w))
		b.Values.Singles.Text[q.Slot] = "yes"
	}
	return nil
}

// chosen are the sheets that this run writes: those that Assumptions asks for,
// and those that are there, which would go stale otherwise.
func chosen(b *book.Book) []bidSheet {
	var out []bidSheet
	for _, s := range bidSheets() {
		q := b.Model.Singles.Quantity(withPrefix + s.key)
		if strings.EqualFold(q.Text(b.Values.Singles), "yes") || b.Own.Bid[s.key] != "" {
			out = append(out, s)
		}
	}
	return out
}

// bidPlan is such a sheet while it is laid out. Everything on it is ours, and
// written whole at every run.
type bidPlan struct {
	*assumptions.Sheet
	by   bidRun
	kind bidSheet
	s    *summary.Sheet // what it has to agree with
	p    *page.Plan
	row  int // the next that is free

	right int // the last column of its tables

	bid      *compute.Bid                 // what is worked out on it
	lines    map[*compute.Scope][]*bidRow // by scope
	blocks   map[*compute.Scope]*bidBlock
	notes    []func() // what is written beside blocks, once all is worked out
	checksAt page.Rows
	told     string // in a line, what the sheet comes to; "" for nothing
}

// bidRun is the run that lays such sheets out.
type bidRun struct {
	ctx      context.Context
	date     string                // as in 2026-11-25
	progress func(done, total int) // nil: nobody asks
}

// planBids lays out the chosen sheets, beside a Summary.
func planBids(by bidRun, s *summary.Sheet) ([]*bidPlan, error) {
	var out []*bidPlan
	r := s.Sheet
	for _, kind := range chosen(r.Lists.Book) {
		title := r.TitleFor(r.Own.Bid[kind.key], kind.title)
		f := &bidPlan{Sheet: r, by: by, kind: kind, s: s, p: page.New(title, r.Own.Bid[kind.key] == ""), row: bidTop,
			bid: compute.NewBid(r.Values, kind.key), lines: map[*compute.Scope][]*bidRow{}, blocks: map[*compute.Scope]*bidBlock{}}
		err := kind.fill(f)
		if err == nil {
			err = f.finish()
		}
		if err != nil {
			return nil, fmt.Errorf("sheet %q: %w", title, err)
		}
		f.head()
		f.p.Shell.Print.Foot = r.Foot()
		r.Names.Define(book.NameSheet+kind.key, f.cell(1, 1))
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
func (f *bidPlan) cell(row, col int) string {
	return page.CellRef(f.p.Title, row, col)
}

// section begins a block of the sheet with its title, on the next free row.
func (f *bidPlan) section(title string) {
	f.p.Put(f.row, page.Text(bidNo, look.Section, title, page.Ours))
	f.row++
}

// headings writes the headings of columns, from one on, on the next free row; a
// height of 0 is the usual one.
func (f *bidPlan) headings(col int, height float64, words ...string) {
	for i, w := range words {
		f.p.Put(f.row, page.Text(col+i, look.Heading, w, page.Ours))
	}
	f.p.Row(f.row).Height = height
	f.row++
}

// about says what the sheet is for, below its title.
func (f *bidPlan) about(what string) {
	f.p.Put(bidAbout, page.Text(bidNo, look.Note, what, page.Ours))
}

// head writes the title, and whether all agrees.
func (f *bidPlan) head() {
	f.p.Put(bidTitle, page.Text(bidNo, look.Title, f.kind.title, page.Ours))
	n := f.failing()
	f.p.Row(bidVerdict).Height = 24
	count := f.cell(bidVerdict, bidData)
	verdicts := page.RangeRef(f.p.Title, f.verdicts())
	word, ref := compute.WordOK, grid.Ref(bidVerdict, bidData)
	if n > 0 {
		word = compute.WordLook
	}
	f.p.Put(bidVerdict, page.Text(bidName, look.Master, word, page.Ours).Live(fmt.Sprintf(`IF(%s=0,"%s","%s")`, ref, compute.WordOK, compute.WordLook)))
	f.p.Put(bidVerdict, page.Number(bidData, look.Calc, "0", float64(n), page.Ours).Live(fmt.Sprintf(`COUNTIF(%s,"%s")`, verdicts, compute.WordLook)))
	f.p.Put(bidVerdict, page.Text(bidData+1, look.Note, "of the checks below do not hold. The program writes this sheet anew at every run, up to the last column that it fills; notes are safe to the right of that.", page.Ours))
	f.Names.Define(book.NameAgrees+f.kind.key, count)
	f.p.Shell.Flags = append(f.p.Shell.Flags, grid.Ref(bidVerdict, bidName))
}
