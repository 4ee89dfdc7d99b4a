package account

import (
	"iter"
	"strings"

	"seamtally/sheets/elsewhere"
	"seamtally/sheets/entry"
	"seamtally/sheets/part/worksheet"
	"seamtally/sheets/sayings"
)

// elsewhere has the lists looked for on sheets that are not read.
func (b *Ledger) elsewhere() *elsewhere.Workbook {
	lists := make([]elsewhere.List, len(b.accounts))
	for i, ac := range b.accounts {
		lists[i] = listRead{ac, ac.placesInStrays()}
	}
	return elsewhere.Of(b.texts, lists)
}

// listRead is a list as sheets beside it may speak of it.
type listRead struct {
	ac     *account
	places []*stray
}

// placesInStrays are the columns that are not read, and may give places, as of assemblies.
func (ac *account) placesInStrays() (out []*stray) {
	for _, s := range ac.strays {
		if s != nil && !s.own {
			out = append(out, s)
		}
	}
	return out
}

func (l listRead) Title() string         { return l.ac.L.Title }
func (l listRead) Reads(key string) bool { return l.ac.L.Shop[key].Col > 0 }

func (l listRead) Marks() iter.Seq[string] {
	return func(yield func(string) bool) {
		for key := range l.ac.seen {
			if mark, _, _ := strings.Cut(key, "\x00"); !yield(mark) {
				return
			}
		}
	}
}

func (l listRead) Pieces(mark string) (float64, bool) {
	n, has := l.ac.pieces[mark]
	return n, has
}

func (l listRead) HasPlace(text string) bool {
	text = strings.TrimSpace(text)
	if l.ac.places[strings.ToLower(text)] {
		return true
	}
	for _, s := range l.places {
		if s.texts[text] > 0 && !sayings.Nothing(text) && l.ac.b.texts.OneOf("yes", text) == "" {
			return true
		}
	}
	return false
}

func (l listRead) Otherwise(text string) bool { return l.ac.said.Otherwise(text) != "" }

func (l listRead) Column(heading entry.Match) elsewhere.Column {
	s := newStray()
	s.heading = heading
	return &columnElsewhere{l.ac, s}
}

// columnElsewhere is a column of another sheet, looked at as one beside the joints.
type columnElsewhere struct {
	ac *account
	*stray
}

func (c *columnElsewhere) Look(r *worksheet.Row, cell *worksheet.Cell) {
	c.ac.lookAt(c.stray, r, cell)
}
func (c *columnElsewhere) Numbers() bool   { return c.counts() }
func (c *columnElsewhere) Kind() string    { return c.kind() }
func (c *columnElsewhere) MayBe() []string { return c.ac.mayBe(c.stray) }
