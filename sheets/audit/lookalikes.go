package audit

import (
	"slices"
	"strings"
	"unicode"

	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// placed are the cells of Summary and Workings that the program writes, and the words
// that stand on them beside figures.
type placed struct {
	cells map[cellAt]bool
	words map[string]bool
}

// answers reports whether a sheet is one on which figures of the order are looked up.
func (a *auditor) answers(title string) bool {
	return strings.EqualFold(title, a.Own.Workings) || strings.EqualFold(title, a.Own.Bid[book.FrontKey])
}

// leastWords is how many letters words have at the least that are taken for those of a
// figure, leastDigits how many digits make a text one with an amount in it, and mostMore
// how many letters more it may have: this project's choice.
const leastWords, leastDigits, mostMore = 4, 3, 15

func (a *auditor) place(title string, row int, c page.Cell) {
	if !a.answers(title) || c.Gone {
		return
	}
	if a.placed.cells == nil {
		a.placed = placed{map[cellAt]bool{}, map[string]bool{}}
		for _, s := range a.Sealed {
			if words := strings.ToLower(s.Program); a.answers(s.Title) && len(words) >= leastWords {
				a.placed.words[words] = true
				a.placed.cells[cellAt{s.Title, s.Row, s.Col}] = true
			}
		}
	}
	a.placed.cells[cellAt{title, row, c.Col}] = true
}

// lookAlike tells of words in a row that the program has not written, and that are those
// of a figure of its own with an amount beside or behind them.
func (a *auditor) lookAlike(title string, r *worksheet.Row) {
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Kind != worksheet.Text || a.placed.cells[cellAt{title, r.Num, c.Col}] {
			continue
		}
		amount := ""
		for k := range r.Cells {
			n := &r.Cells[k]
			_, _, shows := page.SplitRef(n.Formula) // of Summary as it was
			if n.Col > c.Col && n.Kind == worksheet.Number && !shows && !a.placed.cells[cellAt{title, r.Num, n.Col}] {
				amount = shownText(n)
				break
			}
		}
		if amount == "" && len(strings.Map(digitsOnly, c.Text)) >= leastDigits {
			amount = c.Text
		}
		if _, _, leads := page.SplitRef(c.Text); amount != "" && !leads && a.beginsLikeOurs(c.Text) {
			a.add("look-alike "+title, Fault{
				Grade: Doubtful, Rule: RuleLookAlike, Cell: title + "!" + grid.Ref(r.Num, c.Col), What: "words like those of a figure stand where the program writes none, with an amount that it has not worked out",
				Found: amount, Expected: "nothing", Fix: "take them out, or call them something else",
			}).effect(0, 0)
		}
	}
}

// beginsLikeOurs reports whether a text begins with the words of a figure. Where a check
// does not hold, Summary says the check's with what it counts, as of the last run.
func (a *auditor) beginsLikeOurs(text string) bool {
	text = strings.ToLower(strings.TrimSpace(text))
	if slices.ContainsFunc(a.Model.Ready.Quantities, func(q *model.Quantity) bool { return strings.HasPrefix(text, strings.ToLower(q.Heading)) }) {
		return false
	}
	for words := range a.placed.words {
		if rest, is := strings.CutPrefix(text, words); is && strings.IndexFunc(rest, unicode.IsLetter) != 0 && len(rest)-len(strings.Map(digitsOnly, rest)) <= mostMore {
			return true
		}
	}
	return false
}

func digitsOnly(r rune) rune {
	if unicode.IsDigit(r) {
		return r
	}
	return -1
}
