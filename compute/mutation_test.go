package compute_test

import (
	"flag"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seamtally/compute/model"
	"seamtally/templates"
)

var ofFigure = flag.String("figure", "", "try every change of this figure's formulas, and of no other")

// isTried tells whether a change is tried: all are where CI is set, else a few,
// the same ones every time; of a figure that was asked for, all and no others.
func (c change) isTried(i int) bool {
	switch {
	case *ofFigure != "":
		_, key, _ := strings.Cut(c.of, ".")
		key, _, _ = strings.Cut(key, ",")
		return key == *ofFigure
	case os.Getenv("CI") != "" && !testing.Short():
		return true
	}
	return i%120 == 0
}

// Every formula of the model, changed in any one place, is noticed: it is
// refused when it is read, or a test of this folder fails. What no test can
// tell from the shipped formula is excused by name, with the reason.
func TestEveryChangeOfAFormulaIsNoticed(t *testing.T) {
	t.Parallel()
	list, claims := everyChange(t), claims(t)
	assert.Greater(t, len(list), 3000)
	by, fault := judge(templates.FS, claims, "")
	require.Empty(t, by, "of the model as shipped: %s", fault)

	found := make([]string, len(list))
	todo := make(chan int)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := range todo {
				c := list[i]
				found[i], _ = judge(copyOf(t, c.file, c.old, c.planted), claims, c.of)
			}
		})
	}
	for i, c := range list {
		if c.isTried(i) {
			todo <- i
		}
	}
	close(todo)
	workers.Wait()

	excuses, count, tried := excused(), map[string]int{}, 0
	for i, c := range list {
		_, known := excuses[c.twin()]
		delete(excuses, c.twin())
		if !c.isTried(i) {
			continue
		}
		tried++
		switch {
		case found[i] == "" && known:
			count["excused"]++
		case found[i] == "":
			assert.Fail(t, "no test notices a changed formula", "%s:%d: %s\n  %s\nbecame\n  %s\nand nothing failed; "+
				"add a row to checks_test.go, a joint or an order to triedJobs, or an example to claims, that tells the two apart; if nothing can, list it in excused with the reason",
				c.file, c.line, c.of, c.was, c.is)
		case known:
			assert.Fail(t, "an excuse that is not needed", "%s: %s is noticed by: %s; take it out of excused", c.of, c.is, found[i])
		default:
			count[found[i]]++
		}
	}
	for c := range excuses {
		assert.Fail(t, "an excuse for nothing", "%s: %s is no change of a formula as it stands; take it out of excused", c.of, c.is)
	}
	assert.Positive(t, tried, "no figure with a formula is called so: %q", *ofFigure)
	t.Logf("%d of %d changes tried: %v", tried, len(list), count)
}

// twin is a formula that no test can tell from the shipped one: the figure,
// and the formula as changed.
type twin struct{ of, is string }

func (c change) twin() twin { return twin{c.of, c.is} }

// Reasons that serve for several.
const (
	tie      = "they differ where both sides are equal, and one of them is a tangent or a multiple of π, which no typed number equals"
	whole    = "a number is what it is rounded to, or rounded up to, when it is whole, and never else"
	cents    = "a sum of whole cents is one already, but for dust, which any of these takes away"
	asNeeded = "without a stick length, what is bought is what is needed"
	covered  = "the wall is over 0 and under half the OD only where the OD is over 0"
	noBend   = "without pies the bend is 0 long, and a purged length below 0 is refused"
	blank    = "a name that is not there is no text either way; that a cell then shows none, and not 0, the tests of sheets tell"
	length   = "the same length in another unit, which is converted"
	reading  = "the number of a cup is turned into a length when it is read; what a cell makes of it, the tests of sheets tell"
)

// excused are the changes that make no difference, and why.
func excused() map[twin]string {
	return map[twin]string{
		{"tube.tube_lacks", `IF(AND(tube_bought>0,sticks=0,stock.charge="whole sticks"),"stick length","")`}: "without a stick what is bought is what is needed",
		{"lines.size_wrong", "OR(wall<=0,2*wall>=od)"}:                                                       covered,
		{"lines.size_wrong", "OR(od<0,wall<=0,2*wall>=od)"}:                                                  covered,
		{"lines.size_wrong", "OR(wall<=0,wall<=0,2*wall>=od)"}:                                               covered,

		{"lines.count_wrong", "OR(qty<0,qty<>ROUNDUP(qty,0),passes<1,passes<>ROUND(passes,0))"}:                       whole,
		{"lines.count_wrong", "OR(qty<0,qty<>ROUND(qty,0),passes<1,passes<>ROUNDUP(passes,0))"}:                       whole,
		{"lines.sides_wrong", `OR(sides<1,sides>2,sides<>ROUNDUP(sides,0),AND(sides=2,kind<>"fillet"))`}:              whole,
		{"lines.sides_wrong", `OR(sides<1,sides>2.02,sides<>ROUND(sides,0),AND(sides=2,kind<>"fillet"))`}:             "what lies between is no whole number, and refused for that",
		{"lines.shield_throat", "AND(pies>0,setup.shield_width>=throat)"}:                                             tie,
		{"lines.throat_short", "AND(pies>0,throat<=least_throat)"}:                                                    tie,
		{"lines.purge_short", "AND(pies>0,purge_length<=bend_length)"}:                                                tie,
		{"lines.length_off", "AND(weld_length>0,length_known=1,ABS(weld_length-geometry)>=most_length_off*geometry)"}: tie,

		{"lines.purge_short", "AND(purge_length<bend_length)"}:          noBend,
		{"lines.purge_short", "AND(pies>=0,purge_length<bend_length)"}:  noBend,
		{"lines.purge_short", "AND(rod_no>0,purge_length<bend_length)"}: noBend,

		{"tube.offcut", "ROUND(tube_paid-ROUND(tube_needed*stock.price,2),3)"}:                                                          cents,
		{"tube.stick_whole", "IF(stock.stick=0,tube_bought,sticks*stock.stick)"}:                                                        asNeeded,
		{"readiness.sticks_unknown", `sum_where(tube.tube_bought,tube.sticks,"0")`}:                                                     asNeeded,
		{"readiness.sticks_unknown", `sum_where(tube.stick_whole,tube.sticks,"0")`}:                                                     asNeeded,
		{"buying_checks.cut_dear_here", "IF(buying_paid_total.cut_more>=most_unpriced*order.order_price,buying_paid_total.cut_more,0)"}: tie,
		{"readiness.tube_outside", "IF(order.tube_unpriced>=most_unpriced*order.order_price,order.tube_unpriced,0)"}:                    "they differ where that share of the price is the amount to its last digit",
		{"tube.rack", "ROUND(sticks_paid-ROUND(tube_needed*stock.price,2),3)"}:                                                          cents,
		{"order.tube_sticks", "ROUNDUP(sum(tube.sticks_paid),2)"}:                                                                       cents,
		{"order.tube_sticks", "ROUND(sum(tube.sticks_paid),3)"}:                                                                         cents,
		{"order.tube_priced", "ROUNDUP(sum(tube.tube_paid),2)"}:                                                                         cents,
		{"order.tube_priced", "ROUND(sum(tube.tube_paid),3)"}:                                                                           cents,
		{"order.tube_rack", "ROUNDUP(sum(tube.rack),2)"}:                                                                                cents,
		{"order.tube_rack", "ROUND(sum(tube.rack),3)"}:                                                                                  cents,
		{"order.tube_unpriced", "ROUND(tube_sticks-tube_priced,3)"}:                                                                     cents,
		{"order.tube_all", "ROUNDUP(total(cars.tube_money),2)"}:                                                                         cents,
		{"order.tube_all", "ROUND(total(cars.tube_money),3)"}:                                                                           cents,
		{"order.offcut_all", "ROUNDUP(sum(tube.offcut),2)"}:                                                                             cents,
		{"order.offcut_all", "ROUND(sum(tube.offcut),3)"}:                                                                               cents,

		{"readiness.cost_astray", "ROUNDUP(sum(lists.list_cost)-sum(cars.car_lines),2)"}: cents,
		{"readiness.cost_astray", "ROUND(sum(lists.list_cost)-sum(cars.car_lines),3)"}:   cents,
		{"readiness.cost_astray", "sum(lists.list_cost)-sum(cars.car_lines)"}:            cents,

		{"cars.margin_made", `IF(price_all=0,"",(price_car-cost_car)/price_car)`}: "one car is ordered, at least: else its share of work done once has no value",
		{"cars.margin_made", `IF(cost_car=0,"",(price_car-cost_car)/price_car)`}:  "what costs something is sold for something, and what costs nothing for nothing",

		{"schedule_cars.name", "car.name"}:                                                          blank,
		{"schedule_stages.spec", "car.name"}:                                                        blank,
		{"schedule_shop.begins", "IF(start_date=0,0,workday(start_date,1.01,worked))"}:              "a part of a day is no further day",
		{"schedule_weeks.next_monday", "workday(schedule_shop.begins+1.01,week_no,worked_days(1))"}: "work starts on a whole day",
		{"schedule_weeks.next_monday", "workday(schedule_shop.begins+1,week_no,worked_days(1.01))"}: "a part of a day is no day of a week",
		{"buying_parts.item", "part.item"}:                                                          blank,
		{"buying_parts.part_for", "part.car"}:                                                       blank,
		{"rates_order.setup_tried", "setup.name"}:                                                   blank,
		{"rates_kits.setup_kit", "setup_tried"}:                                                     blank,
		{"rates_welds.weld_setup", "setup_tried"}:                                                   blank,
		{"buying_tube.used_up", "(sticks_cut*stick_saw)-drops_kept"}:                                length,
		{"buying_tube.used_up", "sticks_cut*stick_long-drop_length"}:                                length,
		{"buying_checks.sticks_moved_there", "sum(buying_tube.stick_saw)"}:                          length,

		{"setups.bore", "cup_bore"}: reading,
		{"setups.run_limit", "IF(bead_share=0,longest_run,bead_share*cup_bore)"}:           reading,
		{"setups.bore_missing", "IF(OR(bead_share<0,AND(bead_share>0,run_limit<=0)),1,0)"}: "where there is a share of it, the bead is over 0 only with the bore",
	}
}

// A fault is found by the test that is made for it, and none where there is
// none.
func TestJudge(t *testing.T) {
	t.Parallel()
	list := claims(t)
	for _, c := range []struct{ file, old, planted, by, says string }{
		{"line.txt", "= arc_time+flow_tail+regrip", "= arc_time+flow_tail+seam", "load", "cannot add"},
		{"line.txt", "= starts-passes", "= starts", byPlain, "lines."},
		{"line.txt", "clr<=od/2)", "clr<=od/3)", byRows, "clr:1.5"},
		{"tables.txt", "OR(run_limit<0, longest_run<0,", "OR(run_limit<0,", byExamples, "longest_run"},
		{"line.txt", "why Half pies", "why As said: half pies", "", ""},
	} {
		by, fault := judge(copyOf(t, c.file, c.old, c.planted), list, "")
		assert.Equal(t, c.by, by, c.planted)
		assert.Contains(t, fault, c.says)
	}
	tried := &trial{files: templates.FS, models: map[model.System]*model.Model{}}
	assert.Empty(t, tried.refutes(claim{holds: func(t require.TestingT) { require.True(t, true) }}))
	assert.Contains(t, tried.refutes(claim{holds: func(t require.TestingT) { require.Fail(t, "by itself") }}), "by itself")
	assert.Contains(t, tried.refutes(claim{holds: func(require.TestingT) { panic("in the engine") }}), "in the engine")
}
