package bid

import (
	"math"

	"seamtally/compute/backlog"
)

// How many weeks Schedule lists: at most so many, and some more than the order
// takes now, so that it may grow before the next run.
const (
	mostWeeks  = 260
	spareWeeks = 2
)

// weeks adds the weeks in which the order is worked on.
func (f *Laid) weeks() error {
	left := f.onceRow(f.scoped("schedule_shop"))
	left.set("weeks_left", 0, "")
	if err := f.bid.Work(); err != nil {
		return err
	}
	n := f.weeksTaken()
	left.set("weeks_left", math.Max(n-mostWeeks, 0), "")
	for i := range int(math.Min(n, mostWeeks)) {
		f.add("schedule_weeks", nil, nil).set("week_no", float64(i+1), "")
	}
	return nil
}

// weeksTaken is how many weeks there are to list, from that of the start.
func (f *Laid) weeksTaken() float64 {
	end := f.scoped("schedule_end")
	of := f.onceRow(end).Frame
	shop := f.scoped("schedule_shop")
	begins := shop.Quantity("begins").Num(f.onceRow(shop).Frame)
	n := backlog.Taken(begins, end.Quantity("end_day").Num(of), end.Quantity("end").Num(of), f.single("days_per_week"))
	if math.IsNaN(n) {
		return 0
	}
	return math.Max(n, 0) + spareWeeks
}
