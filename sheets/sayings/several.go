package sayings

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"seamtally/compute/model"
)

// How many of a thing there are is said in many ways, and few of them are a number and
// "off": "2 sets per car", "both banks", "L/R", "twin tail pipes", "qty now 3". What they
// have in common is a number, or a word for one, beside a word for what is counted; or a
// part that a car has several of, behind "each" or "both"; or two opposite places, joined.

// signs parts words from the signs that join them.
var signs = strings.NewReplacer("×", " x ", "+", " + ", "&", " & ", "/", " / ", ":", " ", "=", " ", "-off", " off ", "(", " ( ", ")", " ) ", ";", " ; ", ",", " , ", "–", "-", "—", "-")

// mostWords bounds the words of a text that says how many there are; more are a letter.
const mostWords = 14

// parted are the words of a text in small letters, with the signs between them.
func parted(text string) []string {
	words := strings.Fields(strings.ToLower(signs.Replace(text)))
	for i, w := range words {
		words[i] = strings.TrimRight(w, ".!")
	}
	return slices.DeleteFunc(words, func(w string) bool { return w == "" })
}

// Numbers are the numbers of things that words around joints give, from two: "2 sets",
// "batch of 8", "twin system".
func (b *Reader) Numbers(text string) (out []float64) {
	words := parted(text)
	if len(text) > Longest || len(words) > mostWords {
		return nil
	}
	for i, w := range words {
		n, times := b.number(w)
		if n < 2 || n > MostCars || i > 0 && StartsNumber(words[i-1]) || i+1 < len(words) && StartsNumber(words[i+1]) {
			continue
		}
		at := i - 1
		for at > 0 && (b.OneOf("joining", words[at]) != "" || b.in("changed", words[at])) {
			at--
		}
		x := func(i int) bool { return i >= 0 && i < len(words) && words[i] == "x" }
		switch {
		case x(i-1) && i > 1 && StartsNumber(words[i-2]), x(i+1) && i+2 < len(words) && StartsNumber(words[i+2]): // a size
		case i > 0 && b.in("done to sides", words[i-1]): // "measured 2 times"
		case i > 0 && b.meaning("counting", words[i-1]) == "need" && i+1 < len(words) && !b.mayBeCounted(words[i+1]): // "needs 2 people"
		case times, x(i - 1), x(i + 1), b.counted(words[i+1:]), i > 0 && b.in("counting", words[i-1]), at >= 0 && b.in("counting", words[at]), at > 0 && b.in("counting", words[at-1]+" "+words[at]):
			out = append(out, n)
		}
	}
	return out
}

// OtherCars reports whether words beside a car may say that other than so many are ordered.
func (b *Reader) OtherCars(text string, ordered float64) bool {
	words := Words(text)
	other := func(n float64) bool { return n != ordered }
	for i, w := range words[:max(len(words)-1, 0)] { // "2 without muffler"
		if n, _ := b.number(w); n > 0 && n < ordered && (b.in("without", words[i+1]) || b.in("some cars", words[i+1]) || b.in("opposite", words[i+1])) {
			return true
		}
	}
	return b.NotOurs(text) || b.Has("dropped", words)+b.Has("optional", words) != "" || b.NotByOnes(words) || slices.ContainsFunc(b.Numbers(text), other) ||
		b.OtherAmount(text, func(x float64) bool { return x == ordered })
}

// NotByOnes reports whether words say that a number counts no single things, or that it
// comes again: "in dozens", "per month". A sentence is of something else, unless it is of all.
func (b *Reader) NotByOnes(words []string) bool {
	return (len(words) <= MostShort || b.Has("whole", words) != "") && b.Has("not by ones", words) != ""
}

// number is the whole number that a word is, 0 for none: "2", "two", "x2"; times is that
// it says so by itself: "x2", "twin".
func (b *Reader) number(w string) (n float64, times bool) {
	if name := b.fold(w); name != "" {
		n, _ := strconv.Atoi(name)
		return float64(n), true
	}
	bare := strings.TrimSuffix(strings.TrimPrefix(w, "x"), "x")
	m, ok := b.Measures.WholeNumber(w) // "six" ends in an x
	if !ok && bare != w {
		m, ok = b.Measures.WholeNumber(bare)
		times = ok
	}
	if ok && m < 10*MostCars {
		return float64(m), times
	}
	return 0, false
}

// counted reports whether words begin with one for what may be counted of a car's joints.
func (b *Reader) counted(words []string) bool {
	return len(words) > 0 && (b.in("counted", words[0]) || len(words) > 1 && b.in("counted", words[0]+" "+words[1]))
}

// mayBeCounted reports whether a word behind a number leads on, or is of what cars and joints
// have, and not of people, tools or days.
func (b *Reader) mayBeCounted(w string) bool {
	return !strings.ContainsFunc(w, unicode.IsLetter) || b.leadsOn(w) || b.counted([]string{w}) || b.InputOf(w) != "" || b.KindOf(w) != "" ||
		b.OneOf("fold part", w) != "" || b.OneOf("place", w) != "" || b.in("not ours", w) || b.in("bigger", w) || b.in("likewise", w)
}

// fold is the number that a word is by itself, "" for none: "twin".
func (b *Reader) fold(w string) string {
	if StartsNumber(w) {
		return "" // the list's own names
	}
	return b.OneOf("fold", w)
}

func (b *Reader) in(list, words string) bool { return b.meaning(list, words) != "" }

// Pieces are the numbers of pieces that words beside a joint speak of in other ways than
// by a number and its unit, from two: "L/R", "both banks", "4 primaries", "cylinders 1-4".
// Of a joint's mark only opposite places are.
func (b *Reader) Pieces(text string, mark bool) (out []float64) {
	if len(text) > Longest {
		return nil
	}
	if !mark {
		out = b.Numbers(text)
	}
	for part := range strings.FieldsFuncSeq(text, func(r rune) bool { return strings.ContainsRune(";()\n", r) }) {
		for _, words := range byComma(parted(part)) {
			if n := b.pieces(words, mark); n > 1 && !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
	}
	for _, m := range several.FindAllStringSubmatch(text, -1) {
		if mark {
			break
		}
		if n := listed(m[2]); n > 2 && b.mayBeMany(m[1]) { // two are those that are joined
			out = append(out, float64(n))
		}
	}
	for _, m := range inParentheses.FindAllStringSubmatch(text, -1) {
		if n, err := strconv.Atoi(m[2]); err == nil && !mark && n > 1 && b.mayBeMany(m[1]) && !slices.Contains(out, float64(n)) {
			out = append(out, float64(n))
		}
	}
	return out
}

// inParentheses is a noun with a number behind it: "tail pipes (2)".
var inParentheses = regexp.MustCompile(`(\pL{3,})\s*\((\d{1,2})\)`)

func byComma(words []string) (parts [][]string) {
	for {
		i := slices.Index(words, ",")
		if i < 0 {
			return append(parts, words)
		}
		parts, words = append(parts, words[:i]), words[i+1:]
	}
}

// several is a noun with a range or a row of numbers or letters behind it.
var several = regexp.MustCompile(`(?i)(\pL{3,})\.?\s+((?:\d{1,2}|[a-f]\b)(?:\s*(?:-|–|to|bis|,|/|&|and|und)\s*(?:\d{1,2}\b|[a-f]\b))+)`)

// listed is how many a range or a row names.
func listed(text string) int {
	if first, last, is := strings.Cut(rangeSigns.ReplaceAllString(text, "-"), "-"); is {
		a, err1 := strconv.Atoi(strings.TrimSpace(first))
		z, err2 := strconv.Atoi(strings.TrimSpace(last))
		if err1 == nil && err2 == nil && z > a {
			return z - a + 1
		}
		return 0
	}
	return len(strings.FieldsFunc(text, func(r rune) bool { return r > 127 || !unicode.IsLetter(r) && !unicode.IsDigit(r) })) - strings.Count(text, "and") - strings.Count(text, "und")
}

var rangeSigns = regexp.MustCompile(`–|\bto\b|\bbis\b`)

// mayBeMany reports whether a noun is of several things, or of a part that a car has
// several of.
func (b *Reader) mayBeMany(noun string) bool {
	return b.in("fold part", noun) || len(noun) > 3 && strings.HasSuffix(noun, "s") && !strings.HasSuffix(noun, "ss")
}

// pieces is the number of pieces that words say, 0 for none.
func (b *Reader) pieces(words []string, mark bool) float64 {
	for i, w := range words {
		rest := words[i+1:]
		switch {
		case i+2 < len(words) && b.opposite(w, words[i+1], words[i+2]):
			if i == 0 || mark || b.in("joining", words[i-1]) || b.named(words[:i]) {
				return 2
			}
		case b.in("many", w) && len(rest) > 0 && b.in("fold part", strings.TrimSuffix(rest[0], "s")) && b.named(words[:i]) &&
			(len(rest) == 1 || !b.in("done to sides", rest[1])):
			return 2
		case len(words) == 1 && (b.in("alike", w) || b.in("pair", w)):
			return 2
		}
	}
	for len(words) > 1 && (b.in("joining", words[0]) || b.in("whole", words[0])) {
		words = words[1:]
	}
	if len(words) > 1 && !mark && !b.in("counting", words[0]) {
		noun := words[1]
		if n, _ := b.number(words[0]); n > 1 && n <= 24 && len(noun) > 3 && b.mayBeMany(noun) && !b.in("made of", noun) && b.InputOf(noun) == "" && b.Kind([]string{noun}) == "" && !b.Counted(noun) {
			return n
		}
	}
	return 0
}

// opposite reports whether two words with a joining one between are opposite places.
func (b *Reader) opposite(one, joint, other string) bool {
	switch joint {
	case "+", "&", "/", "and", "und", "et", "e", "y":
	default:
		return false
	}
	x, y := b.OneOf("opposite", one), b.OneOf("opposite", other)
	return x != "" && y != "" && x != y
}

// named reports whether words only say which part is meant: they are places, kinds,
// numbers, or no more than lead on.
func (b *Reader) named(words []string) bool {
	return !slices.ContainsFunc(words, func(w string) bool {
		n, _ := b.number(w)
		return n == 0 && w != "-" && b.OneOf("place", w) == "" && b.OneOf("joining", w) == "" && b.OneOf("opposite", w) == "" && b.KindOf(w) == "" && b.OneOf("fold part", w) == "" && w != "one"
	})
}

// OneSide reports whether words say that one side of a car stands for the other too:
// "RH as LH", "dual, half listed", "right bank identical", "one of two headers".
func (b *Reader) OneSide(text string) bool {
	words := parted(text)
	if len(words) == 0 || len(text) > Longest || len(words) > mostWords {
		return false
	}
	part, like := false, false
	if slices.ContainsFunc(words, func(w string) bool { return b.in("done to sides", w) }) {
		return false // "deburr both ends"
	}
	for i, w := range words {
		part = part || b.OneOf("opposite", w) != "" || b.OneOf("fold part", strings.TrimSuffix(w, "s")) != ""
		next := ""
		if i+1 < len(words) {
			next = strings.TrimSuffix(words[i+1], "s")
		}
		like = like || b.in("likewise", w) || b.in("many", w) && b.in("fold part", next)
	}
	return part && like || slices.Contains([]string{"+", "plus", "add"}, words[0]) && part || len(words) <= MostShort && slices.ContainsFunc(words, func(w string) bool { return b.fold(w) != "" })
}

// Inside reports whether words say that sizes are none over the outside: "sizes are ID".
func (b *Reader) Inside(text string) bool {
	words := parted(text)
	if len(words) > 6 {
		return false
	}
	has := func(list string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return b.OneOf(list, w) != "" })
	}
	return has("size word") && has("not outside")
}

// Changed reports whether words say that something is otherwise now than it was.
func (b *Reader) Changed(words []string) bool { return b.Has("changed", words) != "" }

// NotOurs reports whether words beside a joint say that it is not for the shop to weld.
func (b *Reader) NotOurs(text string) bool {
	words := Words(text)
	found := b.Has("not ours", words)
	return b.in("not ours alone", text) || found != "" && !(b.meaning("not ours", found) == "ignore" && b.ofOther(found, parted(text)))
}

// Refers reports whether words point at another joint: "see J1", "part of J1".
func (b *Reader) Refers(words []string) bool { return b.Has("referring", words) != "" }

// OtherInput is the name of the first input that words beside a joint give a number of
// which it has not, "" for none.
func (s *Said) OtherInput(words []string, has func(q *model.Quantity, x float64) bool) string {
	return s.otherNumber(s.b.linked(words), has)
}

// OtherWord is the name of the first input that words beside a joint give a word of which
// it has not, "" for none: "no filler", "grade 9". One word alone may be of anything.
func (s *Said) OtherWord(words []string, has func(q *model.Quantity, word string) bool) string {
	for _, key := range saidWords {
		q, longest, says := s.b.Model.Line.Quantity(key), "", ""
		s.b.windows(key, words, func(text string, _ int) bool {
			said, _, err := s.b.Words.Read(key, text, nil)
			if err == nil && len(text) > len(longest) && (strings.Contains(text, " ") || len(text) > leastAlone && key != "ends" || len(words) == 1 && len(text) == leastAlone && !s.b.in("yes", text)) {
				longest, says = text, said // "no filler" has "filler" in it
			}
			return false
		})
		if longest != "" && !has(q, says) {
			return q.Name()
		}
	}
	return ""
}

// leastAlone is how long a word is that says by itself what is meant: "fusion".
const leastAlone = 5

// OtherAmount reports whether words say that a number is otherwise now, and none of
// theirs is one that a joint has.
func (b *Reader) OtherAmount(text string, has func(x float64) bool) bool {
	words := Words(text)
	if len(words) > mostDemand || !b.Changed(words) || b.dated(words) {
		return false
	}
	some := false
	for _, m := range amounts.FindAllString(text, -1) {
		x, err := strconv.ParseFloat(m, 64)
		if err != nil || has(x) {
			return false
		}
		some = true
	}
	return some
}

// amounts are numbers that are no part of a code, a date or a fraction.
var amounts = regexp.MustCompile(`(?:\d+\.\d+|\.\d+|\d+)`)
