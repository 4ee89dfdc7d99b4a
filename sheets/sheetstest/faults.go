package sheetstest

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"
)

const contentTypes = "[Content_Types].xml"

// Faults lists what is wrong with a package of a workbook, as a reader that
// believes the standard would find it: as a package (ECMA-376 part 2), and in
// what its parts say (part 1, from memory, and where it says so a limit of
// common spreadsheet programs). A program may repair such a file, or refuse it.
// Entries are "part: what is the matter"; those that begin with "weak" hurt
// nobody.
//
// Where a part has something in two forms (mc:AlternateContent), the one is
// looked at that a reader takes who knows no extension.
func Faults(path string) (faults []string, err error) {
	z, err := zip.OpenReader(path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, z.Close()) }()
	c := &checking{parts: map[string][]byte{}, rels: map[string][]relation{}}
	for _, f := range z.File {
		if strings.HasSuffix(f.Name, "/") {
			continue
		}
		r, err := f.Open()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		data, err := io.ReadAll(r)
		if err = errors.Join(err, r.Close()); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		c.addPart(strings.TrimPrefix(strings.ReplaceAll(f.Name, `\`, "/"), "/"), data)
	}
	if err := c.pack(); err != nil {
		return nil, err
	}
	if err := c.book(); err != nil {
		return nil, err
	}
	slices.Sort(c.faults)
	return slices.Compact(c.faults), nil
}

// NewFaults lists the faults of a package that the one that it was made from
// has not.
func NewFaults(before, after string) ([]string, error) {
	now, err := Faults(after)
	if err != nil || len(now) == 0 {
		return nil, err
	}
	was, err := Faults(before)
	if err != nil {
		return nil, err
	}
	// A sheet that grows has another size to be wrong about.
	sized := regexp.MustCompile(`(<dimension>) \S+`)
	for i, s := range was {
		was[i] = sized.ReplaceAllString(s, "$1")
	}
	return slices.DeleteFunc(now, func(s string) bool { return slices.Contains(was, sized.ReplaceAllString(s, "$1")) }), nil
}

// checking is one package being looked through.
type checking struct {
	names  []string
	parts  map[string][]byte     // by name in lower case
	rels   map[string][]relation // by the part that they are of, in lower case
	faults []string

	strict  bool
	titles  []string // of the tabs
	strings []string // shared ones
	xfs     int      // cell formats
	dxfs    int      // differential formats
	views   int      // windows
	tables  map[string]string
}

type relation struct {
	id, kind string // kind is the last word of its type
	target   string // the name of the part; "" for what is outside
}

func (c *checking) say(part, format string, a ...any) {
	c.faults = append(c.faults, part+": "+fmt.Sprintf(format, a...))
}

func (c *checking) weak(part, format string, a ...any) {
	c.faults = append(c.faults, "weak: "+part+": "+fmt.Sprintf(format, a...))
}

func (c *checking) addPart(name string, data []byte) {
	key := strings.ToLower(name)
	if _, twice := c.parts[key]; twice {
		c.say(name, "there twice, case left aside")
	}
	c.parts[key] = data
	c.names = append(c.names, name)
	for _, segment := range strings.Split(name, "/") {
		if segment == "" || strings.HasSuffix(segment, ".") {
			c.say(name, "no name for a part")
		}
	}
}

// tree reads a part as its readers see it.
func (c *checking) tree(name string, took func(*node) bool) (*node, error) {
	src, err := Seen(c.parts[strings.ToLower(name)])
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	t, err := readTreeBut(bytes.NewReader(src), took)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return t.root(), nil
}

// partTypesOf gives the content type of what a relationship of a kind leads to
// (ECMA-376 part 1, from memory).
var partTypesOf = map[string]string{
	"worksheet":     "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml",
	"chartsheet":    "application/vnd.openxmlformats-officedocument.spreadsheetml.chartsheet+xml",
	"styles":        "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml",
	"sharedStrings": "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml",
	"calcChain":     "application/vnd.openxmlformats-officedocument.spreadsheetml.calcChain+xml",
	"table":         "application/vnd.openxmlformats-officedocument.spreadsheetml.table+xml",
	"comments":      "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml",
	"theme":         "application/vnd.openxmlformats-officedocument.theme+xml",
	"drawing":       "application/vnd.openxmlformats-officedocument.drawing+xml",
	"chart":         "application/vnd.openxmlformats-officedocument.drawingml.chart+xml",
	"vmlDrawing":    "application/vnd.openxmlformats-officedocument.vmlDrawing",
}

const relsType = "application/vnd.openxmlformats-package.relationships+xml"

// pack looks at the package as such.
func (c *checking) pack() error {
	var types Types
	if err := xml.Unmarshal(c.parts[strings.ToLower(contentTypes)], &types); err != nil {
		return fmt.Errorf("%s: %w", contentTypes, err)
	}
	c.typed(&types)
	for _, name := range c.names {
		for at := path.Dir(name); at != "."; at = path.Dir(at) {
			if _, ok := c.parts[strings.ToLower(at)]; ok {
				c.say(name, "within the part %s", at)
			}
		}
		if strings.HasSuffix(strings.ToLower(name), ".rels") {
			if err := c.relations(name, &types); err != nil {
				return err
			}
		}
	}
	reached := map[string]bool{"": true}
	for todo := []string{""}; len(todo) > 0; {
		at := todo[0]
		todo = todo[1:]
		for _, r := range c.rels[at] {
			if key := strings.ToLower(r.target); !reached[key] {
				reached[key] = true
				todo = append(todo, key)
			}
		}
	}
	for _, name := range c.names {
		if key := strings.ToLower(name); !reached[key] && !strings.HasSuffix(key, ".rels") && name != contentTypes {
			c.say(name, "nothing leads to it")
		}
	}
	return nil
}

// typed looks at the content types: every part has one, none is said twice.
func (c *checking) typed(types *Types) {
	form := regexp.MustCompile(`^[^/;\s]+/[^/;\s]+(;.*)?$`)
	seen := map[string]bool{}
	once := func(key, kind string) {
		if seen[strings.ToLower(key)] {
			c.say(contentTypes, "%s twice", key)
		}
		seen[strings.ToLower(key)] = true
		if !form.MatchString(kind) {
			c.say(contentTypes, "%s is %q, which is no content type", key, kind)
		}
	}
	for _, d := range types.Default {
		once("*."+d.Extension, d.ContentType)
	}
	for _, o := range types.Override {
		once(o.PartName, o.ContentType)
		if !strings.HasPrefix(o.PartName, "/") {
			c.say(contentTypes, "%s does not begin at the root", o.PartName)
		}
		if c.find(strings.TrimPrefix(o.PartName, "/")) == "" {
			c.weak(contentTypes, "the type of %s, which is not there", o.PartName)
		}
	}
	for _, name := range c.names {
		kind := types.Of(name)
		switch {
		case name == contentTypes:
		case kind == "":
			c.say(name, "has no content type")
		case strings.HasSuffix(strings.ToLower(name), ".rels") != (kind == relsType):
			c.say(name, "its content type is %s", kind)
		}
	}
}

// find gives the name under which a part is there, "" if it is not.
func (c *checking) find(name string) string {
	plain, err := url.PathUnescape(name)
	if err != nil {
		plain = name
	}
	for _, n := range []string{name, plain} {
		if _, ok := c.parts[strings.ToLower(n)]; ok {
			return n
		}
	}
	return ""
}

// relations reads a .rels part.
func (c *checking) relations(name string, types *Types) error {
	dir, file := path.Split(name)
	of := ""
	if file != ".rels" {
		of = path.Join(path.Dir(strings.TrimSuffix(dir, "/")), strings.TrimSuffix(file, path.Ext(file)))
	}
	switch {
	case path.Base(dir) != "_rels":
		c.say(name, "stands outside a folder _rels")
	case strings.HasSuffix(of, ".rels"):
		c.say(name, "relationships of relationships")
	case of != "" && c.find(of) == "":
		c.say(name, "its part is not there")
	}
	root, err := c.tree(name, nil)
	if err != nil {
		return err
	}
	ids := map[string]bool{}
	for _, r := range root.elements("Relationship") {
		id, kind, target := r.attr("Id"), path.Base(r.attr("Type")), strings.ReplaceAll(r.attr("Target"), `\`, "/")
		if ids[id] || !regexp.MustCompile(`^[\pL_][\pL\pN._-]*$`).MatchString(id) {
			c.say(name, "the id %q twice, or no id", id)
		}
		ids[id] = true
		one := relation{id: id, kind: kind}
		if target, _, _ = strings.Cut(target, "#"); r.attr("TargetMode") != "External" && target != "" {
			to := resolved(of, target)
			one.target = c.find(to)
			want := partTypesOf[kind]
			switch {
			case one.target == "":
				c.say(name, "%s leads to %s, which is not there", id, to)
			case strings.HasSuffix(strings.ToLower(to), ".rels"):
				c.say(name, "%s leads to relationships", id)
			case want != "" && strings.Contains(r.attr("Type"), "/relationships/") && types.Of(one.target) != want:
				c.say(name, "%s, a %s, leads to %s, which is %s", id, kind, one.target, types.Of(one.target))
			}
		}
		c.rels[strings.ToLower(of)] = append(c.rels[strings.ToLower(of)], one)
	}
	return nil
}

// related gives the parts that a part leads to by relationships of a kind.
func (c *checking) related(part, kind string) (names []string) {
	for _, r := range c.rels[strings.ToLower(part)] {
		if r.kind == kind && r.target != "" {
			names = append(names, r.target)
		}
	}
	return names
}

// ids demands that every id of a relationship in a part is one of its own.
func (c *checking) ids(part string, root *node) {
	have := map[string]bool{}
	for _, r := range c.rels[strings.ToLower(part)] {
		have[r.id] = true
	}
	var look func(n *node, prefixes map[string]bool)
	look = func(n *node, prefixes map[string]bool) {
		for _, a := range n.attrs {
			if p, ok := strings.CutPrefix(a[0], "xmlns:"); ok {
				prefixes = maps.Clone(prefixes)
				prefixes[p] = strings.HasSuffix(a[1], "/relationships")
			}
		}
		for _, a := range n.attrs {
			if p, _, ok := strings.Cut(a[0], ":"); ok && prefixes[p] && !have[a[1]] && a[1] != "" {
				c.say(part, "<%s> names the relationship %s, which is not there", n.name, a[1])
			}
		}
		for _, k := range n.kids {
			look(k, prefixes)
		}
	}
	look(root, map[string]bool{})
}

// elements are the child elements called name.
func (n *node) elements(name string) (all []*node) {
	if n == nil {
		return nil
	}
	for _, k := range n.kids {
		if k.kind == element && k.name == name {
			all = append(all, k)
		}
	}
	return all
}

// at follows a path of child elements, nil if it leads nowhere.
func (n *node) at(names ...string) *node {
	for _, name := range names {
		if n == nil {
			return nil
		}
		n = n.child(name)
	}
	return n
}

// chars is the text in an element.
func (n *node) chars() string {
	if n == nil {
		return ""
	}
	s := n.text
	if n.kind == other {
		s = ""
	}
	for _, k := range n.kids {
		s += k.chars()
	}
	return s
}
