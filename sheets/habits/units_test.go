package habits_test

import (
	"slices"
)

// otherUnit reports whether a column is in another unit than the book: where no
// other heading had one, that would be taken for the book's.
func (b *shopBook) otherUnit(l *list) bool {
	return slices.ContainsFunc(l.cols, func(c *column) bool { return c.key != "" && c.unit != b.unitOf(c.key) })
}

func unitHabits() []habit {
	where := func(name, units string) habit {
		return named(name, heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				if (units == "none" || units == "cells") && b.otherUnit(l) {
					return false
				}
				l.units = units
			}
			return true
		}).of("units")
	}
	in := func(name, unit string, keys ...string) habit {
		return named(name, heading, func(b *shopBook) bool {
			key := keys[b.r.IntN(len(keys))]
			for _, l := range b.lists {
				if l.units == "none" || l.units == "cells" {
					return false // one unit in all headings would be that of the book
				}
				lengths := 0
				for _, c := range l.cols {
					if takes(c.key) == "length" {
						lengths++
					}
				}
				if lengths < 3 {
					return false // nor is there a majority of one and one
				}
			}
			return b.each(key, func(_ *list, c *column) { c.unit = unit })
		}).of("other-unit").need(keys...)
	}
	// bare takes the unit out of the heading of a column that holds another unit.
	bare := func(h habit) habit {
		was := h.apply
		h.apply = func(b *shopBook) bool {
			long := h.needs[0] != "tube"
			b.all(func(_ *list, n *line) {
				if v, ok := n.j["tube"].(float64); ok {
					long = long || v > 15 // of shorter ones alone, nobody could tell
				}
			})
			return long && was(b) && b.each(h.needs[0], func(_ *list, c *column) { c.noUnit = true })
		}
		return h.asHard()
	}
	style := func(name, style, unit string, keys ...string) habit {
		return named(name, heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				if b.otherUnit(l) {
					return false
				}
				l.units = "none"
				for _, key := range keys {
					if c := l.col(key); c != nil {
						c.unit = unit
						l.after = append(l.after, func(s *tab, l *list) {
							for i := range l.lines {
								s.styles[l.at(i, c)] = style
							}
						})
					}
				}
			}
			return true
		}).of("units")
	}
	said := func(name string, say func(b *shopBook, l *list)) habit {
		return named(name, heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				if b.otherUnit(l) {
					return false
				}
				l.units = "none"
				say(b, l)
			}
			return true
		}).of("units")
	}
	full := map[string]string{"in": "inches", "mm": "millimetres"}
	return []habit{
		where("units behind a comma", "comma"), where("units bare in the heading", "bare"), where("units in square brackets", "square"),
		where("units in a row below", "row"), where("units behind a slash", "slash").asHard(), where("units behind the word in", "word in").asHard(), where("units before the heading", "before").asHard(),
		named("units in other words", heading, func(b *shopBook) bool {
			in, mm := pick(b.r, "inches", "inch", "IN", `"`, "ins"), pick(b.r, "MM", "millimetres", "mm.")
			for _, l := range b.lists {
				l.unitAs = map[string]string{"in": in, "mm": mm, "°": pick(b.r, "deg", "degrees", "°")}
			}
			return true
		}),
		named("sizes in both units", heading, func(b *shopBook) bool {
			other := map[string]string{"in": "mm", "mm": "in"}[b.unitOf("od")]
			key := pick(b.r, "od", "wall")
			return b.each(key, func(l *list, c *column) {
				l.insert(len(l.cols), &column{key: key, head: c.head, unit: other})
			})
		}).of("units other-unit"),
		named("sizes in both units beside each other", heading, func(b *shopBook) bool {
			other := map[string]string{"in": "mm", "mm": "in"}[b.unitOf("od")]
			for _, key := range []string{"od", "wall"} {
				b.each(key, func(l *list, c *column) {
					for i, x := range l.cols {
						if x == c {
							l.insert(i+1, &column{key: key, head: c.head, unit: other})
							break
						}
					}
				})
			}
			return true
		}).of("units other-unit"), where("units in the cells, inches", "cells").only("us"), where("units in the cells, millimetres", "cells").only("metric").asHard(),
		where("units nowhere, in inches", "none").only("us"), where("units nowhere, in millimetres", "none").only("metric").asHard(),
		style("inches shown by the format", "inch", "in", "od", "wall").only("us"),
		style("millimetres shown by the format", "mm", "mm", "od", "wall").only("metric").asHard(),
		style("wall in mm shown by the format, in a US list", "mm", "mm", "wall").only("us").asHard(),
		in("wall in mm among inches", "mm", "wall").only("us"), in("OD in mm among inches", "mm", "od").only("us"), in("tube in mm among inches", "mm", "tube").only("us"),
		in("CLR in inches among mm", "in", "clr").only("metric"), in("wall in inches among mm", "in", "wall").only("metric"),
		in("tube in cm", "cm", "tube"),
		bare(in("wall in mm, unsaid, among inches", "mm", "wall")).only("us"), bare(in("OD in mm, unsaid, among inches", "mm", "od")).only("us"),
		bare(in("tube in mm, unsaid, among inches", "mm", "tube")).only("us"),
		in("wall in thou", "thou", "wall").only("us").asHard(),
		bare(in("wall in thou, unsaid", "thou", "wall")).only("us"),
		said("a title says all dimensions", func(b *shopBook, l *list) {
			l.above = append(l.above, []any{"All dimensions in " + full[b.unitOf("od")]})
		}).asHard(),
		said("a title says all dimensions in mm, in a list of inches' looks", func(b *shopBook, l *list) {
			l.above = append(l.above, []any{"Dimensions: mm"})
		}).only("metric").asHard(),
		said("a note below says the unit", func(b *shopBook, l *list) {
			l.lines = append(l.lines, &line{over: map[*column]any{}}, &line{words: []any{"All sizes in " + full[b.unitOf("od")] + " unless noted"}, over: map[*column]any{}})
		}).asHard(),
		said("a column of units", func(b *shopBook, l *list) {
			u := b.unitOf("od")
			l.insert(len(l.cols), &column{head: pick(b.r, "Unit", "Units", "UOM", "Einheit"), own: func(int) any { return u }})
		}).asHard(),
		said("a column of units, which differ", func(b *shopBook, l *list) {
			c := &column{head: "Unit"}
			l.insert(len(l.cols), c)
			u := b.unitOf("od")
			for i, n := range l.lines {
				n.over[c] = u
				if i%2 == 1 {
					other := map[string]string{"in": "mm", "mm": "in"}[u]
					n.over[c] = other
					for _, k := range l.cols {
						if v, ok := n.j[k.key].(float64); ok && takes(k.key) == "length" {
							n.over[k] = fromTo(v, u, other)
						}
					}
				}
			}
		}).asHard(),
		named("some walls in mm as bare numbers", lining, func(b *shopBook) bool {
			b.all(func(l *list, n *line) {
				if b.r.IntN(3) == 0 {
					n.over[l.col("wall")] = fromTo(n.j["wall"].(float64), "in", "mm")
				}
			})
			return true
		}).only("us").of("some").asHard(),
		named("some tubes in mm as bare numbers", lining, func(b *shopBook) bool {
			inches := 0
			b.all(func(*list, *line) { inches++ })
			b.all(func(l *list, n *line) {
				if b.r.IntN(2) == 0 && inches > 1 { // else it is a list in mm
					inches--
					n.over[l.col("od")] = fromTo(n.j["od"].(float64), "in", "mm")
					n.over[l.col("wall")] = fromTo(n.j["wall"].(float64), "in", "mm")
				}
			})
			return true
		}).only("us").of("some").asHard(),
		named("some cells with a unit of their own", lining, func(b *shopBook) bool {
			b.all(func(l *list, n *line) {
				if b.r.IntN(2) == 0 && l.units != "none" && l.units != "cells" {
					n.over[l.col("od")] = sprint(fromTo(n.j["od"].(float64), b.unitOf("od"), "mm"), " mm")
				}
			})
			return true
		}).of("some"),
		named("angles with their sign in the cells", lining, func(b *shopBook) bool {
			some := false
			b.all(func(l *list, n *line) {
				for _, key := range []string{"bend", "pie_angle"} {
					if v, ok := n.j[key].(float64); ok {
						n.over[l.col(key)] = sprint(v, "°")
						some = true
					}
				}
			})
			return some
		}).need("bend"),
	}
}
