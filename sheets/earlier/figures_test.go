package earlier_test

import (
	"compress/gzip"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
)

// toldFigures is what `price --dry-run --json` of an earlier version has said.
type toldFigures struct {
	Complete bool
	Rows     struct {
		Read, Priced int
		LeftOut      int `json:"left_out"`
	}
	Units       map[string]string
	Order       map[string]any
	Cars, Lines []map[string]any
	Findings    []struct{ Cell, Level string }
}

// readTold reads figures.json.gz, or what was told of one workbook.
func readTold[T any](t testing.TB, name string) (out T) {
	t.Helper()
	f, err := os.Open(shop.Demo(filepath.Join("earlier", name)))
	require.NoError(t, err)
	defer f.Close()
	if strings.HasSuffix(name, ".gz") {
		z, err := gzip.NewReader(f)
		require.NoError(t, err)
		require.NoError(t, json.NewDecoder(z).Decode(&out))
		return out
	}
	require.NoError(t, json.NewDecoder(f).Decode(&out))
	return out
}

// near reports whether two figures are the same.
func near(a, b float64) bool {
	return a == b || math.Abs(a-b) <= math.Max(1e-12, 1e-9*math.Max(math.Abs(a), math.Abs(b)))
}

// otherThan lists the figures of a report that are not as they were told, and
// counts those that were compared. A figure may come that was not known then;
// none may go, or be blank where it was not, but for those that are revised.
func (was *toldFigures) otherThan(rep *sheets.Report, revised map[string]bool) (differ []string, compared int) {
	say := func(format string, args ...any) { differ = append(differ, fmt.Sprintf(format, args...)) }
	if was.Rows.Read != rep.Read || was.Rows.Priced != rep.Priced || was.Rows.LeftOut != rep.LeftOut || was.Complete != rep.Complete {
		say("rows read, priced, left out, complete: %d %d %d %t, were %d %d %d %t", rep.Read, rep.Priced, rep.LeftOut, rep.Complete,
			was.Rows.Read, was.Rows.Priced, was.Rows.LeftOut, was.Complete)
	}
	one := func(what string, told []map[string]any, i int, now model.Figures) {
		for _, key := range slices.Sorted(maps.Keys(told[i])) {
			x, isNumber := told[i][key].(float64)
			if !isNumber || key == "row" || key == "cars_ordered" || revised[key] {
				continue
			}
			compared++
			switch y, ok := now[key]; {
			case !ok:
				say("%s: %s is not there, was %v", what, key, x)
			case !near(x, y):
				say("%s: %s is %v, was %v", what, key, y, x)
			}
		}
		for key, y := range now { // blank then, and known then: on another row of the kind
			if _, ok := told[i][key]; !ok && !revised[key] && !math.IsNaN(y) && slices.ContainsFunc(told, func(o map[string]any) bool { return o[key] != nil }) {
				say("%s: %s is %v, was blank", what, key, y)
			}
		}
	}
	one("order", []map[string]any{was.Order}, 0, rep.Order)
	if len(was.Cars) != len(rep.Cars) || len(was.Lines) != len(rep.Lines) {
		say("%d cars and %d lines, were %d and %d", len(rep.Cars), len(rep.Lines), len(was.Cars), len(was.Lines))
		return differ, compared
	}
	for i, c := range rep.Cars {
		if told := was.Cars[i]; told["car"] != c.Car || told["cars_ordered"] != c.Ordered {
			say("car %d is %q, ordered %v; was %q, %v", i+1, c.Car, c.Ordered, told["car"], told["cars_ordered"])
		}
		one("car "+c.Car, was.Cars, i, c.Figures)
	}
	for i, l := range rep.Lines {
		what := fmt.Sprintf("%s!%d %s", l.Sheet, l.Row, l.Mark)
		if told := was.Lines[i]; told["sheet"] != l.Sheet || told["row"] != float64(l.Row) || told["mark"] != l.Mark || told["car"] != l.Car {
			say("line %d is %s of %s; was %v!%v %v of %v", i+1, what, l.Car, told["sheet"], told["row"], told["mark"], told["car"])
		}
		one(what, was.Lines, i, l.Figures)
	}
	return differ, compared
}

// otherThanStored lists figures of a report that are not as the cells of the
// earlier workbook have them, and counts those that were compared.
func (b earlierBook) otherThanStored(was *seenBook, rep *sheets.Report, revised map[string]bool) (differ []string, compared int) {
	one := func(what string, v sheetstest.Value, x float64) {
		compared++
		if v.Kind != sheetstest.Number || !near(v.Num, x) {
			differ = append(differ, fmt.Sprintf("%s: the cell has %v, the report %v", what, v, x))
		}
	}
	for _, l := range rep.Lines {
		for col, key := range was.columns[l.Sheet] {
			if x, ok := l.Figures[key]; ok && !revised[key] {
				one(fmt.Sprintf("%s!%s%d, %s", l.Sheet, col, l.Row, key), was.grid[l.Sheet][fmt.Sprint(col, l.Row)], x)
			}
		}
	}
	s := was.grid["Summary"]
	for title, keys := range carColumns() {
		for _, c := range rep.Cars {
			if len(was.blocks[title][c.Car]) != 1 {
				differ = append(differ, fmt.Sprintf("%s: %d rows of %s", title, len(was.blocks[title][c.Car]), c.Car))
				continue
			}
			row := was.blocks[title][c.Car][0].row
			for k, key := range strings.Fields(keys) {
				ref := fmt.Sprintf("%c%d", 'C'+k, row)
				x, ok := c.Figures[key]
				if revised[key] || !ok && s[ref].Kind != sheetstest.Number {
					continue // blank
				}
				one(fmt.Sprintf("Summary!%s, %s of %s", ref, key, c.Car), s[ref], x)
			}
		}
	}
	for first, keys := range orderRows() {
		for k, key := range strings.Fields(keys) {
			ref := fmt.Sprint("C", first+k)
			if b.typed[ref] != "" || revised[key] {
				continue
			}
			one("Summary!"+ref+", "+key, s[ref], rep.Order[key])
		}
	}
	return differ, compared
}

// carColumns are the figures of the cars as the Summary of 7ffb790 has them, by
// block, from column C on.
func carColumns() map[string]string {
	return map[string]string{
		"The order, car by car":  "car_qty car_welds car_stops car_arc car_hours car_argon car_filler car_tube cost_car price_car price_all",
		"Price, one car":         "rework_car offcuts direct contingency_car margin_made other_cost earned bid bid_margin bid_earned",
		"Hours, one car":         "parts_learn parts_plain parts_once once_hours learning work_hours",
		"Money, one car":         "argon_money filler_money tube_money sundries_money parts_money materials labour_car overhead_car once_share once_money",
		"Argon by line, one car": "torch_car trail_car purge_car",
		"Floor time, one car":    "rows car_tail car_regrip car_tacks car_bench car_cutting car_purging car_floor car_lines",
	}
}

// OrderRows are the figures of the order there, by the row of the first.
func orderRows() map[int]string {
	return map[int]string{
		22:  "order_cars order_welds order_stops order_arc order_hours order_argon order_filler order_tube order_cost order_priced order_price order_margin order_bid days",
		38:  "hours_arc hours_tail hours_regrip hours_tacks hours_bench hours_cutting hours_purging hours_else hours_floor",
		57:  "money_labour money_argon money_filler money_tube money_sundries money_parts money_once money_rework money_contingency money_margin",
		118: "shared_hours shared_money tube_all offcut_all",
		124: "torch_all trail_all purge_all torch_bottles trail_bottles purge_bottles all_bottles bottles",
	}
}
