package part

import (
	"fmt"
	"path"
	"strings"
)

// sheetType is the content type of worksheets (ECMA-376 part 1).
const sheetType = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"

// Graft moves a sheet from a scratch workbook into another one: the sheet
// without values, its drawing, charts, pictures and notes.
type Graft struct {
	Scratch *Package
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
	e      *Edit
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
func (g Graft) Into(e *Edit, w *Workbook, st *Styles) (Grafted, error) {
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
	out := Grafted{PartName: FreePartName(e, path.Join(dir, "worksheets/sheet%d.xml"))}
	gr.moved[source] = out.PartName
	src, err := g.Scratch.Read(source)
	if err != nil {
		return fail(err)
	}
	if out.XML, err = gr.sheetXML(source, src); err != nil {
		return fail(err)
	}
	// Holds the name against the next sheet.
	if err := e.addTyped(out.PartName, out.XML, sheetType); err != nil {
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
			d.Sheet, d.Ref = len(w.Sheets), renameSheets(d.Ref, gr.titles)
			out.Names = append(out.Names, d)
		}
	}
	w.Sheets = append(w.Sheets, SheetEntry{Name: g.Title, SheetID: out.SheetID, RelID: out.RelID,
		Kind: "worksheet", PartName: out.PartName, State: "visible"})
	return out, nil
}

func (g Graft) begin(e *Edit, w *Workbook, st *Styles) (*grafting, error) {
	gr := &grafting{Graft: g, e: e, w: w, st: st, moved: map[string]string{}, titles: map[string]string{}}
	var err error
	if gr.from, err = ReadWorkbook(g.Scratch); err != nil {
		return nil, err
	}
	if gr.styles, err = gr.from.ReadStyles(g.Scratch); err != nil {
		return nil, err
	}
	if gr.types, err = g.Scratch.Read(contentTypes); err != nil {
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
	name, ok := findPart(gr.Scratch, RelsName(source))
	if !ok {
		return nil
	}
	src, err := gr.Scratch.Read(name)
	if err != nil {
		return err
	}
	t, err := scanRoot(name, src, "Relationships", pkgRelNS)
	if err != nil {
		return err
	}
	p := t.patch()
	for _, n := range t.root.all("Relationship") {
		kind := n.get("Type")
		if gr.w.Strict {
			p.setAttr(n, "Type", strictSpace(kind))
		}
		kind = kind[strings.LastIndex(kind, "/")+1:]
		if n.get("TargetMode") == "External" || strings.HasPrefix(n.get("Target"), "#") {
			continue
		}
		if !movable(kind) {
			return fmt.Errorf("%s: a sheet cannot be moved with a part of the kind %s", name, kind)
		}
		old, ok := findPart(gr.Scratch, ResolveTarget(source, n.get("Target")))
		if !ok {
			return fmt.Errorf("%s: points at the part %q, which is not there", name, n.get("Target"))
		}
		now, err := gr.movePart(old)
		if err != nil {
			return err
		}
		p.setAttr(n, "Target", relativeTarget(target, now))
	}
	if src, err = p.bytes(); err != nil {
		return err
	}
	return gr.e.addTyped(RelsName(target), src, relsType)
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
	now := FreePartName(gr.e, numbered(old))
	gr.moved[old] = now
	if path.Ext(old) == ".xml" {
		if src, err = gr.partXML(old, src); err != nil {
			return "", err
		}
	}
	kind, err := ContentType(gr.types, old)
	if err != nil {
		return "", err
	}
	if err := gr.e.addTyped(now, src, kind); err != nil {
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
	t, err := scanRoot(name, src, "worksheet", sheetNS, strictSheetNS)
	if err != nil {
		return nil, err
	}
	p := t.patch()
	var bad error
	remap := func(n *node, key string, take func(*Styles, int) (int, error)) {
		a := n.attr(key)
		if a == nil || bad != nil {
			return
		}
		to, err := take(gr.styles, xmlInt(a.value, 0))
		if err != nil {
			bad = err
			return
		}
		p.setInt(n, key, to)
	}
	t.root.walk(func(n *node) {
		if n.space == t.root.space {
			switch n.local {
			case "c":
				if n.get("t") == "s" {
					bad = fmt.Errorf("%s: cell %s holds a shared string; leave values to the splicer", name, n.get("r"))
				}
				remap(n, "s", gr.st.Import)
			case "row":
				remap(n, "s", gr.st.Import)
			case "col":
				remap(n, "style", gr.st.Import)
			case "sheetView":
				p.removeAttr(n, "tabSelected")
			case "sheetPr":
				p.removeAttr(n, "codeName") // would belong to a macro project
			default:
				remap(n, "dxfId", gr.st.ImportDxf)
			}
		}
		gr.common(p, n)
	})
	if bad != nil {
		return nil, bad
	}
	return p.bytes()
}

// partXML brings any other part into the target's terms.
func (gr *grafting) partXML(name string, src []byte) ([]byte, error) {
	t, err := scanTree(name, src)
	if err != nil {
		return nil, err
	}
	p := t.patch()
	t.root.walk(func(n *node) { gr.common(p, n) })
	return p.bytes()
}

// common renames titles in formulas, and namespaces for a strict workbook.
func (gr *grafting) common(p *patch, n *node) {
	switch n.local {
	case "f", "formula", "formula1", "formula2":
		if to := renameSheets(n.text, gr.titles); to != n.text && len(n.children) == 0 {
			p.setText(n, to)
		}
	case "hyperlink", "sp":
		for _, key := range []string{"location", "textlink"} {
			if a := n.attr(key); a != nil {
				p.setAttr(n, key, renameSheets(a.value, gr.titles))
			}
		}
	}
	if !gr.w.Strict {
		return
	}
	for i := range n.attrs {
		if a := &n.attrs[i]; a.prefix == "xmlns" || a.prefix == "" && a.local == "xmlns" {
			p.setValue(a, strictSpace(a.value))
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
