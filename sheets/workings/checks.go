package workings

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/functions"
	"seamtally/compute/model"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

func (s *Sheet) tallyOf(scope string) *tallyBlock {
	for _, t := range s.tallies {
		if t.scope.Name == scope {
			return t
		}
	}
	return nil
}

// listColumn is what a formula about a joint list as a whole goes through: a
// column of its calculated cells, all of them, the shop's column behind an
// input, or the headings of checks.
func (s *Sheet) listColumn(l *joints.List, table, key string) (string, error) {
	switch table {
	case functions.ShopCells + model.ColumnMark:
		return l.Below(l.Shop[key].Col), nil
	case "checks" + model.ColumnMark:
		r := &s.Model.Roles
		above := func(q *model.Quantity) string {
			return grid.QuoteSheet(l.Title) + "!" + page.Absolute(l.DataRow-1, l.Ours[q])
		}
		switch key {
		case functions.FineFlags:
			return l.Below(l.Ours[r.Fine]), nil
		case functions.FineAbove:
			return above(r.Fine), nil
		case functions.WordsHead:
			return above(r.Words), nil
		}
		all := s.Model.Checks()
		last := all[len(all)-1]
		if key == functions.RefusingChecks {
			last = all[model.Refusals(all)-1]
		}
		return page.RangeRef(l.Title, grid.Range{Row1: l.HeadRow, Col1: l.Ours[all[0]], Row2: l.HeadRow, Col2: l.Ours[last]}), nil
	}
	if key == functions.AllCells {
		return strings.Join(l.Areas(), functions.AndCells), nil
	}
	q := s.Model.Line.Quantity(key)
	if q == nil || l.Ours[q] == 0 {
		return "", fmt.Errorf("%s has no column", key)
	}
	return l.Below(l.Ours[q]), nil
}

// recount is what a sheet can say live of what a run has found, "" where it
// cannot.
func (s *Sheet) recount(q *model.Quantity) string {
	column := func(col, last int) string {
		return page.RangeRef(s.AssumeOn, grid.Range{Row1: s.Assume.FirstKey, Col1: col, Row2: last, Col2: col})
	}
	count := func(cells, word string) string { return "COUNTIF(" + cells + "," + page.Quoted(word) + ")" }
	places := column(book.AssumePlace, max(s.Assume.UnitFirst, s.Assume.LastKey))
	names := s.Names.Use
	switch r := &s.Model.Roles; q {
	case r.Outside:
		return count(column(book.AssumeInside, s.Assume.LastKey), model.WordOutside)
	case r.Changed:
		return count(column(book.AssumeChanged, s.Assume.LastKey), model.WordChanged)
	case r.Moved:
		return count(places, "moved")
	case r.BelowRoom:
		return count(places, assumptions.WordBelow)
	case r.BlankPoints:
		return assumptions.BasisBlanks(s.AssumeOn)
	case r.Disagreeing:
		var counts []string
		for _, key := range s.Bids {
			counts = append(counts, names(book.NameAgrees+key))
		}
		return strings.Join(counts, "+")
	}
	return ""
}

// verdicts is where the words of the checks stand.
func (s *Sheet) verdicts() string {
	return page.Rows{First: s.checks.First, Count: min(len(s.orderChecks()), s.checks.Count)}.Column(book.SumFirst + 1)
}

// orderChecks are the checks that the sheet has room for: one made by an
// earlier version has less. Of sheets for the bid there is one where there are
// such sheets.
func (s *Sheet) orderChecks() []*model.Quantity {
	var out []*model.Quantity
	for _, q := range s.Model.Ready.Quantities {
		onBids := slices.ContainsFunc(q.Reaches(), func(t model.Target) bool { return t.Quantity == s.Model.Roles.Disagreeing })
		if q.Role == model.Check && (!onBids || len(s.Bids) > 0) {
			out = append(out, q)
		}
	}
	return out
}

// mostChecks is how many checks there are where there are sheets for the bid too, which
// are laid out after this sheet has its places.
func (s *Sheet) mostChecks() (n int) {
	for _, q := range s.Model.Ready.Quantities {
		if q.Role == model.Check {
			n++
		}
	}
	return n
}

// CheckRow is the row of a check of the order, 0 if it has none.
func (s *Sheet) CheckRow(q *model.Quantity) int {
	if i := slices.Index(s.orderChecks(), q); i >= 0 {
		return s.rowFor("checks", s.checks, i, q.Heading)
	}
	return 0
}

// check writes the checks, and the master check over them.
func (s *Sheet) check() error {
	p, row, m := s.P, s.checks.First, s.Model
	p.Put(row-2, page.Text(book.SumNo, look.Section, m.Ready.Title, page.Static))
	p.Put(row-1, page.Text(book.SumName, look.Heading, "Check", page.Static))
	p.Put(row-1, page.Text(book.SumFirst, look.Heading, "Now", page.Static))
	p.Put(row-1, page.Text(book.SumFirst+1, look.Heading, "Verdict", page.Static))
	list, frame := s.orderChecks(), s.Values.Once(m.Ready)
	for i, q := range list {
		at := s.rowFor("checks", s.checks, i, q.Heading)
		t, known, err := s.print(q, m.Ready, 0)
		if err != nil {
			return err
		}
		if !known || at == 0 {
			continue
		}
		s.lead(q, at)
		p.Put(at, page.Text(book.SumName, look.Label, q.Heading, page.Ours))
		amount := book.FigureCell(q, frame, book.SumFirst, look.Calc)
		p.Put(at, book.Showing(amount.Live(t), q, 0)) // "" leaves a count of the run
		if q.Level != model.LevelOK {
			p.Put(at, page.Text(book.SumFirst+1, look.CalcText, q.Verdict(amount.Num), page.Ours).Live(q.VerdictFormula(grid.Ref(at, book.SumFirst))))
		}
	}
	verdict := m.Roles.Verdict
	t, err := verdict.Formula().Print(s.Cells(m.Ready, 0))
	if err != nil {
		return err
	}
	p.Put(3, page.Text(book.SumName, look.Master, verdict.Text(frame), page.Ours).Live(t))
	p.Shell.Flags = append(p.Shell.Flags, "B3", strings.ReplaceAll(s.verdicts(), "$", ""))
	return nil
}

// heads are the fields of the header that stand here.
func (s *Sheet) heads() []model.Head {
	return slices.DeleteFunc(slices.Clone(s.Model.Heads), func(h model.Head) bool { return h.Letter })
}

// head is the title and the header of the quote.
func (s *Sheet) head() {
	p := s.P
	p.Put(1, page.Text(book.SumNo, look.Title, book.WorkingsTitle, page.Static))
	p.Put(3, page.Beside(book.SumFirst, "COMPLETE stands here once every joint row is priced and every check below holds; Joint lists names the first row that shows an error. An estimate is not a welding procedure.", page.Static))
	col := book.SumFirst
	for _, h := range s.heads() {
		v := book.CellText(*s.HeadValue(h))
		p.Put(1, page.Text(col, look.Note, h.What, page.Static)) // the values below are live
		p.Put(2, page.Text(col, look.CalcText, v, page.Ours).Live(s.Names.Use(book.HeadPrefix+h.Key)+`&""`))
		col++
	}
	p.Put(2, page.Text(book.SumName, look.CalcText, s.Model.System.String()+" units", page.Ours).Live(s.Names.Use(book.NameUnits)+`&" units"`))
}

// lineWidth is how many letters fit across Workings in print.
const lineWidth = 150

// cautionLines are the cautions, broken so that they fit across the sheet.
func (s *Sheet) cautionLines() []string {
	var out []string
	for _, c := range s.Model.Cautions {
		out = append(out, broken(c, lineWidth)...)
	}
	return out
}

// broken breaks a text into lines; all but the first are set in.
func broken(s string, width int) []string {
	var out []string
	line := ""
	for _, w := range strings.Fields(s) {
		if line != "" && len(line)+1+len(w) > width {
			out, line = append(out, line), "   "
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	return append(out, line)
}

// modelLine is a line of how the figures are worked out.
type modelLine struct {
	heading, unit, text string
	role                look.Role
}

// modelLines says how each figure is worked out: the formula, and below it why
// and where from.
func (s *Sheet) modelLines() []modelLine {
	var out []modelLine
	scopes := append(append([]*model.Scope{s.Model.Singles}, s.Model.Tables...), s.Model.Line)
	for _, sc := range append(scopes, s.Model.Closing...) {
		for _, q := range sc.Order() {
			if q.Role != model.Figure && sc != s.Model.Ready {
				continue
			}
			for i, t := range broken(q.Spelled(), lineWidth-20) {
				l := modelLine{text: t, role: look.Label}
				if i == 0 {
					l.heading, l.unit = q.Heading, model.UnitLabel(q)
				}
				out = append(out, l)
			}
			why := q.Why
			if q.Source != "" {
				why = strings.TrimSpace(why + " Source: " + q.Source + ".")
			}
			if why != "" {
				for _, t := range broken(why, lineWidth-20) {
					out = append(out, modelLine{text: t, role: look.Note})
				}
			}
		}
	}
	return out
}

// words are the cautions and how each figure is worked out, as of this run.
func (s *Sheet) words() {
	p, row := s.P, s.wordsAt.First
	p.Put(row, page.Text(book.SumNo, look.Section, wordCautions, page.Ours))
	for _, c := range s.cautionLines() {
		row++
		p.Put(row, page.Text(book.SumName, look.Label, c, page.Ours))
	}
	row += 2
	p.Put(row, page.Text(book.SumNo, look.Section, "How each figure is worked out", page.Ours))
	row++
	for i, h := range []string{"Figure", "Unit", "Worked out as"} {
		p.Put(row, page.Text(book.SumName+i, look.Heading, h, page.Ours))
	}
	s.fitHeads(row)
	for _, l := range s.modelLines() {
		row++
		if l.heading != "" {
			p.Put(row, page.Text(book.SumName, look.Label, l.heading, page.Ours))
			p.Put(row, page.Text(book.SumFirst, look.Label, l.unit, page.Ours))
		}
		p.Put(row, page.Text(book.SumFirst+1, l.role, l.text, page.Ours))
	}
	s.clearWords()
}

// clearWords takes out what an earlier version wrote there, and this one does not.
func (s *Sheet) clearWords() {
	for row := s.wordsAt.First; row <= s.wordsAt.Last() && !s.P.Build && !s.Anew; row++ {
		for col := range s.notes.cells[row] {
			if s.isOurs(row, col) && s.P.Cell(row, col).Col == 0 {
				s.P.Put(row, page.Cell{Col: col, Gone: true})
			}
		}
	}
}
