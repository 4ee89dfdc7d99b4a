package model

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"seamtally/compute/formula"
)

// Markdown writes the model as tables for the documentation: what a joint row
// may hold, every figure, each after those that it needs, the row checks in
// the order in which they are made, and the assumptions as shipped. Formulas
// are in spreadsheet notation over the names of the figures.
func (m *Model) Markdown(w io.Writer) error {
	b := bufio.NewWriter(w)
	m.inputTable().write(b, "What a joint row may hold")
	figures(m.Line).write(b, "One line of the joint list")
	m.checkTable().write(b, "Checks of a line")
	for _, s := range m.Summary {
		title := s.Title
		if s.Name == "cars" {
			title = "One car"
		}
		figures(s).write(b, title)
	}
	figures(m.OrderOf).write(b, m.OrderOf.Title)
	figures(m.Singles).write(b, "Worked out once from the assumptions")
	for _, t := range m.Tables {
		figures(t).write(b, "Each line of the table "+t.Title)
	}
	m.assumptionTable().write(b, "Assumptions as shipped")
	m.columnTable().write(b, "Tables of Assumptions: what is usual, and what a blank cell is")
	return b.Flush()
}

func (m *Model) inputTable() markdownTable {
	t := markdownTable{head: []string{"name", "unit", "if blank", "heading"}}
	for _, q := range m.Line.Quantities {
		if q.Role == Input {
			t.add(code(q.Key), UnitName(q), ifBlank(q), q.Heading)
		}
	}
	return t
}

func (m *Model) checkTable() markdownTable {
	t := markdownTable{head: []string{"the row is", "what is found", "formula", "what to do"}}
	for _, q := range m.Checks() {
		if q.Level != LevelOK {
			t.add(consequence(q.Level), q.Heading, code(q.src.Text), q.Fix)
		}
	}
	return t
}

func (m *Model) assumptionTable() markdownTable {
	t := markdownTable{head: []string{"assumption", "unit", "shipped", "usual", "what it is", "basis"}}
	for _, q := range m.Singles.Quantities {
		if q.Role != Assumption {
			continue
		}
		value, usual := q.TextValue, ""
		if !q.IsText() {
			value = shownValue(q, q.Value)
		}
		if q.HasRange {
			usual = q.RangeText(q.Low, q.High)
		}
		t.add(code(q.Key), UnitName(q), value, usual, q.Heading, q.Source)
	}
	return t
}

// columnTable says how each column of the tables is guarded.
func (m *Model) columnTable() markdownTable {
	t := markdownTable{head: []string{"table", "column", "unit", "usual", "if blank"}}
	for _, table := range m.Tables {
		for _, q := range table.Quantities {
			if q.Role != Column || q.Key == "basis" {
				continue
			}
			usual := strings.Join(q.Choices, ", ")
			if q.HasRange {
				usual = q.RangeText(q.Low, q.High)
			}
			if a := q.Guard.Alike; a != nil {
				usual = "as other lines of one " + a.Within.Key
				if a.By != nil {
					usual += ", by " + code(a.src.Text)
				}
			}
			blank := q.Guard.Blank
			if blank == "" {
				blank = "asked about"
			}
			if q.Guard.Where != nil {
				blank += ", where " + code(q.Guard.src.Text)
			}
			t.add(table.Title, q.Heading, UnitName(q), usual, blank)
		}
	}
	return t
}

// shownValue is a value as a person writes it: a share in per cent.
func shownValue(q *Quantity, x float64) string {
	if q.Unit.String() == "%" {
		x = math.Round(x*1e8) / 1e6
	}
	if q.IsDay() && x != 0 {
		return DayText(x)
	}
	return formula.GeneralText(x)
}

// figures is the table of a scope's figures.
func figures(s *Scope) *markdownTable {
	t := &markdownTable{head: []string{"figure", "unit", "formula", "heading"}}
	for _, q := range s.Order() {
		if q.Role == Figure {
			t.add(code(q.Key), UnitName(q), code(q.src.Text), q.Heading)
		}
	}
	return t
}

func ifBlank(q *Quantity) string {
	switch {
	case q.Needed:
		return "always needed"
	case q.node == nil:
		return ""
	}
	return code(q.src.Text)
}

func consequence(l Level) string {
	if l == LevelRefuse {
		return "left out"
	}
	return "priced, and said"
}

// markdownTable is a table with a heading row.
type markdownTable struct {
	head []string
	rows [][]string
}

func (t *markdownTable) add(cells ...string) { t.rows = append(t.rows, cells) }

// write writes the table under its title; a table without rows is passed over.
func (t markdownTable) write(b *bufio.Writer, title string) {
	if len(t.rows) == 0 {
		return
	}
	fmt.Fprintf(b, "#### %s\n\n", title)
	line := func(cells []string) { fmt.Fprintf(b, "| %s |\n", strings.Join(cells, " | ")) }
	line(t.head)
	fmt.Fprintf(b, "|%s\n", strings.Repeat("---|", len(t.head)))
	for _, r := range t.rows {
		cells := make([]string, len(r))
		for i, c := range r {
			cells[i] = strings.ReplaceAll(c, "|", `\|`) // a bar ends a cell, even within code
		}
		line(cells)
	}
	fmt.Fprintln(b)
}

func code(s string) string { return "`" + s + "`" }
