package setups

import (
	"fmt"
	"strconv"
	"strings"

	"seamtally/compute"
	"seamtally/compute/formula"
	"seamtally/compute/model"
	"seamtally/sheets/bid/layout"
	"seamtally/sheets/book"
	"seamtally/sheets/joints"
	"seamtally/sheets/look"
	"seamtally/sheets/page"
	"seamtally/sheets/part/grid"
	"seamtally/sheets/workings"
)

// listMark stands in a printed formula where the number of the joint's row on
// its list goes.
const listMark = "\x02"

// tried is every joint of the order under one set-up, wherever that fits: a
// block of rows on Rates, one a joint.
type tried struct {
	no     int // of the set-up's line, from 1
	name   string
	values *compute.Values
	lines  []*compute.Line // of each joint, worked out so
	with   []*compute.Line // with the set-up, fits or not
	fits   []bool
	at     page.Rows
}

// shieldChecks are the checks of a row that say that a shield does not fit.
func shieldChecks() []string {
	return []string{"shield_large", "shield_small", "shield_kind", "shield_throat"}
}

// tryOut works the order out with a set-up on every joint that it fits. A row
// in which a figure that rests on the set-up was typed over keeps its own: what
// was measured under one set-up says nothing of another. The probe is an engine
// of the order's values, whose sums nobody asks for.
func (b *rates) tryOut(no int, probe *compute.Engine) (*tried, error) {
	m := b.Model
	table, setup := m.Table("setups"), m.Line.Quantity("setup")
	t := &tried{no: no, name: table.Quantity("name").Text(b.Values.Rows(table).Frames[no-1]), values: b.Values.Clone()}
	engine, err := compute.NewEngine(t.values)
	if err != nil {
		return nil, err
	}
	for i := range b.Joints {
		r := &b.Joints[i]
		with := r.Line.Clone()
		with.SetText(setup, t.name)
		out, err := probe.Work(with, r.List)
		if err != nil {
			return nil, err
		}
		fits := !out.Refused && !b.kept[i]
		for _, key := range shieldChecks() {
			fits = fits && m.Line.Quantity(key).Num(&with.Frame) == 0
		}
		line := r.Line
		if fits {
			line = with
		}
		engine.Add(line, r.List)
		t.lines, t.with, t.fits = append(t.lines, line), append(t.with, with), append(t.fits, fits)
	}
	_, err = engine.Close()
	return t, err
}

// keeps reports whether a row has a figure typed over that rests on the set-up.
func (b *rates) keeps(line *compute.Line) bool {
	for _, q := range b.Model.Line.Quantities {
		if q.Role == model.Figure && b.moved[q] && line.Given(q) {
			return true
		}
	}
	return false
}

// Columns of the working rows; the figures that move follow.
const (
	workNo    = layout.ColNo
	workMark  = layout.ColName
	workCar   = layout.ColData
	workTried = workCar + 1 // the number of the set-up tried
	workFits  = workTried + 1
	workSize  = workFits + 1 // the OD where it fits, else 0
	workUsed  = workSize + 1 // the number of the set-up used
	workFirst = workUsed + 1
)

// layWork gives the figures of the working rows their columns: those that move
// with the set-up and stand behind what is asked for.
func (b *rates) layWork() {
	m := b.Model
	behind := m.Behind(append(b.wanted(), b.Asked(m.Line, "rates_welds")...)...)
	b.cols = map[*model.Quantity]int{m.Line.Quantity("setup_no"): workUsed, m.Line.Quantity("car_no"): workCar}
	col := workFirst
	for _, q := range m.Line.Order() {
		if q.Role == model.Figure && b.moved[q] && behind[q] && b.cols[q] == 0 {
			b.cols[q] = col
			b.figures = append(b.figures, q)
			col++
		}
	}
	b.P.Whole = max(b.P.Whole, col+len(shieldChecks()))
	b.checkCol = col // the checks of the shield, and before them the kinds that it fits
}

// work writes the rows of one set-up.
func (b *rates) work(t *tried) error {
	p, m := b.P, b.Model
	b.Section("Working: every joint under " + t.name + ", wherever it fits")
	head := func(col int, s string) { p.Put(b.Row, page.Text(col, look.Heading, s, page.Ours)) }
	for col, s := range map[int]string{workNo: "No.", workMark: "Joint", workCar: "Car's number", workTried: "Set-up tried, number", workFits: "It fits", workSize: "OD where it fits", workUsed: "Set-up used, number"} {
		head(col, s)
	}
	for _, q := range b.figures {
		head(b.cols[q], b.Workings.Heading(q))
	}
	fitsCol := b.checkCol
	head(fitsCol, "Kinds that the shield fits")
	for i, key := range shieldChecks() {
		head(fitsCol+1+i, m.Line.Quantity(key).Heading)
	}
	p.Row(b.Row).Height = 2 * workings.HeadingHigh
	b.Row++
	t.at = page.Rows{First: b.Row, Count: len(t.lines)}
	printed := map[int]map[*model.Quantity]page.Template{}
	for i, line := range t.lines {
		r := &b.Joints[i]
		if printed[r.List] == nil {
			all, err := b.templates(b.All[r.List])
			if err != nil {
				return err
			}
			printed[r.List] = all
		}
		at := func(q *model.Quantity, row int) string {
			return strings.ReplaceAll(printed[r.List][q].At(row), listMark, strconv.Itoa(r.Row))
		}
		row := b.Row
		setupNo, carNo := m.Line.Quantity("setup_no"), m.Line.Quantity("car_no")
		p.Put(row, page.Number(workNo, look.Calc, "0", float64(i+1), page.Ours))
		p.Put(row, page.Text(workMark, look.CalcText, r.Mark, page.Ours))
		p.Put(row, page.Number(workCar, look.Calc, "0", carNo.Num(&line.Frame), page.Ours).Live(b.JointCell(r, carNo)))
		p.Put(row, page.Number(workTried, look.Calc, "0", float64(t.no), page.Ours).
			Live(b.tableNo(t)))
		formulaOf := fmt.Sprintf("IF(SUM(%s:%s)=0,1,0)", grid.Ref(row, fitsCol+1), grid.Ref(row, fitsCol+len(shieldChecks())))
		if b.kept[i] {
			formulaOf = ""
		}
		p.Put(row, page.Number(workFits, look.Calc, look.YesNo, truth(t.fits[i]), page.Ours).Live(formulaOf))
		p.Put(row, page.Number(workSize, look.Calc, "0.0###", b.size(t, i), page.Ours).
			Live(fmt.Sprintf("ROUND(%s*%s,%d)", grid.Ref(row, workFits), b.JointCell(r, m.Line.Quantity("od")), sizePlaces)))
		p.Put(row, page.Number(workUsed, look.Calc, "0", setupNo.Num(&line.Frame), page.Ours).
			Live(fmt.Sprintf("IF(%s=1,%s,%s)", grid.Ref(row, workFits), grid.Ref(row, workTried), b.JointCell(r, setupNo))))
		for _, q := range b.figures {
			f := at(q, row)
			if b.kept[i] && r.Line.Given(q) {
				f = b.JointCell(r, q)
			}
			p.Put(row, book.FigureCell(q, &line.Frame, b.cols[q], look.Calc).Live(f))
		}
		b.shield(t, i, row, at)
		b.Row++
	}
	b.Row++
	return nil
}

// shield writes what says whether the shield that is tried fits.
func (b *rates) shield(t *tried, i, row int, at func(*model.Quantity, int) string) {
	m, frame := b.Model, t.with[i].Frame
	kinds := m.Line.Quantity("shield_fits")
	b.P.Put(row, book.FigureCell(kinds, &frame, b.checkCol, look.Calc).Live(at(kinds, row)))
	for k, key := range shieldChecks() {
		q := m.Line.Quantity(key)
		c := page.Number(b.checkCol+1+k, look.Calc, "0", q.Num(&frame), page.Ours)
		b.P.Put(row, c.Live("IF("+at(q, row)+",1,0)"))
	}
}

// templates prints the formulas of the working rows of one list.
func (b *rates) templates(l *joints.List) (map[*model.Quantity]page.Template, error) {
	m := b.Model
	out := map[*model.Quantity]page.Template{}
	inList := func(q *model.Quantity) string {
		return grid.QuoteSheet(l.Title) + "!" + grid.ColName(l.Ours[q]) + listMark
	}
	used := book.Lookups(m, b.Names, m.Line, func(q *model.Quantity) (string, bool) {
		if col := b.cols[q]; col > 0 {
			return grid.ColName(col) + page.RowMark, true
		}
		return inList(q), l.Ours[q] > 0
	})
	kinds, setupNo := m.Line.Quantity("shield_fits"), m.Line.Quantity("setup_no")
	tried := book.Lookups(m, b.Names, m.Line, func(q *model.Quantity) (string, bool) {
		switch q {
		case setupNo:
			return grid.ColName(workTried) + page.RowMark, true
		case kinds:
			return grid.ColName(b.checkCol) + page.RowMark, true
		}
		return inList(q), l.Ours[q] > 0
	})
	add := func(q *model.Quantity, cells book.Resolver) error {
		s, err := q.Formula().Print(cells)
		out[q] = page.NewTemplate(s)
		return err
	}
	for _, q := range b.figures {
		if err := add(q, used); err != nil {
			return nil, err
		}
	}
	if err := add(kinds, tried); err != nil {
		return nil, err
	}
	for _, key := range shieldChecks() {
		if err := add(m.Line.Quantity(key), tried); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// column is a figure of all working rows of a set-up.
func (b *rates) column(t *tried, q *model.Quantity) string {
	return t.at.Column(b.cols[q])
}

// sizePlaces is to how many places of its own unit an OD is the same size as
// another, as it is for what a weld is.
const sizePlaces = 4

// size is the OD of a joint that the set-up fits, 0 of one that it does not.
func (b *rates) size(t *tried, i int) float64 {
	return formula.Round(truth(t.fits[i])*b.Model.Line.Quantity("od").Num(&t.lines[i].Frame), sizePlaces)
}

func truth(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}
