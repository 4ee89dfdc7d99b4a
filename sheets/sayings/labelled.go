package sayings

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
)

// A value may stand beside its label around the joints, or on a sheet of its own: "Shielding"
// and "on rolls", "Labour rate" and 110. Nobody reads it there.

// labelled are a label and its value in one text: "Shielding: on rolls", "Margin 35 %".
func labelled(text string) (label, value string) {
	label, value, _ = strings.Cut(text, ":")
	if i := strings.IndexAny(text, "0123456789"); value == "" && i > 0 {
		label, value = text[:i], text[i:]
	}
	return strings.TrimRight(label, " .$€£=-+"), strings.TrimSpace(value)
}

// Labelled is what a value beside a label may say that neither the rows of the list nor
// Assumptions have: "" for nothing.
func (s *Said) Labelled(label, value string) string {
	if says := s.b.AssumedIn(label, value); says != "" || strings.TrimSpace(value) == "" {
		return says
	}
	m := s.b.Quick.Recognise(strings.TrimSuffix(strings.TrimSpace(label), ":"))
	at := slices.IndexFunc(s.cols, func(c joints.Column) bool { return c.Q.Key == m.Key && c.Reader != nil })
	if at < 0 || !m.Exact || m.Key == "qty" {
		return ""
	}
	q := s.cols[at].Q
	if q.IsText() {
		if s.b.saysWord(q, value, s.texts[q.Key]) {
			return "give another " + q.Name() + " than the rows have"
		}
		return ""
	}
	if got, err := s.b.Measures.Quantity(value, s.want(at)); err == nil && !got.PerOD && !s.hasNear(q, got.Value) {
		return "give another " + q.Name() + " than the rows have"
	}
	return ""
}

// saysWord reports whether a value is a word of an input, or one that is asked about, and
// none of those that joints have.
func (b *Reader) saysWord(q *model.Quantity, value string, had map[string]bool) bool {
	desc, _ := b.Headings.Column(q.Key)
	if desc.Takes != entry.TakesWords {
		return false
	}
	word, _, err := b.Words.Read(desc.List, value, b.TableNames(b.TableOfWords(desc.List)))
	var unknown *entry.Unknown
	if errors.As(err, &unknown) {
		return unknown.Question != ""
	}
	return err == nil && !had[word]
}

// superscripts are written beside units: "per ft³".
var superscripts = strings.NewReplacer("²", "2", "³", "3")

// beginsNone reports whether a label begins with a plain word that begins none of an
// assumption, nor of what comes off the price.
func (b *Reader) beginsNone(label string) bool {
	end := 0
	for end < len(label) && isPlain(label[end]) {
		end++
	}
	if end == 0 || StartsNumber(label) || end < len(label) && (label[end] == '.' || label[end] >= 0x80) {
		return false
	}
	return !b.known(label[:end]).begins.Has(b.telling().rated)
}

// AssumedIn is what a number beside a label may say that no assumption has: another rate
// than one that stands as it was shipped, so that nobody has chosen it, or something off
// the price. It is "" for nothing.
func (b *Reader) AssumedIn(label, value string) string {
	if !strings.ContainsAny(value, "0123456789") || b.beginsNone(label) {
		return ""
	}
	x, err := strconv.ParseFloat(amounts.FindString(value), 64)
	if err != nil || x == 0 {
		return ""
	}
	words := Words(superscripts.Replace(label))
	if len(words) == 0 || len(words) > MostShort {
		return ""
	}
	name := strings.Join(words, " ")
	if b.in("discount", name) {
		return "say that something comes off the price, or is put on it, of which Assumptions knows nothing"
	}
	key := b.meaning("assumption", name)
	if key == "" {
		return ""
	}
	q := b.Model.Singles.Quantity(key)
	is := q.Num(b.Values.Singles)
	if is != q.Value || Near(x, is) || Near(x/100, is) { // a share is typed as 35 % or 0.35
		return ""
	}
	return fmt.Sprintf("give another %s than Assumptions has, where it stands as it was shipped", strings.ToLower(q.Name()[:1])+q.Name()[1:])
}
