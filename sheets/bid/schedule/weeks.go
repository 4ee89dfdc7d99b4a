package schedule

import (
	"math"

	"seamtally/compute/backlog"
	"seamtally/sheets/bid/layout"
)

// How many weeks Schedule lists: at most so many, and some more than the order
// takes now, so that it may grow before the next run.
const (
	mostWeeks  = 260
	spareWeeks = 2
)

// weeks adds the weeks in which the order is worked on.
func weeks(f *layout.Laid) error {
	left := f.OnceRow(f.Scoped("schedule_shop"))
	left.Set("weeks_left", 0, "")
	if err := f.Bid.Work(); err != nil {
		return err
	}
	n := weeksTaken(f)
	left.Set("weeks_left", math.Max(n-mostWeeks, 0), "")
	for i := range int(math.Min(n, mostWeeks)) {
		f.AddRow("schedule_weeks", nil, nil).Set("week_no", float64(i+1), "")
	}
	return nil
}

// weeksTaken is how many weeks there are to list, from that of the start.
func weeksTaken(f *layout.Laid) float64 {
	end := f.Scoped("schedule_end")
	of := f.OnceRow(end).Frame
	shop := f.Scoped("schedule_shop")
	begins := shop.Quantity("begins").Num(f.OnceRow(shop).Frame)
	n := backlog.Taken(begins, end.Quantity("end_day").Num(of), end.Quantity("end").Num(of), f.Single("days_per_week"))
	if math.IsNaN(n) {
		return 0
	}
	return math.Max(n, 0) + spareWeeks
}
