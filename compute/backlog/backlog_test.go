package backlog

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Mondays as spreadsheets count days: 1 January 2026 is 46023, so 30 November, the 334th
// day of that year, is 46356.
const w49, w50, w51 = 46356.0, 46363.0, 46370.0

func orders() []*Order {
	return []*Order{
		{Name: "won", Placed: true, Chance: 1, Hours: 30, DayHours: 8, Weekdays: 5, Weeks: []Part{{w49, []float64{2, 8, 10, 0}}, {w50, []float64{0, 0, 0, 0}}, {w51, []float64{0, 4, 6, 0}}}},
		{Name: "perhaps", Placed: true, Chance: 0.5, Hours: 8, DayHours: 6, Weekdays: 4, Weeks: []Part{{w50, []float64{1, 3, 4, 0}}}, Shut: [][2]float64{{w50 + 1, w50 + 2.5}}},
		{Name: "without weeks", Chance: 1, Hours: 99, DayHours: 7},
	}
}

// Hours times chances, added up by hand. The second week is shut on Tuesday and Wednesday,
// so it has three days of eight hours.
func TestWeeksOfOrders(t *testing.T) {
	r := Lay(orders(), 4, 0)
	assert.Equal(t, 8.0, r.DayHours, "the most that an order counts on")
	assert.Equal(t, 5, r.Weekdays)
	require.Len(t, r.Weeks, 3)
	assert.Equal(t, Week{ISO: "2026-W49", Monday: "2026-11-30", Stages: []float64{2, 8, 10, 0}, Weighted: 20, Firm: 20, If: 20, Capacity: 40, Days: 5, number: w49}, r.Weeks[0])
	assert.Equal(t, Week{ISO: "2026-W50", Monday: "2026-12-07", Stages: []float64{0.5, 1.5, 2, 0}, Weighted: 4, If: 8, Capacity: 24, Days: 3, number: w50}, r.Weeks[1])
	assert.Equal(t, Week{ISO: "2026-W51", Monday: "2026-12-14", Stages: []float64{0, 4, 6, 0}, Weighted: 10, Firm: 10, If: 10, Capacity: 40, Days: 5, number: w51}, r.Weeks[2])
	assert.Equal(t, Week{Stages: []float64{2.5, 13.5, 18, 0}, Weighted: 34, Firm: 30, If: 38, Capacity: 104, Days: 13}, r.Total)

	r = Lay(orders()[:1], 4, 3)
	require.Len(t, r.Weeks, 3, "the week between has nothing, and is there")
	assert.Equal(t, Week{ISO: "2026-W50", Monday: "2026-12-07", Stages: make([]float64, 4), Capacity: 15, Days: 5, number: w50}, r.Weeks[1])
	assert.True(t, r.Weeks[0].Over(), "20 hours in 15")

	assert.Equal(t, Week{Stages: make([]float64, 4)}, Lay(orders()[2:], 4, 0).Total)
}

func TestVerdictOfAWeek(t *testing.T) {
	for want, w := range map[string]Week{
		"ok": {Weighted: 40, P80: 40, Capacity: 40}, "over": {Weighted: 40.1, P80: 50, Capacity: 40}, "P80 over": {Weighted: 39, P80: 40.1, Capacity: 40},
	} {
		assert.Equal(t, want, w.Verdict())
	}
}

// An order of 10 hours, 10 in the first week, comes to 8 to 12 in five trials, and is won in
// all; another of 8 comes to that and is won in the first two alone. The trials of both are
// 16, 17, 10, 11, 12 hours: in order 10, 11, 12, 16, 17, of which the middle is 12, and four
// fifths of the way, 3.2 steps from the first, 16.2. Drawn apart, the second is two trials on
// (a half of five, cut off): it comes to the 4th and 5th, as 0 and 0 stand at its own 3rd and
// on, so 8, 9, 10, 19, 20, and 3.2 steps are 19.2.
func TestOutcomes(t *testing.T) {
	a := &drawn{Order: &Order{Hours: 10, Weeks: []Part{{w49, []float64{4, 6}}}}, hours: []float64{8, 9, 10, 11, 12}, won: []bool{true, true, true, true, true}}
	b := &drawn{Order: &Order{Hours: 8, Weeks: []Part{{w50, []float64{8, 0}}}}, hours: []float64{8, 8, 8, 8, 8}, won: []bool{true, true, false, false, false}}
	r := &Load{Trials: 5, Weeks: []Week{{number: w49}, {number: w50}}}
	r.outcomes([]*drawn{a, b})
	near := func(want, got float64) { t.Helper(); assert.InDelta(t, want, got, 1e-9) }
	near(10, r.Weeks[0].P50)
	near(11.2, r.Weeks[0].P80)
	near(0, r.Weeks[1].P50)
	near(8, r.Weeks[1].P80)
	near(12, r.Total.P50)
	near(16.2, r.Total.P80)
	near(19.2, r.Apart)
}

func TestWeeksTaken(t *testing.T) {
	for _, c := range []struct{ start, last, days, perWeek, want float64 }{
		{w49 + 2, w50 + 1, 99, 5, 2}, {w49, w49 + 6, 99, 5, 1}, {w49 + 6, w50, 99, 5, 2}, {0, w50, 11, 5, 3}, {w49, math.NaN(), 10, 5, 2}, {0, 0, 10.5, 5, 3},
	} {
		assert.Equal(t, c.want, Taken(c.start, c.last, c.days, c.perWeek), c)
	}
}

func TestDustIsNoWork(t *testing.T) {
	o := &Order{Placed: true, Chance: 1, Weeks: []Part{{w49, []float64{3e-8, -9e-7, 2e-6}}}}
	o.Settle()
	assert.Equal(t, []float64{0, 0, 2e-6}, o.Weeks[0].Hours)
}
