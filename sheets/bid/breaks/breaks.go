package breaks

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/bid/layout"
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
	*layout.Laid
	cars   []int // rows of the cars, from 0, that it goes through
	counts int   // numbers of cars a spec, the ordered one last
	scope  *model.Scope
	tube   map[int]string // cells with each car's tube of a stock line, by its number
	falls  *layout.Block
	rows   map[[2]int]*layout.Row // of the table, by car and number
	wanted []*model.Quantity
	moved  map[*model.Quantity]bool // by the number ordered
	scenes *compute.Scenes
}

// widestName is how wide a column is at most for a car's name.
const widestName = 20

// Fill lays out Breaks: what one car costs if another number of its spec
// is ordered, the other specs as they are. It is live throughout: for every
// number the cars and the order are worked out once more, below.
func Fill(f *layout.Laid) error {
	b := &breaks{Laid: f, scope: f.Workings.ScopeOf("cars"), counts: len(breakCounts()) + 1, tube: map[int]string{}, rows: map[[2]int]*layout.Row{}}
	p := f.P
	p.Whole = 16
	p.Shell.Widths = []float64{5, 44, 13, 13, 13, 13, 13, 13, 13, 13}
	p.Shell.FreezeRow = layout.RowVerdict
	f.About("What one car costs and is sold at if more or fewer of its spec are ordered, the other specs as they are: learning, work done once, and sticks that are used up make it fall.")
	b.choose()
	b.wanted = f.Asked(b.scope, "breaks_cars")
	ordered := f.Model.Table("cars").Quantity("ordered")
	b.moved = f.Model.Moved(ordered)
	var err error
	if b.scenes, err = f.Order.Scenes(ordered); err != nil {
		return err
	}
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
	breakHead  = layout.RowTop + 1
	breakFirst = breakHead + 1
)

func (b *breaks) write() error {
	b.Row = breakFirst + b.counts + 1 + workings.ChartRows + 1
	for _, c := range b.cars {
		if err := b.carRows(c); err != nil {
			return err
		}
	}
	b.falls = b.Table("breaks_cars")
	for at, r := range b.rows {
		r.Set("price_if_one", r.Of().Quantity("price_if_one").Num(r.Frame), b.at(at[0], 0, "price_of_one"))
	}
	b.Row++
	b.Checks("Here", book.WorkingsTitle)
	b.Row++
	b.matrix()
	for _, r := range b.RowsOf("breaks_cars") {
		if err := r.Scene.Place(); err != nil {
			return err
		}
	}
	b.Notes = append(b.Notes, b.prices)
	return nil
}

// number is how many cars the k-th number is: a formula for the table, and the
// number.
func (b *breaks) number(car, k int) layout.Amount {
	q := b.scope.Quantity("car_qty")
	if k < len(breakCounts()) {
		return layout.Amount{Value: float64(breakCounts()[k])}
	}
	return layout.Amount{Formula: b.Workings.CellAt(q, car), Value: q.Num(b.Values.Rows(b.scope).Frames[car])}
}

// at is the cell of a figure of the table.
func (b *breaks) at(car, k int, key string) string {
	i := slices.Index(b.cars, car)*b.counts + k
	return page.Absolute(b.falls.Rows.First+i, b.falls.Col(key))
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
		r := b.FollowRow("breaks_cars", car, s)
		if k == 0 {
			one = s.At(price, car).Value
		}
		r.Set("cars_of_it", n.Value, n.Formula)
		r.Set("price_if_one", one, "")
		b.rows[[2]int{car, k}] = r
		if k == b.counts-1 {
			listed := price.Num(b.Values.Rows(b.scope).Frames[car])
			b.FollowRow("breaks_checks", car, s).Set("price_listed", listed, b.Workings.CellAt(price, car))
		}
	}
	return nil
}

// prices is the table that the chart shows.
func (b *breaks) prices() {
	p := b.P
	b.Row = layout.RowTop
	b.Section("Price of one car, by how many of its spec are ordered (" + b.Currency() + ")")
	names := []string{"Cars of the spec"}
	for i, c := range b.cars[:min(len(b.cars), breakChart)] {
		name := b.Workings.NameAt(b.scope, c).Text
		names = append(names, name)
		wide := &p.Shell.Widths[layout.ColData-1+i]
		*wide = max(*wide, min(look.Digits(name)+2, widestName)) // a name in two lines is cut at its hyphen
	}
	b.Heads(layout.ColName, names...)
	frames := b.Values.Rows(b.scope).Frames
	price := b.scope.Quantity("price_car")
	var series []look.Series
	for i, c := range b.cars[:min(len(b.cars), breakChart)] {
		col := layout.ColData + i
		name := b.Workings.NameAt(b.scope, c)
		name.Col, name.Style = col, look.Style{Role: look.Heading}
		p.Row(breakHead).Replace(name)
		for k := range b.counts {
			r := b.rows[[2]int{c, k}]
			x := r.Of().Quantity("price_of_one").Num(r.Frame)
			p.Put(breakFirst+k, page.Number(col, look.Calc, price.Shown, x, page.Ours).Live(b.at(c, k, "price_of_one")))
		}
		series = append(series, look.Series{
			Name:   b.Cell(breakHead, col),
			Values: page.RangeRef(p.Title, grid.Range{Row1: breakFirst, Col1: col, Row2: breakFirst + b.counts - 1, Col2: col}),
		})
	}
	for k := range b.counts {
		words := "as ordered"
		if k < len(breakCounts()) {
			words = strconv.Itoa(breakCounts()[k])
		}
		p.Put(breakFirst+k, page.Text(layout.ColName, look.Label, words, page.Ours))
	}
	if len(frames) == 0 {
		return
	}
	p.Shell.Charts = append(p.Shell.Charts, look.Chart{
		Kind: look.Column, At: grid.Ref(breakFirst+b.counts+1, layout.ColName), Title: "Price of one car, by how many of its spec are ordered",
		Names:  page.RangeRef(p.Title, grid.Range{Row1: breakFirst, Col1: layout.ColName, Row2: breakFirst + b.counts - 1, Col2: layout.ColName}),
		Series: series, Unit: b.Currency(), Along: "Cars of the spec that are ordered", Format: "#,##0", Width: 900, Height: 330,
	})
}

// of works the order out with the k-th number of a car.
func (b *breaks) of(car, k int) (s *layout.Placed, n layout.Amount, err error) {
	n = b.number(car, k)
	cars := b.Model.Table("cars")
	row := int(b.Values.Rows(b.scope).Frames[car].Num[b.scope.Quantity(b.scope.By).Slot])
	v, err := b.scenes.With(func(v *compute.Values) {
		v.Rows(cars).Frames[row-1].Num[cars.Quantity("ordered").Slot] = n.Value
	})
	if err != nil {
		return nil, n, err
	}
	needed, qty := b.Workings.ScopeOf("tube").Quantity("tube_needed"), b.scope.Quantity("car_qty")
	name := b.Workings.RowName(b.Workings.Home(b.scope), car, float64(row)).Text
	return b.Scene(layout.Scene{
		Title:  fmt.Sprintf("Working: %s of %s", countWords(k, n.Value), name),
		Values: v, Wanted: b.wanted, Moved: b.moved,
		Instead: func(p *layout.Placed, q *model.Quantity, i int) (string, error) {
			switch {
			case q == qty && i == car:
				return b.at(car, k, "cars_of_it"), nil
			case q == needed:
				no := int(needed.Scope.Quantity(needed.Scope.By).Num(v.Rows(needed.Scope).Frames[i]))
				ordered, err := p.Column(qty)
				return fmt.Sprintf("SUMPRODUCT(%s,%s)", b.tube[no], ordered), err
			}
			return "", nil
		},
		Sums: b.Workings.TallyColumn,
	}), n, nil
}

// matrix is the tube that one car of each spec takes of each stock line: first
// list by list, then in all.
func (b *breaks) matrix() {
	p, m := b.P, b.Model
	tube := b.Workings.ScopeOf("tube")
	stock, cars := b.Values.Rows(tube).Frames, b.Values.Rows(b.scope).Frames
	used, stockNo, carNo := m.Line.Quantity("tube_used"), m.Line.Quantity("stock_no"), m.Line.Quantity("car_no")
	amount := map[[3]int]float64{}
	for i := range b.Joints {
		r := &b.Joints[i]
		at := [3]int{r.List, int(stockNo.Num(&r.Line.Frame)), int(carNo.Num(&r.Line.Frame))}
		amount[at] += used.Num(&r.Line.Frame)
	}
	b.Section("Working: tube that one car of each spec takes of each size (" + model.UnitName(used) + ")")
	head := b.Row
	b.Heads(layout.ColNo, "No.", "Car; above, the numbers of the sizes")
	for k, f := range stock {
		no := tube.Quantity(tube.By)
		p.Put(head, page.Number(layout.ColData+k, look.Heading, "0", no.Num(f), page.Ours).Live(b.Workings.CellAt(no, k)))
	}
	p.Whole = max(p.Whole, layout.ColData+len(stock)-1)
	first := b.Row
	line := func(title string, car int, cell func(k, row int) layout.Amount) {
		no := b.scope.Quantity(b.scope.By)
		p.Put(b.Row, page.Number(layout.ColNo, look.Calc, "0", no.Num(cars[car]), page.Ours).Live(b.Workings.CellAt(no, car)))
		p.Put(b.Row, page.Text(layout.ColName, look.CalcText, title, page.Ours))
		for k := range stock {
			x := cell(k, b.Row)
			p.Put(b.Row, page.Number(layout.ColData+k, look.Calc, used.Shown, x.Value, page.Ours).Live(x.Formula))
		}
		b.Row++
	}
	numberOf := func(f *formula.Frame, sc *model.Scope) int { return int(sc.Quantity(sc.By).Num(f)) }
	for _, l := range b.All {
		for c := range cars {
			line(l.Title, c, func(k, row int) layout.Amount {
				return layout.Amount{
					Formula: fmt.Sprintf("SUMIFS(%s,%s,%s,%s,$A%d)", l.Column(used), l.Column(stockNo), grid.ColName(layout.ColData+k)+"$"+strconv.Itoa(head), l.Column(carNo), row),
					Value:   amount[[3]int{l.No, numberOf(stock[k], tube), numberOf(cars[c], b.scope)}],
				}
			})
		}
	}
	last, from := b.Row-1, b.Row
	for c := range cars {
		line("all lists", c, func(k, row int) layout.Amount {
			x := 0.0
			for _, l := range b.All {
				x += amount[[3]int{l.No, numberOf(stock[k], tube), numberOf(cars[c], b.scope)}]
			}
			column := func(col int) string {
				return fmt.Sprintf("%s$%d:%s$%d", grid.ColName(col), first, grid.ColName(col), last)
			}
			return layout.Amount{Formula: fmt.Sprintf("SUMIFS(%s,$%s,$A%d)", column(layout.ColData+k), strings.Replace(column(layout.ColNo), ":", ":$", 1), row), Value: x}
		})
	}
	for k, f := range stock {
		b.tube[numberOf(f, tube)] = page.Rows{First: from, Count: len(cars)}.Column(layout.ColData + k)
	}
	b.Row++
}

func countWords(k int, n float64) string {
	if k < len(breakCounts()) {
		return formula.GeneralText(n)
	}
	return "as many as ordered"
}
