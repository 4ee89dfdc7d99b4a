package logbook

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/book"
)

// FirstPriced is what the log says of the first run on a workbook.
const FirstPriced = "first priced"

// What the log says of other runs that have nothing to compare with.
const (
	logBegins  = "the log begins; what was set before is not known"
	logUnknown = "the record of the last run is gone; what has changed since is not known"
)

// changes says, a line each, how what the figures come from differs from what
// the log's last line recorded; nothing if it does not.
func (r *Log) changes() []string {
	was := r.ReadState()
	if len(was) == 0 {
		switch {
		case r.Own.Assumptions == "":
			return []string{FirstPriced}
		case r.ReadLog().lines > 0:
			return []string{logUnknown}
		}
		return []string{logBegins}
	}
	var out, totals []string
	for _, p := range r.PairStates(was, r.Now) {
		switch {
		case p.Line().noFigure():
		case p.Now == nil:
			out = append(out, r.went(*p.Was))
		case p.Now.What == StateOrder:
			if p.Was != nil && p.Was.Value != p.Now.Value {
				totals = append(totals, r.FromTo(p.Now.Name, p.Was.Value, p.Now.Value))
			}
		case p.Was == nil:
			out = append(out, r.came(*p.Now))
		case p.Was.Value != p.Now.Value:
			out = append(out, r.differs(*p.Was, *p.Now)...)
		}
	}
	if len(out) == 0 { // never seen to happen; a price must not change without a line
		out = totals
	}
	return out
}

func (r *Log) came(s StateLine) string {
	switch s.What {
	case StateSingle:
		return fmt.Sprintf("%s is new: %s", s.Name, r.InMoney(s.Value))
	case StateList:
		st, _ := readListState(s.Value)
		return fmt.Sprintf("joint list %s is new: %d rows", s.Name, st.rows)
	}
	return fmt.Sprintf("%s: line added: %s", s.What, r.LineInFull(s))
}

func (r *Log) went(s StateLine) string {
	switch s.What {
	case StateSingle:
		return fmt.Sprintf("%s is gone: %s", s.Name, r.InMoney(s.Value))
	case StateList:
		return fmt.Sprintf("joint list %s is gone", s.Name)
	}
	return fmt.Sprintf("%s: line taken out: %s", s.What, r.LineInFull(s))
}

// LineInFull is the name of a table's line, and in brackets what else is on it.
func (r *Log) LineInFull(s StateLine) string {
	t := r.TableTitled(s.What)
	keys, cells := StateCells(s.Value)
	var rest []string
	for _, k := range keys {
		if q := t.Quantity(k); q == nil || !namesLine(t, q) {
			rest = append(rest, k+" "+r.InMoney(cells[k]))
		}
	}
	if len(rest) == 0 {
		return s.Name
	}
	return fmt.Sprintf("%s (%s)", s.Name, strings.Join(rest, ", "))
}

// differs says what is other about a line that was there before.
func (r *Log) differs(old, now StateLine) []string {
	switch now.What {
	case StateSingle:
		return []string{r.FromTo(now.Name, old.Value, now.Value)}
	case StateFormulas:
		return []string{r.FromTo("formulas of the program", old.Value, now.Value)}
	case StateList:
		return []string{ListDiffers(now.Name, old.Value, now.Value)}
	}
	t := r.TableTitled(now.What)
	keys, cells := StateCells(now.Value)
	oldKeys, was := StateCells(old.Value)
	for _, k := range oldKeys {
		if !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	var out []string
	for _, k := range keys {
		if was[k] != cells[k] {
			out = append(out, r.FromTo(fmt.Sprintf("%s_%s of %s", t.Prefix, k, now.Name), OrBlank(was[k]), OrBlank(cells[k])))
		}
	}
	if len(out) == 0 { // the record was typed over
		out = append(out, fmt.Sprintf("%s: line changed: %s", now.What, now.Name))
	}
	return out
}

// OrBlank is a value as it is told: a word where there is none.
func OrBlank(s string) string {
	if s == "" {
		return book.StateBlank
	}
	return s
}

// TableTitled is the table with a title; one of nothing, where there is none.
func (b *Log) TableTitled(title string) *model.Scope {
	for _, t := range b.Model.Tables {
		if t.Title == title {
			return t
		}
	}
	return &model.Scope{}
}

// FromTo is "shop_rate 95 -> 110 $/h": a unit that both have stands once.
func (r *Log) FromTo(name, old, now string) string {
	old, now = r.InMoney(old), r.InMoney(now)
	oldNumber, oldUnit, _ := strings.Cut(old, " ")
	if _, unit, ok := strings.Cut(now, " "); ok && unit == oldUnit && isNumber(oldNumber) {
		old = oldNumber
	}
	return fmt.Sprintf("%s %s -> %s", name, old, now)
}

// InMoney is a value with the book's sign for money in its unit.
func (r *Log) InMoney(value string) string {
	if number, unit, ok := strings.Cut(value, " "); ok && isNumber(number) {
		return number + " " + strings.ReplaceAll(unit, "$", r.Currency())
	}
	return value
}

func isNumber(s string) bool {
	return s != "" && strings.Trim(s, "0123456789.-+eE") == ""
}

// ListDiffers says how the rows of a joint list differ. How many of them were
// changed is not recorded, and so not said.
func ListDiffers(name, old, now string) string {
	a, okA := readListState(old)
	b, okB := readListState(now)
	var parts []string
	count := func(what string, was, is int) {
		if was != is {
			parts = append(parts, fmt.Sprintf("%s %d -> %d", what, was, is))
		}
	}
	if okA && okB {
		count("rows", a.rows, b.rows)
		count("left out", a.leftOut, b.leftOut)
		count("typed over", a.typed, b.typed)
	}
	if len(parts) == 0 {
		parts = append(parts, "rows changed")
	}
	return fmt.Sprintf("joint list %s: %s", name, strings.Join(parts, ", "))
}
