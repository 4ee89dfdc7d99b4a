package entry

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// Words knows the words that a cell may hold. It is safe for use by several
// goroutines at once.
type Words struct {
	lists map[string]*wordList
	begun []begun // all spellings, in order
}

type wordList struct {
	no        int               // its bit in Lists
	words     []string          // canonical, in file order
	canonical map[string]string // by compared form
	questions map[string]string // by compared form
	spellings []string          // compared forms that mean a word, in file order
}

// Unknown says that a word is not in its list, or is questioned.
type Unknown struct {
	List     string
	Raw      string
	Nearest  string   // the word to suggest, or ""
	Question string   // why a known spelling is not taken as it stands, and what to do
	Choices  []string // all words of the list
}

func (e *Unknown) Error() string {
	what := e.List + " is text " + quoted(e.Raw)
	switch {
	case e.Question != "":
		return what + ". " + e.Question
	case e.Nearest != "":
		return fmt.Sprintf("%s, which is not known; write %q, if that is meant", what, e.Nearest)
	case len(e.Choices) == 0:
		return what + ", which is not known; add it to its table"
	}
	return what + `, which is not known; write one of "` + strings.Join(e.Choices, `", "`) + `"`
}

// LoadWords reads words.txt in fsys. An error names the file and line: a
// spelling with two meanings, a field that is not known.
func LoadWords(fsys fs.FS) (*Words, error) {
	fields, err := readFields(fsys, wordsFile)
	if err != nil {
		return nil, err
	}
	w := &Words{lists: map[string]*wordList{}}
	var list *wordList
	lists, word := 0, ""
	for i, f := range fields {
		switch {
		case f.name == "list":
			list = &wordList{no: lists, canonical: map[string]string{}, questions: map[string]string{}}
			if lists += 2; lists > mostLists {
				return nil, f.fault("there are more than %d lists; raise mostLists", mostLists/2)
			}
			w.lists[f.text] = list
			word = ""
		case f.name == "unit" || f.name == "gauge":
			list = nil
		case list == nil && f.name == "also":
		case list == nil:
			return nil, f.fault("%s stands outside a list; see the top of the file", f.name)
		case f.name == "word":
			word = f.text
			list.words = append(list.words, word)
			err = list.add(f, []string{word}, word)
		case f.name == "also" && word != "":
			err = list.add(f, f.list(), word)
		case f.name == "ask" && i+1 < len(fields) && fields[i+1].name == "because":
			err = list.ask(f, fields[i+1].text)
			word = ""
		case f.name == "because":
		default:
			err = f.fault("%s does not fit here; see the top of the file", f.name)
		}
		if err != nil {
			return nil, err
		}
	}
	w.begun = w.allBegun()
	return w, nil
}

func (l *wordList) add(f field, items []string, word string) error {
	for _, item := range items {
		s := spelling(item)
		if old, taken := l.canonical[s]; taken && old != word {
			return f.fault("%q is already a spelling of %q; keep one", item, old)
		}
		if _, taken := l.canonical[s]; !taken {
			l.spellings = append(l.spellings, s)
		}
		l.canonical[s] = word
	}
	return nil
}

func (l *wordList) ask(f field, question string) error {
	for _, item := range f.list() {
		s := spelling(item)
		if old, taken := l.canonical[s]; taken {
			return f.fault("%q is already a spelling of %q; keep one", item, old)
		}
		l.questions[s] = question
	}
	return nil
}

// List gives the canonical words of a list, in their order; nil for a list
// that is not known.
func (w *Words) List(list string) []string {
	l, ok := w.lists[list]
	if !ok {
		return nil
	}
	return slices.Clone(l.words)
}

// Begins reports whether a spelling of a list begins with a text. Spellings that are
// questioned do not count.
func (w *Words) Begins(list, text string) bool {
	l, form := w.lists[list], spelling(text)
	return l != nil && form != "" && slices.ContainsFunc(l.spellings, func(s string) bool { return strings.HasPrefix(s, form) })
}

// longestWord bounds the text of a word, in bytes; a longer one is a note.
const longestWord = 250

// Read finds the word of a list that raw spells. The names of extra, which the
// shop added to the list's own table, count as words too, and go first.
// Canonical is the word as the list or the shop writes it; exact tells that
// raw is that word but for its case, so that a spreadsheet's comparison finds
// it. The error is an *Unknown. A list that is not known has the words of
// extra only.
func (w *Words) Read(list, raw string, extra []string) (canonical string, exact bool, err error) {
	l, ok := w.lists[list]
	if !ok {
		l = &wordList{}
	}
	for _, name := range slices.Concat(extra, l.words) {
		if strings.EqualFold(raw, name) {
			return name, true, nil
		}
	}
	unknown := &Unknown{List: list, Raw: raw, Choices: distinct(slices.Concat(l.words, extra))}
	if len(raw) > longestWord {
		return "", false, unknown
	}
	// A leading apostrophe marks a text where one is typed or exported.
	form := spelling(strings.TrimPrefix(strings.TrimSpace(plainSigns(raw)), "'"))
	if form == "" {
		return "", false, unknown
	}
	switch own := alike(form, extra); {
	case len(own) == 1:
		return own[0], false, nil
	case len(own) > 1:
		unknown.Question = fmt.Sprintf("%q and %q are both meant by it; write the one exactly", own[0], own[1])
		return "", false, unknown
	}
	if word, ok := l.canonical[form]; ok {
		return word, false, nil
	}
	unknown.Question = l.questions[form]
	if unknown.Question == "" {
		unknown.Nearest = l.nearest(form, extra)
	}
	return "", false, unknown
}

// alike lists the names that have the compared form, each once.
func alike(form string, names []string) []string {
	var found []string
	for _, name := range distinct(names) {
		if spelling(name) == form {
			found = append(found, name)
		}
	}
	return found
}

// distinct is names without those that differ from an earlier one by case
// only.
func distinct(names []string) []string {
	var kept []string
	for _, name := range names {
		same := func(other string) bool { return strings.EqualFold(name, other) }
		if !slices.ContainsFunc(kept, same) {
			kept = append(kept, name)
		}
	}
	return kept
}

// nearest is the word or name whose spelling is nearest to form, or "".
func (l *wordList) nearest(form string, extra []string) string {
	known := slices.Clone(l.spellings)
	for _, name := range extra {
		known = append(known, spelling(name))
	}
	i := nearest(form, known)
	switch {
	case i < 0:
		return ""
	case i < len(l.spellings):
		return l.canonical[known[i]]
	}
	return extra[i-len(l.spellings)]
}
