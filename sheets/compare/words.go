package compare

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/revisions"
)

// shownPlaces are the decimals of a value in words.
const shownPlaces = 6

// shown is a value in words, with its unit.
func (o *over) shown(q *model.Quantity, f *formula.Frame) string { return o.words(q, f, shownPlaces) }

func (o *over) words(q *model.Quantity, f *formula.Frame, places int) string {
	if f == nil || q.Digits(f) == "" {
		return "blank"
	}
	if q.IsText() {
		return q.Text(f)
	}
	x, unit := q.Num(f), model.UnitLabel(q)
	if q.IsDay() && x != 0 {
		return model.DayText(x)
	}
	if q.Unit.String() == "%" {
		x, unit = x*100, "%"
	}
	unit = strings.ReplaceAll(unit, "$", o.both[revisions.Old].Currency())
	return strings.TrimSpace(formula.GeneralText(formula.Round(x, places)) + " " + unit)
}

// item is a value that changed, in words that differ.
func (o *over) item(name string, q *model.Quantity, was, now *formula.Frame) Item {
	out := Item{Name: name, Old: o.shown(q, was), New: o.shown(q, now)}
	if out.Old == out.New {
		const all = 15
		out.Old, out.New = o.words(q, was, all), o.words(q, now, all)
	}
	return out
}

// cameOrWent is the one value of what only one revision has.
func cameOrWent(side int) Item {
	if side == revisions.New {
		return Item{New: "added"}
	}
	return Item{New: "removed"}
}

// nameOf is what a line of a table is called, and the table after it.
func (o *over) nameOf(t *model.Scope, f *formula.Frame) string {
	var words []string
	switch {
	case t.Quantity("name") != nil:
		words = []string{t.Quantity("name").Text(f)}
	case t.Name == PartsTable:
		words = []string{t.Quantity("item").Text(f), t.Quantity("car").Text(f)}
	case t.Quantity("price") != nil: // what it is the price of stands before it
		for _, q := range t.Quantities {
			if q.Key == "price" {
				break
			}
			words = append(words, o.shown(q, f))
		}
	case t.Quantity("from") != nil:
		words = []string{o.shown(t.Quantity("from"), f), t.Quantity("why").Text(f)}
	default:
		bound := t.Quantities[0]
		words = []string{"to " + o.shown(bound, f)}
		if bound.Digits(f) == "" {
			words = []string{"the rest"}
		}
	}
	words = slices.DeleteFunc(words, func(w string) bool { return w == "" })
	return strings.Join(words, ", ") + " (" + t.Title + ")"
}

// lowered is a heading inside a line: without its capital, unless it is one of
// several.
func lowered(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	second, _ := utf8.DecodeRuneInString(s[n:])
	if unicode.IsUpper(second) {
		return s
	}
	return string(unicode.ToLower(first)) + s[n:]
}
