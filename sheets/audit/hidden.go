package audit

import (
	"fmt"
	"slices"
	"strings"

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
	if _, code := a.Styles.NumFmt(c.have.Style); x == 1 && code == look.YesNo && c.at.sheet == a.Own.Bid["rates"] {
		x = 0 // it says that a set-up fits; its colour may hide it still
	}
	why := a.Styles.Hides(c.have.Style, x, c.want.Kind == worksheet.Text)
	if why == "" && c.want.Kind == worksheet.Number && !a.earlier() { // which had formats of its own
		why = a.Styles.Mistakes(c.have.Style, c.format)
	}
	if why == "" {
		return
	}
	a.add("disguised "+why+" "+c.key, Fault{
		Grade: Doubtful, Rule: RuleDisguised, Cell: c.at.String(), What: c.what + " does not show what is in it: " + why,
		Found: shownWant(c.want), Fix: "give it the format of its neighbours",
	})
}

// hiddenFaults tells of our sheets that are hidden, and of rows and columns that are,
// without the button of a group, where the order's results stand. On Assumptions a shop
// may put out of sight what it does not use.
func (a *auditor) hiddenFaults() error {
	for _, title := range a.Own.Titles() {
		if i := a.Workbook.Sheet(title); i >= 0 && a.Workbook.Sheets[i].State != "visible" {
			f := Fault{Grade: WorthKnowing, Rule: RuleHidden, Cell: title, What: "the sheet " + title + " is hidden", Found: a.Workbook.Sheets[i].State, Expected: "visible", Fix: "show it"}
			if title == a.Own.Bid[book.FrontKey] {
				f.Grade = Doubtful
			}
			a.add("hidden sheet "+title, f)
		}
		if strings.EqualFold(title, a.Own.Assumptions) {
			continue
		}
		if err := a.hiddenOn(title); err != nil {
			return err
		}
	}
	return nil
}

// flat and narrow are the height of a row, in points, and the width of a column, in
// characters, in which nothing can be read: this project's choice.
const flat, narrow = 2, 0.5

// squeezed reports whether a measure that is given leaves no room.
func squeezed(given, least float64) bool { return given > 0 && given < least }

func (a *auditor) hiddenOn(title string) error {
	i := a.Workbook.Sheet(title)
	if i < 0 {
		return nil
	}
	tell := func(cell, what, found string) {
		what += " of " + title + " are hidden"
		a.add("hidden "+what, Fault{Grade: Doubtful, Rule: RuleHidden, Cell: title + "!" + cell, What: what, Found: found, Fix: "show it"})
	}
	filled, groups := map[int]bool{}, outline{map[int]bool{}, map[int]bool{}}
	var rows []int
	info, err := a.ReadPart(a.Workbook.Sheets[i].PartName, func(r *worksheet.Row) error {
		any := false
		groups.in[r.Num], groups.collapsed[r.Num] = r.OutlineLevel > 0, r.Collapsed
		for k := range r.Cells {
			if !hollow(&r.Cells[k]) {
				any, filled[r.Cells[k].Col] = true, true
			}
		}
		if any && (r.Hidden || squeezed(r.Height, flat)) && (r.OutlineLevel == 0 || slices.Contains(a.Unfolded, r.Num)) {
			rows = append(rows, r.Num)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, row := range rows {
		if !info.FilterMode && !groups.folded(row) {
			tell(grid.Ref(row, 1), "rows", fmt.Sprintf("row %d hidden", row))
		}
	}
	for _, c := range info.Cols {
		for col := c.Min; col <= min(c.Max, info.LastCol); col++ {
			if (c.Hidden || squeezed(c.Width, narrow)) && c.OutlineLevel == 0 && filled[col] {
				tell(grid.Ref(1, col), "columns", "column "+grid.ColName(col)+" hidden")
			}
		}
	}
	return nil
}

// outline is what is known of the groups of rows of a sheet.
type outline struct{ in, collapsed map[int]bool }

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
