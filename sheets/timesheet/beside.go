package timesheet

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"seamtally/compute/floor"
	"seamtally/compute/model"
	"seamtally/sheets"
	"seamtally/sheets/joints"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/part/worksheet"
)

// watcher keeps what a shop has logged beside its joints.
type watcher struct {
	sheets.Unwatched
	words *words
	lists map[int]columns
	rows  map[rowAt][]worksheet.Cell
	kinds map[rowAt]joints.RowKind
}

// rowAt is where a joint stands.
type rowAt struct{ list, row int }

// Fills finds the columns of a list in which the shop logs.
func (w *watcher) Fills(ed *joints.Editor) {
	at := columns{}
	for col, text := range ed.L.Heads {
		if h, is := w.words.besides(text); is {
			at[col] = h
		}
	}
	w.lists[ed.L.No] = at
}

// Row keeps the cells of a row that somebody has logged in.
func (w *watcher) Row(ed *joints.Editor, row *worksheet.Row, _ []worksheet.NewCell) {
	at := w.lists[ed.L.No]
	var kept []worksheet.Cell
	for _, c := range row.Cells {
		if _, is := at[c.Col]; is && filled(c) {
			c.Text = strings.Clone(c.Text)
			kept = append(kept, c)
		}
	}
	if kept != nil {
		key := rowAt{ed.L.No, row.Num}
		w.rows[key], w.kinds[key] = kept, ed.Came.To
	}
}

// shopOwn reads the shop's own workbook: minutes beside its joints, or in its list of
// cars.
func (r *reader) shopOwn(ctx context.Context, password string) ([]Line, error) {
	w := &watcher{words: r.w, lists: map[int]columns{}, rows: map[rowAt][]worksheet.Cell{}, kinds: map[rowAt]joints.RowKind{}}
	t, err := sheets.Watch(ctx, r.path, password, w, false)
	if err != nil {
		return nil, fmt.Errorf("%w; it has no time sheet either: seamtally timesheet makes one", err)
	}
	defer t.Close()
	before := r.found
	r.b, r.found = t.Lists.Book, nil
	digest, err := t.InputSum()
	if err != nil {
		return nil, err
	}
	r.e = &estimates{Order: floor.Order{Holds: math.NaN(), Yield: math.NaN()}, digest: digest, metric: t.Model.System == model.Metric, rests: RestsOn(t.Model, t.Values)}
	headed := false
	var lines []Line
	for _, l := range t.All {
		at := r.besideColumns(l.Title, l.HeadRow, w.lists[l.No], true)
		headed = headed || len(w.lists[l.No]) > 0
		lines = append(lines, r.besideJoints(t, l, at, w)...)
	}
	r.severalCars(t, lines)
	ofCars, some, err := r.besideCars(t)
	if err != nil {
		return nil, err
	}
	if !headed && !some {
		r.found = before
		return nil, fmt.Errorf("%s: nothing is logged in it: it is no time sheet, and no column beside its joints or cars is headed as logged; head one Actual min, or make a time sheet with seamtally timesheet", r.path)
	}
	return append(lines, ofCars...), t.StillTheSame()
}

// besideColumns settles which columns are read: one of each, with a unit. Beside joints
// one that says it is logged is in minutes without: a joint takes no hours.
func (r *reader) besideColumns(sheet string, head int, found columns, beside bool) columns {
	at, first := columns{}, map[string]int{}
	for _, col := range slices.Sorted(maps.Keys(found)) {
		h, was := found[col], first[found[col].key]
		switch cell := grid.Ref(head, col); {
		case was > 0:
			r.warn(sheet, cell, "two columns", fmt.Sprintf("the columns %s and %s are both of what was logged, and neither is read", grid.ColName(was), grid.ColName(col)), "reword one of them")
			delete(at, was)
		case h.min == 0 && h.said && beside:
			r.warn(sheet, cell, "no unit", "the column does not say in what the logged time is, and is read as minutes", "head it with its unit, as in Logged min or Logged h")
			h.min = 1
			at[col], first[h.key] = h, col
		case h.min == 0:
			r.warn(sheet, cell, "no unit", "the column does not say in what the logged time is, and is not read", "head it with its unit, as in Actual min or Actual h")
			first[h.key] = col
		default:
			at[col], first[h.key] = h, col
		}
	}
	return at
}

// besideJoints reads what was logged beside the joints of a list: of a row on one car,
// as its floor time is.
func (r *reader) besideJoints(t *sheets.Run, l *joints.List, at columns, w *watcher) []Line {
	m := t.Model
	stages := [floor.Stages]*model.Quantity{m.Line.Quantity("saw_time"), m.Line.Quantity("bench_time"), m.Line.Quantity("weld_time")}
	p := &page{sheet: l.Title, head: l.HeadRow}
	var out []Line
	for i := range t.Order.Joints {
		j := &t.Order.Joints[i]
		key := rowAt{j.List, j.Row}
		row := w.rows[key]
		if j.List != l.No || row == nil {
			continue
		}
		delete(w.rows, key)
		one := r.blankLine(l.Title, grid.Ref(j.Row, row[0].Col), j.Name())
		c := cells{r, p, at, row, one}
		logged := false
		for s, key := range [...]string{"saw", "bench", "weld"} {
			one.Minutes[s] = c.amount(key, mostMinutes)
			one.Estimate[s] = stages[s].Num(&j.Line.Frame)
			logged = logged || one.Minutes[s] >= 0
		}
		one.Clocked = c.amount(colClocked, mostMinutes)
		one.EstimateClocked = floor.Sum(one.Estimate)
		one.Car, one.Kind, one.Whole = j.Car, t.WordsOf(j.Line)["kind"], true
		if logged || one.Clocked >= 0 {
			out = append(out, *one)
		}
	}
	var left []int
	for key := range w.rows {
		if key.list == l.No && w.kinds[key] == joints.LeftOut && len(at) > 0 {
			left = append(left, key.row)
		}
	}
	slices.Sort(left)
	for _, row := range left {
		r.warn(l.Title, grid.Ref(row, w.rows[rowAt{l.No, row}][0].Col), "row left out", "something is logged of a joint that cannot be worked out, and is not counted", "mend its row: seamtally check says what it lacks")
	}
	return out
}

// severalCars tells of cars whose joints have minutes beside them, and of which several
// are ordered: the minutes are taken for those of one, and may be those of all.
func (r *reader) severalCars(t *sheets.Run, lines []Line) {
	for _, c := range t.Report.Cars {
		i := slices.IndexFunc(lines, func(l Line) bool { return l.Car == c.Car })
		if i < 0 || c.Ordered <= 1 {
			continue
		}
		r.warn(lines[i].Sheet, lines[i].Cell, "several cars", fmt.Sprintf("minutes beside the joints of %s are taken for those of one car, and %g are ordered", c.Car, c.Ordered),
			"where they are those of all, log each car on a line of a time sheet")
	}
}

// blankLine is a line of which nothing is known yet.
func (r *reader) blankLine(sheet, cell, car string) *Line {
	l := &Line{
		File: r.path, Sheet: sheet, Cell: cell, Car: car, Order: r.e.digest,
		Logged: Logged{Clocked: math.NaN(), Rods: math.NaN(), Repairs: map[string]float64{}},
		Quoted: Quoted{
			EstimateClocked: math.NaN(), RodsEstimate: math.NaN(),
			Metric: r.e.metric, BottleHolds: r.e.Holds, FillerYield: r.e.Yield, Rests: r.e.rests,
		},
	}
	for i := range floor.Stages {
		l.Minutes[i], l.Bottles[i], l.Estimate[i], l.Gas[i] = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	}
	return l
}

// besideCars reads what was logged in the shop's list of cars, and says whether any of
// its columns is headed so. Where several cars of a spec are ordered, it is not known of
// how many the minutes are.
func (r *reader) besideCars(t *sheets.Run) (out []Line, headed bool, err error) {
	if t.Cars == nil || len(t.Cars.Entries) == 0 {
		return nil, false, nil
	}
	n := t.Workbook.Sheet(t.Cars.Title)
	if n < 0 {
		return nil, false, errors.New("the sheet of the cars is gone")
	}
	rows, err := r.rows(t.Workbook.Sheets[n].PartName, 0)
	if err != nil {
		return nil, false, err
	}
	first := t.Cars.Entries[0].Row
	found, head := columns{}, 0
	for _, row := range rows {
		if len(row) == 0 || row[0].Row >= first {
			continue
		}
		in := columns{}
		for _, c := range row {
			if h, is := r.w.besides(c.Text); is && c.Kind == worksheet.Text {
				in[c.Col] = h
			}
		}
		if len(in) > 0 {
			found, head = in, row[0].Row
		}
	}
	if len(found) == 0 {
		return nil, false, nil
	}
	at := r.besideColumns(t.Cars.Title, head, found, false)
	e, err := estimated(t)
	if err != nil {
		return nil, false, err
	}
	r.e = e
	p := &page{sheet: t.Cars.Title, head: head}
	for _, entry := range t.Cars.Entries {
		for _, row := range rows {
			if len(row) == 0 || row[0].Row != entry.Row || !slices.ContainsFunc(row, func(c worksheet.Cell) bool { return at[c.Col].key != "" && filled(c) }) {
				continue
			}
			made := e.find(entry.Name)
			where := grid.Ref(entry.Row, entry.Col)
			switch {
			case made == nil:
				r.warn(p.sheet, where, "not in the quote", fmt.Sprintf("%q has no joints, and what is logged of it is not counted", entry.Name), "name it as the joints do")
				continue
			case made.Ordered > 1:
				r.warn(p.sheet, where, "several cars", fmt.Sprintf("minutes are logged of %s, of which %d are ordered: of one of them, or of all, is not known, and they are not counted", made.Name, made.Ordered), "log each car on a line of a time sheet")
				continue
			}
			one := r.blankLine(p.sheet, where, made.Name)
			c := cells{r, p, at, row, one}
			c.times(made)
			one.Whole = true
			out = append(out, *one)
		}
	}
	return out, true, nil
}
