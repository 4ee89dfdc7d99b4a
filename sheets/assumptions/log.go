package assumptions

import (
	"crypto/sha256"
	"fmt"
	"io"
	"math"

	"seamtally/compute"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// Columns of the Log, at the foot of Assumptions: a line for everything that a
// run found changed. Every line says all of its run, so that the shop may sort
// and filter.
const (
	logNo = iota + 1
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

const logLast = logFormulas

// logRoom is how many lines the log gets at a time.
const logRoom = 24

// logBook is the log as it stands in the workbook.
type logBook struct {
	rows  page.Rows // its room; count 0 where there is none
	lines int       // lines that are written
	last  int       // the last row with anything in it; the row above the room where there is none
	no    int       // the largest number
}

// readLog finds the log by its name, and what is in it, in whatever order.
func (b *Sheet) readLog() logBook {
	_, at, ok := page.SplitRef(b.Names.Find(book.NameLog))
	if !ok {
		return logBook{}
	}
	l := logBook{rows: page.Rows{First: at.Row1, Count: at.Row2 - at.Row1 + 1}, last: at.Row1 - 1}
	for row := at.Row1; row <= at.Row2; row++ {
		if c := b.Own.Cell(row, logNo); c.Kind == worksheet.Number {
			l.lines++
			l.no = max(l.no, int(math.Min(c.Num, math.MaxInt32)))
		}
		if b.Own.Used(row, logNo, logLast) {
			l.last = row
		}
	}
	return l
}

// Record compares this run with what the log's last line recorded.
func (r *Sheet) Record() {
	r.Now = r.state()
	r.Logged = r.changes()
	if r.From != nil {
		r.Logged = append(r.Logged, fmt.Sprintf("taken from %s, sha256 %s: %s", r.From.File, r.From.Sum, r.From.Took))
	}
	if r.settings != nil {
		r.Logged = append(r.Logged, r.settings.Why)
	}
}

// logHeadHigh is the height of the log's headings, of two lines, in points.
const logHeadHigh = 30

// logHeads are the headings of the log.
func logHeads() []string {
	return []string{"No.", "What changed", "Date", "Rows read", "Priced", "Left out", "SHA-256 of file", "Program", "Cost", "Price", "Who", "Why", "Formulas"}
}

// log writes the lines that this run adds to the log. Those that are there are
// not touched.
func (a *Plan) log() error {
	p, at := a.p, a.At.log
	p.Put(at.First-3, page.Text(logNo, look.Section, "Log", page.Static))
	p.Put(at.First-2, page.Text(logNo, look.Note, "What each run of the program found changed since the run before. Who and why are yours to write; a run that changes no figure adds no line, and none is ever taken out.", page.Static))
	for i, h := range logHeads() {
		p.Put(at.First-1, page.Text(logNo+i, look.Heading, h, page.Static))
	}
	if h := p.Row(at.First - 1); p.Build || a.At.Arrived(at.First-1) {
		h.Height, h.Tall = logHeadHigh, true
	}
	was := a.readLog()
	row := at.First
	if was.rows.Count > 0 {
		row = was.last + 1
	}
	a.Names.Define(book.NameLog, page.RangeRef(p.Title, grid.Range{Row1: at.First, Col1: logNo, Row2: at.Last(), Col2: logLast}))
	if len(a.Logged) == 0 {
		return nil
	}
	sum, err := a.InputSum()
	if err != nil {
		return err
	}
	for _, what := range a.Logged {
		a.logLine(row, was.no+1, what, sum)
		row++
	}
	return nil
}

func (a *Plan) logLine(row, no int, what, sum string) {
	var read, priced, leftOut int
	for _, l := range a.All {
		read, priced, leftOut = read+l.Rows.Read, priced+l.Rows.Priced, leftOut+l.Rows.LeftOut
	}
	money := func(col int, key string) page.Cell {
		c := book.FigureCell(a.Model.OrderOf.Quantity(key), a.Values.Order, col, look.Calc)
		c.Num, c.Style.Format = compute.Cents(c.Num), "#,##0.00"
		return c
	}
	count := func(col, n int) page.Cell { return page.Number(col, look.Calc, "0", float64(n), page.Ours) }
	no1 := count(logNo, no)
	no1.Style.Align = look.Left
	words := page.Text(logWhat, look.CalcText, what, page.Ours)
	if across := assumeWidths()[logWhat-1]; a.ink.RowHeight(look.Words, what, across) > a.ink.RowHeight(look.Words, "", across) {
		words.Style.Role = look.Words
		r := a.p.Row(row)
		r.Height, r.Tall = a.ink.RowHeight(look.Words, what, across), true
	}
	for _, c := range []page.Cell{
		no1, words, page.Text(logDate, look.CalcText, a.Stamp.Date, page.Ours),
		count(logRead, read), count(logPriced, priced), count(logLeftOut, leftOut),
		page.Text(logFile, look.CalcText, sum, page.Ours), page.Text(logProgram, look.CalcText, a.Stamp.Version, page.Ours),
		money(logCost, "order_cost"), money(logPrice, "order_price"), page.Text(logWho, look.InputText, a.Stamp.By, page.Ours),
		page.Text(logWhy, look.InputText, "", page.Ours), page.Text(logFormulas, look.CalcText, a.Fingerprint, page.Ours),
	} {
		c.Anew = true
		a.p.Put(row, c)
	}
}

// InputSum is the SHA-256 of the file that was given, as it lies on the disk.
func (b *Sheet) InputSum() (string, error) {
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

// stateTable writes what the next run is compared with.
func (a *Plan) stateTable() {
	p, at := a.p, a.At.state
	p.Put(at.First-3, page.Text(stateWhat, look.Section, "As the log's last line has it", page.Static))
	p.Put(at.First-2, page.Text(stateWhat, look.Note, "What the figures came from when the last line of the log was written: the program's own, to tell what has changed since. $ stands for the book's money.", page.Static))
	for i, h := range []string{"Of", "Name", "Value"} {
		p.Put(at.First-1, page.Text(stateWhat+i, look.Heading, h, page.Static))
	}
	for i, s := range a.Now {
		row := at.First + i
		p.Put(row, page.Text(stateWhat, look.CalcText, s.What, page.Ours))
		p.Put(row, page.Text(stateName, look.CalcText, s.Name, page.Ours))
		p.Put(row, page.Text(stateText, look.CalcText, s.Value, page.Ours))
	}
	a.Names.Define(book.NameState, page.RangeRef(p.Title, grid.Range{Row1: at.First, Col1: stateWhat, Row2: at.Last(), Col2: stateText}))
}
