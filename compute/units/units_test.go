package units_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/compute/units"
)

// lists every unit that the model may use.
func knownUnits() []string {
	return []string{"in", "mm", "cm", "ft", "m", "s", "min", "h", "day", "lb", "kg", "g", "oz", "$",
		"ft³", "in²", "mm³", "L", "m³", "ft³/h", "L/min", "in/min", "mm/min", "$/h", "$/ft³", "$/m³",
		"$/lb", "$/kg", "lb/in³", "g/cm³", "$/ft", "$/m", "°", "rad", "%", "ppm", "lb/ft", "h/day",
		"", "1", "each", "starts", "welds", "cars", "sticks", "bottles", "rods", "cuts", "tacks",
		"bends", "pies", "dabs", "fills", "changes", "passes", "stops"}
}

func unitOf(t testing.TB, s string) units.Unit {
	t.Helper()
	u, err := units.Parse(s)
	require.NoError(t, err)
	return u
}

func TestUnitKeepsItsText(t *testing.T) {
	for _, text := range knownUnits() {
		assert.Equal(t, text, unitOf(t, text).String())
	}
}

func TestUnitSpellings(t *testing.T) {
	for _, pair := range [][2]string{{"ft³", "ft^3"}, {"in²", "in*in"}, {"in²", "in·in"},
		{"lb/in³", "lb/in/in/in"}, {"°", "deg"}, {"1/min", "min^-1"}, {"$/weld", "$"}, {" in ", "in"}} {
		assert.True(t, unitOf(t, pair[0]).Equal(unitOf(t, pair[1])), "%v", pair)
	}
	assert.True(t, unitOf(t, "L").SameDim(unitOf(t, "mm³")))
	assert.False(t, unitOf(t, "L").Equal(unitOf(t, "mm³")))
	assert.Equal(t, unitOf(t, "ft³/h"), unitOf(t, "ft³/h"), "units compare by value")
	assert.Equal(t, units.Unit{}, unitOf(t, ""))
}

func TestUnknownUnits(t *testing.T) {
	for text, part := range map[string]string{
		"inches": `"inches"`, "ft³/": `""`, "in^x": `"x"`, "in^99": `"99"`, "furlong/h": `"furlong"`,
		"in in": `"in in"`, "in^12*in^12": "exponent over 12",
	} {
		_, err := units.Parse(text)
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), part)
	}
}

func TestUnitOfParts(t *testing.T) {
	in, min, h, ft := unitOf(t, "in"), unitOf(t, "min"), unitOf(t, "h"), unitOf(t, "ft")
	assert.Equal(t, "in³·h/ft³", in.Pow(3).Div(ft.Pow(3)).Mul(h).String())
	assert.Equal(t, "1/min", min.Pow(-1).String())
	assert.Equal(t, "min", unitOf(t, "starts").Mul(min).String())
	assert.Equal(t, "min", min.Mul(unitOf(t, "starts")).String())
	assert.Equal(t, "in^4", in.Pow(4).String())
	assert.Equal(t, "length³/time", unitOf(t, "ft³/h").Dimension())
	assert.Equal(t, "plain number", unitOf(t, "ppm").Dimension())
	assert.True(t, h.Div(h).Equal(units.Unit{}))
	assert.True(t, h.Div(unitOf(t, "h/day")).Equal(unitOf(t, "day")), "hours over hours a day are days, without 24")
}

func TestFactorText(t *testing.T) {
	for _, c := range []struct{ from, to, text string }{
		{"min", "min", ""},
		{"s", "min", "/60"},
		{"min", "s", "*60"},
		{"h", "min", "*60"},
		{"day", "h", "*24"},
		{"mm", "in", "/25.4"},
		{"in", "mm", "*25.4"},
		{"mm", "m", "/1000"},
		{"m", "cm", "*100"},
		{"in", "ft", "/12"},
		{"in³", "ft³", "/1728"},
		{"lb", "kg", "*0.45359237"},
		{"kg", "lb", "/0.45359237"},
		{"oz", "lb", "/16"},
		{"mm³", "L", "/1000000"},
		{"L", "m³", "/1000"},
		{"in³·h/ft³", "min", "*60/1728"},
		{"ft³/h", "L/min", "*28.316846592/60"},
		{"$·min/h", "$", "/60"},
		{"ppm", "1", "/1000000"},
		{"1", "ppm", "*1000000"},
		{"%", "each", ""},
		{"cm·m/in", "ft", "/0.774192"},
		{"ft/m", "in/h·min/in", "*0.3048*60"}, // plain numbers of odd scales
	} {
		f, err := units.Conversion(unitOf(t, c.from), unitOf(t, c.to))
		require.NoError(t, err)
		assert.Equal(t, c.text, f.Text(), "%s to %s", c.from, c.to)
		assert.Equal(t, c.text == "", f.IsOne(), "%s to %s", c.from, c.to)
	}
}

func TestNoFactorBetweenDimensions(t *testing.T) {
	_, err := units.Conversion(unitOf(t, "in"), unitOf(t, "min"))
	require.EqualError(t, err, "in (length) is not min (time); give both in units of one dimension")
	_, err = units.Conversion(unitOf(t, "starts"), unitOf(t, "°"))
	require.EqualError(t, err, "a plain number (starts) is not ° (angle); give both in units of one dimension")
}

// NIST Special Publication 811, appendix B (from memory; each value there is
// rounded to the digits shown here, or exact).
func TestPublishedFactors(t *testing.T) {
	for _, c := range []struct {
		from, to string
		value    float64
		within   float64
	}{
		{"ft³/h", "L/min", 0.471947, 5e-7},
		{"ft³/h", "m³/s", 7.86579e-6, 5e-12},
		{"ft³", "m³", 2.831685e-2, 5e-9},
		{"in³", "mm³", 16387.06, 5e-3},
		{"in", "cm", 2.54, 0},
		{"ft", "m", 0.3048, 0},
		{"lb", "kg", 0.45359237, 0},
		{"oz", "g", 28.34952, 5e-6},
		{"lb/in³", "g/cm³", 27.67990, 5e-6},
		{"lb/ft", "kg/m", 1.488164, 5e-7},
		{"in/min", "mm/s", 25.4 / 60, 1e-15},
	} {
		f, err := units.Conversion(unitOf(t, c.from), unitOf(t, c.to))
		require.NoError(t, err)
		assert.InDelta(t, c.value, f.Float(), c.within, "%s to %s", c.from, c.to)
	}
}

// A factor, its text and its use are three views of one rational number.
func TestFactorAgreesWithItself(t *testing.T) {
	known := knownUnits()
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.SampledFrom(known).Draw(t, "a"), rapid.SampledFrom(known).Draw(t, "b")
		c := rapid.SampledFrom(known).Draw(t, "c")
		u, _ := units.Parse(a)
		v, _ := units.Parse(b)
		w, _ := units.Parse(c)
		if !u.SameDim(v) {
			t.Skip("different dimensions")
		}
		from, to := u.Mul(w), v.Mul(w)
		f, err := units.Conversion(from, to)
		if err != nil {
			t.Fatal(err)
		}
		back, err := units.Conversion(to, from)
		if err != nil {
			t.Fatal(err)
		}
		if there := f.Float() * back.Float(); math.Abs(there-1) > 1e-15 {
			t.Fatalf("there and back is %v", there)
		}
		if got := f.Apply(1); math.Abs(got/f.Float()-1) > 1e-15 {
			t.Fatalf("applied %v, exact %v", got, f.Float())
		}
		if text := factorValue(t, f.Text()); text != f.Float() {
			t.Fatalf("%s is %v, not %v", f.Text(), text, f.Float())
		}
	})
}

// factorValue reads "*60/1728" in exact arithmetic.
func factorValue(t *rapid.T, text string) float64 {
	r := big.NewRat(1, 1)
	for text != "" {
		end := 1
		for end < len(text) && text[end] != '*' && text[end] != '/' {
			end++
		}
		n, ok := new(big.Rat).SetString(text[1:end])
		if !ok {
			t.Fatalf("no number in %q", text)
		}
		if text[0] == '/' {
			n.Inv(n)
		}
		r.Mul(r, n)
		text = text[end:]
	}
	v, _ := r.Float64()
	return v
}
