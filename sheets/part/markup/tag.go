package markup

import (
	"bytes"
	"strconv"
	"strings"
)

// Attrs walks over the attributes of a start tag that the XML decoder has
// found to be well-formed. Values are as written, entities and all.
//
//	for a := AttrsOf(tag); a.Next(); { use(a.Name, a.Value) }
type Attrs struct {
	RawAttr
	tag     []byte
	at      int
	from    int // where the blank before the name begins
	ValueAt int // where the value begins
}

// RawAttr is an attribute as it is written.
type RawAttr struct{ Name, Value []byte }

// AttrsOf begins before the first attribute of a start tag.
func AttrsOf(tag []byte) Attrs {
	i := 1
	for i < len(tag) && !isBlank(tag[i]) && tag[i] != '>' && tag[i] != '/' {
		i++
	}
	return Attrs{tag: tag, at: i}
}

// Next moves on to the next attribute, if there is one.
func (a *Attrs) Next() bool {
	a.from = a.at
	i := a.skipBlank(a.at)
	if i >= len(a.tag) || a.tag[i] == '>' || a.tag[i] == '/' {
		return false
	}
	from := i
	for i < len(a.tag) && a.tag[i] != '=' && !isBlank(a.tag[i]) {
		i++
	}
	a.Name = a.tag[from:i]
	if i = a.skipBlank(i); i >= len(a.tag) || a.tag[i] != '=' {
		return false
	}
	if i = a.skipBlank(i + 1); i >= len(a.tag) || a.tag[i] != '"' && a.tag[i] != '\'' {
		return false
	}
	end := bytes.IndexByte(a.tag[i+1:], a.tag[i])
	if end < 0 {
		return false
	}
	a.ValueAt = i + 1
	a.Value = a.tag[i+1 : i+1+end]
	a.at = i + 2 + end
	return true
}

func (a *Attrs) skipBlank(i int) int {
	for i < len(a.tag) && isBlank(a.tag[i]) {
		i++
	}
	return i
}

func isBlank(b byte) bool { return b == ' ' || b == '\t' || b == '\n' || b == '\r' }

// Plain is the value, decoded where it has entities.
func (a *RawAttr) Plain() []byte {
	if bytes.IndexByte(a.Value, '&') < 0 {
		return a.Value
	}
	return []byte(AttrText(a.Value))
}

// TagAttr gives an attribute of a start tag, decoded.
func TagAttr(tag []byte, name string) (string, bool) {
	for a := AttrsOf(tag); a.Next(); {
		if string(a.Name) == name {
			return AttrText(a.Value), true
		}
	}
	return "", false
}

// SetTagAttr gives the tag with an attribute set, in place where it is there
// and else behind the others. The value needs no escaping.
func SetTagAttr(tag []byte, name, value string) []byte {
	a := AttrsOf(tag)
	for a.Next() {
		if string(a.Name) == name {
			return splicedBytes(tag, a.ValueAt, a.ValueAt+len(a.Value), value)
		}
	}
	return splicedBytes(tag, a.from, a.from, " "+name+`="`+value+`"`)
}

// DropTagAttr gives the tag without an attribute.
func DropTagAttr(tag []byte, name string) []byte {
	for a := AttrsOf(tag); a.Next(); {
		if string(a.Name) == name {
			return splicedBytes(tag, a.from, a.at, "")
		}
	}
	return tag
}

func splicedBytes(b []byte, from, to int, with string) []byte {
	out := make([]byte, 0, len(b)-(to-from)+len(with))
	out = append(out, b[:from]...)
	out = append(out, with...)
	return append(out, b[to:]...)
}

// SetTagBool sets a boolean attribute; what already means the same stays.
func SetTagBool(tag []byte, name string, want, def bool) []byte {
	text, _ := TagAttr(tag, name)
	switch {
	case Bool(text, def) == want:
		return tag
	case want == def:
		return DropTagAttr(tag, name)
	case want:
		return SetTagAttr(tag, name, "1")
	}
	return SetTagAttr(tag, name, "0")
}

// SetTagInt sets a whole number attribute that is 0 when missing.
func SetTagInt(tag []byte, name string, want int) []byte {
	text, _ := TagAttr(tag, name)
	switch {
	case Int(text, 0) == want:
		return tag
	case want == 0:
		return DropTagAttr(tag, name)
	}
	return SetTagAttr(tag, name, strconv.Itoa(want))
}

// SetTagFloat sets a decimal attribute; an equal number keeps its spelling.
func SetTagFloat(tag []byte, name string, want float64) []byte {
	if text, ok := TagAttr(tag, name); ok && Float(text) == want {
		return tag
	}
	return SetTagAttr(tag, name, string(AppendNumber(nil, want)))
}

// Float reads a decimal attribute, 0 where it is none.
func Float(s string) float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		return 0
	}
	return v
}

// OpenedTag turns "<a/>" into "<a>"; other tags stay.
func OpenedTag(tag []byte) []byte {
	if !bytes.HasSuffix(tag, []byte("/>")) {
		return tag
	}
	return append(tag[:len(tag)-2:len(tag)-2], '>')
}

// ClosedTag turns "<a>" into "<a/>"; self-closed tags stay.
func ClosedTag(tag []byte) []byte {
	if bytes.HasSuffix(tag, []byte("/>")) {
		return tag
	}
	return append(tag[:len(tag)-1:len(tag)-1], "/>"...)
}
