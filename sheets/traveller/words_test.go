package traveller

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/templates"
)

// What the template lets stand on a traveller is geometry, counts and words: nothing
// with a unit of time, gas, travel, mass or money, and nothing of how far a bead runs.
func TestNothingOfTheEstimateMayStand(t *testing.T) {
	w, err := readWords()
	require.NoError(t, err)
	require.NotEmpty(t, w.names())
	for _, system := range []model.System{model.US, model.Metric} {
		m, err := compute.Load(templates.FS, system)
		require.NoError(t, err)
		require.NoError(t, w.check(m))
		for _, name := range w.names() {
			q, err := find(m, name)
			if err != nil || q.IsText() {
				continue
			}
			assert.Contains(t, []string{"in", "mm", "°", "each", "welds", "tacks", "fills"}, q.Unit.String(), name)
			assert.NotContains(t, []string{"bead_limit", "cup_bore", "stops", "starts"}, q.Key)
		}
	}
}

// A slip in the template is named.
func TestWordsAreHeldAgainstTheModel(t *testing.T) {
	for text, says := range map[string]string{
		"10 Mark":           "a width and a heading",
		"wide | Mark":       "is no width in characters",
		"10 | Mark | Joint": "a width and a heading",
	} {
		assert.ErrorContains(t, new(words).read("column", text), says)
	}
	w := &words{}
	assert.ErrorContains(t, w.read("say", "always | {od}"), "stands below a column")
	require.NoError(t, w.read("column", "10 | Mark"))
	assert.ErrorContains(t, w.read("say", "always {od}"), "has a |")
	assert.ErrorContains(t, w.read("say", "kind was butt | {od}"), "is no condition")
	assert.ErrorContains(t, w.read("stage", ""), "has no words")
	m, err := compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	require.NoError(t, w.read("say", "always | {no_such_thing}"))
	assert.ErrorContains(t, w.check(m), "no_such_thing")
	require.NoError(t, w.read("box", "10 | Welder"))
	assert.ErrorContains(t, w.read("say", "always | {od}"), "stands below a column")
	assert.ErrorContains(t, w.read("column", "10 | Where"), "left of the boxes")
}

// A setting in the shop's own words is found, and a size or a number of pieces is not.
func TestTellingWords(t *testing.T) {
	for text, found := range map[string]bool{
		"hold 12 min": true, "20 cfh at the back": true, "85A, slow": true, "costs $40": true, "post-flow 15s": true,
		"8 in/min": true, "under 50 ppm": true, "9.5 l/min": true, "0.5 % left": true, "40 € each": true, "2 hours": true,
		"Front pipe, 2 of 3": false, "3 in collector": false, "45° bend": false, "cylinder 4, side A": false, "C-12 sleeve": false, "#16 cup": false, "Ti-6Al-4V end": false, "24 volts": true,
	} {
		assert.Equal(t, found, telling.MatchString(text), text)
	}
}

// A name that no program takes for a sheet's is mended, and two are never the same.
func TestTitles(t *testing.T) {
	w := &writer{titles: map[string]bool{}}
	long := "Coupe [demo]: with a very long name / no. 2"
	var all []string
	for range 3 {
		for n := 1; n <= 11; n += 10 {
			all = append(all, w.titleOf(long, n))
		}
	}
	assert.Equal(t, "Coupe -demo-- with a very lo… 1", all[0])
	assert.Equal(t, "Coupe -demo-- with a very l… 11", all[1])
	for i, title := range all {
		assert.LessOrEqual(t, len([]rune(title)), 31)
		assert.NotContains(t, all[:i], title)
	}
	assert.True(t, slices.Contains(all, "Coupe -demo-- with a ve… 11 (3)"), all)
}
