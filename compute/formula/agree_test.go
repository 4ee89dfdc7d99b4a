package formula_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

// fitting draws formulas whose units fit: each of its methods writes an
// expression of one dimension.
type fitting struct{ t *rapid.T }

func (g fitting) of(shapes ...func() string) string {
	return rapid.SampledFrom(shapes).Draw(g.t, "shape")()
}

func (g fitting) one(texts ...string) func() string {
	return func() string { return rapid.SampledFrom(texts).Draw(g.t, "leaf") }
}

// common are the shapes that keep a dimension; x writes a smaller part.
func (g fitting) common(depth int, x func(int) string) []func() string {
	d := depth - 1
	return []func() string{
		func() string { return x(d) + "+" + x(d) },
		func() string { return x(d) + "-" + x(d) },
		func() string { return "-" + "(" + x(d) + ")" },
		func() string { return "(" + x(d) + ")*(" + g.plain(0) + ")" },
		func() string { return "(" + x(d) + ")/(" + g.plain(0) + ")" },
		func() string { return "MIN(" + x(d) + "," + x(d) + ",0)" },
		func() string { return "MAX(" + x(d) + "," + x(d) + ")" },
		func() string { return "IF(" + g.truth(d) + "," + x(d) + "," + x(d) + ")" },
		func() string { return "IF(" + g.truth(d) + ",0," + x(d) + ")" },
		func() string { return "ROUND(" + x(d) + ",3)" },
		func() string { return "ABS(" + x(d) + ")" },
	}
}

func (g fitting) length(depth int) string {
	leaf := g.one("od", "run_od", "bore", "tube")
	if depth <= 0 {
		return leaf()
	}
	return g.of(append(g.common(depth, g.length), leaf,
		func() string { return "(" + g.time(depth-1) + ")*travel" },
		func() string { return "SQRT((" + g.length(depth-1) + ")*" + g.length(0) + ")" },
		func() string { return "(" + g.length(depth-1) + ")^2/" + g.length(0) })...)
}

func (g fitting) time(depth int) string {
	leaf := g.one("arc_time", "pause", "shift")
	if depth <= 0 {
		return leaf()
	}
	return g.of(append(g.common(depth, g.time), leaf,
		func() string { return "(" + g.length(depth-1) + ")/travel" },
		func() string { return "PI()/4*bore^2*(" + g.length(depth-1) + ")/flow" })...)
}

func (g fitting) plain(depth int) string {
	leaf := g.one("n", "2", "0.5E-1", "75%", "oxygen", "od/run_od", "-n")
	if depth <= 0 {
		return leaf()
	}
	d := depth - 1
	return g.of(append(g.common(depth, g.plain), leaf,
		func() string { return "(" + g.length(d) + ")/(" + g.length(d) + ")" },
		func() string { return "(" + g.time(d) + ")/" + g.time(0) },
		func() string { return "whole_up((" + g.length(d) + ")/" + g.length(0) + ")" },
		func() string { return `amount(` + g.time(d) + `,"min")` },
		func() string {
			return "COS(" + rapid.SampledFrom([]string{"theta", "theta/2", "n"}).Draw(g.t, "angle") + ")"
		},
		func() string { return "(od/run_od)^" + g.one("2", "-1", "n", "0.5")() },
		func() string { return "LN(1+ABS(" + g.plain(d) + "))" })...)
}

func (g fitting) truth(depth int) string {
	d := depth - 1
	op := rapid.SampledFrom([]string{"<", ">", "<=", ">=", "=", "<>"}).Draw(g.t, "comparison")
	x := rapid.SampledFrom([]func(int) string{g.length, g.time, g.plain}).Draw(g.t, "of")
	return x(d) + op + x(d)
}

// What is stored beside a formula must be what the formula gives. So the
// printed text, read back with all units forgotten, must give the value of
// the checked formula to the last bit.
func TestPrintedTextGivesTheStoredValue(t *testing.T) {
	const names = "od in;run_od mm;bore cm;tube ft;travel in/min;arc_time min;pause s;shift h;flow ft³/h;n;oxygen ppm;theta °"
	q := having(t, names)
	bare := having(t, "od;run_od;bore;tube;travel;arc_time;pause;shift;flow;n;oxygen;theta")
	bare.funcs["RADIANS"] = formula.Func{
		Name:  "RADIANS",
		Least: 1, Most: 1,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) { return c.Type(call.Args[0]) },
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			x, err := c.Compile(call.Args[0])
			return formula.Code{Num: func(f *formula.Frame) float64 { return x.Num(f) * (math.Pi / 180) }}, err
		},
	}
	failed, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		g := fitting{t}
		kind := rapid.IntRange(0, 2).Draw(t, "kind")
		text := []func(int) string{g.length, g.time, g.plain}[kind](4)
		unit := rapid.SampledFrom([][]string{{"in", "mm", "ft"}, {"s", "min", "h", "day"}, {"", "ppm"}}[kind]).Draw(t, "unit")
		frame := &formula.Frame{Num: make([]float64, 12)}
		for i := range frame.Num {
			frame.Num[i] = rapid.Float64Range(0.01, 90).Draw(t, "value")
		}

		f, err := checkText(text, unit, q)
		if err != nil {
			t.Fatal(err)
		}
		cell, err := f.Print(func(_, key string) (string, error) { return key, nil })
		if err != nil {
			t.Fatal(err)
		}
		again, err := checkText(cell, "", bare)
		if err != nil {
			t.Fatal(err)
		}
		code, err := f.Compile()
		if err != nil {
			t.Fatal(err)
		}
		plain, err := again.Compile()
		if err != nil {
			t.Fatal(err)
		}
		got, want := code.Num(frame), plain.Num(frame)
		if got != want && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Fatalf("%s in %q prints %s: %v and %v", text, unit, cell, got, want)
		}
		all++
		if math.IsNaN(got) {
			failed++
		}
	})
	if failed*2 > all {
		t.Fatalf("%d of %d are errors", failed, all)
	}
}

func checkText(text, unit string, q *quantities) (*formula.Formula, error) {
	src := source(text)
	n, err := formula.Parse(src)
	if err != nil {
		return nil, err
	}
	u, err := units.Parse(unit)
	if err != nil {
		return nil, err
	}
	return formula.Check(n, src, formula.Type{Unit: u}, q)
}
