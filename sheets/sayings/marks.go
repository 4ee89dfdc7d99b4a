package sayings

import (
	"fmt"
	"regexp"
	"strings"
)

// MarksIn are the marks of joints of the list in a text. A number alone may be of anything.
func (s *Said) MarksIn(text string) (out []string) {
	for _, w := range Words(text) {
		if s.marks[w] && !StartsNumber(w) && strings.ContainsAny(w, "0123456789") {
			out = append(out, w)
		}
	}
	return out
}

// ofMark is the mark of a joint that words say something of, "" for none.
func (s *Said) ofMark(text string, words []string) string {
	b, marks := s.b, s.MarksIn(text)
	if len(marks) > 0 && len(words) <= mostOfMark &&
		(len(b.Numbers(text)) > 0 || Turns(text) || b.Changed(words) || b.NotOurs(text) || b.Has("dropped", words)+b.Has("optional", words)+b.Has("repeat", words) != "") {
		return strings.ToUpper(marks[0])
	}
	return ""
}

// Turns reports whether a text says that a number becomes another.
func Turns(text string) bool { return turns.MatchString(text) }

// turns is a number that becomes another: "qty 1 to 4".
var turns = regexp.MustCompile(`\d\s*(?:` + leadsTo + `)\s*\d`)

// leadsTo stands between a number and another that it becomes.
const leadsTo = `\bto\b|\bauf\b|->|=>|→`

// mostOfMark is how many words a text about a joint has at most.
const mostOfMark = 10

// otherCount is a number of things that words give, and that is none of rows, pieces or
// welds of the list, nor of cars ordered: "" for none. A sentence counts what is packed.
func (s *Said) otherCount(text string, words []string) string {
	if len(words) > mostTitle && s.b.Has("apiece", words) == "" {
		return ""
	}
	for _, n := range s.b.Numbers(text) {
		if !s.isCount(n) {
			return fmt.Sprint(n)
		}
	}
	return ""
}

func (s *Said) isCount(n float64) bool {
	t, all := s.b.Model.Table("cars"), 0.0
	for _, f := range s.b.Values.Rows(t).Frames {
		ordered := t.Quantity("ordered").Num(f)
		if all += ordered; ordered == n {
			return true
		}
	}
	return n == all || n == float64(s.rows) || n == s.pieces || n == s.welds
}
