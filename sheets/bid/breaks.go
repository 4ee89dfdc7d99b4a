package bid

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/book"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/workings"
)

// breakCars is how many car specs Breaks goes through, those that bring most
// money, and breakChart how many of them its chart can show apart.
const (
	breakCars  = 20
	breakChart = 4
)

// breakCounts are the numbers of cars of one spec that Breaks prices, besides
// the ordered one.
func breakCounts() []int { return []int{1, 2, 5, 10, 20} }

// breaks is Breaks while it is laid out.
type breaks struct {
	*Laid
	cars   []int // rows of the cars, from 0, that it goes through
	counts int   // numbers of cars a spec, the ordered one last
	scope  *model.Scope
	tube   map[int]string // cells with each car's tube of a stock line, by its number
	falls  *bidBlock
	rows   map[[2]int]*bidRow // of the table, by car and number
	wanted []*model.Quantity
	moved  map[*model.Quantity]bool // by the number ordered
}

// fillBreaks lays out Breaks: what one car costs if another number of its spec
// is ordered, the other specs as they are. It is live throughout: for every
// number the cars and the order are worked out once more, below.
func fillBreaks(f *Laid) error {
	b := &breaks{Laid: f, scope: f.s.ScopeOf("cars"), counts: len(breakCounts()) + 1, tube: map[int]string{}, rows: map[[2]int]*bidRow{}}
	p := f.P
	p.Whole = 16
	p.Shell.Widths = []float64{5, 44, 13, 13, 13, 13, 13, 13, 13, 13}
	p.Shell.FreezeRow = bidVerdict
	f.about("What one car costs and is sold at if more or fewer of its spec are ordered, the other specs as they are: learning, work done once, and sticks that are used up make it fall.")
	b.choose()
	b.wanted = f.asked(b.scope, "breaks_cars")
	b.moved = f.Model.Moved(f.Model.Table("cars").Quantity("ordered"))
	return b.write()
}

// choose takes the cars that bring most, in their order.
func (b *breaks) choose() {
	frames := b.Values.Rows(b.scope).Frames
	all := b.scope.Quantity("price_all")
	for i, f := range frames {
		more := 0
		for k, g := range frames {
			if all.Num(g) > all.Num(f) || all.Num(g) == all.Num(f) && k < i {
				more++
			}
		}
		if more < breakCars {
			b.cars = append(b.cars, i)
		}
	}
	if len(frames) > len(b.cars) {
		b.Note(book.LevelNote, "breaks cut", b.P.Title, fmt.Sprintf("of %d car specs it goes through the %d that bring most", len(frames), breakCars), "")
	}
}

// Rows of the parts of Breaks that stand still, for the chart's sake.
const (
	breakHead  = bidTop + 1
	breakFirst = breakHead + 1
)

func (b *breaks) write() error {
	b.row = breakFirst + b.counts + 1 + workings.ChartRows + 1
	for _, c := range b.cars {
		if err := b.carRows(c); err != nil {
			return err
		}
	}
	b.falls = b.table("breaks_cars")
	for at, r := range b.rows {
		r.refs[r.Of().Quantity("price_if_one")] = b.at(at[0], 0, "price_of_one")
	}
	b.row++
	b.checks("Here", book.WorkingsTitle)
	b.row++
	b.matrix()
	for _, r := range b.lines[b.falls.scope] {
		if err := r.scene.place(); err != nil {
			return err
		}
	}
	b.notes = append(b.notes, b.prices)
	return nil
}

// number is how many cars the k-th number is: a formula for the table, and the
// number.
func (b *breaks) number(car, k int) amountAt {
	q := b.scope.Quantity("car_qty")
	if k < len(breakCounts()) {
		return amountAt{"", float64(breakCounts()[k])}
	}
	return amountAt{b.s.CellAt(q, car), q.Num(b.Values.Rows(b.scope).Frames[car])}
}

// at is the cell of a figure of the table.
func (b *breaks) at(car, k int, key string) string {
	i := slices.Index(b.cars, car)*b.counts + k
	return page.Absolute(b.falls.rows.First+i, b.falls.spots[b.falls.scope.Quantity(key)].col)
}

// carRows are the rows of the table for one car, with every number, and the check
// that as many as are ordered have the price that they have on Workings.
func (b *breaks) carRows(car int) error {
	price := b.scope.Quantity("price_car")
	one := 0.0
	for k := range b.counts {
		s, n, err := b.of(car, k)
		if err != nil {
			return err
		}
		r := b.followRow("breaks_cars", car, s)
		if k == 0 {
			one = s.at(price, car).value
		}
		r.set("cars_of_it", n.value, n.formula)
		r.set("price_if_one", one, "")
		b.rows[[2]int{car, k}] = r
		if k == b.counts-1 {
			listed := price.Num(b.Values.Rows(b.scope).Frames[car])
			b.followRow("breaks_checks", car, s).set("price_listed", listed, b.s.CellAt(price, car))
		}
	}
	return nil
}

// prices is the table that the chart shows.
func (b *breaks) prices() {
	p := b.P
	b.row = bidTop
	b.section("Price of one car, by how many of its spec are ordered (" + b.Currency() + ")")
	names := []string{"Cars of the spec"}
	for _, c := range b.cars[:min(len(b.cars), breakChart)] {
		names = append(names, b.s.NameAt(b.scope, c).Text)
	}
	b.headings(bidName, names...)
	frames := b.Values.Rows(b.scope).Frames
	price := b.scope.Quantity("price_car")
	var series []look.Series
	for i, c := range b.cars[:min(len(b.cars), breakChart)] {
		col := bidData + i
		name := b.s.NameAt(b.scope, c)
		name.Col, name.Style = col, look.Style{Role: look.Heading}
		p.Row(breakHead).Replace(name)
		for k := range b.counts {
			r := b.rows[[2]int{c, k}]
			x := r.Of().Quantity("price_of_one").Num(r.Frame)
			p.Put(breakFirst+k, page.Number(col, look.Calc, price.Shown, x, page.Ours).Live(b.at(c, k, "price_of_one")))
		}
		series = append(series, look.Series{
			Name:   b.cell(breakHead, col),
			Values: page.RangeRef(p.Title, grid.Range{Row1: breakFirst, Col1: col, Row2: breakFirst + b.counts - 1, Col2: col}),
		})
	}
	for k := range b.counts {
		words := "as ordered"
		if k < len(breakCounts()) {
			words = strconv.Itoa(breakCounts()[k])
		}
		p.Put(breakFirst+k, page.Text(bidName, look.Label, words, page.Ours))
	}
	if len(frames) == 0 {
		return
	}
	p.Shell.Charts = append(p.Shell.Charts, look.Chart{
		Kind: look.Column, At: grid.Ref(breakFirst+b.counts+1, bidName), Title: "Price of one car, by how many of its spec are ordered",
		Names:  page.RangeRef(p.Title, grid.Range{Row1: breakFirst, Col1: bidName, Row2: breakFirst + b.counts - 1, Col2: bidName}),
		Series: series, Unit: b.Currency(), Along: "Cars of the spec that are ordered", Format: "#,##0", Width: 900, Height: 330,
	})
}

// of works the order out with the k-th number of a car.
func (b *breaks) of(car, k int) (s *placedScene, n amountAt, err error) {
	n = b.number(car, k)
	cars := b.Model.Table("cars")
	v := b.Values.Clone()
	row := int(b.Values.Rows(b.scope).Frames[car].Num[b.scope.Quantity(b.scope.By).Slot])
	v.Rows(cars).Frames[row-1].Num[cars.Quantity("ordered").Slot] = n.value
	if _, err := b.Again(v, nil); err != nil {
		return nil, n, err
	}
	needed, qty := b.s.ScopeOf("tube").Quantity("tube_needed"), b.scope.Quantity("car_qty")
	name := b.s.RowName(b.s.Home(b.scope), car, float64(row)).Text
	return b.scene(scene{
		title:  fmt.Sprintf("Working: %s of %s", countWords(k, n.value), name),
		values: v, wanted: b.wanted, moved: b.moved,
		instead: func(p *placedScene, q *model.Quantity, i int) (string, error) {
			switch {
			case q == qty && i == car:
				return b.at(car, k, "cars_of_it"), nil
			case q == needed:
				no := int(needed.Scope.Quantity(needed.Scope.By).Num(v.Rows(needed.Scope).Frames[i]))
				ordered, err := p.column(qty)
				return fmt.Sprintf("SUMPRODUCT(%s,%s)", b.tube[no], ordered), err
			}
			return "", nil
		},
		sums: b.s.TallyColumn,
	}), n, nil
}

// matrix is the tube that one car of each spec takes of each stock line: first
// list by list, then in all.
func (b *breaks) matrix() {
	p, m := b.P, b.Model
	tube := b.s.ScopeOf("tube")
	stock, cars := b.Values.Rows(tube).Frames, b.Values.Rows(b.scope).Frames
	used, stockNo, carNo := m.Line.Quantity("tube_used"), m.Line.Quantity("stock_no"), m.Line.Quantity("car_no")
	amount := map[[3]int]float64{}
	for i := range b.Joints {
		r := &b.Joints[i]
		at := [3]int{r.List, int(stockNo.Num(&r.Line.Frame)), int(carNo.Num(&r.Line.Frame))}
		amount[at] += used.Num(&r.Line.Frame)
	}
	b.section("Working: tube that one car of each spec takes of each size (" + model.UnitName(used) + ")")
	head := b.row
	b.headings(bidNo, "No.", "Car; above, the numbers of the sizes")
	for k, f := range stock {
		no := tube.Quantity(tube.By)
		p.Put(head, page.Number(bidData+k, look.Heading, "0", no.Num(f), page.Ours).Live(b.s.CellAt(no, k)))
	}
	p.Whole = max(p.Whole, bidData+len(stock)-1)
	first := b.row
	line := func(title string, car int, cell func(k, row int) amountAt) {
		no := b.scope.Quantity(b.scope.By)
		p.Put(b.row, page.Number(bidNo, look.Calc, "0", no.Num(cars[car]), page.Ours).Live(b.s.CellAt(no, car)))
		p.Put(b.row, page.Text(bidName, look.CalcText, title, page.Ours))
		for k := range stock {
			x := cell(k, b.row)
			p.Put(b.row, page.Number(bidData+k, look.Calc, used.Shown, x.value, page.Ours).Live(x.formula))
		}
		b.row++
	}
	numberOf := func(f *formula.Frame, sc *model.Scope) int { return int(sc.Quantity(sc.By).Num(f)) }
	for _, l := range b.All {
		for c := range cars {
			line(l.Title, c, func(k, row int) amountAt {
				return amountAt{
					fmt.Sprintf("SUMIFS(%s,%s,%s,%s,$A%d)", l.Column(used), l.Column(stockNo), grid.ColName(bidData+k)+"$"+strconv.Itoa(head), l.Column(carNo), row),
					amount[[3]int{l.No, numberOf(stock[k], tube), numberOf(cars[c], b.scope)}],
				}
			})
		}
	}
	last, from := b.row-1, b.row
	for c := range cars {
		line("all lists", c, func(k, row int) amountAt {
			x := 0.0
			for _, l := range b.All {
				x += amount[[3]int{l.No, numberOf(stock[k], tube), numberOf(cars[c], b.scope)}]
			}
			column := func(col int) string {
				return fmt.Sprintf("%s$%d:%s$%d", grid.ColName(col), first, grid.ColName(col), last)
			}
			return amountAt{fmt.Sprintf("SUMIFS(%s,$%s,$A%d)", column(bidData+k), strings.Replace(column(bidNo), ":", ":$", 1), row), x}
		})
	}
	for k, f := range stock {
		b.tube[numberOf(f, tube)] = page.Rows{First: from, Count: len(cars)}.Column(bidData + k)
	}
	b.row++
}

func countWords(k int, n float64) string {
	if k < len(breakCounts()) {
		return formula.GeneralText(n)
	}
	return "as many as ordered"
}
