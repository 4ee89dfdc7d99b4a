package traveller

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/plain"
)

// reader keeps what a run reads of the joint rows besides what the price is made of.
type reader struct {
	sheets.Unwatched
	words *words
	own   *ownColumns
	rows  map[rowAt]shopWords
}

// rowAt is where a joint stands.
type rowAt struct{ list, row int }

// shopWords are the shop's own on a joint's row.
type shopWords struct {
	section, reason string
	sectionCell     string
	colourCell      string
	drawing, note   ownWords
}

// Row keeps the words of a row.
func (r *reader) Row(ed *joints.Editor, row *worksheet.Row, _ []worksheet.NewCell) {
	l := ed.L
	var s shopWords
	if c := l.Shop["colour"]; c.Col > 0 {
		s.colourCell = l.Ref(row.Num, c.Col)
	}
	drawing, note := r.words.text["own_drawing"], r.words.text["own_note"]
	for _, c := range row.Cells {
		text := strings.Clone(strings.TrimSpace(book.CellText(c)))
		switch {
		case text == "":
		case c.Col == l.Shop[nameSection].Col:
			s.section, s.sectionCell = text, l.Ref(row.Num, c.Col)
		default:
			if r.givesReason(l.Heads[c.Col]) && blueWord.MatchString(text) {
				s.reason = plain.Clipped(text, 2*longest)
			}
			switch r.own.kind(l, c.Col) {
			case drawing:
				s.drawing.add(text, l.Ref(row.Num, c.Col))
			case note:
				s.note.add(text, l.Ref(row.Num, c.Col))
			}
		}
	}
	r.rows[rowAt{l.No, row.Num}] = s
}

// blueWord finds the colour in a note: a note that does not name it is of something
// else.
var blueWord = regexp.MustCompile(`(?i)(?:^|\PL)blue(?:\PL|$)`)

func (r *reader) givesReason(heading string) bool {
	heading = strings.ToLower(strings.TrimSpace(heading))
	return model.Among(r.words.reasons, heading)
}

// longest is how many letters of the shop's stand in a cell: with more, a row would be
// higher than a program draws it.
const longest = 200

// telling finds what no bench is to read off an estimate, in the shop's own words: a
// number with the unit of a time, a flow, a travel, a current, a share or money.
var telling = regexp.MustCompile(`(?i)(?:[$€£]\s*\d|\d\s*(?:min|mins|minutes?|s|secs?|seconds?|h|hrs?|hours?|s?cfh|lpm|ft³/h|ft3/h|l/min|l/h|m³/h|ppm|%|a|amps?|amperes?|volts?|[ic]pm|(?:in|mm|cm|m)/(?:s|min)|[$€£]|usd|eur)(?:[^\pL\d]|$))`)

// sayer says of one joint what the columns ask for.
type sayer struct {
	t     *sheets.Run
	words *words
	j     *compute.Joint
	own   shopWords
	named map[string]string // words, as Assumptions spells them
}

// says are the lines of a column, for the joint.
func (s *sayer) says(c column) []string {
	var out []string
lines:
	for _, l := range c.lines {
		for _, w := range l.when {
			if !s.holds(w) {
				continue lines
			}
		}
		whole := true
		text := named.ReplaceAllStringFunc(l.text, func(name string) string {
			text := s.value(strings.Trim(name, "{}"), false)
			whole = whole && text != ""
			return text
		})
		if whole {
			out = append(out, plain.Clipped(text, longest))
		}
	}
	return out
}

func (s *sayer) holds(c condition) bool {
	have := s.value(c.name, true)
	switch c.how {
	case "is":
		return strings.EqualFold(have, c.what)
	case "not":
		return !strings.EqualFold(have, s.value(c.what, true))
	}
	x, _ := s.number(c.name)
	least, err := strconv.ParseFloat(c.what, 64)
	return err == nil && x > least
}

// value is what a name says of the joint, "" if nothing. A bare number has no unit,
// and is there too where no row gives it.
func (s *sayer) value(name string, bare bool) string {
	switch name {
	case nameMark:
		return s.j.Marked()
	case nameSection:
		return s.own.section
	case nameDrawing:
		return s.own.drawing.text
	case namePurging:
		return s.purging()
	}
	if word, there := s.named[name]; there {
		return word
	}
	q, err := find(s.t.Model, name)
	if err != nil {
		return "" // the template was held against the model
	}
	if q.IsText() {
		return q.Text(s.frame(q))
	}
	x, _ := s.number(name)
	if bare {
		return formula.GeneralText(x)
	}
	if x == 0 || q.Role == model.Input && !s.j.Line.Given(q.Quantity) {
		return ""
	}
	places := 1e4 // of an inch or a millimetre
	if q.Unit.String() == "°" {
		places = 1000
	}
	text := q.AmountText(math.Round(x*places) / places)
	return strings.ReplaceAll(text, " °", "°")
}

// frame is where a quantity has its value for the joint.
func (s *sayer) frame(q model.Target) *formula.Frame {
	if q.By == nil {
		return &s.j.Line.Frame
	}
	return s.t.Values.Rows(q.Scope).Frames[int(q.By.Num(&s.j.Line.Frame))-1]
}

// number is the number that a name has on the joint.
func (s *sayer) number(name string) (x float64, there bool) {
	q, err := find(s.t.Model, name)
	if err != nil || q.IsText() {
		return 0, false
	}
	x = q.Num(s.frame(q))
	return x, !formula.IsBlank(x)
}

// purging says whether the joint is purged by itself, or with how many.
func (s *sayer) purging() string {
	x, _ := s.number("purges")
	near := math.Round(1 / x)
	switch {
	case x <= 0:
		return s.words.text["purge_none"]
	case x == 1:
		return s.words.text["purge_own"]
	case x < 1 && math.Abs(near*x-1) < 0.02: // a third is typed as 0.33
		return fmt.Sprintf(s.words.text["purge_shared"], formula.GeneralText(near))
	}
	return fmt.Sprintf(s.words.text["purge_many"], formula.GeneralText(math.Round(x*100)/100))
}

// blue reports whether the joint may be blue, why, and where the reason is missing.
func (s *sayer) blue(basis field) (is bool, why, cell string) {
	rule, err := find(s.t.Model, "alloy.colour_rule")
	other, err2 := find(s.t.Model, "to.colour_rule")
	if err != nil || err2 != nil || s.value("colour", true) != "blue" {
		return false, "", ""
	}
	if rule.Text(s.frame(rule)) != "yes" && other.Text(s.frame(other)) != "yes" {
		return false, "", ""
	}
	q := s.t.Model.Line.Quantity("colour")
	why, cell = s.own.reason, s.own.colourCell
	if !s.j.Line.Given(q) {
		cell = basis.key
		if why == "" {
			why = basis.text
		}
	}
	return true, why, cell
}

// colourBasis is what the shop has typed as the basis of the darkest colour that the
// job accepts, "" where it is as shipped, and in its key the cell.
func colourBasis(t *sheets.Run) field {
	row := t.Own.Keys["default_colour"]
	if row == 0 {
		return field{}
	}
	f := field{key: t.Own.Assumptions + "!" + grid.Ref(row, book.AssumeBasis)}
	text := book.CellText(*t.Own.Cell(row, book.AssumeBasis))
	if q := t.Model.Singles.Quantity("default_colour"); strings.TrimSpace(text) != q.Source {
		f.text = plain.Clipped(strings.TrimSpace(text), 2*longest)
	}
	return f
}
