package traveller

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"seamtally/compute"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/plain"
	"seamtally/templates"
)

// ownColumns knows what kind of the shop's own a column is, by its heading.
type ownColumns struct {
	headings *entry.Headings
	known    map[columnAt]string
}

type columnAt struct{ list, col int }

func newOwnColumns() (*ownColumns, error) {
	h, err := entry.LoadHeadings(templates.FS)
	if err != nil {
		return nil, err
	}
	return &ownColumns{h.WithoutNearest(), map[columnAt]string{}}, nil
}

// kind is the word that stands for columns of that kind, "" for one that is no such.
func (o *ownColumns) kind(l *joints.List, col int) string {
	at := columnAt{l.No, col}
	kind, seen := o.known[at]
	if !seen {
		kind = o.headings.Recognise(l.Heads[col]).OwnAs
		for _, c := range l.Shop {
			if c.Col == col {
				kind = "" // the shop has settled it as an input
			}
		}
		o.known[at] = kind
	}
	return kind
}

// ownWords are the shop's own of one kind on a row, and the first cell of them.
type ownWords struct{ text, cell string }

func (o *ownWords) add(text, cell string) {
	if o.text == "" {
		o.text, o.cell = text, cell
		return
	}
	o.text += "; " + text
}

// loneCode is one word, as drawings are numbered: a letter behind its digits is that of
// a revision, and no ampere.
var loneCode = regexp.MustCompile(`^[\pL\d][\pL\d./_-]*\d[ams]?$`)

// tellingDrawing reports whether a bench would read a setting off a drawing's number.
func tellingDrawing(text string) bool {
	return telling.MatchString(text) && !loneCode.MatchString(strings.ToLower(text))
}

// Numbers that a note may hold: a size or an angle with its unit, and a code that begins
// with letters ("M6", "Ti-6Al-4V"). "in" is a unit behind a fraction, or where nothing
// follows that it could be a word before.
var (
	noteSizes = regexp.MustCompile(`(?i)[ø⌀]?\s?\d+(?:[.,]\d+)?(?:\s?[x×/-]\s?\d+(?:[.,]\d+)?)*\s?(?:mm|"|″|''|°|deg|degrees|inch|inches|in(?:[.,;)]|$))|\d+/\d+\s?in(?:[^\pL\d/]|$)`)
	noteCodes = regexp.MustCompile(`(?:^|[^\pL\d])\pL{1,4}-?\d[\pL\d-]*`)
)

// codesOf are the marks of an order that have a letter in them, in small letters.
func codesOf(all []compute.Joint) map[string]bool {
	out := map[string]bool{}
	for _, j := range all {
		if mark := strings.ToLower(j.Mark); strings.ContainsFunc(mark, unicode.IsLetter) {
			out[mark] = true
		}
	}
	return out
}

// tellingNote reports whether a bench could read a setting or an estimate off a note: it
// names one, or has a number that is no size, no angle and no mark. The line between the
// two is drawn so that nothing is guessed of a number that stands alone.
func (w *words) tellingNote(text string, marks map[string]bool) bool {
	text = strings.ToLower(text)
	said := func(word string) bool { return slices.Contains(w.unsaid, word) }
	if telling.MatchString(text) || slices.ContainsFunc(entry.WordsIn(text), said) {
		return true
	}
	words := strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(",;:()", r) })
	for _, word := range words {
		if marks[word] {
			text = strings.ReplaceAll(text, word, " ")
		}
	}
	text = noteSizes.ReplaceAllString(text, " ")
	text = noteCodes.ReplaceAllString(text, " ")
	return strings.ContainsFunc(text, func(r rune) bool { return r >= '0' && r <= '9' })
}

// noted is the note that stands below a joint, "" for none: it is asked for, tells of no
// estimate, and does not stand there already as the reason of a blue limit.
func (r *Report) noted(s *sayer, why string, marks map[string]bool, asked bool) string {
	note := s.own.note
	switch {
	case note.text == "" || plain.Clipped(note.text, 2*longest) == why:
		return ""
	case !asked:
		r.Unasked++
		return ""
	case s.words.tellingNote(note.text, marks):
		r.Unsaid = append(r.Unsaid, Place{s.j.Name(), note.cell, note.text})
		return ""
	}
	return plain.Clipped(note.text, 2*longest)
}
