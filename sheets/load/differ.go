package load

import (
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
)

// Differ is something that quotes rest on, and which of them on what.
type Differ struct {
	Key, What string
	Each      []Said
}

// Said is a value, and the quotes that have it.
type Said struct {
	Value string
	Files []string
}

// saidNone is what a quote has that has nothing there.
const saidNone = "none"

// differ finds what the hours and the weeks rest on and is not the same in all
// quotes. Lengths, speeds and flows of a metric one are not held against those of a
// US one.
func (r *Report) differ() {
	note := func(key, what string, value func(f *File) (string, bool)) {
		var d Differ
		for _, f := range r.Files {
			text, known := value(f)
			if !known {
				continue
			}
			i := slices.IndexFunc(d.Each, func(s Said) bool { return s.Value == text })
			if i < 0 {
				i, d.Each = len(d.Each), append(d.Each, Said{Value: text})
			}
			d.Each[i].Files = append(d.Each[i].Files, f.Name)
		}
		if d.Key, d.What = key, what; len(d.Each) > 1 {
			slices.SortFunc(d.Each, func(x, y Said) int { return strings.Compare(x.Files[0], y.Files[0]) })
			r.Differ = append(r.Differ, d)
		}
	}
	note("units", "Units", func(f *File) (string, bool) { return f.System.String(), true })
	note("formulas", "Formulas that it was priced with", func(f *File) (string, bool) { return f.Formulas, f.Formulas != "" })
	m := r.Files[0].run.Model
	alike := func(key string) bool {
		return !slices.ContainsFunc(r.Files, func(f *File) bool {
			return model.UnitLabel(f.run.Model.Singles.Quantity(key)) != model.UnitLabel(m.Singles.Quantity(key))
		})
	}
	behind := restsOn(m)
	for _, q := range m.Singles.Quantities {
		if q.Role == model.Assumption && behind[q] && alike(q.Key) {
			note(q.Key, q.Heading, func(f *File) (string, bool) {
				return shown(f.run.Model.Singles.Quantity(q.Key), f.run.Values.Singles), true
			})
		}
	}
	for _, t := range m.Tables {
		hours := slices.ContainsFunc(t.Quantities, func(q *model.Quantity) bool { return behind[q] })
		if !hours || slices.Contains([]string{"cars", "parts"}, t.Name) || len(r.Systems()) > 1 {
			continue
		}
		first := map[string]string{} // quote by what its table says
		note(t.Name, t.Title, func(f *File) (string, bool) {
			text := f.content(t.Name)
			if first[text] == "" {
				first[text] = "as in " + f.Name
			}
			return first[text], true
		})
	}
	note("shut", "When the shop is shut", func(f *File) (string, bool) { return f.closed(), true })
}

// Systems are the systems of units that there are.
func (r *Report) Systems() []model.System {
	var out []model.System
	for _, f := range r.Files {
		if !slices.Contains(out, f.System) {
			out = append(out, f.System)
		}
	}
	return out
}

// restsOn is what hours and weeks rest on.
func restsOn(m *model.Model) map[*model.Quantity]bool {
	out := m.Behind(m.OrderOf.Quantity("order_hours"), m.OrderOf.Quantity("days"))
	for _, key := range []string{"days_per_week", "trials", "seed", "time_correlation"} {
		out[m.Singles.Quantity(key)] = true
	}
	return out
}

// content is what the lines of a table say, as far as they are more than remarks.
func (f *File) content(table string) string {
	t := f.run.Model.Table(table)
	var b strings.Builder
	for _, line := range f.run.Values.Rows(t).Frames {
		for _, q := range t.Quantities {
			if q.Role == model.Column && q.Key != "basis" {
				b.WriteString(q.Digits(line) + "\x00")
			}
		}
	}
	return b.String()
}

// closed is when a quote has the shop shut.
func (f *File) closed() string {
	var out []string
	for _, times := range f.Shut {
		from, to := book.DayText(times[0]), book.DayText(times[1])
		if from != to {
			from += " to " + to
		}
		out = append(out, from)
	}
	if out == nil {
		return saidNone
	}
	return strings.Join(out, ", ")
}

// shown is a value in words, with its unit.
func shown(q *model.Quantity, f *formula.Frame) string {
	switch x, unit := q.Num(f), model.UnitLabel(q); {
	case q.Digits(f) == "":
		return saidNone
	case q.IsText():
		return q.Text(f)
	case q.Unit.String() == "%":
		return formula.GeneralText(formula.Round(x*100, 6)) + " %"
	default:
		return strings.TrimSpace(formula.GeneralText(formula.Round(x, 6)) + " " + unit)
	}
}
