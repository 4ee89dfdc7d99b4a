package workbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// maxRequired bounds how many namespaces the lists of a styles part may ask
// for: each doubles the number of ways in which a reader may see them.
const maxRequired = 3

// requiredBy gives the namespaces that a reader may know or not know, and which
// decide what it takes for the lists below root and for their items. Those of
// worksheets themselves every reader knows.
func requiredBy(root *markup.Node) ([]string, error) {
	var all []string
	add := func(ns string) {
		if ns != "" && ns != markup.SheetNS && ns != markup.StrictSheetNS && !slices.Contains(all, ns) {
			all = append(all, ns)
		}
	}
	var look func(n *markup.Node, depth int)
	look = func(n *markup.Node, depth int) {
		for _, c := range n.Children {
			switch {
			case c.Space == markup.CompatNS:
				for _, ns := range c.Requires() {
					add(ns)
				}
				look(c, depth)
			case depth == 0:
				look(c, 1)
			}
		}
	}
	look(root, 0)
	if len(all) > maxRequired {
		return nil, fmt.Errorf("mc:AlternateContent asks for %d namespaces, the limit is %d; save the workbook anew from the spreadsheet program", len(all), maxRequired)
	}
	return all, nil
}

// listPlace is where a list stands. There is more than one where readers take
// different branches, each of which has it.
type listPlace struct {
	node *markup.Node
	// missing is how many items a reader has less than another, by reader; a
	// reader that does not come here misses none.
	missing []int
}

// readLists finds the lists of a styles part, and what each reader takes for
// their items: reader 0 knows no extension, and bit i of another says that it
// knows required[i]. What is added gets the same number for all of them.
func (s *Styles) readLists() error {
	var err error
	if s.required, err = requiredBy(s.t.Root); err != nil {
		return err
	}
	readers := make([][]*markup.Node, 1<<len(s.required)) // what each sees below the root
	for r := range readers {
		readers[r] = s.t.Root.Seen(s.unknownTo(r))
	}
	for list, item := range map[string]string{"numFmts": "numFmt", "fonts": "font", "fills": "fill",
		"borders": "border", "cellStyleXfs": "xf", "cellXfs": "xf", "dxfs": "dxf"} {
		l := &styleList{index: map[string]int{}}
		at, all := make([]*markup.Node, len(readers)), make([][]*markup.Node, len(readers))
		for r, below := range readers {
			if at[r] = named(below, list, s.t.Root.Space); at[r] == nil {
				l.lacking = true
				continue
			}
			for _, n := range at[r].Seen(s.unknownTo(r)) {
				if n.Local == item && n.Space == at[r].Space {
					all[r] = append(all[r], n)
				}
			}
			l.count = max(l.count, len(all[r]))
		}
		for r, n := range at {
			if n == nil {
				continue
			}
			i := slices.IndexFunc(l.places, func(p listPlace) bool { return p.node == n })
			if i < 0 {
				i, l.places = len(l.places), append(l.places, listPlace{n, make([]int, len(readers))})
			}
			l.places[i].missing[r] = l.count - len(all[r])
		}
		l.items = all[0]
		for i := len(l.items) - 1; i >= 0; i-- { // the first of equal items wins
			if text := canonical(l.items[i]); seenByAll(all, i, text) {
				l.index[text] = i
			}
		}
		s.lists[list] = l
		if list == "numFmts" {
			s.readCodes(all)
		}
	}
	return nil
}

// readCodes reads the number formats. An id that is not the same to all readers
// is not used again for its code.
func (s *Styles) readCodes(all [][]*markup.Node) {
	of := make([]map[int]string, len(all))
	for r, items := range all {
		of[r] = map[int]string{}
		for _, n := range items {
			if id := markup.Int(n.Get("numFmtId"), -1); id >= 0 {
				of[r][id] = n.Get("formatCode")
			}
		}
	}
	for r := len(of) - 1; r >= 0; r-- { // reader 0 has the last word
		for id, code := range of[r] {
			s.codes[id] = code
			for _, other := range of {
				if c, ok := other[id]; !ok || c != code {
					s.split[id] = true
				}
			}
		}
	}
}

// seenByAll says whether item i is the same to all readers. One within
// mc:AlternateContent is not taken for that: what only evens out numbers must
// not be found by the next run and give others.
func seenByAll(all [][]*markup.Node, i int, text string) bool {
	for _, items := range all {
		if i >= len(items) || items[i].Parent.Space == markup.CompatNS || items[i] != all[0][i] && canonical(items[i]) != text {
			return false
		}
	}
	return true
}

// unknownTo gives the required namespaces that a reader does not know.
func (s *Styles) unknownTo(reader int) []string {
	var all []string
	for i, ns := range s.required {
		if reader>>i&1 == 0 {
			all = append(all, ns)
		}
	}
	return all
}

// named gives the first of nodes that is called local in a namespace.
func named(nodes []*markup.Node, local, space string) *markup.Node {
	for _, n := range nodes {
		if n.Local == local && n.Space == space {
			return n
		}
	}
	return nil
}

// evenOut gives what must stand before the added items so that they have the
// same numbers for all readers: a branch for each reader that misses some.
func (s *Styles) evenOut(list string, missing []int) string {
	if slices.Max(missing) == 0 || list == "numFmts" { // those are found by id
		return ""
	}
	blank := "<" + s.t.Root.Tag("dxf") + "/>"
	if d := s.defaults(list); len(d) > 0 {
		blank = d[0]
	}
	// No prefix may be that of the items.
	mc, ext := "mc"+s.t.Root.Prefix, "ext"+s.t.Root.Prefix
	xml := "<" + mc + ":AlternateContent xmlns:" + mc + `="` + markup.CompatNS + `"`
	for i, ns := range s.required {
		xml += " xmlns:" + ext + strconv.Itoa(i) + `="` + markup.Escape(ns, true) + `"`
	}
	xml += ">"
	// A reader takes the first branch of which it knows all: the one that asks
	// for just what it knows, as all that ask for less have a lower number.
	for r := len(missing) - 1; r > 0; r-- {
		var requires []string
		for i := range s.required {
			if r>>i&1 == 1 {
				requires = append(requires, ext+strconv.Itoa(i))
			}
		}
		xml += "<" + mc + `:Choice Requires="` + strings.Join(requires, " ") + `">` +
			strings.Repeat(blank, missing[r]) + "</" + mc + ":Choice>"
	}
	return xml + "<" + mc + ":Fallback>" + strings.Repeat(blank, missing[0]) + "</" + mc + ":Fallback></" + mc + ":AlternateContent>"
}
