package habits_test

import (
	"strings"
)

// groupsOf are the usual groups of headings.
func groupsOf(b *shopBook, merged string, names func() [3]string) bool {
	for _, l := range b.lists {
		if l.groups != "" {
			return false
		}
		l.groups = merged
		n := names()
		for _, c := range l.cols {
			switch c.key {
			case "od", "wall", "alloy":
				c.group = n[0]
			case "bend", "pie_angle", "clr", "ends":
				c.group = n[1]
			case "passes", "filler", "wire", "setup", "purges", "purge_length":
				c.group = n[2]
			}
		}
	}
	return true
}

func headHabits() []habit {
	all := func(name string, change func(b *shopBook, l *list, c *column)) habit {
		return named(name, heading+0, func(b *shopBook) bool {
			for _, l := range b.lists {
				for _, c := range l.cols {
					change(b, l, c)
				}
			}
			return true
		})
	}
	group := func(name, merged string, upper bool, names ...string) habit {
		return named(name, heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.upper = upper
			}
			return groupsOf(b, merged, func() (n [3]string) {
				copy(n[:], names)
				return n
			})
		}).of("groups")
	}
	var out []habit
	for _, merged := range []string{"merged", "loose"} {
		out = append(out,
			group("groups Tube, Bend, Weld, "+merged, merged, false, "Tube", "Bend", "Weld"),
			group("a group Tube data, "+merged, merged, false, "Tube data", "", ""),
			group("groups of any words, "+merged, merged, false, "What we buy", "What the saw does", "What the welder does"),
			group("a group Dimensions beside headings in its row, "+merged, merged, true, "Dimensions", "", ""),
			group("groups beside headings in their row, "+merged, merged, true, "Tube data", "Bend", "Weld"),
			group("a group with the unit, "+merged, merged, false, "Tube size (in)", "", "").only("us"),
			named("a group with the unit over bare headings, "+merged, heading, func(b *shopBook) bool {
				b.each("od", func(_ *list, c *column) { c.noUnit = true })
				b.each("wall", func(_ *list, c *column) { c.noUnit = true })
				return groupsOf(b, merged, func() [3]string { return [3]string{"Tube (" + b.unitOf("od") + ")", "", ""} })
			}).of("groups").asHard(),
			group("a group Pipe over the tube, "+merged, merged, true, "Pipe", "", ""),
			group("groups in German, "+merged, merged, true, "Rohr", "Bogen", "Schweißen"),
			group("a group Welds per car, "+merged, merged, true, "Rohr", "", "Schweißung"),
			named("a group over quantity and kind, "+merged, heading, func(b *shopBook) bool {
				for _, l := range b.lists {
					l.groups = merged
					for _, c := range l.cols {
						switch c.key {
						case "kind", "qty":
							c.group = "Joint"
						case "od", "wall":
							c.group = "Tube"
						}
					}
				}
				return true
			}).of("groups"),
			named("a group Main tube over its OD, "+merged, heading, func(b *shopBook) bool {
				if !b.each("run_od", func(_ *list, c *column) { c.head, c.group = "OD", "Main tube" }) {
					return false
				}
				b.each("branch_angle", func(_ *list, c *column) { c.head, c.group = "Angle", "Main tube" })
				for _, l := range b.lists {
					l.groups = merged
					for _, key := range []string{"od", "wall"} {
						if c := l.col(key); c != nil { // another habit may have put it elsewhere
							c.group = "Tube"
						}
					}
				}
				return true
			}).of("groups").need("run_od").asHard(),
		)
	}
	return append(out,
		all("headings in capitals", func(_ *shopBook, _ *list, c *column) { c.head = strings.ToUpper(c.head) }),
		all("headings with line breaks", func(_ *shopBook, _ *list, c *column) { c.head = strings.ReplaceAll(c.head, " ", "\n") }),
		all("headings with a colon", func(_ *shopBook, l *list, _ *column) { l.colon = true }),
		all("headings with a star", func(b *shopBook, _ *list, c *column) {
			if c.key == "qty" || c.key == "wall" {
				c.head += "*"
			}
		}).asHard(),
		all("headings with a footnote", func(b *shopBook, _ *list, c *column) {
			if c.key == "qty" || c.key == "kind" {
				c.head += " (1)"
			}
		}).asHard(),
		all("headings with the word required", func(b *shopBook, _ *list, c *column) {
			if c.key == "qty" || c.key == "setup" {
				c.head += " required"
			}
		}).asHard(),
		named("headings over two rows", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				if l.groups != "" {
					return false
				}
				l.split = true
			}
			return true
		}).of("groups"),
		named("groups, headings over two rows below", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.split = true
			}
			return groupsOf(b, "merged", func() [3]string { return [3]string{"Tube data", "", ""} })
		}).of("groups").asHard(),
		named("a number over each heading", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				var n []any
				for i := range l.cols {
					n = append(n, i+1)
				}
				l.above = append(l.above, n)
			}
			return true
		}),
		named("letters over each heading", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				var n []any
				for i := range l.cols {
					n = append(n, string(rune('A'+i)))
				}
				l.above = append(l.above, n)
			}
			return true
		}),
		named("a row of numbers below the headings", lining, func(b *shopBook) bool {
			for _, l := range b.lists {
				n := &line{over: map[*column]any{}}
				for i := range l.cols {
					n.words = append(n.words, sprintf("(%d)", i+1))
				}
				l.lines = append([]*line{n}, l.lines...)
			}
			return true
		}).asHard(),
		named("columns in another order", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				b.r.Shuffle(len(l.cols), func(i, k int) { l.cols[i], l.cols[k] = l.cols[k], l.cols[i] })
			}
			return true
		}),
		named("quantity last", heading, func(b *shopBook) bool {
			return b.each("qty", func(l *list, c *column) {
				for i, x := range l.cols {
					if x == c {
						l.cols = append(append(append([]*column{}, l.cols[:i]...), l.cols[i+1:]...), c)
						return
					}
				}
			})
		}).need("qty"),
		named("quantity without a heading", heading, func(b *shopBook) bool {
			return b.each("qty", func(_ *list, c *column) { c.head = "" })
		}).need("qty").of("head-qty").asHard(),
		named("mark without a heading", heading, func(b *shopBook) bool {
			return b.each("mark", func(_ *list, c *column) { c.head = "" })
		}).need("mark").of("head-mark"),
		named("kind without a heading", heading, func(b *shopBook) bool {
			return b.each("kind", func(_ *list, c *column) { c.head = "" })
		}).need("kind").of("head-kind").asHard(),
		named("a column left empty between", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.insert(1+b.r.IntN(len(l.cols)), &column{})
			}
			return true
		}),
		named("a column hidden", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.cols[b.r.IntN(len(l.cols))].hidden = true
			}
			return true
		}),
		named("a heading misspelt", heading, func(b *shopBook) bool {
			key := pick(b.r, "qty", "kind", "wall", "bend", "alloy")
			bad := map[string]string{"qty": "Quanity", "kind": "Knid", "wall": "Wal", "bend": "Bned angle", "alloy": "Aloy"}
			return b.each(key, func(_ *list, c *column) { c.head = bad[key] })
		}).need("qty", "kind", "bend").of("head-mark head-kind head-qty head-od head-wall head-alloy head-bend head-pie_angle head-clr head-car head-tube head-run_od head-weld_length head-passes").asHard(),
		named("the list lies turned round", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.turned, l.groups, l.split = true, "", false
			}
			return true
		}).asHard(),
		named("the list begins far right", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.right = 5 + b.r.IntN(30)
			}
			return true
		}),
		named("the list begins further down", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.down = 3 + b.r.IntN(20)
			}
			return true
		}).of("down"),
		named("the list begins below row 40", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.down = 44
			}
			return true
		}).of("down").asHard(),
	)
}
