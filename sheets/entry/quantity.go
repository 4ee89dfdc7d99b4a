package entry

import (
	"math/big"
	"strconv"
	"strings"
	"unicode"

	"seamtally/compute/units"
)

// Want says what a cell is expected to hold.
type Want struct {
	Key      string     // for messages
	Dim      units.Unit // unit of the book for this key; values are given in it
	Heading  units.Unit // unit of bare numbers; one of another dimension stands for Dim
	Relative bool       // may be a multiple of the outside diameter: "1.5D"
	Gauge    bool       // may be a wall gauge: "18 ga"
	Cup      bool       // may be a cup's number: "#16", in sixteenths of an inch of bore
	Round    bool       // a diameter sign may stand before it: `Ø3"`
	Count    bool       // a plain number, which may be a word: "two"
}

// Want is what the cells of the column hold, in a book whose unit for it is
// dim and below a heading of unit heading (dim where it names none).
func (c Column) Want(dim, heading units.Unit) Want {
	return Want{Key: c.Key, Dim: dim, Heading: heading, Relative: c.Relative, Gauge: c.Gauge, Round: c.Round, Count: c.Takes == TakesCount}
}

// Reading is a quantity as it was read.
type Reading struct {
	Value float64 // in the unit of the book; a multiple where PerOD; 0.85 for 85 %
	Plain bool    // the text is a bare decimal number, one that a spreadsheet's VALUE reads too
	PerOD bool    // the value is a multiple of the outside diameter
	Note  string  // how it was read, for the user: "76.2 mm = 3 in"
}

// Unreadable says why a cell is not taken, and what to write.
type Unreadable struct {
	What string // `wall is text "1,2"`
	Fix  string // "write 1.2"
}

func (e *Unreadable) Error() string { return e.What + "; " + e.Fix }

// longestQuantity bounds the text of a quantity, in bytes; a longer one is a
// note.
const longestQuantity = 120

// Quantity reads a text as a quantity. The text may carry its own unit
// (`3"`, "76.2 mm", "90°", "85%"), be a fraction (2 1/2, 2-1/2, 2½), or, where
// w allows it, a wall gauge, a cup's number, a multiple of the diameter or a word of a number;
// feet with inches (2' 6") and degrees with minutes (22° 30') are read, and so
// is the currency sign of a sum of money. The value is exact until it is rounded to the nearest float64. The error is an
// *Unreadable.
func (m *Measures) Quantity(raw string, w Want) (Reading, error) {
	if !w.Heading.SameDim(w.Dim) {
		w.Heading = w.Dim
	}
	q := query{m: m, w: w, raw: raw}
	if len(raw) > longestQuantity {
		return Reading{}, q.fault("", q.writeNumber())
	}
	text := cleanQuantity(raw)
	switch {
	case text == "":
		return Reading{}, &Unreadable{w.Key + " is blank", q.writeNumber()}
	case strings.Contains(text, ","):
		return Reading{}, q.comma(text)
	}
	if rest, found := strings.CutPrefix(text, "'"); found {
		if strings.HasSuffix(rest, "'") {
			return Reading{}, q.fault("in quotation marks", q.writeNumber())
		}
		text = strings.TrimSpace(rest)
	}
	if rest, found := strings.CutPrefix(text, "ø"); found && w.Round {
		text = strings.TrimSpace(rest)
	}
	if q.w.Dim.Dimension() == "money" {
		text = strings.TrimSpace(strings.TrimFunc(text, isMoney))
	}
	if w.Count {
		text = m.inDigits(text)
	}
	if named, found := q.prefixed(text); found {
		return named()
	}
	n, rest, ok := scanNumber(text)
	if !ok {
		return Reading{}, q.fault("", q.writeNumber())
	}
	if n.under != "" && !q.isFraction(n) {
		return Reading{}, q.fault("two numbers with a bar between", "write the one that is meant; give the other a column of its own")
	}
	rest = strings.TrimSpace(rest)
	if rest == "" {
		return q.bare(n, text)
	}
	return q.behind(n, rest)
}

// May reports whether a text begins as a quantity does, and has behind its number what may
// stand behind one, whatever is wanted of it: what has not is none, which is quickly seen.
func (m *Measures) May(raw string) bool {
	if first := strings.TrimLeft(raw, " '"); first == "" || isPlainLetter(plainByte(first[0])) && strings.IndexByte("nbgNBG", first[0]) < 0 {
		return false // none of "no. 16", "BWG 18", "ga 18"
	}
	if !m.mayHaveWord(raw) {
		return false
	}
	clean := cleanQuantity(raw)
	if strings.Contains(clean, ",") {
		return false
	}
	text := strings.TrimSpace(strings.TrimPrefix(clean, "'"))
	text = strings.TrimLeftFunc(strings.TrimPrefix(text, "ø"), func(r rune) bool { return unicode.IsSpace(r) || isMoney(r) })
	q := query{m: m}
	if _, named := q.prefixed(text); named {
		return true
	}
	n, rest, number := scanNumber(text)
	rest = strings.TrimSpace(rest)
	if !number || q.mayBehind(n, rest) {
		return number
	}
	plain := strings.TrimSpace(strings.TrimRightFunc(rest, isMoney))
	return plain != rest && q.mayBehind(n, plain)
}

func isMoney(r rune) bool { return unicode.Is(unicode.Sc, r) }

// mayBehind reports whether a quantity may have a text behind its number.
func (q query) mayBehind(n number, rest string) bool {
	if rest == "" || isDiameter(rest) || gaugeWord(rest) == ownGauge {
		return true
	}
	if _, ok := q.m.Unit(rest); ok && !digitAt(rest, 0) {
		return true
	}
	_, _, ok := q.compound(n, rest)
	return ok
}

// isFraction reports whether a number over another is a part of one: of a length or an
// angle in halves, quarters and so on, as a rule has them. Else it is two numbers.
func (q query) isFraction(n number) bool {
	if n.value.Cmp(big.NewRat(1, 1)) >= 0 || n.value.Cmp(big.NewRat(-1, 1)) <= 0 {
		return false
	}
	under, err := strconv.Atoi(n.under)
	return q.w.Dim.IsPlain() || err == nil && under <= 64 && under&(under-1) == 0
}

// query is one text being read.
type query struct {
	m   *Measures
	w   Want
	raw string
}

// fault is the error for the text; why may be "".
func (q query) fault(why, fix string) *Unreadable {
	what := q.w.Key + " is text " + quoted(q.raw)
	if why != "" {
		what += ", " + why
	}
	return &Unreadable{what, fix}
}

// writeNumber tells what to write in place of the text.
func (q query) writeNumber() string {
	if unit := q.w.Dim.String(); !q.w.Dim.IsPlain() {
		return "write a number, or one with its unit, such as 3 " + unit
	}
	return "write a number"
}

// comma is the error for a text with a comma, which may be a decimal sign or
// set thousands apart. It offers the plain spellings.
func (q query) comma(text string) *Unreadable {
	point := strings.Replace(text, ",", ".", 1)
	_, _, number := scanNumber(point)
	before, after, _ := strings.Cut(text, ",")
	group, behind := leadingDigits(after)
	switch {
	case !number || group == "" || strings.ContainsAny(before, ",. "):
		return q.fault("with a comma in it", "write the number without a comma")
	case strings.ContainsAny(behind, ",."):
		return q.fault("with a comma in it", "write the number without setting thousands apart")
	case len(group) == 3 && strings.Trim(before, "-+0") != "":
		return q.fault("thousands or a decimal", "write "+point+" or "+strings.Replace(text, ",", "", 1))
	}
	return q.fault("", "write "+point)
}

// bare reads a number without a unit.
func (q query) bare(n number, text string) (Reading, error) {
	r, err := q.reading(n.value, q.w.Heading)
	if err != nil {
		return Reading{}, err
	}
	r.Plain = n.decimal && strings.Trim(q.raw, " ") == text
	return r, nil
}

// behind reads a number with something behind it, mostly a unit.
func (q query) behind(n number, rest string) (Reading, error) {
	if isDiameter(rest) {
		return q.relative(n)
	}
	switch gaugeWord(rest) {
	case ownGauge:
		return q.gauge(n)
	case otherGauge:
		return Reading{}, q.fault("a gauge that the program has no table of", "write the wall itself")
	}
	if strings.HasPrefix(rest, "-") || strings.HasPrefix(rest, "–") || strings.HasPrefix(rest, "—") ||
		strings.HasPrefix(rest, "..") || strings.HasPrefix(strings.ToLower(rest), "to ") {
		return Reading{}, q.fault("a range", "write one value")
	}
	if unit, ok := q.m.Unit(rest); ok && !digitAt(rest, 0) {
		return q.reading(n.value, unit)
	}
	value, unit, ok := q.compound(n, rest)
	if !ok {
		return Reading{}, q.fault("", q.writeNumber())
	}
	return q.reading(value, unit)
}

const ownGauge, otherGauge = 1, 2

// gaugeWord tells whether what stands behind a number makes it a gauge, of the table that
// the program has or of another.
func gaugeWord(rest string) int {
	switch strings.TrimSuffix(strings.ToLower(rest), ".") {
	case "ga", "gage", "gauge", "bwg", "ga bwg", "gauge bwg":
		return ownGauge
	case "swg", "awg", "ga swg", "usg":
		return otherGauge
	}
	return 0
}

// reading converts a value in unit into the unit of the book.
func (q query) reading(value *big.Rat, unit units.Unit) (Reading, error) {
	dim := q.w.Dim
	if !unit.SameDim(dim) {
		kind := "a plain number"
		if !dim.IsPlain() {
			kind = dim.Dimension()
		}
		return Reading{}, q.fault(unit.String()+" where "+kind+" is wanted", q.writeNumber())
	}
	if unit.OtherDays(dim) {
		return Reading{}, q.fault("in days, and a day of 24 hours is none of a shop's", q.writeNumber())
	}
	factor, err := exactFactor(unit, dim)
	if err != nil {
		return Reading{}, q.fault(err.Error(), q.writeNumber())
	}
	result := new(big.Rat).Mul(value, factor)
	if unit.String() == "%" {
		result.Quo(result, big.NewRat(100, 1))
	}
	r := Reading{Value: toFloat(result)}
	r.Note = strings.TrimSpace(show(r.Value) + " " + dim.String())
	if unit.String() == "%" {
		r.Note = show(toFloat(value)) + " %"
	} else if factor.Cmp(big.NewRat(1, 1)) != 0 {
		r.Note = show(toFloat(value)) + " " + unit.String() + " = " + r.Note
	}
	return r, nil
}

func toFloat(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

// show writes a value for people: at most seven digits.
func show(x float64) string {
	s := strconv.FormatFloat(x, 'g', 7, 64)
	if f, err := strconv.ParseFloat(s, 64); err == nil {
		s = strconv.FormatFloat(f, 'f', -1, 64)
	}
	return s
}

// quoted is raw in quotation marks, on one line and not too long.
func quoted(raw string) string {
	text := strings.Join(strings.Fields(raw), " ")
	if runes := []rune(text); len(runes) > 40 {
		text = string(runes[:40]) + "..."
	}
	return `"` + text + `"`
}
