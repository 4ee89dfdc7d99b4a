package part

import (
	"io"
	"slices"
	"strconv"
	"strings"
)

// moveWalk goes over a part as a stream, and notes what has to change in it. All
// other bytes stay as they are.
type moveWalk struct {
	m        Moved
	on       string // the title that formulas without one mean
	where    string // what a lost reference is said to stand in
	own      bool   // what the part says of places on its sheet is of the moved one
	cells    bool   // formulas of cells are to follow
	known    bool   // only parts with a root that may hold references are gone over
	isChart  bool   // its sqref are formulas
	aside    bool   // the part holds none
	by       int    // how far the drawing at hand goes down
	p        *pull
	cuts     []cut
	lost     []LostRef
	row, col int
	groups   map[string]*sharedCells
	rules    []rule // open ones
}

// rule is a conditional format, a validation or a sparkline: formulas that count
// from the first cell of the ranges that it holds for, which may come last.
type rule struct {
	depth    int
	ranges   string
	formulas []found
}

// found is a text of the part and where it stands.
type found struct {
	cut         // as it is
	text string // decoded
	apos bool   // in an attribute between apostrophes
	attr bool
}

func (w *moveWalk) walk(p *pull) error {
	w.p, w.groups = p, map[string]*sharedCells{}
	for {
		err := p.next()
		if err == io.EOF || w.aside {
			break
		}
		if err != nil {
			return err
		}
		switch {
		case p.tok.kind == tokenStart:
			if err := w.start(p.tok); err != nil {
				return err
			}
		case p.tok.kind == tokenEnd && len(w.rules) > 0 && p.depth() < w.rules[len(w.rules)-1].depth:
			w.rule(w.rules[len(w.rules)-1])
			w.rules = w.rules[:len(w.rules)-1]
		}
	}
	for _, g := range w.groups {
		w.group(g)
	}
	slices.SortStableFunc(w.cuts, func(a, b cut) int { return a.from - b.from })
	return nil
}

func (w *moveWalk) start(tok token) error {
	if w.p.depth() == 1 {
		w.isChart = tok.local == "chartSpace"
		w.aside = w.known && !pointing(tok.local)
	}
	switch tok.local {
	case "row":
		if !tok.main {
			return w.anchor(tok)
		}
		w.row, w.col = w.row+1, 0
		if text, ok := tagAttr(w.p.raw(), "r"); ok {
			w.row = xmlInt(text, w.row)
		}
	case "c":
		if tok.main {
			w.col++
			if text, ok := tagAttr(w.p.raw(), "r"); ok {
				if row, col, ok := parseRef(text); ok {
					w.row, w.col = row, col
				}
			}
		}
	case "f":
		if up := w.p.above(1); tok.main && up.main && up.local == "c" {
			return w.cellFormula(tok)
		}
		return w.leaf(tok)
	case "formula", "formula1", "formula2", "calculatedColumnFormula", "totalsRowFormula":
		if tok.main {
			return w.leaf(tok)
		}
	case "sqref":
		return w.leaf(tok)
	case "conditionalFormatting", "dataValidation", "sparkline":
		ranges, _ := tagAttr(w.p.raw(), "sqref")
		w.rules = append(w.rules, rule{depth: w.p.depth(), ranges: ranges})
		w.ranges(tok, "sqref")
	case "protectedRange", "ignoredError":
		w.ranges(tok, "sqref")
	case "mergeCell", "autoFilter", "sortState", "sortCondition", "table", "location", "comment", "threadedComment":
		w.ranges(tok, "ref")
	case "cellWatch", "inputCells":
		w.ranges(tok, "r")
	case "hyperlink":
		w.ranges(tok, "ref")
		w.formulas(tok, "location")
	case "cfvo":
		w.formulas(tok, "val")
	case "sp", "cxnSp", "pic":
		w.formulas(tok, "textlink")
	case "cameraTool":
		w.formulas(tok, "cellRange")
	case "controlPr":
		w.formulas(tok, "linkedCell", "listFillRange")
	case "formControlPr":
		w.formulas(tok, "fmlaLink", "fmlaRange", "fmlaGroup", "fmlaPict", "fmlaTxbx")
	case "worksheetSource", "rangeSet", "dataRef":
		w.source(tok)
	case "brk":
		if w.own && w.p.above(1).local == "rowBreaks" {
			w.eachAttr(tok, []string{"id"}, func(f found) { // the row over the break
				if id := xmlInt(f.text, 0); id > 0 && id < MaxRow {
					w.put(f, strconv.Itoa(max(1, w.m.Row(id+1)-1)))
				}
			})
		}
	}
	return nil
}

// pointing reports whether a part with such a root may point at cells.
func pointing(root string) bool {
	switch root {
	case "chartSpace", "wsDr", "userShapes", "table", "pivotTableDefinition", "pivotCacheDefinition", "formControlPr", "comments", "ThreadedComments":
		return true
	}
	return false
}

// anchor moves a drawing by as much as the row that it hangs on, both ends: it
// keeps its size.
func (w *moveWalk) anchor(tok token) error {
	end := w.p.above(1).local
	switch hung := w.p.above(2).local; {
	case !w.own || end != "from" && end != "to":
		return nil
	case hung != "oneCellAnchor" && hung != "twoCellAnchor" && hung != "anchor":
		return nil
	}
	text, err := w.p.text(nil)
	row, ok := parseWhole(strings.TrimSpace(string(text)), MaxRow-1)
	if err != nil || !ok {
		return err
	}
	if end == "from" {
		w.by = w.m.below(row)
	}
	f := found{cut: cut{int(tok.end), int(w.p.tok.off), ""}, text: string(text)}
	if w.by != 0 {
		w.put(f, strconv.Itoa(max(0, row+w.by)))
	}
	return nil
}

// put notes a text's replacement, if it is another.
func (w *moveWalk) put(f found, text string) {
	if text == f.text {
		return
	}
	f.cut.text = escape(text, f.attr)
	if f.apos {
		f.cut.text = strings.ReplaceAll(f.cut.text, "'", "&apos;")
	}
	w.cuts = append(w.cuts, f.cut)
}

// eachAttr hands out the attributes of the tag that have one of the names.
func (w *moveWalk) eachAttr(tok token, names []string, do func(found)) {
	raw := w.p.raw()
	for a := attrsOf(raw); a.next(); {
		if slices.Contains(names, string(a.name)) {
			from := int(tok.off) + a.valueAt
			do(found{cut: cut{from, from + len(a.value), ""}, text: attrText(a.value), attr: true, apos: raw[a.valueAt-1] == '\''})
		}
	}
}

// ranges has the ranges in an attribute follow, where they are of the sheet.
func (w *moveWalk) ranges(tok token, name string) {
	if w.own {
		w.eachAttr(tok, []string{name}, func(f found) { w.put(f, w.m.areas(f.text)) })
	}
}

// formulas has formulas in attributes follow.
func (w *moveWalk) formulas(tok token, names ...string) {
	w.eachAttr(tok, names, w.formula)
}

// formula has a formula follow, or leaves it to the rule that it is part of.
func (w *moveWalk) formula(f found) {
	if n := len(w.rules); n > 0 {
		w.rules[n-1].formulas = append(w.rules[n-1].formulas, f)
		return
	}
	w.put(f, w.moved(f.text, w.where))
}

// moved is a formula after the move; what is lost of it is noted.
func (w *moveWalk) moved(formula, where string) string {
	now, lost := w.m.MoveRefs(formula, w.on)
	w.loses(where, lost...)
	return now
}

func (w *moveWalk) loses(where string, refs ...string) {
	for _, ref := range refs {
		if l := (LostRef{where, ref}); !slices.Contains(w.lost, l) {
			w.lost = append(w.lost, l)
		}
	}
}

// leaf reads an element that holds a formula, or ranges, and nothing else.
func (w *moveWalk) leaf(tok token) error {
	text, err := w.p.text(nil)
	if err != nil {
		return err
	}
	f := found{cut: cut{int(tok.end), int(w.p.tok.off), ""}, text: string(text)}
	switch {
	case len(text) == 0:
	case tok.local != "sqref" || w.isChart:
		w.formula(f)
	case len(w.rules) > 0:
		w.rules[len(w.rules)-1].ranges = f.text
		fallthrough
	default:
		if w.own {
			w.put(f, w.m.areas(f.text))
		}
	}
	return nil
}

// source has the ref beside the title of the sheet follow.
func (w *moveWalk) source(tok token) {
	raw := w.p.raw()
	if title, _ := tagAttr(raw, "sheet"); !strings.EqualFold(title, w.m.Sheet) {
		return
	}
	for a := attrsOf(raw); a.next(); {
		if _, local, ok := strings.Cut(string(a.name), ":"); ok && local == "id" {
			return // of another workbook
		}
	}
	w.eachAttr(tok, []string{"ref"}, func(f found) {
		if was, err := ParseRange(f.text); err == nil {
			if now, ok := w.m.block(was); !ok {
				w.loses(w.where, f.text)
			} else if now != was {
				w.put(f, now.String())
			}
		}
	})
}

// rule has the formulas of a rule follow, if they then say the same of each cell
// that the rule holds for.
func (w *moveWalk) rule(r rule) {
	where := w.where
	if r.ranges != "" {
		where += "!" + strings.Join(strings.Fields(r.ranges), " ")
	}
	for _, f := range r.formulas {
		now, lost := w.m.MoveRefs(f.text, w.on)
		w.loses(where, lost...)
		if len(lost) == 0 && !w.holds(f.text, now, r.ranges) {
			w.loses(where, f.text)
			continue
		}
		w.put(f, now)
	}
}

// mostTried bounds the cells of a range of a rule that are tried.
const mostTried = 1 << 14

// holds tries the cells of a rule, or as many as mostTried of each range.
func (w *moveWalk) holds(was, now, ranges string) bool {
	if moveFormula(was, 1, 1) == was || !w.m.Names(was, w.on) {
		return true
	}
	var areas []Range
	for _, ref := range strings.Fields(ranges) {
		if area, err := ParseRange(ref); err == nil {
			areas = append(areas, area)
		}
	}
	if len(areas) == 0 {
		return true
	}
	place := func(row, col int) (int, int, bool) { return row, col, true }
	first, newFirst := areas[0], areas[0]
	if w.own {
		place = w.m.At
		newFirst = w.m.area(areas[0])
	}
	for _, area := range areas[1:] {
		first = first.Union(area)
		if w.own {
			area = w.m.area(area)
		}
		newFirst = newFirst.Union(area)
	}
	for _, area := range areas {
		tried := 0
		for row := area.Row1; row <= area.Row2 && tried < mostTried; row++ {
			for col := area.Col1; col <= area.Col2 && tried < mostTried; col++ {
				tried++
				r, c, ok := place(row, col)
				if !ok {
					continue
				}
				want := moveFormula(was, row-first.Row1, col-first.Col1)
				is := moveFormula(now, r-newFirst.Row1, c-newFirst.Col1)
				if strings.Contains(want, refError) {
					continue
				}
				if want, _ = w.m.MoveRefs(want, w.on); want != is {
					return false
				}
			}
		}
	}
	return true
}
