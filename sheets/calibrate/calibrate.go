package calibrate

import (
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"seamtally/compute"
	"seamtally/compute/logged"
	"seamtally/compute/model"
	"seamtally/compute/prior"
	"seamtally/sheets"
	"seamtally/sheets/book"
	"seamtally/sheets/disk"
	"seamtally/sheets/look"
	"seamtally/sheets/timesheet"
	"seamtally/templates"
)

// Names of what can be written.
const (
	FillerYield   = "filler_yield"
	LearningSlope = "learning_slope"
)

// Asked are what is written only where it is asked for by name.
func Asked() []string { return []string{FillerYield, LearningSlope} }

// Options says what is to be done.
type Options struct {
	Sheets   []string // time sheets, and priced workbooks with minutes
	Password string   // of those that are encrypted
	Into     string   // the quote whose assumptions are written; "" = none is
	InPlace  bool     // it is replaced
	Also     []string // of Asked, what is to be written too
	Few      bool     // what rests on few cars is written too
	Outside  bool     // what lies outside its usual range is written too
	Out      string   // where the quote goes, or without one the report workbook; "" = none
	Force    bool     // an existing output is replaced
	DryRun   bool     // nothing is written
	Date     string   // as in 2026-11-25
	By       string   // who has it done
	Version  string   // of the program
}

// Factor is what was logged over what was estimated, and what is to be done about the
// assumption of that name. A slope and a yield are themselves.
type Factor struct {
	Name   string
	Stands float64 // what the quote has for it, else what is shipped
	logged.Ratio
	Verdict logged.Verdict
	Written bool
}

// Line is what was logged of one stage of one car. Stage is "all" for clocked minutes.
type Line struct {
	Cell, File, Sheet        string // Cell is file, sheet and cell
	Car, Stage               string
	Number                   int
	Day                      time.Time // zero where not known
	Estimate, Logged, Weight float64
	Residual                 float64 // logarithm of logged over fitted
}

// Far is a car that counted less than half, and why.
type Far struct {
	Cell, Car string
	Weight    float64
	Why       string
}

// Kind is what was logged of the joints of one kind.
type Kind struct {
	Kind             string
	Rows             int
	Estimate, Logged float64
}

// Report is what came of it.
type Report struct {
	Sheets   []string
	Cars     int // that are counted
	Factors  []Factor
	Expected float64 // by how much hours are still expected to be off, in the mean
	OneCar   float64 // and of one new car
	Lines    []Line
	Far      []Far
	Kinds    []Kind
	Findings []book.Finding
	Date     string

	Output string // what was written
	paper  look.Paper
	Priced *sheets.Report // the quote, where one was written into
}

// Factor is the one of a name, nil if nothing is known of it.
func (r *Report) Factor(name string) *Factor {
	for i := range r.Factors {
		if r.Factors[i].Name == name {
			return &r.Factors[i]
		}
	}
	return nil
}

// Of fits what was read of the sheets, and writes what is asked for. With an error that
// comes after the reading, the report has what was found till then, else it is nil.
func Of(ctx context.Context, lines []timesheet.Line, found []book.Finding, o Options) (*Report, error) {
	to, err := target(o)
	if err != nil {
		return nil, err
	}
	q, err := standing(ctx, o)
	if err != nil {
		return nil, err
	}
	r := &Report{Sheets: o.Sheets, Date: o.Date, Findings: slices.Clone(found), paper: paperOf(lines)}
	if err := r.fit(lines, q, o); err != nil {
		return r, err
	}
	switch {
	case o.Into != "":
		if err := q.same(r, lines, o.Into); err != nil {
			return nil, err
		}
		if err := r.write(ctx, o); err != nil {
			return r, err
		}
	case o.Out != "" && !o.DryRun:
		if err := r.save(to); err != nil {
			return nil, err
		}
		r.Output = to.Path
	}
	return r, nil
}

// target refuses an output that cannot be written, before anything is read.
func target(o Options) (disk.Output, error) {
	for _, name := range o.Also {
		if !slices.Contains(Asked(), name) {
			return disk.Output{}, fmt.Errorf("%q is not written by name; it is one of %s", name, strings.Join(Asked(), ", "))
		}
	}
	switch {
	case len(o.Sheets) == 0:
		return disk.Output{}, errors.New("no time sheet is given")
	case o.Into == "" && (o.InPlace || o.Few || o.Outside || len(o.Also) > 0):
		return disk.Output{}, errors.New("there is no quote to write into; name one by --into")
	case o.Out == "":
		return disk.Output{}, nil
	}
	for _, path := range o.Sheets {
		if disk.SameFile(o.Out, path) {
			return disk.Output{}, fmt.Errorf("%s: the output would replace a time sheet; name another", o.Out)
		}
	}
	if o.Into != "" {
		return disk.Output{}, nil // as price has it
	}
	if !strings.EqualFold(filepath.Ext(o.Out), ".xlsx") {
		return disk.Output{}, fmt.Errorf("%s: the report is an .xlsx; give the file that ending", o.Out)
	}
	return disk.Vacant(o.Out, o.Force)
}

// quote is what stands in the quote that is to be written into; as shipped without.
type quote struct {
	model  *model.Model
	stands map[string]float64
	values *compute.Values
}

func standing(ctx context.Context, o Options) (*quote, error) {
	q := &quote{stands: map[string]float64{}}
	var values *compute.Values
	if o.Into == "" {
		m, err := compute.Load(templates.FS, model.US)
		if err != nil {
			return nil, err
		}
		q.model, values = m, compute.Defaults(m)
	} else {
		run, err := sheets.Read(ctx, o.Into, o.Password)
		if err != nil {
			return nil, err
		}
		defer run.Close()
		if run.Own.Assumptions == "" {
			return nil, fmt.Errorf("%s: it was never priced, and has no assumptions to write into; run seamtally price first", o.Into)
		}
		q.model, values = run.Model, run.Values
	}
	q.values = values
	names := model.StageFactors()
	for _, name := range append(names[:], model.GasFactor, FillerYield, LearningSlope, "time_correlation") {
		q.stands[name] = q.model.Singles.Quantity(name).Num(values.Singles)
	}
	return q, nil
}

// fit fits all that the lines have.
func (r *Report) fit(lines []timesheet.Line, q *quote, o Options) error {
	before, err := prior.Of(q.model, q.stands["time_correlation"])
	if err != nil {
		return err
	}
	g := gather(lines, before.Hand)
	r.Findings = append(r.Findings, g.findings...)
	cars := make([]logged.Car, len(g.cars))
	for i, c := range g.cars {
		cars[i] = c.fit
	}
	with := logged.Options{Prior: before.Stages, Slope: q.stands[LearningSlope]}
	f, err := logged.Minutes(cars, with)
	if err != nil {
		for _, c := range g.cars {
			r.Findings = append(r.Findings, nothing(c))
		}
		return err
	}
	if with.Slope != 1 {
		for _, c := range g.cars {
			if c.Number == 0 {
				r.Findings = append(r.Findings, book.Finding{Level: book.LevelWarning, Rule: "no place", Cell: place(c.Line), What: fmt.Sprintf("the quote learns, and where %s came in its run is not known: it counts as a first car", c.Car), Fix: "type the car's number in the run"})
			}
		}
	}
	var slope *logged.Fit
	if inRun(g.cars) {
		with.FitSlope = true
		if slope, err = logged.Minutes(cars, with); err != nil {
			return err
		}
		if slices.Contains(o.Also, LearningSlope) && (slope.Slope.Count >= logged.Few || o.Few) {
			f = slope // the factors that go with it
		}
	}
	r.Expected, r.OneCar = f.Mean, f.OneCar
	add := func(name string, x logged.Ratio) {
		f := Factor{Name: name, Stands: q.stands[name], Ratio: x, Verdict: x.Judge(q.stands[name])}
		says, asked := x.Value, slices.Contains(Asked(), name)
		is := q.model.Singles.Quantity(name)
		beyond := is.Beyond(says)
		switch {
		case name == LearningSlope: // one that does not learn lies to either side of 100 %
			beyond = x.Value < is.Low || x.Value > 1/is.Low
		case !asked && x.Count < logged.Few && x.Estimate > 0: // few cars hardly move the fit, whatever they say
			says = x.Logged / x.Estimate
			beyond = is.Beyond(says)
		}
		if f.Verdict != logged.Keep && beyond {
			f.Verdict = logged.Outside
			if !asked || slices.Contains(o.Also, name) {
				r.Findings = append(r.Findings, outside(name, says, is))
			}
		}
		r.Factors = append(r.Factors, f)
	}
	for s, name := range model.StageFactors() {
		if f.Stages[s].Count > 0 {
			add(name, f.Stages[s])
		}
	}
	switch x, err := logged.Amounts(g.gas, 0, before.Gas); {
	case err == nil:
		add(model.GasFactor, x)
	case !errors.Is(err, logged.ErrNothing):
		return err
	}
	switch x, err := logged.Amounts(g.rods, before.Yield, before.Spread); {
	case err == nil:
		x.Value, x.Low, x.High = 1/x.Value, 1/x.High, 1/x.Low
		add(FillerYield, x)
	case !errors.Is(err, logged.ErrNothing):
		return err
	}
	if slope != nil {
		add(LearningSlope, slope.Slope)
	}
	r.tellCars(g, f)
	r.kinds(g.rows)
	return nil
}

// outside tells of a factor outside the range that it is shipped with: what was logged
// before makes no absurd one usual.
func outside(name string, value float64, q *model.Quantity) book.Finding {
	look := "look whether hours stand under minutes, or a whole car's under one joint"
	if name == model.GasFactor || name == FillerYield {
		look = "look at what was counted on each car"
	}
	return book.Finding{
		Level: book.LevelWarning, Rule: "outside", Cell: name,
		What: fmt.Sprintf("logged says %.1f %%, which is outside its usual range, %.0f to %.0f %%, and is not written unless that is asked for", 100*value, 100*q.Low, 100*q.High),
		Fix:  look + "; what is right is written with --outside",
	}
}

// inRun reports whether the places of cars in their runs are known well enough for
// learning to be seen: two different ones at least.
func inRun(cars []*car) bool {
	first := 0
	for _, c := range cars {
		switch {
		case c.Number == 0:
		case first == 0:
			first = c.Number
		case c.Number != first:
			return true
		}
	}
	return false
}

// stages in words.
func stageWords() [logged.Stages + 1]string {
	return [logged.Stages + 1]string{"saw", "bench", "weld", "all"}
}

// nothing tells of a car that has nothing to fit.
func nothing(c *car) book.Finding {
	return book.Finding{
		Level: book.LevelWarning, Rule: "nothing", Cell: place(c.Line),
		What: fmt.Sprintf("%s is not counted: no minutes are logged of it that the estimate has minutes for", c.Car), Fix: "log its stages, or its minutes in all",
	}
}

// tellCars lists what was counted, by how much, and what counted little, with why.
func (r *Report) tellCars(g *gathered, f *logged.Fit) {
	for i, c := range g.cars {
		if math.IsNaN(f.Weights[i]) {
			r.Findings = append(r.Findings, nothing(c))
			continue
		}
		r.Cars++
		for s, x := range f.Residuals[i] {
			if math.IsNaN(x) {
				continue
			}
			l := Line{Cell: place(c.Line), File: filepath.Base(c.File), Sheet: c.Sheet, Car: c.Car, Stage: stageWords()[s], Number: c.Number, Day: c.Day, Estimate: c.fit.EstimateClocked, Logged: c.fit.Clocked, Weight: f.Weights[i], Residual: x}
			if s < logged.Stages {
				l.Estimate, l.Logged = c.fit.Estimate[s], c.fit.Logged[s]
			}
			r.Lines = append(r.Lines, l)
		}
	}
	for _, i := range f.Far() {
		c, worst := g.cars[i].Line, -1
		for s, x := range f.Residuals[i] {
			if !math.IsNaN(x) && (worst < 0 || math.Abs(x) > math.Abs(f.Residuals[i][worst])) {
				worst = s
			}
		}
		times := math.Exp(f.Residuals[i][worst])
		what := "took"
		if worst < logged.Stages {
			what = stageWords()[worst] + " took"
		}
		why := fmt.Sprintf("%s %.2g times as long as the other cars and the usual range say", what, times)
		if math.Abs(math.Log(times)) < math.Log(1.25) {
			why = "its stages are off each in another way"
		}
		r.Far = append(r.Far, Far{Cell: place(c), Car: c.Car, Weight: f.Weights[i], Why: why})
	}
}

// kinds sums what was logged by kind of joint.
func (r *Report) kinds(rows []timesheet.Line) {
	for _, l := range rows {
		logs, estimate := 0.0, 0.0
		for s := range logged.Stages {
			if l.Minutes[s] > 0 && l.Estimate[s] > 0 {
				logs, estimate = logs+l.Minutes[s], estimate+l.Estimate[s]
			}
		}
		if estimate == 0 && l.Clocked > 0 && l.EstimateClocked > 0 {
			logs, estimate = l.Clocked, l.EstimateClocked
		}
		if estimate == 0 {
			continue
		}
		i := slices.IndexFunc(r.Kinds, func(k Kind) bool { return k.Kind == l.Kind })
		if i < 0 {
			r.Kinds, i = append(r.Kinds, Kind{Kind: l.Kind}), len(r.Kinds)
		}
		k := &r.Kinds[i]
		k.Rows, k.Estimate, k.Logged = k.Rows+1, k.Estimate+estimate, k.Logged+logs
	}
	slices.SortFunc(r.Kinds, func(a, b Kind) int { return strings.Compare(a.Kind, b.Kind) })
}

// day is that of the report.
func (r *Report) day() (time.Time, error) { return time.Parse(time.DateOnly, r.Date) }
