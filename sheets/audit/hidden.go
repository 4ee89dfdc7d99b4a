package audit

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// looksAt looks whether a cell of ours shows what is in it.
func (a *auditor) looksAt(c seenCell) {
	if hollow(c.have) || c.want.Kind == worksheet.Empty || c.want.Kind == worksheet.Text && c.want.Text == "" {
		return
	}
	x := c.want.Num
	if x == 1 && c.at.sheet == a.Own.Bid["rates"] {
		if _, code := a.Styles.NumFmt(c.have.Style); code == look.YesNo {
			x = 0 // it says that a set-up fits; its colour may hide it still
		}
	}
	why := a.Styles.Hides(c.have.Style, x, c.want.Kind == worksheet.Text)
	if why == "" && c.want.Kind == worksheet.Number && !a.earlier() { // which had formats of its own
		why = a.Styles.Mistakes(c.have.Style, c.format)
	}
	if c.q != nil && why == "" {
		why = a.hidesByCondition(a.All[c.line.List].Info, c.at.row, c.have, x, c.want.Kind == worksheet.Text)
	}
	if why == "" {
		return
	}
	a.add("disguised "+why+" "+c.key(), Fault{
		Grade: Doubtful, Rule: RuleDisguised, Cell: c.at.String(), What: c.what + " does not show what is in it: " + why,
		Found: shownWant(c.want), Fix: "give it the format of its neighbours",
	})
}

// hidesByCondition says by what a conditional format keeps the value of a cell from being
// seen. One for cells without a value hides none.
func (a *auditor) hidesByCondition(info *worksheet.Info, row int, c *worksheet.Cell, x float64, text bool) string {
	for i := range info.Conditional {
		on := &info.Conditional[i]
		if on.OfBlank || !on.Covers(row, c.Col) {
			continue
		}
		switch why := a.Styles.HidesBy(on.Format, c.Style, x, text); {
		case !on.Bare && why == "":
		case on.Bare:
			return "a conditional format shows a bar or an icon in its place"
		default:
			return "a conditional format: " + why
		}
	}
	return ""
}

// conditionsOn looks for values on a sheet of ours that a conditional format hides: of
// each kind the first is told.
func (a *auditor) conditionsOn(title, part string, info *worksheet.Info) error {
	last := 0 // row that any is for
	for _, on := range info.Conditional {
		for _, r := range on.Ranges {
			last = max(last, r.Row2)
		}
	}
	if last == 0 {
		return nil
	}
	_, err := a.ReadPart(part, func(r *worksheet.Row) error {
		if r.Num > last {
			return book.ErrEnough
		}
		for i := range r.Cells {
			c := &r.Cells[i]
			if c.Kind != worksheet.Number && (c.Kind != worksheet.Text || c.Text == "") {
				continue
			}
			if why := a.hidesByCondition(info, r.Num, c, c.Num, c.Kind == worksheet.Text); why != "" {
				a.add("condition "+title+why, Fault{
					Grade: Doubtful, Rule: RuleDisguised, Cell: title + "!" + grid.Ref(r.Num, c.Col), What: sheets.Labelled(r, c.Col) + " does not show what is in it: " + why,
					Found: shownText(c), Fix: "take the conditional format out",
				})
			}
		}
		return nil
	})
	return err
}

// hiddenFaults tells of our sheets that are hidden, and of rows and columns that are,
// without the button of a group. On Assumptions a shop may put out of sight what it does
// not use: there a row matters whose value is not as shipped.
func (a *auditor) hiddenFaults() error {
	for _, title := range a.Own.Titles() {
		if i := a.Workbook.Sheet(title); i >= 0 && a.Workbook.Sheets[i].State != "visible" {
			f := Fault{Grade: WorthKnowing, Rule: RuleHidden, Cell: title, What: "the sheet " + title + " is hidden", Found: a.Workbook.Sheets[i].State, Expected: "visible", Fix: "show it"}
			if title == a.Own.Bid[book.FrontKey] {
				f.Grade = Doubtful
			}
			a.add("hidden sheet "+title, f)
		}
		if err := a.hiddenOn(title); err != nil {
			return err
		}
	}
	return nil
}

// narrow is the width of a column, in characters, in which nothing can be read: this
// project's choice.
const narrow = 0.5

func (a *auditor) hiddenOn(title string) error {
	i := a.Workbook.Sheet(title)
	if i < 0 {
		return nil
	}
	assumed := strings.EqualFold(title, a.Own.Assumptions)
	tell := func(cell, what, found string) {
		grade := Doubtful
		if what += " of " + title + " are hidden"; assumed {
			grade = WorthKnowing
		}
		if at, err := grid.ParseRange(cell); err == nil && assumed && a.Own.Cell(at.Row1, book.AssumeChanged).Text == model.WordChanged {
			grade, what = Doubtful, what+", with a value that is not as shipped"
		}
		a.add("hidden "+what, Fault{Grade: grade, Rule: RuleHidden, Cell: title + "!" + cell, What: what, Found: found, Fix: "show it"})
	}
	part := a.Workbook.Sheets[i].PartName
	var each func(*worksheet.Row) error
	if a.answers(title) {
		each = func(r *worksheet.Row) error {
			a.lookAlike(title, r)
			return nil
		}
	}
	info, err := a.ReadPart(part, each)
	if err != nil {
		return err
	}
	if err := a.conditionsOn(title, part, info); err != nil {
		return err
	}
	groups := outlineOf(info)
	for _, r := range info.OddRows {
		if r.Filled && (r.Hidden || r.Flat) && (r.OutlineLevel == 0 || slices.Contains(a.Unfolded, r.Num)) && !info.FilterMode && !groups.folded(r.Num) {
			tell(grid.Ref(r.Num, 1), "rows", fmt.Sprintf("row %d hidden", r.Num))
		}
	}
	for _, c := range info.Cols {
		for col := c.Min; col <= min(c.Max, info.LastCol); col++ {
			if (c.Hidden || c.Width > 0 && c.Width < narrow) && c.OutlineLevel == 0 && col <= len(info.Filled) && info.Filled[col-1] {
				tell(grid.Ref(1, col), "columns", "column "+grid.ColName(col)+" hidden")
			}
		}
	}
	return nil
}

// outline is what is known of the groups of rows of a sheet.
type outline struct{ in, collapsed map[int]bool }

func outlineOf(info *worksheet.Info) outline {
	o := outline{map[int]bool{}, map[int]bool{}}
	for _, r := range info.OddRows {
		o.in[r.Num], o.collapsed[r.Num] = r.OutlineLevel > 0, r.Collapsed
	}
	return o
}

// folded reports whether the group that a row is in was folded by its button, which
// stands below the group or above it.
func (o outline) folded(row int) bool {
	from, to := row, row
	for ; o.in[from]; from-- {
	}
	for ; o.in[to]; to++ {
	}
	return o.in[row] && (o.collapsed[from] || o.collapsed[to])
}
