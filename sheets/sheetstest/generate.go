package sheetstest

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/xuri/excelize/v2"
)

// mmPerInch is exact.
const mmPerInch = 25.4

// GenerateOrder makes the workbook of an invented order with the given number
// of joint rows, in inches or in millimetres, and returns the file. The same
// seed gives the same cells. Every row can be priced; some deserve a remark.
//
// What varies with the seed: the row of the headings and the words in them, the
// order of the columns and which of those that can be spared are there, the
// unit of a column where the heading may name another, and what the cells hold:
// all kinds of joint and all shipped set-ups, numbers mostly, but also words of
// the trade, fractions, gauges and quantities with a unit of their own. An order
// of twenty rows or more has two lists: one with a column of cars, and one whose
// sheet's name is the car; a very long one has several of the former. A sheet
// "Order" says how many cars are ordered.
func GenerateOrder(rows int, seed int64, metric bool) (file []byte, err error) {
	return GenerateRepeating(rows, rows, seed, metric)
}

// GenerateRepeating is GenerateOrder with no more than the given number of
// distinct rows on a list, but for their marks: the first rows come again and
// again, as in the order of a shop that makes the same few exhausts.
func GenerateRepeating(rows, distinct int, seed int64, metric bool) (file []byte, err error) {
	g := &generator{
		rng:      rand.New(rand.NewPCG(uint64(seed), 0x7469)),
		metric:   metric,
		sizes:    tubes(metric),
		cars:     carNames(),
		distinct: max(distinct, 1),
	}
	f := excelize.NewFile()
	defer func() { err = errors.Join(err, f.Close()) }()
	if err := f.SetSheetName("Sheet1", "Order"); err != nil {
		return nil, err
	}
	alone := 0
	if rows >= 20 {
		alone = rows / 5
	}
	if err := g.order(f, alone > 0); err != nil {
		return nil, err
	}
	left, sheet := rows-alone, "Joint list"
	for n := 2; ; n++ {
		part := min(left, longestList)
		if err := g.list(f, sheet, part, g.cars); err != nil {
			return nil, err
		}
		if left -= part; left == 0 {
			break
		}
		sheet = fmt.Sprint("Joint list ", n)
	}
	if alone > 0 {
		if err := g.list(f, carAlone, alone, nil); err != nil {
			return nil, err
		}
	}
	f.SetActiveSheet(1)
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// longestList is how many rows go on one sheet: with many more, what a priced
// row takes would make the sheet longer than 4 GiB.
const longestList = 250_000

// carNames gives the cars of a generated order. "012" and the one with signs
// are what a careless SUMIFS gets wrong: it takes a text of digits for a
// number, and reads an operator in front of a text.
func carNames() []string {
	return []string{"Demo car one", "012", "<Demo & car> three", "Demo car four"}
}

// carAlone is the car that has a sheet of its own.
const carAlone = "Demo car five"

type generator struct {
	rng    *rand.Rand
	metric bool
	sizes  []size
	cars   []string
	marks  int

	distinct int // rows of a list that differ in more than their mark
}

func (g *generator) chance(p float64) bool { return g.rng.Float64() < p }

// oneOf picks one of the values.
func oneOf[T any](g *generator, values ...T) T { return values[g.rng.IntN(len(values))] }

// between gives a number from low to high, in steps from low.
func (g *generator) between(low, high, step float64) float64 {
	n := math.Floor((high - low) / step)
	return low + step*float64(g.rng.IntN(int(n)+1))
}

// book turns inches into the book's unit.
func (g *generator) book(inches float64) float64 {
	if g.metric {
		return inches * mmPerInch
	}
	return inches
}

// order writes the sheet that says how many are ordered.
func (g *generator) order(f *excelize.File, alone bool) error {
	rows := [][]any{{"Invented order, made by a test"}, {}, {"Car", "Cars ordered", "Bid per car"}}
	names := slices.Clone(g.cars)
	if alone {
		names = append(names, carAlone)
	}
	for _, name := range names {
		row := []any{name, g.rng.IntN(9) + 1}
		if g.chance(0.5) {
			row = append(row, 500*(g.rng.IntN(40)+1))
		}
		rows = append(rows, row)
	}
	for i, row := range rows {
		ref, err := excelize.CoordinatesToCellName(1, i+1)
		if err != nil {
			return err
		}
		if err := f.SetSheetRow("Order", ref, &row); err != nil {
			return err
		}
	}
	return nil
}

// list writes one sheet of joints. Without cars it has no such column.
func (g *generator) list(f *excelize.File, sheet string, rows int, cars []string) error {
	if _, err := f.NewSheet(sheet); err != nil {
		return err
	}
	sw, err := f.NewStreamWriter(sheet)
	if err != nil {
		return err
	}
	cols := g.columns(len(cars) > 0)
	if err := sw.SetRow("A1", []any{"Invented joint list, made by a test"}); err != nil {
		return err
	}
	top := 3 + g.rng.IntN(5)
	line := make([]any, len(cols))
	for i, c := range cols {
		line[i] = c.heading
	}
	var made [][]any
	for r := 0; r <= rows; r++ {
		switch {
		case r > g.distinct:
			line = g.again(made[(r-1)%g.distinct], cols)
		case r > 0:
			j := g.joint()
			if len(cars) > 0 {
				j["car"] = oneOf(g, cars...)
				if r <= len(cars) {
					j["car"] = cars[r-1] // none is on order without a joint
				}
			}
			for i, c := range cols {
				line[i] = g.cell(j[c.key], c)
			}
			if g.distinct < rows {
				made = append(made, slices.Clone(line))
			}
		}
		ref, err := excelize.CoordinatesToCellName(1, top+r)
		if err != nil {
			return err
		}
		if err := sw.SetRow(ref, line); err != nil {
			return fmt.Errorf("row %d: %w", top+r, err)
		}
	}
	return sw.Flush()
}

// again is a row with a mark of its own.
func (g *generator) again(line []any, cols []column) []any {
	line = slices.Clone(line)
	for i, c := range cols {
		if c.key == "mark" {
			line[i] = g.mark()
		}
	}
	return line
}
