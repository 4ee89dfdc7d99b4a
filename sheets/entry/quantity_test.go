package entry

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"seamtally/compute/units"
	"seamtally/templates"
)

func measures(t testing.TB) *Measures {
	t.Helper()
	m, err := LoadMeasures(templates.FS)
	require.NoError(t, err)
	return m
}

func unit(t testing.TB, text string) units.Unit {
	t.Helper()
	u, err := units.Parse(text)
	require.NoError(t, err)
	return u
}

// wants are the kinds of cell that the tests read, by a short name.
func wants(t testing.TB) map[string]Want {
	in, mm, deg, each := unit(t, "in"), unit(t, "mm"), unit(t, "°"), unit(t, "each")
	return map[string]Want{
		"od":         {Key: "od", Dim: in, Heading: in, Round: true},
		"od mm":      {Key: "od", Dim: mm, Heading: mm, Round: true},
		"od in mm":   {Key: "od", Dim: in, Heading: mm, Round: true},
		"wall":       {Key: "wall", Dim: in, Heading: in, Gauge: true},
		"wall mm":    {Key: "wall", Dim: mm, Heading: mm, Gauge: true},
		"clr":        {Key: "clr", Dim: in, Heading: in, Relative: true},
		"tube":       {Key: "tube", Dim: in, Heading: unit(t, "ft")},
		"bend":       {Key: "bend", Dim: deg, Heading: deg},
		"qty":        {Key: "qty", Dim: each},
		"yield":      {Key: "filler_yield", Dim: unit(t, "%")},
		"cup":        {Key: "cup_bore", Dim: in, Cup: true},
		"cup mm":     {Key: "cup_bore", Dim: mm, Cup: true},
		"bid":        {Key: "bid", Dim: unit(t, "$")},
		"flow":       {Key: "torch_flow", Dim: unit(t, "ft³/h")},
		"extra":      {Key: "extra", Dim: unit(t, "min"), Heading: unit(t, "min")},
		"no heading": {Key: "od", Dim: in, Heading: deg},
	}
}

func TestQuantity(t *testing.T) {
	m := measures(t)
	w := wants(t)
	for _, c := range []struct {
		want, raw string
		value     float64
		plain     bool
	}{
		{"od", "3", 3, true},
		{"od", "3.000", 3, true},
		{"od", ".047", 0.047, true},
		{"od", "3.", 3, true},
		{"od", "+3", 3, true},
		{"od", "-3", -3, true},
		{"od", " 3 ", 3, true},
		{"od", "4.7E-02", 0.047, true},
		{"od", "\u00a03", 3, false},
		{"od", "３．５", 3.5, false},
		{"od", "'3.000", 3, false},

		{"od", `3"`, 3, false},
		{"od", `3.000"`, 3, false},
		{"od", "3″", 3, false},
		{"od", "3”", 3, false},
		{"od", "3''", 3, false},
		{"od", "3′′", 3, false},
		{"od", "3 in", 3, false},
		{"od", "3in.", 3, false},
		{"od", "3 IN", 3, false},
		{"od", "3 inches", 3, false},
		{"od", `Ø3"`, 3, false},
		{"od", "⌀ 3", 3, false},
		{"od", "76.2 mm", 3, false},
		{"od", "76.2mm", 3, false},
		{"od", "7.62 cm", 3, false},
		{"od", "0.0762 m", 3, false},
		{"od", "3'", 36, false},
		{"tube", "3", 36, true},
		{"tube", "3 in", 3, false},
		{"tube", `2' 6"`, 30, false},
		{"tube", `2'6"`, 30, false},
		{"tube", `2'-6"`, 30, false},
		{"tube", `2' - 6"`, 30, false},
		{"tube", "2 ft 6 in", 30, false},
		{"tube", "2 ft. 6 in.", 30, false},
		{"tube", `2' 6 1/2"`, 30.5, false},
		{"tube", `'2' 6"`, 30, false},
		{"extra", "2h10", 130, false},
		{"extra", "2 h 10 min", 130, false},
		{"extra", "1 h 2 min 30 s", 62.5, false},
		{"extra", "5 min 30 s", 5.5, false},
		{"extra", "2.5 h", 150, false},
		{"od mm", "76.2", 76.2, true},
		{"od mm", `3"`, 76.2, false},
		{"od mm", "3 in", 76.2, false},
		{"od in mm", "76.2", 3, true},
		{"od in mm", "3 in", 3, false},
		{"no heading", "3", 3, true},

		{"od", "2 1/2", 2.5, false},
		{"od", "2-1/2", 2.5, false},
		{"od", `2-1/2"`, 2.5, false},
		{"od", `2 1/2 in`, 2.5, false},
		{"od", "1/16", 0.0625, false},
		{"od", "2½", 2.5, false},
		{"od", "2 ½", 2.5, false},
		{"od", `1¼"`, 1.25, false},
		{"od", "⅛", 0.125, false},
		{"od", "2¹⁄₂", 2.5, false},
		{"od", "1¹¹⁄₁₆", 1.6875, false},
		{"od", "1⅟16", 1.0625, false},
		{"od", "1 1⁄2", 1.5, false},
		{"od", "-2 1/2", -2.5, false},

		{"bend", "90", 90, true},
		{"bend", "90°", 90, false},
		{"bend", "90º", 90, false},
		{"bend", "90 deg", 90, false},
		{"bend", "90 deg.", 90, false},
		{"bend", "90 degrees", 90, false},
		{"bend", "11 1/4°", 11.25, false},
		{"bend", "22° 30'", 22.5, false},
		{"bend", "11°15'", 11.25, false},
		{"bend", "11°15′36″", 11.26, false},

		{"wall", "18 ga", 0.049, false},
		{"wall", "18ga", 0.049, false},
		{"wall", "18 ga.", 0.049, false},
		{"wall", "16 gauge", 0.065, false},
		{"wall", "16 GAGE", 0.065, false},
		{"wall", "BWG 20", 0.035, false},
		{"wall", "ga. 20", 0.035, false},
		{"wall mm", "18 ga", 1.2446, false},
		{"cup", "#16", 1, false},
		{"cup", "# 14", 0.875, false},
		{"cup", "No. 14", 0.875, false},
		{"cup", "№ 12", 0.75, false},
		{"cup mm", "#16", 25.4, false},

		{"qty", "4", 4, true},
		{"qty", "4 ea", 4, false},
		{"qty", "4 pcs.", 4, false},
		{"qty", "4x", 4, false},
		{"qty", "1/3", 1.0 / 3, false},
		{"yield", "85%", 0.85, false},
		{"yield", "85 ％", 0.85, false},
		{"yield", "85 percent", 0.85, false},
		{"bid", "$1200", 1200, false},
		{"bid", "1200.50 €", 1200.5, false},
		{"flow", "35 cfh", 35, false},
		{"flow", "35 ft³/h", 35, false},
		{"flow", "35 ft3/h", 35, false},
	} {
		r, err := m.Quantity(c.raw, w[c.want])
		if assert.NoError(t, err, "%s %q", c.want, c.raw) {
			assert.Equal(t, c.value, r.Value, "%s %q", c.want, c.raw)
			assert.Equal(t, c.plain, r.Plain, "whether %s %q is plain", c.want, c.raw)
			assert.False(t, r.PerOD)
			assert.NotEmpty(t, r.Note)
		}
	}
}

func TestQuantityPerDiameter(t *testing.T) {
	m := measures(t)
	w := wants(t)
	for _, raw := range []string{"1.5D", "1.5d", "1.5 D", "1.5 x D", "1.5 x OD", "1.5xOD", "1.5×OD", "1.5 * od", "1 1/2 D", "1.5 O.D.", "1½D", "1.5 dia"} {
		r, err := m.Quantity(raw, w["clr"])
		require.NoError(t, err, "%q", raw)
		assert.Equal(t, Reading{Value: 1.5, PerOD: true, Note: "1.5 x OD"}, r, "%q", raw)
	}
	_, err := m.Quantity("1.5D", w["od"])
	assert.EqualError(t, err, `od is text "1.5D", a multiple of the diameter; write the od itself`)
}

func TestQuantityNotes(t *testing.T) {
	m := measures(t)
	w := wants(t)
	for _, c := range []struct{ want, raw, note string }{
		{"od", `3"`, "3 in"},
		{"od", "2 1/2", "2.5 in"},
		{"od", "76.2 mm", "76.2 mm = 3 in"},
		{"od in mm", "76.1", "76.1 mm = 2.996063 in"},
		{"wall", "18 ga", "18 ga (Birmingham wire gauge) = 0.049 in"},
		{"wall mm", "18 ga", "18 ga (Birmingham wire gauge) = 0.049 in = 1.2446 mm"},
		{"cup", "#14", "number 14 cup = 0.875 in"},
		{"yield", "85%", "85 %"},
		{"qty", "4 ea", "4 each"},
		{"tube", `2' 6"`, "2.5 ft = 30 in"},
	} {
		r, err := m.Quantity(c.raw, w[c.want])
		require.NoError(t, err, "%q", c.raw)
		assert.Equal(t, c.note, r.Note, "%q", c.raw)
	}
}

func TestQuantityUnreadable(t *testing.T) {
	m := measures(t)
	w := wants(t)
	const write = "write a number, or one with its unit, such as 3 in"
	for _, c := range []struct{ want, raw, message string }{
		{"wall", "", "wall is blank; " + write},
		{"wall", "  ", "wall is blank; " + write},
		{"wall", "tbd", `wall is text "tbd"; ` + write},
		{"wall", "?", `wall is text "?"; ` + write},
		{"wall", "-", `wall is text "-"; ` + write},
		{"od", "~3", `od is text "~3"; ` + write},
		{"od", "3?", `od is text "3?"; ` + write},
		{"od", "3 1", `od is text "3 1"; ` + write},
		{"od", "1.2.3", `od is text "1.2.3"; ` + write},
		{"od", "1/2/24", `od is text "1/2/24"; ` + write},
		{"od", "1/0", `od is text "1/0"; ` + write},
		{"od", "3²", `od is text "3²"; ` + write},
		{"od", "3x4", `od is text "3x4"; ` + write},
		{"od", "=3", `od is text "=3"; ` + write},
		{"bend", "165/15", `bend is text "165/15", two numbers with a bar between; write the one that is meant; give the other a column of its own`},
		{"bend", "15/90", `bend is text "15/90", two numbers with a bar between; write the one that is meant; give the other a column of its own`},
		{"od", "3/2", `od is text "3/2", two numbers with a bar between; write the one that is meant; give the other a column of its own`},
		{"od", "2 3/2", `od is text "2 3/2"; ` + write},
		{"od", "see\nnote", `od is text "see note"; ` + write},

		// A comma is a decimal sign here and sets thousands apart there.
		{"wall", "1,2", `wall is text "1,2"; write 1.2`},
		{"wall", "0,047", `wall is text "0,047"; write 0.047`},
		{"wall", ",047", `wall is text ",047"; write .047`},
		{"wall", "1,2 mm", `wall is text "1,2 mm"; write 1.2 mm`},
		{"wall", "1，2", `wall is text "1，2"; write 1.2`},
		{"tube", "1,234", `tube is text "1,234", thousands or a decimal; write 1.234 or 1234`},
		{"tube", "1,234,567", `tube is text "1,234,567", with a comma in it; write the number without setting thousands apart`},
		{"tube", "1,234.5", `tube is text "1,234.5", with a comma in it; write the number without setting thousands apart`},
		{"tube", "3, 4", `tube is text "3, 4", with a comma in it; write the number without a comma`},

		{"od", "3-4", `od is text "3-4", a range; write one value`},
		{"od", "3 - 4", `od is text "3 - 4", a range; write one value`},
		{"od", "3–4", `od is text "3–4", a range; write one value`},
		{"od", "3 to 4", `od is text "3 to 4", a range; write one value`},
		{"od", "3..4", `od is text "3..4", a range; write one value`},
		{"od", `3"-4"`, `od is text "3"-4""; ` + write},
		{"od", "'3'", `od is text "'3'", in quotation marks; ` + write},

		{"od", "3 lb", `od is text "3 lb", lb where length is wanted; ` + write},
		{"od", "90°", `od is text "90°", ° where length is wanted; ` + write},
		{"od", "85%", `od is text "85%", % where length is wanted; ` + write},
		{"qty", `3"`, `qty is text "3"", in where a plain number is wanted; write a number`},
		{"bend", "15'", `bend is text "15'", ft where angle is wanted; write a number, or one with its unit, such as 3 °`},
		{"tube", `2' 12"`, `tube is text "2' 12""; ` + write},
		{"tube", "2' 6", `tube is text "2' 6"; ` + write},
		{"tube", `2.5' 6"`, `tube is text "2.5' 6""; ` + write},

		{"od", "18 ga", `od is text "18 ga", a wall gauge; ` + write},
		{"wall", "19 ga", `wall is text "19 ga", a gauge that is not in the table (10, 12, 14, 16, 17, 18, 20, 22, 24, 25); write the wall itself`},
		{"wall", "18.5 ga", `wall is text "18.5 ga", a gauge that is not in the table (10, 12, 14, 16, 17, 18, 20, 22, 24, 25); write the wall itself`},
		{"wall", "18 SWG", `wall is text "18 SWG", a gauge that the program has no table of; write the wall itself`},
		{"od", "#16", `od is text "#16", a number with a name's sign; ` + write},
		{"cup", "#0", `cup_bore is text "#0", no cup's number; ` + write},
		{"cup", "#1/2", `cup_bore is text "#1/2", no cup's number; ` + write},
		{"wall", "Ø3", `wall is text "Ø3"; ` + write},
		{"od", strings.Repeat("9", 200), `od is text "` + strings.Repeat("9", 40) + `..."; ` + write},
	} {
		_, err := m.Quantity(c.raw, w[c.want])
		assert.EqualError(t, err, c.message, "%s %q", c.want, c.raw)
		var unreadable *Unreadable
		assert.True(t, errors.As(err, &unreadable))
	}
}

// A value written in any notation reads as the same value.
func TestQuantityRoundTrip(t *testing.T) {
	m := measures(t)
	w := wants(t)
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.Int64Range(0, 400).Draw(t, "whole")
		den := int64(1) << rapid.IntRange(1, 6).Draw(t, "power")
		num := rapid.Int64Range(1, den-1).Draw(t, "over")
		exact := new(big.Rat).Add(big.NewRat(whole, 1), big.NewRat(num, den))
		x, _ := exact.Float64()
		millimetres := new(big.Rat).Mul(exact, big.NewRat(254, 10))
		decimal := strconv.FormatFloat(x, 'f', -1, 64)
		wide := strings.Map(func(r rune) rune {
			if unicode.IsDigit(r) {
				return r - '0' + '０'
			}
			return r
		}, decimal)
		feet := fmt.Sprintf(`%d' %d %d/%d"`, whole/12, whole%12, num, den)
		texts := []string{
			decimal, wide, "'" + decimal, " " + decimal + "\u00a0",
			decimal + `"`, decimal + " in", decimal + "in.", decimal + "″", "Ø" + decimal,
			strconv.FormatFloat(x, 'e', -1, 64),
			fmt.Sprintf("%d %d/%d", whole, num, den),
			fmt.Sprintf("%d-%d/%d in", whole, num, den),
			millimetres.FloatString(10) + " mm",
			feet,
		}
		if whole == 0 {
			texts = append(texts, fmt.Sprintf("%d/%d", num, den))
		}
		for _, text := range texts {
			r, err := m.Quantity(text, w["od"])
			if err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			if r.Value != x {
				t.Fatalf("%q reads as %v, not %v", text, r.Value, x)
			}
		}
		degrees := fmt.Sprintf("%d° %s'", whole, new(big.Rat).Mul(big.NewRat(num, den), big.NewRat(60, 1)).FloatString(10))
		if r, err := m.Quantity(degrees, w["bend"]); err != nil || r.Value != x {
			t.Fatalf("%q reads as %v (%v), not %v", degrees, r.Value, err, x)
		}
	})
}

// A bare number reads as the number that Go's own reader makes of it.
func TestPlainAgreesWithStrconv(t *testing.T) {
	m := measures(t)
	w := wants(t)["od"]
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1e9, 1e9).Draw(t, "x")
		text := strconv.FormatFloat(x, 'f', -1, 64)
		if len(text) > 30 {
			t.Skip("more digits than a quantity has")
		}
		r, err := m.Quantity(text, w)
		if err != nil || r.Value != x || !r.Plain {
			t.Fatalf("%q reads as %+v (%v)", text, r, err)
		}
	})
}

func FuzzQuantity(f *testing.F) {
	for _, s := range []string{`3"`, "2 1/2", "2-1/2\"", "1,234", "76.2 mm", `2' 6"`, "90°", "18 ga", "#16", "1.5D", "85%", "½", "3–4", "1e99", "1e-99", "'", "''", "ft. 6", "1.", ".", "1/3", "\xff", "3²", "1⅟", "$1", "3 in/in*in", "5 ft 3/", "0x1F", "1_000", "00000000000000000000000000000000001"} {
		for kind := range byte(6) {
			f.Add(s, kind)
		}
	}
	m := measures(f)
	byName := wants(f)
	kinds := []Want{byName["od"], byName["od in mm"], byName["wall mm"], byName["clr"], byName["bend"], byName["cup"], byName["qty"], byName["bid"], byName["yield"]}
	f.Fuzz(func(t *testing.T, raw string, kind byte) {
		w := kinds[int(kind)%len(kinds)]
		r, err := m.Quantity(raw, w)
		if err != nil {
			var unreadable *Unreadable
			if !errors.As(err, &unreadable) || unreadable.What == "" || unreadable.Fix == "" {
				t.Fatalf("%q: %#v", raw, err)
			}
			return
		}
		if !m.May(raw) {
			t.Fatalf("%q reads as %+v, and is told to be none", raw, r)
		}
		if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || r.Note == "" || strings.Contains(raw, ",") {
			t.Fatalf("%q reads as %+v", raw, r)
		}
		if size := math.Abs(r.Value); r.PerOD || size > 1e12 || size != 0 && size < 1e-6 {
			return
		}
		// Written plainly in the unit of the book, it is the same value.
		text := strconv.FormatFloat(r.Value, 'f', -1, 64)
		w.Heading = w.Dim
		if w.Dim.String() == "%" {
			return
		}
		if again, err := m.Quantity(text, w); err != nil || again.Value != r.Value || !again.Plain {
			t.Fatalf("%q reads as %v, and %q as %+v (%v)", raw, r.Value, text, again, err)
		}
	})
}
