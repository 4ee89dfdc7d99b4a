package model

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"seamtally/compute/formula"
)

// call writes a name of a formula for a person: arc time, setup's travel.
func call(table, key string) string {
	key = strings.ReplaceAll(key, "_", " ")
	if table = strings.TrimSuffix(table, ColumnMark); table == "" {
		return key
	}
	if strings.HasSuffix(table, "s") {
		return table + "' " + key
	}
	return table + "'s " + key
}

// Spelled is the formula of a figure for a person.
func (q *Quantity) Spelled() string {
	return call("", q.Key) + " = " + q.formula.Spell(formula.SpellOptions{Name: call})
}

// Describe writes the whole model as text: each figure with its unit, formula,
// reason and source, every one after those that it needs.
func (m *Model) Describe(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "The figures, %s units. Names are those of the formulas in the workbook.\n", m.System)
	for _, s := range m.all() {
		m.describeScope(b, s)
	}
	return b.Flush()
}

func (m *Model) describeScope(b *bufio.Writer, s *Scope) {
	title := s.Title
	if s.Sheet != "" {
		title = strings.TrimSpace("On the sheet " + s.Sheet + ": " + title)
	}
	fmt.Fprintf(b, "\n== %s (%s)\n", strings.TrimSuffix(title, ":"), s.Name)
	sides := map[*Quantity]bool{}
	for _, q := range s.Quantities {
		sides[q.Here], sides[q.There] = true, true
	}
	for _, q := range s.Quantities {
		if q.node == nil {
			m.describeGiven(b, q)
		}
	}
	for _, q := range s.Order() {
		if sides[q] {
			continue
		}
		fmt.Fprintf(b, "\n%s [%s]  %s\n", q.Key, UnitName(q), q.Heading)
		if q.Here != nil {
			fmt.Fprintf(b, "  %s\n  has to be %s\n", q.Here.side(), q.There.side())
			continue
		}
		if q.Role == Input {
			fmt.Fprintf(b, "  if blank: %s\n", q.src.Text)
			continue
		}
		fmt.Fprintf(b, "  = %s\n", q.src.Text)
		for _, f := range []struct{ name, text string }{{"why", q.Why}, {"source", q.Source}, {"fix", q.Fix}} {
			if f.text != "" {
				fmt.Fprintf(b, "  %s: %s\n", f.name, f.text)
			}
		}
	}
}

// side is one of the two amounts of a check.
func (q *Quantity) side() string {
	if q.Kept && q.src.Text != "0" {
		return q.src.Text + ", as the run found it,"
	}
	return q.src.Text
}

// describeGiven writes what is typed rather than worked out.
func (m *Model) describeGiven(b *bufio.Writer, q *Quantity) {
	switch {
	case q.Role == Assumption && q.IsText():
		fmt.Fprintf(b, "\n%s  %s\n  shipped: %s\n", q.Key, q.Heading, q.TextValue)
	case q.Role == Assumption:
		fmt.Fprintf(b, "\n%s [%s]  %s\n  shipped: %s", q.Key, UnitName(q), q.Heading, formula.GeneralText(q.Value))
		if q.HasRange {
			fmt.Fprintf(b, ", usual %s to %s", formula.GeneralText(q.Low), formula.GeneralText(q.High))
		}
		fmt.Fprintf(b, "\n  basis: %s\n", q.Source)
	case q.Role == Input && q.Needed:
		fmt.Fprintf(b, "\n%s [%s]  %s\n  always needed\n", q.Key, UnitName(q), q.Heading)
	case q.Role == Column:
		fmt.Fprintf(b, "\n%s [%s]  %s\n", q.Key, UnitName(q), q.Heading)
	}
}

// UnitLabel is the unit that a heading names; "" for counts and texts, and for
// shares, whose number format shows the sign.
func UnitLabel(q *Quantity) string {
	u := q.Unit.String()
	if q.IsText() || q.Unit.IsPlain() && u != "ppm" {
		return ""
	}
	return u
}

// UnitName is the unit for a list of figures: counts have their word, plain
// numbers a 1.
func UnitName(q *Quantity) string {
	if u := UnitLabel(q); u != "" {
		return u
	}
	if u := q.Unit.String(); u == "%" {
		return u
	}
	switch q.UnitOf {
	case "", "factor", "flag":
		if q.IsText() {
			return "text"
		}
		return "1"
	}
	return q.UnitOf
}
