// Package backlog lays the weeks of several orders over one another: hours with the
// chance that each comes, and what they may come to by draws. It knows nothing of
// cells, files or joints.
package backlog

import (
	"math"

	"seamtally/compute"
	"seamtally/compute/chance"
	"seamtally/compute/model"
)

// Order is the work of an order. Days are counted as spreadsheets do.
type Order struct {
	Name     string
	Placed   bool // its hours are in its weeks
	Chance   float64
	Hours    float64
	DayHours float64 // floor hours of a working day that it counts on
	Weekdays float64 // worked in a week, from Monday on
	Weeks    []Part
	Shut     [][2]float64 // first and last days on which the shop is shut

	// Of its draws: how many trials are wanted, and how they are drawn.
	Trials      int
	Seed        uint64
	Correlation float64
	Drawn       []Drawn
	Sweep       func() (*compute.Sweep, error)
	NotDrawn    bool // its hours cannot be worked out everywhere in its ranges
}

// Part is what an order takes in a week.
type Part struct {
	Monday float64
	Hours  []float64 // by stage
}

// Drawn is an assumption that is drawn, and between which ends.
type Drawn struct {
	*model.Quantity
	Spread chance.Triangle
	Time   bool // it goes up and down with others of its kind
}

// Load is the work of several orders, week by week.
type Load struct {
	Weeks []Week // without gaps
	Total Week   // of all weeks

	DayHours float64 // floor hours of a working day
	Weekdays int     // worked in a week, from Monday on
	Trials   int
	Draws    int     // assumptions that are drawn
	Apart    float64 // P80 of all hours if each order were drawn by itself

	orders []*Order
	stages int
}

// Week is a week of the floor. Hours of stages are those of quotes times their
// chances.
type Week struct {
	ISO, Monday string    // 2026-W49, and the day
	Stages      []float64 // saw, bench, weld, other
	Weighted    float64   // their sum
	Firm, If    float64   // of quotes that are sure; of all, if all are won
	P50, P80    float64   // of what may come
	Capacity    float64
	Days        int // that are worked
	number      float64
}

// Over reports whether more is to be expected than the floor has hours for.
func (w Week) Over() bool { return w.Weighted > w.Capacity+dust }

// MayBeOver reports whether that may be so with one chance in five.
func (w Week) MayBeOver() bool { return w.P80 > w.Capacity+dust }

// Verdict says whether the floor has hours enough.
func (w Week) Verdict() string {
	switch {
	case w.Over():
		return "over"
	case w.MayBeOver():
		return "P80 over"
	}
	return model.WordOK
}

// dust is in hours what a difference of sums may be off.
const dust = 1e-6

// Lay lays the orders over one another, each with hours of so many stages. A working
// day has so many hours, or, at 0, the most that an order counts on.
func Lay(orders []*Order, stages int, dayHours float64) *Load {
	r := &Load{orders: orders, stages: stages}
	r.capacity(dayHours)
	r.add()
	return r
}

// Settle makes the dust of a difference 0: a week in which nothing is done is the
// difference of two equal sums.
func (o *Order) Settle() {
	for _, w := range o.Weeks {
		for i, hours := range w.Hours {
			if math.Abs(hours) <= dust {
				w.Hours[i] = 0
			}
		}
	}
}

// add adds up the weeks of all quotes, from the first in which one is worked on to
// the last.
func (r *Load) add() {
	at := map[float64]*Week{}
	for _, f := range r.orders {
		if !f.Placed {
			continue
		}
		for _, w := range f.Weeks {
			for i, hours := range w.Hours {
				if hours == 0 {
					continue
				}
				if at[w.Monday] == nil {
					at[w.Monday] = r.week(w.Monday)
				}
				at[w.Monday].put(i, hours, f.Chance)
			}
		}
	}
	r.Total = Week{Stages: make([]float64, r.stages)}
	if len(at) == 0 {
		return
	}
	first, last := math.Inf(1), math.Inf(-1)
	for monday := range at {
		first, last = min(first, monday), max(last, monday)
	}
	for monday := first; monday <= last; monday += daysOfWeek {
		w := at[monday]
		if w == nil {
			w = r.week(monday)
		}
		w.Weighted = sum(w.Stages)
		r.Weeks = append(r.Weeks, *w)
		for i, hours := range w.Stages {
			r.Total.Stages[i] += hours
		}
		r.Total.Weighted += w.Weighted
		r.Total.Firm += w.Firm
		r.Total.If += w.If
		r.Total.Capacity += w.Capacity
		r.Total.Days += w.Days
	}
}

// put adds hours of a stage with the chance that they come.
func (w *Week) put(stage int, hours, chance float64) {
	w.Stages[stage] += chance * hours
	w.If += hours
	if chance == 1 {
		w.Firm += hours
	}
}

func sum(all []float64) float64 {
	total := 0.0
	for _, x := range all {
		total += x
	}
	return total
}
