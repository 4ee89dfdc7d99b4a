package backlog

import (
	"fmt"
	"math"
	"time"

	"seamtally/compute/model"
)

const daysOfWeek = 7

// capacity settles how many hours a working day has. A quote says what it counts on
// for itself; the most that one counts on is the least that the shop must have.
func (r *Load) capacity(asked float64) {
	r.DayHours = asked
	for _, f := range r.orders {
		if asked == 0 {
			r.DayHours = max(r.DayHours, f.DayHours)
		}
		r.Weekdays = max(r.Weekdays, int(f.Weekdays))
	}
}

// week is an empty week from a Monday on, with the hours that the floor has in it:
// of days on which no quote knows the shop to be shut.
func (r *Load) week(monday float64) *Week {
	at := model.DateOf(monday)
	year, no := at.ISOWeek()
	w := &Week{ISO: fmt.Sprintf("%d-W%02d", year, no), Monday: at.Format(time.DateOnly), Stages: make([]float64, r.stages), number: monday}
	for day := monday; day < monday+float64(r.Weekdays); day++ {
		if !r.shut(day) {
			w.Days++
		}
	}
	w.Capacity = float64(w.Days) * r.DayHours
	return w
}

func (r *Load) shut(day float64) bool {
	for _, f := range r.orders {
		for _, times := range f.Shut {
			if math.Floor(times[0]) <= day && day <= math.Floor(times[1]) {
				return true
			}
		}
	}
	return false
}

// Taken is how many weeks, from Monday on, days of a calendar run through; where none
// is known, so many days of a week are worked.
func Taken(start, last, days, perWeek float64) float64 {
	const monday = 2 // the first that a spreadsheet knows
	n := math.Ceil(days / perWeek)
	if start != 0 && !math.IsNaN(last) {
		n = math.Floor((last-monday)/daysOfWeek) - math.Floor((start-monday)/daysOfWeek) + 1
	}
	return n
}
