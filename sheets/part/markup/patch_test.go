package markup

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestScanTreeRefuses(t *testing.T) {
	for name, c := range map[string]struct{ src, want string }{
		"empty":          {"", "unexpected EOF"},
		"unclosed":       {"<a><b></b>", "unexpected EOF"},
		"crossed":        {"<a><b></a></b>", "closes nothing"},
		"prefix crossed": {"<x:a xmlns:x='u'></a>", "closes nothing"},
		"two roots":      {"<a/><b/>", "second root"},
		"text behind":    {"<a/>b", "outside the root"},
		"dtd":            {`<!DOCTYPE a [<!ENTITY e "x">]><a/>`, "document type"},
		"entity":         {"<a>&e;</a>", "entity"},
		"utf-16":         {"\xff\xfe<\x00a\x00/\x00>\x00", "UTF-16"},
		"latin-1":        {"<?xml version='1.0' encoding='iso-8859-1'?><a b='\xe9'/>", "iso-8859-1"},
		"latin-1, ASCII": {`<?xml version='1.0' encoding='ISO-8859-1'?><a b="&#233;"/>`, "ISO-8859-1"}, // what is put in may be no ASCII
		"utf-7":          {`<?xml version="1.0" encoding="utf-7"?><a b="+"/>`, "utf-7"},
		"deep":           {strings.Repeat("<a>", 300) + strings.Repeat("</a>", 300), "deeper"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Parse("xl/x.xml", []byte(c.src))
			require.Error(t, err)
			assert.ErrorContains(t, err, "xl/x.xml")
			assert.ErrorContains(t, err, c.want)
		})
	}
}

func TestScanTreeReads(t *testing.T) {
	src := "\ufeff<?xml version='1.0' encoding='utf-8'?>\r\n<!-- c --><x:a xmlns:x = \"u\" q='a>&lt;b'  xmlns=\"v\"><b x:c='1'/>t<x:b/><![CDATA[<]]></x:a>\n"
	tr, err := Parse("p", []byte(src))
	require.NoError(t, err)
	root := tr.Root
	assert.Equal(t, "u", root.Space)
	assert.Equal(t, "a><b", root.Get("q"))
	assert.Equal(t, "t<", root.Text)
	require.Len(t, root.Children, 2)
	assert.Equal(t, "v", root.Children[0].Space)
	assert.Equal(t, "u", root.Children[0].Attrs[0].Space)
	assert.Same(t, root.Children[1], root.Child("b"), "only the namespace of the parent counts")
	assert.Equal(t, "a>&lt;b", src[root.Attrs[1].valStart:root.Attrs[1].valEnd])
}

func TestPatchKinds(t *testing.T) {
	const src = `<?xml version="1.0"?><x:a xmlns:x="u"><x:b  k="1" m='2'/><x:c> t </x:c><x:d></x:d></x:a>`
	tr, err := Parse("p", []byte(src))
	require.NoError(t, err)
	b, c, d := tr.Root.Child("b"), tr.Root.Child("c"), tr.Root.Child("d")
	p := tr.Patch()
	p.SetAttr(b, "k", `<"&'>`)
	p.SetAttr(b, "m", "2")
	p.SetAttr(b, "n", "3")
	p.AppendChild(b, "<x:e/>")
	p.AppendChild(b, "<x:f/>")
	p.SetText(c, "a<b")
	p.SetAttr(d, "o", "4")
	p.AppendChild(d, "<x:g/>")
	p.AppendChild(tr.Root, "<x:h/>")
	out, err := p.Bytes()
	require.NoError(t, err)
	assert.Equal(t, `<?xml version="1.0"?><x:a xmlns:x="u"><x:b  k="&lt;&quot;&amp;'&gt;" m='2' n="3"><x:e/><x:f/></x:b>`+
		`<x:c>a&lt;b</x:c><x:d o="4"><x:g/></x:d><x:h/></x:a>`, string(out))

	p = tr.Patch()
	p.RemoveAttr(b, "k")
	p.RemoveAttr(b, "m")
	p.Remove(c)
	out, err = p.Bytes()
	require.NoError(t, err)
	assert.Equal(t, `<?xml version="1.0"?><x:a xmlns:x="u"><x:b/><x:d></x:d></x:a>`, string(out))

	p = tr.Patch()
	p.SetAttr(b, "k", "9")
	p.Remove(b)
	_, err = p.Bytes()
	assert.ErrorContains(t, err, "overlap")
}

func TestInsertInOrder(t *testing.T) {
	order := []string{"a", "b", "c", "d"}
	for src, want := range map[string]string{
		`<r/>`:                          `<r><c/></r>`,
		`<r></r>`:                       `<r><c/></r>`,
		`<r> <a/> <d/> </r>`:            `<r> <a/><c/> <d/> </r>`,
		`<r><d/></r>`:                   `<r><c/><d/></r>`,
		`<r><b/><o:d xmlns:o="o"/></r>`: `<r><b/><c/><o:d xmlns:o="o"/></r>`,
		`<r><a/><zz/></r>`:              `<r><a/><c/><zz/></r>`,
	} {
		tr, err := Parse("p", []byte(src))
		require.NoError(t, err)
		p := tr.Patch()
		p.InsertInOrder(tr.Root, "c", order, "<c/>")
		out, err := p.Bytes()
		require.NoError(t, err)
		assert.Equal(t, want, string(out))
	}
}

// What the scanner accepts, the standard library's full reader accepts too,
// with the same elements, attributes and text; and changes do what they say.
func FuzzScanTree(f *testing.F) {
	for _, s := range []string{
		`<a/>`, `<a b="c">d</a>`, `<x:a xmlns:x="u"><x:b y='"'/></x:a>`, "\ufeff<a><!-- --><b/></a>\n",
		`<a b = "1"><![CDATA[x]]>&amp;&#65;</a>`, `<a:b:c/>`, `<?xml version="1.0" encoding="utf-8"?><a/>`,
		`<a b="/"></a>`, `<a></a >`, `<a ></a>`, `<a/ >`, `<a b="1"c="2"/>`, `<a b='>'/>`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		tr, err := Parse("p", src)
		if err != nil {
			return
		}
		var starts []xml.StartElement
		dec := xml.NewDecoder(bytes.NewReader(src))
		dec.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
		for {
			tok, err := dec.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, "the standard library refuses it")
			if s, ok := tok.(xml.StartElement); ok {
				starts = append(starts, s.Copy())
			}
		}
		i := 0
		tr.Root.Walk(func(n *Node) {
			require.Less(t, i, len(starts))
			assert.Equal(t, starts[i].Name.Local, n.Local)
			require.Len(t, n.Attrs, len(starts[i].Attr))
			for k, a := range n.Attrs {
				assert.Equal(t, starts[i].Attr[k].Value, a.Value)
				name := a.Local
				if a.Prefix != "" {
					name = a.Prefix + ":" + name
				}
				assert.Equal(t, name, string(src[a.start:a.start+len(name)]))
				assert.Equal(t, src[a.valStart-1], src[a.valEnd], "quotes")
			}
			assert.Equal(t, byte('<'), src[n.start])
			assert.Equal(t, byte('>'), src[n.end-1])
			i++
		})
		assert.Len(t, starts, i)

		p := tr.Patch()
		out, err := p.Bytes()
		require.NoError(t, err)
		assert.Equal(t, src, out)
		p.AppendChild(tr.Root, "<seam/>")
		p.SetAttr(tr.Root, "weld", "1")
		out, err = p.Bytes()
		require.NoError(t, err)
		now, err := Parse("p", out)
		require.NoError(t, err)
		require.Len(t, now.Root.Children, len(tr.Root.Children)+1)
		assert.Equal(t, "seam", now.Root.Children[len(tr.Root.Children)].Local)
		assert.Equal(t, "1", now.Root.Get("weld"))
	})
}

// What would fill the memory is given up long before.
func TestHugeTreesAreGivenUp(t *testing.T) {
	for n, says := range map[int]string{maxElements - 1: "", maxElements: "elements, as in no real workbook; save"} {
		_, err := Parse("a.xml", []byte("<a>"+strings.Repeat("<b/>", n)+"</a>"))
		if says == "" {
			require.NoError(t, err, "the most that may be")
		} else {
			assert.ErrorContains(t, err, says)
		}
	}
}

// A small part may have no more attributes in a tag than a sheet.
func TestManyAttributes(t *testing.T) {
	tag := func(n int) []byte {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, ` a%d=""`, i)
		}
		return []byte("<a" + b.String() + "/>")
	}
	_, err := Parse("a.xml", tag(maxAttrs))
	require.NoError(t, err)
	_, err = Parse("a.xml", tag(maxAttrs+1))
	assert.ErrorContains(t, err, "a tag with more than 256 attributes; the file is damaged")
}

// A message quotes only the beginning of what a part holds.
func TestMessagesOfSmallPartsAreShort(t *testing.T) {
	_, err := Parse("a.xml", []byte("<a>&#"+strings.Repeat("9", 5000)+";</a>"))
	require.Error(t, err)
	assert.Less(t, len(err.Error()), 1000)
	_, err = Parse("a.xml", []byte(`<a b="1" b="2"/>`))
	assert.ErrorContains(t, err, "attribute b twice; the file is damaged")
}
