package follow

import (
	"bufio"
	"bytes"
	"fmt"
	"html"
	"io"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
	"seamtally/sheets/part/workbook"
)

// Cells has everything in the workbook that points at moved cells follow,
// but for the formulas of cells on the sheets that skip names, which the caller
// writes: formulas, conditional formats, validations and links of all sheets,
// charts, tables, pivot sources, controls and text boxes; and of the sheet itself
// the ranges of formats, merged cells, page breaks, drawings and notes. A part in
// which nothing changes keeps its bytes. Sheets and charts are streamed. Defined
// names that follow are handed back, to be set with the rest of the workbook's
// part.
func Cells(w *workbook.Workbook, e *opc.Edit, m grid.Moved, skip func(partName string) bool) (names []workbook.DefinedName, lost []Lost, err error) {
	mv := &following{e: e}
	for _, s := range w.Sheets {
		mv.tabs = append(mv.tabs, s.Name)
	}
	m = m.Among(mv.tabs)
	mv.m = m
	sheets, err := belongings(w, e)
	if err != nil {
		return nil, nil, err
	}
	for _, s := range w.Sheets {
		if s.PartName == "" {
			continue
		}
		walk := &moveWalk{m: m, on: s.Name, where: s.Name, own: strings.EqualFold(s.Name, m.Sheet), cells: !skip(s.PartName)}
		if err := mv.walk(s.PartName, walk); err != nil {
			return nil, nil, err
		}
	}
	for _, name := range e.Names() {
		switch name {
		case w.Part, w.SharedStrings, w.Styles, w.Theme, w.CalcChain, opc.ContentTypes:
			continue
		}
		if isSheet(w, name) {
			continue
		}
		if err := mv.part(name, sheets); err != nil {
			return nil, nil, err
		}
	}
	return mv.names(w), mv.lost, nil
}

func isSheet(w *workbook.Workbook, name string) bool {
	return slices.ContainsFunc(w.Sheets, func(s workbook.Sheet) bool { return s.PartName == name })
}

// belonging is a part of a sheet: drawing, notes, table and the like.
type belonging struct {
	title, kind string
}

func belongings(w *workbook.Workbook, p opc.Parts) (map[string]belonging, error) {
	all := map[string]belonging{}
	for _, s := range w.Sheets {
		if s.PartName == "" {
			continue
		}
		rels, err := opc.RelsOf(p, s.PartName)
		if err != nil {
			return nil, err
		}
		for _, r := range rels {
			if r.External {
				continue
			}
			if name, ok := opc.FindPart(p, opc.ResolveTarget(s.PartName, r.Target)); ok {
				all[name] = belonging{s.Name, r.Type[strings.LastIndex(r.Type, "/")+1:]}
			}
		}
	}
	return all, nil
}

// Lost is a reference that could not follow: where it stands, as Sheet!C5, a
// name, or a part of the package, and what it points at.
type Lost struct{ Where, Ref string }

// following is one MoveCells at work.
type following struct {
	m    grid.Moved
	tabs []string // titles, in their order
	e    *opc.Edit
	lost []Lost
}

// names gives the defined names that follow.
func (mv *following) names(w *workbook.Workbook) []workbook.DefinedName {
	var names []workbook.DefinedName
	for _, d := range w.Names {
		ref, lost := mv.m.MoveName(d.Ref, strings.HasPrefix(strings.ToLower(d.Name), "_xlnm."))
		for _, l := range lost {
			mv.lost = append(mv.lost, Lost{d.Name, l})
		}
		if ref != d.Ref {
			d.Ref = ref
			names = append(names, d)
		}
	}
	return names
}

// part has any part but a sheet's own follow.
func (mv *following) part(name string, sheets map[string]belonging) error {
	b := sheets[name]
	own := b.title != "" && strings.EqualFold(b.title, mv.m.Sheet)
	switch {
	case b.kind == "vmlDrawing":
		return mv.rewrite(name, own, func(src []byte) ([]byte, error) { return mv.shapes(src, b.title, name, own), nil })
	case path.Ext(name) == ".rels":
		return mv.rewrite(name, false, func(src []byte) ([]byte, error) { return mv.links(name, src) })
	case path.Ext(name) == ".xml":
		return mv.walk(name, &moveWalk{m: mv.m, on: b.title, where: name, own: own, known: true})
	}
	return nil
}

// walk has what a walk finds follow. The part is read once or twice as a stream,
// and written if something changes.
func (mv *following) walk(name string, w *moveWalk) error {
	if there, err := mv.mentions(name); err != nil || !there && !w.own {
		return err
	}
	src, err := mv.e.Open(name)
	if err != nil {
		return err
	}
	defer src.Close()
	p := markup.NewReader(src)
	if err := w.walk(p); err != nil {
		if w.known && !p.HasRoot() {
			return nil // not in UTF-8, and so none of the program's or of a spreadsheet's
		}
		return fmt.Errorf("%s: %w", w.where, err)
	}
	mv.lost = append(mv.lost, w.lost...)
	if len(w.cuts) == 0 {
		return nil
	}
	return mv.e.Stream(name, func(dst io.Writer, src io.Reader) error {
		if err := markup.ApplyCuts(dst, bufio.NewReaderSize(src, 1<<16), w.cuts); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		return nil
	})
}

// rewrite replaces a small part by what change makes of it, if that is another.
func (mv *following) rewrite(name string, own bool, change func([]byte) ([]byte, error)) error {
	if there, err := mv.mentions(name); err != nil || !there && !own {
		return err
	}
	src, err := mv.e.Read(name)
	if err != nil {
		return err
	}
	out, err := change(src)
	if err == nil && !bytes.Equal(out, src) {
		mv.e.Replace(name, out)
	}
	return err
}

// mentions reports whether a part may name the sheet: most parts have nothing to
// do with it. It looks for the longest run of plain letters and digits in the
// title, which every spelling in XML and in links has in common, for characters
// spelled as numbers, and for what a range of sheets that has ours inside ends in.
func (mv *following) mentions(name string) (bool, error) {
	wanted := [][]byte{longestRun(mv.m.Sheet), []byte("&#")}
	if at := slices.IndexFunc(mv.tabs, func(t string) bool { return strings.EqualFold(t, mv.m.Sheet) }); at > 0 {
		for _, after := range mv.tabs[at+1:] {
			wanted = append(wanted, longestRun(after))
		}
	}
	r, err := mv.e.Open(name)
	if err != nil {
		return false, err
	}
	defer r.Close()
	const overlap = 256 // a run is no longer than a title
	buf, kept := make([]byte, overlap+1<<16), 0
	for {
		n, err := io.ReadFull(r, buf[kept:])
		lower := lowerASCII(buf[:kept+n], kept)
		for i, run := range wanted {
			if bytes.Contains(lower, run) && (i < 2 || bytes.IndexByte(lower, ':') >= 0) {
				return true, nil
			}
		}
		if err != nil {
			if opc.IsEnd(err) {
				return false, nil
			}
			return false, err
		}
		kept = copy(buf, lower[len(lower)-overlap:])
	}
}

// lowerASCII lowers the letters from an index on, in place.
func lowerASCII(b []byte, from int) []byte {
	for i := from; i < len(b); i++ {
		if b[i] >= 'A' && b[i] <= 'Z' {
			b[i] += 'a' - 'A'
		}
	}
	return b
}

// longestRun is a title's longest run of ASCII letters and digits, in lower case.
func longestRun(title string) []byte {
	longest := ""
	for _, run := range strings.FieldsFunc(title, func(r rune) bool {
		return !(r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z')
	}) {
		if len(run) > len(longest) {
			longest = run
		}
	}
	return lowerASCII([]byte(longest), 0)
}

// links has the links of a drawing into the workbook (#Sheet!A1) follow.
func (mv *following) links(name string, src []byte) ([]byte, error) {
	t, err := markup.Parse(name, src)
	if err != nil {
		return nil, err
	}
	p := t.Patch()
	for _, n := range t.Root.All("Relationship") {
		was, ok := strings.CutPrefix(n.Get("Target"), "#")
		if !ok || !strings.HasSuffix(n.Get("Type"), "/hyperlink") {
			continue
		}
		plain, err := url.PathUnescape(was)
		if err != nil {
			plain = was
		}
		now, lost := mv.m.MoveRefs(plain, "")
		for _, ref := range lost {
			mv.lost = append(mv.lost, Lost{name, ref})
		}
		if now != plain {
			if plain != was {
				now = strings.NewReplacer("%", "%25", " ", "%20", "#", "%23", `"`, "%22").Replace(now)
			}
			p.SetAttr(n, "Target", strings.ReplaceAll("#"+now, "'", "%27"))
		}
	}
	return p.Bytes()
}

// Notes and controls are drawn in a language of before XML, which not every
// program writes well-formed.
var (
	vmlData    = regexp.MustCompile(`(?s)<x:ClientData[\s>].*?</x:ClientData>`)
	vmlFormula = regexp.MustCompile(`<x:Fmla(?:Link|Range|Group|Pict|Txbx)>([^<]*)</`)
	vmlRow     = regexp.MustCompile(`<x:Row>\s*([0-9]+)`)
	vmlColumn  = regexp.MustCompile(`<x:Column>\s*([0-9]+)`)
	vmlAnchor  = regexp.MustCompile(`<x:Anchor>([^<]*)</`)
)

// shapes has notes and controls follow: the formulas of controls, and on the
// sheet itself the cell that a note belongs to, and where each shape hangs.
func (mv *following) shapes(src []byte, on, where string, own bool) []byte {
	return replaceGroup(vmlData, src, func(data string) string {
		b := replaceGroup(vmlFormula, []byte(data), func(was string) string {
			plain := html.UnescapeString(was)
			now, lost := mv.m.MoveRefs(plain, on)
			for _, ref := range lost {
				mv.lost = append(mv.lost, Lost{where, ref})
			}
			if now == plain {
				return was
			}
			return markup.Escape(now, false)
		})
		if own {
			b = shape(mv.m, b)
		}
		return string(b)
	})
}

// shape moves one shape: a note by as much as its cell, another by as much as
// the row that it hangs on.
func shape(m grid.Moved, data []byte) []byte {
	down, across := 0, 0
	anchor := vmlAnchor.FindSubmatch(data)
	row, col := vmlRow.FindSubmatch(data), vmlColumn.FindSubmatch(data)
	switch {
	case row != nil && col != nil:
		r, c := markup.Int(string(row[1]), 0), markup.Int(string(col[1]), 0)
		now := m.Area(grid.Range{Row1: r + 1, Col1: c + 1, Row2: r + 1, Col2: c + 1})
		down, across = now.Row1-1-r, now.Col1-1-c
	case row != nil:
		down = m.Below(markup.Int(string(row[1]), 0))
	case anchor != nil:
		if fields := strings.Split(string(anchor[1]), ","); len(fields) == 8 {
			down = m.Below(markup.Int(fields[2], 0))
		}
	}
	add := func(text string, n int) string {
		if n == 0 {
			return text
		}
		return strconv.Itoa(max(0, markup.Int(text, 0)+n))
	}
	data = replaceGroup(vmlRow, data, func(s string) string { return add(s, down) })
	data = replaceGroup(vmlColumn, data, func(s string) string { return add(s, across) })
	return replaceGroup(vmlAnchor, data, func(s string) string {
		fields := strings.Split(s, ",")
		if len(fields) != 8 || down == 0 && across == 0 {
			return s
		}
		// Column, offset, row, offset: of the upper left corner, then the lower right.
		for i, n := range map[int]int{0: across, 2: down, 4: across, 6: down} {
			if n != 0 {
				blank := fields[i][:len(fields[i])-len(strings.TrimLeft(fields[i], " \t\r\n"))]
				fields[i] = blank + add(fields[i], n)
			}
		}
		return strings.Join(fields, ",")
	})
}

// replaceGroup replaces the last group of a pattern, or all where it has none, by
// what with makes of it.
func replaceGroup(p *regexp.Regexp, src []byte, with func(string) string) []byte {
	var out []byte
	last := 0
	for _, at := range p.FindAllSubmatchIndex(src, -1) {
		from, to := at[len(at)-2], at[len(at)-1]
		out = append(append(out, src[last:from]...), with(string(src[from:to]))...)
		last = to
	}
	return append(out, src[last:]...)
}
