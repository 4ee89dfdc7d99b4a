package sayings

import (
	"math"
	"strings"
)

// MostCars bounds the numbers that are taken for cars ordered.
const MostCars = 500

// MayBeCars reports whether a number may be one of cars ordered. One is what is taken
// anyway.
func MayBeCars(x float64) bool { return x == math.Trunc(x) && x > 1 && x <= MostCars }

// SaysOrdered reports whether words are a heading of the cars ordered.
func (b *Reader) SaysOrdered(text string) bool { return b.Quick.Recognise(text).Key == "ordered" }

// CountsThings reports whether words have a number of things in them: "6 off", "x6",
// "(6)", "6 cars". One that only names what it is, as in "DX-2", is none; and only cars
// are counted in a sentence.
func (b *Reader) CountsThings(text string, sentence bool) bool {
	words := strings.Fields(strings.NewReplacer("×", "x", ":", " ", ",", " ", "(", " ( ", ")", " ) ").Replace(strings.ToLower(text)))
	at := func(i int) string {
		if i < 0 || i >= len(words) {
			return ""
		}
		return words[i]
	}
	sentence = sentence || len(words) > mostTitle
	for i, w := range words {
		n, of := strings.CutPrefix(w, "x")
		if m, is := strings.CutSuffix(w, "x"); is {
			n, of = m, true
		}
		before, next := at(i-1), at(i+1)
		switch {
		case !IsCount(n):
		case !of && (b.SaysOrdered(next) || b.SaysOrdered(before)):
			return true
		case sentence:
		case of && !StartsNumber(before) && !StartsNumber(next),
			before == "x" && !StartsNumber(at(i-2)), next == "x" && !StartsNumber(at(i+2)),
			b.isPieces(next), before == "(" && next == ")":
			return true
		}
	}
	return false
}

// mostTitle is how many words a title has at most; more are a sentence.
const mostTitle = 6

// isPieces reports whether a word counts things behind a number: off, pcs, per.
func (b *Reader) isPieces(word string) bool {
	q := b.Model.Line.Quantity("qty")
	desc, known := b.Headings.Column("qty")
	if !known || word == "" || StartsNumber(word) {
		return false
	}
	two, err := b.Measures.Quantity("2 "+word, desc.Want(q.Unit, q.Unit))
	_, _, apiece := b.Words.Read("apiece", word, nil)
	return err == nil && two.Value == 2 || apiece == nil // 2 % are none
}

// IsCount reports whether a word is a number that may count things.
func IsCount(w string) bool {
	n := 0
	for _, r := range w {
		if r < '0' || r > '9' || n > MostCars {
			return false
		}
		n = 10*n + int(r-'0')
	}
	return MayBeCars(float64(n))
}

// StartsNumber reports whether a word begins as a number does.
func StartsNumber(w string) bool { return w != "" && strings.ContainsRune("0123456789.", rune(w[0])) }

// CountsKind reports whether a text has a number of joints of a kind in it: "6 fillets".
func (b *Reader) CountsKind(text string) bool {
	if !strings.ContainsAny(text, "0123456789") {
		return false
	}
	words := Words(text)
	for i, w := range words {
		if IsCount(w) && i+1 < len(words) && b.Kind(words[i+1:min(i+3, len(words))]) != "" {
			return true
		}
	}
	return false
}

// KindAmong reports whether a kind is among the words of a text.
func (b *Reader) KindAmong(words []string, kind string) (is bool) {
	b.windows("kind", words, func(text string, _ int) bool {
		is = b.KindOf(text) == kind
		return is
	})
	return is
}
