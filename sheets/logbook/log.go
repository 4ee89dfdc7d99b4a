package logbook

import (
	"crypto/sha256"
	"fmt"
	"io"
	"math"

	"seamtally/compute/model"
	"seamtally/sheets/account"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Columns of the log, from ColNo to ColLast, at the foot of Assumptions: a line for everything that a
// run found changed. Every line says all of its run, so that the shop may sort
// and filter.
const (
	ColNo = iota + 1
	logWhat
	logDate
	logRead
	logPriced
	logLeftOut
	logFile
	logProgram
	logCost
	logPrice
	logWho
	logWhy
	logFormulas
)

// ColLast is the last column of the log.
const ColLast = logFormulas

// Room is how many lines the log gets at a time.
const Room = 24

// Log is the log of a workbook, and the record of what its figures come from.
type Log struct {
	*account.Ledger
	Stamp  Stamp                        // of the lines that are added
	Now    []StateLine                  // what this run's figures come from
	Logged []string                     // what is other than the last line recorded
	Sealed []Sealed                     // what the run leaves on our sheets, see [StateSeal]
	sealed map[string]bool              // the IDs of these
	seals  map[string]int               // how many there are of each line of the record
	before map[string]map[string]string // of lines with more than fit: what the last run sealed
}

// Stamp says when a run was, who had it done, and by which version of the program.
type Stamp struct{ Date, By, Version string }

// Written is the log as it stands in the workbook.
type Written struct {
	Rows  page.Rows // its room; count 0 where there is none
	lines int       // that are written
	Last  int       // the last row with anything in it; the row above the room where there is none
	no    int       // the largest number
}

// ReadLog finds the log by its name, and what is in it, in whatever order.
func (b *Log) ReadLog() Written {
	_, at, ok := page.SplitRef(b.Names.Find(book.NameLog))
	if !ok {
		return Written{}
	}
	l := Written{Rows: page.Rows{First: at.Row1, Count: at.Row2 - at.Row1 + 1}, Last: at.Row1 - 1}
	for row := at.Row1; row <= at.Row2; row++ {
		if c := b.Own.Cell(row, ColNo); c.Kind == worksheet.Number {
			l.lines++
			l.no = max(l.no, int(math.Min(c.Num, math.MaxInt32)))
		}
		if b.Own.Used(row, ColNo, ColLast) {
			l.Last = row
		}
	}
	return l
}

// Record compares this run with what the log's last line recorded; also is what the
// log has to say besides.
func (r *Log) Record(also ...string) {
	r.Now = r.state()
	r.Logged = append(r.changes(), also...)
}

// logHeads are the headings of the log.
func logHeads() []string {
	return []string{"No.", "What changed", "Date", "Rows read", "Priced", "Left out", "Check number of file", "Program", "Cost", "Price", "Who", "Why", "Formulas"}
}

// Draw writes the lines that this run adds to the log, in the rows that it has. Those
// that are there are not touched. Its headings are anew if they arrive in this run.
func (r *Log) Draw(p *page.Plan, at page.Rows, arrive bool, ink *look.Book) error {
	p.Put(at.First-3, page.Text(ColNo, look.Section, "Log", page.Static))
	p.Put(at.First-2, page.Text(ColNo, look.Note, "What each run of the program found changed since the run before. Who and why are yours to write; a run that changes no figure adds no line, and none is ever taken out. The check number is the SHA-256 of the file that was read: its first digits are shown; click on it to see all of it.", page.Static))
	head := p.Row(at.First - 1)
	for i, h := range logHeads() {
		p.Put(at.First-1, page.Text(ColNo+i, look.Heading, h, page.Static))
		if arrive {
			head.Height, head.Tall = max(head.Height, ink.RowHeight(look.Heading, h, p.Shell.Widths[ColNo+i-1])), true
		}
	}
	was := r.ReadLog()
	row := at.First
	if was.Rows.Count > 0 {
		row = was.Last + 1
	}
	r.Names.Define(book.NameLog, page.RangeRef(p.Title, grid.Range{Row1: at.First, Col1: ColNo, Row2: at.Last(), Col2: ColLast}))
	if len(r.Logged) == 0 {
		return nil
	}
	sum, err := r.InputSum()
	if err != nil {
		return err
	}
	for _, what := range r.Logged {
		r.line(p, row, was.no+1, what, sum, ink)
		row++
	}
	return nil
}

// line writes one of them.
func (r *Log) line(p *page.Plan, row, no int, what, sum string, ink *look.Book) {
	var read, priced, leftOut int
	for _, l := range r.All {
		read, priced, leftOut = read+l.Rows.Read, priced+l.Rows.Priced, leftOut+l.Rows.LeftOut
	}
	money := func(col int, key string) page.Cell {
		c := book.FigureCell(r.Model.OrderOf.Quantity(key), r.Values.Order, col, look.Calc)
		c.Num, c.Style.Format = model.Cents(c.Num), "#,##0.00"
		return c
	}
	count := func(col, n int) page.Cell { return page.Number(col, look.Calc, "0", float64(n), page.Ours) }
	no1 := count(ColNo, no)
	no1.Style.Align = look.Left
	words, version := page.Text(logWhat, look.CalcText, what, page.Ours), page.Text(logProgram, look.CalcText, r.Stamp.Version, page.Ours)
	h := p.Row(row) // of so many lines as words and version take: the check number shows its first digits, none of them cut
	h.Height, h.Tall = max(h.Height, ink.RowHeight(look.Words, "", 0)), true
	for _, c := range []*page.Cell{&words, &version} {
		if across := p.Shell.Widths[c.Col-1]; ink.RowHeight(look.Words, c.Text, across) > ink.RowHeight(look.Words, "", across) {
			c.Style.Role = look.Words
			h.Height = max(h.Height, ink.RowHeight(look.Words, c.Text, across))
		}
	}
	for _, c := range []page.Cell{
		no1, words, page.Text(logDate, look.CalcText, r.Stamp.Date, page.Ours),
		count(logRead, read), count(logPriced, priced), count(logLeftOut, leftOut),
		page.Text(logFile, look.Words, sum, page.Ours), version,
		money(logCost, "order_cost"), money(logPrice, "order_price"), page.Text(logWho, look.InputText, r.Stamp.By, page.Ours),
		page.Text(logWhy, look.InputText, "", page.Ours), page.Text(logFormulas, look.CalcText, r.Fingerprint, page.Ours),
	} {
		c.Anew = true
		p.Put(row, c)
	}
}

// InputSum is the SHA-256 of the file that was given, as it lies on the disk.
func (b *Log) InputSum() (string, error) {
	st, err := b.File.Stat()
	if err != nil {
		return "", err
	}
	h := sha256.New()
	if _, err := io.Copy(h, io.NewSectionReader(b.File, 0, st.Size())); err != nil {
		return "", err
	}
	return fmt.Sprintf("%x", h.Sum(nil)), nil
}

// DrawRecord writes what the next run is compared with.
func (r *Log) DrawRecord(p *page.Plan, at page.Rows) {
	p.Put(at.First-3, page.Text(stateWhat, look.Section, "As the log's last line has it", page.Static))
	p.Put(at.First-2, page.Text(stateWhat, look.Note, "What the figures came from when the last line of the log was written: the program's own, to tell what has changed since. $ stands for the book's money.", page.Static))
	for i, h := range []string{"Of", "Name", "Value"} {
		p.Put(at.First-1, page.Text(stateWhat+i, look.Heading, h, page.Static))
	}
	for i, s := range r.Now {
		row := at.First + i
		p.Put(row, page.Text(stateWhat, look.CalcText, s.What, page.Ours))
		p.Put(row, page.Text(stateName, look.CalcText, s.Name, page.Ours))
		p.Put(row, page.Text(stateText, look.CalcText, s.Value, page.Ours))
	}
	r.Names.Define(book.NameState, page.RangeRef(p.Title, grid.Range{Row1: at.First, Col1: stateWhat, Row2: at.Last(), Col2: stateText}))
}
