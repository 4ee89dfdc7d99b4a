package opc

import "bytes"

// RelsType is the content type of .rels parts (ECMA-376 part 2).
const RelsType = "application/vnd.openxmlformats-package.relationships+xml"

// Change replaces a part by what do makes of it, if that is something else.
func (e *Edit) Change(name string, do func([]byte) ([]byte, error)) error {
	var src []byte
	if e.Has(name) {
		var err error
		if src, err = e.Read(name); err != nil {
			return err
		}
	}
	out, err := do(src)
	if err == nil && !bytes.Equal(out, src) {
		e.Replace(name, out)
	}
	return err
}

// AddTyped puts a new part in, and says its content type, which every part must
// have (ECMA-376 part 2). A package need not have a default for its extension,
// not even for .rels, and may have another one than is usual.
func (e *Edit) AddTyped(name string, src []byte, kind string) error {
	e.Add(name, src)
	return e.setType(name, kind)
}

// setType gives a part its content type.
func (e *Edit) setType(name, kind string) error {
	return e.Change(ContentTypes, func(src []byte) ([]byte, error) { return AddOverride(src, name, kind) })
}

// RemoveTyped takes a part, its .rels part and their content types out.
func (e *Edit) RemoveTyped(name string) error {
	for _, n := range []string{name, RelsName(name)} {
		e.Remove(n)
		if err := e.Change(ContentTypes, func(src []byte) ([]byte, error) { return RemoveOverride(src, n) }); err != nil {
			return err
		}
	}
	return nil
}

// TypeRels gives the .rels parts of a part, and of all that it leads to, their
// content type where they lack it, as those of sheets that earlier versions of
// this program have added may.
func TypeRels(e *Edit, name string) error {
	own, err := Reach(e, name, "")
	if err != nil {
		return err
	}
	for _, n := range e.Names() {
		if own[PartKey(n)] && e.Has(RelsName(n)) {
			if err := e.setType(RelsName(n), RelsType); err != nil {
				return err
			}
		}
	}
	return nil
}

// Reach gives the keys of all parts that relationships lead to from a part
// (from the package for ""), itself included, on ways that do not touch the
// part called not.
func Reach(p Parts, from, not string) (map[string]bool, error) {
	actual := map[string]string{}
	for _, n := range p.Names() {
		actual[PartKey(n)] = n
	}
	seen := map[string]bool{PartKey(from): true}
	todo := []string{from}
	for len(todo) > 0 {
		at := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if _, ok := actual[PartKey(RelsName(at))]; !ok {
			continue // the common case, without a look through all names
		}
		rels, err := RelsOf(p, at)
		if err != nil {
			return nil, err
		}
		for _, r := range rels {
			if r.External {
				continue
			}
			name, ok := FindPart(p, ResolveTarget(at, r.Target))
			if !ok || seen[PartKey(name)] || not != "" && PartKey(name) == PartKey(not) {
				continue
			}
			seen[PartKey(name)] = true
			todo = append(todo, name)
		}
	}
	return seen, nil
}
