package opc

import (
	"fmt"
	"net/url"
	"path"
	"strconv"
	"strings"

	"seamtally/sheets/part/markup"
)

// Parts is a set of parts to look things up in: a Package, or an Edit with
// what has been changed so far. Names have no leading slash.
type Parts interface {
	Names() []string
	Read(name string) ([]byte, error)
}

// Relationship is one entry of a .rels part. Target is as written: resolve it
// with ResolveTarget unless External.
type Relationship struct {
	ID, Type, Target string
	External         bool
}

// Is says whether the relationship is of the kind that its type ends in
// ("worksheet", "styles"), in the transitional or the strict spelling.
func (r Relationship) Is(kind string) bool {
	return r.Type == markup.RelNS+"/"+kind || r.Type == markup.StrictRelNS+"/"+kind
}

// RelsName is the name of the .rels part of a part; of the package for "".
func RelsName(name string) string {
	dir, file := path.Split(name)
	return dir + "_rels/" + file + ".rels"
}

// ResolveTarget gives the part name that a relationship target of the part
// base (or of the package, "") stands for.
func ResolveTarget(base, target string) string {
	target = strings.ReplaceAll(target, `\`, "/") // some writers use the wrong slash
	target, _, _ = strings.Cut(target, "#")
	if !strings.HasPrefix(target, "/") {
		target = path.Join("/"+path.Dir("/"+base), target)
	}
	return strings.TrimPrefix(path.Clean(target), "/")
}

// RelativeTarget is the target that leads from the part base to the part name.
func RelativeTarget(base, name string) string {
	from := strings.Split(base, "/")
	from = from[:len(from)-1]
	to := strings.Split(name, "/")
	same := 0
	for same < len(from) && same < len(to)-1 && from[same] == to[same] {
		same++
	}
	return strings.Repeat("../", len(from)-same) + strings.Join(to[same:], "/")
}

// FindPart gives the name under which p holds the part called name: part names
// do not tell case apart, and targets may be percent-encoded where the names
// in the zip are not.
func FindPart(p Parts, name string) (string, bool) {
	plain, err := url.PathUnescape(name)
	if err != nil {
		plain = name
	}
	found, ok := "", false
	for _, n := range p.Names() {
		if n == name {
			return n, true
		}
		if !ok && (strings.EqualFold(n, name) || strings.EqualFold(n, plain)) {
			found, ok = n, true
		}
	}
	return found, ok
}

// ReadRels reads a .rels part. Nil or empty src holds none.
func ReadRels(name string, src []byte) ([]Relationship, error) {
	if len(src) == 0 {
		return nil, nil
	}
	t, err := markup.ParseRoot(name, src, "Relationships", markup.PkgRelNS)
	if err != nil {
		return nil, err
	}
	var list []Relationship
	for _, n := range t.Root.All("Relationship") {
		list = append(list, Relationship{
			ID: n.Get("Id"), Type: n.Get("Type"), Target: n.Get("Target"),
			External: n.Get("TargetMode") == "External",
		})
	}
	return list, nil
}

// RelsOf reads the relationships of a part (of the package for ""); a part
// without a .rels part has none.
func RelsOf(p Parts, of string) ([]Relationship, error) {
	name, ok := FindPart(p, RelsName(of))
	if !ok {
		return nil, nil
	}
	src, err := p.Read(name)
	if err != nil {
		return nil, err
	}
	return ReadRels(name, src)
}

const emptyRels = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n" +
	`<Relationships xmlns="` + markup.PkgRelNS + `"></Relationships>`

// AddRel adds a relationship to the .rels part called name; nil or empty src
// makes a new part. The same relationship already there changes nothing; its
// id taken by another one is an error.
func AddRel(name string, src []byte, r Relationship) ([]byte, error) {
	have, err := ReadRels(name, src)
	if err != nil {
		return nil, err
	}
	for _, h := range have {
		if h == r {
			return src, nil
		}
		if h.ID == r.ID {
			return nil, fmt.Errorf("%s: relationship id %q is taken; use FreeRelID", name, r.ID)
		}
	}
	if len(src) == 0 {
		src = []byte(emptyRels)
	}
	t, err := markup.ParseRoot(name, src, "Relationships", markup.PkgRelNS)
	if err != nil {
		return nil, err
	}
	mode := ""
	if r.External {
		mode = ` TargetMode="External"`
	}
	p := t.Patch()
	p.AppendChild(t.Root, "<"+t.Root.Tag("Relationship")+` Id="`+markup.Escape(r.ID, true)+`" Type="`+markup.Escape(r.Type, true)+
		`" Target="`+markup.Escape(r.Target, true)+`"`+mode+`/>`)
	return p.Bytes()
}

// RemoveRel takes the relationship with the id out; none there is no error.
func RemoveRel(name string, src []byte, id string) ([]byte, error) {
	t, err := markup.ParseRoot(name, src, "Relationships", markup.PkgRelNS)
	if err != nil {
		return nil, err
	}
	p := t.Patch()
	for _, n := range t.Root.All("Relationship") {
		if n.Get("Id") == id {
			p.Remove(n)
		}
	}
	return p.Bytes()
}

// FreeRelID gives an id that none of the relationships has: rId and the number
// behind the highest one in use.
func FreeRelID(have []Relationship) string {
	top := 0
	for _, r := range have {
		// Ids are told apart by case, but other programs may not.
		if rest, ok := strings.CutPrefix(strings.ToLower(r.ID), "rid"); ok {
			if n, err := strconv.Atoi(rest); err == nil && n < 1<<30 {
				top = max(top, n)
			}
		}
	}
	return "rId" + strconv.Itoa(top+1)
}

// FreePartName gives the first name of the pattern ("xl/worksheets/sheet%d.xml",
// numbers from 1) such that p holds neither that part nor its .rels part, in
// any spelling of upper and lower case.
func FreePartName(p Parts, pattern string) string {
	taken := map[string]bool{}
	for _, n := range p.Names() {
		taken[PartKey(n)] = true
	}
	for i := 1; ; i++ {
		name := fmt.Sprintf(pattern, i)
		if !taken[PartKey(name)] && !taken[PartKey(RelsName(name))] {
			return name
		}
	}
}

// ContentType gives the content type of a part by the [Content_Types].xml
// part src: its override, else the default of its extension, else "".
func ContentType(src []byte, name string) (string, error) {
	t, err := markup.ParseRoot(ContentTypes, src, "Types", markup.TypesNS)
	if err != nil {
		return "", err
	}
	return contentType(t, name), nil
}

func contentType(t *markup.Tree, name string) string {
	if n := override(t, name); n != nil {
		return n.Get("ContentType")
	}
	ext := strings.TrimPrefix(path.Ext(name), ".")
	for _, n := range t.Root.All("Default") {
		if strings.EqualFold(n.Get("Extension"), ext) {
			return n.Get("ContentType")
		}
	}
	return ""
}

func override(t *markup.Tree, name string) *markup.Node {
	for _, n := range t.Root.All("Override") {
		if PartKey(n.Get("PartName")) == PartKey(name) {
			return n
		}
	}
	return nil
}

// AddOverride gives a part a content type in [Content_Types].xml. Nothing
// changes where the part has that type already, by an override or by default.
func AddOverride(src []byte, name, kind string) ([]byte, error) {
	t, err := markup.ParseRoot(ContentTypes, src, "Types", markup.TypesNS)
	if err != nil {
		return nil, err
	}
	if contentType(t, name) == kind {
		return src, nil
	}
	p := t.Patch()
	if n := override(t, name); n != nil {
		p.SetAttr(n, "ContentType", kind)
	} else {
		p.AppendChild(t.Root, "<"+t.Root.Tag("Override")+` PartName="/`+markup.Escape(name, true)+
			`" ContentType="`+markup.Escape(kind, true)+`"/>`)
	}
	return p.Bytes()
}

// RemoveOverride takes the override of a part out of [Content_Types].xml; none
// there is no error.
func RemoveOverride(src []byte, name string) ([]byte, error) {
	t, err := markup.ParseRoot(ContentTypes, src, "Types", markup.TypesNS)
	if err != nil {
		return nil, err
	}
	p := t.Patch()
	if n := override(t, name); n != nil {
		p.Remove(n)
	}
	return p.Bytes()
}
