package logbook

import (
	"fmt"
	"hash/fnv"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// StateSeal lines of the record have digests of what the last run left on our sheets
// that no formula holds and no figure comes from, so that an audit can tell what was
// touched since. There is one for each sheet, and one for the log.
const StateSeal = "As written"

// Names of lines that are not of a sheet for the bid. That of Workings is not its
// first one: under "summary", versions before this one called its words otherwise.
const (
	SealWorkings    = "summary by block"
	SealAssumptions = "assumptions"
	SealLog         = "log"
)

// noSeal stands where there is nothing to seal.
const noSeal = "none"

// sealNames are the names of all seals, in their order.
func sealNames() []string {
	out := []string{SealWorkings, SealAssumptions, book.FrontKey}
	for _, k := range book.Kinds() {
		out = append(out, k.Key)
	}
	return append(out, SealLog)
}

// Sealed is one thing that a run leaves and seals.
type Sealed struct {
	Of, Title string // its line of the record, and its sheet
	ID        string // what it is, in whichever row; what another version has otherwise is another thing
	Row, Col  int
	What      string // in words
	Matters   bool   // for what the order is worth, or how far it is to be trusted
	Program   string // what the program has for it
	Stands    string // as it is before the run
	Leaves    string // and after it
}

// What IDs begin with that the sheet Range goes by.
const RangeID, BasisID = "range ", "basis "

// OfRange reports whether the sheet Range goes by it.
func (s Sealed) OfRange() bool {
	return strings.HasPrefix(s.ID, RangeID) || strings.HasPrefix(s.ID, BasisID)
}

// digest is that of a text, bits long. It need not withstand anybody: it finds what
// was changed by hand.
func digest(text string, bits int) string {
	h := fnv.New64a()
	h.Write([]byte(text)) // never fails
	x := h.Sum64()
	return fmt.Sprintf("%0*x", bits/4, (x^x>>24^x>>48)&(1<<bits-1))
}

// Digests of an entry: 24 bits of what it is, 16 of what it says. A cell holds 32,767
// characters, so so many entries; what a sheet has beyond them is not sealed.
const (
	idBits, textBits = 24, 16
	sealEntries      = worksheet.MaxCellText / (idBits/4 + textBits/4 + 1)
)

// Seal seals one thing. Of two that are called alike the second gets another name.
// What is beyond the entries, and was so at the last run, is let go.
func (r *Log) Seal(s Sealed) {
	if r.sealed == nil {
		r.sealed, r.seals = map[string]bool{}, map[string]int{}
	}
	at := func() string { return s.Of + digest(s.ID, idBits) }
	for r.sealed[at()] {
		s.ID += "+"
	}
	r.sealed[at()] = true
	if r.seals[s.Of]++; r.seals[s.Of] <= sealEntries || r.sealBefore(s.Of)[digest(s.ID, idBits)] != "" {
		r.Sealed = append(r.Sealed, s)
	}
}

// sealBefore has what the last run sealed of a line of the record.
func (r *Log) sealBefore(of string) map[string]string {
	if r.before[of] == nil {
		if r.before == nil {
			r.before = map[string]map[string]string{}
		}
		_, r.before[of] = r.readSeal(of)
	}
	return r.before[of]
}

// SealWords seals the words of a planned sheet, but those to skip; place names the
// row of a cell. stand reads what stands before the run, up to a row: where it is only
// looked at, up to the last that the last run sealed.
func (r *Log) SealWords(of string, p *page.Plan, place func(row int, c page.Cell) string, skip func(row int, c page.Cell) bool, stand func(last int) (func(Sealed) string, error)) error {
	before, last := r.sealBefore(of), 0
	var words []Sealed
	var written []bool
	p.Words(func(row int, c page.Cell) {
		if skip(row, c) {
			return
		}
		s := Sealed{Of: of, Title: p.Title, ID: fmt.Sprint(place(row, c), c.Col, " ", c.Text), Row: row, Col: c.Col, Matters: true,
			What: "words of the program", Program: c.Text}
		was, writes := before[digest(s.ID, idBits)], p.Writes(c)
		if writes && was != digest(c.Text, textBits) {
			was = "" // another word's, that is called alike by chance
		}
		if was != "" || len(words) < sealEntries && (!r.ReadOnly || len(before) == 0) {
			words, written, last = append(words, s), append(written, writes), row
		}
	})
	there, err := stand(last)
	if err != nil {
		return err
	}
	for i, s := range words {
		s.Stands = there(s)
		if s.Leaves = s.Stands; written[i] {
			s.Leaves = s.Program
		}
		r.Seal(s)
	}
	return nil
}

// readSeal takes a line of the record apart.
func (b *Log) readSeal(of string) (ids []string, seals map[string]string) {
	seals = map[string]string{}
	for _, s := range b.ReadState() {
		if s.What == StateSeal && s.Name == of {
			for _, e := range sealsIn(s.Value) {
				ids = append(ids, e[:idBits/4])
				seals[e[:idBits/4]] = e[idBits/4:]
			}
		}
	}
	return ids, seals
}

// sealsIn are the entries of a seal.
func sealsIn(value string) []string {
	return slices.DeleteFunc(strings.Fields(value), func(e string) bool { return len(e) != (idBits+textBits)/4 })
}

// Unsealed are the sheets whose seal the record lacks, though it has others of that run.
func (b *Log) Unsealed() (titles []string) {
	has := map[string]bool{}
	for _, s := range b.ReadState() {
		if s.What == StateSeal {
			has[s.Name] = len(sealsIn(s.Value)) > 0 || s.Value == noSeal
		}
	}
	for _, s := range b.Sealed {
		if len(has) > 0 && !has[s.Of] {
			has[s.Of] = true
			titles = append(titles, s.Title)
		}
	}
	return titles
}

// Touched are the things that are not as the last run left them.
func (b *Log) Touched() []Sealed {
	var out []Sealed
	for _, s := range b.Sealed {
		was := b.sealBefore(s.Of)[digest(s.ID, idBits)]
		if was == "" || was == digest(s.Stands, textBits) {
			continue
		}
		if was != digest(s.Program, textBits) {
			s.Program = "" // it was the shop's by then
		}
		out = append(out, s)
	}
	return out
}

// FillSeals fills the seals of the record, once all is sealed.
func (a *Log) FillSeals() {
	lines := map[string][]string{}
	_, logged := a.readSeal(SealLog)
	for _, s := range a.Sealed {
		id := digest(s.ID, idBits)
		text := digest(s.Leaves, textBits)
		if s.Of == SealLog && logged[id] != "" { // what was changed since stays told
			text = logged[id]
		}
		if len(lines[s.Of]) < sealEntries {
			lines[s.Of] = append(lines[s.Of], id+text)
		}
	}
	for i, s := range a.Now {
		if s.What == StateSeal && len(lines[s.Name]) > 0 {
			a.Now[i].Value = strings.Join(lines[s.Name], " ")
		}
	}
}

// SealLog seals what the log has of every run: its lines, in whatever order. Who and
// why are the shop's to write.
func (a *Log) SealLog(p *page.Plan, at page.Rows) {
	stands, leaves, first := map[int][]string{}, map[int][]string{}, map[int]int{}
	add := func(row int, cell func(col int) worksheet.Cell, to ...map[int][]string) int {
		no, texts := 0, []string{}
		for col := ColNo; col <= ColLast; col++ {
			c := cell(col)
			switch {
			case col == ColNo && c.Kind == worksheet.Number:
				no = int(c.Num)
			case col == logWho, col == logWhy:
			case c.Kind == worksheet.Number:
				texts = append(texts, fmt.Sprintf("%.2f", c.Num))
			default:
				texts = append(texts, book.CellText(c))
			}
		}
		for _, m := range to {
			m[no] = append(m[no], strings.Join(texts, "\x00"))
		}
		if first[no] == 0 {
			first[no] = row
		}
		return no
	}
	last := 0
	was := a.ReadLog()
	for row := was.Rows.First; row <= was.Last; row++ {
		last = max(last, add(row, func(col int) worksheet.Cell { return *a.Own.Cell(row, col) }, stands, leaves))
	}
	for row := at.First; row <= at.Last(); row++ {
		if p.Rows[row] != nil {
			last = max(last, add(row, func(col int) worksheet.Cell {
				c := p.Cell(row, col)
				return worksheet.Cell{Kind: c.Kind, Num: c.Num, Text: c.Text}
			}, leaves))
		}
	}
	ids, seals := a.readSeal(SealLog)
	text := func(lines []string) string {
		slices.Sort(lines)
		return strings.Join(lines, "\n")
	}
	for no := 1; no <= max(last, len(ids)) && no <= sealEntries; no++ {
		s := Sealed{Of: SealLog, Title: p.Title, ID: fmt.Sprint(no), Row: first[no], Col: ColNo, Matters: true,
			What: fmt.Sprintf("what the log has of run %d", no), Stands: text(stands[no]), Leaves: text(leaves[no])}
		if s.Row == 0 {
			s.Row = max(at.First, 1)
		}
		if s.Leaves != "" || seals[digest(s.ID, idBits)] != "" {
			a.Seal(s)
		}
	}
}
