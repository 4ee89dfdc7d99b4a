package entry

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/templates"
)

func words(t testing.TB) *Words {
	t.Helper()
	w, err := LoadWords(templates.FS)
	require.NoError(t, err)
	return w
}

func TestReadWord(t *testing.T) {
	w := words(t)
	for _, c := range []struct {
		list, raw, want string
		exact           bool
	}{
		{"kind", "butt", "butt", true},
		{"kind", "Pie Cut", "pie cut", true},
		{"kind", "butt ", "butt", false},
		{"kind", "pie-cut", "pie cut", false},
		{"kind", "piecut", "pie cut", false},
		{"kind", "PIE", "pie cut", false},
		{"kind", "Square butt", "butt", false},
		{"kind", "B.W.", "butt", false},
		{"kind", "Mitred bend", "pie cut", false},
		{"kind", "segmented bend", "pie cut", false},
		{"kind", "Flange", "fillet", false},
		{"kind", "boss", "fillet", false},
		{"kind", "Saddle", "branch", false},
		{"kind", "fish-mouth", "branch", false},
		{"kind", "long\u00a0seam", "seam", false},
		{"filler", "Yes", "yes", true},
		{"filler", "Y", "yes", false},
		{"filler", "TRUE", "yes", false},
		{"filler", "✓", "yes", false},
		{"filler", "fusion", "no", false},
		{"filler", "Autogenous", "no", false},
		{"filler", "w/o", "no", false},
		{"filler", "sí", "yes", false},
		{"ends", "Half pies", "half", false},
		{"ends", "whole", "full", false},
		{"colour", "Silver", "bright", false},
		{"colour", "Light Straw", "straw", false},
		{"colour", "gold", "straw", false},
		{"setup", "cup, stop and start", "cup, stop and start", true},
		{"setup", "Cup – stop & start", "cup, stop and start", false},
		{"setup", "trailing shield on rolls", "trailing shield, on rolls", false},
		{"setup", "By hand", "trailing shield, by hand", false},
		{"alloy", "Grade 2", "grade 2", true},
		{"alloy", "gr2", "grade 2", false},
		{"alloy", "Gr. 2", "grade 2", false},
		{"alloy", "CP-2", "grade 2", false},
		{"alloy", "Ti Gr 2", "grade 2", false},
		{"alloy", "gr9", "Ti-3Al-2.5V", false},
		{"alloy", "3-2.5", "Ti-3Al-2.5V", false},
		{"alloy", "Ti 3Al 2.5V", "Ti-3Al-2.5V", false},
		{"alloy", "6-4", "Ti-6Al-4V", false},
		{"alloy", "6al4v", "Ti-6Al-4V", false},
		{"alloy", "GRADE 5", "Ti-6Al-4V", false},
		{"alloy", "SS304", "304L", false},
		{"alloy", "316", "316L", false},
		{"alloy", "625", "alloy 625", false},
	} {
		got, exact, err := w.Read(c.list, c.raw, nil)
		if assert.NoError(t, err, "%s %q", c.list, c.raw) {
			assert.Equal(t, c.want, got, "%s %q", c.list, c.raw)
			assert.Equal(t, c.exact, exact, "%s %q", c.list, c.raw)
		}
	}
}

// Titanium grades by their unified numbers and their alloying elements, and
// stainless and nickel grades by theirs: the UNS and EN designations are from
// memory.
func TestGradesAgainstDesignations(t *testing.T) {
	w := words(t)
	for raw, want := range map[string]string{
		"R50400": "grade 2", "R56320": "Ti-3Al-2.5V", "R56400": "Ti-6Al-4V",
		"S30403": "304L", "S31603": "316L", "N06625": "alloy 625",
		"3.7035": "grade 2", "3.7165": "Ti-6Al-4V", "1.4307": "304L", "1.4404": "316L", "2.4856": "alloy 625",
	} {
		got, exact, err := w.Read("alloy", raw, nil)
		require.NoError(t, err, raw)
		assert.Equal(t, want, got, raw)
		assert.False(t, exact)
	}
}

func TestUnknownWord(t *testing.T) {
	w := words(t)
	for _, c := range []struct{ list, raw, nearest, message string }{
		{"kind", "brnach", "branch", `kind is text "brnach", which is not known; write "branch", if that is meant`},
		{"kind", "fillett weld", "fillet", `kind is text "fillett weld", which is not known; write "fillet", if that is meant`},
		{"kind", "rivet", "", `kind is text "rivet", which is not known; write one of "butt", "pie cut", "fillet", "branch", "seam"`},
		{"kind", "", "", `kind is text "", which is not known; write one of "butt", "pie cut", "fillet", "branch", "seam"`},
		{"alloy", "64", "", `alloy is text "64", which is not known; write one of "grade 2", "Ti-3Al-2.5V", "Ti-6Al-4V", "304L", "316L", "alloy 625"`},
		{"kind", "tee", "", `kind is text "tee". A tube on the side of a tube is a branch; a plate standing on a tube is a fillet. Write "branch" or "fillet"`},
		{"alloy", "Titanium", "", `alloy is text "Titanium". Which grade? Write "grade 2", "Ti-3Al-2.5V" or "Ti-6Al-4V"`},
		{"filler", "-", "", `filler is text "-". A cross or a dash may mean either. Write "yes" or "no"`},
		{"setup", "trailing shield", "", `setup is text "trailing shield". Is the tube turned on rolls, or is the shield moved by hand? Write "trailing shield, on rolls" or "trailing shield, by hand"`},
		{"no such list", "x", "", `no such list is text "x", which is not known; add it to its table`},
	} {
		_, exact, err := w.Read(c.list, c.raw, nil)
		assert.EqualError(t, err, c.message)
		assert.False(t, exact)
		var unknown *Unknown
		require.True(t, errors.As(err, &unknown))
		assert.Equal(t, c.nearest, unknown.Nearest, "%q", c.raw)
		assert.Equal(t, c.raw, unknown.Raw)
	}
}

func TestShopsOwnNames(t *testing.T) {
	w := words(t)
	own := []string{"Cup", "big shield, on rolls", "Grade 7", "cup 1", "Cup-1"}
	for _, c := range []struct {
		list, raw, want string
		exact           bool
	}{
		{"setup", "cup", "Cup", true}, // before the shipped spelling
		{"setup", "Big shield on rolls", "big shield, on rolls", false},
		{"setup", "by hand", "trailing shield, by hand", false},
		{"setup", "cup 1", "cup 1", true},
		{"alloy", "grade 7", "Grade 7", true},
		{"car", "grade-7", "Grade 7", false},
	} {
		got, exact, err := w.Read(c.list, c.raw, own)
		if assert.NoError(t, err, "%q", c.raw) {
			assert.Equal(t, c.want, got, "%q", c.raw)
			assert.Equal(t, c.exact, exact, "%q", c.raw)
		}
	}
	_, _, err := w.Read("setup", "cup_1", own)
	assert.ErrorContains(t, err, `"cup 1" and "Cup-1" are both meant`)
	_, _, err = w.Read("setup", "big sheild, on rolls", own)
	assert.ErrorContains(t, err, `write "big shield, on rolls", if that is meant`)
}

// The shipped tables and the words name the same set-ups and alloys.
func TestWordsAreInTheTables(t *testing.T) {
	w := words(t)
	tables, err := fs.ReadFile(templates.FS, "tables.txt")
	require.NoError(t, err)
	for _, list := range []string{"setup", "alloy", "kind"} {
		require.NotEmpty(t, w.List(list), list)
		for _, word := range w.List(list) {
			assert.Contains(t, string(tables), " "+word+" |", "%s %q", list, word)
		}
	}
	assert.Nil(t, w.List("no such list"))
	for _, c := range headings(t).Columns() {
		assert.Equal(t, c.Takes == TakesWords, w.List(c.List) != nil, "list of %s", c.Key)
	}
}

// Every word of every list reads as itself in any case.
func TestWordsReadAsThemselves(t *testing.T) {
	w := words(t)
	for list := range w.lists {
		for _, word := range w.List(list) {
			for _, raw := range []string{word, strings.ToUpper(word)} {
				got, exact, err := w.Read(list, raw, nil)
				require.NoError(t, err)
				assert.Equal(t, word, got)
				assert.True(t, exact)
			}
			got, exact, err := w.Read(list, " "+strings.ToUpper(word)+".", nil)
			require.NoError(t, err, "%q", word)
			assert.Equal(t, word, got)
			assert.False(t, exact)
		}
	}
}

func TestLoadWordsFaults(t *testing.T) {
	for name, c := range map[string]struct{ words, want string }{
		"two meanings":    {"list a\nword x\nalso b\nword y\nalso B\n", `words.txt:5: "B" is already a spelling of "x"`},
		"asked and known": {"list a\nword x\nask X\nbecause why\n", `words.txt:3: "X" is already a spelling of "x"`},
		"outside":         {"word x\n", "words.txt:1: word stands outside a list"},
		"no word":         {"list a\nalso x\n", "words.txt:2: also does not fit here"},
		"no question":     {"list a\nword x\nask y\n", "words.txt:3: ask does not fit here"},
		"unknown field":   {"list a\nword x\nspells y\n", "words.txt:3: spells does not fit here"},
	} {
		_, err := LoadWords(fstest.MapFS{"words.txt": {Data: []byte(c.words)}})
		assert.ErrorContains(t, err, c.want, name)
	}
	_, err := LoadWords(fstest.MapFS{})
	assert.Error(t, err)
}

func FuzzReadWord(f *testing.F) {
	for _, s := range []string{"butt", "Pie-cut", "6-4", "-", "✓", "\xff", "ﬁllet", "ß", " ", "🙂"} {
		f.Add(s, s)
	}
	w := words(f)
	f.Fuzz(func(t *testing.T, raw, own string) {
		for list := range w.lists {
			word, exact, err := w.Read(list, raw, []string{own})
			var unknown *Unknown
			switch {
			case err != nil && (!errors.As(err, &unknown) || word != "" || exact):
				t.Fatalf("%s %q: %q, %v, %v", list, raw, word, exact, err)
			case err == nil && exact != strings.EqualFold(raw, word):
				t.Fatalf("%s %q reads as %q, exact %v", list, raw, word, exact)
			}
		}
	})
}

// A text of any length is refused or read in reasonable time, not searched.
func TestLongTexts(t *testing.T) {
	h, m, w := headings(t), measures(t), words(t)
	for _, piece := range []string{"a", "1", "'", "½", "(in) ", "\u0301", "\xff", "1/", "OD "} {
		long := strings.Repeat(piece, 20000)
		assert.Equal(t, Match{}, h.Recognise(long))
		assert.Equal(t, Match{}, h.Recognise2(long, long))
		_, err := m.Quantity(long, wants(t)["od"])
		assert.Less(t, len(err.Error()), 500)
		_, _, err = w.Read("kind", long, nil)
		assert.Less(t, len(err.Error()), 500)
	}
}

// Kitten to sitting is the usual worked example of three slips; a swap of
// neighbours counts once (both from memory).
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"wall", "wall", 0},
		{"kitten", "sitting", 3}, {"wlal", "wall", 1}, {"ca", "abc", 3}, {"größe", "grösse", 2},
	} {
		assert.Equal(t, c.want, distance(c.a, c.b, 9), "%q %q", c.a, c.b)
		assert.Equal(t, c.want, distance(c.b, c.a, 9), "%q %q", c.b, c.a)
		for most := range 4 {
			assert.Equal(t, min(c.want, most+1), distance(c.a, c.b, most), "%q %q up to %d", c.a, c.b, most)
		}
	}
}

// Giving up early changes no distance that is small enough.
func TestDistanceGivesUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringOfN(rapid.RuneFrom([]rune("abc")), 0, 8, -1)
		a, b, most := word.Draw(t, "a"), word.Draw(t, "b"), rapid.IntRange(0, 8).Draw(t, "most")
		if got, full := distance(a, b, most), distance(a, b, 99); got != min(full, most+1) {
			t.Fatalf("%q %q: %d up to %d, %d in full", a, b, got, most, full)
		}
	})
}
