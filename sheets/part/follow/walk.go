package follow

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// moveWalk goes over a part as a stream, and notes what has to change in it. All
// other bytes stay as they are.
type moveWalk struct {
	m        grid.Moved
	on       string // the title that formulas without one mean
	where    string // what a lost reference is said to stand in
	own      bool   // what the part says of places on its sheet is of the moved one
	cells    bool   // formulas of cells are to follow
	known    bool   // only parts with a root that may hold references are gone over
	isChart  bool   // its sqref are formulas
	aside    bool   // the part holds none
	by       int    // how far the drawing at hand goes down
	p        *markup.Reader
	cuts     []markup.Cut
	lost     []Lost
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
	markup.Cut        // as it is
	text       string // decoded
	apos       bool   // in an attribute between apostrophes
	attr       bool
}

func (w *moveWalk) walk(p *markup.Reader) error {
	w.p, w.groups = p, map[string]*sharedCells{}
	for {
		err := p.Next()
		if err == io.EOF || w.aside {
			break
		}
		if err != nil {
			return err
		}
		switch {
		case p.Tok.Kind == markup.Start:
			if err := w.start(p.Tok); err != nil {
				return err
			}
		case p.Tok.Kind == markup.End && len(w.rules) > 0 && p.Depth() < w.rules[len(w.rules)-1].depth:
			w.rule(w.rules[len(w.rules)-1])
			w.rules = w.rules[:len(w.rules)-1]
		}
	}
	for _, g := range w.groups {
		w.group(g)
	}
	slices.SortStableFunc(w.cuts, func(a, b markup.Cut) int { return a.From - b.From })
	return nil
}

func (w *moveWalk) start(tok markup.Token) error {
	if w.p.Depth() == 1 {
		w.isChart = tok.Local == "chartSpace"
		w.aside = w.known && !pointing(tok.Local)
	}
	switch tok.Local {
	case "row":
		if !tok.Main {
			return w.anchor(tok)
		}
		w.row, w.col = w.row+1, 0
		if text, ok := markup.TagAttr(w.p.Raw(), "r"); ok {
			w.row = markup.Int(text, w.row)
		}
	case "c":
		if tok.Main {
			w.col++
			if text, ok := markup.TagAttr(w.p.Raw(), "r"); ok {
				if row, col, ok := grid.ScanRef(text); ok {
					w.row, w.col = row, col
				}
			}
		}
	case "f":
		if up := w.p.Above(1); tok.Main && up.Main && up.Local == "c" {
			return w.cellFormula(tok)
		}
		return w.leaf(tok)
	case "formula", "formula1", "formula2", "calculatedColumnFormula", "totalsRowFormula":
		if tok.Main {
			return w.leaf(tok)
		}
	case "sqref":
		return w.leaf(tok)
	case "conditionalFormatting", "dataValidation", "sparkline":
		ranges, _ := markup.TagAttr(w.p.Raw(), "sqref")
		w.rules = append(w.rules, rule{depth: w.p.Depth(), ranges: ranges})
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
		if w.own && w.p.Above(1).Local == "rowBreaks" {
			w.eachAttr(tok, []string{"id"}, func(f found) { // the row over the break
				if id := markup.Int(f.text, 0); id > 0 && id < grid.MaxRow {
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
func (w *moveWalk) anchor(tok markup.Token) error {
	end := w.p.Above(1).Local
	switch hung := w.p.Above(2).Local; {
	case !w.own || end != "from" && end != "to":
		return nil
	case hung != "oneCellAnchor" && hung != "twoCellAnchor" && hung != "anchor":
		return nil
	}
	text, err := w.p.Text(nil)
	row, ok := grid.ScanWhole(strings.TrimSpace(string(text)), grid.MaxRow-1)
	if err != nil || !ok {
		return err
	}
	if end == "from" {
		w.by = w.m.Below(row)
	}
	f := found{Cut: markup.Cut{From: int(tok.End), To: int(w.p.Tok.Off), Text: ""}, text: string(text)}
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
	f.Cut.Text = markup.Escape(text, f.attr)
	if f.apos {
		f.Cut.Text = strings.ReplaceAll(f.Cut.Text, "'", "&apos;")
	}
	w.cuts = append(w.cuts, f.Cut)
}

// eachAttr hands out the attributes of the tag that have one of the names.
func (w *moveWalk) eachAttr(tok markup.Token, names []string, do func(found)) {
	raw := w.p.Raw()
	for a := markup.AttrsOf(raw); a.Next(); {
		if slices.Contains(names, string(a.Name)) {
			from := int(tok.Off) + a.ValueAt
			do(found{Cut: markup.Cut{From: from, To: from + len(a.Value), Text: ""}, text: markup.AttrText(a.Value), attr: true, apos: raw[a.ValueAt-1] == '\''})
		}
	}
}

// ranges has the ranges in an attribute follow, where they are of the sheet.
func (w *moveWalk) ranges(tok markup.Token, name string) {
	if w.own {
		w.eachAttr(tok, []string{name}, func(f found) { w.put(f, w.m.Areas(f.text)) })
	}
}

// formulas has formulas in attributes follow.
func (w *moveWalk) formulas(tok markup.Token, names ...string) {
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
		if l := (Lost{where, ref}); !slices.Contains(w.lost, l) {
			w.lost = append(w.lost, l)
		}
	}
}

// leaf reads an element that holds a formula, or ranges, and nothing else.
func (w *moveWalk) leaf(tok markup.Token) error {
	text, err := w.p.Text(nil)
	if err != nil {
		return err
	}
	f := found{Cut: markup.Cut{From: int(tok.End), To: int(w.p.Tok.Off), Text: ""}, text: string(text)}
	switch {
	case len(text) == 0:
	case tok.Local != "sqref" || w.isChart:
		w.formula(f)
	case len(w.rules) > 0:
		w.rules[len(w.rules)-1].ranges = f.text
		fallthrough
	default:
		if w.own {
			w.put(f, w.m.Areas(f.text))
		}
	}
	return nil
}

// source has the ref beside the title of the sheet follow.
func (w *moveWalk) source(tok markup.Token) {
	raw := w.p.Raw()
	if title, _ := markup.TagAttr(raw, "sheet"); !strings.EqualFold(title, w.m.Sheet) {
		return
	}
	for a := markup.AttrsOf(raw); a.Next(); {
		if _, local, ok := strings.Cut(string(a.Name), ":"); ok && local == "id" {
			return // of another workbook
		}
	}
	w.eachAttr(tok, []string{"ref"}, func(f found) {
		if was, err := grid.ParseRange(f.text); err == nil {
			if now, ok := w.m.Block(was); !ok {
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
	if grid.MoveFormula(was, 1, 1) == was || !w.m.Names(was, w.on) {
		return true
	}
	var areas []grid.Range
	for _, ref := range strings.Fields(ranges) {
		if area, err := grid.ParseRange(ref); err == nil {
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
		newFirst = w.m.Area(areas[0])
	}
	for _, area := range areas[1:] {
		first = first.Union(area)
		if w.own {
			area = w.m.Area(area)
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
				want := grid.MoveFormula(was, row-first.Row1, col-first.Col1)
				is := grid.MoveFormula(now, r-newFirst.Row1, c-newFirst.Col1)
				if strings.Contains(want, grid.RefError) {
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
