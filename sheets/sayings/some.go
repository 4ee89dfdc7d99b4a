package sayings

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"seamtally/compute/model"
	"seamtally/sheets/joints"
)

// Words may be about some of the cars or joints only, or give a joint a second size, side or
// state: "from car 5", "LH only", "3 to 2.5", "1 -> 4", "inside and outside", "paste". What a
// row gives is for all of them alike.

// someCars reports whether words say that only some of the cars ordered are meant: "from car
// 5", "first car", "LHD only".
func (b *Reader) someCars(words []string) bool {
	if !b.onlyAbout(words, "only", "opposite", "fold part", "some cars", "end of several", "nth") {
		return false // "check on first car"
	}
	for i, w := range words {
		if m := b.Quick.Recognise(w); !m.Exact || m.Key != "car" && m.Key != "ordered" {
			continue
		}
		before := ""
		if i > 0 {
			before = words[i-1]
		}
		_, nth := b.ordinal(before)
		if nth || b.in("end of several", before) || i+1 < len(words) && isCode(words[i+1]) && !b.in("many", before) && !StartsNumber(before) {
			return true
		}
	}
	return len(words) > 1 && len(words) <= MostShort && b.Has("only", words) != "" &&
		slices.ContainsFunc(words, func(w string) bool { return b.in("opposite", w) || b.in("some cars", w) })
}

// onlySome reports whether words around joints say that they are about some only: "rows 4-5
// Spyder only", "lot A only".
func (b *Reader) onlySome(words []string) bool {
	if len(words) < 2 || len(words) > mostTitle+2 || !b.in("only", words[0]) && !b.in("only", words[len(words)-1]) {
		return false // "butt welds only on rolls"
	}
	asks := len(words) <= MostShort || b.Has("demanding", words) != ""
	for i, w := range words {
		if b.in("only", words[0]) && asks && b.in("place", w) { // "only the front pipes are wanted"
			return true
		}
		if b.in("things", w) && !b.in("doing", w) || b.in("some cars", w) {
			return true
		}
		if m := b.Quick.Recognise(w); i+1 < len(words) && isCode(words[i+1]) && (m.Own || m.Key != "") && m.Key != "qty" {
			return true
		}
	}
	return b.someCars(words)
}

// isCode reports whether a word is a number, or one letter, as lots and cars have.
func isCode(w string) bool { return len(w) == 1 || StartsNumber(w) }

// turnsTo reports whether a text says that a number of a joint becomes another: "from 1 to 4".
func (b *Reader) turnsTo(text string, has func(x float64) bool) bool {
	for _, m := range becomes.FindAllStringSubmatch(strings.ToLower(text), -1) {
		from, err1 := strconv.ParseFloat(m[2], 64)
		to, err2 := strconv.ParseFloat(m[4], 64)
		sure := m[1] != "" || m[3] != "to" && m[3] != "auf"
		if err1 == nil && err2 == nil && sure && has(from) && !has(to) {
			return true
		}
	}
	return false
}

// becomes is a number that becomes another.
var becomes = regexp.MustCompile(`(from|von)?\s*(\d*\.?\d+)\s*(` + leadsTo + `)\s*(\d*\.?\d+)`)

// twoSizes reports whether a text is nothing but two sizes, of which a joint has one: "3 to
// 2.5", as of a cone.
func (s *Said) twoSizes(text string, f func(q *model.Quantity) float64) bool {
	low := strings.NewReplacer("ø", "", "⌀", "", "\"", "", "mm", "", "in", "").Replace(strings.ToLower(text))
	m := sizes.FindStringSubmatch(strings.TrimSpace(low))
	if m == nil {
		return false
	}
	one, err1 := strconv.ParseFloat(m[1], 64)
	other, err2 := strconv.ParseFloat(m[2], 64)
	od := f(s.b.Model.Line.Quantity("od"))
	return err1 == nil && err2 == nil && Near(od, one) != Near(od, other)
}

var sizes = regexp.MustCompile(`^(\d*\.?\d+)\s*(?:` + leadsTo + `|-|–|auf)\s*(\d*\.?\d+)$`)

// otherTube reports whether words name a tube by another diameter than a joint has: "2.5 tube".
// A whole number may count tubes.
func (s *Said) otherTube(text string, has func(x float64) bool) bool {
	q := s.b.Model.Line.Quantity("od")
	found := tubeOf.FindAllStringSubmatch(strings.ToLower(text), -1)
	for _, m := range ofTube.FindAllStringSubmatch(strings.ToLower(text), -1) { // "tubes 1.2 mm"
		if x, _, unit, ok := s.b.Quantity(m[2]); s.b.in("sized", m[1]) && ok && unit && !has(x) {
			return true
		}
	}
	for _, m := range found {
		if !s.b.in("sized", m[3]) || m[2] == "" && !strings.Contains(m[1], ".") {
			continue
		}
		at := slices.IndexFunc(s.cols, func(c joints.Column) bool { return c.Q == q })
		if at < 0 {
			continue
		}
		got, err := s.b.Measures.Quantity(strings.TrimSpace(m[1]+" "+m[2]), s.want(at))
		if err == nil && !q.Beyond(got.Value) && !has(got.Value) {
			return true
		}
	}
	return false
}

// tubeOf is a diameter before a word that may be of a tube.
var tubeOf = regexp.MustCompile(`(\d*\.?\d+)\s*("|''|in|mm|inch)?\s+(?:od\s+)?(\pL+)`)

// ofTube is a size behind a word that may be of a tube.
var ofTube = regexp.MustCompile(`(\pL+)\s+(\d*\.?\d+\s*(?:"|''|in|mm|inch)(?:[^\pL]|$))`)

// countsElsewhere reports whether words give a number of pieces for other cars than the row
// does: "4 on the Spyder".
func (b *Reader) countsElsewhere(words []string, given float64) bool {
	if len(words) < 2 || len(words) > MostShort {
		return false
	}
	n, _ := b.number(words[0])
	last := words[len(words)-1]
	return n > 0 && n <= 24 && n != given && (words[1] == "on" || words[1] == "for") && !strings.ContainsFunc(last, unicode.IsDigit) && len(words) > 2 && b.OneOf("place", last) == ""
}

// otherNamed is the input of which words beside its name give another word than joints have:
// "silver colour"; "" for none.
func (s *Said) otherNamed(words []string) string {
	for i, w := range words {
		key := s.b.InputOf(w)
		if key != "colour" && key != "setup" {
			continue
		}
		q := s.b.Model.Line.Quantity(key)
		desc, _ := s.b.Headings.Column(key)
		for _, at := range [...]int{i - 1, i + 1} {
			if at < 0 || at >= len(words) {
				continue
			}
			if word := s.b.meaning(desc.List, words[at]); word != "" && !s.texts[key][word] {
				return q.Name()
			}
		}
	}
	return ""
}

// bothSides reports whether words say that a joint is welded on both sides: "inside and
// outside". What else is done there is nothing of it.
func (b *Reader) bothSides(words []string) bool {
	return b.Has("in and out", words) != "" && b.onlyAbout(words, "in and out")
}

// putsOn reports whether words put a share on, or take one off: "add 10 % spare".
func (b *Reader) putsOn(text string, words []string) bool {
	if len(words) > mostTitle || !share.MatchString(text) {
		return false
	}
	return putOn.MatchString(text) || slices.ContainsFunc(words, func(w string) bool { return b.in("adding", w) || b.in("discount", w) || b.isSpare(w) })
}

// putOn is a share with its sign: "+25 %". One with both signs is a tolerance.
var putOn = regexp.MustCompile(`(?:^|[^/±+\d]\s*)[+−]\s*\d+(?:\.\d+)?\s*%`)

var share = regexp.MustCompile(`(?i)\d\s*(?:%|percent|per cent|pct|prozent)`)

// spares reports whether words give a number of spares: "four for the spares shelf".
func (b *Reader) spares(text string, words []string) bool {
	at := slices.IndexFunc(words, b.isSpare)
	if at < 0 {
		return false
	}
	one := at > 0 && (words[at-1] == "a" || b.meaning("count", words[at-1]) == "1" || words[at-1] == "1")
	return len(b.Numbers(text)) > 0 || one && (at+1 == len(words) || b.mayBeCounted(words[at+1])) // and no "spare gasket"
}

func (b *Reader) isSpare(w string) bool { return b.meaning("not ours", w) == "spare" }

// newMark is a mark that words add, and that looks like those of the list, of which none has
// it: "added J4"; "" for none.
func (s *Said) newMark(words []string) string {
	b := s.b
	if len(words) > mostTitle || !slices.ContainsFunc(words, func(w string) bool { return b.in("adding", w) || b.in("changed", w) || b.in("to come", w) }) {
		return ""
	}
	for _, w := range words {
		begins := strings.TrimRight(w, "0123456789")
		if begins == w || begins == "" || s.marks[w] {
			continue
		}
		for mark := range s.marks {
			if strings.TrimRight(mark, "0123456789") == begins {
				return strings.ToUpper(w)
			}
		}
	}
	return ""
}

// otherUnit reports whether words say that sizes are in a unit in which no heading of the list
// has any: "dimensions in mm" over a list headed in inches.
func (s *Said) otherUnit(text string) bool {
	b, words := s.b, parted(text)
	if len(words) > mostTitle || !slices.ContainsFunc(words, func(w string) bool { return b.OneOf("size word", w) != "" }) || slices.ContainsFunc(words, StartsNumber) {
		return false
	}
	od, said := b.Model.Line.Quantity("od"), false
	for i, w := range words {
		if w == "in" && i+1 < len(words) { // "dimensions in mm"
			continue
		}
		if system := b.meaning("unit system", w); system != "" {
			w = system
		}
		unit, known := b.Measures.Unit(w)
		if !known || !unit.SameDim(od.Unit) {
			continue
		}
		if said = true; slices.ContainsFunc(s.cols, func(c joints.Column) bool {
			return c.Reader != nil && c.Reader.Shop.Col > 0 && !c.Q.IsText() && c.Q.Unit.SameDim(od.Unit) && c.Reader.Want.Heading.Equal(unit)
		}) {
			return false
		}
	}
	return said
}

// EndsList reports whether a text says that the joints end there.
func (b *Reader) EndsList(text string) bool {
	return b.in("ends here", strings.Join(Words(text), " "))
}
