package habits_test

import (
	"maps"
	"slices"
)

// saidHabits are things said of joints beside their rows: in words over and under them, on
// sheets of their own, in rows between blocks. A run either reads them or asks.
func saidHabits() []habit {
	// words puts a row of words into one list that is meant. The place is from 0, above
	// the headings, over 1, among the joints, to 2, below them.
	words := func(name string, place int, unclear bool, all ...string) habit {
		h := named(name, lining, func(b *shopBook) bool {
			for _, l := range b.lists {
				if l.dead || len(l.lines) == 0 {
					continue
				}
				at, between := l.between(b.r)
				switch text := pick(b.r, all...); {
				case place == 0:
					l.above = append([][]any{{text}, {}}, l.above...)
				case place == 1 && !between:
					continue
				case place == 1:
					l.lines = slices.Insert(l.lines, at, free(text))
				default:
					l.lines = append(l.lines, &line{over: map[*column]any{}}, free(text))
				}
				b.unclear = b.unclear || unclear
				return true
			}
			return false
		}).of([]string{"title", "middle", "foot"}[place])
		h.hard = unclear
		return h
	}
	tabs := func(name string, unclear bool, make func(b *shopBook) *tab) habit {
		h := named(name, around, func(b *shopBook) bool {
			s := make(b)
			if s == nil {
				return false
			}
			b.tabs, b.unclear = append(b.tabs, s), b.unclear || unclear
			return true
		}).of("said-elsewhere")
		h.hard = unclear
		return h
	}
	beside := func(name, head string, all ...string) habit {
		return named(name, heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				l.cols = append(l.cols, &column{head: head, own: func(i int) any { return all[i%len(all)] }})
			}
			b.unclear = true
			return true
		}).of("own-" + head).asHard()
	}
	idle := func(key string, v float64) habit {
		return named("a "+key+" on a butt", lining, func(b *shopBook) (some bool) {
			b.all(func(l *list, n *line) {
				if c := l.col(key); c != nil && n.j["kind"] == "butt" && n.j["bend"] == nil && n.over[l.col("kind")] == nil && !some {
					n.over[c], some, b.unclear = v, true, true
				}
			})
			return some
		}).need(key, "kind").of("cells-kind cells-" + key + " unclear head-" + key).asHard()
	}
	return []habit{
		words("words over the list that change it", 0, true, "double all", "Wall 0.5 throughout", "One side shown, double all", "All joints are seams", "Quantities are per side", "Everything twice", "add 10 % spare", "Lot A only", "Include one spare set", "All prices +25 %"),
		words("words among joints that change them", 1, true, "mirror", "as above, other side", "rows below are deleted", "all joints below in 0.5 wall", "Demo roadster", "ditto", "alternative:",
			"same again", "not used", "repeat the above for the left side", "J7 still to come: 3 x .047 butt"),
		words("words under joints that change them", 2, true, "mirror", "as above, other side", "rows above are deleted", "repeat the above for left side", "all quantities are per side", "for one side only, double it", "spiegelbildlich"),
		words("words over the list that change nothing", 0, false, "Repeat order of last year", "Outside polished to a mirror finish", "All welds cleaned and wire brushed", "Drawing for both customers", "Butt welds and pie cuts as drawn",
			"Needs 2 people to fit", "For information only", "Deposit 30 % with order", "Spare gaskets in the box", "Check the fit on the first car"),
		words("words under the list that change nothing", 2, false, "Double check the fit before purging", "Polished to a mirror finish by others later on", "Protective film removed from all tubes", "Each weld is marked with its number", "Purge all welds", "Fillets as on the drawing"),
		named("a wall said over the list that it has", lining, func(b *shopBook) bool {
			for _, l := range b.lists {
				if i := slices.IndexFunc(l.lines, func(n *line) bool { return n.j != nil }); i >= 0 {
					l.above = append([][]any{{sprintf("Tube wall %v %s", l.lines[i].j["wall"], b.unitOf("wall"))}, {}}, l.above...)
				}
			}
			return true
		}).of("title cells-wall head-wall"),
		tabs("sizes in words on a sheet of their own", true, func(b *shopBook) *tab {
			s := sheetOf("More", []any{"Joint", "Size", "Qty"})
			for i, x := range [][]string{{"3 x .047", "2.5 x .047"}, {`3" OD x .065`, `2.5" OD x .065`}, {"76.1 x 1.5", "63.5 x 1.2"}, {"3 in x 0.049", "2 in x 0.049"}}[b.r.IntN(4)] {
				s.put(i+2, 1, sprintf("Y%d", i))
				s.put(i+2, 2, x)
				s.put(i+2, 3, 2+i)
			}
			return s
		}),
		tabs("more joints in a sentence", true, func(b *shopBook) *tab {
			return sheetOf("Memo", []any{pick(b.r, "please add 4 more butt welds at 3 x .047", "price includes 6 fillets not listed", "and 2 pie cuts more")})
		}),
		tabs("a log of welders by mark", false, func(b *shopBook) *tab {
			s, row := sheetOf("Log", []any{"Joint", "Welder", "Drawing no"}), 1
			b.all(func(_ *list, n *line) {
				row++
				for k, v := range []any{n.j["mark"], "one", 1001 + row} {
					s.put(row, k+1, v)
				}
			})
			return s
		}).need("mark"),
		tabs("what each kind costs", false, func(*shopBook) *tab {
			return sheetOf("Piece rates", []any{"What", "Rate"}, []any{"butt weld", 12.5}, []any{"fillet", 9.75}, []any{"pie cut", 41.2})
		}),
		named("pieces on a sheet of their own", heading, func(b *shopBook) bool {
			s, row := sheetOf("Pieces", []any{pick(b.r, "Joint", "Ref", "Mark"), pick(b.r, "Count", "How many", "Off", "")}), 1
			for _, l := range b.lists {
				if l.dead || l.col("mark") == nil || l.col("qty") == nil || len(l.lines) < 3 {
					return false
				}
			}
			b.all(func(l *list, n *line) {
				row++
				s.put(row, 1, n.j["mark"])
				s.put(row, 2, n.j["qty"])
			})
			for _, l := range b.lists {
				l.cols = slices.DeleteFunc(l.cols, func(c *column) bool { return c.key == "qty" })
			}
			b.tabs = append(b.tabs, s)
			return true
		}).need("mark", "qty").of("head-qty cells-qty cells-mark head-mark said-elsewhere middle foot struck unclear another-list groups").asHard(),
		named("a subtotal without a mark between", lining, func(b *shopBook) (some bool) {
			for _, l := range b.lists {
				at, ok := l.between(b.r)
				if !ok || l.dead || l.col("od") == nil || l.col("wall") == nil {
					continue
				}
				above, n := l.lines[at-1].j, &line{over: map[*column]any{}}
				same, pieces := 0, 0.0
				for _, x := range l.lines[:at] {
					if x.j != nil && x.j["od"] == above["od"] && x.j["wall"] == above["wall"] {
						same, pieces = same+1, pieces+x.j["qty"].(float64)
					}
				}
				if same < 2 {
					continue
				}
				for _, key := range []string{"od", "wall"} {
					n.over[l.col(key)] = b.value(l, l.col(key), l.lines[at-1], 0)
				}
				n.over[l.col("qty")] = pieces
				l.lines, some = slices.Insert(l.lines, at, n), true
			}
			return some
		}).need("mark", "qty", "kind").of("middle cells-qty head-qty cells-mark cells-od cells-wall struck unclear").asHard(),
		beside("pairs under Hand", "Hand", "pair", "LH+RH", "both").lacking("qty"),
		beside("other pieces under Remarks", "Remarks", "7 off", "x 8", "boss (9 off)", "tack first, 11 pcs").need("qty"),
		named("pieces under Remarks that are the row's", heading, func(b *shopBook) bool {
			for _, l := range b.lists {
				if l.col("qty") == nil {
					return false
				}
			}
			return b.each("qty", func(l *list, _ *column) {
				l.cols = append(l.cols, &column{head: "Remarks", show: func(j joint) any {
					if j == nil {
						return nil
					}
					return pick[any](b.r, nil, sprintf("%v off", j["qty"]), sprintf("tube 3 x 0.049, %v off", j["qty"]))
				}})
			})
		}).need("qty").of("own-Remarks own-Notes cells-qty head-qty"),
		words("one side of two, or how many, over or under the list", 2, true, "Right bank: as left", "RH as LH", "Dual exhaust, one side listed", "Symmetrical, half listed", "7 sets per car", "Batch of 17", "Two of everything for 23 vehicles",
			"Sizes are ID", "LH shown, RH opposite", "Left bank only; right bank same"),
		words("counts under the list that are none of its own", 2, false, "Page 1 of 2", "Sheet 3 of 5", "Use jig 4", "Titanium grade 2 throughout, certified", "Week 14"),
		beside("opposite places and parts under Where", "Where on it", "L/R", "both banks", "upper and lower", "each cylinder").lacking("qty"),
		beside("pieces in other words under Remarks", "Remarks", "29 places", "qty now 31", "need 37", "41 primaries").need("qty"),
		beside("not the shop's under Remarks", "Remarks", "bought in", "not welded", "existing", "counted above").need("mark"),
		tabs("one side of two on a sheet of their own", true, func(b *shopBook) *tab {
			return sheetOf("Memo", []any{pick(b.r, "Right bank same as left", "only one side listed", "43 systems per car", "sizes are ID")})
		}),
		beside("some of the cars under Remarks", "Remarks", "from car 5", "first car only", "LHD only", "inside and outside").need("qty"),
		beside("kinds under Remarks", "Remarks", "pie cut", "fillet weld", "long seam weld").lacking("kind"),
		idle("pie_angle", 7.5),
		idle("clr", 6.5),
		idle("branch_angle", 35),
		named("a mark that says that its joint is dropped", lining, func(b *shopBook) bool {
			return b.once(func(l *list, n *line) {
				if c := l.col("mark"); c != nil {
					n.dead, n.over[c] = true, pick(b.r, "J9 dropped", "X-1 (deleted)", "not used", "J9 - not used", "J9 void")
				}
			})
		}).need("mark").of("struck cells-mark head-mark").asHard(),
		named("a revision with marks of its own", around, func(b *shopBook) bool {
			was := b.lists[b.r.IntN(len(b.lists))]
			if was.dead {
				return false
			}
			l := *was
			l.dead, l.lines = true, nil
			for _, n := range was.lines {
				c := *n
				if c.dead = true; n.j != nil {
					c.j = maps.Clone(n.j)
					c.j["mark"] = "N" + sprint(n.j["mark"])
				}
				l.lines = append(l.lines, &c)
			}
			l.title, was.title = was.title+" rev B", was.title+" rev A"
			b.lists = append(b.lists, &l)
			return true
		}).need("mark").of("another-list").asHard(),
		named("a copy with marks of its own, on a sheet of another title", around, func(b *shopBook) bool {
			was := b.lists[b.r.IntN(len(b.lists))]
			if was.dead {
				return false
			}
			l := *was
			l.dead, l.lines = true, nil
			for _, n := range was.lines {
				c := *n
				if c.dead = true; n.j != nil {
					c.j = maps.Clone(n.j)
					c.j["mark"] = "N" + sprint(n.j["mark"])
				}
				l.lines = append(l.lines, &c)
			}
			if len(l.lines) < 3 {
				return false
			}
			l.title = pick(b.r, "Sheet2", "New", "For pricing")
			b.lists = append(b.lists, &l)
			b.unclear = b.unclear || was.col("car") != nil
			return true
		}).need("mark").of("another-list ordered").asHard(),
	}
}
