package sheetstest

import (
	"strconv"
	"strings"
)

// drawings looks at the drawings and notes that a sheet leads to.
func (c *checking) drawings(sheet string) error {
	for _, part := range c.related(sheet, "comments") {
		t, err := c.whole(part)
		if err != nil {
			return err
		}
		authors := len(t.at("authors").elements("author"))
		seen := map[string]bool{}
		for _, n := range t.at("commentList").elements("comment") {
			c.number(part, n, "authorId", 0, 0, authors-1)
			c.areas(part, n, "ref")
			if seen[n.attr("ref")] {
				c.say(part, "two notes of %s", n.attr("ref"))
			}
			seen[n.attr("ref")] = true
		}
	}
	for _, part := range c.related(sheet, "drawing") {
		t, err := c.whole(part)
		if err != nil {
			return err
		}
		c.anchors(part, t)
		for _, chart := range c.related(part, "chart") {
			t, err := c.whole(chart)
			if err != nil {
				return err
			}
			c.chart(chart, t)
		}
	}
	return nil
}

// anchors looks at where drawings stand (20.5 SpreadsheetML Drawing, from
// memory), and that no two have one id.
func (c *checking) anchors(part string, root *node) {
	seen := map[string]bool{}
	var look func(n *node)
	look = func(n *node) {
		switch n.name {
		case "cNvPr":
			if id := n.attr("id"); seen[id] || id == "" {
				c.say(part, "two drawings with the id %q", id)
			}
			seen[n.attr("id")] = true
		case "from", "to":
			for name, most := range map[string]int{"col": maxCol, "row": maxRow} {
				if i, err := strconv.Atoi(strings.TrimSpace(n.child(name).chars())); err != nil || i < 0 || i > most {
					c.say(part, "an anchor at the %s %q", name, n.child(name).chars())
				}
			}
		}
		for _, k := range n.kids {
			look(k)
		}
	}
	look(root)
}

// chart looks at a chart (21.2 Chart, from memory): what its axes and series
// rest on is there.
func (c *checking) chart(part string, root *node) {
	plot := root.at("chart", "plotArea")
	if plot == nil {
		return // told of already
	}
	axes, series := map[string]bool{}, map[string]bool{}
	for _, k := range plot.kids {
		if id := k.child("axId").value(); strings.HasSuffix(k.name, "Ax") {
			if axes[id] {
				c.say(part, "two axes with the id %s", id)
			}
			axes[id] = true
		}
	}
	for _, k := range plot.kids {
		ids := k.elements("axId")
		if strings.HasSuffix(k.name, "Ax") {
			ids = k.elements("crossAx")
		}
		for _, id := range ids {
			if !axes[id.value()] {
				c.say(part, "<%s> names the axis %s, which is not there", k.name, id.value())
			}
		}
		for _, s := range k.elements("ser") {
			for _, key := range []string{"idx", "order"} {
				at := key + " " + s.child(key).value()
				if series[at] {
					c.say(part, "two series with the %s", at)
				}
				series[at] = true
			}
		}
	}
	var look func(n *node)
	look = func(n *node) {
		switch n.name {
		case "f":
			c.formula(part, "a series", n.chars())
			c.leads(part, "a series", n.chars())
		case "strCache", "numCache":
			count, last := n.child("ptCount").value(), -1
			for _, p := range n.elements("pt") {
				i, err := strconv.Atoi(p.attr("idx"))
				if most, err2 := strconv.Atoi(count); err != nil || err2 != nil || i <= last || i >= most {
					c.say(part, "point %s of %s in <%s>", p.attr("idx"), count, n.name)
				}
				last = i
			}
		}
		for _, k := range n.kids {
			look(k)
		}
	}
	look(root)
}

// value is the attribute val, which most of a chart's elements have.
func (n *node) value() string {
	if n == nil {
		return ""
	}
	return n.attr("val")
}
