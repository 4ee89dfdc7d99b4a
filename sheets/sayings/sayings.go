package sayings

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
)

// Reader reads words with the lists of words, headings and measures of a workbook.
type Reader struct {
	*book.Book
	vocabulary map[string]word
	tells      *telling
	countable  []*model.Quantity // as counts gives them
	inputs     map[string]string // that words are headings of
	meanings   map[[2]string]string
}

// Said is what the joints of a list are, as far as words may say otherwise.
type Said struct {
	b             *Reader
	cols          []joints.Column
	kinds, alloys map[string]bool
	numbers       map[string]map[float64]bool // by inputs, and by what is counted on a row
	texts         map[string]map[string]bool  // by inputs
	kept          []*model.Quantity           // whose numbers these are
	worded        []*model.Quantity           // and whose texts
	marks         map[string]bool             // in small letters
	rows          int
	pieces, welds float64
}

// Of keeps what the joints of a list with those columns are.
func (b *Reader) Of(cols []joints.Column) *Said {
	s := &Said{
		b: b, cols: cols, kinds: map[string]bool{}, alloys: map[string]bool{}, marks: map[string]bool{},
		numbers: map[string]map[float64]bool{}, texts: map[string]map[string]bool{}, kept: slices.Clone(b.counts()),
	}
	for _, c := range cols {
		switch desc, _ := b.Headings.Column(c.Q.Key); {
		case c.Reader == nil || c.Q.Key == "qty":
		case !c.Q.IsText():
			s.kept = append(s.kept, c.Q)
		case desc.Takes == entry.TakesWords, c.Q.Key == "car":
			s.worded = append(s.worded, c.Q)
			s.texts[c.Q.Key] = map[string]bool{}
		}
	}
	for _, q := range s.kept {
		s.numbers[q.Key] = map[float64]bool{}
	}
	return s
}

// mostSaid bounds how many different values are kept of an input.
const mostSaid = 200

// mostMarks bounds how many marks are kept of a list.
const mostMarks = 100000

// saidWords are the inputs whose words are said beside joints and around them.
var saidWords = [...]string{"filler", "alloy", "ends"}

// mayBeSaid are the inputs whose numbers words around joints give.
func mayBeSaid(key string) bool { return key == "od" || key == "wall" || key == "passes" }

// Keep keeps what a priced joint is.
func (s *Said) Keep(line *compute.Line, mark string) {
	f := &line.Frame
	if len(s.marks) < mostMarks && mark != "" {
		s.marks[strings.ToLower(mark)] = true
	}
	s.rows++
	s.pieces += s.b.Model.Line.Quantity("qty").Num(f)
	s.welds += s.b.Model.Line.Quantity("welds").Num(f)
	s.kinds[s.b.Model.Line.Quantity("kind").Text(f)] = true
	for _, key := range [...]string{"alloy", "to_alloy"} {
		s.alloys[s.b.Model.Line.Quantity(key).Text(f)] = true
	}
	for _, q := range s.kept {
		if values := s.numbers[q.Key]; len(values) < mostSaid {
			values[q.Num(f)] = true
		}
	}
	for _, q := range s.worded {
		if values := s.texts[q.Key]; len(values) < mostSaid {
			values[q.Text(f)] = true
		}
	}
}

// windows are the words of a text, alone and up to four together, as far as a spelling of
// a list begins so, with where each ends.
func (b *Reader) windows(list string, words []string, do func(text string, last int) bool) {
	for i, w := range words {
		if !b.begins(list, w) {
			continue
		}
		for n := 1; n <= 4 && i+n <= len(words); n++ {
			if do(strings.Join(words[i:i+n], " "), i+n-1) {
				return
			}
		}
	}
}

// Words are the words of a text as lists of words have them: a point that ends a
// sentence is none of a number's, and a note's own number none of its words.
func Words(text string) []string {
	out := entry.WordsIn(numbered.ReplaceAllString(text, ""))
	for i := range out {
		out[i] = strings.TrimRight(out[i], ".")
	}
	return slices.DeleteFunc(out, func(w string) bool { return w == "" })
}

// numbered is the number of a note in a list of them: "1. Tack before welding".
var numbered = regexp.MustCompile(`^\s*\d{1,2}[.)]\s+`)

// Has reports whether words of a list stand in a text.
func (b *Reader) Has(list string, words []string) (found string) {
	b.windows(list, words, func(text string, _ int) bool {
		if b.in(list, text) {
			found = text
		}
		return found != ""
	})
	return found
}

// MostShort is how many words a text has at most to be no sentence.
const MostShort = 4

// Otherwise is what words around the joints of a list may say of them that the rows do not:
// "" for nothing.
func (s *Said) Otherwise(text string) string {
	if s.tellsNothing(text) {
		return ""
	}
	return s.otherwise(text)
}

// otherwise asks about one thing after the other. What is added here has its lists in telling.
func (s *Said) otherwise(text string) string {
	b, words := s.b, s.b.withoutIdioms(Words(text))
	whole, pointing, things := b.Has("whole", words) != "", b.Has("pointing", words) != "", b.Has("things", words) != ""
	switch {
	case len(text) > Longest:
		return ""
	case b.repeats(words, len(words) <= MostShort || whole || pointing || things):
		return "say that joints are there more often than their rows say"
	case (len(words) <= MostShort || pointing || things) && b.Has("dropped", words)+b.Has("optional", words) != "":
		return "say that joints are not part of the order"
	case b.adds(text, words):
		return "say that joints are there more often than their rows say"
	case b.putsOn(text, words):
		return cmp.Or(s.Labelled(labelled(text)), "say that something is put on, or comes off")
	case b.notOursAround(words) || b.unmeant(words) || b.partly(text, func(x float64) bool { return false }):
		return "say that joints are not to be welded, or only partly"
	case b.onlySome(words):
		return "say that only some of them are meant"
	case b.spares(text, words):
		return "say that there are more joints than the rows give, as spares"
	case s.saysTube(text):
		return "name a joint that is not on the list"
	}
	if key := s.saysNumber(words, whole); key != "" {
		return "give another " + key + " than the rows have"
	}
	if says := s.Labelled(labelled(text)); says != "" {
		return says
	}
	if b.Inside(text) {
		return "say that sizes are not over the outside"
	}
	if b.notRound(text, words) {
		return saysNotRound
	}
	if b.OneSide(text) {
		return "say that joints are there on another side too"
	}
	if s.otherUnit(text) {
		return "say that sizes are in another unit than the list has them in"
	}
	if mark := s.newMark(words); mark != "" {
		return "name the joint " + mark + ", which is not on the list"
	}
	if mark := s.ofMark(text, words); mark != "" {
		return "change the joint " + mark
	}
	if n := s.otherCount(text, words); n != "" {
		return fmt.Sprintf("say that there are %s of something, of which the list has another number", n)
	}
	if alloy := s.saysAlloy(words); alloy != "" {
		return fmt.Sprintf("say that the metal is %s, which no row has", alloy)
	}
	if key := s.changes(words, s.listed()); key != "" {
		return "give another " + key + " than the rows have"
	}
	if key := s.OtherWord(words, s.listed().words); key != "" {
		return "give another " + key + " than the rows have"
	}
	if key := s.otherNamed(words); key != "" {
		return "give another " + key + " than the rows have"
	}
	if key := s.demands(words, s.all()); key != "" {
		return "give another " + key + " than some rows have"
	}
	if kind := b.Kind(words); kind != "" {
		all, some := whole && things, s.kinds[kind]
		if (pointing || b.Changed(words)) && !some || all && !(some && len(s.kinds) == 1) {
			return fmt.Sprintf("say that joints are of the kind %s, which rows do not", kind)
		}
	}
	return ""
}

// saysNotRound is what words say of a tube that the program takes for round.
const saysNotRound = "say that a tube is not round, as its size is taken to be"

func (b *Reader) notRound(text string, words []string) bool {
	return b.in("not round alone", text) || b.Has("not round", words) != ""
}

// repeats reports whether words say that there is more of something. One word of a
// sentence says so only where that is of joints.
func (b *Reader) repeats(words []string, ofJoints bool) bool {
	found := b.Has("repeat", words)
	if b.meaning("repeat", found) == "double" && slices.ContainsFunc(words, func(w string) bool { return b.in("done to sides", w) && b.InputOf(w) == "" }) {
		return false // "clean both ends twice"
	}
	return found != "" && (ofJoints || strings.Contains(found, " "))
}

// withoutIdioms are words without those that say another thing together: "mirror finish".
func (b *Reader) withoutIdioms(words []string) []string {
	for {
		from, to := -1, 0
		b.windows("idiom", words, func(text string, last int) bool {
			if b.in("idiom", text) {
				from, to = last-strings.Count(text, " "), last+1
			}
			return to > 0
		})
		if to == 0 {
			return words
		}
		words = slices.Delete(words, from, to)
	}
}

// Longest is the longest text that is asked about, in bytes: more is a letter.
const Longest = 200

// Kind is the kind of joint that words name, "" for none.
func (b *Reader) Kind(words []string) (kind string) {
	b.windows("kind", words, func(text string, _ int) bool {
		if b.OneOf("loose kind", text) == "" {
			kind = b.KindOf(text)
		}
		return kind != ""
	})
	return kind
}

// saysAlloy is an alloy that words name and no joint has, "" for none.
func (s *Said) saysAlloy(words []string) (alloy string) {
	s.b.windows("alloy", words, func(text string, last int) bool {
		name, _, err := s.b.Words.Read("alloy", text, nil)
		if err == nil && strings.ContainsAny(text, "0123456789") && len(text) > 3 && !s.alloys[name] {
			alloy = name
		}
		return alloy != ""
	})
	return alloy
}

// saysNumber is the name of an input that words give a number of, where the joints have
// another: "" for none. Where all are meant, all have to have it.
func (s *Said) saysNumber(words []string, whole bool) string {
	return s.otherNumber(s.b.linked(words), func(q *model.Quantity, x float64) bool {
		return s.hasNear(q, x) && !(whole && len(s.numbers[q.Key]) > 1)
	})
}

// hasNear reports whether a joint of the list has about such a number.
func (s *Said) hasNear(q *model.Quantity, x float64) bool {
	return s.listed().has(q, func(v float64) bool { return Near(v, x) })
}

// otherNumber is the name of the first input that words give a number of which is not
// had, "" for none.
func (s *Said) otherNumber(words []string, had func(q *model.Quantity, x float64) bool) string {
	if !slices.ContainsFunc(words, StartsNumber) {
		return ""
	}
	for i, w := range words {
		key, end := s.b.InputOf(w), i+1
		if key == "" && i+2 < len(words) && StartsNumber(words[i+2]) && !StartsNumber(words[i+1]) { // "pie angle 10"
			key, end = s.b.InputOf(w+" "+words[i+1]), i+2
		}
		head := strings.Join(words[i:end], " ")
		if desc, known := s.b.Headings.Column(key); known && desc.Takes == entry.TakesWords && i+1 < len(words) && StartsNumber(words[i+1]) { // "filler 1.2"
			if of := s.b.Quick.Recognise(w + " dia"); of.Exact {
				key, head = of.Key, w+" dia"
			}
		}
		at := slices.IndexFunc(s.cols, func(c joints.Column) bool { return c.Q.Key == key })
		if at < 0 || key == "qty" || s.cols[at].Reader == nil || s.cols[at].Q.IsText() || !mayBeSaid(key) && !s.b.Quick.Recognise(head).Exact {
			continue
		}
		if x, ok := s.numberBeside(words, i, end, at); ok && !had(s.cols[at].Q, x) {
			return s.cols[at].Q.Name()
		}
	}
	return ""
}

// InputOf is the input that a word is a heading of, "" for none. It is looked up once a
// word, as its beginning is.
func (b *Reader) InputOf(word string) string {
	if StartsNumber(word) {
		return ""
	}
	key, known := b.inputs[word]
	if !known {
		key = b.Quick.Recognise(word).Key
		if b.inputs == nil {
			b.inputs = map[string]string{}
		}
		keep(b.inputs, strings.Clone(word), key)
	}
	return key
}

// Near reports whether two sizes are the same but for rounding, as in another unit.
func Near(a, b float64) bool { return math.Abs(a-b) <= 0.02*math.Abs(a) }

// NamesKind reports whether a kind of joint is among the words of a text.
func (b *Reader) NamesKind(text string) bool {
	return slices.ContainsFunc(entry.WordsIn(text), func(w string) bool { return b.KindOf(w) != "" })
}

// KindOf is the kind of joint that a word means, also of several; "" for none.
func (b *Reader) KindOf(w string) string { return b.OneOf("kind", w) }

// OneOf is what a word means in a list of words, also of several things; "" for nothing.
func (b *Reader) OneOf(list, w string) string {
	if name := b.meaning(list, w); name != "" {
		return name
	}
	return b.meaning(list, strings.TrimSuffix(w, "s"))
}

// Nothing reports whether a word only fills its cell: a dash, n/a, none.
func Nothing(word string) bool {
	switch strings.ToLower(strings.Trim(word, "-–—./ ")) {
	case "", "n/a", "na", "none", "nil":
		return true
	}
	return false
}
