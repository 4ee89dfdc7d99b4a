package sayings

import (
	"slices"
	"strings"
	"unicode"

	"seamtally/compute/model"
	"seamtally/sheets/entry"
)

// word is what is known of a word that stands anywhere in a text. Texts have few different
// words, so each is looked up once, whatever is asked of it.
type word struct {
	begins entry.Lists // lists that have a spelling which begins so
	heads  bool        // a heading may begin so
	counts bool        // a figure of a line counts such things
	times  bool        // it is the sign of a number of things, or has it with its number
}

// known looks a word up.
func (b *Reader) known(w string) word {
	is, known := b.vocabulary[w]
	if !known {
		is = word{begins: b.Words.Begun(w), heads: b.Headings.MayBegin(w)}
		is.counts = slices.ContainsFunc(b.counts(), func(q *model.Quantity) bool { return named(q, w) })
		if bare := strings.TrimSuffix(strings.TrimPrefix(w, "x"), "x"); bare != w {
			_, number := b.Measures.WholeNumber(bare)
			is.times = number || bare == ""
		}
		if b.vocabulary == nil {
			b.vocabulary = map[string]word{}
		}
		keep(b.vocabulary, strings.Clone(w), is)
	}
	return is
}

// vocabularyOf is what is known of the words of a text together, as they are and as one of
// several, and what stands before the number in a word: "argon12".
func (b *Reader) vocabularyOf(words []string) (all word) {
	add := func(w string) {
		is := b.known(w)
		all.begins, all.heads = all.begins.Or(is.begins), all.heads || is.heads
		all.counts, all.times = all.counts || is.counts, all.times || is.times
	}
	for _, w := range words {
		add(w)
		if one := strings.TrimSuffix(w, "s"); one != w && one != "" {
			add(one)
		}
		if at := strings.IndexAny(w, "0123456789"); at > 0 {
			add(w[:at])
		}
	}
	return all
}

// begins reports whether a spelling of a list begins with a word. Only metals begin with a
// number.
func (b *Reader) begins(list, word string) bool {
	if StartsNumber(word) && list != "alloy" {
		return false
	}
	return b.known(strings.TrimSuffix(word, "s")).begins.Has(b.Words.Lists(list))
}

// mostKept bounds how many words are kept so. Where every row has words of its own, those
// that come again are soon among the next ones.
const mostKept = 5000

// keep keeps what a word was found to be.
func keep[K comparable, V any](of map[K]V, word K, is V) {
	if len(of) >= mostKept {
		clear(of)
	}
	of[word] = is
}

// meaning is what words mean in a list of words, "" for nothing. Texts have few different
// ones, so each is looked up once; what no spelling begins with is not sought among those
// that are near.
func (b *Reader) meaning(list, words string) string {
	if first, _, _ := strings.Cut(words, " "); first != "" && isPlain(first[0]) && !b.known(first).begins.Has(b.Words.Lists(list)) {
		return ""
	}
	key := [2]string{list, words}
	name, known := b.meanings[key]
	if known {
		return name
	}
	if b.Words.Begins(list, words) {
		name, _, _ = b.Words.Read(list, words, nil)
	}
	if b.meanings == nil {
		b.meanings = map[[2]string]string{}
	}
	keep(b.meanings, [2]string{list, strings.Clone(words)}, name)
	return name
}

// isPlain reports whether a letter or digit is a plain one, which stands in every spelling.
func isPlain(c byte) bool {
	return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
}

// telling are lists of words by what has to stand beside them for words to say anything of
// the joints that they are around.
type telling struct {
	said           []string // lists that are asked for words of theirs, alone or together
	lists          []entry.Lists
	alone          entry.Lists
	side, other    entry.Lists // one of each
	refers, issued entry.Lists // one of each
	who, doing     entry.Lists // one of each
	adding, added  entry.Lists // one of each, or a number
	kind, pointing entry.Lists // a kind, beside one that points or a size
	ofInput        entry.Lists // beside a heading
	many, count    entry.Lists // what is counted, beside a number or a word for one
	besideNumber   entry.Lists
	rated          entry.Lists // what a rate, or something off the price, is called
	asked          entry.Lists // metals that are asked about
}

func (b *Reader) telling() *telling {
	if b.tells == nil {
		of, asked := b.Words.Lists, b.Words.Asked("alloy")
		b.tells = &telling{
			alone: of("idiom", "size word", "not round alone", "fold").Or(asked),
			side:  of("opposite", "fold part"), other: of("likewise", "many"),
			refers: of("referring"), issued: of("issued"),
			who: of("not ours alone"), doing: of("doing"),
			adding: of("adding"), added: of("things", "counted", "kind", "opposite", "fold part"),
			kind: of("kind"), pointing: of("pointing"),
			many: of("counted", "counting"), count: of("count", "nth"),
			rated: of("discount", "assumption"), besideNumber: of("discount", "assumption", "to come"), asked: asked,
		}
		b.tells.said = append([]string{"repeat", "dropped", "optional", "not ours", "doubted", "only", "not round", "without", "demanding", "whole", "changed", "bigger"}, saidWords[:]...)
		for _, list := range b.tells.said {
			b.tells.lists = append(b.tells.lists, of(list))
		}
		for _, key := range [...]string{"colour", "setup"} {
			desc, _ := b.Headings.Column(key)
			b.tells.ofInput = b.tells.ofInput.Or(of(desc.List))
		}
	}
	return b.tells
}

// tellsNothing reports whether a text is soon seen to say nothing of the joints of a list: none
// of its words begins what something said of them has in it. Whatever [Said.Otherwise] comes to
// has words of a list, a size, a mark, a number of something, or one beside a heading.
func (s *Said) tellsNothing(text string) bool {
	b := s.b
	numbers := false
	for _, r := range text {
		switch {
		case '0' <= r && r <= '9':
			numbers = true
		case 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || r == ' ' || r == '\n' || r == '-' || r == '.' || r == ',' || r == '/' || r == '(' || r == ')':
		case r == 'ø' || r == 'Ø' || r < 0xc0 || r >= 0x250 || !unicode.IsLetter(r):
			return false // a sign may say something by itself
		}
	}
	words := Words(text)
	all, tells := b.vocabularyOf(words), b.telling()
	has := all.begins.Has
	counts := numbers || has(tells.count)
	switch {
	case has(tells.alone), all.times,
		has(tells.side) && has(tells.other),
		has(tells.refers) && has(tells.issued),
		has(tells.who) && has(tells.doing),
		has(tells.adding) && (has(tells.added) || numbers),
		has(tells.kind) && (has(tells.pointing) || Tube(text)),
		all.heads && has(tells.ofInput),
		counts && (all.counts || has(tells.many) && len(b.Numbers(text)) > 0),
		numbers && has(tells.besideNumber),
		numbers && slices.ContainsFunc(words, func(w string) bool { return s.marks[w] }):
		return false
	}
	for i, list := range tells.said {
		if has(tells.lists[i]) && b.Has(list, words) != "" {
			return false
		}
	}
	return !(numbers && all.heads) || s.saysNumber(words, false) == "" && s.Labelled(labelled(text)) == ""
}
