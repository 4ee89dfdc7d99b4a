package sheetstest

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// book looks at the workbook and all that it leads to.
func (c *checking) book() error {
	main := c.related("", "officeDocument")
	if len(main) != 1 {
		return fmt.Errorf("%d workbook parts", len(main))
	}
	root, err := c.whole(main[0])
	if err != nil {
		return err
	}
	c.strict = strings.Contains(root.space, "purl.oclc.org")
	for _, kind := range []struct {
		name string
		look func(string, *node)
	}{{"styles", c.styles}, {"sharedStrings", c.shared}} {
		for _, part := range c.related(main[0], kind.name) {
			t, err := c.whole(part)
			if err != nil {
				return err
			}
			kind.look(part, t)
		}
	}
	c.tabs(main[0], root)
	c.definedNames(main[0], root)
	c.tables = map[string]string{}
	for _, s := range root.at("sheets").elements("sheet") {
		for _, r := range c.rels[strings.ToLower(main[0])] {
			if r.id != relID(s, "id") {
				continue
			}
			if r.kind != "worksheet" || r.target == "" {
				continue // without cells
			}
			if err := c.sheet(r.target); err != nil {
				return err
			}
			if err := c.drawings(r.target); err != nil {
				return err
			}
		}
	}
	return nil
}

// whole reads a part, and looks at what is to be seen without knowing more.
func (c *checking) whole(part string) (*node, error) {
	t, err := c.tree(part, nil)
	if err == nil {
		c.ordered(part, t, nil)
		c.ids(part, t)
	}
	return t, err
}

// relID is the id of a relationship that an element names, by any prefix.
func relID(n *node, name string) string {
	for _, a := range n.attrs {
		if strings.HasSuffix(a[0], ":"+name) {
			return a[1]
		}
	}
	return ""
}

// counted demands that a count, if it is said, is that of the children.
func (c *checking) counted(part string, n *node, child string) []*node {
	all := n.elements(child)
	if n == nil {
		return nil
	}
	if s := n.attr("count"); s != "" && s != strconv.Itoa(len(all)) {
		c.say(part, "<%s> says that it has %s, and has %d", n.name, s, len(all))
	}
	return all
}

// number reads a whole number that an attribute is to be, from low to high; one
// that is missing is absent.
func (c *checking) number(part string, n *node, attr string, absent, low, high int) int {
	s := n.attr(attr)
	if s == "" {
		return absent
	}
	i, err := strconv.Atoi(s)
	if err != nil || i < low || i > high {
		c.say(part, "<%s> has %s=%q, beyond %d to %d", n.name, attr, s, low, high)
		return absent
	}
	return i
}

// tabs looks at the tabs and windows of the workbook (18.2.19 sheet, 18.2.30
// workbookView, from memory). How a tab may be called is a limit of common
// spreadsheet programs.
func (c *checking) tabs(part string, root *node) {
	seen := map[string]bool{}
	visible := false
	for _, s := range c.sheetsOf(root) {
		name := s.attr("name")
		c.titles = append(c.titles, name)
		for _, key := range []string{"name " + strings.ToLower(name), "id " + s.attr("sheetId"), "rel " + relID(s, "id")} {
			if seen[key] {
				c.say(part, "two tabs with the %s", key)
			}
			seen[key] = true
		}
		if n := len([]rune(name)); n == 0 || n > 31 || strings.ContainsAny(name, `[]:*?/\`) || name[0] == '\'' || name[len(name)-1] == '\'' {
			c.say(part, "a tab may not be called %q", name)
		}
		c.number(part, s, "sheetId", 0, 1, 1<<32-1)
		visible = visible || s.attr("state") == "" || s.attr("state") == "visible"
	}
	if !visible {
		c.say(part, "no tab is to be seen")
	}
	windows := root.at("bookViews").elements("workbookView")
	c.views = len(windows)
	for _, w := range windows {
		c.number(part, w, "activeTab", 0, 0, len(c.titles)-1)
		c.number(part, w, "firstSheet", 0, 0, len(c.titles)-1)
	}
}

func (c *checking) sheetsOf(root *node) []*node { return root.at("sheets").elements("sheet") }

// definedNames looks at the names (18.2.5 definedName, from memory): their form,
// scope and uniqueness, and that the sheets they lead to are there.
func (c *checking) definedNames(part string, root *node) {
	form := regexp.MustCompile(`^[\pL_\\][\pL\pN_.\\?\pM]*$`)
	cell := regexp.MustCompile(`^(?i)([A-Z]{1,3}[0-9]+|R[0-9]*(C[0-9]*)?|C[0-9]*)$`)
	seen := map[string]bool{}
	for _, d := range root.at("definedNames").elements("definedName") {
		name, text := d.attr("name"), d.chars()
		key := strings.ToLower(name) + " of " + strconv.Itoa(c.number(part, d, "localSheetId", -1, 0, len(c.titles)-1))
		if seen[key] {
			c.say(part, "the name %s twice", key)
		}
		seen[key] = true
		// A name in R1C1 style, as C or R2C3, would be read as a cell.
		if !form.MatchString(name) || cell.MatchString(name) || len(name) > 255 {
			c.say(part, "%q is no name", name)
		}
		if text == "" || strings.HasPrefix(text, "=") {
			c.say(part, "the name %q stands for %q", name, text)
		}
		c.formula(part, "the name "+name, text)
		c.leads(part, "the name "+name, text)
	}
}

// leads demands that the sheets that a formula names in quotes are there.
func (c *checking) leads(part, what, formula string) {
	for _, m := range regexp.MustCompile(`'((?:[^']|'')+)'!`).FindAllStringSubmatch(formula, -1) {
		title := strings.ReplaceAll(m[1], "''", "'")
		if strings.ContainsAny(title, "[]:") {
			continue // of another file, or from one sheet to another
		}
		if !slices.ContainsFunc(c.titles, func(t string) bool { return strings.EqualFold(t, title) }) {
			c.say(part, "%s leads to the sheet %q, which is not there", what, title)
		}
	}
}

// formula looks at the form of a formula: quotes and brackets end, and it is no
// longer than common spreadsheet programs read.
func (c *checking) formula(part, where, f string) {
	depth, quote := 0, rune(0)
	for _, r := range f {
		switch {
		case quote != 0:
			if r == quote {
				quote = 0
			}
		case r == '"' || r == '\'':
			quote = r
		case r == '(' || r == '{':
			depth++
		case r == ')' || r == '}':
			depth--
		}
		if depth < 0 {
			break
		}
	}
	if depth != 0 || quote != 0 {
		c.say(part, "%s: brackets or quotes do not end in %.100s", where, f)
	}
	if len([]rune(f)) > 8192 || strings.HasPrefix(f, "=") {
		c.say(part, "%s: no formula: %.100s", where, f)
	}
}

// styles looks at the formats (18.8 Styles, from memory): counts, and that every
// number leads to something.
func (c *checking) styles(part string, root *node) {
	lists := map[string]int{}
	for list, item := range map[string]string{"numFmts": "numFmt", "fonts": "font", "fills": "fill", "borders": "border",
		"cellStyleXfs": "xf", "cellXfs": "xf", "cellStyles": "cellStyle", "dxfs": "dxf"} {
		lists[list] = len(c.counted(part, root.child(list), item))
	}
	c.xfs, c.dxfs = lists["cellXfs"], lists["dxfs"]
	if c.xfs > 65490 { // a limit of common spreadsheet programs
		c.say(part, "%d cell formats", c.xfs)
	}
	codes := map[string]bool{}
	for _, f := range root.at("numFmts").elements("numFmt") {
		id, code := f.attr("numFmtId"), f.attr("formatCode")
		if codes[id] {
			c.say(part, "the number format %s twice", id)
		}
		codes[id] = true
		if code == "" || len([]rune(code)) > 255 {
			c.say(part, "the number format %s is %q", id, code)
		}
	}
	for _, list := range []string{"cellStyleXfs", "cellXfs"} {
		for i, x := range root.at(list).elements("xf") {
			for key, of := range map[string]string{"fontId": "fonts", "fillId": "fills", "borderId": "borders"} {
				c.number(part, x, key, 0, 0, max(0, lists[of]-1))
			}
			if list == "cellXfs" {
				c.number(part, x, "xfId", 0, 0, max(0, lists["cellStyleXfs"]-1))
			}
			// Ids below 164 are known to every reader (18.8.30 numFmt).
			if id := c.number(part, x, "numFmtId", 0, 0, 1<<31-1); id >= 164 && !codes[strconv.Itoa(id)] {
				c.say(part, "format %d of <%s> has the number format %d, which is not there", i, list, id)
			}
		}
	}
	for _, s := range root.at("cellStyles").elements("cellStyle") {
		c.number(part, s, "xfId", 0, 0, max(0, lists["cellStyleXfs"]-1))
	}
	rgb := regexp.MustCompile(`^[0-9A-Fa-f]{8}$`)
	var look func(n *node)
	look = func(n *node) {
		if s := n.attr("rgb"); s != "" && !rgb.MatchString(s) {
			c.say(part, "<%s> has the colour %q", n.name, s)
		}
		for _, k := range n.kids {
			look(k)
		}
	}
	look(root)
}

// shared reads the shared strings (18.4.9 sst).
func (c *checking) shared(part string, root *node) {
	for _, si := range root.elements("si") {
		text := ""
		for _, k := range si.kids {
			if k.name == "t" || k.name == "r" {
				text += k.chars()
			}
		}
		c.strings = append(c.strings, text)
	}
	if s := root.attr("uniqueCount"); s != "" && s != strconv.Itoa(len(c.strings)) {
		c.weak(part, "says that it has %s texts, and has %d", s, len(c.strings))
	}
}
