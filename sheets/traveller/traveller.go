package traveller

import (
	"context"
	"fmt"
	"math"
	"strings"

	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/plain"
)

// Options says what Make is to do.
type Options struct {
	In       string // the shop's workbook
	Out      string // where the travellers go
	Password string // of an encrypted input
	Force    bool   // an existing output is replaced
	Draft    bool   // an incomplete order gets them too, and every page says DRAFT
	Notes    bool   // what the shop has noted on a joint's row stands below it
	Car      string // of this car alone; "" = of all
	From, To int    // of these cars of the run alone; 0 = from the first, to the last
}

// Report is what Make wrote, and what is to be looked at before it goes to the
// bench.
type Report struct {
	Input, Output string
	Draft         bool
	Digest        string // SHA-256 of the input
	Cars          []Car
	Bare          []string // cars that have no joint, or are not ordered: they have no page
	NoReason      []Place  // joints that may be blue, and no reason is typed
	Hidden        []Place  // words of the shop that are left out, for they tell of an estimate
	Unsaid        []Place  // notes that are left out, for they may
	Unasked       int      // notes that were not asked for

	Priced    bool // the input has a sheet of assumptions
	Encrypted bool // the input is; the travellers are not
	sheets.Verdict
}

// Car is a car spec with the cars of it that have a traveller.
type Car struct {
	Name        string
	Ordered     int
	First, Last int // in the run
	Pieces      int // joints of one car
	Welds       int
	lines       []joint
}

// joint is a row of the list, as it stands on a traveller.
type joint struct {
	name   string // mark, or where it stands
	pieces int
	says   [][]string // by column
	blue   bool
	why    string
	note   string
}

// Place is a joint and a cell, and in What the shop's words there.
type Place struct{ Joint, Cell, What string }

// mostBoxes keeps a workbook to what a program opens in seconds and a printer prints in a
// day.
const mostBoxes = 10000

// Make works a workbook out and writes the travellers of its cars, as a workbook
// of its own. An error means that nothing was written.
func Make(ctx context.Context, o Options) (*Report, error) {
	to, err := disk.Apart(o.Out, o.Force, "travellers are", "the travellers would replace the workbook that they are made of", o.In)
	if err != nil {
		return nil, err
	}
	w, err := readWords()
	if err != nil {
		return nil, err
	}
	own, err := newOwnColumns()
	if err != nil {
		return nil, err
	}
	read := &reader{words: w, own: own, rows: map[rowAt]shopWords{}}
	t, err := sheets.Watch(ctx, o.In, o.Password, read, false)
	if err != nil {
		return nil, err
	}
	defer t.Close()
	if err := w.check(t.Model); err != nil {
		return nil, err
	}
	r, err := gather(t, o, w, read)
	if err != nil {
		return nil, err
	}
	if why := r.Lacks(); why != "" && !o.Draft {
		return nil, &sheets.RefusedError{In: o.In, Not: "written for the bench", Why: why, Reasons: r.Reasons}
	}
	data, err := write(t, r, w)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.Out, err)
	}
	if err := t.SaveOpen(to, data); err != nil {
		return nil, err
	}
	r.Output = o.Out
	return r, nil
}

// gather gathers what goes onto the travellers.
func gather(t *sheets.Run, o Options, w *words, read *reader) (*Report, error) {
	r := &Report{
		Input: o.In, Draft: o.Draft, Verdict: t.Report.Verdict,
		Priced: t.Own.Assumptions != "", Encrypted: t.Container != nil,
	}
	var err error
	if r.Digest, err = t.InputSum(); err != nil {
		return nil, err
	}
	boxes, found := 0, false
	for _, c := range t.Report.Cars {
		if o.Car != "" && !strings.EqualFold(strings.TrimSpace(o.Car), c.Car) {
			continue
		}
		found = true
		car := Car{Name: c.Car, Ordered: int(math.Ceil(c.Ordered)), First: max(o.From, 1)}
		car.Last = car.Ordered
		if o.To > 0 {
			car.Last = min(o.To, car.Ordered)
		}
		r.gatherJoints(t, w, read, &car, o.Notes)
		if car.Pieces == 0 || car.Last < car.First {
			r.Bare = append(r.Bare, c.Car)
			continue
		}
		boxes += (car.Last - car.First + 1) * car.Pieces
		r.Cars = append(r.Cars, car)
	}
	switch {
	case o.Car != "" && !found:
		return nil, fmt.Errorf("%s: there is no car %q; it has %s", o.In, o.Car, carNames(t))
	case len(r.Cars) == 0 && (r.Lacks() == "" || o.Draft):
		return nil, fmt.Errorf("%s: there is no joint of a car that is asked for; check its name, and how many are ordered", o.In)
	case boxes > mostBoxes:
		return nil, fmt.Errorf("%s: that is %d joints to write pages for, over %d; ask for one --car, or for some --numbers of its run", o.In, boxes, mostBoxes)
	}
	for i, f := range w.fields {
		for _, h := range t.Model.Heads {
			if book.HeadPrefix+h.Key == f.key {
				w.fields[i].text = strings.TrimSpace(book.CellText(*t.HeadValue(h)))
			}
		}
	}
	return r, nil
}

func carNames(t *sheets.Run) string {
	var names []string
	for _, c := range t.Report.Cars {
		names = append(names, c.Car)
	}
	return strings.Join(names, ", ")
}

// gatherJoints gathers the joints of a car, in the order of their lists.
func (r *Report) gatherJoints(t *sheets.Run, w *words, read *reader, car *Car, notes bool) {
	basis := colourBasis(t)
	name := t.Model.Line.Quantity("car_no")
	cars := t.Model.Table("cars")
	codes := codesOf(t.Order.Joints)
	for i := range t.Order.Joints {
		j := &t.Order.Joints[i]
		row := t.Values.Rows(cars).Frames[int(name.Num(&j.Line.Frame))-1]
		if cars.Quantity("name").Text(row) != car.Name {
			continue
		}
		s := &sayer{t: t, words: w, j: j, own: read.rows[rowAt{j.List, j.Row}], named: t.WordsOf(j.Line)}
		qty, _ := s.number("qty")
		welds, _ := s.number("welds")
		line := joint{name: plain.Clipped(j.Mark, 60), pieces: int(math.Round(qty))}
		if line.pieces <= 0 {
			continue
		}
		car.Pieces += line.pieces
		car.Welds += int(math.Round(welds))
		line.blue, line.why = r.heed(s, basis)
		line.note = r.noted(s, line.why, codes, notes)
		for _, c := range w.columns {
			line.says = append(line.says, s.says(c))
		}
		car.lines = append(car.lines, line)
	}
}

// heed keeps the shop's words that tell of an estimate off the page, and notes them; so
// it does with a blue limit without its reason.
func (r *Report) heed(s *sayer, basis field) (blue bool, why string) {
	hidden := s.words.text["hidden"]
	if telling.MatchString(s.own.section) {
		r.Hidden = append(r.Hidden, Place{s.j.Name(), s.own.sectionCell, s.own.section})
		s.own.section = hidden
	}
	if d := s.own.drawing; tellingDrawing(d.text) {
		r.Hidden = append(r.Hidden, Place{s.j.Name(), d.cell, d.text})
		s.own.drawing.text = hidden
	}
	if setup := s.named["setup"]; telling.MatchString(setup) {
		r.Hidden = append(r.Hidden, Place{s.j.Name(), s.j.Where(), setup})
		s.named["setup"] = hidden
	}
	blue, why, cell := s.blue(basis)
	if telling.MatchString(why) {
		r.Hidden = append(r.Hidden, Place{s.j.Name(), cell, why})
		why = ""
	}
	if blue && why == "" {
		if cell == "" {
			cell = s.j.Where()
		}
		r.NoReason = append(r.NoReason, Place{Joint: s.j.Name(), Cell: cell})
	}
	return blue, why
}
