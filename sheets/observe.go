package sheets

import (
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/joints"
	"seamtally/sheets/page"
	"seamtally/sheets/part/worksheet"
)

// Observer is shown a run while it goes on, and may have rows count otherwise than
// they read. What it does not care for, it leaves to [Unwatched].
type Observer interface {
	joints.Observer
	// Opens is called when all is known that comes before the first row.
	Opens(*Run)
	// Closes is called after the last row.
	Closes(*Run)
	// Looks reports whether Own is to be called.
	Looks() bool
	// Own is shown a cell of one of our sheets, and what is to be written there.
	Own(title string, r *worksheet.Row, have *worksheet.Cell, c page.Cell, n worksheet.NewCell)
}

// Unwatched is for runs that nobody watches.
type Unwatched struct{ joints.Unobserved }

func (Unwatched) Opens(*Run)  {}
func (Unwatched) Closes(*Run) {}
func (Unwatched) Looks() bool { return false }
func (Unwatched) Own(string, *worksheet.Row, *worksheet.Cell, page.Cell, worksheet.NewCell) {
}

// lineReporter keeps every priced row for the report.
type lineReporter struct {
	Unwatched
	run *Run
}

func (o lineReporter) Prices(l *joints.List, row int, mark string, line *compute.Line) {
	m := o.run.Model
	if mark == "" {
		mark = compute.Unmarked(l.Title, row)
	}
	o.run.Report.Lines = append(o.run.Report.Lines, LineReport{
		Sheet: l.Title, Row: row, Mark: mark,
		Car:     m.Line.Quantity("car").Text(&line.Frame),
		Words:   o.run.WordsOf(line),
		Figures: m.Line.Figures(&line.Frame),
	})
}

// WordsOf are the words that a line goes by, by name: those of its row, and of
// Assumptions where the row has none. Shops write one word in several ways; here
// it is as the table of it has it, or the list of words.
func (r *Run) WordsOf(line *compute.Line) map[string]string {
	m, out := r.Model, map[string]string{}
	for _, q := range m.Line.Quantities {
		if q.Role != model.Input || !q.IsText() {
			continue
		}
		word := q.Text(&line.Frame)
		if usual := m.Singles.Quantity("default_" + q.Key); usual != nil {
			for _, choice := range usual.Choices {
				if strings.EqualFold(choice, word) {
					word = choice
				}
			}
		}
		out[q.Key] = word
	}
	for key, prefix := range map[string]string{"kind": "kind", "setup": "setup", "alloy": "alloy", "to_alloy": "to"} {
		if t, err := m.Find(m.Line, prefix, "name"); err == nil {
			out[key] = t.Quantity.Text(r.Values.Rows(t.Scope).Frames[int(t.By.Num(&line.Frame))-1])
		}
	}
	return out
}
