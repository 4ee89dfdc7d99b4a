package account

import (
	"errors"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/entry"
	"seamtally/sheets/sayings"
)

// word takes a word into the account.
func (s *stray) word(word string) {
	if s.words++; len(s.texts) < mostTexts {
		name := strings.Join(entry.WordsIn(strings.ReplaceAll(word, ".", " ")), "")
		if name != s.lastName || s.words == 1 {
			s.runs++
		}
		s.texts[word]++
		s.names[name]++
		s.lastName = name
	}
}

// wordsFit reports whether all words of a column are those of an input's list.
func (ac *account) wordsFit(s *stray, q *model.Quantity, desc entry.Column) bool {
	if desc.Takes != entry.TakesWords || len(s.texts) == 0 {
		return q.Key == "car" && (ac.b.areCars(s.texts) || s.inBlocks(ac.L.Rows.Read))
	}
	names, some := ac.b.TableNames(ac.b.TableOfWords(desc.List)), false
	for word := range s.texts {
		_, _, err := ac.b.Words.Read(desc.List, word, names)
		var u *entry.Unknown
		if err != nil && (!errors.As(err, &u) || u.Question == "") && !(q.Key == "kind" && s.words == ac.L.Rows.Read && ac.b.texts.NamesKind(word)) {
			return false
		}
		some = some || !sayings.Nothing(word)
	}
	return some
}

// inBlocks reports whether each of several words stands on rows one below the other, as
// the car does in a list of several: on all of them, or on the first of each block only.
func (s *stray) inBlocks(joints int) bool {
	return len(s.names) > 1 && s.runs == len(s.names) && (s.words >= 2*s.runs || s.onFirst && s.words == s.runs && joints >= 2*s.runs)
}

// areCars reports whether words name cars that are known: those of the shop's list
// of cars, or of Assumptions.
func (b *Ledger) areCars(words map[string]int) bool {
	for word := range words {
		if b.Cars.Entry(word) == nil {
			return false
		}
	}
	return len(words) > 0
}

// setupsThere is the heading of set-ups where a column of the shop's own holds nothing but
// their names, and no column gives them: "trailing shield" under Cup.
func (ac *account) setupsThere(s *stray) []string {
	desc, _ := ac.b.Headings.Column("setup")
	if ac.L.Shop["setup"].Col > 0 || s.numbers > 0 || !ac.wordsFit(s, ac.b.Model.Line.Quantity("setup"), desc) {
		return nil
	}
	return []string{desc.Head}
}
