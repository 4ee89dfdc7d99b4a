package load

import (
	"fmt"
	"math"
	"time"

	"seamtally/compute"
	"seamtally/sheets/bid/schedule"
)

const daysOfWeek = 7

// capacity settles how many hours a working day has. A quote says what it counts on
// for itself; the most that one counts on is the least that the shop must have.
func (r *Report) capacity(asked float64) {
	r.DayHours = asked
	for _, f := range r.Files {
		if asked == 0 {
			r.DayHours = max(r.DayHours, f.DayHours)
		}
		r.Weekdays = max(r.Weekdays, int(f.times.Weekdays))
	}
}

// week is an empty week from a Monday on, with the hours that the floor has in it:
// of days on which no quote knows the shop to be shut.
func (r *Report) week(monday float64) *Week {
	at := compute.DateOf(monday)
	year, no := at.ISOWeek()
	w := &Week{ISO: fmt.Sprintf("%d-W%02d", year, no), Monday: at.Format(time.DateOnly), Stages: make([]float64, len(schedule.Stages())), number: monday}
	for day := monday; day < monday+float64(r.Weekdays); day++ {
		if !r.shut(day) {
			w.Days++
		}
	}
	w.Capacity = float64(w.Days) * r.DayHours
	return w
}

func (r *Report) shut(day float64) bool {
	for _, f := range r.Files {
		for _, times := range f.times.Shut {
			if math.Floor(times[0]) <= day && day <= math.Floor(times[1]) {
				return true
			}
		}
	}
	return false
}
