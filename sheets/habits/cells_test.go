package habits_test

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"
)

// written has the numbers of an input written in another way.
func written(name, key string, how func(b *shopBook, v float64) any) habit {
	return named(name, heading, func(b *shopBook) bool {
		return b.each(key, func(_ *list, c *column) { c.form = func(v float64) any { return how(b, v) } })
	}).need(key).of("cells-" + key)
}

// said has the words of an input spelled in another way.
func spelledAs(name, key string, words map[any]string) habit {
	return named(name, heading, func(b *shopBook) bool {
		return b.each(key, func(_ *list, c *column) { c.words = words })
	}).need(key).of("cells-" + key)
}

// noFillerBlank leaves the cell blank where there is no filler. Where no row has any, the
// column would say nothing.
func noFillerBlank() habit {
	h := spelledAs("no filler left blank", "filler", map[any]string{"yes": "yes", "no": ""}).asHard()
	spell := h.apply
	h.apply = func(b *shopBook) bool {
		for _, l := range b.lists {
			if l.col("filler") != nil && !slices.ContainsFunc(l.lines, func(n *line) bool { return n.j["filler"] == "yes" }) {
				return false
			}
		}
		return spell(b)
	}
	return h
}

// same has a cell that repeats the one above it written otherwise.
func same(name string, keys []string, as any) habit {
	return named(name, lining, func(b *shopBook) bool {
		some := false
		for _, l := range b.lists {
			for i, n := range l.lines {
				if i == 0 || n.j == nil || l.lines[i-1].j == nil {
					continue
				}
				for _, key := range keys {
					c := l.col(key)
					if c == nil || n.j[key] == nil || n.j[key] != l.lines[i-1].j[key] {
						continue
					}
					if _, has := n.over[c]; !has {
						n.over[c], some = as, true
					}
				}
			}
		}
		return some
	}).of("same")
}

// fraction writes inches as a shop does with a rule.
func fraction(v float64) any {
	whole, part := math.Modf(v)
	eighths := part * 8
	if eighths != math.Trunc(eighths) {
		return v
	}
	text := map[float64]string{1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8"}[eighths]
	switch {
	case text == "":
		return sprint(whole, `"`)
	case whole == 0:
		return text + `"`
	}
	return sprint(whole, " ", text, `"`)
}

func cellHabits() []habit {
	gauges := map[float64]string{0.035: "20", 0.049: "18", 0.065: "16"}
	gauge := func(form string) func(b *shopBook, v float64) any {
		return func(_ *shopBook, v float64) any {
			if g, ok := gauges[v]; ok {
				return sprintf(form, g)
			}
			return v
		}
	}
	comma := func(_ *shopBook, v float64) any { return strings.ReplaceAll(sprint(v), ".", ",") }
	text := func(form string) func(b *shopBook, v float64) any {
		return func(_ *shopBook, v float64) any { return sprintf(form, sprint(v)) }
	}
	// both puts a bend and its pies, or a tube and its wall, into one column.
	both := func(name, one, two, head, form string) habit {
		return named(name, heading, func(b *shopBook) bool {
			return b.each(one, func(l *list, c *column) {
				other := l.col(two)
				if other == nil {
					return
				}
				c.head, c.noUnit = head, true
				c.show = func(j joint) any {
					if j[one] == nil {
						return nil
					}
					return sprintf(form, sprint(j[one]), sprint(j[two]))
				}
				l.cols = slices.DeleteFunc(l.cols, func(x *column) bool { return x == other })
			})
		}).need(one, two).of("head-" + one + " head-" + two).asHard()
	}
	drop := func(l *list, keys ...string) {
		l.cols = slices.DeleteFunc(l.cols, func(c *column) bool { return c.key != "" && slices.Contains(keys, c.key) })
	}
	// instead puts another number in place of an input.
	instead := func(name, key, head string, of func(j joint) any) habit {
		return named(name, heading, func(b *shopBook) bool {
			return b.each(key, func(_ *list, c *column) { c.head, c.show = head, of })
		}).need(key).of("head-" + key).asHard()
	}
	num := func(j joint, key string) float64 { v, _ := j[key].(float64); return v }
	out := []habit{
		written("quantities as text", "qty", text("%s")),
		written("quantities with off", "qty", text("%s off")),
		written("quantities with pcs", "qty", text("%s pcs")),
		written("quantities with x behind", "qty", text("%sx")).asHard(),
		written("quantities with x before", "qty", text("x%s")).asHard(),
		written("quantities with Stk", "qty", text("%s Stk")).asHard(),
		written("quantities as places", "qty", text("%s places")).asHard(),
		written("quantities in words", "qty", func(_ *shopBook, v float64) any {
			return []string{"none", "one", "two", "three", "four", "five", "six"}[int(v)]
		}).asHard(),
		written("quantities in German words", "qty", func(_ *shopBook, v float64) any {
			return []string{"keine", "eins", "zwei", "drei", "vier", "fünf", "sechs"}[int(v)]
		}).asHard(),
		written("quantities in words with off", "qty", func(_ *shopBook, v float64) any {
			return []string{"none", "one off", "two off", "three off", "four off", "five off", "six off"}[int(v)]
		}).asHard(),
		written("quantities as tallies", "qty", func(_ *shopBook, v float64) any { return strings.Repeat("I", int(v)) }).asHard(),
		written("quantities as sums in text", "qty", func(_ *shopBook, v float64) any {
			if v < 2 {
				return v
			}
			return sprintf("1+%d", int(v)-1)
		}).asHard(),
		written("quantities as formulas", "qty", func(_ *shopBook, v float64) any { return calc{sprintf("%v*1", v), v} }),
		written("quantities with an approximate sign", "qty", text("~%s")).asHard(),
		written("quantities with L+R", "qty", text("%s (L+R)")).asHard(),
		written("one left blank", "qty", func(_ *shopBook, v float64) any {
			if v == 1 {
				return nil
			}
			return v
		}),
		written("tubes as fractions", "od", func(_ *shopBook, v float64) any { return fraction(v) }).only("us"),
		written("tubes with OD behind", "od", text(`%s" OD`)).only("us").asHard(),
		written("tubes with a sign before", "od", text("Ø%s")),
		written("tubes as text", "od", text("%s")),
		written("tubes with a comma", "od", comma).asHard(),
		written("tubes by formula", "od", func(_ *shopBook, v float64) any { return calc{sprintf("%v+0", v), v} }),
		written("walls as gauges", "wall", gauge("%s ga")).only("us"),
		written("walls as gauges with #", "wall", gauge("#%s")).only("us").asHard(),
		written("walls as gauges, bare", "wall", func(_ *shopBook, v float64) any {
			if g, ok := gauges[v]; ok {
				return map[string]int{"20": 20, "18": 18, "16": 16}[g]
			}
			return v
		}).only("us").asHard(),
		written("walls without the naught", "wall", func(_ *shopBook, v float64) any { return strings.TrimPrefix(sprint(v), "0") }),
		written("walls with wall behind", "wall", text("%s wall")).asHard(),
		written("walls with a comma", "wall", comma).asHard(),
		written("walls as thousandths", "wall", func(_ *shopBook, v float64) any { return round(v * 1000) }).only("us").asHard(),
		written("walls with a tolerance", "wall", text("%s ±10%%")).asHard(),
		written("bends with deg", "bend", text("%s deg")),
		written("bends with a comma", "pie_angle", comma).asHard(),
		named("CLR in diameters", heading, func(b *shopBook) bool {
			return b.each("clr", func(_ *list, c *column) {
				c.noUnit = false
				c.show = func(j joint) any {
					if j["clr"] == nil {
						return nil
					}
					return sprint(round(num(j, "clr")/num(j, "od")), "D")
				}
			})
		}).need("clr").of("cells-clr"),
		named("CLR in diameters, bare", heading, func(b *shopBook) bool {
			// Where every number may be a radius too, nobody could tell.
			told := false
			b.all(func(_ *list, n *line) {
				told = told || n.j["clr"] != nil && num(n.j, "clr")/num(n.j, "od") < num(n.j, "od")
			})
			return told && b.each("clr", func(_ *list, c *column) {
				c.show = func(j joint) any {
					if j["clr"] == nil {
						return nil
					}
					return round(num(j, "clr") / num(j, "od"))
				}
			})
		}).need("clr").of("cells-clr").asHard(),
		spelledAs("kinds in capitals", "kind", map[any]string{"butt": "BUTT", "pie cut": "PIE CUT", "fillet": "FILLET", "branch": "BRANCH", "seam": "SEAM"}),
		spelledAs("kinds in other words", "kind", map[any]string{"butt": "butt weld", "pie cut": "mitred bend", "fillet": "flange", "branch": "saddle", "seam": "long seam"}),
		spelledAs("kinds in plurals", "kind", map[any]string{"butt": "Butts", "pie cut": "Pie cuts", "fillet": "Fillets", "branch": "Branches", "seam": "Seams"}).asHard(),
		spelledAs("kinds as letters", "kind", map[any]string{"butt": "B", "pie cut": "P", "fillet": "F", "branch": "T", "seam": "S"}).asHard(),
		spelledAs("kinds in German", "kind", map[any]string{"butt": "Stumpfnaht", "pie cut": "Segmentbogen", "fillet": "Kehlnaht", "branch": "Stutzen", "seam": "Längsnaht"}).asHard(),
		spelledAs("kinds in Italian", "kind", map[any]string{"butt": "testa a testa", "pie cut": "curva a spicchi", "fillet": "angolo", "branch": "bocchello", "seam": "longitudinale"}).asHard(),
		spelledAs("butts left blank", "kind", map[any]string{"butt": "", "pie cut": "pie cut"}),
		spelledAs("kinds as questioned words", "kind", map[any]string{"butt": "butt", "pie cut": "elbow", "fillet": "fillet", "branch": "tee", "seam": "seam"}).asHard(),
		spelledAs("kinds with what they join", "kind", map[any]string{"butt": "butt, tube to bend", "pie cut": "pie cut (lobster)", "fillet": "fillet - V-band", "branch": "branch / O2", "seam": "seam weld cone"}).asHard(),
		spelledAs("kinds misspelt", "kind", map[any]string{"butt": "but", "pie cut": "piecutt", "fillet": "filet", "branch": "brance", "seam": "seem"}).asHard(),
		spelledAs("grades in short", "alloy", map[any]string{"grade 2": "Gr 2"}), spelledAs("grades as CP2", "alloy", map[any]string{"grade 2": "CP2"}),
		spelledAs("grades as Ti", "alloy", map[any]string{"grade 2": "Ti"}).asHard(), spelledAs("grades as 2", "alloy", map[any]string{"grade 2": "2"}).asHard(),
		spelledAs("filler as Y and N", "filler", map[any]string{"yes": "Y", "no": "N"}), spelledAs("filler as a cross", "filler", map[any]string{"yes": "x", "no": "-"}).asHard(),
		spelledAs("filler as ja and nein", "filler", map[any]string{"yes": "ja", "no": "nein"}), noFillerBlank(),
		spelledAs("set-ups in short", "setup", map[any]string{"cup, stop and start": "cup", "trailing shield, on rolls": "on rolls", "trailing shield, by hand": "by hand"}),
		spelledAs("set-ups as a shield", "setup", map[any]string{"cup, stop and start": "cup", "trailing shield, on rolls": "trailing shield", "trailing shield, by hand": "shield"}).asHard(),
		spelledAs("set-ups in German", "setup", map[any]string{"cup, stop and start": "Düse", "trailing shield, on rolls": "Schleppgas auf Rollen", "trailing shield, by hand": "Schleppgas von Hand"}).asHard(),
		spelledAs("ends as a word", "ends", map[any]string{"half": "half pies", "full": "whole"}),

		written("quantities per car in words", "qty", text("%s per car")).asHard(),
		written("quantities with a star", "qty", text("%s*")).asHard(),
		written("quantities by SUM", "qty", func(_ *shopBook, v float64) any { return calc{sprintf("SUM(%v,0)", v), v} }),
		written("tubes with a dash in the fraction", "od", func(_ *shopBook, v float64) any {
			s, _ := fraction(v).(string)
			if s == "" {
				return v
			}
			return strings.ReplaceAll(s, " ", "-")
		}).only("us"),
		written("walls as gauge in words", "wall", gauge("%s gauge")).only("us"),
		written("walls as ga without a blank", "wall", gauge("%sGA")).only("us"),
		written("tubes with a remark", "od", text("%s (see note)")).asHard(),
		written("pie angles in minutes", "pie_angle", func(_ *shopBook, v float64) any {
			if v == 22.5 {
				return "22°30'"
			}
			return v
		}).asHard(),
		named("lengths with a dot for thousands", heading, func(b *shopBook) bool {
			b.all(func(_ *list, n *line) {
				if n.j["tube"] != nil {
					n.j["tube"] = 1000 + n.j["tube"].(float64)
				}
			})
			return b.each("tube", func(_ *list, c *column) {
				c.form = func(v float64) any {
					if v == math.Trunc(v) && v > 999 {
						return sprintf("1.%03d", int(v)-1000)
					}
					return v
				}
			})
		}).need("tube").only("metric").of("cells-tube").asHard(),
		named("lengths with a comma for thousands", heading, func(b *shopBook) bool {
			b.all(func(_ *list, n *line) {
				if n.j["tube"] != nil {
					n.j["tube"] = 1000 + n.j["tube"].(float64)
				}
			})
			return b.each("tube", func(_ *list, c *column) {
				c.form = func(v float64) any {
					if v == math.Trunc(v) && v > 999 {
						return sprintf("1,%03d", int(v)-1000)
					}
					return v
				}
			})
		}).need("tube").only("metric").of("cells-tube").asHard(),
		named("kinds as columns with a cross", heading, func(b *shopBook) bool {
			return b.each("kind", func(l *list, c *column) {
				at := slices.Index(l.cols, c)
				l.cols = slices.Delete(l.cols, at, at+1)
				for _, kind := range []string{"Butt", "Pie cut", "Fillet", "Branch", "Seam"} {
					l.insert(at, &column{key: "kind", head: kind, show: func(j joint) any {
						if j["kind"] == strings.ToLower(kind) {
							return "x"
						}
						return nil
					}})
				}
			})
		}).need("kind").of("head-kind cells-kind").asHard(),
		named("kinds as columns with the pieces", heading, func(b *shopBook) bool {
			return b.each("kind", func(l *list, c *column) {
				at := slices.Index(l.cols, c)
				l.cols = slices.Delete(l.cols, at, at+1)
				drop(l, "qty")
				for _, kind := range []string{"Butt", "Pie cut", "Fillet", "Branch", "Seam"} {
					l.insert(min(at, len(l.cols)), &column{key: "kind", head: kind, show: func(j joint) any {
						if j["kind"] == strings.ToLower(kind) {
							return j["qty"]
						}
						return nil
					}})
				}
			})
		}).need("kind", "qty").of("head-kind cells-kind head-qty cells-qty").asHard(),
		named("pieces of an assembly, and assemblies", heading, func(b *shopBook) bool {
			heads := pick(b.r, [2]string{"Qty per assy", "Assys per car"}, [2]string{"Qty", "Assemblies"}, [2]string{"Qty each", "Off"}, [2]string{"Joints", "Sets"})
			return b.each("qty", func(l *list, c *column) {
				c.head = heads[0]
				l.insert(slices.Index(l.cols, c)+1, &column{head: heads[1], own: func(int) any { return 2 }})
				for _, n := range l.lines {
					if n.j != nil {
						j := maps.Clone(n.j)
						n.over[c] = n.j["qty"]
						j["qty"] = 2 * num(n.j, "qty")
						n.j = j
					}
				}
			})
		}).need("qty").of("head-qty cells-qty").asHard(),
		both("OD and wall in one column", "od", "wall", "Tube", "%s x %s"),
		both("OD and wall in one column headed OD x wall", "od", "wall", "OD x wall", "%s x %s"),
		both("OD and wall in one column headed Size", "od", "wall", "Size", "%s/%s"),
		both("OD and wall in one column headed OD", "od", "wall", "OD", `%s" x %s`),
		both("bend and pies in one column", "bend", "pie_angle", "Bend", "%s/%s"),
		both("bend and pies in one column, with x", "bend", "pie_angle", "Bend angle", "%s° x %s°"),
		instead("inside diameters", "od", "ID", func(j joint) any { return round(num(j, "od") - 2*num(j, "wall")) }),
		instead("inside diameters headed Bore", "od", "Bore Ø", func(j joint) any { return round(num(j, "od") - 2*num(j, "wall")) }),
		instead("outside radii", "od", "Tube radius", func(j joint) any { return round(num(j, "od") / 2) }),
		instead("circumferences", "od", "Circumference", func(j joint) any { return round(num(j, "od") * math.Pi) }),
		instead("saw angles", "pie_angle", "Saw angle", func(j joint) any {
			if j["pie_angle"] == nil {
				return nil
			}
			return num(j, "pie_angle") / 2
		}),
		instead("saw angles headed Cut", "pie_angle", "Cut °", func(j joint) any {
			if j["pie_angle"] == nil {
				return nil
			}
			return num(j, "pie_angle") / 2
		}),
		instead("the number of pies", "pie_angle", "No of pies", func(j joint) any {
			if j["pie_angle"] == nil {
				return nil
			}
			return num(j, "bend") / num(j, "pie_angle")
		}),
		instead("the number of cuts", "pie_angle", "Welds in bend", func(j joint) any {
			if j["pie_angle"] == nil {
				return nil
			}
			return num(j, "bend") / num(j, "pie_angle")
		}),
		instead("inner radii", "clr", "Inside radius", func(j joint) any {
			if j["clr"] == nil {
				return nil
			}
			return round(num(j, "clr") - num(j, "od")/2)
		}),
		instead("throats", "leg", "a", func(j joint) any {
			if j["leg"] == nil {
				return nil
			}
			return num(j, "leg") / math.Sqrt2
		}),
		named("quantities left and right", heading, func(b *shopBook) bool {
			heads := pick(b.r, [2]string{"LH", "RH"}, [2]string{"Left", "Right"}, [2]string{"Qty L", "Qty R"}, [2]string{"Qty LH", "Qty RH"})
			return b.each("qty", func(l *list, c *column) {
				at := slices.Index(l.cols, c)
				c.head, c.show = heads[0], func(j joint) any { return math.Ceil(num(j, "qty") / 2) }
				l.insert(at+1, &column{key: "qty", head: heads[1], show: func(j joint) any { return math.Floor(num(j, "qty") / 2) }})
			})
		}).need("qty").of("head-qty").asHard(),
		named("quantity a side, and sides", heading, func(b *shopBook) bool {
			return b.each("qty", func(l *list, c *column) {
				at := slices.Index(l.cols, c)
				c.head, c.show = "Per side", func(j joint) any {
					if q := num(j, "qty"); math.Mod(q, 2) == 0 {
						return q / 2
					}
					return num(j, "qty")
				}
				l.insert(at+1, &column{head: "No. of sides", key: "qty", show: func(j joint) any {
					if math.Mod(num(j, "qty"), 2) == 0 {
						return 2
					}
					return 1
				}})
			})
		}).need("qty").of("head-qty").lacking("sides").asHard(),
		named("two quantities, the second of the whole order", heading, func(b *shopBook) bool {
			return b.each("qty", func(l *list, c *column) {
				l.insert(len(l.cols), &column{head: pick(b.r, "Total qty", "Qty total", "Order qty"), key: "qty", show: func(j joint) any { return num(j, "qty") * 3 }})
			})
		}).need("qty").of("head-qty").asHard(),
		named("pieces counted by marks", heading, func(b *shopBook) bool {
			some := false
			for _, l := range b.lists {
				c := l.col("mark")
				n := 1
				c.show = func(j joint) any {
					q := int(num(j, "qty"))
					if q < 2 {
						n++
						return sprintf("W%d", n-1)
					}
					n += q
					return sprintf("W%d-W%d", n-q, n-1)
				}
				drop(l, "qty")
				some = true
			}
			return some
		}).need("qty", "mark").of("head-qty").asHard(),
		named("pieces in the description", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.col("mark").show = func(j joint) any {
					return sprintf("%v (%v off)", j["mark"], j["qty"])
				}
				drop(l, "qty")
			}
			return true
		}).need("qty", "mark").of("head-qty").asHard(),
		named("the kind in a description", heading, func(b *shopBook) bool {
			head := pick(b.r, "Description", "What", "Beschreibung", "Notes", "Details")
			return b.each("kind", func(_ *list, c *column) {
				c.head, c.show = head, func(j joint) any { return sprintf("%v, %v in place", j["kind"], cmp.Or[any](j["mark"], "all")) }
			})
		}).need("kind").of("head-kind").asHard(),
		named("the kind alone under Description", heading, func(b *shopBook) bool {
			head := pick(b.r, "Description", "Descr.", "Remarks", "Comment", "Beschreibung")
			return b.each("kind", func(_ *list, c *column) { c.head = head })
		}).need("kind").of("head-kind").asHard(),
		named("the kind in the mark", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.col("mark").show = func(j joint) any { return sprintf("%v %v", j["kind"], j["mark"]) }
				drop(l, "kind")
			}
			return true
		}).need("kind", "mark").of("head-kind").asHard(),
		named("the kind in a line over its joints", lining, func(b *shopBook) bool {
			for _, l := range b.lists {
				var lines []*line
				slices.SortStableFunc(l.lines, func(x, y *line) int { return strings.Compare(sprint(x.j["kind"]), sprint(y.j["kind"])) })
				last := ""
				for _, n := range l.lines {
					if n.j == nil {
						return false
					}
					if kind := sprint(n.j["kind"]); kind != last {
						last = kind
						lines = append(lines, &line{words: []any{strings.ToUpper(kind) + "S"}, over: map[*column]any{}})
					}
					lines = append(lines, n)
				}
				l.lines = lines
				drop(l, "kind")
			}
			return true
		}).need("kind").of("head-kind").alone().asHard(),
		named("no kind, though there are bends", heading, func(b *shopBook) bool {
			if !b.each("bend", func(l *list, _ *column) { drop(l, "kind") }) {
				return false
			}
			b.all(func(_ *list, n *line) {
				if n.j["kind"] != "pie cut" {
					n.j["kind"] = "butt"
					for _, k := range []string{"leg", "sides", "weld_length", "run_od", "branch_angle"} {
						delete(n.j, k)
					}
				}
			})
			return true
		}).need("bend", "kind", "pie_angle").of("head-kind").asHard(),
		same("ditto marks", []string{"od", "wall", "kind", "qty", "alloy"}, `"`).asHard(),
		same("ditto marks for kinds", []string{"kind", "bend", "pie_angle"}, "''").need("kind", "bend").asHard(),
		same("ditto as dto.", []string{"od", "wall", "kind", "alloy"}, "dto.").asHard(),
		same("ditto as an arrow", []string{"od", "wall", "kind", "alloy"}, "↓").asHard(),
		same("ditto in a word", []string{"kind", "wall", "qty"}, "same").asHard(),
		same("ditto in words", []string{"od", "wall", "kind"}, "do.").asHard(),
		same("the same left blank, size", []string{"od", "wall"}, nil).asHard(),
		same("the same left blank, wall", []string{"wall"}, nil).asHard(),
		named("the same kind left blank, where a bend tells", lining, func(b *shopBook) bool {
			some := false
			for _, l := range b.lists {
				for i, n := range l.lines {
					if n.j["kind"] == "pie cut" {
						j := maps.Clone(n.j)
						j["mark"], some = "Y-1", true
						l.lines = slices.Insert(l.lines, i+1, &line{j: j, car: n.car, over: map[*column]any{l.col("kind"): nil}})
						break
					}
				}
			}
			return some
		}).need("kind", "bend").of("same").asHard(),
		named("nothing said by a dash", lining, func(b *shopBook) bool {
			some := false
			b.all(func(l *list, n *line) {
				for _, key := range []string{"bend", "pie_angle", "clr", "leg", "run_od"} {
					if c := l.col(key); c != nil && n.j[key] == nil && l.lines != nil {
						n.over[c], some = pick(b.r, "-", "–", "n/a", "N/A"), true
					}
				}
			})
			return some
		}).need("bend").asHard(),
		named("nothing said by a naught", lining, func(b *shopBook) bool {
			some := false
			b.all(func(l *list, n *line) {
				for _, key := range []string{"bend", "pie_angle", "run_od"} {
					if c := l.col(key); c != nil && n.j[key] == nil {
						n.over[c], some = 0, true
					}
				}
			})
			return some
		}).need("bend").asHard(),
		named("bends also on butts", lining, func(b *shopBook) bool {
			some := false
			b.all(func(l *list, n *line) {
				if n.j["kind"] == "butt" && n.j["bend"] == nil {
					n.over[l.col("bend")], some = 90, true
				}
			})
			return some
		}).need("bend", "kind").asHard(),
		named("merged down where cells are the same", lining, func(b *shopBook) bool {
			some := false
			for _, l := range b.lists {
				for _, key := range []string{"od", "wall"} {
					c := l.col(key)
					for i := 1; c != nil && i < len(l.lines); i++ {
						a, z := l.lines[i-1], l.lines[i]
						if a.j != nil && z.j != nil && a.j[key] == z.j[key] {
							z.over[c], some = nil, true
							l.after = append(l.after, func(s *tab, l *list) {
								p, q := l.at(i-1, c), l.at(i, c)
								s.merged = append(s.merged, [4]int{p[0], p[1], q[0], q[1]})
							})
							i++
						}
					}
				}
			}
			return some
		}).of("same").asHard(),
	}
	return out
}
