package part

import (
	"fmt"
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
	if types, err := p.Read(contentTypes); err != nil {
		return nil, err
	} else if _, err = scanRoot(contentTypes, types, "Types", typesNS); err != nil {
		return nil, err
	}
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
		return nil, fmt.Errorf("_rels/.rels: leads to no workbook part; restore the file from a copy")
	}
	src, err := p.Read(w.Part)
	if err != nil {
		return nil, err
	}
	if what := foreignMain(w.Part, src); what != "" {
		return nil, &NotWorkbookError{Reason: NotSheets, What: what}
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
			if !r.Is(kind) {
				continue
			}
			var there bool
			name := ResolveTarget(w.Part, r.Target)
			if *to, there = findPart(p, name); !there && (kind == "sharedStrings" || kind == "styles") {
				return nil, &NotWorkbookError{Reason: NotComplete, What: fmt.Sprintf(
					"the part %s is not in the file, though the workbook names it; restore the file from a copy", name)}
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
		if err = w.refuseTwin(s); err != nil {
			return nil, err
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

// refuseTwin refuses a tab that has the name or the part of one before it: no
// program writes that, and what is on it would count twice.
func (w *Workbook) refuseTwin(s SheetEntry) error {
	for _, other := range w.Sheets {
		if strings.EqualFold(other.Name, s.Name) {
			return fmt.Errorf("%s: two sheets are called %q; restore the file from a copy", w.Part, s.Name)
		}
		if s.PartName != "" && s.PartName == other.PartName {
			return fmt.Errorf("%s: the sheets %q and %q are one part, %s; restore the file from a copy", w.Part, other.Name, s.Name, s.PartName)
		}
	}
	return nil
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
		if !r.Is("table") || r.External {
			continue
		}
		if name, ok := findPart(p, ResolveTarget(sheetPart, r.Target)); ok {
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
