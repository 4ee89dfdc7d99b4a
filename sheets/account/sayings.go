package account

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/worksheet"
)

// Words above the joints, among them and below them may change what they are: "double
// all", "wall 0.065 throughout", "mirror", "rows below are deleted". Such words are read
// by nobody, so they are asked about. What says the same as the rows do is not.

// said are values that the joints of a list have, as far as words may name others.
type said struct {
	kinds, alloys map[string]bool
	numbers       map[int]map[float64]bool // by the column that is filled
}

// mostSaid bounds how many different values are kept of an input.
const mostSaid = 200

// mayBeSaid are the inputs whose numbers words around joints give.
func mayBeSaid(key string) bool { return key == "od" || key == "wall" || key == "passes" }

// keepSaid keeps what a priced joint is.
func (ac *account) keepSaid() {
	f := &ac.Line.Frame
	if ac.said.numbers == nil {
		ac.said = said{map[string]bool{}, map[string]bool{}, map[int]map[float64]bool{}}
		for i, c := range ac.Cols {
			if mayBeSaid(c.Q.Key) {
				ac.said.numbers[i] = map[float64]bool{}
			}
		}
	}
	ac.said.kinds[ac.b.Model.Line.Quantity("kind").Text(f)] = true
	for _, key := range [...]string{"alloy", "to_alloy"} {
		ac.said.alloys[ac.b.Model.Line.Quantity(key).Text(f)] = true
	}
	for i, values := range ac.said.numbers {
		if len(values) < mostSaid {
			values[ac.Cols[i].Q.Num(f)] = true
		}
	}
}

// windows are the words of a text, alone and up to four together, as far as a spelling of
// a list begins so, with where each ends.
func (b *Ledger) windows(list string, words []string, do func(text string, last int) bool) {
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

// begins reports whether a spelling of a list begins with a word. Lists have few different
// words, so each is looked up once; only metals begin with a number.
func (b *Ledger) begins(list, word string) bool {
	if startsNumber(word) && list != "alloy" {
		return false
	}
	key := list + " " + word
	is, known := b.beginnings[key]
	if known {
		return is
	}
	is = b.Words.Begins(list, strings.TrimSuffix(word, "s"))
	if b.beginnings == nil {
		b.beginnings = map[string]bool{}
	}
	if len(b.beginnings) < mostBeginnings {
		b.beginnings[strings.Clone(key)] = is
	}
	return is
}

// mostBeginnings bounds how many words are kept so.
const mostBeginnings = 5000

// plainWords are the words of a text as lists of words have them: a point that ends a
// sentence is none of a number's.
func plainWords(text string) []string {
	out := entry.WordsIn(text)
	for i := range out {
		out[i] = strings.TrimRight(out[i], ".")
	}
	return slices.DeleteFunc(out, func(w string) bool { return w == "" })
}

// has reports whether words of a list stand in a text.
func (b *Ledger) has(list string, words []string) (found string) {
	b.windows(list, words, func(text string, _ int) bool {
		if _, _, err := b.Words.Read(list, text, nil); err == nil {
			found = text
		}
		return found != ""
	})
	return found
}

// mostShort is how many words a text has at most to be no sentence.
const mostShort = 4

// says is what words around the joints of a list may say of them that the rows do not:
// "" for nothing.
func (ac *account) says(text string) string {
	b, words := ac.b, ac.b.withoutIdioms(plainWords(text))
	whole, pointing, things := b.has("whole", words) != "", b.has("pointing", words) != "", b.has("things", words) != ""
	switch {
	case len(text) > longestSaying:
		return ""
	case b.repeats(words, len(words) <= mostShort || whole || pointing || things):
		return "say that joints are there more often than their rows say"
	case (len(words) <= mostShort || pointing || things) && b.has("dropped", words)+b.has("optional", words) != "":
		return "say that joints are not part of the order"
	case ac.saysTube(text):
		return "name a joint that is not on the list"
	}
	if key := ac.saysNumber(words, whole); key != "" {
		return "give another " + key + " than the rows have"
	}
	if alloy := ac.saysAlloy(words); alloy != "" {
		return fmt.Sprintf("say that the metal is %s, which no row has", alloy)
	}
	if kind := b.saysKind(words); kind != "" {
		all, some := whole && things, ac.said.kinds[kind]
		if pointing && !some || all && !(some && len(ac.said.kinds) == 1) {
			return fmt.Sprintf("say that joints are of the kind %s, which rows do not", kind)
		}
	}
	return ""
}

// repeats reports whether words say that there is more of something. One word of a
// sentence says so only where that is of joints.
func (b *Ledger) repeats(words []string, ofJoints bool) bool {
	found := b.has("repeat", words)
	return found != "" && (ofJoints || strings.Contains(found, " "))
}

// withoutIdioms are words without those that say another thing together: "mirror finish".
func (b *Ledger) withoutIdioms(words []string) []string {
	for {
		from, to := -1, 0
		b.windows("idiom", words, func(text string, last int) bool {
			if _, _, err := b.Words.Read("idiom", text, nil); err == nil {
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

// longestSaying is the longest text that is asked about, in bytes: more is a letter.
const longestSaying = 200

// saysTube reports whether a text tells of a joint of its own: a size beside a kind or
// pieces.
func (ac *account) saysTube(text string) bool {
	if !tubeInWords(text) {
		return false
	}
	return ac.b.saysKind(plainWords(text)) != ""
}

// saysKind is the kind of joint that words name, "" for none.
func (b *Ledger) saysKind(words []string) (kind string) {
	b.windows("kind", words, func(text string, _ int) bool {
		if b.oneOf("loose kind", text) == "" {
			kind = b.kindOf(text)
		}
		return kind != ""
	})
	return kind
}

// saysAlloy is an alloy that words name and no joint has, "" for none.
func (ac *account) saysAlloy(words []string) (alloy string) {
	ac.b.windows("alloy", words, func(text string, last int) bool {
		name, _, err := ac.b.Words.Read("alloy", text, nil)
		if err == nil && strings.ContainsAny(text, "0123456789") && len(text) > 3 && !ac.said.alloys[name] {
			alloy = name
		}
		return alloy != ""
	})
	return alloy
}

// saysNumber is the name of an input that words give a number of, where the joints have
// another: "" for none. Where all are meant, all have to have it.
func (ac *account) saysNumber(words []string, whole bool) string {
	return ac.otherNumber(words, func(at int, x float64) bool {
		has := false
		for v := range ac.said.numbers[at] {
			has = has || near(v, x)
		}
		return has && !(whole && len(ac.said.numbers[at]) > 1)
	})
}

// otherNumber is the name of the first input that words give a number of which is not
// had, "" for none.
func (ac *account) otherNumber(words []string, had func(at int, x float64) bool) string {
	if !slices.ContainsFunc(words, startsNumber) {
		return ""
	}
	for i, w := range words {
		key := ac.b.inputOf(w)
		at := slices.IndexFunc(ac.Cols, func(c joints.Column) bool { return c.Q.Key == key })
		if !mayBeSaid(key) || at < 0 || ac.Cols[at].Reader == nil {
			continue
		}
		if x, ok := ac.numberBeside(words, i, at); ok && !had(at, x) {
			return ac.Cols[at].Q.Name()
		}
	}
	return ""
}

// inputOf is the input that a word is a heading of, "" for none. It is looked up once a
// word, as its beginning is.
func (b *Ledger) inputOf(word string) string {
	if startsNumber(word) {
		return ""
	}
	key, known := b.inputs[word]
	if !known {
		key = b.Quick.Recognise(word).Key
		if b.inputs == nil {
			b.inputs = map[string]string{}
		}
		if len(b.inputs) < mostBeginnings {
			b.inputs[strings.Clone(word)] = key
		}
	}
	return key
}

// numberBeside reads the number of an input beside a word of a text, with the unit that
// may stand behind it.
func (ac *account) numberBeside(words []string, i, at int) (x float64, ok bool) {
	for _, from := range [...]int{i + 1, i - 1, i - 2} {
		if from < 0 || from >= len(words) || !startsNumber(words[from]) {
			continue
		}
		for _, to := range [...]int{min(from+2, len(words)), from + 1} {
			got, err := ac.b.Measures.Quantity(strings.Join(words[from:to], " "), ac.Cols[at].Reader.Want)
			if err == nil && !got.PerOD {
				return got.Value, true
			}
		}
	}
	return 0, false
}

// near reports whether two sizes are the same but for rounding, as in another unit.
func near(a, b float64) bool { return math.Abs(a-b) <= 0.02*math.Abs(a) }

// besideSaid is what words in a column beside the joints say that their rows do not.
type besideSaid struct {
	cell, text, what, rule, fix string
	more                        int
}

// besideJoint looks for words beside a joint that say its kind or its pieces, where the
// row says none, or another wall: "pie cut" under Remarks, "pair" under Hand.
func (ac *account) besideJoint(r *worksheet.Row) {
	for i := range r.Cells {
		c := &r.Cells[i]
		key := ac.Keys[c.Col]
		if c.Kind != worksheet.Text || ac.OurCell(c.Col) || key != "" && key != "mark" && key != "section" || len(c.Text) > longestSaying {
			continue
		}
		text := strings.TrimSpace(c.Text)
		s := ac.beside(text, key)
		if s.what == "" || ac.meantSo(c.Col, key) || key == "" && s.rule != "pair" && ac.b.settledOwn(ac.L, book.OfAll) {
			continue
		}
		if was, has := ac.besides[c.Col]; has {
			was.more++
			continue
		}
		if ac.besides == nil {
			ac.besides = map[int]*besideSaid{}
		}
		s.cell, s.text = ac.L.Ref(r.Num, c.Col), strings.Clone(text)
		ac.besides[c.Col] = &s
	}
}

// beside is what a text beside a joint says.
func (ac *account) beside(text, key string) (s besideSaid) {
	b, words := ac.b, plainWords(text)
	kindAt := slices.IndexFunc(ac.Cols, func(c joints.Column) bool { return c.Q.Key == "kind" })
	taken, given := b.Model.Line.Quantity("kind").Text(&ac.Line.Frame), joints.Filled(ac.Inputs[kindAt])
	kind := b.saysKind(words)
	if s := ac.contradicts(text); s.what != "" {
		return s
	}
	if key == "" {
		if !joints.Filled(ac.Inputs[ac.qtyAt]) && b.has("pair", words) != "" {
			return besideSaid{what: "speaks of a pair, and the row gives no number of pieces", rule: "pair", fix: `give each row its number under "Qty per car"`}
		}
		other := ac.otherNumber(words, func(at int, x float64) bool { return near(ac.Cols[at].Q.Num(&ac.Line.Frame), x) })
		if other != "" {
			return besideSaid{what: "may give another " + other + " than the row has", rule: "number beside", fix: "write in the row what is meant"}
		}
	}
	switch {
	case kind == "" || kind == taken || !given && b.names(words, taken):
	case !given:
		s = besideSaid{what: fmt.Sprintf("names the kind %s, and the row gives none: %s is taken", kind, taken), rule: "kind beside", fix: `write it under "Kind"`}
		if _, has := ac.L.Shop["kind"]; !has && key == "" {
			s.fix = `head a column "Kind" and write it there`
		}
	case key == "" && strings.EqualFold(strings.Join(slices.DeleteFunc(words, startsNumber), " "), kind): // "pie cut 90"
		s = besideSaid{what: fmt.Sprintf("is another kind than the row gives: %s is taken", taken), rule: "kind beside", fix: fmt.Sprintf("write the one that is meant under %q", ac.L.Shop["kind"].Head)}
	}
	return s
}

// tellBesides tells of the columns with such words that are not asked about already.
func (ac *account) tellBesides() {
	for _, col := range slices.Sorted(maps.Keys(ac.besides)) {
		s, as := ac.besides[col], ac.Keys[col]
		if ac.open[col] {
			continue
		}
		if as == "" {
			as = joints.OwnWord
		}
		what := fmt.Sprintf("%q beside the joint %s", s.text, s.what)
		if s.more > 0 {
			what += fmt.Sprintf(" (so do other words of the column, on %d more rows)", s.more)
		}
		ac.b.unsettled(book.CheckInputs, s.rule, s.cell, what, s.fix+"; if none is meant, say what the column is: "+joints.SettleAs(ac.L.ColumnName(col), as))
	}
}

// names reports whether a kind is among the words of a text.
func (b *Ledger) names(words []string, kind string) (is bool) {
	b.windows("kind", words, func(text string, _ int) bool {
		is = b.kindOf(text) == kind
		return is
	})
	return is
}

// tellSayings tells of words around the joints that say something of them.
func (ac *account) tellSayings() {
	for i := range ac.titles {
		t := &ac.titles[i]
		t.told = t.words != "" && ac.tellSaying(t, "among")
	}
	for _, a := range ac.asides {
		if slices.ContainsFunc(ac.titles, func(t titleRow) bool { return t.row == a.row && t.words != "" }) {
			continue
		}
		for _, c := range a.cells {
			if c.text != "" {
				ac.tellSaying(&titleRow{row: a.row, col: c.col, words: c.text}, map[bool]string{true: "below", false: "above"}[a.below])
			}
		}
	}
}

// tellSaying tells of one such text, and says whether there is something to tell.
func (ac *account) tellSaying(t *titleRow, where string) bool {
	what := ac.says(t.words)
	if what == "" && where != "above" && !t.leads && t.row > ac.firstJoint && ac.L.Shop["car"].Col == 0 && ac.namesOtherCar(t.words) {
		what = "be the name of a car"
	}
	if what == "" {
		return false
	}
	if where == "among" && t.row > ac.lastJoint {
		where = "below"
	}
	if !ac.b.settledTitle(ac.L, t) {
		ac.b.unsettled(book.CheckInputs, "words "+where, ac.L.Ref(t.row, t.col),
			fmt.Sprintf("%q stands %s the joints, and may %s; it is not read", t.words, where, what),
			"write what it says in the rows that it is about; if it says nothing of them: "+settleTitles(ac.L, []*titleRow{t}))
	}
	return true
}

// namesOtherCar reports whether words are those of a car, and not of the list's own.
func (ac *account) namesOtherCar(words string) bool {
	_, own := ac.cars[strings.ToLower(words)]
	return !own && (ac.b.Cars.Entry(words) != nil || ac.b.listedCar(words))
}
