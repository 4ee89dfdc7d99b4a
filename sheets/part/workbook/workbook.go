package workbook

import (
	"fmt"
	"strings"

	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
)

// Workbook is what the workbook part and its relationships say about the
// parts of a package.
type Workbook struct {
	Part   string // name of the workbook part
	Sheets []Sheet
	Names  []DefinedName

	// Part names, "" where the workbook has no such part.
	SharedStrings, Styles, Theme, CalcChain string

	Date1904        bool // dates count from 1904-01-01
	StructureLocked bool // sheets may not be added or taken away
	Strict          bool // written in the strict namespaces
	FullCalcOnLoad  bool
	CalcMode        string // "", auto, autoNoTable or manual
	AsDisplayed     bool   // works with numbers as they are shown, rounded
	Iterates        bool   // goes round in circles of formulas, and says nothing of them
	ActiveTab       int    // index into Sheets
}

// Sheet is one tab, in tab order.
type Sheet struct {
	Name     string
	SheetID  int
	RelID    string
	Kind     string // last part of the relationship's type: worksheet, chartsheet, dialogsheet ...; NoPart
	PartName string // "" where the relationship leads nowhere
	State    string // visible, hidden or veryHidden
	Tables   []string
}

// NoPart is the kind of a tab that says of itself that it has no part (r:id=""), as
// a spreadsheet program leaves of modules of macros of long ago. It never had a cell.
const NoPart = "none"

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

// Read finds the workbook part of a package, whatever its name, and
// reads its tabs, names and the parts that belong to it.
func Read(p opc.Parts) (*Workbook, error) {
	if types, err := p.Read(opc.ContentTypes); err != nil {
		return nil, err
	} else if _, err = markup.ParseRoot(opc.ContentTypes, types, "Types", markup.TypesNS); err != nil {
		return nil, err
	}
	rootRels, err := opc.RelsOf(p, "")
	if err != nil {
		return nil, err
	}
	w := &Workbook{}
	for _, r := range rootRels {
		if r.Is("officeDocument") {
			w.Part, _ = opc.FindPart(p, opc.ResolveTarget("", r.Target))
		}
	}
	if w.Part == "" {
		return nil, fmt.Errorf("_rels/.rels: leads to no workbook part; restore the file from a copy")
	}
	src, err := p.Read(w.Part)
	if err != nil {
		return nil, err
	}
	if what := opc.ForeignMain(w.Part, src); what != "" {
		return nil, &opc.NotWorkbookError{Reason: opc.NotSheets, What: what}
	}
	t, err := scanWorkbook(w.Part, src)
	if err != nil {
		return nil, err
	}
	rels, err := opc.RelsOf(p, w.Part)
	if err != nil {
		return nil, err
	}
	target := map[string]opc.Relationship{}
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
			name := opc.ResolveTarget(w.Part, r.Target)
			if *to, there = opc.FindPart(p, name); !there && (kind == "sharedStrings" || kind == "styles") {
				return nil, &opc.NotWorkbookError{Reason: opc.NotComplete, What: fmt.Sprintf(
					"the part %s is not in the file, though the workbook names it; restore the file from a copy", name)}
			}
		}
	}
	w.Strict = t.Root.Space == markup.StrictSheetNS
	w.Date1904 = markup.Bool(t.Root.Child("workbookPr").Get("date1904"), false)
	w.StructureLocked = markup.Bool(t.Root.Child("workbookProtection").Get("lockStructure"), false)
	w.CalcMode = t.Root.Child("calcPr").Get("calcMode")
	w.AsDisplayed = !markup.Bool(t.Root.Child("calcPr").Get("fullPrecision"), true)
	w.Iterates = markup.Bool(t.Root.Child("calcPr").Get("iterate"), false)
	w.FullCalcOnLoad = markup.Bool(t.Root.Child("calcPr").Get("fullCalcOnLoad"), false)
	w.ActiveTab = markup.Int(t.Root.Child("bookViews").Child("workbookView").Get("activeTab"), 0)
	for _, n := range t.Root.Child("sheets").All("sheet") {
		s := sheetEntry(n)
		if r, ok := target[s.RelID]; ok {
			s.Kind = r.Type[strings.LastIndex(r.Type, "/")+1:]
			s.PartName, _ = opc.FindPart(p, opc.ResolveTarget(w.Part, r.Target))
		}
		if err = w.refuseTwin(s); err != nil {
			return nil, err
		}
		if s.Tables, err = tableParts(p, s.PartName); err != nil {
			return nil, err
		}
		w.Sheets = append(w.Sheets, s)
	}
	for _, n := range t.Root.Child("definedNames").All("definedName") {
		w.Names = append(w.Names, definedName(n))
	}
	return w, nil
}

// refuseTwin refuses a tab that has the name or the part of one before it: no
// program writes that, and what is on it would count twice.
func (w *Workbook) refuseTwin(s Sheet) error {
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
func tableParts(p opc.Parts, sheetPart string) ([]string, error) {
	if sheetPart == "" {
		return nil, nil
	}
	rels, err := opc.RelsOf(p, sheetPart)
	if err != nil {
		return nil, err
	}
	var list []string
	for _, r := range rels {
		if !r.Is("table") || r.External {
			continue
		}
		if name, ok := opc.FindPart(p, opc.ResolveTarget(sheetPart, r.Target)); ok {
			list = append(list, name)
		}
	}
	return list, nil
}

func scanWorkbook(name string, src []byte) (*markup.Tree, error) {
	t, err := markup.ParseRoot(name, src, "workbook", markup.SheetNS, markup.StrictSheetNS)
	if err == nil && t.Root.Child("sheets") == nil {
		err = fmt.Errorf("%s: lists no sheets", name)
	}
	return t, err
}

func sheetEntry(n *markup.Node) Sheet {
	state := n.Get("state")
	if state == "" {
		state = "visible"
	}
	s := Sheet{Name: n.Get("name"), SheetID: markup.Int(n.Get("sheetId"), 0), RelID: n.RelID("id"), State: state}
	if s.RelID == "" && n.HasRelID("id") {
		s.Kind = NoPart
	}
	return s
}

func definedName(n *markup.Node) DefinedName {
	return DefinedName{
		Name: n.Get("name"), Sheet: markup.Int(n.Get("localSheetId"), -1),
		Ref: n.Text, Hidden: markup.Bool(n.Get("hidden"), false),
	}
}
