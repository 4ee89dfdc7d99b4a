package follow

import (
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
)

// sharedCells is a formula that several cells share. One that says the same of
// all of them after the move stays shared; else each cell gets its own.
type sharedCells struct {
	text     string // as the cell says that holds it
	row, col int
	aside    bool // it does not point at the sheet
	cells    []sharedCell
}

type sharedCell struct {
	row, col  int
	tag       []byte // the start tag of its formula
	prefix    string
	from, end int // the formula up to its end tag
	holds     bool
	closed    bool
}

// cellFormula reads the formula of a cell.
func (w *moveWalk) cellFormula(tok markup.Token) error {
	if !w.cells {
		return w.p.Skip()
	}
	tag := append([]byte(nil), w.p.Raw()...)
	kind, _ := markup.TagAttr(tag, "t")
	if kind == "array" || kind == "dataTable" {
		w.ranges(tok, "ref")
		w.ranges(tok, "r1")
		w.ranges(tok, "r2")
	}
	text, err := w.p.Text(nil)
	if err != nil {
		return err
	}
	f := found{Cut: markup.Cut{From: int(tok.End), To: int(w.p.Tok.Off), Text: ""}, text: string(text)}
	if kind == "shared" {
		w.shared(tag, f, sharedCell{row: w.row, col: w.col, tag: tag, prefix: tok.Prefix,
			from: int(tok.Off), end: int(w.p.Tok.Off), closed: tok.Closed})
	} else if f.text != "" {
		w.put(f, w.moved(f.text, w.cell(w.row, w.col)))
	}
	return nil
}

func (w *moveWalk) cell(row, col int) string { return w.where + "!" + grid.Ref(row, col) }

// shared puts a cell with those that it shares its formula with: the rules are
// those of rowScan.shared.
func (w *moveWalk) shared(tag []byte, f found, c sharedCell) {
	si, _ := markup.TagAttr(tag, "si")
	_, hasRange := markup.TagAttr(tag, "ref")
	g := w.groups[si]
	if f.text != "" && (hasRange || g == nil || g.text == "") {
		was := g
		g = &sharedCells{text: f.text, row: c.row, col: c.col, aside: !w.m.Names(f.text, w.on)}
		if was != nil && was.text == "" {
			g.cells = was.cells
		} else if was != nil {
			w.group(was)
		}
		w.groups[si] = g
		c.holds = true
	} else if g == nil {
		g = &sharedCells{}
		w.groups[si] = g
	}
	if !g.aside {
		g.cells = append(g.cells, c)
	}
}

// group has a shared formula follow.
func (w *moveWalk) group(g *sharedCells) {
	if g.text == "" || g.aside {
		return
	}
	base, _ := w.m.MoveRefs(g.text, w.on)
	changed, alike := false, !w.own
	for _, c := range g.cells {
		was := grid.MoveFormula(g.text, c.row-g.row, c.col-g.col)
		now := w.moved(was, w.cell(c.row, c.col))
		changed = changed || now != was
		alike = alike && now == grid.MoveFormula(base, c.row-g.row, c.col-g.col)
	}
	if !changed {
		return
	}
	for _, c := range g.cells {
		text := base
		tag := c.tag
		if alike && !c.holds {
			continue
		}
		if !alike {
			text, _ = w.m.MoveRefs(grid.MoveFormula(g.text, c.row-g.row, c.col-g.col), w.on)
			for _, name := range []string{"t", "ref", "si"} {
				tag = markup.DropTagAttr(tag, name)
			}
		}
		var b strings.Builder
		b.Write(markup.OpenedTag(tag))
		b.WriteString(markup.Escape(text, false))
		if c.closed {
			b.Write(markup.AppendEnd(nil, c.prefix, "f"))
		}
		w.cuts = append(w.cuts, markup.Cut{From: c.from, To: c.end, Text: b.String()})
	}
}
