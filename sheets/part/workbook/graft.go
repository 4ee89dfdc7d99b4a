package workbook

import (
	"fmt"
	"path"
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
)

// sheetType is the content type of worksheets (ECMA-376 part 1).
const sheetType = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"

// Graft moves a sheet from a scratch workbook into another one: the sheet
// without values, its drawing, charts, pictures and notes.
type Graft struct {
	Scratch *opc.Package
	Sheet   string // title in the scratch workbook
	Title   string // title in the target
	// Titles gives, for other sheets of the scratch workbook that formulas of
	// this one name, their titles in the target. Left out: the same.
	Titles map[string]string
}

// Grafted is what the caller still has to put in its place: the tab by
// WorkbookPatch.AddSheets, the names by SetNames, and the part, which is in
// the Edit already as XML, with cells if there are to be any.
type Grafted struct {
	PartName string
	RelID    string
	SheetID  int
	XML      []byte        // worksheet part, style numbers being those of the target
	Names    []DefinedName // print area, print titles and other names of this sheet
}

// Sheet is the tab to add.
func (g Grafted) Sheet(title string) NewSheet {
	return NewSheet{Name: title, RelID: g.RelID, SheetID: g.SheetID}
}

// grafting is one Graft at work.
type grafting struct {
	Graft
	e      *opc.Edit
	w      *Workbook
	st     *Styles
	from   *Workbook         // the scratch workbook
	styles *Styles           // its styles
	types  []byte            // its [Content_Types].xml
	moved  map[string]string // scratch part -> target part
	titles map[string]string // lower case scratch title -> target title
}

// Into moves the sheet into the package that e makes, of which w is the
// workbook and st the styles. It adds the parts, their content types and the
// workbook's relationship, and the tab to w.Sheets, at the end. Cells with
// shared strings, tables and pivot tables are refused: they need more of the
// scratch workbook than its sheet.
func (g Graft) Into(e *opc.Edit, w *Workbook, st *Styles) (Grafted, error) {
	fail := func(err error) (Grafted, error) {
		return Grafted{}, fmt.Errorf("sheet %q: %w", g.Title, err)
	}
	if w.Sheet(g.Title) >= 0 {
		return fail(fmt.Errorf("the workbook has a sheet of that name; choose another"))
	}
	gr, err := g.begin(e, w, st)
	if err != nil {
		return fail(err)
	}
	at := gr.from.Sheet(g.Sheet)
	if at < 0 || gr.from.Sheets[at].PartName == "" {
		return fail(fmt.Errorf("the scratch workbook has no sheet %q", g.Sheet))
	}
	source := gr.from.Sheets[at].PartName
	dir := path.Dir(w.Part)
	if dir == "." {
		dir = ""
	}
	out := Grafted{PartName: opc.FreePartName(e, path.Join(dir, "worksheets/sheet%d.xml"))}
	gr.moved[source] = out.PartName
	src, err := g.Scratch.Read(source)
	if err != nil {
		return fail(err)
	}
	if out.XML, err = gr.sheetXML(source, src); err != nil {
		return fail(err)
	}
	// Holds the name against the next sheet.
	if err := e.AddTyped(out.PartName, out.XML, sheetType); err != nil {
		return fail(err)
	}
	if err := gr.moveRels(source, out.PartName); err != nil {
		return fail(err)
	}
	if out.RelID, err = addWorkbookRel(e, w, "worksheet", out.PartName); err != nil {
		return fail(err)
	}
	for _, s := range w.Sheets {
		out.SheetID = max(out.SheetID, s.SheetID)
	}
	out.SheetID++
	for _, d := range gr.from.Names {
		if d.Sheet == at {
			d.Sheet, d.Ref = len(w.Sheets), grid.RenameSheets(d.Ref, gr.titles)
			out.Names = append(out.Names, d)
		}
	}
	w.Sheets = append(w.Sheets, Sheet{Name: g.Title, SheetID: out.SheetID, RelID: out.RelID,
		Kind: "worksheet", PartName: out.PartName, State: "visible"})
	return out, nil
}

func (g Graft) begin(e *opc.Edit, w *Workbook, st *Styles) (*grafting, error) {
	gr := &grafting{Graft: g, e: e, w: w, st: st, moved: map[string]string{}, titles: map[string]string{}}
	var err error
	if gr.from, err = Read(g.Scratch); err != nil {
		return nil, err
	}
	if gr.styles, err = gr.from.ReadStyles(g.Scratch); err != nil {
		return nil, err
	}
	if gr.types, err = g.Scratch.Read(opc.ContentTypes); err != nil {
		return nil, err
	}
	for was, now := range g.Titles {
		if was != now {
			gr.titles[strings.ToLower(was)] = now
		}
	}
	if g.Sheet != g.Title {
		gr.titles[strings.ToLower(g.Sheet)] = g.Title
	}
	return gr, nil
}

// moveRels moves what a part points at, and its .rels part with the new names.
func (gr *grafting) moveRels(source, target string) error {
	name, ok := opc.FindPart(gr.Scratch, opc.RelsName(source))
	if !ok {
		return nil
	}
	src, err := gr.Scratch.Read(name)
	if err != nil {
		return err
	}
	t, err := markup.ParseRoot(name, src, "Relationships", markup.PkgRelNS)
	if err != nil {
		return err
	}
	p := t.Patch()
	for _, n := range t.Root.All("Relationship") {
		kind := n.Get("Type")
		if gr.w.Strict {
			p.SetAttr(n, "Type", strictSpace(kind))
		}
		kind = kind[strings.LastIndex(kind, "/")+1:]
		if n.Get("TargetMode") == "External" || strings.HasPrefix(n.Get("Target"), "#") {
			continue
		}
		if !movable(kind) {
			return fmt.Errorf("%s: a sheet cannot be moved with a part of the kind %s", name, kind)
		}
		old, ok := opc.FindPart(gr.Scratch, opc.ResolveTarget(source, n.Get("Target")))
		if !ok {
			return fmt.Errorf("%s: points at the part %q, which is not there", name, n.Get("Target"))
		}
		now, err := gr.movePart(old)
		if err != nil {
			return err
		}
		p.SetAttr(n, "Target", opc.RelativeTarget(target, now))
	}
	if src, err = p.Bytes(); err != nil {
		return err
	}
	return gr.e.AddTyped(opc.RelsName(target), src, opc.RelsType)
}

// movable lists the kinds of relationship whose parts stand by themselves.
func movable(kind string) bool {
	switch kind {
	case "drawing", "chart", "chartUserShapes", "chartStyle", "chartColorStyle", "chartEx", "themeOverride",
		"image", "comments", "vmlDrawing", "printerSettings":
		return true
	}
	return false
}

// movePart moves one part under a free name, and what it points at.
func (gr *grafting) movePart(old string) (string, error) {
	if now, ok := gr.moved[old]; ok {
		return now, nil
	}
	src, err := gr.Scratch.Read(old)
	if err != nil {
		return "", err
	}
	now := opc.FreePartName(gr.e, numbered(old))
	gr.moved[old] = now
	if path.Ext(old) == ".xml" {
		if src, err = gr.partXML(old, src); err != nil {
			return "", err
		}
	}
	kind, err := opc.ContentType(gr.types, old)
	if err != nil {
		return "", err
	}
	if err := gr.e.AddTyped(now, src, kind); err != nil {
		return "", err
	}
	return now, gr.moveRels(old, now)
}

// numbered makes the pattern of FreePartName from a part name: its number at
// the end becomes %d.
func numbered(name string) string {
	ext := path.Ext(name)
	stem := strings.TrimRight(strings.TrimSuffix(name, ext), "0123456789")
	return strings.ReplaceAll(stem, "%", "%%") + "%d" + ext
}

// sheetXML brings a worksheet part into the target's terms: style numbers,
// titles in formulas, namespaces. It must not be selected along with the
// shop's active sheet, or typing there would fill ours too.
func (gr *grafting) sheetXML(name string, src []byte) ([]byte, error) {
	t, err := markup.ParseRoot(name, src, "worksheet", markup.SheetNS, markup.StrictSheetNS)
	if err != nil {
		return nil, err
	}
	p := t.Patch()
	var bad error
	remap := func(n *markup.Node, key string, take func(*Styles, int) (int, error)) {
		a := n.Attr(key)
		if a == nil || bad != nil {
			return
		}
		to, err := take(gr.styles, markup.Int(a.Value, 0))
		if err != nil {
			bad = err
			return
		}
		p.SetInt(n, key, to)
	}
	t.Root.Walk(func(n *markup.Node) {
		if n.Space == t.Root.Space {
			switch n.Local {
			case "c":
				if n.Get("t") == "s" {
					bad = fmt.Errorf("%s: cell %s holds a shared string; leave values to the splicer", name, n.Get("r"))
				}
				remap(n, "s", gr.st.Import)
			case "row":
				remap(n, "s", gr.st.Import)
			case "col":
				remap(n, "style", gr.st.Import)
			case "sheetView":
				p.RemoveAttr(n, "tabSelected")
			case "sheetPr":
				p.RemoveAttr(n, "codeName") // would belong to a macro project
			default:
				remap(n, "dxfId", gr.st.ImportDxf)
			}
		}
		gr.common(p, n)
	})
	if bad != nil {
		return nil, bad
	}
	return p.Bytes()
}

// partXML brings any other part into the target's terms.
func (gr *grafting) partXML(name string, src []byte) ([]byte, error) {
	t, err := markup.Parse(name, src)
	if err != nil {
		return nil, err
	}
	p := t.Patch()
	t.Root.Walk(func(n *markup.Node) { gr.common(p, n) })
	return p.Bytes()
}

// common renames titles in formulas, and namespaces for a strict workbook.
func (gr *grafting) common(p *markup.Patch, n *markup.Node) {
	switch n.Local {
	case "f", "formula", "formula1", "formula2":
		if to := grid.RenameSheets(n.Text, gr.titles); to != n.Text && len(n.Children) == 0 {
			p.SetText(n, to)
		}
	case "hyperlink", "sp":
		for _, key := range []string{"location", "textlink"} {
			if a := n.Attr(key); a != nil {
				p.SetAttr(n, key, grid.RenameSheets(a.Value, gr.titles))
			}
		}
	}
	if !gr.w.Strict {
		return
	}
	for i := range n.Attrs {
		if a := &n.Attrs[i]; a.Prefix == "xmlns" || a.Prefix == "" && a.Local == "xmlns" {
			p.SetValue(a, strictSpace(a.Value))
		}
	}
}

// strictSpace gives the strict spelling (ISO/IEC 29500-1) of a transitional
// namespace or relationship type, and leaves others alone.
func strictSpace(space string) string {
	const transitional, strict = "http://schemas.openxmlformats.org/", "http://purl.oclc.org/ooxml/"
	rest, ok := strings.CutPrefix(space, transitional)
	if !ok || strings.HasPrefix(rest, "package/") || strings.HasPrefix(rest, "markup-compatibility/") {
		return space
	}
	return strict + strings.Replace(rest, "/2006/", "/", 1)
}
