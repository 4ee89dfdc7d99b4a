package entry

import (
	"fmt"
	"io/fs"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"seamtally/compute/units"
)

// wordsFile holds the words, units and gauges.
const wordsFile = "words.txt"

// Measures knows how units and wall gauges are written. It is safe for use by
// several goroutines at once.
type Measures struct {
	units  map[string]units.Unit
	forms  beginnings         // of units
	first  beginnings         // what the first word in a quantity may be
	gauges map[int64]*big.Rat // wall in inches
	counts *wordList          // words of numbers, each a word of its digits
}

// LoadMeasures reads the units and gauges of words.txt in fsys. An error names
// the file and line.
func LoadMeasures(fsys fs.FS) (*Measures, error) {
	fields, err := readFields(fsys, wordsFile)
	if err != nil {
		return nil, err
	}
	words, err := LoadWords(fsys)
	if err != nil {
		return nil, err
	}
	m := &Measures{counts: words.lists["count"], units: map[string]units.Unit{}, gauges: map[int64]*big.Rat{}}
	var unit units.Unit
	inUnit := false
	for _, f := range fields {
		switch {
		case f.name == "unit":
			if unit, err = units.Parse(f.text); err != nil {
				return nil, f.fault("%v", err)
			}
			inUnit = true
		case f.name == "also" && inUnit:
			if err := m.addUnit(f, unit); err != nil {
				return nil, err
			}
		case f.name == "gauge":
			inUnit = false
			if err := m.addGauge(f); err != nil {
				return nil, err
			}
		default:
			inUnit = false
		}
	}
	m.forms, m.first = beginningsOf(m.units), m.firstWords()
	return m, nil
}

func (m *Measures) addUnit(f field, unit units.Unit) error {
	for _, item := range f.list() {
		s := compact(tokens(cleanWords(item)), true)
		if other, taken := m.units[s]; taken && other != unit {
			return f.fault("%q already stands for the unit %s; keep one", item, other)
		}
		m.units[s] = unit
	}
	return nil
}

func (m *Measures) addGauge(f field) error {
	number, wall, _ := strings.Cut(f.text, " ")
	n, err := strconv.ParseInt(number, 10, 32)
	size, ok := new(big.Rat).SetString(strings.TrimSpace(wall))
	if err != nil || !ok {
		return f.fault("%q is no gauge; write its number and the wall in inches: 18 .049", f.text)
	}
	m.gauges[n] = size
	return nil
}

// Unit reads a unit as it is written in a cell or a heading.
func (m *Measures) Unit(text string) (units.Unit, bool) {
	if !m.mayBeUnit(text) {
		return units.Unit{}, false
	}
	list := tokens(cleanWords(text))
	if len(list) == 0 {
		return units.Unit{}, false
	}
	u, ok := m.units[compact(list, true)]
	if !ok {
		var err error
		u, err = units.Parse(strings.TrimSuffix(strings.TrimSpace(text), "."))
		ok = err == nil
	}
	return u, ok
}

// firstWords are the first words of units, also behind a slash, and what else may be the first
// word in a quantity: of a gauge, a cup's number, a multiple of the diameter, a power of ten.
func (m *Measures) firstWords() (out beginnings) {
	out = append(out, "bwg", "ga", "gage", "gauge", "no", "d", "od", "dia", "diameters", "e")
	for form := range m.units {
		if at := strings.IndexFunc(form, unicode.IsLetter); at >= 0 {
			out = append(out, form[at:])
		}
		for _, behind := range strings.Split(form, "per")[1:] {
			out = append(out, behind)
		}
	}
	slices.Sort(out)
	return out
}

// mayHaveWord reports whether a quantity may have the first word of a text as its own first
// one: one with another is none.
func (m *Measures) mayHaveWord(raw string) bool {
	var room [32]byte
	word, from := room[:0], 0
	for i := range len(raw) {
		c := plainByte(raw[i])
		if c >= 0x80 || len(word) == cap(word) {
			return true
		}
		if isPlainLetter(c) {
			if len(word) == 0 {
				from = i
			}
			word = append(word, c)
		} else if len(word) > 0 {
			break
		}
	}
	return len(word) == 0 || word[0] == 'x' || m.first.with(word) || units.Begins(raw[from:from+len(word)])
}

// mayBeUnit reports whether a text begins as a unit does. What has a word before anything else
// that begins none is none.
func (m *Measures) mayBeUnit(text string) bool {
	text = strings.TrimSpace(text)
	var room [32]byte
	word := room[:0]
	for i := range len(text) {
		c := plainByte(text[i])
		if c >= 0x80 || len(word) == cap(word) {
			return true
		}
		if !isPlainLetter(c) {
			break
		}
		word = append(word, c)
	}
	return len(word) == 0 || m.forms.with(word) || units.Begins(text[:len(word)])
}

// gaugeNumbers lists the gauges of the table, lowest first, for a message.
func (m *Measures) gaugeNumbers() string {
	var numbers []int64
	for n := range m.gauges {
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(numbers), " ", ", "), "[]")
}

// exactFactor is the factor from one unit to another as a rational number.
// It reads the factor's text, which is exact, because its Float is rounded.
func exactFactor(from, to units.Unit) (*big.Rat, error) {
	f, err := units.Conversion(from, to)
	if err != nil {
		return nil, err
	}
	product := big.NewRat(1, 1)
	rest := f.Text()
	for rest != "" {
		op := rest[0]
		end := strings.IndexAny(rest[1:], "*/") + 1
		if end == 0 {
			end = len(rest)
		}
		step, ok := new(big.Rat).SetString(rest[1:end])
		if !ok || step.Sign() == 0 {
			return nil, fmt.Errorf("conversion of %s to %s reads %q; use a plain unit", from, to, f.Text())
		}
		if op == '/' {
			step.Inv(step)
		}
		product.Mul(product, step)
		rest = rest[end:]
	}
	return product, nil
}
