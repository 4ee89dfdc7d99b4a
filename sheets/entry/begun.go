package entry

import (
	"cmp"
	"slices"
	"strings"
)

// Lists are some of the lists of words, a bit for each, and one more for the spellings of it
// that are questioned.
type Lists [mostLists / 64]uint64

const mostLists = 192

// Has reports whether lists have one of others among them.
func (l Lists) Has(other Lists) bool {
	return l[0]&other[0]|l[1]&other[1]|l[2]&other[2] != 0
}

// Or are both together.
func (l Lists) Or(other Lists) Lists {
	return Lists{l[0] | other[0], l[1] | other[1], l[2] | other[2]}
}

func bit(no int) (l Lists) {
	l[no/64] = 1 << (no % 64)
	return l
}

// Lists are those of some names; one that is not known is none.
func (w *Words) Lists(names ...string) (l Lists) {
	for _, name := range names {
		if of := w.lists[name]; of != nil {
			l = l.Or(bit(of.no))
		}
	}
	return l
}

// Asked stands for the spellings of a list that are questioned.
func (w *Words) Asked(list string) (l Lists) {
	if of := w.lists[list]; of != nil {
		l = bit(of.no + 1)
	}
	return l
}

// begun is a spelling, and the lists that have it.
type begun struct {
	form string
	of   Lists
}

func (w *Words) allBegun() (out []begun) {
	for _, l := range w.lists {
		for _, s := range l.spellings {
			out = append(out, begun{s, bit(l.no)})
		}
		for s := range l.questions {
			out = append(out, begun{s, bit(l.no + 1)})
		}
	}
	slices.SortFunc(out, func(a, b begun) int { return cmp.Compare(a.form, b.form) })
	return out
}

// Begun are the lists of which a spelling begins with a text.
func (w *Words) Begun(text string) (l Lists) {
	form := text
	for i := range len(text) {
		if !isPlainWord(text[i]) {
			form = spelling(text)
			break
		}
	}
	if form == "" {
		return l
	}
	at, _ := slices.BinarySearchFunc(w.begun, form, func(b begun, form string) int { return cmp.Compare(b.form, form) })
	for ; at < len(w.begun) && strings.HasPrefix(w.begun[at].form, form); at++ {
		l = l.Or(w.begun[at].of)
	}
	return l
}

// MayBegin reports whether the heading of an input may begin with a word, or with a unit that
// is one.
func (h *Headings) MayBegin(word string) bool {
	var room [128]byte
	token, _, _, ok := plainToken(word, 0, room[:0])
	if !ok || token == nil {
		return !ok
	}
	if h.measures.forms.with(token) {
		return true
	}
	if one, is := h.same[string(token)]; is {
		token = append(room[:0], one...)
	}
	return h.inputs.with(token)
}
