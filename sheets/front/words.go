package front

import (
	"fmt"
	"slices"
	"strings"

	"seamtally/compute/model"
	"seamtally/sheets/entry"
	"seamtally/templates"
)

const file = "front.txt"

// words say which figures stand where.
type words struct {
	about  string
	tiles  []*model.Quantity
	gas    []*model.Quantity
	tables map[string][]*model.Quantity // columns, by scope
	under  map[*model.Quantity]*model.Quantity
	charts []string
}

// read reads the template. Its errors name the line.
func read(m *model.Model) (*words, error) {
	w := &words{tables: map[string][]*model.Quantity{}, under: map[*model.Quantity]*model.Quantity{}}
	return w, entry.EachLine(templates.FS, file, func(what, rest string) error { return w.add(m, what, rest) })
}

func (w *words) add(m *model.Model, what, rest string) error {
	scope := m.OrderOf
	if slices.Contains([]string{"cars", "tube", "rods"}, what) {
		scope = m.ClosingScope(what)
	}
	switch what {
	case "about":
		w.about = rest
		return nil
	case "chart":
		w.charts = append(w.charts, rest)
		return nil
	case "under":
		key, column, _ := strings.Cut(rest, " ")
		q, col := scope.Quantity(key), m.ClosingScope("cars").Quantity(strings.TrimSpace(column))
		if q == nil || col == nil {
			return fmt.Errorf("there is no figure %s of the order, or none %s of a car", key, column)
		}
		w.under[col] = q
		return nil
	}
	q := scope.Quantity(rest)
	if q == nil {
		return fmt.Errorf("there is no figure %s of %s", rest, scope.Name)
	}
	switch what {
	case "tile":
		w.tiles = append(w.tiles, q)
	case "gas":
		w.gas = append(w.gas, q)
	case "cars", "tube", "rods":
		w.tables[what] = append(w.tables[what], q)
	default:
		return fmt.Errorf("%q is no place on the sheet; the top of the file has them", what)
	}
	return nil
}

// Figures are those with which the page answers: of the order, and of one car.
func Figures(m *model.Model) (order, car []*model.Quantity, err error) {
	w, err := read(m)
	return w.tiles, w.tables["cars"], err
}
