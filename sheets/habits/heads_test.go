package habits_test

import (
	"fmt"
	"slices"
	"strings"
)

var (
	sprint  = fmt.Sprint
	sprintf = fmt.Sprintf
)

// spellings are headings as shops write them. Before the semicolon stand those that
// the README or the file of headings has: they are plain.
func spellings() []habit {
	var out []habit
	for _, s := range []struct{ key, plain, hard string }{
		{"mark", "Joint|Weld no|Item|Seam no.|Ref|Weld ID|#", "Piece|Naht|Pos|Pos.|Lfd. Nr.|Giunto|N.|Nr|No|What|Jt"},
		{"kind", "Joint type|Weld type|Type|KIND|Style", "Art|Art der Naht|Tipo|What|Form|Prep|Process|Typ|Description|Descr.|Config|Tipo di giunto|Verbindung|Class"},
		{"qty", "Quantity|No. off|Qty/car|QTY|Qty per car|No off|Anzahl|Menge|Stück|How many|Joints per car|Each|pcs|Welds/car",
			"How many on the car|Nr of|x|Stk|Stk.|Anz.|To weld|Off/car|Per|Number|N°|Q.tà|Quantità|No.|Times|QPC|Q|Pezzi|Anzahl/Fzg|Set of|Each car|How many of these|Welds|Count per|Needed|Reqd|Req'd|Required|Nos off"},
		{"od", "O.D.|Tube OD|Ø|Outside dia|Outside diameter|od|Dia|Pipe OD|Außendurchmesser|Tube dia.", "Size|Tube|D|Rohr-Ø|da|Ø außen|Ø esterno|Diametro esterno|Diameter over all|Across|Round|OD of tubing used|Aussen|Pipe|Ø a|Tube size OD|D ext"},
		{"wall", "Wall thk|Wall thickness|Thickness|WALL|T|Tube wall|Wandstärke|Wanddicke|Spessore|Wall thk.", "Wandst.|Thk|WT|w.t.|s|Gauge thickness|Wd.|Stärke|Sp.|Sp. (s)|Skin|Dicke|Blech|Wall/ga|Thk'ness|W"},
		{"alloy", "Grade|Material|Mat'l|Werkstoff|Tube alloy", "Mat.|Ti grade|Stuff|Metal|Lega|Spec|Stock"},
		{"bend", "Bend|Bend °|Total bend|Elbow|Turn", "Angle|Angle of elbow|Bogen|Winkel|Winkel ges.|Gradi|Curva|Deg|Total|Sweep|Corner|Bogenwinkel|Angle tot."},
		{"pie_angle", "Deg per pie|Pie angle|Angle per pie|Segment angle|Bend per weld", "Cut|Each|Seg. °|Per cut|Slice|Step|Winkel/Seg|Segmentwinkel|per piece|Pie °|Pies at|Angle between|Spicchio|Each piece|Mitre|per joint °"},
		{"clr", "Centreline radius|CL radius|Bend radius|C.L.R.", "R|Radius|Rm|Biegeradius|Raggio|Rad."},
		{"run_od", "Main tube OD|Header OD|Run OD", "Onto|On to|Sits on|Main|Runs into|Hauptrohr|Main pipe|Other tube"},
		{"branch_angle", "Angle to main|Tee angle", "Angle|Winkel|Y angle|Set at|Angolo"},
		{"leg", "Leg length|Fillet size|Fillet leg", "a|Size|Z|Throat|Kehlnaht|Lato|Fillet a"},
		{"weld_length", "Seam length|Length of weld", "Length|L|Long|Nahtlänge ges.|Lunghezza|Run length|Weld inches"},
		{"filler", "Filler Y/N|With filler", "Rod Y/N|Zusatz|Fusion|Wire fed|Apporto|Autogenous"},
		{"passes", "No of passes|Weld passes", "Runs|Layers|Lagen|Beads|Passate|Times round"},
		{"setup", "Shielding|Set up|Shield", "Gas|Method|How|Schutz|Torch|Cup"},
		{"tube", "Straight length|Straight tube", "Length|Cut length|L|Rohr|Cut|Tube lg|Straight bit|Lunghezza|Saw to"},
		{"purge_length", "Length purged|Dam to dam", "Purge|Formieren|Dams|Purge vol length"},
		{"purges", "No of purges|Purge set-ups", "Purge|Purge count|Formieren|Back purge"},
		{"car", "Vehicle|Build|Car model|Fahrzeug", "Unit|Fzg.|Auto|Belongs to|On|Model|Which|Macchina|Kit|Assembly"},
	} {
		for i, from := range []string{s.plain, s.hard} {
			for _, head := range strings.Split(from, "|") {
				h := named(s.key+" headed "+head, heading, func(b *shopBook) bool {
					return b.each(s.key, func(_ *list, c *column) { c.head, c.noUnit = head, strings.Contains(head, "°") })
				}).of("head-" + s.key)
				if h.hard = i == 1; s.key == "car" {
					h = h.atLeast(2)
				} else {
					h = h.need(s.key)
				}
				out = append(out, h)
			}
		}
	}
	all := func(name string, heads map[string]string) habit {
		return named(name, heading, func(b *shopBook) (some bool) {
			for key, head := range heads {
				some = b.each(key, func(_ *list, c *column) { c.head = head }) || some
			}
			return some
		}).of("head-mark head-kind head-qty head-od head-wall head-alloy head-bend head-pie_angle head-clr head-car head-tube head-run_od head-weld_length head-passes")
	}
	return append(out,
		all("headings in German", map[string]string{"mark": "Naht", "kind": "Nahtart", "qty": "Anzahl", "od": "Außendurchmesser", "wall": "Wandstärke", "alloy": "Werkstoff", "bend": "Bogenwinkel", "pie_angle": "Segmentwinkel", "clr": "Biegeradius", "car": "Fahrzeug", "tube": "Rohrlänge", "weld_length": "Nahtlänge", "passes": "Lagen", "section": "Wo"}).asHard(),
		all("headings in short German", map[string]string{"mark": "Pos.", "kind": "Art", "qty": "Stk", "od": "Ø", "wall": "Wandst.", "alloy": "Wst.", "bend": "Bogen", "pie_angle": "Seg.", "clr": "R", "car": "Fzg.", "tube": "L", "run_od": "Ø HR"}).asHard(),
		all("headings in Italian", map[string]string{"mark": "N.", "kind": "Tipo giunto", "qty": "Q.tà", "od": "Diametro esterno", "wall": "Spessore", "alloy": "Materiale", "bend": "Curva", "pie_angle": "Spicchio", "clr": "Raggio", "car": "Veicolo", "tube": "Lunghezza", "section": "Zona", "passes": "Passate"}).asHard(),
		all("headings in French", map[string]string{"mark": "Repère", "kind": "Type", "qty": "Quantité", "od": "Ø ext.", "wall": "Épaisseur", "alloy": "Nuance", "bend": "Coude", "pie_angle": "Angle/secteur", "car": "Véhicule"}).asHard(),
		all("headings as a British shop has them", map[string]string{"mark": "Weld No.", "kind": "Joint type", "qty": "No. off", "od": "O/D", "wall": "W/T", "alloy": "Mat'l", "bend": "Bend °", "pie_angle": "Lobster cut", "clr": "C/L rad"}).asHard(),
	)
}

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
					l.col("od").group, l.col("wall").group = "Tube", "Tube"
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
			b.all(func(l *list, n *line) {
				if b.r.IntN(2) == 0 {
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
