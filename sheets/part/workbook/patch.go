package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// NewSheet is a tab to add.
type NewSheet struct {
	Name    string
	RelID   string
	SheetID int
}

// Changes says what to change in a workbook part. Positions of tabs, in
// DefinedName.Sheet, are those after the patch: removed tabs gone, new ones
// last.
type Changes struct {
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
func (w *Workbook) Patch(src []byte, wp Changes) ([]byte, error) {
	t, err := scanWorkbook(w.Part, src)
	if err != nil {
		return nil, err
	}
	if err := wp.conflict(); err != nil {
		return nil, fmt.Errorf("%s: %w", w.Part, err)
	}
	p := t.Patch()
	moved, err := patchSheets(p, wp)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", w.Part, err)
	}
	patchViews(p, moved)
	patchNames(p, wp, moved)
	if wp.FullCalcOnLoad {
		if n := t.Root.Child("calcPr"); n != nil {
			if !markup.Bool(n.Get("fullCalcOnLoad"), false) {
				p.SetAttr(n, "fullCalcOnLoad", "1")
			}
		} else {
			p.InsertInOrder(t.Root, "calcPr", workbookOrder(), "<"+t.Root.Tag("calcPr")+` fullCalcOnLoad="1"/>`)
		}
	}
	return p.Bytes()
}

// conflict refuses a patch that asks for one thing twice: it could not be
// applied a second time without a change.
func (wp Changes) conflict() error {
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
func patchSheets(p *markup.Patch, wp Changes) ([]int, error) {
	sheets := p.Tree.Root.Child("sheets")
	moved := []int{}
	kept, shown := 0, len(wp.AddSheets)
	var have []Sheet
	for _, n := range sheets.All("sheet") {
		s := sheetEntry(n)
		if anyFold(wp.RemoveSheets, s.Name) {
			p.Remove(n)
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
	if shown == 0 && kept < len(moved) {
		return nil, fmt.Errorf("no visible sheet would be left; unhide one of the others first")
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
		prefix, ok := sheets.PrefixOf(markup.RelNS, markup.StrictRelNS)
		if !ok {
			prefix = "r"
			attr = ` xmlns:r="` + relSpace(sheets) + `"`
		}
		p.AppendChild(sheets, "<"+sheets.Tag("sheet")+attr+` name="`+markup.Escape(a.Name, true)+`" sheetId="`+strconv.Itoa(a.SheetID)+
			`" `+prefix+`:id="`+markup.Escape(a.RelID, true)+`"/>`)
	}
	return moved, nil
}

// among says whether the very same tab is there; half the same is an error.
func (a NewSheet) among(have []Sheet) (bool, error) {
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
func relSpace(n *markup.Node) string {
	if n.Space == markup.StrictSheetNS {
		return markup.StrictRelNS
	}
	return markup.RelNS
}

// patchViews makes the views of the workbook point at the same tabs as before,
// at the tab now in the place of a removed one, else at the last that is left.
func patchViews(p *markup.Patch, moved []int) {
	for _, v := range p.Tree.Root.Child("bookViews").All("workbookView") {
		for _, key := range []string{"activeTab", "firstSheet"} {
			if was := markup.Int(v.Get(key), 0); was >= 0 && was < len(moved) {
				if now := newPlace(moved, was); now != was {
					p.SetInt(v, key, now)
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
func patchNames(p *markup.Patch, wp Changes, moved []int) {
	root := p.Tree.Root
	list := root.Child("definedNames")
	set := append([]DefinedName(nil), wp.SetNames...)
	var gone []*markup.Node
	nodes := list.All("definedName")
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
			p.SetInt(n, "localSheetId", now.Sheet)
		}
		i := anyName(set, now)
		if i < 0 {
			continue
		}
		if set[i].Ref != now.Ref {
			p.SetText(n, set[i].Ref)
		}
		if set[i].Hidden && !now.Hidden {
			p.SetAttr(n, "hidden", "1")
		} else if !set[i].Hidden && now.Hidden {
			p.RemoveAttr(n, "hidden")
		}
		set = append(set[:i], set[i+1:]...)
	}
	if len(set) == 0 && len(gone) > 0 && len(gone) == len(list.Children) {
		p.Remove(list) // the schema wants at least one name in it
		return
	}
	for _, n := range gone {
		p.Remove(n)
	}
	if len(set) == 0 {
		return
	}
	var xml strings.Builder
	for _, d := range set {
		xml.WriteString(nameXML(root, d))
	}
	if list != nil {
		p.AppendChild(list, xml.String())
		return
	}
	tag := root.Tag("definedNames")
	p.InsertInOrder(root, "definedNames", workbookOrder(), "<"+tag+">"+xml.String()+"</"+tag+">")
}

func nameXML(root *markup.Node, d DefinedName) string {
	tag := root.Tag("definedName")
	xml := "<" + tag + ` name="` + markup.Escape(d.Name, true) + `"`
	if d.Sheet >= 0 {
		xml += ` localSheetId="` + strconv.Itoa(d.Sheet) + `"`
	}
	if d.Hidden {
		xml += ` hidden="1"`
	}
	return xml + ">" + markup.Escape(d.Ref, false) + "</" + tag + ">"
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
