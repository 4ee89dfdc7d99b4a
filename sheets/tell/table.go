package tell

import (
	"cmp"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"seamtally/compute/model"
	"seamtally/sheets"
)

// column is one column of the table: its heading, its figure of a car and of
// the order, and the decimals shown (-1: by the unit).
type column struct {
	heading, car, order string
	decimals            int
}

// columns of the table, from what is made to what it brings in.
func columns() []column {
	return []column{
		{"Cars", "", "order_cars", 0},
		{"Welds", "car_welds", "order_welds", 0},
		{"Stops", "car_stops", "order_stops", 0},
		{"Arc", "car_arc", "order_arc", 2},
		{"Hours", "car_hours", "order_hours", 2},
		{"Argon", "car_argon", "order_argon", -1},
		{"Filler", "car_filler", "order_filler", -1},
		{"Cost", "cost_car", "order_cost", 2},
		{"Price", "price_car", "order_price", 2},
	}
}

// Table writes the figures of one car of each kind, a line each, and those of
// the whole order: cars, welds, stops, hours of arc and of work, argon, filler,
// cost and price. Whether the price may be quoted stands over it. Units stand in the heading; a figure that there is none of is
// "-". The error is one of writing.
func Table(w io.Writer, r *sheets.Report) error {
	head := verdict(r.Verdict)
	if len(r.Cars) == 0 {
		return say(w, head...)
	}
	p := message.NewPrinter(language.English)
	cols := columns()
	names := []string{"One car"}
	for _, c := range cols {
		h := c.heading
		if u := unit(r, c); u != "" {
			h += ", " + u
		}
		names = append(names, h)
	}
	rows := [][]string{names}
	for _, car := range r.Cars {
		row := []string{plain(car.Car), number(p, car.Ordered, 0)}
		for _, c := range cols[1:] {
			row = append(row, figure(p, r, c, car.Figures, c.car))
		}
		rows = append(rows, row)
	}
	last := []string{"Whole order"}
	for _, c := range cols {
		last = append(last, figure(p, r, c, r.Order, c.order))
	}
	return say(w, append(append(head, ""), aligned(append(rows, last))...)...)
}

// unit is the unit in a column's heading; counts have none there.
func unit(r *sheets.Report, c column) string {
	if c.decimals == 0 {
		return ""
	}
	u := cmp.Or(r.Units[c.car], r.Units[c.order])
	if r.Currency != "" {
		u = strings.ReplaceAll(u, "$", r.Currency)
	}
	return plain(u)
}

// figure is one figure as the table shows it.
func figure(p *message.Printer, r *sheets.Report, c column, all model.Figures, key string) string {
	x, ok := all[key]
	if !ok {
		return "-"
	}
	places := c.decimals
	if places < 0 {
		places = 1
		if unit(r, c) == "lb" {
			places = 3 // a pound of titanium rod is some twelve of them
		}
	}
	return number(p, x, places)
}

// number is x with so many decimals and a comma between thousands.
func number(p *message.Printer, x float64, places int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "-"
	}
	return p.Sprintf("%.*f", places, x)
}

// aligned joins cells to lines: the first column to the left, the others to the
// right, two spaces between them.
func aligned(rows [][]string) []string {
	width := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			width[i] = max(width[i], utf8.RuneCountInString(cell))
		}
	}
	lines := make([]string, 0, len(rows))
	for _, row := range rows {
		var b strings.Builder
		for i, cell := range row {
			space := strings.Repeat(" ", width[i]-utf8.RuneCountInString(cell))
			if i == 0 {
				b.WriteString(cell + space)
				continue
			}
			b.WriteString("  " + space + cell)
		}
		lines = append(lines, b.String())
	}
	return lines
}
