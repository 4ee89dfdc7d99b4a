package entry

import (
	"fmt"
	"io/fs"
	"slices"

	"seamtally/compute/units"
)

// headingsFile holds the spellings of headings.
const headingsFile = "headings.txt"

// Takes says what the cells under a heading hold.
type Takes string

// What the cells under a heading may hold.
const (
	TakesLength Takes = "length" // a quantity
	TakesAngle  Takes = "angle"  // a quantity
	TakesTime   Takes = "time"   // a quantity
	TakesCount  Takes = "count"  // a plain number
	TakesMoney  Takes = "money"  // a quantity
	TakesText   Takes = "text"   // anything
	TakesWords  Takes = "words"  // one of a list
)

// unit is one unit of what a key takes, to compare dimensions with; ok is
// false where a unit makes no sense.
func (t Takes) unit() (u units.Unit, ok bool) {
	text := ""
	switch t {
	case TakesLength:
		text = "mm"
	case TakesAngle:
		text = "°"
	case TakesTime:
		text = "min"
	case TakesMoney:
		text = "$"
	case TakesCount:
	default:
		return u, false
	}
	u, err := units.Parse(text)
	return u, err == nil
}

// UnitsUsed are the units, of either system, that shops write quantities of a kind in
// without a word: a length in mm or in inches.
func (t Takes) UnitsUsed() (out []units.Unit) {
	if u, ok := t.unit(); ok {
		out = append(out, u)
	}
	if inch, err := units.Parse("in"); err == nil && t == TakesLength {
		out = append(out, inch)
	}
	return out
}

// Column describes what one key's column holds.
type Column struct {
	Key      string
	Head     string // the heading to suggest
	Table    string // "lines", or "cars" for the list of cars ordered
	Takes    Takes
	List     string // where it takes words: the list that they are of ("alloy" for to_alloy)
	Round    bool   // a diameter sign may stand before the quantity
	Gauge    bool   // a wall gauge may stand for the quantity
	Relative bool   // may be a multiple of the diameter, "1.5D"
}

// meaning is what one spelling stands for: a key, a question, or a column that
// lists have and no price comes of.
type meaning struct {
	key      string
	question string
	loose    bool
	own      bool
	ownAs    string // the first word of its line, which stands for the kind
	bare     string // the question that is asked where no unit stands beside it
	divides  bool   // the question is asked of words, where rows differ in them
}

// Headings knows the headings of the lists. It is safe for use by several
// goroutines at once.
type Headings struct {
	measures  *Measures
	columns   []Column
	same      map[string]string  // a word to the one that stands for it
	sameWords []string           // the words of same, in file order
	meanings  map[string]meaning // by compared form
	groups    map[string]bool    // rows above the headings that change nothing
	apart     map[string]bool    // words of what no input is
	otherwise map[string]bool    // words that say that an input is otherwise, or was
	called    map[string]bool    // the words of spellings that mean an input, or are questioned
	spellings []string           // compared forms that mean a key, in file order
	forms     beginnings         // of meanings
	inputs    beginnings         // those of them that mean a key
	seen      *seen              // nil: every text is read anew
}

// LoadHeadings reads headings.txt, and the units of words.txt, in fsys. An
// error names the file and line: a spelling with two meanings, a field that
// is not known.
func LoadHeadings(fsys fs.FS) (*Headings, error) {
	measures, err := LoadMeasures(fsys)
	if err != nil {
		return nil, err
	}
	fields, err := readFields(fsys, headingsFile)
	if err != nil {
		return nil, err
	}
	h := &Headings{
		measures:  measures,
		same:      map[string]string{},
		meanings:  map[string]meaning{},
		groups:    map[string]bool{},
		apart:     map[string]bool{},
		otherwise: map[string]bool{},
		called:    map[string]bool{},
	}
	// Words that mean the same come first, wherever they stand in the file:
	// every other spelling is read through them.
	for _, f := range fields {
		if f.name == "same" {
			h.addSame(f)
		}
	}
	for i, f := range fields {
		if err := h.add(f, fields[i+1:]); err != nil {
			return nil, err
		}
	}
	for i, c := range h.columns {
		if c.Head == "" || c.Takes == "" {
			return nil, fmt.Errorf("%s: key %s has no head or takes; write both", headingsFile, c.Key)
		}
		if c.Takes == TakesWords && c.List == "" {
			h.columns[i].List = c.Key
		}
	}
	h.forms = beginningsOf(h.meanings)
	h.inputs = beginnings(slices.Sorted(slices.Values(h.spellings)))
	return h, nil
}

func (h *Headings) addSame(f field) {
	words := f.list()
	for _, w := range words {
		h.sameWords = append(h.sameWords, cleanWords(w))
		h.same[cleanWords(w)] = cleanWords(words[0])
	}
}

// words takes in the words of a field, one by one.
func (f field) words(into map[string]bool) error {
	for _, word := range f.list() {
		list := tokens(cleanWords(word))
		if len(list) != 1 {
			return f.fault("%q is more than one word; write each of them", word)
		}
		into[list[0].text] = true
	}
	return nil
}

// add takes in one field; after holds the fields behind it.
func (h *Headings) add(f field, after []field) error {
	switch f.name {
	case "same":
		return nil
	case "group":
		for _, g := range f.list() {
			h.groups[h.form(tokens(cleanWords(g)), false)] = true
		}
		return nil
	case "apart":
		return f.words(h.apart)
	case "otherwise":
		return f.words(h.otherwise)
	case "key":
		h.columns = append(h.columns, Column{Key: f.text, Table: "lines"})
		return nil
	case "own":
		return h.addSpellings(f, meaning{own: true, ownAs: f.list()[0]})
	case "ask", "divides":
		if len(after) == 0 || after[0].name != "because" {
			return f.fault("a spelling is questioned without a question; add a because line below")
		}
		return h.addSpellings(f, meaning{question: after[0].text, divides: f.name == "divides"})
	case "because":
		return nil
	}
	if len(h.columns) == 0 {
		return f.fault("%s stands before the first key; move it below one", f.name)
	}
	return h.addColumnField(f, &h.columns[len(h.columns)-1])
}

func (h *Headings) addColumnField(f field, c *Column) error {
	switch f.name {
	case "head":
		c.Head = f.text
		return h.addSpellings(f, meaning{key: c.Key})
	case "table":
		c.Table = f.text
	case "list":
		c.List = f.text
	case "takes":
		c.Takes = Takes(f.text)
		switch c.Takes {
		case TakesLength, TakesAngle, TakesTime, TakesCount, TakesMoney, TakesText, TakesWords:
		default:
			return f.fault("a column cannot take %q; write length, angle, count, money, text or words", f.text)
		}
	case "forms":
		for _, form := range f.list() {
			switch form {
			case "round":
				c.Round = true
			case "gauge":
				c.Gauge = true
			case "od":
				c.Relative = true
			default:
				return f.fault("no quantity is written in the form %q; write round, gauge or od", form)
			}
		}
	case "also":
		return h.addSpellings(f, meaning{key: c.Key})
	case "measured":
		return h.addSpellings(f, meaning{key: c.Key, bare: fmt.Sprintf("It may be a %s or a rating; if it is a %[1]s, write its unit in the heading", c.Takes)})
	case "loose":
		return h.addSpellings(f, meaning{key: c.Key, loose: true})
	default:
		return f.fault("%q is no field; see the top of the file", f.name)
	}
	return nil
}

func (h *Headings) addSpellings(f field, m meaning) error {
	for _, item := range f.list() {
		list := tokens(cleanWords(item))
		if !m.own {
			h.callAfter(list)
		}
		form := h.form(list, false)
		old, taken := h.meanings[form]
		if taken && (old.key != m.key || old.question != m.question || old.own != m.own) {
			return f.fault("%q is already a spelling of %s; keep one", item, old.name())
		}
		if taken {
			continue
		}
		h.meanings[form] = m
		if m.key != "" {
			h.spellings = append(h.spellings, form)
		}
	}
	return nil
}

func (m meaning) name() string {
	if m.own {
		return "a column of the shop's own"
	}
	if m.key == "" {
		return "a question (" + m.question + ")"
	}
	return "the key " + m.key
}

// form is the compared form of a heading: its words, each replaced by the one
// that stands for it, without spaces.
func (h *Headings) form(list []token, per bool) string {
	changed := make([]token, len(list))
	for i, t := range list {
		if one, ok := h.same[t.text]; ok {
			t.text = one
		}
		changed[i] = t
	}
	return compact(changed, per)
}

// WithoutNearest is the same headings, but a Match suggests none for one that
// is not known, which takes most of the time; and what was read a moment ago is known
// still: rows are read alone, and with those above and below them.
func (h *Headings) WithoutNearest() *Headings {
	quick := *h
	quick.spellings, quick.sameWords, quick.seen = nil, nil, &seen{matches: map[string]Match{}}
	return &quick
}

// Columns lists what every key's column holds, in the order of the file. The
// caller may keep and change it.
func (h *Headings) Columns() []Column {
	return append([]Column(nil), h.columns...)
}

// Column gives what the column of key holds; ok is false for a key that no
// list has.
func (h *Headings) Column(key string) (c Column, ok bool) {
	for _, c := range h.columns {
		if c.Key == key {
			return c, true
		}
	}
	return Column{}, false
}

// head is the heading to suggest for a key, "" for none.
func (h *Headings) head(key string) string {
	c, _ := h.Column(key)
	return c.Head
}
