package sayings

import (
	"io/fs"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/templates"
)

// said are the joints of a list that has every input, with a few values each.
func said(t testing.TB) *Said {
	t.Helper()
	bk, err := book.Open("../../testdata/order.xlsx", "")
	require.NoError(t, err)
	t.Cleanup(func() { bk.Close() })
	bk.Model, err = compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	bk.Values = compute.Defaults(bk.Model)
	b := &Reader{Book: bk}
	var cols []joints.Column
	for _, q := range bk.Model.Line.Quantities {
		if desc, known := bk.Headings.Column(q.Key); q.Role == model.Input && known && desc.Table == "lines" {
			cols = append(cols, joints.Column{Q: q, Reader: &joints.Reader{}})
		}
	}
	require.Greater(t, len(cols), 10)
	s := b.Of(cols)
	for key := range s.numbers {
		s.numbers[key][2] = true
		s.numbers[key][3] = true
	}
	for _, mark := range []string{"j1", "j2", "b12a"} {
		s.marks[mark] = true
	}
	s.kinds["butt"], s.alloys["Grade 2"], s.rows, s.pieces, s.welds = true, true, 5, 7, 9
	return s
}

// vocabulary are the spellings of the templates, whole and word by word, list by list, so that
// words of a short list are as likely as those of a long one.
func vocabulary(t testing.TB) (out [][]string) {
	t.Helper()
	for _, name := range []string{"words.txt", "headings.txt"} {
		text, err := fs.ReadFile(templates.FS, name)
		require.NoError(t, err)
		for line := range strings.Lines(string(text)) {
			field, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
			switch {
			case field == "list" && name == "words.txt", field == "key", len(out) == 0 && field != "#":
				out = append(out, nil)
			case !slices.Contains([]string{"word", "also", "ask", "same", "head", "loose", "unit", "own", "measured"}, field):
				continue
			}
			if field == "list" || field == "key" {
				continue
			}
			for spelled := range strings.SplitSeq(rest, ";") {
				out[len(out)-1] = append(out[len(out)-1], strings.TrimSpace(spelled))
				out[len(out)-1] = append(out[len(out)-1], strings.Fields(spelled)...)
			}
		}
	}
	return slices.DeleteFunc(out, func(list []string) bool { return len(list) == 0 })
}

// Texts in which no word tells anything are passed over, and no others: the long way finds
// nothing in them either.
func TestQuickAgainstTheLongWay(t *testing.T) {
	s := said(t)
	b, known := s.b, vocabulary(t)
	require.Greater(t, len(known), 80)
	plain := []string{"bench", "rack", "paint", "invoice", "ab-1234", "x9", "m8", "2", "3", "45", "12.5", "2x", "x", "six", "sixx", "xtwo", "j1", "j9", "b12a", "argon12", "1.", "1)", "kit", "yellow", "cup", "margin35", "%", ":", "+1", "½", "ø60", "größe", "o'clock", "pie", "passes", "of"}
	r := rand.New(rand.NewPCG(3, 4))
	gaps := []string{" ", " ", " ", " ", "-", "/", ", ", ". ", " (", ") ", ": ", ""}
	passed, told := 0, 0
	for range 60_000 {
		var text strings.Builder
		mostKnown := r.IntN(4)
		for n := range 1 + r.IntN(6) {
			if n > 0 {
				text.WriteString(gaps[r.IntN(len(gaps))])
			}
			word := plain[r.IntN(len(plain))]
			if n < mostKnown {
				list := known[r.IntN(len(known))]
				word = list[r.IntN(len(list))]
			}
			switch r.IntN(10) {
			case 0:
				word += "s"
			case 1:
				word = strings.ToUpper(word)
			case 2:
				word = word[:r.IntN(len(word)+1)]
			}
			text.WriteString(word)
		}
		says := s.otherwise(text.String())
		if s.tellsNothing(text.String()) {
			passed++
			require.Empty(t, says, "%q was passed over", text.String())
		}
		if says != "" {
			told++
		}
		if list := []string{"kind", "count", "fold", "alloy", "not round alone", "repeat", "assumption"}[r.IntN(7)]; b.meaning(list, text.String()) != b.atLength(list, text.String()) {
			require.Fail(t, "what words mean", "%q in %s is %q, and quickly seen %q", text.String(), list, b.atLength(list, text.String()), b.meaning(list, text.String()))
		}
	}
	assert.Greater(t, passed, 5_000)
	assert.Greater(t, told, 5_000)
}

// Of each kind of thing that words may say one text: none is passed over.
func TestTelling(t *testing.T) {
	s := said(t)
	for _, text := range []string{
		"double all joints", "leave out these joints", "extra flange", "RH as LH", "both banks identical", "twin systems", "customer welds this", "kit 2 sets", "fourth pass",
		"5th pass", "7 pies", "thicker wall", "no purge", "see issue", "use rolls on all", "wall is 0.08", "Margin 40", "J2 to follow, 3 off", "added J7", "build four", "x3",
		"polish these fillets", "oval", "oval section", "dimensions are ID", "180 deg only", "priced separately", "stainless", "fillet 3 x .047", "3 spares", "silver colour", "J1 now 4",
	} {
		assert.False(t, s.tellsNothing(text), text)
		assert.NotEmpty(t, s.otherwise(text), text)
	}
}

// atLength is what words mean in a list, without a look at its beginnings.
func (b *Reader) atLength(list, words string) (name string) {
	if b.Words.Begins(list, words) {
		name, _, _ = b.Words.Read(list, words, nil)
	}
	return name
}
