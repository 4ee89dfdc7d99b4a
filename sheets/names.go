package sheets

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"seamtally/sheets/part"
)

// Names that mark our own sheets and blocks on them. A dot keeps them apart
// from the names of figures.
const (
	nameAssumptions = "seamtally.assumptions"
	nameSummary     = "seamtally.summary"
	nameUnits       = "seamtally.units"
	nameColumns     = "seamtally.columns"
	nameModel       = "seamtally.model"
	namePrice       = "seamtally.price"
	nameLog         = "seamtally.log"
	nameState       = "seamtally.last"
	nameBlanks      = "seamtally.blanks"
	nameReliability = "seamtally.reliability"
	nameSince       = "seamtally.since"
	nameBlock       = "seamtally.block." // followed by the block of the Summary
	nameSheet       = "seamtally.sheet." // followed by the key of a sheet for the bid
	nameAgrees      = "seamtally.agree." // its count of what does not agree
	nameMade        = "seamtally.made."  // and the inputs that its values were made from
)

// nameBook gives the defined names that formulas use. A name that the shop
// has for something else is left alone; ours takes a suffix.
type nameBook struct {
	wb     *part.Workbook
	mine   func(ref string) bool // whether a reference points into our sheets
	actual map[string]string
	refs   []part.DefinedName // ours, in the order of asking
}

func newNameBook(wb *part.Workbook, mine func(string) bool) *nameBook {
	return &nameBook{wb: wb, mine: mine, actual: map[string]string{}}
}

// use gives the name that stands for the wanted one.
func (n *nameBook) use(wanted string) string {
	if a, ok := n.actual[wanted]; ok {
		return a
	}
	name := wanted
	for i := 2; n.taken(name); i++ {
		name = fmt.Sprintf("%s_%d", wanted, i)
	}
	n.actual[wanted] = name
	return name
}

// taken reports whether the shop has the name, for the workbook or for one
// sheet, where it would stand before ours.
func (n *nameBook) taken(name string) bool {
	for _, d := range n.wb.Names {
		if strings.EqualFold(d.Name, name) && !(d.Sheet < 0 && n.mine(d.Ref)) && !n.onCopy(d) {
			return true
		}
	}
	return false
}

// set says where a name points.
func (n *nameBook) set(wanted, ref string) {
	n.refs = append(n.refs, part.DefinedName{Name: n.use(wanted), Sheet: -1, Ref: ref})
}

// find gives what our name points at now, "" if it is not there.
func (n *nameBook) find(wanted string) string {
	name := n.use(wanted)
	for _, d := range n.wb.Names {
		if d.Sheet < 0 && strings.EqualFold(d.Name, name) {
			return d.Ref
		}
	}
	return ""
}

// has reports whether the workbook has our name, be it that what it pointed at
// is gone.
func (n *nameBook) has(wanted string) bool {
	for _, d := range n.wb.Names {
		if d.Sheet < 0 && strings.EqualFold(d.Name, wanted) && (n.mine(d.Ref) || strings.Contains(d.Ref, "#REF!")) {
			return true
		}
	}
	return n.find(wanted) != ""
}

// renamed lists the names that had to take a suffix, in alphabetical order.
func (n *nameBook) renamed() (wanted, actual []string) {
	for _, w := range slices.Sorted(maps.Keys(n.actual)) {
		if a := n.actual[w]; w != a {
			wanted, actual = append(wanted, w), append(actual, a)
		}
	}
	return wanted, actual
}

// splitRef takes 'Sheet name'!$A$1:$B$2 apart.
func splitRef(ref string) (sheet string, r part.Range, ok bool) {
	i := strings.LastIndex(ref, "!")
	if i < 0 {
		return "", r, false
	}
	sheet = ref[:i]
	if strings.HasPrefix(sheet, "'") && strings.HasSuffix(sheet, "'") && len(sheet) > 1 {
		sheet = strings.ReplaceAll(sheet[1:len(sheet)-1], "''", "'")
	}
	r, err := part.ParseRange(ref[i+1:])
	return sheet, r, err == nil
}

// rangeRef writes a block of cells on a sheet, absolute.
func rangeRef(sheet string, r part.Range) string {
	a := absolute(r.Row1, r.Col1)
	if r.Row1 == r.Row2 && r.Col1 == r.Col2 {
		return part.QuoteSheet(sheet) + "!" + a
	}
	return part.QuoteSheet(sheet) + "!" + a + ":" + absolute(r.Row2, r.Col2)
}
