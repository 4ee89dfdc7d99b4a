package sayings

import (
	"errors"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/entry"
)

// That a joint is otherwise than its row says may be said without a heading and its number:
// "no purge", "7 pies", "2nd pass", "thicker wall", "see rev C". Such words are held against
// one joint where they stand beside it, and against all of a list where they stand around.

// joint is what words are held against: one joint, or those of a list.
type joint struct {
	has   func(q *model.Quantity, is func(x float64) bool) bool // some of them has such a number
	words func(q *model.Quantity, word string) bool             // some of them has that word
	count func(n float64) bool                                  // so many there are of something
}

// rowOf is a joint as its row gives it.
func rowOf(f *formula.Frame) joint {
	return joint{
		has:   func(q *model.Quantity, is func(x float64) bool) bool { return is(q.Num(f)) },
		words: func(q *model.Quantity, word string) bool { return q.Text(f) == word },
		count: func(float64) bool { return false },
	}
}

// listed are the joints of the list.
func (s *Said) listed() joint {
	return joint{
		has: func(q *model.Quantity, is func(x float64) bool) bool {
			for x := range s.numbers[q.Key] {
				if is(x) {
					return true
				}
			}
			return false
		},
		words: func(q *model.Quantity, word string) bool { return s.texts[q.Key][word] },
		count: s.isCount,
	}
}

// changes is the name of what words give otherwise than joints have it, "" for nothing.
func (s *Said) changes(words []string, of joint) string {
	b := s.b
	if len(words) > mostWords {
		return ""
	}
	if q := s.leavesOut(words, of); q != nil {
		return q.Name()
	}
	if unit := s.otherOfUnit(words, of); unit != "" {
		return "number of " + unit
	}
	if q := s.bigger(words); q != "" {
		return q
	}
	if len(words) <= MostShort && b.asksAlloy(words, of) {
		return b.Model.Line.Quantity("alloy").Name()
	}
	for i, w := range words[:max(len(words)-1, 0)] {
		if b.in("referring", w) && b.in("issued", words[i+1]) {
			return "revision"
		}
	}
	return ""
}

// leavesOut is an input that words say there is none of, where joints have some: "no purge".
func (s *Said) leavesOut(words []string, of joint) *model.Quantity {
	for i, w := range words {
		if !s.b.in("without", w) {
			continue
		}
		for _, of1 := range words[i+1 : min(i+3, len(words))] {
			q := s.input(of1)
			if q == nil {
				q = s.input(of1 + "s")
			}
			if q != nil && q.Key != "qty" && of.has(q, func(x float64) bool { return x != 0 }) {
				return q
			}
		}
	}
	return nil
}

// input is the input with a number that a word is a heading of.
func (s *Said) input(word string) *model.Quantity {
	key := s.b.InputOf(word)
	if key == "" {
		return nil
	}
	q := s.b.Model.Line.Quantity(key)
	if q == nil || q.Role != model.Input || q.IsText() || !s.b.Quick.Recognise(word).Exact {
		return nil
	}
	return q
}

// counts are the figures of a line that are named as what they count: passes, pies, welds.
func (b *Reader) counts() []*model.Quantity {
	if b.countable == nil {
		for _, q := range b.Model.Line.Quantities {
			if !q.IsText() && q.Unit.IsPlain() && q.Unit.String() == q.Key {
				b.countable = append(b.countable, q)
			}
		}
	}
	return b.countable
}

// named reports whether a word, perhaps of one, is what a figure counts.
func named(q *model.Quantity, word string) bool {
	return word == q.Key || word+"s" == q.Key || word+"es" == q.Key
}

// otherOfUnit is a unit of which words give a number that no joint has, "" for none.
func (s *Said) otherOfUnit(words []string, of joint) string {
	for i, w := range words[:max(len(words)-1, 0)] {
		n, nth := s.b.ordinal(w)
		if n == 0 || i > 0 && StartsNumber(words[i-1]) {
			continue
		}
		for _, q := range s.b.counts() {
			if named(q, words[i+1]) && !of.has(q, func(x float64) bool { return x == n || nth && x > n }) && !(q.Key == "welds" && of.count(n)) {
				return q.Key
			}
		}
	}
	return ""
}

// ordinal is the number that a word is, 0 for none; nth is that it is one of a row: "2nd".
func (b *Reader) ordinal(w string) (n float64, nth bool) {
	if m := nthOf.FindStringSubmatch(w); m != nil {
		n, _ = strconv.ParseFloat(m[1], 64)
		return n, true
	}
	if nth := b.meaning("nth", w); nth != "" && !StartsNumber(w) {
		n, _ = strconv.ParseFloat(nth, 64)
		return n, true
	}
	if n, _ = b.number(w); n == 0 && b.meaning("repeat", w) == "double" {
		n = 2
	}
	return n, false
}

var nthOf = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th)$`)

// bigger is what words say is bigger or smaller, "" for nothing: "thicker wall".
func (s *Said) bigger(words []string) string {
	thing := func(i int) bool {
		return i >= 0 && i < len(words) && (s.input(words[i]) != nil || slices.ContainsFunc(s.b.counts(), func(q *model.Quantity) bool { return named(q, words[i]) }) || s.b.in("size word", words[i]) || s.b.in("sized", words[i]))
	}
	found := false
	s.b.windows("bigger", words, func(text string, last int) bool {
		first := last - strings.Count(text, " ")
		found = s.b.in("bigger", text) && (strings.Count(text, " ") > 1 || thing(last+1) || thing(first-1))
		return found
	})
	if found {
		return "size"
	}
	return ""
}

// asksAlloy reports whether words are a metal that is asked about, and may be none that
// joints have: "stainless".
func (b *Reader) asksAlloy(words []string, of joint) bool {
	if len(words) == 0 || isPlain(words[0][0]) && !b.known(words[0]).begins.Has(b.telling().asked) {
		return false
	}
	_, _, err := b.Words.Read("alloy", strings.Join(words, " "), nil)
	var u *entry.Unknown
	if !errors.As(err, &u) || u.Question == "" {
		return false
	}
	q := b.Model.Line.Quantity("alloy")
	return !slices.ContainsFunc(u.Choices, func(word string) bool {
		return strings.Contains(u.Question, `"`+word+`"`) && of.words(q, word)
	})
}

// more reports whether words beside a joint say that there are more of it: "one more",
// "+1", "extra flange", "same on left".
func (b *Reader) more(text string, words []string) bool {
	found := ""
	b.windows("repeat", words, func(text string, _ int) bool {
		switch b.meaning("repeat", text) {
		case "one more":
			found = text
		case "double":
			if len(words) <= MostShort && b.onlyAbout(words, "repeat", "demanding") {
				found = text
			}
		}
		return found != ""
	})
	return found != "" || b.adds(text, words) || len(words) <= MostShort && b.alikeSide(words)
}

// adds reports whether words add a piece: "+1", "extra flange".
func (b *Reader) adds(text string, words []string) bool {
	if plus.MatchString(strings.TrimSpace(text)) {
		return true
	}
	for i, w := range words {
		rest := words[i+1:]
		for len(rest) > 1 && (StartsNumber(rest[0]) || b.in("count", rest[0]) || rest[0] == "a") { // "add 2 hangers"
			rest = rest[1:]
		}
		if b.in("adding", w) && len(rest) > 0 && (b.in("things", rest[0]) || b.in("counted", rest[0]) && len(rest) == 1 || b.isKind(rest)) {
			return true
		}
	}
	return false
}

// isKind reports whether words begin with a kind of joint, and not with what belongs to one:
// "flange here", and no "flange gasket".
func (b *Reader) isKind(words []string) bool {
	for n := 1; n <= min(2, len(words)); n++ {
		text := strings.Join(words[:n], " ")
		if b.KindOf(text) != "" && b.OneOf("loose kind", text) == "" && (n == len(words) || b.leadsOn(words[n])) {
			return true
		}
	}
	return false
}

// leadsOn reports whether a word is none of a thing: it joins others, or points.
func (b *Reader) leadsOn(w string) bool {
	return slices.ContainsFunc([]string{"joining", "linking", "pointing", "filling", "place", "things", "whole", "changed"}, func(list string) bool { return b.in(list, w) })
}

// ofOther reports whether what follows upon words, in the same breath, is another thing than
// what stands on joints' rows: "skip lunch".
func (b *Reader) ofOther(found string, words []string) bool {
	from := strings.Fields(found)
	for i := range words {
		next := i + len(from)
		if next < len(words) && slices.Equal(words[i:next], from) {
			w := words[next]
			return strings.ContainsFunc(w, unicode.IsLetter) && !StartsNumber(w) && !b.leadsOn(w) && !b.in("not ours alone", w) && b.InputOf(w) == "" && b.KindOf(w) == "" && b.OneOf("sized", w) == ""
		}
	}
	return false
}

var plus = regexp.MustCompile(`^\+ ?\d{1,3}$`)

// alikeSide reports whether words say that another side is the same: "LH same".
func (b *Reader) alikeSide(words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return b.OneOf("opposite", w) != "" }) &&
		slices.ContainsFunc(words, func(w string) bool { return b.meaning("likewise", w) == "same" && w != "as" })
}

// partly reports whether words say that a joint is welded over a part of it only: "180°
// only".
func (b *Reader) partly(text string, has func(x float64) bool) bool {
	words := parted(text) // signs of units are kept
	has1 := func(list string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return b.in(list, w) })
	}
	if len(words) <= MostShort && has1("only") && has1("portion") {
		return true
	}
	for i, w := range words {
		if !StartsNumber(w) || len(words) > mostTitle {
			continue
		}
		for _, end := range [...]int{i + 1, min(i+2, len(words))} {
			x, _, unit, ok := b.Quantity(strings.Join(words[i:end], " "))
			if near := i > 0 && b.in("only", words[i-1]) || end < len(words) && b.in("only", words[end]); ok && unit && near && !has(x) {
				return true
			}
		}
	}
	return false
}

// unmeant reports whether words say of a joint, or of what stands on its row, that it is
// not settled, or not there: "qty tbc", "this joint optional". Of other things nothing is
// said: "polish optional".
func (b *Reader) unmeant(words []string) bool {
	if len(words) > MostShort+1 {
		return false
	}
	if found := b.Has("dropped", words) + b.Has("optional", words); found != "" {
		denied := slices.ContainsFunc(words, func(w string) bool { return b.in("without", w) && !strings.HasPrefix(found, w+" ") })
		return !denied && b.onlyAbout(words, "dropped", "optional") // "no option"
	}
	return b.Has("doubted", words) != "" && len(words) > 1 && b.onlyAbout(words, "doubted")
}

// onlyAbout reports whether words beside those of some lists are of joints and of what
// stands on their rows, and of nothing else.
func (b *Reader) onlyAbout(words []string, lists ...string) bool {
	about := make([]bool, len(words))
	for _, list := range append(lists, "things", "pointing", "whole", "joining", "changed", "counted", "linking", "adding", "filling") {
		b.windows(list, words, func(text string, last int) bool {
			if b.in(list, text) {
				for i := last - strings.Count(text, " "); i <= last; i++ {
					about[i] = true
				}
			}
			return false
		})
	}
	for i, w := range words {
		if about[i] || StartsNumber(w) || b.InputOf(w) != "" {
			continue
		}
		if _, _, unit, ok := b.Quantity("2 " + w); !ok || !unit {
			return false
		}
	}
	return true
}

// linked are words without those that lead from a heading to its number: "wall is now .065".
func (b *Reader) linked(words []string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(w string) bool { return b.in("changed", w) || b.in("linking", w) })
}

// notOursAround reports whether words around joints say that they are not for the shop to
// weld. One word of several says so only where all are of joints.
func (b *Reader) notOursAround(words []string) bool {
	if b.othersWeld(words) {
		return true
	}
	found := b.Has("not ours", words)
	return found != "" && len(words) <= mostTitle && (strings.Contains(found, " ") || b.onlyAbout(words, "not ours"))
}

// othersWeld reports whether words say that somebody else does the joint: "customer welds
// this".
func (b *Reader) othersWeld(words []string) bool {
	does := false
	b.windows("not ours alone", words, func(text string, last int) bool {
		rest := words[last+1:]
		if len(rest) > 1 && rest[0] == "to" {
			rest = rest[1:]
		}
		does = len(rest) > 0 && b.meaning("not ours alone", text) == "customer" && b.in("doing", rest[0])
		return does
	})
	return does && (len(words) <= MostShort || b.onlyAbout(words, "not ours alone", "doing", "portion"))
}
