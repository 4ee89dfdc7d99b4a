package compare

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/revisions"
)

// The tables that are more than lines to look up.
const (
	CarsTable  = "cars"
	PartsTable = "parts"
)

// singlesScope is the scope of the single assumptions.
const singlesScope = "singles"

// overlay finds every change between two orders. idle are those that can move
// nothing by themselves.
func overlay(ctx context.Context, both [2]*sheets.Run) (b *bridge, idle []Change) {
	m := both[revisions.Old].Model
	o := &over{
		bridge: &bridge{
			ctx: ctx, model: m, lines: map[*model.Scope][]lineOver{}, bands: map[*model.Scope][2][]*formula.Frame{},
			sets: map[string]*state{}, refused: map[*joint]bool{}, work: mostWork,
		},
		both: both, need: m.NeededBy(m.Line.Quantities), cars: map[string]*change{},
	}
	o.singlesOver()
	o.tableOver(m.Table(CarsTable)) // first: parts and joints may belong to one that comes or goes
	for _, t := range m.Tables {
		if t.Name != CarsTable {
			o.tableOver(t)
		}
	}
	o.jointsOver()
	o.sort()
	return o.bridge, o.idle
}

// over is a bridge in the making.
type over struct {
	*bridge
	both [2]*sheets.Run
	need map[*model.Quantity]bool
	cars map[string]*change // that come or go, by name
	idle []Change
}

// add takes a change in.
func (o *over) add(p *change) *change {
	for _, c := range p.patches {
		for _, q := range c.qs {
			p.needed = p.needed || o.need[q]
		}
	}
	o.changes = append(o.changes, p)
	return p
}

func (o *over) singlesOver() {
	for side, t := range o.both {
		o.singles[side] = t.Set.Singles
	}
	was, now := o.singles[revisions.Old], o.singles[revisions.New]
	for _, q := range o.model.Singles.Quantities {
		if q.Role != model.Assumption || q.Same(was, now) {
			continue
		}
		o.add(&change{
			key:     "assumption\x00" + q.Key,
			Change:  Change{Kind: ChangedAssumption, Name: q.Heading, Items: []Item{o.item("", q, was, now)}},
			patches: []patch{{scope: o.model.Singles, qs: []*model.Quantity{q}, from: o.singles}},
		})
	}
}

// tableOver lays a table over its other. Lines are known by their name, by the
// key they are found by, or, of parts, by item and car. Other tables are bands:
// line by line where their bounds are the same, else taken whole.
func (o *over) tableOver(t *model.Scope) {
	var frames [2][]*formula.Frame
	for side, one := range o.both {
		frames[side] = one.Values.Rows(o.scopeOf(side, t)).Frames
	}
	known := cmp.Or(t.Quantity("name"), t.Quantity("key"), t.Quantity("item"))
	if known == nil {
		o.bandsOver(t, frames)
		return
	}
	var keys, items, contents [2][]string
	var kept [2][]int
	for side, all := range frames {
		seen := map[string]bool{"": true}
		for i, f := range all {
			key := strings.ToLower(known.Text(f))
			if t.Name != PartsTable && seen[key] {
				continue // nothing finds it
			}
			seen[key] = true
			kept[side] = append(kept[side], i)
			items[side] = append(items[side], key)
			if car := t.Quantity("car"); car != nil {
				key += "\x00" + strings.ToLower(car.Text(f))
			}
			keys[side] = append(keys[side], key)
			contents[side] = append(contents[side], contentOf(t, f))
		}
	}
	pairs := revisions.Paired(keys, contents)
	if t.Name == PartsTable {
		pairs = rejoined(pairs, items, contents)
	}
	for _, pair := range pairs {
		l := lineOver{}
		key, at := "", [2]int{revisions.None, revisions.None}
		for side, i := range pair {
			if i != revisions.None {
				at[side] = kept[side][i]
				l.from[side] = frames[side][at[side]]
				if key == "" || keys[side][i] < key { // a part may have gone to another car
					key = keys[side][i]
				}
			}
		}
		o.lineOver(t, key, l, at)
	}
}

// scopeOf is the table in the model of one revision.
func (o *over) scopeOf(side int, t *model.Scope) *model.Scope {
	return o.both[side].Model.Table(t.Name)
}

// rejoined pairs parts that are left by their item alone: one that went to
// another car is changed, not gone.
func rejoined(pairs [][2]int, items, contents [2][]string) [][2]int {
	var out [][2]int
	var left [2][]int
	var key, content [2][]string
	for _, p := range pairs {
		if p[revisions.Old] != revisions.None && p[revisions.New] != revisions.None {
			out = append(out, p)
			continue
		}
		for side, i := range p {
			if i != revisions.None {
				left[side] = append(left[side], i)
				key[side] = append(key[side], items[side][i])
				content[side] = append(content[side], contents[side][i])
			}
		}
	}
	for _, p := range revisions.Paired(key, content) {
		for side, i := range p {
			if i != revisions.None {
				p[side] = left[side][i]
			}
		}
		out = append(out, p)
	}
	return out
}

// lineOver takes in a line of a table; at is where it stands in each revision.
func (o *over) lineOver(t *model.Scope, key string, l lineOver, at [2]int) {
	row := len(o.lines[t])
	was, now := l.from[revisions.Old], l.from[revisions.New]
	p := &change{key: "line\x00" + t.Name + "\x00" + key, Change: Change{Kind: ChangedLine}}
	if was != nil && now != nil {
		p.Name = o.nameOf(t, now)
		p.patches = o.changed(&p.Change, t, row, l.from)
		if len(p.Items) > 0 {
			o.unique(p, contentOf(t, was), contentOf(t, now))
			o.add(p)
		}
		o.lines[t] = append(o.lines[t], l)
		return
	}
	l.in.side = revisions.Old
	if was == nil {
		l.in.side = revisions.New
	}
	only := l.from[l.in.side]
	p.Name, p.Items = o.nameOf(t, only), []Item{cameOrWent(l.in.side)}
	o.unique(p, contentOf(t, only), "")
	switch t.Name {
	case CarsTable:
		p.Kind, p.Name, p.car = ChangedCar, t.Quantity("name").Text(only), true
		p.Items = append(p.Items, o.item("", t.Quantity("ordered"), l.from[revisions.Old], l.from[revisions.New]))
		l.in.change = o.add(p)
		o.cars[key] = p
	case PartsTable:
		part := patch{scope: t, row: row, qs: t.Quantities, from: l.from}
		if car := o.cars[strings.ToLower(t.Quantity("car").Text(only))]; car != nil {
			car.patches, l.in.change = append(car.patches, part), car
			break
		}
		p.patches = []patch{part}
		l.in.change = o.add(p)
	default:
		set := at[l.in.side] < len(o.both[l.in.side].Set.Rows(o.scopeOf(l.in.side, t)).Frames)
		if price := t.Quantity("price"); set && (price == nil || !formula.IsBlank(price.Num(only))) {
			o.idle = append(o.idle, p.Change)
		}
	}
	o.lines[t] = append(o.lines[t], l)
}

// unique makes the key of a change that of this one alone, by what it holds: in
// whichever order, for the key must not tell the old from the new.
func (o *over) unique(p *change, a, b string) {
	p.key += "\x00" + min(a, b) + "\x00" + max(a, b)
}

// changed finds the columns of a line that differ.
func (o *over) changed(c *Change, t *model.Scope, row int, from [2]*formula.Frame) []patch {
	var qs []*model.Quantity
	for _, q := range t.Quantities {
		if !compares(q) || q.Same(from[revisions.Old], from[revisions.New]) {
			continue
		}
		if q.Key == "name" {
			continue // the same but for capitals
		}
		qs = append(qs, q)
		c.Items = append(c.Items, o.item(lowered(q.Heading), q, from[revisions.Old], from[revisions.New]))
	}
	if qs == nil {
		return nil
	}
	return []patch{{scope: t, row: row, qs: qs, from: from}}
}

// compares reports whether a column of a table is more than a remark.
func compares(q *model.Quantity) bool { return q.Role == model.Column && q.Key != "basis" }

// contentOf is what a line of a table says, for comparing.
func contentOf(t *model.Scope, f *formula.Frame) string {
	var b strings.Builder
	for _, q := range t.Quantities {
		if compares(q) {
			fmt.Fprintf(&b, "%s=%s\x00", q.Key, q.Digits(f))
		}
	}
	return b.String()
}

// bandsOver lays over one another tables whose lines are found by where an
// amount lies.
func (o *over) bandsOver(t *model.Scope, frames [2][]*formula.Frame) {
	bound := t.Quantities[0]
	sameBounds := slices.EqualFunc(frames[revisions.Old], frames[revisions.New], func(x, y *formula.Frame) bool { return bound.Same(x, y) })
	if !sameBounds {
		o.bands[t] = frames
		var bounds [2]string
		for side, all := range frames {
			var words []string
			for _, f := range all {
				words = append(words, o.shown(bound, f))
			}
			bounds[side] = strings.Join(words, ", ")
		}
		o.add(&change{
			key: "table\x00" + t.Name, band: t, needed: true,
			Change: Change{Kind: ChangedLine, Name: t.Title, Items: []Item{{Name: lowered(bound.Heading), Old: bounds[revisions.Old], New: bounds[revisions.New]}}},
		})
		return
	}
	for i := range frames[revisions.Old] {
		l := lineOver{from: [2]*formula.Frame{frames[revisions.Old][i], frames[revisions.New][i]}}
		o.lineOver(t, fmt.Sprintf("%04d", i), l, [2]int{i, i})
	}
}
