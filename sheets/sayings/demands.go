package sayings

import (
	"regexp"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/entry"
)

// Words may ask for a value that joints of the list have already, and not all of them: "18 ga
// instead", "use rolls", "moved to the Spyder". What tells them from words that only name
// such a value is a word that asks, and that nothing else is spoken of.

// demands is the name of what words ask for, "" for nothing, or for what all joints have.
func (s *Said) demands(words []string, of joint) string {
	b := s.b
	if len(words) > mostDemand || b.Has("demanding", words)+b.Has("whole", words) == "" && !b.Changed(words) || b.dated(words) {
		return ""
	}
	car, rest := s.carIn(words)
	var meant [len(demanded)]string
	for i, key := range demanded {
		meant[i], rest = b.longest(key, rest)
	}
	sizes, rest := b.sizesIn(rest)
	if !b.onlyAbout(rest, "demanding", "sized", "place", "apiece") {
		return ""
	}
	if key := s.OtherInput(words, func(q *model.Quantity, x float64) bool {
		return of.has(q, func(v float64) bool { return Near(v, x) })
	}); key != "" {
		return key
	}
	for i, key := range demanded {
		if q := b.Model.Line.Quantity(key); meant[i] != "" && !of.words(q, meant[i]) {
			return q.Name()
		}
	}
	if q := b.Model.Line.Quantity("car"); car != "" && !of.words(q, car) {
		return q.Name()
	}
	named := slices.ContainsFunc(rest, func(w string) bool { return s.input(w) != nil })
	for _, x := range sizes {
		has := slices.ContainsFunc(s.kept, func(q *model.Quantity) bool {
			return q.Role == model.Input && of.has(q, func(v float64) bool { return Near(v, x) })
		})
		counts := of.count(x) && slices.ContainsFunc(rest, func(w string) bool { return b.in("counted", w) || b.in("things", w) || b.InputOf(w) == "car" })
		if !named && !has && !counts {
			return "number"
		}
	}
	return ""
}

// mostDemand is how many words ask for one thing at most.
const mostDemand = 8

// demanded are the inputs whose words are asked for.
var demanded = [...]string{"filler", "alloy", "ends", "setup", "kind"}

// longest is what the longest spelling of a list that stands in words means, "" for none,
// and the words without it: "no filler" has "filler" in it. Short ones may be of anything,
// but for kinds.
func (b *Reader) longest(list string, words []string) (name string, rest []string) {
	from, to := 0, 0
	most := leastAlone - 1
	if list == "kind" {
		most = 2
	}
	b.windows(list, words, func(text string, last int) bool {
		if says := b.meaning(list, text); says != "" && len(text) > most {
			name, most = says, len(text)
			from, to = last-strings.Count(text, " "), last+1
		}
		return false
	})
	return name, slices.Delete(slices.Clone(words), from, to)
}

// all are the joints of the list, where each has to have what is asked about.
func (s *Said) all() joint {
	return joint{
		has: func(q *model.Quantity, is func(x float64) bool) bool {
			for x := range s.numbers[q.Key] {
				if !is(x) {
					return false
				}
			}
			return len(s.numbers[q.Key]) > 0
		},
		words: func(q *model.Quantity, word string) bool { return len(s.texts[q.Key]) == 1 && s.texts[q.Key][word] },
		count: s.isCount,
	}
}

// sizesIn are the numbers in words, with the words that are left without them and their units.
func (b *Reader) sizesIn(words []string) (sizes []float64, rest []string) {
	for i := 0; i < len(words); i++ {
		if !StartsNumber(words[i]) {
			rest = append(rest, words[i])
			continue
		}
		for _, to := range [...]int{min(i+2, len(words)), i + 1} {
			if x, _, _, ok := b.Quantity(strings.Join(words[i:to], " ")); ok {
				sizes, i = append(sizes, x), to-1
				break
			}
		}
	}
	return sizes, rest
}

// dated reports whether a number in words is a date's, or that of a drawing's state:
// "changed 12 March", "now at rev 3".
func (b *Reader) dated(words []string) bool {
	of := func(i int) bool {
		return i >= 0 && i < len(words) && (b.in("month", words[i]) || b.in("issued", words[i]))
	}
	for i, w := range words {
		if StartsNumber(w) && (strings.ContainsAny(w, "/:") || strings.Count(w, ".")+strings.Count(w, "-") > 1 || of(i-1) || of(i+1)) {
			return true
		}
	}
	return false
}

// carIn is a car that words name, "" for none, and the words without its name. A part of it
// names the car where no other has that in its own: "Spyder" of two, "car B".
func (s *Said) carIn(words []string) (car string, rest []string) {
	b, t := s.b, s.b.Model.Table("cars")
	of := map[string][]string{} // cars, by the parts of their names
	for _, f := range b.Values.Rows(t).Frames {
		name := t.Quantity("name").Text(f)
		for _, part := range nameParts(name) {
			if !slices.Contains(of[part], name) {
				of[part] = append(of[part], name)
			}
		}
	}
	for i, w := range words {
		headed := i > 0 && b.InputOf(words[i-1]) == "car"
		for _, part := range nameParts(w) {
			if cars := of[part]; len(cars) == 1 && (car == "" || car == cars[0]) && (headed || len(part) > 2 && !StartsNumber(part)) {
				car = cars[0]
			}
		}
	}
	for i, w := range words {
		parts := nameParts(w)
		its := car != "" && len(parts) > 0 && !slices.ContainsFunc(parts, func(p string) bool { return !slices.Contains(of[p], car) })
		if !its && !(car != "" && b.InputOf(w) == "car" && i+1 < len(words)) {
			rest = append(rest, w)
		}
	}
	return car, rest
}

// nameParts are the words and numbers of a name, whatever joins them.
func nameParts(name string) (out []string) {
	for _, w := range entry.WordsIn(name) {
		out = append(out, inName.FindAllString(w, -1)...)
	}
	return out
}

var inName = regexp.MustCompile(`[\pL\d]+`)
