package habits_test

import (
	"slices"
	"strings"
)

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

// carOnFirstRows has the list name a car on the first row of its block only.
func (b *shopBook) carOnFirstRows() (*list, *column) {
	b.laidOut()
	l := b.lists[0]
	c := l.col("car")
	for i, n := range l.lines {
		if i > 0 && l.lines[i-1].car == n.car {
			n.over[c] = nil
		}
	}
	return l, c
}

func carHabits() []habit {
	lay := func(name string, apply func(b *shopBook) bool) habit { return named(name, layingOut, apply).of("cars") }
	// beside lays two lists beside each other, each so many rows further down.
	beside := func(name string, down func(b *shopBook) (left, right int)) habit {
		return lay(name, func(b *shopBook) bool {
			b.cars, b.joints = b.cars[:2], b.joints[:2]
			b.perCar()
			left, right := down(b)
			l, more := b.lists[0], b.lists[1]
			l.title = "Joints"
			l.above = [][]any{{b.cars[0].name}}
			cols := len(l.cols)
			l.down, more.down = left, right
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
		}).atLeast(2).asHard()
	}
	words := func(words ...any) *line { return &line{words: words, over: map[*column]any{}} }
	return []habit{
		lay("a sheet for each car", func(b *shopBook) bool { b.perCar(); return true }),
		lay("car named on the first row of its block only", func(b *shopBook) bool {
			b.carOnFirstRows()
			return true
		}).atLeast(2),
		lay("car merged down over its block", func(b *shopBook) bool {
			l, c := b.carOnFirstRows()
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
		beside("two cars side by side on a sheet", func(*shopBook) (left, right int) { return 0, 0 }),
		beside("two cars side by side, one further down", func(b *shopBook) (left, right int) {
			down := pick(b.r, 1, 2, 4, 7, 45)
			if b.r.IntN(2) == 0 {
				return down, 0
			}
			return 0, down
		}),
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
