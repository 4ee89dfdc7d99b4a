package explain

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/entry"
	"seamtally/sheets/joints"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// orderWord is what the whole order is called.
const orderWord = "order"

// subject is what is to be explained.
type subject struct {
	of, name string
	row      *compute.Joint // of a joint
	car      int            // among the cars of Workings, from 0
	notes    []string
}

// subjectOf finds a joint, a car or the order. A car goes before a joint of the same
// name: that one can be named by its cell.
func subjectOf(t *sheets.Run, mark string) (*subject, error) {
	mark = strings.TrimSpace(mark)
	if mark == "" {
		return nil, fmt.Errorf("nothing is named to be explained; name a joint's mark, a car, %s, or a figure of the order", orderWord)
	}
	rows := marked(t, mark)
	var also []string
	if len(rows) > 0 {
		also = []string{fmt.Sprintf("a joint has that mark too: %s", cellsOf(rows))}
	}
	if strings.EqualFold(mark, orderWord) {
		return &subject{of: OfOrder, notes: also}, nil
	}
	for i, name := range carNames(t) {
		if strings.EqualFold(mark, name) {
			return &subject{of: OfCar, name: name, car: i, notes: also}, nil
		}
	}
	switch len(rows) {
	case 0:
		return findCell(t, mark)
	case 1:
		return jointSubject(rows[0]), nil
	}
	return nil, fmt.Errorf("the mark %q is there %d times: %s; name one by its cell, for example %s", mark, len(rows), cellsOf(rows), rows[0].Where())
}

func jointSubject(r *compute.Joint) *subject { return &subject{of: OfJoint, name: r.Mark, row: r} }

// longestNamed bounds the marks, in bytes, that a message names: a remark in
// place of a mark is none that anybody has mistyped.
const longestNamed = 60

// mostNamed bounds how many rows a message names.
const mostNamed = 8

func cellsOf(rows []*compute.Joint) string {
	var out []string
	for i, r := range rows {
		if i == mostNamed {
			out = append(out, fmt.Sprintf("and %d more", len(rows)-i))
			break
		}
		out = append(out, fmt.Sprintf("%s (car %s)", r.Where(), r.Car))
	}
	return strings.Join(out, ", ")
}

func marked(t *sheets.Run, mark string) []*compute.Joint {
	var out []*compute.Joint
	for i := range t.Joints {
		if strings.EqualFold(t.Joints[i].Mark, mark) {
			out = append(out, &t.Joints[i])
		}
	}
	return out
}

// carNames are the cars, in the order of Workings.
func carNames(t *sheets.Run) []string {
	s := t.Model.Scope("cars")
	for _, sc := range t.Model.Summary {
		if sc.Name == "cars" {
			s = sc
		}
	}
	var out []string
	for _, f := range t.Values.Rows(s).Frames {
		no := s.Quantity(s.By).Num(f)
		out = append(out, s.Of.Quantity("name").Text(t.Values.Rows(s.Of).Frames[int(no)-1]))
	}
	return out
}

// findCell finds a joint by its row or by a cell of it: Coupe!14, Coupe!F14.
func findCell(t *sheets.Run, mark string) (*subject, error) {
	sheet, row, ok := splitRow(mark)
	if !ok || t.Workbook.Sheet(sheet) < 0 {
		return nil, notFound(t, mark)
	}
	for i := range t.Joints {
		if r := &t.Joints[i]; r.Row == row && strings.EqualFold(r.Sheet, sheet) {
			return jointSubject(r), nil
		}
	}
	if why := leftOutAt(t, sheet, row); why != "" {
		return nil, leftOutError(mark, fmt.Sprintf("%s!%d", sheet, row), why)
	}
	for _, l := range t.All {
		if strings.EqualFold(l.Title, sheet) {
			return nil, fmt.Errorf("%s is no joint of the list on %s; its joints are on rows %d to %d", mark, l.Title, l.DataRow, l.LastRow)
		}
	}
	return nil, fmt.Errorf("the sheet %q has no joint list; seamtally check names those that have", sheet)
}

// splitRow takes Coupe!14, Coupe!F14 or 'The coupe'!$F$14 apart.
func splitRow(s string) (sheet string, row int, ok bool) {
	i := strings.LastIndex(s, "!")
	if i <= 0 {
		return "", 0, false
	}
	if n, err := strconv.Atoi(s[i+1:]); err == nil && n > 0 {
		s = s[:i+1] + grid.Ref(n, 1)
	}
	sheet, r, ok := page.SplitRef(s)
	return sheet, r.Row1, ok
}

func leftOutError(mark, where, why string) error {
	return fmt.Errorf("%s (%s) is left out of the price, and has no figures: %s", mark, where, why)
}

// leftOutAt is why a row was left out, "" if it was not.
func leftOutAt(t *sheets.Run, sheet string, row int) string {
	for _, f := range t.Findings {
		s, r, ok := splitRow(f.Cell)
		if ok && f.Level == book.LevelError && r == row && strings.EqualFold(s, sheet) {
			return f.What + "; " + f.Fix
		}
	}
	return ""
}

// notFound says that nothing has that name, and what is near to it.
func notFound(t *sheets.Run, mark string) error {
	known := append([]string{}, carNames(t)...)
	seen := map[string]bool{}
	for _, r := range t.Joints {
		if !seen[r.Mark] && len(r.Mark) <= longestNamed {
			seen[r.Mark] = true
			known = append(known, r.Mark)
		}
	}
	for _, l := range t.All {
		row, err := rowMarked(t, l, mark)
		if err != nil {
			return err
		}
		if why := leftOutAt(t, l.Title, row); why != "" {
			return leftOutError(strconv.Quote(mark), fmt.Sprintf("%s!%d", l.Title, row), why)
		}
	}
	return &unnamedError{mark, fmt.Sprintf("%s!%d", t.All[0].Title, t.All[0].DataRow), entry.Near(mark, append(known, orderWord))}
}

// rowMarked finds the row of a list that has that mark, priced or not; 0 if
// there is none.
func rowMarked(t *sheets.Run, l *joints.List, mark string) (int, error) {
	col, row := l.Shop["mark"].Col, 0
	if col == 0 {
		return 0, nil
	}
	_, err := t.ReadPart(l.Part, func(r *worksheet.Row) error {
		if row > 0 || r.Num < l.DataRow || !l.Has(r.Num) {
			return nil
		}
		for _, c := range r.Cells {
			if c.Col == col && strings.EqualFold(book.CellText(c), mark) {
				row = r.Num
			}
		}
		return nil
	})
	return row, err
}

// figureCalled finds the figure of the target that has that name or heading;
// nil if all are asked for.
func (w *explainer) figureCalled(name string) (*place, error) {
	name = strings.TrimSpace(name)
	if name == "" {
		return nil, nil
	}
	home := w.home()
	if q := quantityCalled(home.q.Scope, name); q != nil {
		return &place{q, home.f, home.no}, nil
	}
	if q, err := w.leading(name); q != nil || err != nil {
		return &place{q, home.f, home.no}, err
	}
	if table, key, dotted := strings.Cut(strings.ToLower(name), "."); dotted {
		if p, ok := w.lookup(home, table, key); ok {
			return &p, nil
		}
	}
	if q := quantityCalled(w.Model.Singles, name); q != nil {
		return &place{q: q, f: w.Values.Singles}, nil
	}
	switch found := w.headed(home.q.Scope, name); {
	case len(found) == 1:
		return &place{found[0], home.f, home.no}, nil
	case len(found) > 1:
		return nil, fmt.Errorf("%q is the heading of %d figures; name one of %s", name, len(found), w.choices(found))
	}
	if found := w.headed(w.Model.Singles, name); len(found) == 1 {
		return &place{q: found[0], f: w.Values.Singles}, nil
	}
	if found := saying(home.q.Scope.Quantities, name); len(found) == 1 {
		return &place{found[0], home.f, home.no}, nil
	}
	return nil, w.noFigure(name)
}

// quantityCalled is the quantity of that name, which may be typed with spaces.
func quantityCalled(s *model.Scope, key string) *model.Quantity {
	q := s.Quantity(strings.Join(strings.Fields(strings.ToLower(key)), "_"))
	if q != nil && q.Role == model.Number {
		return nil
	}
	return q
}

// noFigure says that there is no such figure here, and where there is.
func (w *explainer) noFigure(name string) error {
	for _, e := range []kind{
		{w.Model.Line, "a joint", "a joint's mark"}, {w.summary.ScopeOf("cars"), "a car", "a car"}, {w.Model.OrderOf, "the order", orderWord},
	} {
		if q := quantityCalled(e.s, name); q != nil {
			return &oddFigureError{key: q.Key, of: &e, say: fmt.Sprintf("%s is a figure of %s; name %s in place of the mark", q.Key, e.is, e.named)}
		}
	}
	near := w.nearFigures(name)
	if len(near) == 0 {
		return &oddFigureError{say: fmt.Sprintf("no figure is called %q; leave it out to see all of them, or see: seamtally formulas", name)}
	}
	return &oddFigureError{near: near, say: fmt.Sprintf("no figure is called %q; near to it: %s", name, strings.Join(near, ", "))}
}

// nearFigures are the figures, assumptions and columns of tables that a name may
// have been meant for, by key or by heading, each as it is to be typed.
func (w *explainer) nearFigures(name string) []string {
	var known []string
	typed, heading := map[string]string{}, map[string]string{}
	add := func(key string, q *model.Quantity) {
		heading[key] = q.Heading
		for _, n := range []string{key, q.Key, q.Heading} {
			if typed[n] == "" {
				typed[n] = key
				known = append(known, n)
			}
		}
	}
	home := w.home()
	for _, s := range []*model.Scope{home.q.Scope, w.Model.Singles} {
		for _, q := range s.Quantities {
			if q.Role != model.Number {
				add(q.Key, q)
			}
		}
	}
	for _, t := range w.Model.Tables {
		for _, prefix := range []string{t.Prefix, t.Alias} {
			if found, _ := w.found(home, prefix); prefix == "" || found != t {
				continue
			}
			for _, q := range t.Quantities {
				if !q.Inner() {
					add(prefix+"."+q.Key, q)
				}
			}
		}
	}
	var near []string
	for _, q := range saying(home.q.Scope.Quantities, name) {
		known = slices.Insert(known, 0, q.Key) // what is headed so goes before what is spelled so
	}
	close := entry.Near(name, known)
	if len(close) == 0 {
		for _, q := range misspelt(home.q.Scope.Quantities, name) {
			close = append(close, q.Key)
		}
	}
	for _, n := range close[:min(len(close), mostNamed)] {
		key := typed[n]
		if !strings.EqualFold(heading[key], key) {
			key += " (" + heading[key] + ")"
		}
		if !slices.Contains(near, key) {
			near = append(near, key)
		}
	}
	return near
}
