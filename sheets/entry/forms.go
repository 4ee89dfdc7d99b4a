package entry

import (
	"math/big"
	"strings"

	"seamtally/compute/units"
)

// sixteenths of an inch are what a cup's number counts (common practice, no
// source).
const sixteenths = 16

// largestCup bounds the numbers taken for a cup's.
const largestCup = 64

// isDiameter tells whether what stands behind a number makes it a multiple of
// the outside diameter: "D", "x OD", "× D".
func isDiameter(rest string) bool {
	what := strings.TrimLeft(strings.ToLower(rest), "x×* ")
	switch strings.ReplaceAll(what, ".", "") {
	case "d", "od", "dia", "diameter", "diameters", "ø":
		return true
	}
	return false
}

// relative reads a multiple of the outside diameter.
func (q query) relative(n number) (Reading, error) {
	if !q.w.Relative {
		return Reading{}, q.fault("a multiple of the diameter", "write the "+q.w.Key+" itself")
	}
	value := toFloat(n.value)
	return Reading{Value: value, PerOD: true, Note: show(value) + " x OD"}, nil
}

// prefixed reads a text that begins with a word or sign instead of a number:
// "#16", "no. 16" (a cup), "BWG 18". found is false for any other text.
func (q query) prefixed(text string) (read func() (Reading, error), found bool) {
	lower := strings.ToLower(text)
	for _, p := range []string{"#", "no.", "no"} {
		if rest, ok := strings.CutPrefix(lower, p); ok {
			if n, behind, ok := scanNumber(strings.TrimSpace(rest)); ok && behind == "" {
				return func() (Reading, error) { return q.cup(n) }, true
			}
		}
	}
	for _, p := range []string{"bwg", "gauge", "gage", "ga"} {
		if rest, ok := strings.CutPrefix(lower, p); ok {
			rest = strings.TrimPrefix(rest, ".")
			if n, behind, ok := scanNumber(strings.TrimSpace(rest)); ok && behind == "" {
				return func() (Reading, error) { return q.gauge(n) }, true
			}
		}
	}
	return nil, false
}

// gauge reads a wall gauge.
func (q query) gauge(n number) (Reading, error) {
	if !q.w.Gauge {
		return Reading{}, q.fault("a wall gauge", q.writeNumber())
	}
	wall, ok := (*big.Rat)(nil), false
	if n.value.IsInt() && n.value.Num().IsInt64() {
		wall, ok = q.m.gauges[n.value.Num().Int64()]
	}
	if !ok {
		return Reading{}, q.fault("a gauge that is not in the table ("+q.m.gaugeNumbers()+")", "write the wall itself")
	}
	r, err := q.inches(wall)
	if err == nil {
		r.Note = n.value.Num().String() + " ga (Birmingham wire gauge) = " + r.Note
	}
	return r, err
}

// cup reads the number of a cup.
func (q query) cup(n number) (Reading, error) {
	if !q.w.Cup {
		return Reading{}, q.fault("a number with a name's sign", q.writeNumber())
	}
	if !n.value.IsInt() || n.value.Sign() <= 0 || n.value.Cmp(big.NewRat(largestCup, 1)) > 0 {
		return Reading{}, q.fault("no cup's number", q.writeNumber())
	}
	r, err := q.inches(new(big.Rat).Quo(n.value, big.NewRat(sixteenths, 1)))
	if err == nil {
		r.Note = "number " + n.value.Num().String() + " cup = " + r.Note
	}
	return r, err
}

// inches is the reading of a value in inches.
func (q query) inches(value *big.Rat) (Reading, error) {
	unit, err := units.Parse("in")
	if err != nil {
		return Reading{}, q.fault(err.Error(), q.writeNumber())
	}
	return q.reading(value, unit)
}

// part is one number with its unit in a text that has several.
type part struct {
	number
	unit string
}

// compound reads feet with inches (2' 6 1/2", 2 ft 6 in), degrees with minutes
// and seconds of arc (22° 30', 11°15'30"), and hours with minutes and seconds
// (2h10, 2 h 10 min): n with what stands behind it. The value is in the unit of
// the first.
func (q query) compound(n number, rest string) (*big.Rat, units.Unit, bool) {
	parts := []part{{n, ""}}
	for rest != "" {
		end := strings.IndexAny(rest, "0123456789.")
		// The point behind "ft." is no number's.
		for end >= 0 && rest[end] == '.' && !digitAt(rest, end+1) {
			next := strings.IndexAny(rest[end+1:], "0123456789.")
			if next < 0 {
				end = -1
				break
			}
			end += 1 + next
		}
		last := &parts[len(parts)-1]
		if end < 0 {
			last.unit = rest
			break
		}
		last.unit = strings.TrimSuffix(strings.TrimSpace(rest[:end]), "-")
		next, behind, ok := scanNumber(rest[end:])
		if !ok || len(parts) == 3 {
			return nil, units.Unit{}, false
		}
		parts = append(parts, part{next, ""})
		rest = strings.TrimSpace(behind)
	}
	return q.sum(parts)
}

// sum adds up the parts if their units go together. Only the last may have a
// fraction, and each but the first is less than one of the unit before.
func (q query) sum(parts []part) (*big.Rat, units.Unit, bool) {
	first, ok := q.m.Unit(parts[0].unit)
	per, signs := int64(12), []string{"ft", "in"}
	switch first.String() {
	case "°":
		per, signs = 60, []string{"°", "'", `"`}
	case "h":
		per, signs = 60, []string{"h", "min", "s"}
		if last := &parts[len(parts)-1]; len(parts) == 2 && last.unit == "" {
			last.unit = "min" // 2h10
		}
	case "min":
		per, signs = 60, []string{"min", "s"}
	}
	if !ok || len(parts) < 2 || len(parts) > len(signs) || first.String() != signs[0] {
		return nil, first, false
	}
	total := new(big.Rat)
	scale := big.NewRat(1, 1)
	for i, p := range parts {
		whole := p.value.IsInt() || i == len(parts)-1
		small := i == 0 || p.value.Cmp(big.NewRat(per, 1)) < 0
		if !whole || !small || p.value.Sign() < 0 || !q.isSign(p.unit, signs[i]) {
			return nil, first, false
		}
		total.Add(total, new(big.Rat).Mul(p.value, scale))
		scale = new(big.Rat).Quo(scale, big.NewRat(per, 1))
	}
	return total, first, true
}

// isSign tells whether text is the sign itself, or a spelling of the unit that
// the sign stands for. Of arc, the marks for feet and inches mean minutes and
// seconds, so that there only the mark will do.
func (q query) isSign(text, sign string) bool {
	text = strings.TrimSpace(text)
	if text == sign {
		return true
	}
	unit, ok := q.m.Unit(text)
	return ok && unit.String() == sign
}
