package explain

import (
	"fmt"
	"math"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/compute/units"
	"seamtally/sheets"
	"seamtally/sheets/assumptions"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/workings"
)

// place is a quantity on one row of its scope.
type place struct {
	q  *model.Quantity
	f  *formula.Frame
	no int // the line of a table, from 1; the row of a table of Workings, from 0
}

// explainer works its way from a figure to all that it rests on.
type explainer struct {
	*sheets.Run
	to      *subject
	at      *assumptions.Places
	summary *workings.Sheet
	exact   amounts // for programs
	plain   amounts // for people
	stored  storedCells
	readers map[*model.Quantity]*joints.Reader // of the joint's list
	cells   book.Resolver                      // of the joint's list
	seen    map[place]bool
	groups  []*Group
}

func newExplainer(t *sheets.Run, to *subject) (*explainer, error) {
	w := &explainer{Run: t, to: to, seen: map[place]bool{}, plain: amounts{currency: t.Currency(), rounded: true}}
	var err error
	if w.at, err = t.Standing(); err != nil {
		return nil, err
	}
	if w.summary, err = workings.New(t.Sheet, t.Made.Workings, t.Made.Assumptions, w.at, true); err != nil {
		return nil, err
	}
	if to.row != nil {
		if err := w.readList(w.All[to.row.List]); err != nil {
			return nil, err
		}
	}
	if w.stored, err = w.readStored(); err != nil {
		return nil, err
	}
	w.groups = w.groupTitles()
	return w, nil
}

// readList makes ready to read the cells of the joint's row once more.
func (w *explainer) readList(l *joints.List) error {
	list, err := w.Lists.Readers(l)
	if err != nil {
		return err
	}
	w.readers = map[*model.Quantity]*joints.Reader{}
	for i := range list {
		w.readers[list[i].Q] = &list[i]
	}
	w.cells = joints.LineCells(w.Model, w.Names, l)
	return nil
}

// home is some quantity of what is explained.
func (w *explainer) home() place {
	switch w.to.of {
	case OfJoint:
		return place{q: w.Model.Line.Quantities[0], f: &w.to.row.Line.Frame}
	case OfCar:
		s := w.summary.ScopeOf("cars")
		return place{s.Quantities[0], w.Values.Rows(s).Frames[w.to.car], w.to.car}
	}
	return place{q: w.Model.OrderOf.Quantities[0], f: w.Values.Order}
}

// targets are all figures of what is explained, each after those it needs.
func (w *explainer) targets() []place {
	home := w.home()
	s := home.q.Scope
	var out []place
	for _, q := range s.Quantities {
		if q.Role == model.Input {
			out = append(out, place{q, home.f, home.no})
		}
	}
	for _, q := range s.Order() {
		if q.Role != model.Input {
			out = append(out, place{q, home.f, home.no})
		}
	}
	return out
}

// visit explains a place, after all that it rests on.
func (w *explainer) visit(p place) error {
	if w.seen[p] {
		return nil
	}
	w.seen[p] = true
	e := Figure{
		Key: w.keyOf(p), Heading: p.q.Heading, Unit: model.UnitName(p.q), Value: valueOf(p.q, p.f),
		Shown: w.plain.result(p.q, p.f), Cell: w.cellOf(p), Line: w.lineOf(p),
		Working: Working{Why: p.q.Why}, Check: p.q.Role == model.Check, Made: Made{Uses: []Use{}, Sums: []Sum{}},
	}
	e.Raised = e.Check && e.Value == 1.0
	if p.q.Role != model.Assumption {
		e.Source = p.q.Source
	}
	if err := w.from(p, &e); err != nil {
		return err
	}
	if f := p.q.Formula(); f != nil && w.worked(p) {
		for _, u := range w.spell(p, f, &e) {
			if err := w.visit(u); err != nil {
				return err
			}
		}
		e.Terms = w.terms(p, f)
	}
	if err := w.compareStored(p, &e); err != nil {
		return err
	}
	g := w.groupOf(p)
	g.Figures = append(g.Figures, e)
	return nil
}

// worked reports whether the value comes of the quantity's formula.
func (w *explainer) worked(p place) bool {
	if p.q.Scope == w.Model.Line {
		return !w.to.row.Line.Given(p.q)
	}
	return true
}

// spell writes the formula in names and with numbers, and gives what it names.
func (w *explainer) spell(p place, f *formula.Formula, e *Figure) []place {
	var uses []place
	seen := map[place]bool{}
	sums := map[*formula.Call]*sumOf{}
	put := func(a amounts, note bool) string {
		o := formula.SpellOptions{Name: nameInFormula}
		o.Value = func(table, key string) (string, bool) {
			u, ok := w.lookup(p, table, key)
			if !ok {
				return "", false
			}
			if note && !seen[u] {
				seen[u] = true
				uses = append(uses, w.alsoRow(p, table)...)
				uses = append(uses, u)
				e.Uses = append(e.Uses, Use{
					Key: nameInFormula(table, key), Cell: w.cellOf(u), Unit: model.UnitName(u.q),
					Value: valueOf(u.q, u.f), Shown: w.plain.result(u.q, u.f),
				})
			}
			return a.inFormula(u.q, u.f), true
		}
		o.Call = func(s *formula.Speller, c *formula.Call) (string, bool) {
			switch c.Name {
			case "match", "band": // the column is searched, not read on the row's line
				col := c.Args[0].(*formula.Name)
				return fmt.Sprintf("%s(%s, %s)", c.Name, col.ID(), s.Node(c.Args[1])), true
			case "count":
				return a.number(units.Unit{}, w.count(c)), true
			case "sum", "total", "sum_where":
				if sums[c] == nil {
					sums[c] = w.sum(p, c)
					e.Sums = append(e.Sums, sums[c].Sum)
				}
				return a.number(sums[c].q.Unit, sums[c].Total), true
			}
			return "", false
		}
		return f.Spell(o)
	}
	e.Formula = f.Spell(formula.SpellOptions{Name: nameInFormula})
	e.WithNumbers = put(w.exact, true)
	e.Reads = put(w.plain, false)
	if e.Formula == "first check()" {
		for _, q := range w.Model.Checks() {
			uses = append(uses, place{q: q, f: p.f})
		}
	}
	return uses
}

// nameInFormula is a name as the model's files have it.
func nameInFormula(table, key string) string {
	if table == "" {
		return key
	}
	return table + "." + key
}

// lookup finds what a name in a formula stands for.
func (w *explainer) lookup(p place, table, key string) (place, bool) {
	s := p.q.Scope
	if table == "" {
		if q := s.Quantity(key); q != nil {
			return place{q, p.f, p.no}, true
		}
		q := w.Model.Singles.Quantity(key)
		return place{q: q, f: w.Values.Singles}, q != nil
	}
	if table == w.Model.OrderOf.Name {
		q := w.Model.OrderOf.Quantity(key)
		return place{q: q, f: w.Values.Order}, q != nil
	}
	t, no := w.found(p, table)
	if t == nil || t.Quantity(key) == nil {
		return place{}, false
	}
	x := no.Num(p.f)
	rows := w.Values.Rows(t).Frames
	if math.IsNaN(x) || x < 1 || int(x) > len(rows) {
		return place{}, false
	}
	return place{t.Quantity(key), rows[int(x)-1], int(x)}, true
}

// found is the table whose line a row has found, and the number of that line.
func (w *explainer) found(p place, table string) (*model.Scope, *model.Quantity) {
	for _, t := range w.Model.Tables {
		if t.Prefix != table && t.Alias != table {
			continue
		}
		if no := p.q.Scope.Quantity(table + "_no"); no != nil {
			return t, no
		}
		if p.q.Scope.Of == t {
			return t, p.q.Scope.Quantity(p.q.Scope.By)
		}
	}
	return nil, nil
}

// alsoRow is the figure that found the line of a table.
func (w *explainer) alsoRow(p place, table string) []place {
	if _, no := w.found(p, table); no != nil && no.Role != model.Number {
		return []place{{no, p.f, p.no}}
	}
	return nil
}

// table is the table on Assumptions that a quantity is a column of, or nil.
func (w *explainer) tableOf(q *model.Quantity) *model.Scope {
	for _, t := range w.Model.Tables {
		if q.Scope == t {
			return t
		}
	}
	return nil
}

func (w *explainer) keyOf(p place) string {
	if t := w.tableOf(p.q); t != nil {
		return t.Prefix + "." + p.q.Key
	}
	return p.q.Key
}

// lineOf is what the line of a table is called.
func (w *explainer) lineOf(p place) string {
	t := w.tableOf(p.q)
	if t == nil {
		return ""
	}
	var parts []string
	for _, q := range identity(t) {
		text := formula.GeneralText(countedAs(q, q.Num(p.f)))
		if q.IsText() {
			text = q.Text(p.f)
		} else if formula.IsBlank(q.Num(p.f)) {
			text = "the rest"
		}
		if text != "" {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, ", ")
}

// identity are the columns that tell the lines of a table apart.
func identity(t *model.Scope) []*model.Quantity {
	if q := t.Quantity("name"); q != nil {
		return []*model.Quantity{q}
	}
	var out []*model.Quantity
	for _, key := range []string{"car", "item", "alloy", "od", "wall", "wire", "to"} {
		if q := t.Quantity(key); q != nil && q.Role == model.Column {
			out = append(out, q)
		}
	}
	return out
}
