package assumptions

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/logbook"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
)

// seal seals what Assumptions has, once it is laid out.
func (a *Plan) seal() error {
	if err := a.sealWords(); err != nil {
		return err
	}
	a.sealSingles()
	a.sealTables()
	a.sealBook()
	if err := a.sealChoices(); err != nil {
		return err
	}
	a.SealLog(a.p, a.At.log)
	a.FillSeals()
	return nil
}

// there is a text of Assumptions as it stands.
func (a *Plan) there(row, col int) string { return book.CellText(*a.Own.Cell(row, col)) }

// sealWords seals the words on Assumptions: not the program's own tables at the foot,
// which every run writes anew, nor the log, nor titles of sections and headings of
// columns that come with what arrives.
func (a *Plan) sealWords() error {
	return a.SealWords(logbook.SealAssumptions, a.p, func(row int, c page.Cell) string {
		if c.Owner == page.Ours { // it follows the joints, and no row is put in by hand
			return fmt.Sprint(row, " ")
		}
		return ""
	}, func(row int, c page.Cell) bool {
		return row > a.At.state.First-footHead || row >= a.At.log.First && row <= a.At.log.Last() ||
			c.Style.Role == look.Section || row == a.At.heads && c.Col > book.AssumePlace
	}, func(int) (func(logbook.Sealed) string, error) {
		return func(s logbook.Sealed) string {
			if a.At.Arrived(s.Row) {
				return s.Program
			}
			return a.there(s.Row, s.Col)
		}, nil
	})
}

func (a *Plan) sealSingles() {
	own := func(row, col int, id, what, program, stands string) logbook.Sealed {
		s := logbook.Sealed{Of: logbook.SealAssumptions, Title: a.p.Title, ID: id, Row: row, Col: col, What: what, Program: program, Stands: stands, Leaves: stands}
		if a.p.Build || a.At.Arrived(row) {
			s.Leaves = program
		}
		return s
	}
	for _, q := range a.Model.Singles.Quantities {
		row, from := a.At.Key[q.Key], a.takenFrom(q)
		if q.Role != model.Assumption {
			continue
		}
		taken := func(col int) string { return book.CellText(*a.From.Own.Cell(from, col)) }
		if q.HasRange {
			s := own(row, book.AssumeLow, logbook.RangeID+q.Key, "the usual range of "+q.Key, formula.GeneralText(q.Low)+" to "+formula.GeneralText(q.High),
				a.there(row, book.AssumeLow)+" to "+a.there(row, book.AssumeHigh))
			s.Matters = true
			if from > 0 {
				s.Leaves = taken(book.AssumeLow) + " to " + taken(book.AssumeHigh)
			}
			a.Seal(s)
		}
		shipped := own(row, book.AssumeShipped, "shipped "+q.Key+" "+formula.GeneralText(q.Value), "the shipped value of "+q.Key, formula.GeneralText(q.Value), a.there(row, book.AssumeShipped))
		if shipped.Matters = true; !q.IsText() { // words are sealed with the others
			shipped.Leaves = shipped.Program
			a.Seal(shipped)
		}
		s := own(row, book.AssumeBasis, logbook.BasisID+q.Key, "the basis of "+q.Key, q.Source, a.there(row, book.AssumeBasis))
		if from > 0 {
			s.Leaves = taken(book.AssumeBasis)
		}
		a.Seal(s)
	}
	if row := a.At.Key[book.HeadPrefix+"currency"]; row > 0 {
		s := own(row, book.AssumeValue, "money", "the sign of money (no amount is converted)", a.Currency(), a.Currency())
		s.Matters = true
		a.Seal(s)
	}
}

// sealBook seals what is about the workbook as a whole: from when its days count, and how
// the calculated columns are headed. A shop may reword a heading; that of another figure
// misleads.
func (a *Plan) sealBook() {
	from := map[bool]string{false: "1900", true: "1904"}[a.Workbook.Date1904]
	a.Seal(logbook.Sealed{Of: logbook.SealAssumptions, ID: "days count from", What: "the year from which days count", Matters: true, Stands: from, Leaves: from})
	headed := map[string]*model.Quantity{}
	for _, q := range a.Model.Line.Quantities {
		headed[a.Heading(q)] = q
	}
	for _, l := range a.All {
		for _, q := range a.Model.Line.Quantities {
			if col := l.Ours[q]; col > 0 {
				as := headed[l.HeadingFound(col)]
				a.Seal(logbook.Sealed{Of: logbook.SealAssumptions, Title: l.Title, ID: "heading " + l.Title + " " + q.Key, Row: l.HeadRow, Col: col, Matters: as != nil && as != q,
					What: fmt.Sprintf("the heading of the calculated column %q", a.Heading(q)), Program: a.Heading(q), Stands: l.HeadingFound(col), Leaves: l.Written[col]})
			}
		}
	}
}

func (a *Plan) sealTables() {
	for _, t := range a.Model.Tables {
		q := t.Quantity("basis")
		if q == nil || !q.IsText() {
			continue
		}
		for i, f := range a.Values.Rows(t).Frames {
			name, _ := logbook.LineOf(t, f)
			text := q.Text(f)
			a.Seal(logbook.Sealed{Of: logbook.SealAssumptions, Title: a.p.Title, ID: fmt.Sprint(logbook.BasisID, t.Name, " ", i, " ", name), Row: a.At.Table[t].First + i, Col: a.At.Table[t].Cols[q],
				What: "the basis of " + name, Stands: text, Leaves: text})
		}
	}
}

// validated finds the cells whose entries a sheet limits.
var validated = regexp.MustCompile(`<(?:[A-Za-z0-9]+:)?dataValidation\s[^>]*?sqref="([^"]*)"|<(?:[A-Za-z0-9]+:)?sqref>([^<]*)<`)

// sealChoices seals how many of the cells whose entries the program limits are limited.
func (a *Plan) sealChoices() error {
	var there []grid.Range
	if i := a.Workbook.Sheet(a.Own.Assumptions); !a.p.Build && i >= 0 {
		src, err := a.Package.Read(a.Workbook.Sheets[i].PartName)
		if err != nil {
			return err
		}
		for _, m := range validated.FindAllSubmatch(src, -1) {
			for _, ref := range strings.Fields(string(m[1]) + " " + string(m[2])) {
				if r, err := grid.ParseRange(ref); err == nil {
					there = append(there, r)
				}
			}
		}
	}
	all, open := map[[2]int]bool{}, [][2]int(nil)
	for _, v := range a.p.Shell.Validations {
		r, err := grid.ParseRange(v.Range)
		for row := r.Row1; err == nil && row <= r.Row2; row++ {
			for col := r.Col1; col <= r.Col2; col++ {
				at := [2]int{row, col}
				if !all[at] && !a.p.Build && !slices.ContainsFunc(there, func(t grid.Range) bool { return t.Row1 <= row && row <= t.Row2 && t.Col1 <= col && col <= t.Col2 }) {
					open = append(open, at)
				}
				all[at] = true
			}
		}
	}
	s := logbook.Sealed{Of: logbook.SealAssumptions, Title: a.p.Title, ID: fmt.Sprint("choices ", len(all)), Row: 1, Col: 1, Matters: true,
		What: "where lists of choice and limits refuse a wrong word or number", Program: fmt.Sprintf("%d cells with one", len(all)), Stands: fmt.Sprintf("%d cells with one", len(all)-len(open))}
	if s.Leaves = s.Stands; len(open) > 0 {
		s.Row, s.Col = open[0][0], open[0][1]
	}
	a.Seal(s)
	return nil
}
