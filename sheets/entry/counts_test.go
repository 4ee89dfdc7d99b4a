package entry

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Words of numbers are read where things are counted, and nowhere else.
func TestWordsOfNumbers(t *testing.T) {
	m, each := measures(t), Want{Key: "qty", Dim: unit(t, "each"), Count: true}
	for n, words := range []string{
		1: "one ein eins eine un une uno una", 2: "two zwei zwo deux dos due", 3: "three drei trois tres tre", 4: "four vier quatre cuatro quattro",
		5: "five fünf cinq cinco cinque", 6: "six sechs seis sei", 7: "seven sieben sept siete sette", 8: "eight acht huit ocho otto", 9: "nine neun neuf nueve nove",
		10: "ten zehn dix diez dieci", 11: "eleven elf onze undici", 12: "twelve zwölf douze doce dodici dozen",
	} {
		for _, word := range strings.Fields(words) {
			for _, text := range []string{word, strings.ToUpper(word), " " + word + " off", word + " pcs."} {
				got, err := m.Quantity(text, each)
				require.NoError(t, err, text)
				assert.Equal(t, float64(n), got.Value, text)
				assert.False(t, got.Plain, text)
				assert.Equal(t, strconv.Itoa(n), strings.TrimSuffix(got.Note, " each"), text)
			}
			whole, ok := m.WholeNumber(word)
			assert.True(t, ok, word)
			assert.Equal(t, n, whole, word)
		}
	}
	for _, text := range []string{"once", "someone", "one or two", "two (2)", "two hundred", "twos", "four in", "pair"} {
		_, err := m.Quantity(text, each)
		assert.Error(t, err, text)
		_, ok := m.WholeNumber(text)
		assert.False(t, ok, text)
	}
	for _, w := range []Want{{Key: "od", Dim: unit(t, "in")}, {Key: "bend", Dim: unit(t, "°")}, {Key: "yield", Dim: unit(t, "%")}} {
		_, err := m.Quantity("two", w)
		assert.Error(t, err, w.Key)
	}
}
