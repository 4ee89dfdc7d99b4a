package habits_test

import (
	"slices"
	"strings"
)

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
	// byMonth orders two more of each car in a column of their own.
	byMonth := func(head ...any) func(b *shopBook) bool {
		return func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, head, func(of *car) []any {
				of.ordered += 2
				return []any{of.name, of.ordered - 2, 2}
			})...))
			return true
		}
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
		lay("cars ordered by month", byMonth("Car", "June", "July")).asHard(),
		lay("cars ordered by month under a known heading", byMonth("Car", "Cars ordered", "more in July")).asHard(),
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
		lay("spare parts ordered below the cars", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, numbers, []any{}, []any{"Spare tips", 12})...))
			return true
		}).asHard(),
		lay("notes below the cars", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered"}, numbers, []any{}, []any{"Delivery in two parts"})...))
			return true
		}),
		lay("cars ordered, of which some are made", func(b *shopBook) bool {
			b.order()
			sheet(b, sheetOf("Order", rows(b, []any{"Car", "Cars ordered", "Made", "Left"}, func(of *car) []any {
				of.ordered += 3
				return []any{of.name, of.ordered, 2, of.ordered - 2}
			})...))
			return true
		}).asHard(),
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
