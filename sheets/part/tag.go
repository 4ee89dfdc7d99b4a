package part

import (
	"bytes"
	"strconv"
	"strings"
)

// attrs walks over the attributes of a start tag that the XML decoder has
// found to be well-formed. Values are as written, entities and all.
//
//	for a := attrsOf(tag); a.next(); { use(a.name, a.value) }
type attrs struct {
	tag         []byte
	at          int
	name, value []byte
	from        int // where the blank before the name begins
	valueAt     int // where the value begins
}

// attrsOf begins before the first attribute of a start tag.
func attrsOf(tag []byte) attrs {
	i := 1
	for i < len(tag) && !isBlank(tag[i]) && tag[i] != '>' && tag[i] != '/' {
		i++
	}
	return attrs{tag: tag, at: i}
}

// next moves on to the next attribute, if there is one.
func (a *attrs) next() bool {
	a.from = a.at
	i := a.skipBlank(a.at)
	if i >= len(a.tag) || a.tag[i] == '>' || a.tag[i] == '/' {
		return false
	}
	from := i
	for i < len(a.tag) && a.tag[i] != '=' && !isBlank(a.tag[i]) {
		i++
	}
	a.name = a.tag[from:i]
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
	a.valueAt = i + 1
	a.value = a.tag[i+1 : i+1+end]
	a.at = i + 2 + end
	return true
}

func (a *attrs) skipBlank(i int) int {
	for i < len(a.tag) && isBlank(a.tag[i]) {
		i++
	}
	return i
}

func isBlank(b byte) bool { return b == ' ' || b == '\t' || b == '\n' || b == '\r' }

// plain is the value, decoded where it has entities.
func (a *attrs) plain() []byte {
	if bytes.IndexByte(a.value, '&') < 0 {
		return a.value
	}
	return []byte(attrText(a.value))
}

// tagAttr gives an attribute of a start tag, decoded.
func tagAttr(tag []byte, name string) (string, bool) {
	for a := attrsOf(tag); a.next(); {
		if string(a.name) == name {
			return attrText(a.value), true
		}
	}
	return "", false
}

// setTagAttr gives the tag with an attribute set, in place where it is there
// and else behind the others. The value needs no escaping.
func setTagAttr(tag []byte, name, value string) []byte {
	a := attrsOf(tag)
	for a.next() {
		if string(a.name) == name {
			return splicedBytes(tag, a.valueAt, a.valueAt+len(a.value), value)
		}
	}
	return splicedBytes(tag, a.from, a.from, " "+name+`="`+value+`"`)
}

// dropTagAttr gives the tag without an attribute.
func dropTagAttr(tag []byte, name string) []byte {
	for a := attrsOf(tag); a.next(); {
		if string(a.name) == name {
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

// setTagBool sets a boolean attribute; what already means the same stays.
func setTagBool(tag []byte, name string, want, def bool) []byte {
	text, _ := tagAttr(tag, name)
	switch {
	case xmlBool(text, def) == want:
		return tag
	case want == def:
		return dropTagAttr(tag, name)
	case want:
		return setTagAttr(tag, name, "1")
	}
	return setTagAttr(tag, name, "0")
}

// setTagInt sets a whole number attribute that is 0 when missing.
func setTagInt(tag []byte, name string, want int) []byte {
	text, _ := tagAttr(tag, name)
	switch {
	case xmlInt(text, 0) == want:
		return tag
	case want == 0:
		return dropTagAttr(tag, name)
	}
	return setTagAttr(tag, name, strconv.Itoa(want))
}

// setTagFloat sets a decimal attribute; an equal number keeps its spelling.
func setTagFloat(tag []byte, name string, want float64) []byte {
	if text, ok := tagAttr(tag, name); ok && xmlFloat(text) == want {
		return tag
	}
	return setTagAttr(tag, name, string(appendNumber(nil, want)))
}

// xmlFloat reads a decimal attribute, 0 where it is none.
func xmlFloat(s string) float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		return 0
	}
	return v
}

// openedTag turns "<a/>" into "<a>"; other tags stay.
func openedTag(tag []byte) []byte {
	if !bytes.HasSuffix(tag, []byte("/>")) {
		return tag
	}
	return append(tag[:len(tag)-2:len(tag)-2], '>')
}

// closedTag turns "<a>" into "<a/>"; self-closed tags stay.
func closedTag(tag []byte) []byte {
	if bytes.HasSuffix(tag, []byte("/>")) {
		return tag
	}
	return append(tag[:len(tag)-1:len(tag)-1], "/>"...)
}
