package sheets

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute"
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
func (r *assumptions) changes() []string {
	was := r.readState()
	if len(was) == 0 {
		switch {
		case r.Own.Assumptions == "":
			return []string{FirstPriced}
		case r.readLog().lines > 0:
			return []string{logUnknown}
		}
		return []string{logBegins}
	}
	var out, totals []string
	for _, p := range pairStates(was, r.now) {
		switch {
		case p.now == nil:
			out = append(out, r.went(*p.was))
		case p.now.what == stateOrder:
			if p.was != nil && p.was.value != p.now.value {
				totals = append(totals, r.fromTo(p.now.name, p.was.value, p.now.value))
			}
		case p.was == nil:
			out = append(out, r.came(*p.now))
		case p.was.value != p.now.value:
			out = append(out, r.differs(*p.was, *p.now)...)
		}
	}
	if len(out) == 0 { // never seen to happen; a price must not change without a line
		out = totals
	}
	return out
}

func (r *assumptions) came(s stateLine) string {
	switch s.what {
	case stateSingle:
		return fmt.Sprintf("%s is new: %s", s.name, r.money(s.value))
	case stateList:
		st, _ := readListState(s.value)
		return fmt.Sprintf("joint list %s is new: %d rows", s.name, st.rows)
	}
	return fmt.Sprintf("%s: line added: %s", s.what, r.lineInFull(s))
}

func (r *assumptions) went(s stateLine) string {
	switch s.what {
	case stateSingle:
		return fmt.Sprintf("%s is gone: %s", s.name, r.money(s.value))
	case stateList:
		return fmt.Sprintf("joint list %s is gone", s.name)
	}
	return fmt.Sprintf("%s: line taken out: %s", s.what, r.lineInFull(s))
}

// lineInFull is the name of a table's line, and in brackets what else is on it.
func (r *assumptions) lineInFull(s stateLine) string {
	t := r.tableTitled(s.what)
	keys, cells := stateCells(s.value)
	var rest []string
	for _, k := range keys {
		if q := t.Quantity(k); q == nil || !namesLine(t, q) {
			rest = append(rest, k+" "+r.money(cells[k]))
		}
	}
	if len(rest) == 0 {
		return s.name
	}
	return fmt.Sprintf("%s (%s)", s.name, strings.Join(rest, ", "))
}

// differs says what is other about a line that was there before.
func (r *assumptions) differs(old, now stateLine) []string {
	switch now.what {
	case stateSingle:
		return []string{r.fromTo(now.name, old.value, now.value)}
	case stateFormulas:
		return []string{r.fromTo("formulas of the program", old.value, now.value)}
	case stateList:
		return []string{listDiffers(now.name, old.value, now.value)}
	}
	t := r.tableTitled(now.what)
	keys, cells := stateCells(now.value)
	oldKeys, was := stateCells(old.value)
	for _, k := range oldKeys {
		if !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	var out []string
	for _, k := range keys {
		if was[k] != cells[k] {
			out = append(out, r.fromTo(fmt.Sprintf("%s_%s of %s", t.Prefix, k, now.name), orBlank(was[k]), orBlank(cells[k])))
		}
	}
	if len(out) == 0 { // the record was typed over
		out = append(out, fmt.Sprintf("%s: line changed: %s", now.what, now.name))
	}
	return out
}

func orBlank(s string) string {
	if s == "" {
		return stateBlank
	}
	return s
}

func (b *assumptions) tableTitled(title string) *compute.Scope {
	for _, t := range b.Model.Tables {
		if t.Title == title {
			return t
		}
	}
	return &compute.Scope{}
}

// fromTo is "shop_rate 95 -> 110 $/h": a unit that both have stands once.
func (r *assumptions) fromTo(name, old, now string) string {
	old, now = r.money(old), r.money(now)
	oldNumber, oldUnit, _ := strings.Cut(old, " ")
	if _, unit, ok := strings.Cut(now, " "); ok && unit == oldUnit && isNumber(oldNumber) {
		old = oldNumber
	}
	return fmt.Sprintf("%s %s -> %s", name, old, now)
}

// money is a value with the book's sign for money in its unit.
func (r *assumptions) money(value string) string {
	if number, unit, ok := strings.Cut(value, " "); ok && isNumber(number) {
		return number + " " + strings.ReplaceAll(unit, "$", r.Currency())
	}
	return value
}

func isNumber(s string) bool {
	return s != "" && strings.Trim(s, "0123456789.-+eE") == ""
}

// listDiffers says how the rows of a joint list differ. How many of them were
// changed is not recorded, and so not said.
func listDiffers(name, old, now string) string {
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
