package compute_test

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute"
	"seamtally/compute/model"
	"seamtally/templates"
)

// copyOf is the model's files with one replacement in one of them.
func copyOf(t require.TestingT, file, old, planted string) fstest.MapFS {
	out := fstest.MapFS{}
	names, err := fs.Glob(templates.FS, "*.txt")
	require.NoError(t, err)
	for _, name := range names {
		data, err := fs.ReadFile(templates.FS, name)
		require.NoError(t, err)
		if name == file {
			require.True(t, strings.Contains(string(data), old), "%s has changed, plant the mistake elsewhere than in: %s", file, old)
			data = []byte(strings.Replace(string(data), old, planted, 1))
		}
		out[name] = &fstest.MapFile{Data: data}
	}
	return out
}

// Mistakes of a hurried editor are refused, with the file and the line.
func TestPlantedMistakesAreRefused(t *testing.T) {
	for _, c := range []struct{ what, file, old, planted, says string }{
		{"minutes and inches added", "line.txt", "= arc_time+flow_tail+regrip", "= arc_time+seam+regrip", `^line\.txt:\d+`},
		{"travel multiplied, not divided by", "line.txt", "+starts*tie_in)/travel_used", "+starts*tie_in)*travel_used", `^line\.txt:\d+`},
		{"a volume for an area", "line.txt", "purge_bore^2*purge_length", "purge_bore^3*purge_length", `^line\.txt:\d+`},
		{"gas at the price of filler", "line.txt", "ROUND(argon*argon_price, 2)", "ROUND(argon*rod.price, 2)", `^line\.txt:\d+`},
		{"filler by the length", "line.txt", "ROUND(filler_mass*rod_rate, 2)", "ROUND(filler_length*rod_rate, 2)", `^line\.txt:\d+`},
		{"an assumption in seconds for inches", "assumptions.txt", "what Remelt at each start, in addition to the bead\nunit length", "what Remelt at each start, in addition to the bead\nunit s", `^line\.txt:\d+`},
		{"a price by the foot for one by volume", "assumptions.txt", "unit gas_price", "unit tube_price", `^line\.txt:\d+`},
		{"a travel for a flow", "tables.txt", "column torch_flow | Torch flow | flow", "column torch_flow | Torch flow | travel", `^(line|tables)\.txt:\d+`},
		{"a time where money is", "order.txt", "= ROUND(car_hours*shop_rate, 2)", "= ROUND(car_hours, 2)", `^order\.txt:\d+`},
		{"the cosine of a length", "line.txt", "= 1/COS(half_turn)", "= 1/COS(od)", `^line\.txt:\d+`},
		{"a name that is not there", "line.txt", "= arc_time+flow_tail+regrip", "= arc_tine+flow_tail+regrip", `^line\.txt:\d+`},
		{"a column that is not there", "line.txt", "= stops*setup.reposition", "= stops*setup.repositoin", `^line\.txt:\d+`},
		{"a bracket left open", "line.txt", "= ROUND(welds*sundries_per_weld, 2)", "= ROUND(welds*sundries_per_weld, 2", `^line\.txt:\d+`},
		{"a text in a sum", "line.txt", "= stops*setup.reposition", "= stops*setup.name", `^line\.txt:\d+`},
		{"a field misspelt", "line.txt", "heading Travel used", "headign Travel used", `^line\.txt:\d+`},
		{"a figure twice", "line.txt", "figure weld_out", "figure arc_time", `^line\.txt:\d+`},
		{"a cell too few", "tables.txt", "both seam | 1 | 0 | 0 | no |", "both seam | 1 | 0 | no |", `^tables\.txt:\d+`},
	} {
		t.Run(c.what, func(t *testing.T) {
			for _, s := range []model.System{model.US, model.Metric} {
				_, err := compute.Load(copyOf(t, c.file, c.old, c.planted), s)
				require.Error(t, err)
				assert.Regexp(t, c.says, err.Error())
			}
		})
	}
}

// The model's own functions refuse what they cannot take, with the file and the line.
func TestMisusedFunctionsAreRefused(t *testing.T) {
	for _, c := range []struct{ file, old, planted string }{
		{"bids_schedule.txt", "= weekday(week)", "= weekday()"},
		{"order.txt", "total(cars.tube_money)", "total()"},
		{"order.txt", "total(cars.tube_money)", "total(tube.offcut)"},
		{"order.txt", "sum(tube.offcut)", "sum()"},
		{"order.txt", "sum(tube.offcut)", "sum(tube.offcut, 1)"},
		{"bids_schedule.txt", "= weekday(week)", "= weekday(hours_all)"},
		{"bids_schedule.txt", "= worked_days(week)", "= worked_days(week, 1)"},
		{"bids_schedule.txt", "workday(start_date, 1, worked)", "workday(start_date, 1)"},
		{"bids_schedule.txt", "workday(start_date, 1, worked)", "workday(start_date, 1, week)"},
		{"bids_schedule.txt", "workday(start_date, 1, worked)", "workday(start_date, hours_all, worked)"},
		{"bids_schedule.txt", "= workdays_to(begins-1, worked)", "= workdays_to(begins-1)"},
		{"bids_schedule.txt", "= workdays_to(begins-1, worked)", "= workdays_to(hours_all, worked)"},
		{"bids_schedule.txt", "= workdays_to(begins-1, worked)", "= workdays_to(begins-1, week)"},
		{"bids_schedule.txt", "= running(days_spec)", "= running()"},
		{"bids_schedule.txt", "= running(days_spec)", "= running(days_spec+1)"},
		{"bids_schedule.txt", "= saw_by-above(saw_by)", "= saw_by-above()"},
		{"bids_schedule.txt", "= saw_by-above(saw_by)", "= saw_by-above(saw_by+1)"},
		{"bids_schedule.txt", "= lowest(schedule_cars.first)", "= lowest()"},
		{"bids_schedule.txt", "= lowest(schedule_cars.first)", "= lowest(week)"},
		{"bids_schedule.txt", "= done(upto, schedule_shut.upto, schedule_shut.lost)", "= done(upto, schedule_shut.upto)"},
		{"bids_schedule.txt", "= done(upto, schedule_shut.upto, schedule_shut.lost)", "= done(schedule_shop.hours_all, schedule_shut.upto, schedule_shut.lost)"},
		{"bids_schedule.txt", "= done(upto, schedule_shut.upto, schedule_shut.lost)", "= done(upto, 1, schedule_shut.lost)"},
		{"bids_rates.txt", "= distinct(rates_work.size)", "= distinct()"},
		{"bids_rates.txt", "= distinct(rates_work.size)", "= distinct(1)"},
		{"bids_rates.txt", "= sum_product(rates_work.fits, rates_joints.welds_all)", "= sum_product(rates_work.fits)"},
		{"bids_rates.txt", "= sum_product(rates_work.fits, rates_joints.welds_all)", "= sum_product(rates_work.fits, 1)"},
		{"bids_rates.txt", "unless(saves_weld<=0, \"never\", whole_up(kits/saves_weld))", "unless(saves_weld<=0, \"never\")"},
		{"bids_rates.txt", "unless(saves_weld<=0, \"never\", whole_up(kits/saves_weld))", "unless(saves_weld, \"never\", whole_up(kits/saves_weld))"},
		{"bids_rates.txt", "least(weld_cost, weld_no)", "least(weld_cost)"},
		{"bids_rates.txt", "least(weld_cost, weld_no)", "least(weld_cost, 1)"},
		{"bids_rates.txt", "bare(lines.od)", "bare()"},
		{"bids_rates.txt", "bare(lines.od)", "bare(\"x\")"},
	} {
		_, err := compute.Load(copyOf(t, c.file, c.old, c.planted), model.US)
		assert.ErrorContains(t, err, c.file+":", c.planted)
	}
}

// Every figure of the model is checked: another unit beside any of them is
// refused, naming the line of its formula.
func TestNoFigureTakesAnotherUnit(t *testing.T) {
	t.Parallel()
	shipped := load(t, model.US)
	for _, file := range []string{"line.txt", "order.txt"} {
		data, err := fs.ReadFile(templates.FS, file)
		require.NoError(t, err)
		tried := 0
		for _, stanza := range strings.Split(string(data), "\n\n") {
			if !strings.HasPrefix(stanza, "figure ") || !strings.Contains(stanza, "\nunit ") {
				continue
			}
			before, rest, _ := strings.Cut(stanza, "\nunit ")
			unit, after, _ := strings.Cut(rest, "\n")
			other := "mass"
			if r, ok := shipped.Units[unit]; ok && r.Unit.SameDim(shipped.Units["mass"].Unit) {
				other = "length"
			}
			_, err := compute.Load(copyOf(t, file, stanza, before+"\nunit "+other+"\n"+after), model.US)
			key, _, _ := strings.Cut(stanza, "\n")
			if assert.Error(t, err, "%s as %s, not %s", key, other, unit) {
				assert.Regexp(t, `^\w+\.txt:\d+`, err.Error(), key)
			}
			tried++
		}
		assert.Greater(t, tried, 50, file)
	}
}

// A circle is refused, and shown.
func TestCircleIsShown(t *testing.T) {
	for _, c := range []struct{ file, old, planted, says string }{
		{"line.txt", "= stops*setup.reposition", "= stops*setup.reposition+0*weld_out", `regrip -> lines\.weld_out|weld_out -> lines\.regrip`},
		{"line.txt", "= turn/2", "= half_turn/2", `half_turn -> lines\.half_turn`},
		{"order.txt", "= ROUND(contingency*direct, 2)", "= ROUND(contingency*cost_car, 2)", `contingency_car -> cars\.cost_car|cost_car -> cars\.contingency_car`},
	} {
		_, err := compute.Load(copyOf(t, c.file, c.old, c.planted), model.US)
		require.Error(t, err)
		assert.Contains(t, err.Error(), "circle")
		assert.Regexp(t, c.says, err.Error())
	}
}

// What the units cannot tell, the plain implementation does, and in the figure
// that is wrong. Formulas changed in one place are tried elsewhere, all of them;
// these are other formulas, such as somebody may think right.
func TestPlainImplementationSeesMistakes(t *testing.T) {
	jobs := triedJobs(load(t, model.US))
	for _, c := range []struct{ file, old, planted, figure string }{
		{"line.txt", "od-(sides-1)*wall", "od-sides*wall", "lines.geometry"},
		{"line.txt", "gap*wall+2/3*", "gap*wall+1/2*", "lines.butt_area"},
		{"line.txt", "= setup.travel*corner_factor*metal_factor", "= setup.travel*corner_factor*wire_per_wall", "lines.travel_used"},
		{"line.txt", "= rod.price", "= 2*rod.price", "lines.rod_rate"},
		{"line.txt", `colour<>"blue"`, `colour<>"bright"`, "lines.restart"},
		{"order.txt", "= (car_floor-car_paced+parts_learn)*learning+car_paced+parts_plain", "= (car_floor+parts_learn)*learning+parts_plain", "cars.work_hours"},
		{"order.txt", "cost_car/(1-margin)", "cost_car*(1+margin)", "cars.price_car"},
		{"order.txt", "= order_price-order_cost", "= order_priced-order_cost", "order.money_margin"},
		{"order.txt", "= rods*rod.length", "= rod_needed", "rods.rod_bought"},
	} {
		m, err := compute.Load(copyOf(t, c.file, c.old, c.planted), model.US)
		require.NoError(t, err, c.planted)
		found := false
		for _, j := range jobs {
			for _, s := range j.differences(workJob(t, m, j.job)) {
				found = found || strings.HasPrefix(s, c.figure+" is ")
			}
			if found {
				break
			}
		}
		assert.True(t, found, "%s: %s is not noticed", c.file, c.planted)
	}
}
