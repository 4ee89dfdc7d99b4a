package part

import (
	"fmt"
	"strconv"
	"strings"
)

// Workbook is what the workbook part and its relationships say about the
// parts of a package.
type Workbook struct {
	Part   string // name of the workbook part
	Sheets []SheetEntry
	Names  []DefinedName

	// Part names, "" where the workbook has no such part.
	SharedStrings, Styles, Theme, CalcChain string

	Date1904        bool // dates count from 1904-01-01
	StructureLocked bool // sheets may not be added or taken away
	Strict          bool // written in the strict namespaces
	FullCalcOnLoad  bool
	CalcMode        string // "", auto, autoNoTable or manual
	ActiveTab       int    // index into Sheets
}

// SheetEntry is one tab, in tab order.
type SheetEntry struct {
	Name     string
	SheetID  int
	RelID    string
	Kind     string // last part of the relationship's type: worksheet, chartsheet, dialogsheet ...
	PartName string // "" where the relationship leads nowhere
	State    string // visible, hidden or veryHidden
	Tables   []string
}

// DefinedName is a name of the workbook. Sheet is the position of the tab that
// it belongs to, -1 for the whole workbook. Ref has no equals sign.
type DefinedName struct {
	Name   string
	Sheet  int
	Ref    string
	Hidden bool
}

func (d DefinedName) same(o DefinedName) bool {
	return d.Sheet == o.Sheet && strings.EqualFold(d.Name, o.Name)
}

// Sheet gives the position of the tab called name, -1 if there is none. Tab
// names do not tell case apart.
func (w *Workbook) Sheet(name string) int {
	for i, s := range w.Sheets {
		if strings.EqualFold(s.Name, name) {
			return i
		}
	}
	return -1
}

// ReadWorkbook finds the workbook part of a package, whatever its name, and
// reads its tabs, names and the parts that belong to it.
func ReadWorkbook(p Parts) (*Workbook, error) {
	rootRels, err := relsOf(p, "")
	if err != nil {
		return nil, err
	}
	w := &Workbook{}
	for _, r := range rootRels {
		if r.Is("officeDocument") {
			w.Part, _ = findPart(p, ResolveTarget("", r.Target))
		}
	}
	if w.Part == "" {
		return nil, fmt.Errorf("_rels/.rels: names no workbook part; this is not a workbook")
	}
	src, err := p.Read(w.Part)
	if err != nil {
		return nil, err
	}
	t, err := scanWorkbook(w.Part, src)
	if err != nil {
		return nil, err
	}
	rels, err := relsOf(p, w.Part)
	if err != nil {
		return nil, err
	}
	target := map[string]Relationship{}
	for _, r := range rels {
		if r.External {
			continue
		}
		target[r.ID] = r
		for kind, to := range map[string]*string{
			"sharedStrings": &w.SharedStrings, "styles": &w.Styles, "theme": &w.Theme, "calcChain": &w.CalcChain,
		} {
			if name, ok := findPart(p, ResolveTarget(w.Part, r.Target)); ok && r.Is(kind) {
				*to = name
			}
		}
	}
	w.Strict = t.root.space == strictSheetNS
	w.Date1904 = xmlBool(t.root.child("workbookPr").get("date1904"), false)
	w.StructureLocked = xmlBool(t.root.child("workbookProtection").get("lockStructure"), false)
	w.CalcMode = t.root.child("calcPr").get("calcMode")
	w.FullCalcOnLoad = xmlBool(t.root.child("calcPr").get("fullCalcOnLoad"), false)
	w.ActiveTab = xmlInt(t.root.child("bookViews").child("workbookView").get("activeTab"), 0)
	for _, n := range t.root.child("sheets").all("sheet") {
		s := sheetEntry(n)
		if r, ok := target[s.RelID]; ok {
			s.Kind = r.Type[strings.LastIndex(r.Type, "/")+1:]
			s.PartName, _ = findPart(p, ResolveTarget(w.Part, r.Target))
		}
		if s.Tables, err = tableParts(p, s.PartName); err != nil {
			return nil, err
		}
		w.Sheets = append(w.Sheets, s)
	}
	for _, n := range t.root.child("definedNames").all("definedName") {
		w.Names = append(w.Names, definedName(n))
	}
	return w, nil
}

// tableParts names the table parts of a sheet part.
func tableParts(p Parts, sheetPart string) ([]string, error) {
	if sheetPart == "" {
		return nil, nil
	}
	rels, err := relsOf(p, sheetPart)
	if err != nil {
		return nil, err
	}
	var list []string
	for _, r := range rels {
		if name, ok := findPart(p, ResolveTarget(sheetPart, r.Target)); ok && r.Is("table") && !r.External {
			list = append(list, name)
		}
	}
	return list, nil
}

func scanWorkbook(name string, src []byte) (*tree, error) {
	t, err := scanRoot(name, src, "workbook", sheetNS, strictSheetNS)
	if err == nil && t.root.child("sheets") == nil {
		err = fmt.Errorf("%s: lists no sheets", name)
	}
	return t, err
}

func sheetEntry(n *node) SheetEntry {
	state := n.get("state")
	if state == "" {
		state = "visible"
	}
	return SheetEntry{Name: n.get("name"), SheetID: xmlInt(n.get("sheetId"), 0), RelID: n.relID("id"), State: state}
}

func definedName(n *node) DefinedName {
	return DefinedName{
		Name: n.get("name"), Sheet: xmlInt(n.get("localSheetId"), -1),
		Ref: n.text, Hidden: xmlBool(n.get("hidden"), false),
	}
}

// NewSheet is a tab to add.
type NewSheet struct {
	Name    string
	RelID   string
	SheetID int
}

// WorkbookPatch says what to change in a workbook part. Positions of tabs, in
// DefinedName.Sheet, are those after the patch: removed tabs gone, new ones
// last.
type WorkbookPatch struct {
	RemoveSheets   []string // by name; the names that belong to them go too
	AddSheets      []NewSheet
	RemoveNames    []DefinedName // by name and tab; the rest is not looked at
	SetNames       []DefinedName // replace by name and tab, or add
	FullCalcOnLoad bool          // false leaves it as it is
}

// workbookOrder is the order of the children of a workbook (ECMA-376 part 1,
// CT_Workbook).
func workbookOrder() []string {
	return []string{"fileVersion", "fileSharing", "workbookPr", "workbookProtection", "bookViews", "sheets",
		"functionGroups", "externalReferences", "definedNames", "calcPr", "oleSize", "customWorkbookViews",
		"pivotCaches", "smartTagPr", "smartTagTypes", "webPublishing", "fileRecoveryPr", "webPublishObjects", "extLst"}
}

// Patch changes the workbook part src as the patch says and leaves all else
// as it is, byte for byte. The same patch a second time changes nothing.
func (w *Workbook) Patch(src []byte, wp WorkbookPatch) ([]byte, error) {
	t, err := scanWorkbook(w.Part, src)
	if err != nil {
		return nil, err
	}
	if err := wp.conflict(); err != nil {
		return nil, fmt.Errorf("%s: %w", w.Part, err)
	}
	p := t.patch()
	moved, err := patchSheets(p, wp)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", w.Part, err)
	}
	patchViews(p, moved)
	patchNames(p, wp, moved)
	if wp.FullCalcOnLoad {
		if n := t.root.child("calcPr"); n != nil {
			if !xmlBool(n.get("fullCalcOnLoad"), false) {
				p.setAttr(n, "fullCalcOnLoad", "1")
			}
		} else {
			p.insertInOrder(t.root, "calcPr", workbookOrder(), "<"+t.root.tag("calcPr")+` fullCalcOnLoad="1"/>`)
		}
	}
	return p.bytes()
}

// conflict refuses a patch that asks for one thing twice: it could not be
// applied a second time without a change.
func (wp WorkbookPatch) conflict() error {
	for i, a := range wp.AddSheets {
		for _, r := range wp.RemoveSheets {
			if strings.EqualFold(a.Name, r) {
				return fmt.Errorf("sheet %q is both to be added and removed", a.Name)
			}
		}
		for _, b := range wp.AddSheets[:i] {
			if strings.EqualFold(a.Name, b.Name) || a.RelID == b.RelID || a.SheetID == b.SheetID {
				return fmt.Errorf("sheets %q and %q are to be added under one name, id or relationship", b.Name, a.Name)
			}
		}
	}
	for i, d := range wp.SetNames {
		for _, r := range wp.RemoveNames {
			if d.same(r) {
				return fmt.Errorf("name %q is both to be set and removed", d.Name)
			}
		}
		for _, o := range wp.SetNames[:i] {
			if d.same(o) {
				return fmt.Errorf("name %q is to be set twice", d.Name)
			}
		}
	}
	return nil
}

// patchSheets adds and removes tabs. It gives the new position of every old
// tab, -1 for a removed one.
func patchSheets(p *patch, wp WorkbookPatch) ([]int, error) {
	sheets := p.t.root.child("sheets")
	moved := []int{}
	kept, shown := 0, len(wp.AddSheets)
	var have []SheetEntry
	for _, n := range sheets.all("sheet") {
		s := sheetEntry(n)
		if anyFold(wp.RemoveSheets, s.Name) {
			p.remove(n)
			moved = append(moved, -1)
			continue
		}
		moved = append(moved, kept)
		kept++
		if s.State == "visible" {
			shown++
		}
		have = append(have, s)
	}
	if shown == 0 {
		return nil, fmt.Errorf("no visible sheet would be left")
	}
	for _, a := range wp.AddSheets {
		there, err := a.among(have)
		if err != nil {
			return nil, err
		}
		if there {
			continue
		}
		attr := ""
		prefix, ok := sheets.prefixOf(relNS, strictRelNS)
		if !ok {
			prefix = "r"
			attr = ` xmlns:r="` + relSpace(sheets) + `"`
		}
		p.appendChild(sheets, "<"+sheets.tag("sheet")+attr+` name="`+escape(a.Name, true)+`" sheetId="`+strconv.Itoa(a.SheetID)+
			`" `+prefix+`:id="`+escape(a.RelID, true)+`"/>`)
	}
	return moved, nil
}

// among says whether the very same tab is there; half the same is an error.
func (a NewSheet) among(have []SheetEntry) (bool, error) {
	for _, h := range have {
		same := strings.EqualFold(h.Name, a.Name)
		if same && h.RelID == a.RelID && h.SheetID == a.SheetID {
			return true, nil
		}
		if same {
			return false, fmt.Errorf("there is a sheet %q already; choose another name", h.Name)
		}
		if h.RelID == a.RelID || h.SheetID == a.SheetID {
			return false, fmt.Errorf("sheet %q cannot have the id %d and relationship %q: sheet %q has one of them",
				a.Name, a.SheetID, a.RelID, h.Name)
		}
	}
	return false, nil
}

// relSpace is the relationships namespace that goes with n's own.
func relSpace(n *node) string {
	if n.space == strictSheetNS {
		return strictRelNS
	}
	return relNS
}

// patchViews makes the views of the workbook point at the same tabs as before,
// at the tab now in the place of a removed one, else at the last that is left.
func patchViews(p *patch, moved []int) {
	for _, v := range p.t.root.child("bookViews").all("workbookView") {
		for _, key := range []string{"activeTab", "firstSheet"} {
			if was := xmlInt(v.get(key), 0); was >= 0 && was < len(moved) {
				if now := newPlace(moved, was); now != was {
					p.setInt(v, key, now)
				}
			}
		}
	}
}

func newPlace(moved []int, was int) int {
	for i := was; i < len(moved); i++ {
		if moved[i] >= 0 {
			return moved[i]
		}
	}
	for i := was; i >= 0; i-- {
		if moved[i] >= 0 {
			return moved[i]
		}
	}
	return 0
}

// patchNames sets and removes names, and moves those that belong to a tab
// along with it.
func patchNames(p *patch, wp WorkbookPatch, moved []int) {
	root := p.t.root
	list := root.child("definedNames")
	set := append([]DefinedName(nil), wp.SetNames...)
	var gone []*node
	nodes := list.all("definedName")
	for _, n := range nodes {
		was := definedName(n)
		now := was
		if was.Sheet >= 0 && was.Sheet < len(moved) {
			now.Sheet = moved[was.Sheet]
		}
		if was.Sheet >= 0 && now.Sheet < 0 || anyName(wp.RemoveNames, now) >= 0 {
			gone = append(gone, n)
			continue
		}
		if now.Sheet != was.Sheet {
			p.setInt(n, "localSheetId", now.Sheet)
		}
		i := anyName(set, now)
		if i < 0 {
			continue
		}
		if set[i].Ref != now.Ref {
			p.setText(n, set[i].Ref)
		}
		if set[i].Hidden && !now.Hidden {
			p.setAttr(n, "hidden", "1")
		} else if !set[i].Hidden && now.Hidden {
			p.removeAttr(n, "hidden")
		}
		set = append(set[:i], set[i+1:]...)
	}
	if len(set) == 0 && len(gone) > 0 && len(gone) == len(list.children) {
		p.remove(list) // the schema wants at least one name in it
		return
	}
	for _, n := range gone {
		p.remove(n)
	}
	if len(set) == 0 {
		return
	}
	var xml strings.Builder
	for _, d := range set {
		xml.WriteString(nameXML(root, d))
	}
	if list != nil {
		p.appendChild(list, xml.String())
		return
	}
	tag := root.tag("definedNames")
	p.insertInOrder(root, "definedNames", workbookOrder(), "<"+tag+">"+xml.String()+"</"+tag+">")
}

func nameXML(root *node, d DefinedName) string {
	tag := root.tag("definedName")
	xml := "<" + tag + ` name="` + escape(d.Name, true) + `"`
	if d.Sheet >= 0 {
		xml += ` localSheetId="` + strconv.Itoa(d.Sheet) + `"`
	}
	if d.Hidden {
		xml += ` hidden="1"`
	}
	return xml + ">" + escape(d.Ref, false) + "</" + tag + ">"
}

func anyName(list []DefinedName, d DefinedName) int {
	for i, o := range list {
		if o.same(d) {
			return i
		}
	}
	return -1
}

func anyFold(list []string, s string) bool {
	for _, o := range list {
		if strings.EqualFold(o, s) {
			return true
		}
	}
	return false
}
