package book

import "time"

// DayText is a day in words: 2026-11-25.
func DayText(day float64) string {
	if day == 0 {
		return StateBlank
	}
	return time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(day)).Format(time.DateOnly)
}

const StateBlank = "blank"
