package sayings

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets/entry"
)

// Quantity reads a text as a quantity of whatever kind an input may be.
func (b *Reader) Quantity(text string) (x float64, unit units.Unit, hasUnit, ok bool) {
	text = strings.TrimLeft(text, "~≈ ") // about so many
	if len(text) > 40 || !strings.ContainsAny(text, "0123456789½¼¾⅛⅜⅝⅞") {
		return 0, unit, false, false
	}
	if !b.Measures.May(text) {
		x, ok = thousands(text)
		return x, unit, false, ok
	}
	for _, q := range b.Model.Line.Quantities {
		desc, known := b.Headings.Column(q.Key)
		if q.Role != model.Input || q.IsText() || !known {
			continue
		}
		got, err := b.Measures.Quantity(text, desc.Want(q.Unit, q.Unit))
		if err == nil {
			return got.Value, q.Unit, !got.Plain, true
		}
	}
	x, ok = thousands(text) // a point is a decimal one where it can be
	return x, unit, false, ok
}

// grouped is a number with a sign between its thousands, and perhaps decimals.
var grouped = regexp.MustCompile(`^[0-9]{1,3}(?:[` + thousandSigns + `][0-9]{3})+(?:[.,][0-9]+)?$`)

const thousandSigns = " \u00A0\u202F'’.,"

// thousands is a number that is written with signs between its thousands. An input is
// not read so, for 1,200 may be 1.2; but a column of such cells holds numbers.
func thousands(text string) (float64, bool) {
	text = strings.TrimSpace(text)
	if len(text) > 40 || !strings.ContainsAny(text[min(len(text), 1):], thousandSigns) || !grouped.MatchString(text) {
		return 0, false
	}
	whole := text
	if last := strings.LastIndexAny(text, ".,"); last >= 0 && len(text)-last-1 != 3 {
		whole = text[:last]
	}
	x, err := strconv.ParseFloat(strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, whole), 64)
	return x, err == nil
}

// PiecesAtFirst is the number that a text begins with, where it may be one of pieces and
// words stand behind it: "4 (L+R)", "two places".
func (b *Reader) PiecesAtFirst(text string) (n float64, ok bool) {
	first, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	count, ok := b.Measures.WholeNumber(first)
	return float64(count), ok && count > 0 && strings.ContainsFunc(rest, unicode.IsLetter)
}

// tube finds a size in words: an outside diameter, and a wall behind it.
var tube = regexp.MustCompile(`(?i)(?:^|[^0-9.])([0-9]*\.?[0-9]+)\s*(?:"|''|in|mm)?\s*(?:od|ø)?\s*(?:x|×|\*|by|/)\s*([0-9]*[.,]?[0-9]+)(?:[^0-9]|$)`)

// Tube reports whether a text has the size of a tube in it: "3 x .047".
func Tube(text string) bool {
	if len(text) > Longest || !mayBeTube(text) {
		return false
	}
	for _, m := range tube.FindAllStringSubmatch(text, -1) {
		od, err1 := strconv.ParseFloat(m[1], 64)
		wall, err2 := strconv.ParseFloat(strings.Replace(m[2], ",", ".", 1), 64)
		if err1 == nil && err2 == nil && UsualWall(wall) && (wall < 0.2 && od >= 0.375 && od <= 10 || wall >= 0.5 && od >= 15 && od <= 250) {
			return true
		}
	}
	return false
}

// mayBeTube reports whether a text has a number before a sign that stands before a wall, and
// one right behind it.
func mayBeTube(text string) bool {
	first := strings.IndexAny(text, "0123456789")
	if first < 0 {
		return false
	}
	for i := first + 1; i < len(text); i++ {
		if strings.IndexByte("xX*/yY\x97", text[i]) < 0 { // the last of ×, and of by
			continue
		}
		if behind := strings.TrimLeft(text[i+1:], " \t\n\f\r"); behind != "" && (StartsNumber(behind) || behind[0] == ',') {
			return true
		}
	}
	return false
}

// UsualWall reports whether a number is a wall that thin tube is sold in, in inches
// or millimetres (common practice, no source).
func UsualWall(x float64) bool {
	for _, w := range [...]float64{0.02, 0.028, 0.035, 0.039, 0.047, 0.049, 0.058, 0.059, 0.063, 0.065, 0.083, 0.095, 0.12, 0.125,
		0.5, 0.7, 0.8, 0.9, 1, 1.2, 1.25, 1.5, 1.6, 1.65, 2, 2.1, 2.5, 3} {
		if x == w {
			return true
		}
	}
	return false
}

// numberBeside reads the number of an input beside its words, from i to end, of a text, with the unit that
// may stand behind it.
func (s *Said) numberBeside(words []string, i, end, at int) (x float64, ok bool) {
	for _, from := range [...]int{end, i - 1, i - 2} {
		if from < 0 || from >= len(words) || !StartsNumber(words[from]) {
			continue
		}
		for _, to := range [...]int{min(from+2, len(words)), from + 1} {
			got, err := s.b.Measures.Quantity(strings.Join(words[from:to], " "), s.want(at))
			if err == nil && !got.PerOD {
				return got.Value, true
			}
		}
	}
	return 0, false
}

// want is how an amount of the input of a column is written.
func (s *Said) want(at int) entry.Want {
	c := s.cols[at]
	if c.Reader.Shop.Col > 0 {
		return c.Reader.Want
	}
	desc, _ := s.b.Headings.Column(c.Q.Key)
	return desc.Want(c.Q.Unit, c.Q.Unit)
}

// saysTube reports whether a text tells of a joint of its own: a size beside a kind or
// pieces.
func (s *Said) saysTube(text string) bool {
	if !Tube(text) {
		return false
	}
	return s.b.Kind(Words(text)) != ""
}
