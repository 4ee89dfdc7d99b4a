package entry

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/units"
)

// Match is what a heading was found to mean.
type Match struct {
	Key      string     // "" where the heading is not known, or is questioned
	Unit     units.Unit // unit of bare numbers below it, if HasUnit
	HasUnit  bool
	UnitText string // the unit as the heading writes it, in small letters: `"`, "mm"
	Question string // why the heading is not taken as it stands, and what to do
	Divides  bool   // the question is about words, where rows differ in them
	Nearest  string // for a heading that is not known: the nearest known one, or ""
	Own      bool   // a column that lists have and no price comes of: a drawing's number, a date
	OwnAs    string // the word that stands for all of its kind: "drawing" for "Dwg no."
	Exact    bool   // false: a loose spelling ("dia" for od), which gives way to an exact one
}

// A heading has at most so many words, and so many bytes; a longer text is a
// note.
const (
	mostWords      = 12
	longestHeading = 250
)

// OfShare reports whether a heading that is questioned is of a share: "Weld %" may say how
// much of a joint is welded.
func (m Match) OfShare() bool { return m.Question != "" && m.UnitText == "%" }

// Recognise reads one heading. Case, accents, line breaks, dots, underscores
// and kinds of space make no difference; a unit may stand before or behind,
// in brackets or not: "Wall\nThk. (in)", `OD "`, "O.D., mm", "Bend °".
func (h *Headings) Recognise(raw string) Match {
	if len(raw) > longestHeading {
		return Match{}
	}
	if h.seen == nil {
		return h.recognise(raw)
	}
	if h.isNone(raw) {
		return Match{}
	}
	m, ok := h.seen.of(raw)
	if !ok {
		m = h.recognise(raw)
		h.seen.keep(raw, m)
	}
	return m
}

func (h *Headings) recognise(raw string) Match {
	text := cleanWords(raw)
	list := tokens(text)
	if len(list) == 0 || len(list) > mostWords {
		return Match{}
	}
	if m, ok := h.look(list); ok {
		if m.bare != "" {
			return Match{Question: m.bare, Nearest: h.head(m.key)}
		}
		return Match{Key: m.key, Question: m.question, Divides: m.divides, Own: m.own, OwnAs: m.ownAs, Exact: m.key != "" && !m.loose}
	}
	for _, w := range h.windows(list) {
		rest := w.without(list)
		if m, ok := h.look(rest); ok {
			return h.withUnit(m, w.unit, w.text(text, list))
		}
		for _, second := range h.windows(rest) {
			m, ok := h.look(second.without(rest))
			if ok && second.unit.Equal(w.unit) {
				return h.withUnit(m, w.unit, w.text(text, list))
			}
			if ok && m.key != "" {
				return Match{
					Question: fmt.Sprintf("It names two units, %s and %s; keep one", w.text(text, list), second.text(text, rest)),
					Nearest:  h.head(m.key),
				}
			}
		}
	}
	return h.unknown(text, list)
}

// unknown is the match of a heading that is not known. The unit that it has in brackets
// is still that of the numbers below it.
func (h *Headings) unknown(text string, list []token) Match {
	m := Match{Nearest: h.nearest(list)}
	for _, w := range h.windows(list) {
		if w.fillsBrackets(list) {
			m.Unit, m.HasUnit, m.UnitText = w.unit, true, w.text(text, list)
			break
		}
	}
	return m
}

// Recognise2 reads a heading that stands in two rows: split over both ("Wall"
// over "thk"), a unit below ("Wall" over "mm"), or a group above that changes
// no meaning ("Tube" over "OD"). A group that is not known to be harmless is
// not passed over: the Match then has no key, and Nearest names what the
// lower row alone would have been.
func (h *Headings) Recognise2(upper, lower string) Match {
	if len(upper) > longestHeading || len(lower) > longestHeading {
		return Match{}
	}
	over, under := tokens(cleanWords(upper)), tokens(cleanWords(lower))
	switch {
	case len(under) == 0:
		return h.Recognise(upper)
	case len(over) == 0:
		return h.Recognise(lower)
	}
	if unit, ok := h.measures.units[compact(under, true)]; ok {
		if m := h.Recognise(upper); m.Key != "" || m.Question != "" || m.Own {
			return h.unitBelow(m, unit, lower)
		}
	}
	both := h.Recognise(upper + " " + lower)
	if both.Key != "" || both.Question != "" || both.Own {
		return both
	}
	m := h.Recognise(lower)
	switch {
	case h.groups[h.form(over, false)]:
		return m
	case both.Nearest == "" && m.Key != "":
		both.Nearest = h.head(m.Key)
	case both.Nearest == "":
		both.Nearest = m.Nearest
	}
	return both
}

// RecogniseUnder reads a heading under a group that spans several columns,
// whatever its words. A unit that the group names is that of the headings below
// which it fits: "Dimensions (mm)" over OD and Wall.
func (h *Headings) RecogniseUnder(group, lower string) Match {
	m := h.Recognise(lower)
	if m.Key == "" || m.HasUnit || len(group) > longestHeading {
		return m
	}
	text := cleanWords(group)
	list := tokens(text)
	if unit, ok := h.measures.units[compact(list, true)]; ok && len(list) > 0 {
		return h.unitAbove(m, unit, text)
	}
	for _, w := range h.windows(list) {
		if with := h.unitAbove(m, w.unit, w.text(text, list)); with.HasUnit {
			return with
		}
	}
	return m
}

// unitAbove gives a heading the unit of the group above it, if it fits.
func (h *Headings) unitAbove(m Match, unit units.Unit, text string) Match {
	with := h.withUnit(meaning{key: m.Key, loose: !m.Exact}, unit, text)
	if with.Key != m.Key {
		return m
	}
	return with
}

// UnitBelow reads a text below a heading as the unit of what stands there; ok is false
// where it is none, or does not fit what the key takes.
func (h *Headings) UnitBelow(key, text string) (unit units.Unit, ok bool) {
	c, known := h.Column(key)
	own, takes := c.Takes.unit()
	if !known || !takes || len(text) > longestHeading {
		return unit, false
	}
	unit, ok = h.measures.units[compact(tokens(cleanWords(text)), true)]
	return unit, ok && unit.SameDim(own)
}

// unitBelow adds the unit of the row below to what the row above means.
func (h *Headings) unitBelow(m Match, unit units.Unit, lower string) Match {
	text := strings.Trim(strings.TrimSpace(lower), "()[]{} ")
	if m.HasUnit && !m.Unit.Equal(unit) {
		m.Question = fmt.Sprintf("It says %s, and the row below says %s; keep one", m.UnitText, text)
		m.Nearest = h.head(m.Key)
		m.Key, m.Exact = "", false
		return m
	}
	return h.withUnit(meaning{key: m.Key, question: m.Question, own: m.Own, ownAs: m.OwnAs, loose: !m.Exact}, unit, text)
}

// withUnit is the match of a heading with a unit that it names. A unit that
// does not fit what the key takes is questioned.
func (h *Headings) withUnit(m meaning, unit units.Unit, text string) Match {
	match := Match{Key: m.key, Question: m.question, Own: m.own, OwnAs: m.ownAs, Unit: unit, HasUnit: true, UnitText: text, Exact: m.key != "" && !m.loose}
	if m.key == "" {
		if angle, _ := TakesAngle.unit(); angle.SameDim(unit) {
			match.Own, match.OwnAs = false, "" // "Step (°)": none of a shop's own is an angle
		}
		return match
	}
	c, _ := h.Column(m.key)
	if own, ok := c.Takes.unit(); ok && own.SameDim(unit) {
		return match
	}
	match.Key, match.Exact = "", false
	match.Nearest = c.Head
	match.Question = fmt.Sprintf("It says %s, but the cells under %q hold %s; take the unit off, or head it as what they are",
		text, c.Head, c.Takes.spelled())
	return match
}

func (t Takes) spelled() string {
	switch t {
	case TakesLength, TakesAngle, TakesTime, TakesCount:
		return string(t) + "s"
	case TakesWords:
		return "words"
	default:
		return string(t)
	}
}

// look finds what a heading without a unit means.
func (h *Headings) look(list []token) (meaning, bool) {
	for _, per := range []bool{true, false} {
		if m, ok := h.meanings[h.form(list, per)]; ok {
			return m, true
		}
	}
	return meaning{}, false
}

// window is a run of tokens that spells a unit.
type window struct {
	from, to int // tokens from <= i < to
	unit     units.Unit
}

// longestUnit bounds the tokens of a unit: "inches per minute".
const longestUnit = 3

// windows finds the units in a heading: in brackets, at the end, at the
// beginning, in that order. Something is always left beside a unit.
func (h *Headings) windows(list []token) []window {
	var bracketed, behind, before []window
	for from := range list {
		for to := from + 1; to <= min(from+longestUnit, len(list)); to++ {
			unit, ok := h.measures.units[compact(list[from:to], true)]
			if !ok || to-from == len(list) {
				continue
			}
			w := window{from, to, unit}
			switch {
			case w.fillsBrackets(list):
				bracketed = append(bracketed, w)
			case to == len(list):
				behind = append(behind, w)
			case from == 0:
				before = append(before, w)
			}
		}
	}
	return append(append(bracketed, behind...), before...)
}

// fillsBrackets tells whether the window is all that stands in one pair of
// brackets.
func (w window) fillsBrackets(list []token) bool {
	inside := list[w.from].bracket
	for i, t := range list {
		if (t.bracket == inside) != (w.from <= i && i < w.to) {
			return false
		}
	}
	return inside != 0
}

func (w window) without(list []token) []token {
	rest := append([]token(nil), list[:w.from]...)
	return append(rest, list[w.to:]...)
}

// text is the unit as the (cleaned) heading writes it; of "inch(es)" with the
// bracket that it ends in.
func (w window) text(clean string, list []token) string {
	text := clean[list[w.from].start:list[w.to-1].end]
	if strings.ContainsAny(text, "([{") {
		text += ")"
	}
	return text
}

// nearest is the heading to suggest for one that is not known.
func (h *Headings) nearest(list []token) string {
	if len(h.spellings) == 0 {
		return ""
	}
	candidates := [][]token{list}
	for _, w := range h.windows(list) {
		candidates = append(candidates, w.without(list))
	}
	for _, words := range candidates {
		asWritten, mended := h.form(words, false), h.form(h.corrected(words), false)
		for _, form := range slices.Compact([]string{asWritten, mended}) {
			if i := nearest(form, h.spellings); i >= 0 {
				return h.head(h.meanings[h.spellings[i]].key)
			}
		}
	}
	return ""
}

// corrected is list with slips mended in the words that others may stand for:
// "diamter" is far from every spelling that has "dia", but near "diameter".
func (h *Headings) corrected(list []token) []token {
	mended := append([]token(nil), list...)
	for i, t := range mended {
		if j := nearest(t.text, h.sameWords); j >= 0 {
			mended[i].text = h.sameWords[j]
		}
	}
	return mended
}
