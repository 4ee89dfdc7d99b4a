package sheetstest

import (
	"slices"
	"strings"
)

// printNames lets the names that a sheet's print goes by grow: the shop's print area
// comes first, with an area of ours behind it, and the rows and columns that it had
// repeated are so still.
func printNames(a, b *node) {
	for _, was := range a.root().at("definedNames").elements("definedName") {
		for _, is := range b.root().at("definedNames").elements("definedName") {
			if was.attr("name") != is.attr("name") || was.attr("localSheetId") != is.attr("localSheetId") {
				continue
			}
			old, now := was.chars(), is.chars()
			grown := false
			switch was.attr("name") {
			case "_xlnm.Print_Area":
				grown = strings.HasPrefix(now, old+",")
			case "_xlnm.Print_Titles":
				have := strings.Split(strings.ReplaceAll(now, "$", ""), ",")
				grown = !slices.ContainsFunc(strings.Split(strings.ReplaceAll(old, "$", ""), ","), func(one string) bool { return !slices.Contains(have, one) })
			}
			if grown {
				is.kids = was.kids
			}
		}
	}
}

// printKept demands that a sheet with a page setup keeps all that goes with it.
func (k *keeping) printKept(part string, a, b *node) {
	x, y := a.root(), b.root()
	if x.child("pageSetup") == nil {
		return
	}
	fit := func(n *node) string {
		if pr := n.at("sheetPr", "pageSetUpPr"); pr != nil {
			return pr.attr("fitToPage")
		}
		return ""
	}
	if fit(x) != fit(y) {
		k.say("%s: pages were fitted %q, and are %q", part, fit(x), fit(y))
	}
	for _, name := range []string{"sheetPr", "pageMargins", "headerFooter"} {
		if len(x.elements(name)) != len(y.elements(name)) {
			k.say("%s: %s is new", part, name)
		}
	}
}
