package habits_test

import (
	"slices"
	"strings"
)

// habit is one thing that a shop does in its list. A plain one leaves nothing to
// ask: the README says that it is understood, or it has nothing to do with the
// price. What it takes a person to see, or what may be read in two ways, is hard.
type habit struct {
	name    string
	class   string // no two of a class meet in a workbook; it may be of several, each a word
	sort    int    // which of the lists of habits it comes from
	hard    bool
	phase   int
	system  string   // us, metric, or "" for both
	needs   []string // inputs that the lists must have a column for
	without []string // or must not
	cars    int      // how many cars there are at least
	one     bool     // or that there is one
	apply   func(b *shopBook) bool
}

// When a habit is at work.
const (
	layingOut = iota // cars become lists
	heading          // columns: what is in them, and over them
	lining           // lines
	around           // other sheets, the cars ordered
)

// habits are all that are known.
func habits() []habit {
	var out []habit
	for i, from := range [][]habit{carHabits(), orderHabits(), spellings(), headHabits(), unitHabits(), cellHabits(), ownHabits(), lineHabits(), tabHabits()} {
		for _, h := range from {
			h.sort = i
			out = append(out, h)
		}
	}
	return out
}

func named(name string, phase int, apply func(b *shopBook) bool) habit {
	return habit{name: name, phase: phase, apply: apply}
}

func (h habit) asHard() habit                { h.hard = true; return h }
func (h habit) of(class string) habit        { h.class = class; return h }
func (h habit) need(keys ...string) habit    { h.needs = append(h.needs, keys...); return h }
func (h habit) lacking(keys ...string) habit { h.without = append(h.without, keys...); return h }
func (h habit) only(system string) habit     { h.system = system; return h }
func (h habit) atLeast(cars int) habit       { h.cars = cars; return h }
func (h habit) alone() habit                 { h.one = true; return h }

// meets reports whether two habits can be in one workbook.
func (h habit) meets(o habit) bool {
	switch {
	case slices.ContainsFunc(strings.Fields(h.class), func(c string) bool { return slices.Contains(strings.Fields(o.class), c) }),
		h.system != "" && o.system != "" && h.system != o.system,
		h.one && o.cars > 1, o.one && h.cars > 1:
		return false
	}
	for _, pair := range [][2]habit{{h, o}, {o, h}} {
		for _, k := range pair[0].needs {
			if slices.Contains(pair[1].without, k) {
				return false
			}
		}
	}
	return true
}

// --- cars and their lists ---

// laidOut is what lists are where no habit says otherwise: one for the only car, or
// one with a column of cars.
func (b *shopBook) laidOut() {
	if len(b.cars) == 1 {
		b.perCar()
		return
	}
	l := &list{title: "Joints", cols: b.columns()}
	b.withCars(l)
	for i, of := range b.cars {
		l.lines = append(l.lines, linesOf(of, b.joints[i])...)
	}
	b.lists = []*list{l}
}

// withCars gives a list a column of cars, in front or behind the mark.
func (b *shopBook) withCars(l *list) *column {
	c := &column{key: "car", head: "Car"}
	l.insert(b.r.IntN(2), c)
	return c
}

func (b *shopBook) perCar() {
	b.lists = nil
	for i, of := range b.cars {
		b.lists = append(b.lists, &list{title: of.name, car: of, cols: b.columns(), lines: linesOf(of, b.joints[i])})
	}
}

// inBlocks puts lines of words before the joints of each car.
func (b *shopBook) inBlocks(before func(l *list, of *car, first bool) []*line) {
	l := &list{title: "Joints", cols: b.columns()}
	for i, of := range b.cars {
		l.lines = append(l.lines, before(l, of, i == 0)...)
		l.lines = append(l.lines, linesOf(of, b.joints[i])...)
	}
	b.lists = []*list{l}
}

func headLine() *line { return &line{heads: true, over: map[*column]any{}} }

func carHabits() []habit {
	lay := func(name string, apply func(b *shopBook) bool) habit { return named(name, layingOut, apply).of("cars") }
	words := func(words ...any) *line { return &line{words: words, over: map[*column]any{}} }
	return []habit{
		lay("a sheet for each car", func(b *shopBook) bool { b.perCar(); return true }),
		lay("car named on the first row of its block only", func(b *shopBook) bool {
			b.laidOut()
			l := b.lists[0]
			c := l.col("car")
			for i, n := range l.lines {
				if i > 0 && l.lines[i-1].car == n.car {
					n.over[c] = nil
				}
			}
			return true
		}).atLeast(2),
		lay("car merged down over its block", func(b *shopBook) bool {
			b.laidOut()
			l := b.lists[0]
			c := l.col("car")
			for i, n := range l.lines {
				if i > 0 && l.lines[i-1].car == n.car {
					n.over[c] = nil
				}
			}
			l.after = append(l.after, func(s *tab, l *list) {
				from := 0
				for i := range l.lines {
					if i+1 == len(l.lines) || l.lines[i+1].car != l.lines[i].car {
						if a, z := l.at(from, c), l.at(i, c); a != z {
							s.merged = append(s.merged, [4]int{a[0], a[1], z[0], z[1]})
						}
						from = i + 1
					}
				}
			})
			return true
		}).atLeast(2).asHard(),
		lay("car as a line over its block", func(b *shopBook) bool {
			b.inBlocks(func(_ *list, of *car, _ bool) []*line { return []*line{words(of.name)} })
			return true
		}).atLeast(2).asHard(),
		lay("car as a line with its number over its block", func(b *shopBook) bool {
			for _, of := range b.cars {
				of.ordered = 2 + b.r.IntN(8)
			}
			b.inBlocks(func(_ *list, of *car, _ bool) []*line { return []*line{words(of.name, of.ordered)} })
			return true
		}).atLeast(2).asHard(),
		lay("car and headings over its block", func(b *shopBook) bool {
			b.inBlocks(func(l *list, of *car, first bool) []*line {
				if first {
					l.above = append(l.above, []any{of.name})
					return nil
				}
				return []*line{{over: map[*column]any{}}, words(of.name), headLine()}
			})
			return true
		}).atLeast(2).asHard(),
		lay("car named in a title, block below block", func(b *shopBook) bool {
			b.inBlocks(func(l *list, of *car, first bool) []*line {
				if first {
					l.above = append(l.above, []any{"Car:", of.name})
					return nil
				}
				return []*line{{over: map[*column]any{}}, words("Car:", of.name), headLine()}
			})
			return true
		}).atLeast(2).asHard(),
		lay("one car, named in a title alone", func(b *shopBook) bool {
			b.perCar()
			b.lists[0].title = "Sheet1"
			b.lists[0].above = append(b.lists[0].above, []any{"Joint list, " + b.cars[0].name})
			return true
		}).of("cars ordered").alone(),
		lay("one car, named in a title alone, on order", func(b *shopBook) bool {
			b.perCar()
			b.lists[0].title = "Sheet1"
			b.lists[0].above = append(b.lists[0].above, []any{"Joint list, " + b.cars[0].name})
			b.order()
			b.first = append(b.first, sheetOf("Order", []any{"Car", "Cars ordered"}, []any{b.cars[0].name, b.cars[0].ordered}))
			return true
		}).of("cars ordered").alone().asHard(),
		lay("a quantity column for each car", func(b *shopBook) bool {
			l := &list{title: "Joints", cols: b.columns()}
			at := slices.Index(l.cols, l.col("qty"))
			l.cols = slices.Delete(l.cols, at, at+1)
			var per []*column
			for _, of := range b.cars {
				c := &column{head: of.name}
				per = append(per, c)
				l.insert(at, c)
				at++
			}
			for i, of := range b.cars {
				for _, n := range linesOf(of, b.joints[i]) {
					n.over[per[i]] = n.j["qty"]
					l.lines = append(l.lines, n)
				}
			}
			b.lists = []*list{l}
			return true
		}).need("qty").atLeast(2).asHard(),
		lay("a car's list over two sheets", func(b *shopBook) bool {
			b.perCar()
			l := b.lists[0]
			if len(l.lines) < 2 {
				return false
			}
			more := *l
			l.title, more.title = "Page 1", "Page 2"
			l.lines, more.lines = l.lines[:len(l.lines)/2], l.lines[len(l.lines)/2:]
			more.cols = b.columns()
			b.lists = []*list{l, &more}
			return true
		}).alone().asHard(),
		lay("sheets front and rear with the car in a column", func(b *shopBook) bool {
			b.lists = nil
			for k, title := range []string{"Front", "Rear"} {
				l := &list{title: title, cols: b.columns()}
				b.withCars(l)
				for i, of := range b.cars {
					for n, j := range linesOf(of, b.joints[i]) {
						if n%2 == k {
							l.lines = append(l.lines, j)
						}
					}
				}
				if len(l.lines) > 0 {
					b.lists = append(b.lists, l)
				}
			}
			return true
		}),
		lay("a sheet for each kind of joint", func(b *shopBook) bool {
			b.lists = nil
			by := map[string]*list{}
			for _, j := range b.joints[0] {
				kind := j["kind"].(string)
				if by[kind] == nil {
					l := &list{title: strings.ToUpper(kind[:1]) + kind[1:] + "s", cols: b.columns()}
					at := slices.Index(l.cols, l.col("kind"))
					l.cols = slices.Delete(l.cols, at, at+1)
					by[kind] = l
					b.lists = append(b.lists, l)
				}
				by[kind].lines = append(by[kind].lines, linesOf(b.cars[0], []joint{j})...)
			}
			return true
		}).need("kind").alone().asHard(),
		lay("two cars side by side on a sheet", func(b *shopBook) bool {
			b.perCar()
			l, more := b.lists[0], b.lists[1]
			l.title = "Joints"
			l.above = [][]any{{b.cars[0].name}}
			cols := len(l.cols)
			l.after = append(l.after, func(s *tab, _ *list) {
				more.right, more.above = cols+1, [][]any{{b.cars[1].name}}
				for at, v := range b.lay(more).cells {
					s.cells[at] = v
				}
			})
			more.dead = true
			b.lists = b.lists[:1]
			for _, n := range more.lines {
				l.lines = append(l.lines, &line{car: b.cars[1], means: []joint{n.j}, over: map[*column]any{}})
			}
			return true
		}).atLeast(2).asHard(),
		lay("joints that are on every car", func(b *shopBook) bool {
			b.laidOut()
			l := b.lists[0]
			c := l.col("car")
			n := l.lines[0]
			n.over[c] = pick(b.r, "all", "All", "both", "*", "alle", "every car", "A+B", "common", "all cars")
			for _, of := range b.cars[1:] {
				l.lines = append(l.lines, &line{means: []joint{n.j}, car: of, over: map[*column]any{}})
			}
			return true
		}).atLeast(2).asHard(),
		lay("joints on two cars named in one cell", func(b *shopBook) bool {
			b.laidOut()
			l := b.lists[0]
			c := l.col("car")
			n := l.lines[0]
			n.over[c] = sprintf(pick(b.r, "%s, %s", "%s / %s", "%s + %s", "%s & %s"), b.cars[0].name, b.cars[1].name)
			l.lines = append(l.lines, &line{means: []joint{n.j}, car: b.cars[1], over: map[*column]any{}})
			return true
		}).atLeast(2).asHard(),
		lay("a car in other letters on some rows", func(b *shopBook) bool {
			b.laidOut()
			l := b.lists[0]
			l.lines[0].over[l.col("car")] = strings.ToUpper(b.cars[0].name)
			return true
		}).atLeast(2),
		lay("a car spelled otherwise on some rows", func(b *shopBook) bool {
			b.laidOut()
			l := b.lists[0]
			if len(l.lines) < 2 || l.lines[1].car != b.cars[0] {
				return false
			}
			l.lines[1].over[l.col("car")] = pick(b.r, strings.ReplaceAll(b.cars[0].name, " ", "-"), b.cars[0].name+".", strings.ReplaceAll(b.cars[0].name, " ", "  "), strings.ReplaceAll(b.cars[0].name, " ", ""))
			return true
		}).atLeast(2).asHard(),
		lay("car left out on some rows in the middle", func(b *shopBook) bool {
			b.laidOut()
			l := b.lists[0]
			if len(l.lines) < 2 || l.lines[1].car != b.cars[0] {
				return false
			}
			l.lines[1].over[l.col("car")] = nil
			return true
		}).atLeast(2),
		lay("lists of two cars one below the other, with a car column each", func(b *shopBook) bool {
			b.laidOut()
			l := b.lists[0]
			var lines []*line
			for i, n := range l.lines {
				if i > 0 && l.lines[i-1].car != n.car {
					lines = append(lines, &line{over: map[*column]any{}}, headLine())
				}
				lines = append(lines, n)
			}
			l.lines = lines
			return true
		}).atLeast(2),
	}
}

// --- how many cars are ordered ---

func (b *shopBook) order() {
	for _, of := range b.cars {
		of.ordered = 1 + b.r.IntN(9)
	}
}

func (b *shopBook) bids() {
	for _, of := range b.cars {
		of.bid = float64(500 * (1 + b.r.IntN(30)))
	}
}

func orderHabits() []habit {
	lay := func(name string, apply func(b *shopBook) bool) habit { return named(name, around, apply).of("ordered") }
	// sheet puts a sheet of the cars before the lists or behind them.
	sheet := func(b *shopBook, s *tab) {
		if b.r.IntN(2) == 0 {
			b.first = append(b.first, s)
		} else {
			b.tabs = append(b.tabs, s)
		}
	}
	rows := func(b *shopBook, head []any, row func(of *car) []any, more ...[]any) [][]any {
		out := [][]any{head}
		for _, of := range b.cars {
			out = append(out, row(of))
		}
		return append(out, more...)
	}
	numbers := func(of *car) []any { return []any{of.name, of.ordered} }
	spelled := func(hard bool, car, ordered string) habit {
		h := lay("cars ordered headed "+car+" | "+ordered, func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf(pick(b.r, "Order", "Cars", "Customer order"), rows(b, []any{car, ordered}, numbers)...))
			return true
		})
		h.hard = hard
		return h
	}
	out := []habit{
		spelled(false, "Car", "Cars ordered"), spelled(false, "Vehicle", "Ordered"), spelled(false, "Car", "Number of cars"), spelled(false, "Build", "Cars"),
		spelled(true, "Model", "Units"), spelled(true, "Car", "How many"), spelled(true, "Car", "Qty"), spelled(true, "Name", "Number off"), spelled(true, "Fahrzeug", "Stk"),
		spelled(true, "Fahrzeug", "Anzahl"), spelled(true, "Veicolo", "Q.tà"), spelled(true, "Variant", "To build"), spelled(true, "Spec", "Sets"), spelled(true, "Car", "Pcs"),
		lay("cars ordered, and a bid", func(b *shopBook) bool {
			b.order()
			b.bids()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered", "Bid per car"}, func(of *car) []any { return []any{of.name, of.ordered, of.bid} })...))
			return true
		}),
		lay("cars ordered with titles above", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", append([][]any{{"Invented works"}, {"Order of", "1 June"}, {}}, rows(b, []any{"Car", "Cars ordered"}, numbers)...)...))
			return true
		}),
		lay("cars ordered with a total row", func(b *shopBook) bool {
			b.order()
			n := 0
			for _, of := range b.cars {
				n += of.ordered
			}
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, numbers, []any{"Total", n})...))
			return true
		}),
		lay("cars ordered with a total row without a word", func(b *shopBook) bool {
			b.order()
			n := 0
			for _, of := range b.cars {
				n += of.ordered
			}
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, numbers, []any{nil, n})...))
			return true
		}),
		lay("cars ordered with an own total", func(b *shopBook) bool {
			b.order()
			n := 0
			for _, of := range b.cars {
				n += of.ordered
			}
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, numbers, []any{pick(b.r, "All cars", "In all", "Altogether", "Whole order"), n})...))
			return true
		}).asHard(),
		lay("cars ordered with columns of its own", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Colour", "Cars ordered", "Delivery", "Notes"}, func(of *car) []any {
				return []any{of.name, "red", of.ordered, "week 12", "none"}
			})...))
			return true
		}),
		lay("cars ordered as text", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, func(of *car) []any { return []any{of.name, sprint(of.ordered)} })...))
			return true
		}).asHard(),
		lay("cars ordered in words", func(b *shopBook) bool {
			b.order()
			form := pick(b.r, "%d off", "%d cars", "%dx", "%d pcs", "ca. %d", "%d+1 spare")
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, func(of *car) []any { return []any{of.name, sprintf(form, of.ordered)} })...))
			if strings.Contains(form, "spare") {
				for _, of := range b.cars {
					of.ordered++
				}
			}
			return true
		}).asHard(),
		lay("bids as text", func(b *shopBook) bool {
			b.order()
			b.bids()
			form := pick(b.r, "$%.0f", "$%.2f", "%.0f USD", "USD %.0f", "%.0f.-")
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered", "Bid per car"}, func(of *car) []any { return []any{of.name, of.ordered, sprintf(form, of.bid)} })...))
			return true
		}).asHard(),
		lay("bid for all cars of a spec", func(b *shopBook) bool {
			b.order()
			b.bids()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered", pick(b.r, "Bid", "Bid total", "Price", "Offered")}, func(of *car) []any { return []any{of.name, of.ordered, of.bid * float64(of.ordered)} })...))
			return true
		}).asHard(),
		lay("cars ordered by formula", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, func(of *car) []any { return []any{of.name, calc{sprintf("%d+0", of.ordered), of.ordered}} })...))
			return true
		}),
		lay("a car in two rows, by delivery", func(b *shopBook) bool {
			b.order()
			all := rows(b, []any{"Car", "Cars ordered", "Delivery"}, func(of *car) []any { return []any{of.name, of.ordered, "May"} })
			all = append(all, []any{b.cars[0].name, 2, "July"})
			b.cars[0].ordered += 2
			sheet(b, sheetOf("Order", all...))
			return true
		}).asHard(),
		lay("a car of no joints on order", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, numbers, []any{"Demo extra", 3})...))
			b.cars = append(b.cars, &car{name: "Demo extra", ordered: 3})
			b.joints = append(b.joints, nil)
			return true
		}).asHard(),
		lay("a car not on the order's list", func(b *shopBook) bool {
			b.order()
			all := rows(b, []any{"Car", "Cars ordered"}, numbers)
			b.cars[len(b.cars)-1].ordered = 0
			sheet(b, sheetOf("Order", all[:len(all)-1]...))
			return true
		}).atLeast(2).asHard(),
		lay("cars spelled otherwise on the order", func(b *shopBook) bool {
			b.order()
			form := pick(b.r, "%s (USA)", "The %s", "%s.", "%ss")
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, func(of *car) []any { return []any{sprintf(form, of.name), of.ordered} })...))
			return true
		}).asHard(),
		lay("cars in other letters on the order", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"CAR", "CARS ORDERED"}, func(of *car) []any { return []any{strings.ToUpper(of.name), of.ordered} })...))
			return true
		}),
		lay("cars with a blank behind on the order", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, func(of *car) []any { return []any{of.name + " ", of.ordered} })...))
			return true
		}),
		lay("cars, one a row, by chassis", func(b *shopBook) bool {
			b.order()
			all := [][]any{{"Chassis no", "Car"}}
			for _, of := range b.cars {
				for i := range of.ordered + 1 {
					all = append(all, []any{sprintf("C-%d", 100+i), of.name})
				}
				of.ordered++
			}
			sheet(b, sheetOf("Order", all...))
			return true
		}).asHard(),
		lay("cars ordered by month", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "June", "July"}, func(of *car) []any {
				of.ordered += 2
				return []any{of.name, of.ordered - 2, 2}
			})...))
			return true
		}).asHard(),
		lay("cars ordered by month under a known heading", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered", "more in July"}, func(of *car) []any {
				of.ordered += 2
				return []any{of.name, of.ordered - 2, 2}
			})...))
			return true
		}).asHard(),
		lay("a car of which the number is blank", func(b *shopBook) bool {
			b.order()
			all := rows(b, []any{"Car", "Cars ordered"}, numbers)
			all[1][1], b.unclear = nil, true
			sheet(b, sheetOf("Order", all...))
			return true
		}).asHard(),
		lay("a car on hold", func(b *shopBook) bool {
			b.order()
			all := rows(b, []any{"Car", "Cars ordered"}, numbers)
			all[1][1], b.unclear = pick[any](b.r, "hold", "?", "-", "tbc", -1, 2.5), true
			sheet(b, sheetOf("Order", all...))
			return true
		}).asHard(),
		lay("cars ordered beside the list", func(b *shopBook) bool {
			if len(b.lists) > 1 {
				return false
			}
			b.order()
			b.cars[0].ordered += 2
			l := b.lists[0]
			all := rows(b, []any{"Car", "Cars ordered"}, numbers)
			l.after = append(l.after, func(s *tab, l *list) {
				for i, row := range all {
					for k, v := range row {
						s.put(l.headRow+i, l.right+len(l.cols)+2+k, v)
					}
				}
			})
			return true
		}).asHard(),
		lay("cars without headings", func(b *shopBook) bool {
			b.order()
			b.cars[0].ordered += 2
			sheet(b, sheetOf("Order", rows(b, []any{"What was ordered"}, numbers)...))
			return true
		}).asHard(),
		lay("cars along a row", func(b *shopBook) bool {
			b.order()
			b.cars[0].ordered += 2
			names, n := []any{"Car"}, []any{"Cars ordered"}
			for _, of := range b.cars {
				names, n = append(names, of.name), append(n, of.ordered)
			}
			sheet(b, sheetOf("Order", names, n))
			return true
		}).asHard(),
		lay("cars and numbers in one cell", func(b *shopBook) bool {
			b.order()
			b.cars[0].ordered += 2
			form := pick(b.r, "%s x %d", "%s (%d off)", "%s: %d")
			all := [][]any{{"Ordered"}}
			for _, of := range b.cars {
				all = append(all, []any{sprintf(form, of.name, of.ordered)})
			}
			sheet(b, sheetOf("Order", all...))
			return true
		}).asHard(),
		lay("cars ordered above the list", func(b *shopBook) bool {
			if len(b.lists) > 1 {
				return false
			}
			b.order()
			l := b.lists[0]
			l.above = append(append(rows(b, []any{"Car", "Cars ordered"}, numbers), []any{}), l.above...)
			return true
		}),
		lay("cars ordered below the list", func(b *shopBook) bool {
			if len(b.lists) > 1 {
				return false
			}
			b.order()
			b.cars[0].ordered += 2
			l := b.lists[0]
			l.lines = append(l.lines, &line{over: map[*column]any{}})
			for _, row := range rows(b, []any{"Car", "Cars ordered"}, numbers) {
				l.lines = append(l.lines, &line{words: row, over: map[*column]any{}})
			}
			return true
		}).asHard(),
		lay("number of cars in a line above the list", func(b *shopBook) bool {
			if slices.ContainsFunc(b.lists, func(l *list) bool { return l.car == nil }) {
				return false
			}
			b.order()
			for _, of := range b.cars {
				of.ordered++
			}
			for _, l := range b.lists {
				l.above = append(l.above, []any{pick(b.r, "Cars:", "No. of cars", "Sets to build", "Order"), l.car.ordered})
			}
			return true
		}).asHard(),
		lay("number of cars in the sheet's title", func(b *shopBook) bool {
			if slices.ContainsFunc(b.lists, func(l *list) bool { return l.car == nil }) {
				return false
			}
			b.order()
			for _, of := range b.cars {
				of.ordered++
			}
			for _, l := range b.lists {
				l.title = sprintf(pick(b.r, "%s x%d", "%s (%d off)", "%s %d cars"), l.title, l.car.ordered)
			}
			return true
		}).asHard(),
		lay("quantities of the whole order", func(b *shopBook) bool {
			head := pick(b.r, "Total qty", "Total", "Qty for order", "Overall")
			if !b.each("qty", func(_ *list, c *column) { c.head = head }) {
				return false
			}
			b.order()
			for _, of := range b.cars {
				of.ordered++
			}
			b.all(func(l *list, n *line) {
				if q, ok := n.j["qty"].(float64); ok {
					n.over[l.col("qty")] = q * float64(n.car.ordered)
				}
			})
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, numbers)...))
			return true
		}).need("qty").asHard(),
		lay("nobody says how many cars are ordered", func(b *shopBook) bool { return len(b.lists) > 1 }).asHard(),
		lay("two sheets of the cars", func(b *shopBook) bool {
			b.order()
			was := rows(b, []any{"Car", "Cars ordered"}, numbers)
			for _, of := range b.cars {
				of.ordered += 2
			}
			b.first = append(b.first, sheetOf("Enquiry", was...))
			b.tabs = append(b.tabs, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, numbers)...))
			return true
		}).asHard(),
	}
	return out
}
