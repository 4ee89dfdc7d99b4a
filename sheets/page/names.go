package page

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"seamtally/sheets/part/workbook"
)

// Names gives the defined names that formulas use. A name that the shop
// has for something else is left alone; ours takes a suffix.
type Names struct {
	wb      *workbook.Workbook
	mine    func(ref string) bool // whether a reference points into our sheets
	actual  map[string]string
	Defined []workbook.DefinedName // ours, in the order of asking
	// AsWritten has names that lead elsewhere now stay ours, where the last run has given
	// them no suffix: its formulas still go by them.
	AsWritten bool
}

// NewNames reads the names of a workbook. A name is ours if mine says so of what
// it points at.
func NewNames(wb *workbook.Workbook, mine func(string) bool) *Names {
	return &Names{wb: wb, mine: mine, actual: map[string]string{}}
}

// Use gives the name that stands for the wanted one.
func (n *Names) Use(wanted string) string {
	if a, ok := n.actual[wanted]; ok {
		return a
	}
	name := wanted
	for i := 2; n.taken(name); i++ {
		name = fmt.Sprintf("%s_%d", wanted, i)
		if n.AsWritten && !n.there(name) {
			name = wanted
			break
		}
	}
	n.actual[wanted] = name
	return name
}

func (n *Names) there(name string) bool {
	return slices.ContainsFunc(n.wb.Names, func(d workbook.DefinedName) bool { return strings.EqualFold(d.Name, name) })
}

// taken reports whether the shop has the name, for the workbook or for one
// sheet, where it would stand before ours.
func (n *Names) taken(name string) bool {
	for _, d := range n.wb.Names {
		if strings.EqualFold(d.Name, name) && !(d.Sheet < 0 && n.mine(d.Ref)) && !n.onCopy(d) {
			return true
		}
	}
	return false
}

// Define says where a name points.
func (n *Names) Define(wanted, ref string) {
	n.Defined = append(n.Defined, workbook.DefinedName{Name: n.Use(wanted), Sheet: -1, Ref: ref})
}

// Find gives what our name points at now, "" if it is not there.
func (n *Names) Find(wanted string) string {
	name := n.Use(wanted)
	for _, d := range n.wb.Names {
		if d.Sheet < 0 && strings.EqualFold(d.Name, name) {
			return d.Ref
		}
	}
	return ""
}

// Has reports whether the workbook has our name, be it that what it pointed at
// is gone.
func (n *Names) Has(wanted string) bool {
	for _, d := range n.wb.Names {
		if d.Sheet < 0 && strings.EqualFold(d.Name, wanted) && (n.mine(d.Ref) || strings.Contains(d.Ref, "#REF!")) {
			return true
		}
	}
	return n.Find(wanted) != ""
}

// Renamed lists the names that had to take a suffix, in alphabetical order.
func (n *Names) Renamed() (wanted, actual []string) {
	for _, w := range slices.Sorted(maps.Keys(n.actual)) {
		if a := n.actual[w]; w != a {
			wanted, actual = append(wanted, w), append(actual, a)
		}
	}
	return wanted, actual
}

// NamePrint begins the names by which a joint list keeps how it prints, for its sheet
// alone; those of our own sheets hold in the whole workbook.
const NamePrint = "seamtally.print"

// onCopy reports whether a name is one of those that came with a copy of a sheet
// of ours: it holds on that sheet alone, where no formula of ours stands.
func (n *Names) onCopy(d workbook.DefinedName) bool {
	if d.Sheet < 0 {
		return false
	}
	for _, o := range n.wb.Names {
		if name := strings.ToLower(o.Name); o.Sheet == d.Sheet && strings.HasPrefix(name, "seamtally.") && !strings.HasPrefix(name, NamePrint) {
			return true
		}
	}
	return false
}
