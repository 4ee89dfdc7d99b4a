package habits_test

import (
	"slices"
	"strings"
)

func tabHabits() []habit {
	behind := func(name string, make func(b *shopBook) *tab) habit {
		return named(name, around, func(b *shopBook) bool {
			s := make(b)
			if s == nil {
				return false
			}
			if b.r.IntN(3) == 0 {
				b.first = append(b.first, s)
			} else {
				b.tabs = append(b.tabs, s)
			}
			return true
		}).of(strings.ReplaceAll(name, " ", "-"))
	}
	// again is another list of the same joints, or of some, which are not meant.
	again := func(name string, change func(b *shopBook, was *list, l *list)) habit {
		return named(name, around, func(b *shopBook) bool {
			was := b.lists[b.r.IntN(len(b.lists))]
			if was.dead {
				return false
			}
			l := *was
			l.dead = true
			l.lines = nil
			for _, n := range was.lines {
				c := *n
				c.dead = true
				l.lines = append(l.lines, &c)
			}
			change(b, was, &l)
			b.lists = append(b.lists, &l)
			return true
		}).of("another-list").asHard()
	}
	some := func(l *list, n int) { l.lines = l.lines[:min(n, len(l.lines))] }
	return []habit{
		behind("a sheet of rates", func(b *shopBook) *tab { // those that Assumptions has: others are asked about
			argon := map[bool]any{false: 0.35, true: 12}[b.metric]
			return sheetOf("Rates", []any{"Item", "Rate"}, []any{"Shop", 95}, []any{"Argon", argon}, []any{"Rod", 84}, []any{"Margin", 0.3})
		}),
		behind("a sheet of rates by formula", func(*shopBook) *tab {
			return sheetOf("Calc", []any{"Item", "Each", "Sum"}, []any{"Shop", 95, calc{"B2*2", 190}}, []any{"Gas", 3, calc{"B3*2", 6}}, []any{"All", nil, calc{"SUM(C2:C3)", 196}})
		}),
		behind("a sheet of notes", func(*shopBook) *tab {
			return sheetOf("Notes", []any{"Call before delivery"}, []any{"Exhausts go out in boxes of two"}, []any{"No paint"})
		}),
		behind("an empty sheet", func(*shopBook) *tab { return newTab("Sheet2") }),
		behind("a sheet of hours", func(*shopBook) *tab {
			return sheetOf("Hours", []any{"Day", "Person", "Hours"}, []any{"Mon", "one", 7.5}, []any{"Tue", "two", 8}, []any{"Wed", "one", 6})
		}),
		behind("a sheet of customers", func(*shopBook) *tab {
			return sheetOf("Contacts", []any{"Name", "Town", "Zip"}, []any{"nobody", "nowhere", 12345}, []any{"someone", "somewhere", 54321})
		}),
		behind("a sheet of deliveries", func(b *shopBook) *tab {
			s := sheetOf("Delivery", []any{"Week", "What"})
			for i, of := range b.cars {
				s.put(i+2, 1, 12+i)
				s.put(i+2, 2, of.name)
			}
			return s
		}).asHard(),
		behind("a calendar", func(*shopBook) *tab {
			s := newTab("Calendar")
			for i := range 31 {
				s.put(1+i/7, 1+i%7, i+1)
			}
			return s
		}),
		behind("a sheet of costs per car", func(b *shopBook) *tab {
			s := sheetOf("Costs", []any{"Car", "Cost last year"})
			for i, of := range b.cars {
				s.put(i+2, 1, of.name)
				s.put(i+2, 2, 1200+50*i)
			}
			return s
		}).asHard(),
		behind("a table of gauges", func(*shopBook) *tab {
			return sheetOf("Gauges", []any{"Gauge", "in", "mm"}, []any{16, 0.065, 1.65}, []any{18, 0.049, 1.24}, []any{20, 0.035, 0.89})
		}).asHard(),
		behind("a price list of tube", func(b *shopBook) *tab {
			s := sheetOf("Tube prices", []any{"OD", "Wall", "Price per ft"})
			for i, x := range sizes(b.metric)[:4] {
				s.put(i+2, 1, x.od)
				s.put(i+2, 2, x.wall)
				s.put(i+2, 3, 20+i)
			}
			return s
		}).asHard(),
		behind("a stock list of tube", func(b *shopBook) *tab {
			s := sheetOf("Stock", []any{"Shelf", "OD (" + b.unitOf("od") + ")", "Wall (" + b.unitOf("od") + ")", "Qty", "Supplier"})
			for i, x := range sizes(b.metric)[:4] {
				for k, v := range []any{sprintf("S%d", i), x.od, x.wall, 3 + i, "none"} {
					s.put(i+2, k+1, v)
				}
			}
			return s
		}).asHard(),
		behind("welding parameters", func(b *shopBook) *tab {
			s := sheetOf("Parameters", []any{"Tube OD", "Wall", "Amps", "Cup", "Argon"})
			for i, x := range sizes(b.metric)[:4] {
				for k, v := range []any{x.od, x.wall, 40 + 5*i, 12, 20} {
					s.put(i+2, k+1, v)
				}
			}
			return s
		}).asHard(),
		behind("a cut list", func(b *shopBook) *tab {
			s := sheetOf("Cut list", []any{"Item", "Tube OD", "Wall", "Length", "Qty"})
			row := 1
			b.all(func(_ *list, n *line) {
				row++
				for k, v := range []any{n.j["mark"], n.j["od"], n.j["wall"], 10, n.j["qty"]} {
					s.put(row, k+1, v)
				}
			})
			return s
		}).asHard(),
		behind("pieces by size", func(b *shopBook) *tab {
			s := sheetOf("By size", []any{"Tube", "Across", "Skin", "Welds"})
			for i, x := range sizes(b.metric)[:4] {
				for k, v := range []any{sprintf("T%d", i), x.od, x.wall, 3 + i} {
					s.put(i+2, k+1, v)
				}
			}
			return s
		}).asHard(),
		behind("a list of joints without sizes", func(b *shopBook) *tab {
			s := sheetOf("Weld map", []any{"Joint no", "Kind", "Qty"})
			for i := range 4 {
				for k, v := range []any{sprintf("M-%d", i), "butt", 2} {
					s.put(i+2, k+1, v)
				}
			}
			return s
		}).asHard(),
		behind("an old cars' sheet", func(b *shopBook) *tab {
			s := sheetOf("Last year", []any{"Car", "Cars sold"})
			for i, of := range b.cars {
				s.put(i+2, 1, of.name)
				s.put(i+2, 2, 7+i)
			}
			return s
		}).asHard(),
		again("the list before, as rev A", func(b *shopBook, was, l *list) {
			l.title, was.title = was.title+" rev A", was.title+" rev B"
			some(l, len(l.lines)-1)
		}),
		again("an old copy of the list", func(b *shopBook, was, l *list) {
			l.title = pick(b.r, was.title+" (2)", "Copy of "+was.title, "OLD "+was.title, was.title+" old", "Backup", "Sheet3", "alt", "Kopie")
		}),
		again("a list to send out", func(b *shopBook, was, l *list) {
			l.title = pick(b.r, "Print", "To customer", "For the shop", "Werkstatt")
			l.cols = slices.DeleteFunc(slices.Clone(l.cols), func(c *column) bool {
				return !slices.Contains([]string{"mark", "od", "wall", "qty", "car"}, c.key)
			})
		}),
		again("a sheet of examples", func(b *shopBook, was, l *list) {
			l.title = pick(b.r, "EXAMPLE", "Template", "How to", "Muster")
			some(l, 2)
		}),
		// Without marks nothing tells such a list from one over two sheets: a title such as
		// "Order 2024" may be that of this order.
		again("a list of another order", func(b *shopBook, was, l *list) {
			l.title = pick(b.r, "Order 2024", "Last job", "Q-11")
			for _, n := range l.lines {
				if n.j != nil {
					n.j = drawJoint(b.r, b.metric, b.keys, sprint(n.j["mark"]))
				}
			}
		}).need("mark").of("head-mark"),
		named("an old copy of the list, hidden", around, func(b *shopBook) bool {
			was := *b.lists[0]
			was.dead = true
			s := b.lay(&was)
			s.title, s.state = "Old", "hidden"
			b.tabs = append(b.tabs, s)
			return true
		}).of("another-list").asHard(),
		named("an empty form of the list", around, func(b *shopBook) bool {
			l := *b.lists[0]
			l.lines, l.title, l.dead = nil, pick(b.r, "Form", "Blank", "Template"), true
			b.tabs = append(b.tabs, b.lay(&l))
			return true
		}).of("another-list").asHard(),
		named("sheets with an approval", around, func(b *shopBook) bool {
			b.first = append(b.first, sheetOf("Cover", []any{"Order of exhausts, invented"}, []any{"Rev", "B"}, []any{"Approved", "yes"}, []any{"Pages", 3}))
			return true
		}).of("cover"),
	}
}
