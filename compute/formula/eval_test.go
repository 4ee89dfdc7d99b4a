package formula_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

func TestNumbers(t *testing.T) {
	for text, want := range map[string]float64{
		"PI()":                           math.Pi,
		"SQRT(2)":                        math.Sqrt2,
		"EXP(LN(7))":                     7,
		"SIN(PI()/6)":                    0.5,
		"COS(PI()/3)":                    0.5,
		"TAN(PI()/4)":                    1,
		"POWER(2,0.5)":                   math.Sqrt2,
		"2^-3":                           0.125,
		"ABS(-3)+ABS(3)":                 6,
		"MIN(3,1,2)*100+MAX(3,1,2)":      103,
		"ROUND(1.005,2)":                 1.01,
		"ROUNDUP(-1.2,0)":                -2,
		"ROUNDDOWN(-1.8,0)":              -1,
		"ROUND(1234.5,-1.9)":             1230, // places are cut to whole ones
		"whole_up(2.0000004)":            2,
		"whole_up(2.000001)":             3,
		"whole_down(2.9999996)":          3,
		"whole_down(2.99)":               2,
		"amount(25%,\"\")":               0.25,
		"IF(0.3-0.2-0.1=0,1,0)":          1, // as in a spreadsheet, not -2.8E-17
		"IF(0.1+0.2=0.3,1,0)":            1, // equal to 15 digits
		"IF(0.1+0.2>0.3,1,0)":            0,
		"IF(0.1+0.2<=0.3,1,0)":           1,
		"IF(1<>1.0000000001,1,0)":        1,
		"IF(AND(1=1,2>1,NOT(1>2)),5,6)":  5,
		"IF(OR(1>1,2<1),5,6)":            6,
		"IF(1=1,2,1/0)":                  2, // only the branch that is taken
		"IF(\"Straße\"=\"STRASSE\",1,0)": 0,
	} {
		assert.InDelta(t, want, constant(t, text), 1e-14, text)
	}
}

func TestErrorsReachTheResult(t *testing.T) {
	for _, text := range []string{
		"1/0", "0/0", "LN(0)", "LN(-1)", "SQRT(-1)", "0^0", "0^-1", "(-8)^0.5", "EXP(1000)", "1E300*1E300", "1E308+1E308",
		"-1E300^2*1E300", "1/0*0", "MIN(1,1/0)", "MAX(1/0,1)", "MIN(1/0,1)", "ROUND(1/0,2)", "ROUND(1,1/0)", "ABS(1/0)",
		"whole_up(1/0)", "IF(1/0=1,2,3)", "IF(1/0<>1,2,3)", "IF(1/0>1,2,3)", "IF(NOT(1/0>1),2,3)", "IF(AND(1>2,1/0>1),2,3)",
		"IF(OR(1<2,1/0>1),2,3)", "IF(\"a\"&1/0=\"a\",2,3)", "IF(1=1,1/0,3)", "IF(IF(1/0>1,\"a\",\"b\")=\"a\",1,2)", "(1/0)%", "-(1/0)",
	} {
		v := constant(t, text)
		assert.True(t, math.IsNaN(v) && !formula.IsBlank(v), "%s is %v", text, v)
	}
}

func TestBlank(t *testing.T) {
	assert.True(t, math.IsNaN(formula.Blank()))
	assert.True(t, formula.IsBlank(formula.Blank()))
	assert.False(t, formula.IsBlank(math.NaN()))
	assert.False(t, formula.IsBlank(formula.Blank()+1-1) && formula.IsBlank(0), "0 is not blank")

	q := having(t, "bid $ blank; cost $; pause s")
	f := checked(t, `IF(bid="","",(bid-cost)/bid)`, "", q)
	assert.True(t, formula.IsBlank(number(t, f, q.row(map[string]any{"bid": formula.Blank(), "cost": 5.0}))))
	assert.Equal(t, 0.75, number(t, f, q.row(map[string]any{"bid": 20.0, "cost": 5.0})))
	failed := number(t, f, q.row(map[string]any{"bid": math.NaN(), "cost": 5.0}))
	assert.True(t, math.IsNaN(failed) && !formula.IsBlank(failed))

	f = checked(t, `IF(pause<>0,pause,"")`, "min", q)
	assert.Equal(t, 0.5, number(t, f, q.row(map[string]any{"pause": 30.0})))
	assert.True(t, formula.IsBlank(number(t, f, q.row(nil))))
	assert.True(t, formula.IsBlank(constant(t, `IF(1=2,5,"")`)))
}

func TestTexts(t *testing.T) {
	q := having(t, "alloy text; od mm; n")
	row := q.row(map[string]any{"alloy": "grade 2", "od": 76.2, "n": 0.1})
	for text, want := range map[string]string{
		`alloy&"|"&ROUND(amount(od,"in")*1000,0)`: "grade 2|3000",
		`IF(alloy="GRADE 2","yes","no")`:          "yes",
		`IF(alloy<>"grade 2","yes","no")`:         "no",
		`n&""`:                                    "0.1",
		`"x"&1/3`:                                 "x0.333333333333333",
		`"x"&-12`:                                 "x-12",
		`"x"&(n-n)`:                               "x0",
		`"x"&n/0`:                                 formula.ErrorText,
		`n/0&"x"&alloy`:                           formula.ErrorText,
		`IF(n/0>1,"a",alloy)`:                     formula.ErrorText,
		`IF(2>1,alloy,"a")`:                       "grade 2",
		`alloy`:                                   "grade 2",
	} {
		code, err := checked(t, text, "text", q).Compile()
		require.NoError(t, err, text)
		require.NotNil(t, code.Text, text)
		assert.Equal(t, want, code.Text(row), text)
	}
}

func TestGeneralText(t *testing.T) {
	for want, x := range map[string]float64{
		"12": 12, "0.1": 0.1, "0.3": 0.1 + 0.2, "-0.00001": -0.00001, "123456789012345": 123456789012345,
		"1E+20": 1e20, "1.5E-07": 1.5e-7, "0": 0, "1E+300": 1e300, "0.333333333333333": 1.0 / 3, formula.ErrorText: math.NaN(),
	} {
		assert.Equal(t, want, formula.GeneralText(x))
	}
}

// What is stored must be what the printed formula gives when it is worked out
// from left to right, to the last bit.
func TestFactorsAreAppliedAsPrinted(t *testing.T) {
	q := having(t, "bore in; len in; changes; flow ft³/h; rate $/h; arc_time min; pause s")
	row := q.row(map[string]any{"bore": 2.906, "len": 12.0, "changes": 11.1, "flow": 20.0, "rate": 95.0, "arc_time": 3.17, "pause": 7.0})
	f := checked(t, "bore^2*len*changes/flow", "min", q)
	require.Equal(t, "bore^2*len*changes/flow*60/1728", printed(t, f))
	bore, flow := 2.906, 20.0
	assert.Equal(t, bore*bore*12*11.1/flow*60/1728, number(t, f, row))

	f = checked(t, "arc_time+pause", "h", q)
	require.Equal(t, "arc_time/60+pause/3600", printed(t, f))
	arc, pause := 3.17, 7.0
	assert.Equal(t, arc/60+pause/3600, number(t, f, row))

	f = checked(t, "ROUND(arc_time*rate,2)", "$", q)
	assert.Equal(t, 5.02, number(t, f, row))
}

// Worked example of the price of argon: 40 ft³/h for 30 min is 20 ft³ by
// definition of the hour; at 28.316 846 592 L to the cubic foot (NIST SP 811,
// from memory) that is 566.337 L.
func TestGasInBothSystems(t *testing.T) {
	q := having(t, "flow ft³/h; arc_time min")
	row := q.row(map[string]any{"flow": 40.0, "arc_time": 30.0})
	assert.InDelta(t, 20, number(t, checked(t, "flow*arc_time", "ft³", q), row), 1e-13)
	assert.InDelta(t, 566.337, number(t, checked(t, "flow*arc_time", "L", q), row), 5e-4)
}

func TestAngles(t *testing.T) {
	q := having(t, "theta °; od")
	row := q.row(map[string]any{"theta": 15.0, "od": 168.0})
	// Cut-back of a pie cut, trade-manual example: OD 168, theta 15°, 22.5
	// (exact 22.508).
	assert.InDelta(t, 22.508, number(t, checked(t, "od/2*TAN(theta)", "", q), row), 5e-4)
	assert.InDelta(t, 1, number(t, checked(t, "SIN(theta)^2+COS(theta)^2", "", q), row), 1e-15)
}

// Functions from outside see their arguments as they were written.
func TestFunctionsFromOutside(t *testing.T) {
	q := having(t, "lines.labour $; car_no; pause s")
	q.funcs["total"] = formula.Func{
		Name:  "total",
		Least: 2, Most: 2,
		Check: func(c *formula.Checker, call *formula.Call) (formula.Type, error) {
			name, ok := call.Args[0].(*formula.Name)
			if !ok {
				return formula.Type{}, c.Errorf(call.Args[0], "no column", "write table.key")
			}
			ref, err := c.Scope().Name(name.Table, name.Key)
			if err != nil {
				return formula.Type{}, err
			}
			return ref.Type, c.Want(call.Args[1], units.Unit{})
		},
		Compile: func(c *formula.Compiler, call *formula.Call) (formula.Code, error) {
			which, err := c.Compile(call.Args[1])
			if err != nil {
				return which, err
			}
			return formula.Code{Num: func(f *formula.Frame) float64 { return 100 * which.Num(f) }}, nil
		},
		Print: func(p *formula.Printer, call *formula.Call) (string, error) {
			which, err := p.Node(call.Args[1])
			if err != nil {
				return "", err
			}
			name := call.Args[0].(*formula.Name)
			column, err := p.Name(name.Table, name.Key)
			return "SUMIFS(" + column + ",car_numbers," + which + ")", err
		},
	}
	f := checked(t, "total(lines.labour,car_no)*2", "$", q)
	assert.Equal(t, "SUMIFS(INDEX(lines_labour,1),car_numbers,car_no)*2", printed(t, f))
	assert.Equal(t, 600.0, number(t, f, q.row(map[string]any{"car_no": 3.0})))
	assert.Equal(t, "total(labour, car no) × 2", f.Spell(formula.SpellOptions{}))

	for text, says := range map[string]string{"total(1,car_no)": "no column", "total(lines.labour,pause)": "s (time) is not a plain number"} {
		_, err := formula.Check(parse(t, text), source(text), wanted(t, "$"), q)
		assert.ErrorContains(t, err, says)
	}
}

func TestSpell(t *testing.T) {
	q := having(t, "passes; seam in; closing_overlap in; starts; tie_in in; travel in/min; torch_flow ft³/h; arc_time min; kind text; n; leg in; bid $ blank; turn °")
	spelled := func(text, unit string) string {
		return checked(t, text, unit, q).Spell(formula.SpellOptions{})
	}
	assert.Equal(t, "(passes × (seam + closing overlap) + starts × tie in) ÷ travel",
		spelled("(passes*(seam+closing_overlap)+starts*tie_in)/travel", "min"))
	assert.Equal(t, "torch flow × arc time ÷ 60", spelled("torch_flow*arc_time", "ft³"))
	assert.Equal(t, `if kind = "pie cut" then n else −n`, spelled(`IF(kind="pie cut",n,-n)`, ""))
	assert.Equal(t, `2 × (if n ≠ 1 and n ≥ 2 then 1 else 2)`, spelled(`2*IF(AND(n<>1,n>=2),1,2)`, ""))
	assert.Equal(t, `if n < 1 then (if n > 2 then 1 else 2) else if n ≤ 2 then 3 else 4`, spelled(`IF(n<1,IF(n>2,1,2),IF(n<=2,3,4))`, ""))
	assert.Equal(t, `if bid = "" then nothing else bid`, spelled(`IF(bid="","",bid)`, "$"))
	assert.Equal(t, "π ÷ 4 × leg² × whole up(n) − min(leg³ ÷ leg, n × leg²)", spelled("PI()/4*leg^2*whole_up(n)-MIN(leg^3/leg,n*leg^2)", "in²"))
	assert.Equal(t, "tan(turn ÷ 2) + 5 % + n", spelled("TAN(turn/2)+5%+(n)", ""))
	assert.Equal(t, "(leg + leg) × 25.4 − n", spelled(`amount(leg+leg,"mm")-n`, ""))

	values := map[string]string{"passes": "1", "seam": "9.42 in"}
	got := checked(t, "passes*(seam+tie_in)+seam^3/tie_in^2", "in", q).Spell(formula.SpellOptions{
		Name:  func(_, key string) string { return "<" + key + ">" },
		Value: func(_, key string) (string, bool) { v, ok := values[key]; return v, ok },
	})
	assert.Equal(t, "1 × (9.42 in + <tie_in>) + (9.42 in)³ ÷ <tie_in>²", got)
}

func TestEveryFunctionIsDescribed(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range formula.Functions() {
		assert.Contains(t, f.Doc, f.Name+"(", f.Name)
		assert.False(t, seen[f.Name], f.Name)
		seen[f.Name] = true
	}
}
