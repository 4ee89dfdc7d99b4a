package calibrate

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"seamtally/compute"
	"seamtally/compute/chance"
	"seamtally/compute/logged"
	"seamtally/compute/model"
	"seamtally/compute/prior"
	"seamtally/sheets/audit"
	"seamtally/sheets/book"
	"seamtally/sheets/explain"
	"seamtally/sheets/sheetstest"
	"seamtally/sheets/sheetstest/shop"
	"seamtally/sheets/timesheet"
	"seamtally/templates"
)

// built are cars of an invented shop, whose minutes are these times those of the
// model, about; it uses a quarter more argon and wastes a third of its rods.
func built(n int, times [logged.Stages]float64) (out []timesheet.Line) {
	rng := rand.New(rand.NewPCG(4, uint64(n)))
	for i := range n {
		l := timesheet.Line{
			File: "floor.xlsx", Sheet: "Time", Cell: fmt.Sprint("A", 5+i), Order: "digest", Car: "Demo car", Number: i + 1, Logged: timesheet.Logged{Whole: true, Clocked: math.NaN(), Rods: 20 * 0.85 / 0.67, Bottles: [3]float64{1, float64(i % 2), 1}},
			Quoted: timesheet.Quoted{Gas: [3]float64{200, 100, 300}, BottleHolds: 270, FillerYield: 0.85, RodsEstimate: 20, EstimateClocked: 900},
		}
		u := 0.05 * rng.NormFloat64()
		for s, e := range []float64{60, 300, 340} {
			l.Estimate[s] = e * (0.8 + 0.4*rng.Float64())
			l.Minutes[s] = l.Estimate[s] * times[s] * math.Exp(u+0.05*rng.NormFloat64())
		}
		out = append(out, l)
	}
	return out
}

func report(t *testing.T, lines []timesheet.Line, o Options) *Report {
	t.Helper()
	o.Sheets, o.Date = []string{"floor.xlsx"}, "2026-01-15"
	r, err := Of(context.Background(), lines, nil, o)
	require.NoError(t, err)
	return r
}

// What a shop has logged of fourteen cars comes back, for each stage, its argon and
// its rods.
func TestLoggedCarsGiveFactors(t *testing.T) {
	r := report(t, built(14, [3]float64{1.5, 0.8, 1.1}), Options{})
	assert.Equal(t, 14, r.Cars)
	for name, want := range map[string]float64{"saw_factor": 1.5, "bench_factor": 0.8, "weld_factor": 1.1, FillerYield: 0.67} {
		f := r.Factor(name)
		require.NotNil(t, f, name)
		assert.InEpsilon(t, want, f.Value, 0.06, name)
		assert.True(t, f.Low < f.Value && f.Value < f.High, name)
		assert.Equal(t, 14, f.Count)
		assert.Equal(t, logged.Write, f.Verdict, name)
	}
	gas := r.Factor(model.GasFactor) // 35 bottles of 270 over 14 times 600
	assert.InDelta(t, 1.08, gas.Value, 0.05)
	assert.Len(t, r.Lines, 3*14)
	assert.Equal(t, "floor.xlsx", r.Lines[0].File)
	assert.Less(t, r.Expected, 0.05)
	assert.Empty(t, r.Findings)
}

// Few cars are advice, and none of it is written unless that is asked for.
func TestFewCarsAreAdvice(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	lines := built(4, [3]float64{1.5, 1.5, 1.5})
	for _, f := range report(t, lines, Options{}).Factors {
		assert.Equal(t, logged.TooFew, f.Verdict, f.Name)
	}
	out := filepath.Join(t.TempDir(), "out.xlsx")
	_, err := Of(context.Background(), lines, nil, Options{Sheets: []string{"floor.xlsx"}, Into: base, Out: out, Date: "2026-01-15"})
	assert.ErrorContains(t, err, "nothing is written")
	assert.NoFileExists(t, out)
	assert.True(t, report(t, lines, Options{Into: base, Out: out, Few: true}).Factor("weld_factor").Written)
}

// What is written is the value, the range, the basis, reliability and day of the
// factors, and a line of the log; the quote is priced with it, an audit finds nothing,
// explain says where it comes from, and Range draws from it.
func TestFactorsAreWrittenIntoAQuote(t *testing.T) {
	base, _ := shop.PriceWith(t, shop.Small(t, shop.Butt("J-1")), "range")
	out := filepath.Join(t.TempDir(), "out.xlsx")
	r := report(t, built(14, [3]float64{1.5, 0.8, 1.1}), Options{Into: base, Out: out})
	g := sheetstest.Read(t, out)
	before := sheetstest.Read(t, base)
	written := map[int]bool{}
	for _, f := range r.Factors {
		row := shop.Assumption(t, g, f.Name)
		at := func(col string) sheetstest.Value { return g["Assumptions"][fmt.Sprint(col, row)] }
		if f.Name == FillerYield || f.Name == LearningSlope {
			assert.False(t, f.Written, f.Name)
			assert.Equal(t, before["Assumptions"][fmt.Sprint("C", row)], at("C"), "asked for by name alone")
			continue
		}
		require.True(t, f.Written, f.Name)
		written[row] = true
		assert.InDelta(t, f.Value, at("C").Num, 0.0006)
		drawn := chance.Triangle{Low: at("G").Num, Mode: at("C").Num, High: at("H").Num}
		assert.InDelta(t, f.Low, drawn.At(0.1), 0.002, "%s: Range draws a tenth below", f.Name)
		assert.InDelta(t, f.High, drawn.At(0.9), 0.002, "%s: and a tenth above", f.Name)
		assert.Equal(t, fmt.Sprintf("own jobs, n = 14, ±%.0f %%, as of 2026-01-15", 100*(f.High-f.Low)/2/f.Value), at("L").Text)
		assert.Equal(t, "measured", at("O").Text)
		// Range has it among what is drawn, with that basis.
		found := false
		for i := 1; i < 200; i++ {
			found = found || g["Range"][fmt.Sprint("M", i)].Text == at("L").Text
		}
		assert.True(t, found, "%s is not drawn", f.Name)
	}
	for row := 1; row < shop.Assumption(t, g, "with_rates"); row++ {
		for _, col := range []string{"A", "B", "C", "D", "G", "H", "L", "M", "O", "P"} {
			if cell := fmt.Sprint(col, row); !written[row] {
				assert.Equal(t, before["Assumptions"][cell], g["Assumptions"][cell], cell)
			}
		}
	}
	again, rep := shop.Price(t, out)
	assert.True(t, rep.Unchanged)
	found, err := audit.Workbook(context.Background(), audit.Options{In: again})
	require.NoError(t, err)
	assert.True(t, found.Clean(), "%+v", found)
	x, err := explain.Figures(context.Background(), explain.Options{In: out, Mark: "J-1", Figure: "floor_time"})
	require.NoError(t, err)
	assert.Contains(t, fmt.Sprintf("%+v", x), "own jobs, n = 14")
	logs := fmt.Sprint(r.Priced.Logged)
	assert.Contains(t, logs, "calibrated by 14 logged cars of floor.xlsx: saw_factor")
	typed := shop.ReportOf(t, base)
	assert.NotEqual(t, typed.Order["order_hours"], r.Priced.Order["order_hours"])
}

// LibreOffice works a calibrated quote out from nothing and finds every stored value.
func TestCalibratedQuoteRecalculatesEqual(t *testing.T) {
	sheetstest.NeedLibreOffice(t)
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1"), shop.Butt("J-2")))
	out := filepath.Join(t.TempDir(), "out.xlsx")
	report(t, built(14, [3]float64{1.5, 0.8, 1.1}), Options{Into: base, Out: out, Also: []string{FillerYield, LearningSlope}})
	stored, live := sheetstest.Read(t, out), sheetstest.RecalculateAll(t, out)[0]
	compared := 0
	for sheet, cells := range stored {
		for cell, v := range cells {
			if v.Kind == sheetstest.Number {
				compared++
				assert.InEpsilon(t, v.Num+1, live[sheet][cell].Num+1, 1e-9, "%s!%s", sheet, cell)
			}
		}
	}
	assert.Greater(t, compared, 500)
}

// What is asked for by name is written too: a run that learns gets its slope, and the
// factors that go with it.
func TestAskedForByName(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	lines := built(16, [3]float64{1, 1, 1})
	m, err := compute.Load(templates.FS, model.US)
	require.NoError(t, err)
	before, err := prior.Of(m, 0.5)
	require.NoError(t, err)
	for i := range lines {
		for s := range logged.Stages {
			k := float64(i + 1)
			unit := math.Pow(k, 1+math.Log2(0.85)) - math.Pow(k-1, 1+math.Log2(0.85))
			lines[i].Minutes[s] *= before.Hand[s]*unit + 1 - before.Hand[s]
		}
	}
	plain := report(t, lines, Options{})
	assert.Less(t, plain.Factor("saw_factor").Value, 0.75, "in the mean of the run")
	flat := report(t, lines, Options{Into: base, Out: filepath.Join(t.TempDir(), "flat.xlsx")})
	said := func(r *Report) (n int) {
		for _, f := range r.Findings {
			if f.Rule == "learning" {
				n++
				assert.Contains(t, f.What, "a shorter run takes longer")
			}
		}
		return n
	}
	assert.Equal(t, 1, said(flat), "that the factors are flat is said")
	out := filepath.Join(t.TempDir(), "out.xlsx")
	r := report(t, lines, Options{Into: base, Out: out, Also: []string{LearningSlope}})
	assert.Zero(t, said(r))
	assert.InDelta(t, 0.85, r.Factor(LearningSlope).Value, 0.03)
	assert.InDelta(t, 1, r.Factor("saw_factor").Value, 0.12, "of a first car")
	g := sheetstest.Read(t, out)
	assert.InDelta(t, 0.85, g["Assumptions"][fmt.Sprint("C", shop.Assumption(t, g, LearningSlope))].Num, 0.03)
	// The slope that now stands in the quote is gone by: the same again keeps all.
	again := report(t, lines, Options{Into: out, Out: filepath.Join(t.TempDir(), "again.xlsx")})
	assert.InDelta(t, r.Factor("saw_factor").Value, again.Factor("saw_factor").Value, 0.06)
	assert.Equal(t, logged.Keep, again.Factor("saw_factor").Verdict)
}

// What cannot be counted is told with its cell, and the rest is used.
func TestWhatIsNotCounted(t *testing.T) {
	lines := built(8, [3]float64{1.2, 1.2, 1.2})
	lines[0].Whole = false
	lines[1] = lines[2]
	lines[1].File = "copy.xlsx"
	lines[3].Minutes = [3]float64{math.NaN(), math.NaN(), math.NaN()}
	lines[4].Minutes[1] *= 4
	lines[5].Rods = 0
	lines[6].Minutes = [3]float64{math.NaN(), math.NaN(), math.NaN()}
	lines[6].Clocked = 900 * 1.2
	r := report(t, lines, Options{})
	said := ""
	for _, f := range r.Findings {
		said += f.Cell + ": " + f.What + "\n"
	}
	for _, want := range []string{"floor.xlsx:Time!A5: Demo car is not counted: the whole job", "Demo car is counted once: copy.xlsx:Time!A7", "floor.xlsx:Time!A8: Demo car is not counted: no minutes", "floor.xlsx:Time!A10: the rods of Demo car"} {
		assert.Contains(t, said, want)
	}
	assert.Equal(t, 5, r.Cars)
	require.Len(t, r.Far, 1)
	assert.Equal(t, "floor.xlsx:Time!A9", r.Far[0].Cell)
	assert.Contains(t, r.Far[0].Why, "bench took 3.9 times as long as the other cars and the usual range say")
	assert.Equal(t, 1, r.Factor("saw_factor").Clocked)
}

// Minutes beside joints are those of their car, and told by kind.
func TestRowsOfJoints(t *testing.T) {
	var lines []timesheet.Line
	for i := range 6 {
		for k, kind := range []string{"butt", "pie cut"} {
			lines = append(lines, timesheet.Line{
				File: "quote.xlsx", Sheet: "Joints", Cell: fmt.Sprint("X", 2+2*i+k), Car: fmt.Sprint("car ", i), Kind: kind, Logged: timesheet.Logged{Whole: true, Minutes: [3]float64{math.NaN(), math.NaN(), math.NaN()}, Clocked: float64(60+60*k) * 1.3, Rods: math.NaN(), Bottles: [3]float64{math.NaN(), math.NaN(), math.NaN()}},
				Quoted: timesheet.Quoted{Estimate: [3]float64{10, 25, 25}, EstimateClocked: float64(60 + 60*k)},
			})
		}
	}
	r := report(t, lines, Options{})
	assert.Equal(t, 6, r.Cars)
	require.Len(t, r.Kinds, 2)
	assert.Equal(t, "butt", r.Kinds[0].Kind)
	assert.Equal(t, 6, r.Kinds[0].Rows)
	assert.InDelta(t, 1.3, r.Kinds[1].Logged/r.Kinds[1].Estimate, 1e-12)
	assert.InDelta(t, 1.3, r.Factor("weld_factor").Value, 0.15)
	assert.Equal(t, 6, r.Factor("weld_factor").Clocked)
}

// Rows with stages and rows with minutes in all of one car are kept apart: what all
// took as long as estimated is 100 %, whichever of them are more.
func TestRowsWithStagesBesideRowsInAll(t *testing.T) {
	nan := math.NaN()
	for inAll, says := range map[int]string{2: "2 in all: the latter", 3: "1 by stage: the latter"} {
		var lines []timesheet.Line
		for i := range 20 {
			l := timesheet.Line{
				File: "quote.xlsx", Sheet: "Joints", Cell: fmt.Sprint("X", 2+i), Car: fmt.Sprint("car ", i/4), Kind: "butt", Logged: timesheet.Logged{Whole: true, Minutes: [3]float64{10, 25, 25}, Clocked: nan, Rods: nan, Bottles: [3]float64{nan, nan, nan}},
				Quoted: timesheet.Quoted{Estimate: [3]float64{10, 25, 25}, EstimateClocked: 60},
			}
			if i%4 < inAll {
				l.Minutes, l.Clocked = [3]float64{nan, nan, nan}, 60
			}
			lines = append(lines, l)
		}
		r := report(t, lines, Options{})
		for _, name := range model.StageFactors() {
			assert.InDelta(t, 1, r.Factor(name).Value, 1e-6, "%s, %d in all", name, inAll)
		}
		require.Len(t, r.Findings, 5)
		assert.Contains(t, r.Findings[0].What, says)
	}
}

// eight are eight cars alike, with these changed on the purge line and one a car on
// the torch line; NaN is blank.
func eight(purge ...float64) []timesheet.Line {
	lines := built(len(purge), [3]float64{1, 1, 1})
	for i := range lines {
		lines[i].Bottles, lines[i].Gas = [3]float64{1, math.NaN(), purge[i]}, [3]float64{250, math.NaN(), 180}
		if math.IsNaN(purge[i]) {
			lines[i].Gas[2] = math.NaN()
		}
	}
	return lines
}

// A blank beside typed bottles is 0, and told; where nothing is typed of a kind of car,
// nothing of the line is counted.
func TestBlankBottlesAreNone(t *testing.T) {
	nan := math.NaN()
	typed := report(t, eight(0, 1, 1, 0, 1, 1, 1, 0), Options{})
	lines := eight(nan, 1, 1, nan, 1, 1, 1, nan)
	blank := report(t, lines, Options{})
	assert.Equal(t, typed.Factor(model.GasFactor), blank.Factor(model.GasFactor))
	assert.Empty(t, typed.Findings)
	require.Len(t, blank.Findings, 1)
	assert.Contains(t, blank.Findings[0].What, "bottles (purge) of 3 cars")
	assert.Equal(t, "floor.xlsx:Time!A5", blank.Findings[0].Cell)
	lines[7].Car = "another"
	other := report(t, lines, Options{})
	assert.InDelta(t, 8., other.Factor(model.GasFactor).Logged, 1e-9, "the torch line alone")
	assert.Contains(t, other.Findings[0].What, "not known")
}

// A slip in one cell of bottles moves nothing, and is named; so is a floor that has left
// off typing them.
func TestSlipsInBottles(t *testing.T) {
	clean := report(t, eight(0, 1, 1, 0, 1, 1, 1, 0), Options{}).Factor(model.GasFactor)
	for _, slip := range []float64{11, 270} {
		r := report(t, eight(0, 1, 1, 0, 1, slip, 1, 0), Options{})
		assert.InEpsilon(t, clean.Value, r.Factor(model.GasFactor).Value, 0.05)
		require.Len(t, r.Findings, 1)
		assert.Equal(t, "floor.xlsx:Time!A10", r.Findings[0].Cell)
		assert.Contains(t, r.Findings[0].What, fmt.Sprint("are not counted: ", slip, " changed"))
	}
	purge := []float64{1, 1, 0, 1, 1, 0, 1, 1}
	for range 12 {
		purge = append(purge, math.NaN())
	}
	r := report(t, eight(purge...), Options{})
	assert.InDelta(t, 20+6, r.Factor(model.GasFactor).Logged, 1e-9)
	assert.InDelta(t, (20*250+8*180)/270., r.Factor(model.GasFactor).Estimate, 1e-9)
}

// The same car with other minutes on two sheets counts on neither, and with minutes
// beside its joints and in the list of cars, once.
func TestACarCountsOnce(t *testing.T) {
	lines := built(8, [3]float64{1, 1, 1})
	again := lines[2]
	again.File, again.Minutes[1] = "other.xlsx", 2*again.Minutes[1]
	r := report(t, append(lines, again), Options{})
	assert.Equal(t, 7, r.Cars)
	require.Len(t, r.Findings, 2)
	assert.Equal(t, "floor.xlsx:Time!A7", r.Findings[0].Cell)
	assert.Contains(t, r.Findings[0].What, "here and at other.xlsx:Time!A7")
	assert.Contains(t, r.Findings[1].What, "here and at floor.xlsx:Time!A7")

	nan := math.NaN()
	var own []timesheet.Line
	for _, kind := range []string{"butt", ""} {
		for i := range 6 {
			own = append(own, timesheet.Line{
				File: "quote.xlsx", Sheet: "Cars" + kind, Cell: fmt.Sprint("X", 2+i), Car: fmt.Sprint("car ", i), Kind: kind, Logged: timesheet.Logged{Whole: true, Minutes: [3]float64{nan, nan, nan}, Clocked: 60, Rods: nan, Bottles: [3]float64{nan, nan, nan}},
				Quoted: timesheet.Quoted{Estimate: [3]float64{10, 25, 25}, EstimateClocked: 60},
			})
		}
	}
	r = report(t, own, Options{})
	assert.Equal(t, 6, r.Cars)
	require.Len(t, r.Findings, 6)
	assert.Contains(t, r.Findings[0].What, "beside its joints from quote.xlsx:Carsbutt!X2 on")
	assert.Equal(t, "quote.xlsx:Cars!X2", r.Findings[0].Cell)
}

// Hours under minutes give a factor that no shop has: it is told, and not written
// unless that is asked for, though an earlier one has set its range.
func TestOutsideTheUsualRange(t *testing.T) {
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	dir := t.TempDir()
	lines := built(8, [3]float64{1. / 60, 1.2, 1.1})
	o := Options{Sheets: []string{"floor.xlsx"}, Into: base, Out: filepath.Join(dir, "some.xlsx"), Date: "2026-01-15"}
	r := report(t, lines, o)
	saw := r.Factor("saw_factor")
	assert.Equal(t, logged.Outside, saw.Verdict)
	assert.False(t, saw.Written)
	assert.True(t, r.Factor("bench_factor").Written)
	require.Len(t, r.Findings, 2)
	assert.Equal(t, "saw_factor", r.Findings[0].Cell)
	assert.Contains(t, r.Findings[0].What, "60 to 180 %")
	assert.Equal(t, "rests", r.Findings[1].Rule, "these lines do not say what their estimate rests on")
	for i := range lines {
		lines[i] = built(8, [3]float64{1. / 60, 1. / 60, 1. / 60})[i]
		lines[i].BottleHolds = math.NaN()
	}
	o.Out = filepath.Join(dir, "none.xlsx")
	_, err := Of(context.Background(), lines, nil, o)
	assert.ErrorContains(t, err, "--outside")
	assert.NoFileExists(t, o.Out)
	few := o
	few.Few = true
	_, err = Of(context.Background(), lines[:3], nil, few)
	assert.Error(t, err, "few are no leave for what is outside")
	o.Outside = true
	assert.True(t, report(t, lines, o).Factor("weld_factor").Written)
	// What was written so leaves the usual range as it is shipped.
	again := report(t, built(8, [3]float64{1. / 20, 1. / 20, 1. / 20}), Options{Into: o.Out, Out: filepath.Join(dir, "again.xlsx")})
	assert.Equal(t, logged.Outside, again.Factor("weld_factor").Verdict)
}

// Where nothing is left to fit, what was found is not lost: it says why.
func TestFindingsOutliveAnError(t *testing.T) {
	found := []book.Finding{{Level: book.LevelError, Rule: "no estimate", Cell: "floor.xlsx:Time!A4"}}
	lines := built(2, [3]float64{1, 1, 1})
	lines[0].Whole = false
	lines[1].Minutes = [3]float64{math.NaN(), math.NaN(), math.NaN()}
	r, err := Of(context.Background(), lines, found, Options{Sheets: []string{"floor.xlsx"}, Date: "2026-01-15"})
	assert.ErrorIs(t, err, logged.ErrNothing)
	require.NotNil(t, r)
	require.Len(t, r.Findings, 3)
	assert.Equal(t, found[0], r.Findings[0])
	assert.Equal(t, "floor.xlsx:Time!A5", r.Findings[1].Cell)
	assert.Contains(t, r.Findings[2].What, "no minutes are logged of it")
}

// Minutes in all beside one stage do not count, and that is told; beside all stages
// nothing is lost.
func TestMinutesInAllBesideSomeStages(t *testing.T) {
	lines := built(8, [3]float64{1, 1, 1})
	lines[2].Minutes[1], lines[2].Minutes[2], lines[2].Clocked = math.NaN(), math.NaN(), 3400
	lines[3].Clocked = 900
	r := report(t, lines, Options{})
	require.Len(t, r.Findings, 1)
	assert.Equal(t, "floor.xlsx:Time!A7", r.Findings[0].Cell)
	assert.Contains(t, r.Findings[0].What, "the 3400 min of Demo car in all are not counted")
	assert.Contains(t, r.Findings[0].What, "bench and weld")
}

// 0 minutes do not count, nor do minutes that the estimate has none for, and both are
// told.
func TestMinutesWithNothingToCompare(t *testing.T) {
	lines := built(8, [3]float64{1, 1, 1})
	lines[2].Minutes[0], lines[2].Minutes[1] = 0, 0
	lines[3].Estimate[0] = 0
	lines[4].Minutes, lines[4].Clocked = [3]float64{math.NaN(), math.NaN(), math.NaN()}, 0
	r := report(t, lines, Options{})
	require.Len(t, r.Findings, 4)
	assert.Equal(t, "floor.xlsx:Time!A7", r.Findings[0].Cell)
	assert.Contains(t, r.Findings[0].What, "0 minutes of Demo car are not counted (saw, bench)")
	assert.Equal(t, "floor.xlsx:Time!A8", r.Findings[1].Cell)
	assert.Contains(t, r.Findings[1].What, "(saw): the estimate has none")
	assert.Contains(t, r.Findings[2].What, "(all)")
	assert.Equal(t, 5, r.Factor("saw_factor").Count)
}

// A car on two lines without numbers, each with other stages, is one car; two lines that
// share a stage are two.
func TestACarOnTwoLines(t *testing.T) {
	whole := built(6, [3]float64{1.2, 1.1, 0.9})
	for i := range whole {
		whole[i].Number = 0
	}
	nan := math.NaN()
	var lines []timesheet.Line
	for i, l := range whole {
		saw, rest := l, l
		saw.Minutes[1], saw.Minutes[2] = nan, nan
		rest.Minutes[0] = nan
		saw.Rods, rest.Rods = 5, l.Rods-5
		rest.Bottles, rest.Gas = [3]float64{nan, nan, nan}, [3]float64{nan, nan, nan}
		rest.Cell = fmt.Sprint("A", 50+i)
		lines = append(lines, saw, rest)
	}
	want, r := report(t, whole, Options{}), report(t, lines, Options{})
	assert.Equal(t, 6, r.Cars)
	for i, f := range want.Factors {
		assert.InDelta(t, f.Value, r.Factors[i].Value, 1e-9, f.Name)
		assert.Equal(t, f.Count, r.Factors[i].Count, f.Name)
	}
	require.Len(t, r.Findings, 6)
	assert.Equal(t, "floor.xlsx:Time!A50", r.Findings[0].Cell)
	assert.Contains(t, r.Findings[0].What, "taken for the car at floor.xlsx:Time!A5")
	assert.Empty(t, want.Findings)
}

// What is asked for and cannot be is refused before anything is written.
func TestRefusedBeforehand(t *testing.T) {
	dir := t.TempDir()
	there := filepath.Join(dir, "there.xlsx")
	require.NoError(t, os.WriteFile(there, []byte("x"), 0o600))
	for says, o := range map[string]Options{
		"no time sheet":          {},
		"no quote to write into": {Sheets: []string{"a.xlsx"}, Few: true},
		"is not written by name": {Sheets: []string{"a.xlsx"}, Also: []string{"margin"}},
		"give the file that":     {Sheets: []string{"a.xlsx"}, Out: filepath.Join(dir, "r.pdf")},
		"would replace a time":   {Sheets: []string{there}, Out: there, Force: true},
		"is there already":       {Sheets: []string{"a.xlsx"}, Out: there},
	} {
		_, err := Of(context.Background(), nil, nil, o)
		assert.ErrorContains(t, err, says)
	}
	into := func(lines []timesheet.Line, o Options) error {
		o.Sheets, o.Date = []string{"floor.xlsx"}, "2026-01-15"
		_, err := Of(context.Background(), lines, nil, o)
		return err
	}
	err := into(built(8, [3]float64{1, 1, 1}), Options{Into: shop.Small(t, shop.Butt("J-1"))})
	assert.ErrorContains(t, err, "never priced")
	base, _ := shop.Price(t, shop.Small(t, shop.Butt("J-1")))
	lines := built(8, [3]float64{1, 1, 1})
	for i := range lines {
		lines[i].Number = 0
	}
	err = into(lines, Options{Into: base, Out: filepath.Join(dir, "o.xlsx"), Also: []string{LearningSlope}})
	assert.ErrorContains(t, err, "learning_slope was asked for")
}

// The report is looked at, and two of the same are equal.
func TestReportWorkbook(t *testing.T) {
	lines := built(14, [3]float64{1.5, 0.8, 1.1})
	lines[4].Minutes[1] *= 3
	out := filepath.Join(t.TempDir(), "report.xlsx")
	r := report(t, lines, Options{Sheets: []string{"floor.xlsx"}, Out: out})
	g := sheetstest.Read(t, out)
	assert.Equal(t, "saw_factor", g[sheetFit]["A5"].Text)
	assert.InDelta(t, r.Factors[0].Value, g[sheetFit]["F5"].Num, 1e-12)
	assert.InDelta(t, lines[0].Minutes[0], g[sheetCars]["E4"].Num, 1e-9)
	first, err := r.book()
	require.NoError(t, err)
	second, err := r.book()
	require.NoError(t, err)
	assert.Equal(t, first, second)
	if dir := os.Getenv("PICTURES"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "report.xlsx"), first, 0o600))
	}
}

// The report is for the paper of its cars' units: Letter (1), or A4 (9) where they are
// metric, as ECMA-376 part 1, 18.3.1.63 counts them; of both, neither is said.
func TestPaperOfTheReport(t *testing.T) {
	for name, c := range map[string]struct {
		metric func(i int) bool
		size   int
	}{
		"us":     {func(int) bool { return false }, 1},
		"metric": {func(int) bool { return true }, 9},
		"both":   {func(i int) bool { return i%2 == 0 }, 0},
	} {
		lines := built(4, [3]float64{1, 1, 1})
		for i := range lines {
			lines[i].Metric = c.metric(i)
		}
		data, err := report(t, lines, Options{Sheets: []string{"floor.xlsx"}}).book()
		require.NoError(t, err)
		f, err := excelize.OpenReader(bytes.NewReader(data))
		require.NoError(t, err)
		for _, title := range []string{sheetFit, sheetCars} {
			layout, err := f.GetPageLayout(title)
			require.NoError(t, err)
			require.NotNil(t, layout.Size, name)
			assert.Equal(t, c.size, *layout.Size, name)
		}
		require.NoError(t, f.Close())
	}
}

// Cars of two runs are listed in the order of build, by their days; by their numbers
// where a day is not known.
func TestCarsInOrderOfBuild(t *testing.T) {
	lines := built(6, [3]float64{1, 1, 1})
	for i := range lines {
		lines[i].Number, lines[i].Order = 1+i%3, fmt.Sprint("run ", i/3)
		lines[i].Day = time.Date(2026, 1, 20-i, 0, 0, 0, 0, time.UTC) // the last was built first
	}
	cells := func() (out []string) {
		path := filepath.Join(t.TempDir(), "report.xlsx")
		report(t, lines, Options{Out: path})
		g := sheetstest.Read(t, path)
		for row := 4; row < 10; row++ {
			out = append(out, g[sheetCars][fmt.Sprint("I", row)].Text)
		}
		return out
	}
	where := func(rows ...int) (out []string) {
		for _, n := range rows {
			out = append(out, fmt.Sprint("floor.xlsx:Time!A", n))
		}
		return out
	}
	assert.Equal(t, where(10, 9, 8, 7, 6, 5), cells())
	lines[2].Day = time.Time{}
	assert.Equal(t, where(5, 8, 6, 9, 7, 10), cells())
}

// BenchmarkThousandCars is all of it but the reading of sheets.
func BenchmarkThousandCars(b *testing.B) {
	lines := built(1000, [logged.Stages]float64{1.5, 0.8, 1.1})
	for b.Loop() {
		if _, err := Of(context.Background(), lines, nil, Options{Sheets: []string{"floor.xlsx"}, Date: "2026-01-15"}); err != nil {
			b.Fatal(err)
		}
	}
}
