package habits_test

import (
	"maps"
	"math/rand/v2"
	"slices"
)

func free(words ...any) *line { return &line{words: words, over: map[*column]any{}} }

// behind gives the pieces of the lines before the nth, since the last line that is
// no joint.
func (l *list) behind(n int, only func(j joint) bool) (pieces float64) {
	for _, x := range slices.Backward(l.lines[:n]) {
		if x.j == nil {
			break
		}
		if only(x.j) {
			q, ok := x.j["qty"].(float64)
			if !ok {
				q = 1
			}
			pieces += q
		}
	}
	return pieces
}

func anyJoint(joint) bool { return true }

// between gives a place between two lines of joints of one car, in the middle of a
// list.
func (l *list) between(r *rand.Rand) (int, bool) {
	var at []int
	for i := 1; i < len(l.lines); i++ {
		if l.lines[i].j != nil && l.lines[i-1].j != nil && l.lines[i].car == l.lines[i-1].car {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return 0, false
	}
	return at[r.IntN(len(at))], true
}

// once does something with a line that is a joint.
func (b *shopBook) once(do func(l *list, n *line)) bool {
	var lists []*list
	var lines []*line
	b.all(func(l *list, n *line) { lists, lines = append(lists, l), append(lines, n) })
	if len(lines) == 0 {
		return false
	}
	i := b.r.IntN(len(lines))
	do(lists[i], lines[i])
	return true
}

func lineHabits() []habit {
	foot := func(name string, make func(b *shopBook, l *list) []*line) habit {
		return named(name, lining, func(b *shopBook) bool {
			for _, l := range b.lists {
				if l.dead || len(l.lines) == 0 {
					return false
				}
				l.lines = append(l.lines, make(b, l)...)
			}
			return true
		}).of("foot")
	}
	middle := func(name string, make func(b *shopBook, l *list, at int) *line) habit {
		return named(name, lining, func(b *shopBook) bool {
			some := false
			for _, l := range b.lists {
				if at, ok := l.between(b.r); ok {
					l.lines, some = slices.Insert(l.lines, at, make(b, l, at)), true
				}
			}
			return some
		}).of("middle")
	}
	title := func(name string, rows ...[]any) habit {
		return named(name, heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.above = append(append([][]any{}, rows...), l.above...)
			}
			return true
		}).of("title")
	}
	blank := func() *line { return &line{over: map[*column]any{}} }
	// total puts a word under the first column that is no number, and the pieces
	// under their own.
	total := func(word string, l *list, at int, only func(j joint) bool) *line {
		n := blank()
		c := l.col("mark")
		if c == nil {
			c = l.cols[0]
		}
		n.over[c] = word
		if q := l.col("qty"); q != nil {
			n.over[q] = l.behind(at, only)
		}
		return n
	}
	sized := func(word string) func(b *shopBook, l *list, at int) *line {
		return func(b *shopBook, l *list, at int) *line {
			above := l.lines[at-1].j
			n := total(word, l, at, func(j joint) bool { return j["od"] == above["od"] && j["wall"] == above["wall"] })
			for _, key := range []string{"od", "wall"} {
				if c := l.col(key); c != nil {
					n.over[c] = b.value(l, c, l.lines[at-1], 0)
				}
			}
			return n
		}
	}
	struck := func(name, style string, change func(l *list, n *line)) habit {
		return named(name, lining, func(b *shopBook) bool {
			return b.once(func(l *list, n *line) {
				n.dead, n.style = true, style
				change(l, n)
			})
		}).of("struck").asHard()
	}
	under := func(l *list, n *line, key string, v any) {
		if c := l.col(key); c != nil {
			n.over[c] = v
		}
	}
	unclear := func(name, key string, cells ...any) habit {
		return named(name, lining, func(b *shopBook) bool {
			some := false
			b.all(func(l *list, n *line) {
				if c := l.col(key); c != nil && n.j[key] != nil && !some {
					n.over[c], some, b.unclear = pick(b.r, cells...), true, true
				}
			})
			return some
		}).need(key).of("unclear").asHard()
	}
	return []habit{
		title("a title above", []any{"Joint list, invented"}),
		title("a title with day and customer", []any{"Invented exhaust works"}, []any{"Customer", "nobody", nil, "Date", "1 June"}, []any{}),
		title("a title with a drawing's number", []any{"Exhaust, drawing", 1047, "Rev", "B"}, []any{}),
		title("a title with rates", []any{"Shop rate", 95, "$/h"}, []any{"Argon", 0.35, "$/ft3"}, []any{}).asHard(),
		title("a title with a legend", []any{"B = butt, P = pie cut, F = fillet"}, []any{}),
		title("titles over many rows", []any{"Invented exhaust works"}, []any{"Joint list"}, []any{"Offer", "Q-12"}, []any{"Welds as on the drawing"}, []any{}, []any{"page", 1, "of", 2}, []any{}),
		named("a title merged over the list", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.above = append([][]any{{"Joint list, invented"}}, l.above...)
				l.after = append(l.after, func(s *tab, l *list) {
					s.merged = append(s.merged, [4]int{l.down + 1, l.right + 1, l.down + 1, l.right + len(l.cols)})
				})
			}
			return true
		}).of("title"),
		foot("a total below", func(_ *shopBook, l *list) []*line { return []*line{total("Total", l, len(l.lines), anyJoint)} }),
		foot("a total below a blank row", func(_ *shopBook, l *list) []*line {
			return []*line{blank(), total("TOTAL", l, len(l.lines), anyJoint)}
		}),
		foot("a total below by formula", func(_ *shopBook, l *list) []*line {
			n := total("Total", l, len(l.lines), anyJoint)
			if q := l.col("qty"); q != nil {
				n.over[q] = calc{"SUM(A1:A9)", n.over[q]}
			}
			return []*line{n}
		}),
		foot("a total without a word", func(_ *shopBook, l *list) []*line {
			n := blank()
			if q := l.col("qty"); q != nil {
				n.over[q] = l.behind(len(l.lines), anyJoint)
			}
			return []*line{n}
		}).need("qty"),
		foot("a total in other words", func(b *shopBook, l *list) []*line {
			return []*line{total(pick(b.r, "All welds", "Joints in all", "Summe", "Totale", "In total", "Welds, total"), l, len(l.lines), anyJoint)}
		}),
		foot("a total of each size below", func(_ *shopBook, l *list) []*line {
			out := []*line{blank(), free("By size")}
			seen := map[size]float64{}
			for _, n := range l.lines {
				if n.j != nil {
					q, ok := n.j["qty"].(float64)
					if !ok {
						q = 1
					}
					seen[size{n.j["od"].(float64), n.j["wall"].(float64)}] += q
				}
			}
			keys := slices.SortedFunc(maps.Keys(seen), func(x, y size) int {
				if x.od != y.od {
					return int(1e6 * (x.od - y.od))
				}
				return int(1e6 * (x.wall - y.wall))
			})
			for _, s := range keys {
				n := blank()
				n.over[l.col("od")], n.over[l.col("wall")] = s.od, s.wall
				if q := l.col("qty"); q != nil {
					n.over[q] = seen[s]
				}
				out = append(out, n)
			}
			return out
		}).need("qty").asHard(),
		foot("a total of all cars below", func(b *shopBook, l *list) []*line {
			n := total("Total for 5 cars", l, len(l.lines), anyJoint)
			return []*line{n}
		}).asHard(), // it says how many cars, which the list may not
		foot("a note below", func(*shopBook, *list) []*line {
			return []*line{blank(), free("All tubes deburred and cleaned before welding")}
		}),
		foot("notes below", func(*shopBook, *list) []*line {
			return []*line{blank(), free("Notes:"), free("1. purge before tacking"), free("2. bends as drawn"), blank(), free("Checked by", "inspector")}
		}),
		foot("a note with a size below", func(*shopBook, *list) []*line {
			return []*line{blank(), free("Tubes of 3 x .047 come from the customer")}
		}),
		foot("a day below", func(*shopBook, *list) []*line { return []*line{blank(), free("Printed", "1 June", 2026)} }),
		foot("rates below", func(*shopBook, *list) []*line {
			return []*line{blank(), free("Shop rate", 95), free("Argon", 0.35), free("Hours", 12)}
		}).asHard(),
		foot("a spare row with a size below", func(_ *shopBook, l *list) []*line {
			n := blank()
			n.over[l.col("od")] = 3
			return []*line{blank(), n}
		}).asHard(),
		foot("rows prepared with a mark only", func(b *shopBook, l *list) []*line {
			n := blank()
			if c := l.col("mark"); c != nil {
				n.over[c] = "X-1"
			}
			return []*line{n}
		}).need("mark").asHard(),
		foot("the next revision's joints below a line", func(b *shopBook, l *list) []*line {
			out := []*line{blank(), free("Old, before rev B:")}
			for _, n := range l.lines[:1+len(l.lines)/3] {
				if n.j != nil {
					out = append(out, &line{j: maps.Clone(n.j), car: n.car, dead: true, over: maps.Clone(n.over)})
				}
			}
			return out
		}).asHard(),
		foot("optional joints below a line", func(b *shopBook, l *list) []*line {
			out := []*line{blank(), free(pick(b.r, "Options, not ordered:", "NOT IN THIS ORDER", "Spares", "Alternative:"))}
			for _, n := range l.lines[:1] {
				if n.j != nil {
					j := maps.Clone(n.j)
					j["mark"] = "Z-9"
					out = append(out, &line{j: j, car: n.car, dead: true, over: maps.Clone(n.over)})
				}
			}
			return out
		}).asHard(),
		middle("a blank row between", func(*shopBook, *list, int) *line { return blank() }),
		middle("the headings again between", func(*shopBook, *list, int) *line { return headLine() }),
		middle("a subtotal between", func(_ *shopBook, l *list, at int) *line { return total("Subtotal", l, at, anyJoint) }),
		middle("a subtotal of a part between", func(_ *shopBook, l *list, at int) *line { return total("Total front", l, at, anyJoint) }),
		middle("a subtotal in German between", func(_ *shopBook, l *list, at int) *line { return total("Zwischensumme", l, at, anyJoint) }),
		middle("a subtotal that repeats the size", sized("Subtotal")).need("mark", "qty"),
		middle("a subtotal that repeats the size, without pieces", sized("Subtotal")).need("mark").lacking("qty").asHard(),
		middle("a subtotal that repeats the size, in other words", func(b *shopBook, l *list, at int) *line {
			return sized(pick(b.r, "of this size", "3 in, all", "Σ", "so far", "Summe Rohr", "all"))(b, l, at)
		}).need("mark").asHard(),
		middle("a carry between pages", func(b *shopBook, l *list, at int) *line {
			return total(pick(b.r, "carried forward", "c/f", "Übertrag", "brought forward"), l, at, anyJoint)
		}),
		named("an assembly of which there are two", lining, func(b *shopBook) bool {
			words := pick(b.r, "Silencer (2 off)", "Silencer, 2 per car", "2 x silencer", "Silencer x2", "Endtopf, 2 Stück")
			some := false
			for _, l := range b.lists {
				at, ok := l.between(b.r)
				if !ok || l.dead {
					continue
				}
				car := l.lines[at].car
				for i := at; i < len(l.lines) && l.lines[i].j != nil && l.lines[i].car == car; i++ {
					n := l.lines[i]
					if c := l.col("qty"); c != nil {
						n.over[c] = n.j["qty"]
					}
					j := maps.Clone(n.j)
					j["qty"], some = 2*j["qty"].(float64), true
					n.j = j
				}
				l.lines = slices.Insert(l.lines, at, free(words))
			}
			return some
		}).need("qty").of("middle cells-qty head-qty").asHard(),
		named("a total above the joints", lining, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.lines = append([]*line{total("Total", l, len(l.lines), anyJoint)}, l.lines...)
			}
			return true
		}).need("mark"),
		named("a joint lost above its total", lining, func(b *shopBook) (some bool) {
			for _, l := range b.lists {
				n := total("Total", l, len(l.lines), anyJoint)
				at := len(l.lines) - 1
				whole := func(n *line) bool { return n.j != nil && !n.dead && n.means == nil }
				if l.dead || at < 1 || !whole(l.lines[at]) || !whole(l.lines[at-1]) || l.lines[at-1].car != l.lines[at].car {
					continue
				}
				l.lines[at-1].means = []joint{l.lines[at-1].j, l.lines[at].j}
				l.lines, some = append(slices.Delete(l.lines, at, at+1), n), true
			}
			return some
		}).need("qty").of("foot middle cells-qty head-qty").asHard(),
		named("a joint whose size was left blank", lining, func(b *shopBook) bool {
			return b.once(func(l *list, n *line) {
				for _, key := range []string{"od", "wall", "kind"} {
					under(l, n, key, nil)
				}
			})
		}).need("mark", "qty").of("cells-od cells-wall cells-kind").asHard(),
		middle("a section's title between", func(b *shopBook, _ *list, _ int) *line {
			return free(pick(b.r, "Rear section", "Over the axle", "REAR", "Hinten", "Silencer"))
		}).asHard(),
		middle("a note between", func(b *shopBook, _ *list, _ int) *line {
			return free(pick(b.r, "weld the next ones after fitting on the car", "tack all, then check the jig"))
		}).asHard(),
		middle("a note in a size's column between", func(_ *shopBook, l *list, _ int) *line {
			n := blank()
			n.over[l.col("od")] = "see drawing"
			return n
		}).asHard(),
		middle("a row of dashes between", func(_ *shopBook, l *list, _ int) *line {
			n := blank()
			for _, c := range l.cols {
				n.over[c] = "---"
			}
			return n
		}).asHard(),
		middle("a joint of which the wall is missing", func(b *shopBook, l *list, at int) *line {
			j := maps.Clone(l.lines[at].j)
			return &line{j: j, car: l.lines[at].car, over: map[*column]any{l.col("wall"): nil}}
		}).asHard(),
		middle("a joint of which the size is to be said", func(b *shopBook, l *list, at int) *line {
			j := maps.Clone(l.lines[at].j)
			v := pick(b.r, "tba", "?", "TBC", "s. Zg.")
			return &line{j: j, car: l.lines[at].car, over: map[*column]any{l.col("wall"): v, l.col("od"): v}}
		}).asHard(),
		unclear("a size of two tubes", "od", "2.5-3", "3/2.5", "2.5 to 3", "76-63"),
		unclear("a wall in another gauge", "wall", "18 swg", "Sch 10", "1.2 min", "std", "thin"),
		unclear("a nominal size", "od", "DN65", "2 NPS", `2" pipe`, "2 1/2 nom."),
		unclear("a size with its pair", "wall", "0.047/0.049", "1.2-1.5", "0.035 + 0.049"),
		unclear("pieces not known", "qty", "?", "2-3", "tbc", "2 or 3", "min 2", -2, "as reqd", "AR", 2.5, "n. Bed.", "div."),
		unclear("a kind not known", "kind", "?", "tbd", "butt/fillet", "butt or lap", "s. Zg.", "as drawn"),
		unclear("a bend not known", "bend", "?", "90/45", "2 x 45", "S-bend", 720, -90, "30-60"),
		unclear("a wall of another world", "wall", 47, 12, 0.0009, "2 mil"),
		unclear("a grade not known", "alloy", "?", "CP", "Gr 1", "Ti", "as tube", "1.4301", "alu"),
		unclear("passes not known", "passes", "?", "1-2", "many", 30),
		unclear("a tube length not known", "tube", "?", "to suit", "2 x 10", "10+12", -4),
		struck("a row struck out", "struck", func(*list, *line) {}),
		struck("a row struck out by word in its mark", "", func(l *list, n *line) { under(l, n, "mark", "deleted") }).need("mark"),
		struck("a row with a quantity of naught", "", func(l *list, n *line) { under(l, n, "qty", 0) }).need("qty"),
		struck("a row with a dash for its quantity", "", func(l *list, n *line) { under(l, n, "qty", "-") }).need("qty"),
		struck("a row with none for its quantity", "", func(l *list, n *line) { under(l, n, "qty", "none") }).need("qty"),
		struck("a row with VOID for its kind", "", func(l *list, n *line) { under(l, n, "kind", "VOID") }).need("kind"),
		struck("a row with existing for its kind", "", func(l *list, n *line) { under(l, n, "kind", "by others") }).need("kind"),
		named("a row hidden", lining, func(b *shopBook) bool {
			return b.once(func(l *list, n *line) {
				at := slices.Index(l.lines, n)
				l.after = append(l.after, func(s *tab, l *list) { s.rows[l.bodyRow+at] = true })
			})
		}).of("struck"),
		named("a row without a mark", lining, func(b *shopBook) bool {
			return b.once(func(l *list, n *line) { under(l, n, "mark", nil) })
		}).need("mark"),
		named("a mark said twice", lining, func(b *shopBook) bool {
			return b.once(func(l *list, n *line) { under(l, n, "mark", l.lines[0].j["mark"]) })
		}).need("mark"),
		named("a joint typed twice", lining, func(b *shopBook) bool {
			return b.once(func(l *list, n *line) {
				if at := slices.Index(l.lines, n); at >= 0 {
					l.lines = slices.Insert(l.lines, at, &line{j: n.j, car: n.car, dead: true, over: maps.Clone(n.over)})
				}
			})
		}).need("mark").asHard(),
		named("a kind left out", lining, func(b *shopBook) bool {
			some := false
			b.all(func(l *list, n *line) {
				if n.j["kind"] == "pie cut" && !some {
					under(l, n, "kind", nil)
					some = true
				}
			})
			return some
		}).need("kind", "bend").of("cells-kind").asHard(),
		named("a kind of none that there is", lining, func(b *shopBook) bool {
			return b.once(func(l *list, n *line) {
				under(l, n, "kind", pick(b.r, "cup weld", "orbital", "TIG", "?", "Stutzen", "tee"))
			})
		}).need("kind").of("cells-kind").asHard(),
		named("an angle that the saw is set to", lining, func(b *shopBook) bool {
			some := false
			b.all(func(l *list, n *line) {
				if v, ok := n.j["pie_angle"].(float64); ok && !some {
					under(l, n, "pie_angle", sprintf("saw %v", v/2))
					some = true
				}
			})
			return some
		}).need("bend", "pie_angle").asHard(),
		named("numbers kept as text", lining, func(b *shopBook) bool {
			b.all(func(l *list, n *line) {
				for _, key := range []string{"od", "wall", "qty", "bend"} {
					if c := l.col(key); c != nil {
						if _, has := n.over[c]; has {
							continue
						}
						if v, ok := b.value(l, c, n, 0).(float64); ok {
							n.over[c] = sprint(v)
						}
					}
				}
			})
			return true
		}),
		named("blanks around words", lining, func(b *shopBook) bool {
			b.all(func(l *list, n *line) {
				for _, key := range []string{"kind", "alloy", "setup"} {
					if c := l.col(key); c != nil {
						if _, has := n.over[c]; has {
							continue
						}
						if v, ok := b.value(l, c, n, 0).(string); ok && v != "" {
							n.over[c] = " " + v + "  "
						}
					}
				}
			})
			return true
		}),
	}
}
