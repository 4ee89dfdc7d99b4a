package workbook

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/markup"
	"seamtally/sheets/part/opc"
)

// Comment is what is written at a cell of a sheet, and not in it.
type Comment struct {
	Row, Col int
	Author   string // "" in a thread of them, which names its people elsewhere
	Text     string
}

// inThread begins the author of a comment that repeats a thread of them for programs that
// know none (an extension to ECMA-376 that its maker has published; from memory).
const inThread = "tc="

// Comments reads those of a sheet part, threads of them included unless they are done, in
// the order in which they stand in the file.
func Comments(p opc.Parts, sheetPart string) ([]Comment, error) {
	rels, err := opc.RelsOf(p, sheetPart)
	if err != nil {
		return nil, err
	}
	var plain, threads []Comment
	at := map[[2]int]bool{} // of threads, those that are settled too
	for _, r := range rels {
		threaded := strings.HasSuffix(r.Type, "/threadedComment")
		name, there := opc.FindPart(p, opc.ResolveTarget(sheetPart, r.Target))
		if r.External || !there || !threaded && !r.Is("comments") {
			continue
		}
		src, err := p.Read(name)
		if err != nil {
			return nil, err
		}
		t, err := markup.Parse(name, src)
		if err != nil {
			return nil, err
		}
		if threaded {
			all := t.Root.All("threadedComment")
			for _, n := range all {
				if row, col, err := grid.ParseRef(n.Get("ref")); err == nil {
					at[[2]int{row, col}] = true
				}
			}
			threads, err = comments(threads, unsettled(all), nil)
		} else {
			plain, err = comments(plain, t.Root.Child("commentList").All("comment"), t.Root.Child("authors").All("author"))
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	for _, c := range plain {
		if !(strings.HasPrefix(c.Author, inThread) && at[[2]int{c.Row, c.Col}]) {
			threads = append(threads, c)
		}
	}
	return threads, nil
}

// unsettled are the comments of threads that nobody has marked as done, with the answers to
// them.
func unsettled(all []*markup.Node) []*markup.Node {
	done := map[string]bool{}
	for _, n := range all {
		done[n.Get("id")] = done[n.Get("id")] || markup.Bool(n.Get("done"), false)
	}
	delete(done, "")
	return slices.DeleteFunc(slices.Clone(all), func(n *markup.Node) bool {
		return markup.Bool(n.Get("done"), false) || done[n.Get("id")] || done[n.Get("parentId")]
	})
}

// comments reads those of a part.
func comments(out []Comment, nodes, authors []*markup.Node) ([]Comment, error) {
	for _, n := range nodes {
		row, col, err := grid.ParseRef(n.Get("ref"))
		if err != nil {
			return nil, fmt.Errorf("a comment at the cell %q; the file is damaged, restore it from a copy", n.Get("ref"))
		}
		c := Comment{Row: row, Col: col, Text: runs(n.Child("text"))}
		if i := markup.Int(n.Get("authorId"), -1); i >= 0 && i < len(authors) {
			c.Author = strings.TrimSpace(authors[i].Text)
		}
		out = append(out, c)
	}
	return out, nil
}

// runs is a text that may be in one piece or in several, each with its look.
func runs(n *markup.Node) string {
	if n == nil {
		return ""
	}
	var b strings.Builder
	b.WriteString(strings.TrimSpace(n.Text)) // of a thread
	for _, t := range n.All("t") {
		b.WriteString(t.Text)
	}
	for _, r := range n.All("r") {
		for _, t := range r.All("t") {
			b.WriteString(t.Text)
		}
	}
	return markup.DecodeEscapes(b.String())
}
