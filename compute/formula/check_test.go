package formula_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/formula"
)

const shop = "torch_flow ft³/h; litre_flow L/min; arc_time min; pause s; shift h; bore in; len in; bore_mm mm; area mm²; " +
	"changes; flow ft³/h; rate $/h; argon_price $/ft³; turn °; seam in; dab_pitch in; travel in/min; starts starts; " +
	"passes passes; tie_in in; oxygen ppm; share %; kind text; filler text; bid $ blank; cost $; closed yesno; " +
	"setup.reposition s; mass lb; density lb/in³; per_kg $/kg; od in; run_od mm; hours_per_day h/day; limit in blank"

// Each line: formula, unit of its figure, what is printed for the cell.
func TestPrintedFactors(t *testing.T) {
	q := having(t, shop)
	for _, c := range []struct{ text, unit, cell string }{
		{"torch_flow*arc_time", "ft³", "torch_flow*arc_time/60"},
		{"litre_flow*arc_time", "L", "litre_flow*arc_time"},
		{"PI()/4*bore^2*len*changes/flow", "min", "PI()/4*bore^2*len*changes/flow*60/1728"},
		{"PI()/4*bore_mm^2*bore_mm/litre_flow", "min", "PI()/4*bore_mm^2*bore_mm/litre_flow/1000000"},
		// a sum is turned toward the figure, each term once
		{"arc_time+(pause+setup.reposition)", "min", "arc_time+(pause+INDEX(setup_reposition,1))/60"},
		{"pause+pause+arc_time", "min", "(pause+pause)/60+arc_time"},
		{"arc_time+pause-shift", "min", "arc_time+pause/60-shift*60"},
		{"pause+pause", "min", "(pause+pause)/60"},
		{"-(arc_time+pause)", "min", "-(arc_time+pause/60)"},
		{"-pause", "min", "-pause/60"},
		{"arc_time*2", "h", "arc_time*2/60"},
		{"0+pause", "min", "(0+pause)/60"},
		{"starts*(arc_time+pause)", "min", "starts*(arc_time+pause/60)"},
		{"starts*(pause+arc_time)", "min", "starts*(pause+arc_time*60)/60"},
		{"(passes*(seam+tie_in)+starts*tie_in)/travel", "min", "(passes*(seam+tie_in)+starts*tie_in)/travel"},
		// comparisons take the left side's unit, MIN and IF the figure's
		{"IF(run_od>od,1,2)", "", "IF(run_od>od*25.4,1,2)"},
		{"IF(0<od,1,2)", "", "IF(0<od,1,2)"},
		{"MIN(od,run_od)", "mm", "MIN(od*25.4,run_od)"},
		{"MAX(od,run_od,0)", "in", "MAX(od,run_od/25.4,0)"},
		{"MAX(pause,pause)", "min", "MAX(pause,pause)/60"},
		{"IF(closed,0,torch_flow*arc_time)", "ft³", "IF(closed,0,torch_flow*arc_time/60)"},
		{"IF(closed,pause,arc_time)", "min", "IF(closed,pause/60,arc_time)"},
		{"IF(closed,pause,pause*2)", "min", "IF(closed,pause,pause*2)/60"},
		{`IF(closed,"",pause)`, "min", `IF(closed,"",pause/60)`},
		{`IF(closed,pause,IF(kind="seam","",arc_time))`, "min", `IF(closed,pause/60,IF(kind="seam","",arc_time))`},
		{`IF(bid="","",bid-cost)`, "$", `IF(bid="","",bid-cost)`},
		{`IF(limit="",seam,MIN(seam,limit))`, "mm", `IF(limit="",seam,MIN(seam,limit))*25.4`},
		{`IF(AND(bid<>"",limit<>""),bid/limit*seam,0)`, "$", `IF(AND(bid<>"",limit<>""),bid/limit*seam,0)`},
		{`IF(OR(NOT(bid<>""),closed),0,bid)`, "$", `IF(OR(NOT(bid<>""),closed),0,bid)`},
		// rounding happens in the unit that is read
		{"ROUND(arc_time*rate,2)", "$", "ROUND(arc_time*rate/60,2)"},
		{"ROUND(arc_time*rate,2)*2+cost", "$", "ROUND(arc_time*rate/60,2)*2+cost"},
		{"ROUND(pause,0)", "min", "ROUND(pause,0)/60"},
		{"ROUNDUP(mass*per_kg,2)", "$", "ROUNDUP(mass*per_kg*0.45359237,2)"},
		{"whole_up(seam/dab_pitch)", "dabs", "ROUNDUP(ROUND(seam/dab_pitch,6),0)"},
		{"whole_down(seam/run_od)", "", "ROUNDDOWN(ROUND(seam/run_od*25.4,6),0)"},
		// angles, roots, powers
		{"2*seam*TAN(turn/2)", "in", "2*seam*TAN(RADIANS(turn/2))"},
		{"SIN(changes)", "", "SIN(changes)"},
		{"COS(od/run_od)", "", "COS(od/run_od*25.4)"},
		{"SQRT(area)", "in", "SQRT(area)/25.4"},
		{"SQRT(od*run_od)", "mm", "SQRT(od*run_od*25.4)"},
		{"(od/run_od)^2", "", "((od/run_od)*25.4)^2"},
		{"(od/run_od)^changes", "", "((od/run_od)*25.4)^changes"},
		{"POWER(od,2)*PI()", "in²", "POWER(od,2)*PI()"},
		{"od^-2*od^3", "in", "od^-2*od^3"},
		{"LN(oxygen/oxygen)", "", "LN(oxygen/oxygen)"},
		{"oxygen*2", "%", "oxygen*2/1000000"},
		{"1+share", "", "1+share"},
		{"50%*od", "in", "50%*od"},
		{"share*100%", "", "share*100%"},
		{"ABS(od-run_od)", "mm", "ABS(od*25.4-run_od)"},
		// texts
		{`kind&"|"&ROUND(amount(od,"in")*1000,0)`, "text", `kind&"|"&ROUND(od*1000,0)`},
		{`kind&"|"&ROUND(amount(run_od,"in")*1000,0)`, "text", `kind&"|"&ROUND(run_od/25.4*1000,0)`},
		{`amount(od+od,"in")*2`, "", `(od+od)*2`},
		{`"a ""b"""&kind`, "text", `"a ""b"""&kind`},
		{`IF(kind="seam",filler,"no")`, "text", `IF(kind="seam",filler,"no")`},
		{`AND(kind<>"seam",closed,NOT(filler="no"))`, "yesno", `AND(kind<>"seam",closed,NOT(filler="no"))`},
		// the author's brackets stay; two signs never meet
		{"((od))-(-od)", "in", "((od))-(-od)"},
		{"od- -od", "in", "od-(-od)"},
		{"--od", "in", "-(-od)"},
		{"shift/hours_per_day", "day", "shift/hours_per_day"},
		{"0", "min", "0"},
		{"IF(closed,0,-0)", "min", "IF(closed,0,-0)"},
	} {
		f, err := formula.Check(parse(t, c.text), source(c.text), wanted(t, c.unit), q)
		if assert.NoError(t, err, c.text) {
			assert.Equal(t, c.cell, printed(t, f), c.text)
		}
	}
}

func TestBlankIsSeen(t *testing.T) {
	q := having(t, shop)
	assert.True(t, checked(t, `IF(closed,"",seam)`, "in", q).Type().Blank)
	assert.True(t, checked(t, "(limit)", "in", q).Type().Blank)
	assert.True(t, checked(t, `IF(closed,limit,seam)`, "in", q).Type().Blank)
	assert.False(t, checked(t, `IF(limit="",seam,limit)`, "in", q).Type().Blank)
}

// Each line: formula, unit of its figure, the caret's place, the message.
func TestFaults(t *testing.T) {
	q := having(t, shop)
	for _, c := range []struct {
		text, unit string
		at         int
		says       string
	}{
		{"arc_time+od", "min", 8, "cannot add min (time) and in (length); give both"},
		{"arc_time-torch_flow", "min", 8, "cannot subtract, from min (time), ft³/h (length³/time)"},
		{"od+1", "in", 2, "cannot add in (length) and a plain number"},
		{"od", "ft³", 0, "the formula gives in (length), its figure is ft³ (length³)"},
		{"2*od", "", 1, "the formula gives in (length), its figure is a plain number"},
		{"3", "min", 0, "the formula gives a plain number, its figure is min (time)"},
		{"SIN(seam)", "", 4, "SIN needs an angle, and this is in (length)"},
		{"LN(seam)", "", 3, "LN needs a plain number, and this is in (length)"},
		{"whole_up(seam)", "", 9, "whole_up needs a plain number"},
		{"SQRT(seam)", "in", 5, "there is no square root of in (length)"},
		{"seam^0.5", "in", 4, "to a power that is no whole number"},
		{"seam^changes", "in", 4, "to a power that is no whole number"},
		{"seam^99", "in", 4, "the power of in is out of reach"},
		{"seam^9*seam^9", "in", 6, "is out of reach"},
		{"2^seam", "", 2, "in (length) is not a plain number"},
		{"seam%", "in", 0, "in (length) is not a plain number"},
		{"IF(seam>arc_time,1,2)", "", 7, "cannot compare in (length) with min (time)"},
		{"IF(closed,seam,arc_time)", "in", 0, "the branches of IF are in (length) and min (time)"},
		{"MIN(seam,arc_time)", "in", 0, "MIN is given in (length) and min (time)"},
		{"ROUND(1,seam)", "", 8, "in (length) is not a plain number"},
		{"amount(seam,\"min\")", "", 7, "in (length) is not min (time)"},
		{"amount(seam,\"ell\")", "", 12, `"ell" is not known`},
		{"amount(seam,kind)", "", 12, "the unit is not written out"},
		{"amount(seam)", "", 0, "amount has 1 arguments; give it 2"},
		{"PI(1)", "", 0, "PI has 1 arguments; give it 0"},
		{"MIN()", "", 0, "MIN has 0 arguments; give it 1 or more"},
		{"IF(closed,1)", "", 0, "IF has 2 arguments; give it 3"},
		{"IF(1,2,3)", "", 3, "a number stands where a yes or no is needed; compare it"},
		{"IF(closed,kind,seam)", "in", 0, "IF gives a text or a number"},
		{"NOT(kind)", "yesno", 4, "a text stands where a yes or no is needed"},
		{"kind+1", "", 0, "a text stands where a number is needed"},
		{"(seam>1)+1", "", 5, "cannot compare in (length) with a plain number"},
		{"closed*2", "", 0, "a yes or no stands where a number is needed; turn it into a number"},
		{"kind>\"a\"", "yesno", 4, "texts have no order here"},
		{"kind=1", "yesno", 4, "cannot compare a text with a number"},
		{"closed=closed", "yesno", 6, "truth values are not compared"},
		{"closed&\"x\"", "text", 0, "cannot be joined"},
		{"seam&\"x\"", "text", 0, `in (length) joined to a text loses its unit; name the unit that the number is to be in: amount(..,"in")`},
		{"kind", "in", 0, "the formula gives a text, its figure is a number"},
		{"nought+1", "", 0, "nought is not known; add it"},
		{"1+other.od", "", 2, "other.od is not known"},
		{"sum(od)", "in", 0, "sum is no function here"},
		{"if(closed,1,2)", "", 0, "if is no function here; write IF"},
		{"WHOLE_UP(1)", "", 0, "write whole_up"},
		{"bid+cost", "$", 0, "this number may be blank; deal with the blank first"},
		{"-bid", "$", 1, "this number may be blank"},
		{"IF(bid=\"\",bid,0)+1", "$", 0, "this number may be blank"},
		{"IF(bid>cost,1,0)", "", 3, "this number may be blank"},
		{"limit", "mm", 0, "a number that may be blank cannot be converted"},
		{"IF(OR(bid=\"\",limit=\"\"),bid/limit*seam,cost)", "$", 23, "this number may be blank"},
	} {
		_, err := formula.Check(parse(t, c.text), source(c.text), wanted(t, c.unit), q)
		var e *formula.Error
		if !assert.ErrorAs(t, err, &e, c.text) {
			continue
		}
		assert.Contains(t, e.Error(), c.says)
		lines := strings.Split(e.Error(), "\n")
		require.Len(t, lines, 3)
		assert.True(t, strings.HasPrefix(lines[0], "model.txt:7:"), lines[0])
		assert.Equal(t, strings.Repeat(" ", c.at)+"^", lines[2], "%s: %s", c.text, lines[0])
	}
}

func TestNoScope(t *testing.T) {
	_, err := formula.Check(parse(t, "od"), source("od"), formula.Type{}, nil)
	assert.ErrorContains(t, err, "there are no names here")
	_, err = formula.Check(parse(t, "sum(1)"), source("sum(1)"), formula.Type{}, nil)
	assert.ErrorContains(t, err, "no function here")
}

func TestOrder(t *testing.T) {
	deps := map[string][]string{"cost": {"labour", "argon"}, "labour": {"time", "rate"}, "argon": {"time"}, "time": {"seam"}, "seam": {"od"}}
	names := func(f string) []string { return deps[f] }
	got, err := formula.Order([]string{"cost", "seam", "argon", "labour", "time"}, names)
	require.NoError(t, err)
	assert.Equal(t, []string{"seam", "time", "labour", "argon", "cost"}, got)

	again, err := formula.Order(got, names)
	require.NoError(t, err)
	assert.Equal(t, got, again, "what is in order stays as it is")

	deps["seam"] = []string{"argon"}
	_, err = formula.Order(got, names)
	assert.ErrorContains(t, err, "circle: seam -> argon -> time -> seam; take one")
	deps = map[string][]string{"a": {"a"}}
	_, err = formula.Order([]string{"a"}, names)
	assert.ErrorContains(t, err, "a -> a")
}
