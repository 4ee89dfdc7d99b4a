package model

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

// Multiple is how many times another input of its row an input usually is.
type Multiple struct {
	Of        *Quantity
	Low, High float64
}

// Counting is what the number of an input may be in place of an amount: how many parts of
// another input there are, each of them usually as large as an assumption says.
type Counting struct {
	Into *Quantity
	Each *Quantity // a single assumption
}

// readCounting reads "parts of bend, each default_pie_angle".
func (m *Model) readCounting(text string, q *Quantity) error {
	of, each, _ := strings.Cut(strings.TrimPrefix(text, "parts of "), ", each ")
	c := &Counting{Into: m.Line.byKey[of], Each: m.Singles.byKey[each]}
	for _, other := range []*Quantity{c.Into, c.Each} {
		if other == nil || other.IsText() || !other.Unit.SameDim(q.Unit) {
			return fmt.Errorf("%s counts, as it is written, parts of an input above it, each a single assumption, of its unit", q.Key)
		}
	}
	q.Counts = c
	return nil
}

// AsParts takes a number of a line for one of parts: how large each is then, and how many
// times nearer to what is usual than the number itself. 6 pies of a bend of 90 ° are usual,
// and pies of 6 ° are not. It is 0 times where it cannot be one.
func (q *Quantity) AsParts(line, singles *formula.Frame) (each, nearer float64) {
	c := q.Counts
	x, whole, usual := q.Num(line), c.Into.Num(line), c.Each.Num(singles)
	if x < 1 || x != math.Trunc(x) || whole <= 0 || usual <= 0 {
		return 0, 0
	}
	off := func(x float64) float64 { return max(x/usual, usual/x) }
	each = whole / x
	return each, off(x) / off(each)
}

// readUsual reads a usual range, of which there may be none: "low to high" in the
// unit of the US book, and of an input behind a comma "low to high of wall", in
// multiples of an input above it.
func (m *Model) readUsual(text string, q *Quantity) (err error) {
	if text == "" {
		return nil
	}
	ends, times, relative := strings.Cut(text, ", ")
	if q.Low, q.High, err = m.ends(ends, q.UnitOf); err != nil || q.IsText() {
		return fmt.Errorf("the usual range of %s is written low to high, of a number", q.Key)
	}
	q.HasRange = true
	if !relative {
		return nil
	}
	ends, of, _ := strings.Cut(times, " of ")
	q.Times = &Multiple{Of: m.Line.byKey[of]}
	if q.Times.Of == nil || !q.Times.Of.Unit.SameDim(q.Unit) {
		return fmt.Errorf("there is no input %q of its unit above %s", of, q.Key)
	}
	if q.Times.Low, q.Times.High, err = m.ends(ends, ""); err != nil {
		return fmt.Errorf("the usual multiples of %s are written low to high of an input", q.Key)
	}
	return nil
}

// ends reads the two ends of a range.
func (m *Model) ends(text, purpose string) (low, high float64, err error) {
	from, to, _ := strings.Cut(text, " to ")
	if low, err = m.usual(from, purpose); err == nil {
		high, err = m.usual(to, purpose)
	}
	return low, high, err
}

// usual reads one end of a usual range, written in the unit of the US book. A
// converted end is shown to three figures: it is a rule of thumb.
func (m *Model) usual(text, purpose string) (float64, error) {
	x, err := number(text)
	r, known := m.Units[purpose]
	if err != nil || m.System == US || !known {
		return x, err
	}
	f, err := units.Conversion(r.US, r.Unit)
	if err != nil || f.IsOne() {
		return x, err
	}
	return Rough(x * f.Float()), nil
}

// Beyond reports whether a number is beyond what is usual.
func (q *Quantity) Beyond(x float64) bool { return q.HasRange && (x < q.Low || x > q.High) }

// Unusual says what is usual where a number of a line is beyond it, "" where it is
// not. 0 is no multiple of anything: there is none.
func (q *Quantity) Unusual(f *formula.Frame) string {
	x := q.Num(f)
	if q.Beyond(x) {
		return q.RangeText(q.Low, q.High)
	}
	t := q.Times
	if t == nil || x == 0 {
		return ""
	}
	of := t.Of.Num(f)
	if of <= 0 || x >= t.Low*of && x <= t.High*of {
		return ""
	}
	return q.RangeText(Rough(t.Low*of), Rough(t.High*of)) + " at that " + t.Of.Name()
}

// Rough is a number to three figures: a rule of thumb.
func Rough(x float64) float64 {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	return x
}

func (q *Quantity) RangeText(low, high float64) string {
	return shownValue(q, low) + " to " + shownValue(q, high)
}

// AmountText is a number as it is told: with its unit, if it has one.
func (q *Quantity) AmountText(x float64) string {
	unit := UnitLabel(q)
	if q.Unit.String() == "%" {
		unit = "%"
	}
	return strings.TrimSpace(shownValue(q, x) + " " + unit)
}

// Name is the heading as it stands within a sentence.
func (q *Quantity) Name() string { return Uncapped(q.Heading) }

// Uncapped is a text as it stands within a sentence: it begins small.
func Uncapped(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}
