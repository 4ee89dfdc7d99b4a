package entry

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/runenames"
)

// Birmingham wire gauge, inches: a gauge table of a public engineering
// reference.
func TestGaugesAgainstPublishedTable(t *testing.T) {
	m := measures(t)
	w := wants(t)["wall"]
	table := map[int]float64{10: .134, 12: .109, 14: .083, 16: .065, 17: .058, 18: .049, 20: .035, 22: .028, 24: .022, 25: .020}
	require.Len(t, m.gauges, len(table))
	for number, wall := range table {
		r, err := m.Quantity(fmt.Sprintf("%d ga", number), w)
		require.NoError(t, err)
		assert.Equal(t, wall, r.Value, "gauge %d", number)
	}
}

// Cups are numbered in sixteenths of an inch of bore; a number 14 cup has a
// 7/8 in bore: common practice, no source.
func TestCupNumbers(t *testing.T) {
	m := measures(t)
	w := wants(t)["cup"]
	for number, bore := range map[string]float64{"#14": 7.0 / 8, "#16": 1, "#12": 3.0 / 4, "#8": 1.0 / 2} {
		r, err := m.Quantity(number, w)
		require.NoError(t, err)
		assert.Equal(t, bore, r.Value, number)
	}
}

// 1 in = 25.4 mm, 1 ft = 12 in, 1 lb = 453.59237 g exactly (international
// agreement of 1959, as in NIST SP 811: from memory); one degree is 60 minutes
// or 3600 seconds of arc (SI Brochure, units used with the SI: from memory).
func TestUnitsAgainstStandards(t *testing.T) {
	m := measures(t)
	for _, c := range []struct {
		raw, unit string
		value     float64
	}{
		{"1 in", "mm", 25.4},
		{"1 ft", "mm", 304.8},
		{"1 m", "mm", 1000},
		{"254 mm", "in", 10},
		{"1 lb", "g", 453.59237},
		{`0° 60"`, "°", math.NaN()}, // sixty seconds are a minute
		{`0° 0' 36"`, "°", 0.01},
		{"1° 30'", "°", 1.5},
		{"1 h", "min", 60},
	} {
		u := unit(t, c.unit)
		r, err := m.Quantity(c.raw, Want{Key: "x", Dim: u})
		if math.IsNaN(c.value) {
			assert.Error(t, err, "%q", c.raw)
			continue
		}
		require.NoError(t, err, "%q", c.raw)
		assert.Equal(t, c.value, r.Value, "%q", c.raw)
	}
}

// The Unicode character names say what every vulgar fraction is worth
// (golang.org/x/text/unicode/runenames holds them); the reader must agree,
// alone and behind a whole number.
func TestFractionsAgainstUnicodeNames(t *testing.T) {
	m := measures(t)
	w := wants(t)["qty"]
	words := map[string]int64{
		"ZERO": 0, "ONE": 1, "TWO": 2, "THREE": 3, "FOUR": 4, "FIVE": 5, "SEVEN": 7, "HALF": 2,
		"THIRD": 3, "THIRDS": 3, "QUARTER": 4, "QUARTERS": 4, "FIFTH": 5, "FIFTHS": 5, "SIXTH": 6,
		"SIXTHS": 6, "SEVENTH": 7, "EIGHTH": 8, "EIGHTHS": 8, "NINTH": 9, "TENTH": 10,
	}
	seen := 0
	for r := rune(0); r < 0x3000; r++ {
		name, found := strings.CutPrefix(runenames.Name(r), "VULGAR FRACTION ")
		if !found {
			continue
		}
		over, under, _ := strings.Cut(name, " ")
		require.Contains(t, words, under, name)
		seen++
		worth := big.NewRat(words[over], words[under])
		for _, whole := range []int64{0, 1, 12} {
			raw := string(r)
			if whole > 0 {
				raw = strconv.FormatInt(whole, 10) + raw
			}
			want, _ := new(big.Rat).Add(worth, big.NewRat(whole, 1)).Float64()
			got, err := m.Quantity(raw, w)
			require.NoError(t, err, "%q, %s", raw, name)
			assert.Equal(t, want, got.Value, "%q, %s", raw, name)
		}
	}
	assert.GreaterOrEqual(t, seen, 18)
}
