package entry

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/units"
	"seamtally/templates"
)

// quickly holds what is quickly seen of a text against the long way.
func quickly(t *testing.T, quick *Headings, ends Endings, raw string) (none bool) {
	t.Helper()
	if want, got := quick.recognise(raw), quick.Recognise(raw); len(raw) <= longestHeading && got != want {
		t.Fatalf("%q is %+v, and quickly seen %+v", raw, want, got)
	}
	slow := uint8(0)
	for _, token := range tokens(cleanWords(raw)) {
		slow |= ends[token.text]
	}
	if in := ends.In(raw); in != slow {
		t.Fatalf("%q has the ends %b, and quickly seen %b", raw, slow, in)
	}
	if _, is := unitAtLength(quick.measures, raw); is && !quick.measures.mayBeUnit(raw) {
		t.Fatalf("%q is a unit, and told to be none", raw)
	}
	return quick.isNone(raw)
}

// unitAtLength reads a unit whatever its first word is.
func unitAtLength(m *Measures, text string) (units.Unit, bool) {
	list := tokens(cleanWords(text))
	if len(list) == 0 {
		return units.Unit{}, false
	}
	if u, ok := m.units[compact(list, true)]; ok {
		return u, ok
	}
	u, err := units.Parse(strings.TrimSuffix(strings.TrimSpace(text), "."))
	return u, err == nil
}

// Texts are made of the words of the templates, and of others; joined, cut, misspelt, with
// signs, units and numbers between them.
func TestQuickAgainstTheLongWay(t *testing.T) {
	h, err := LoadHeadings(templates.FS)
	require.NoError(t, err)
	words, err := LoadWords(templates.FS)
	require.NoError(t, err)
	quick, m, ends := h.WithoutNearest(), h.measures, h.Endings("od", "wall")
	pool := slices.Concat(h.forms, m.forms, beginningsOf(h.same))
	for _, list := range words.lists {
		pool = append(pool, list.spellings...)
	}
	pool = append(pool, "bracket", "bench", "rack", "invoice", "ab-1234", "m8", "45", "12", "2.5", "1/2", "½", ".047", "3x", "1,200", "1 200", "yes/no", "deg", "ft³", "mm²", "lb/in^3", "Größe", "Ø60", "no.", "#", `"`, "'", "''", "`", "µm", "°", "%", "$", "&", "(in)", "[mm]", "mat'l", "o'd", "ö", "é", "e\u0301", "（mm）", "\u00ad", "½in", "two", "x OD", "18 ga", "swg")
	slices.Sort(pool)
	gaps := []string{" ", " ", " ", "", "-", "/", " / ", ", ", ". ", ".", "_", "\n", "'", "\u00a0", "'' ", "("}
	r := rand.New(rand.NewPCG(1, 2))
	wants := wants(t)
	none, numbers := 0, 0
	for range 30_000 {
		var text strings.Builder
		for n := range 1 + r.IntN(5) {
			if n > 0 || r.IntN(8) == 0 {
				text.WriteString(gaps[r.IntN(len(gaps))])
			}
			word := pool[r.IntN(len(pool))]
			switch r.IntN(8) {
			case 0:
				word = strings.ToUpper(word)
			case 1:
				if at := r.IntN(len(word)); utf8.RuneStart(word[at]) {
					word = word[:at]
				}
			case 2:
				word += "s"
			}
			text.WriteString(word)
		}
		raw := text.String()
		if quickly(t, quick, ends, raw) {
			none++
		}
		if behind := raw + " " + pool[r.IntN(len(pool))]; quick.recognise(behind).Key != "" {
			require.True(t, quick.Leads(raw), "%q leads the heading %q", raw, behind)
		}
		if r.IntN(2) == 0 {
			raw = []string{"3 ", "2.5", "-1/2 ", "12", "'7 ", "ø4 ", "$5 ", "1 1/2 "}[r.IntN(8)] + raw
			quickly(t, quick, ends, raw)
		}
		for name, w := range wants {
			if _, err := m.Quantity(raw, w); err == nil && !w.Count {
				numbers++
				require.True(t, m.May(raw), "%q reads as %s, and is told to be none", raw, name)
			}
		}
	}
	assert.Greater(t, none, 8_000, "texts that are seen to be none")
	assert.Greater(t, numbers, 600, "texts that are quantities")
}

// Whatever stands before the end of a heading leads one.
func TestLeads(t *testing.T) {
	h, err := LoadHeadings(templates.FS)
	require.NoError(t, err)
	fields, err := readFields(templates.FS, headingsFile)
	require.NoError(t, err)
	n := 0
	for _, f := range fields {
		if !slices.Contains([]string{"head", "also", "loose", "measured"}, f.name) {
			continue
		}
		for _, item := range f.list() {
			for _, text := range []string{item, item + " (mm)", "in " + item, strings.ToUpper(item) + ", deg", "[mm] " + item} {
				if h.Recognise(text).Key == "" {
					continue
				}
				words := strings.Fields(text)
				for i := range words {
					n++
					assert.True(t, h.Leads(strings.Join(words[:i+1], " ")), "%q, of %q", words[:i+1], text)
				}
			}
		}
	}
	assert.Greater(t, n, 1000)
	for _, text := range []string{"bench rack 58", "45 flange 58", "tube customer", "12 mm tube", "Invoice"} {
		assert.False(t, h.Leads(text), text)
	}
}

func FuzzQuick(f *testing.F) {
	for _, s := range []string{"OD (in)", "wall thk", "45 flange 58", "no 12", "mat'l", "a/b", "in od mm", "''", "x'y", "1.5.2", "é od"} {
		f.Add(s)
	}
	h, err := LoadHeadings(templates.FS)
	require.NoError(f, err)
	quick, ends := h.WithoutNearest(), h.Endings("od", "wall")
	f.Fuzz(func(t *testing.T, raw string) { quickly(t, quick, ends, raw) })
}
